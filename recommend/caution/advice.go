package caution

import "sync"

// advice is what is said of a topic: what to do and why, then where to go.
type advice struct {
	text, instead string
	source        []string
}

// adviceOn returns the caution of a topic. Every topic has one; a test sees to it.
func adviceOn(key string, l Level) Caution {
	a := advices()[key]
	return Caution{Level: l, Key: key, Text: a.text, Instead: a.instead, Source: a.source}
}

// asCoupon makes a stop into leave to practise for the part.
func asCoupon(c Caution) Caution {
	c.Level = Defer
	c.Text = "Practice coupons only: I'll gladly log them with you. A good coupon speaks for that coupon alone and doesn't make this machine or these numbers fit for the part itself."
	c.Instead = "The part itself is replaced, or goes to a qualified shop."
	return c
}

// asOrnament makes a stop into a reminder of what was stated.
func asOrnament(c Caution) Caution {
	c.Level = Care
	c.Text = "You've told me plainly what this is for, so here are numbers for that. Keep it to that: nothing may ever tow, ride, hang or lift by this piece."
	c.Instead = "If the plan changes, ask again before it is used."
	return c
}

// asStripped makes the stop of a coating into a reminder to look again.
func asStripped(c Caution) Caution {
	a := strippedAdvices()[c.Key]
	return Caution{Level: Care, Key: c.Key, Text: a.text, Instead: a.instead, Source: a.source}
}

var advices = sync.OnceValue(func() map[string]advice {
	practice, memory := []string{"CP"}, []string{"MEM"}
	return map[string]advice{
		"weapon": {"No settings: I don't help with anything that explodes or shoots, or that's meant to hurt somebody. Welded tube under powder, gas or spray bursts in the hands of whoever fires it.",
			"Firearm work belongs to a licensed gunsmith. If you've found something that may be live, leave it where it lies, move away and call the police.", practice},
		"container": {"Leave it alone: don't weld, cut or grind a drum, a tank or anything shut, however empty it looks. What soaked into the seams turns to vapor, a rinse with water doesn't make it harmless, and people have been killed.",
			"Build from new stock that never held anything, and leave a closed tube of your own a drilled vent. A once-used tank goes to a shop that cleans and repairs them for a living.", memory},
		"pressure": {"Don't weld this one: pressure finds the spot that didn't fuse, and then it bursts without a warning. Repairs belong to authorised inspectors and qualified welders.",
			"Replace it, or take it to a hydraulic or pressure-vessel shop.", practice},
		"solvent": {"Stop, and put that part out of use: chlorinated cleaner under an arc can make phosgene, and a whiff you hardly notice can hurt your lungs hours later.",
			"Clean another piece with something that says non-chlorinated on the can, let it dry fully, put the can well away, and then ask again without the cleaner in the words.", []string{"CP", "MEM"}},
		"wet": {"Get dry first, and don't lie on the work: water and sweat carry current, and then you're part of the circuit.",
			"Dry floor, dry gloves, dry boots, dry plywood or a rubber mat under you, and wait for the rain to pass.", []string{"RC-SLIDES", "RC-WAC", "CP"}},
		"breaker": {"Leave the breaker, the fuse, the ground pin and the cut-out as they were made: they look after the wire in the wall, which cooks where nobody sees it. A plug or cord that runs hot is saying the same.",
			"Turn the machine down and shorten the cord, or have a licensed electrician put in a circuit of the right size; local code governs.", []string{"EL-630", "CP"}},
		"roll-cage": {"No settings for this one: a cage or a roll bar is there for the one bad second, and a weld that only looks fused lets go in it.",
			"Take it to a shop that builds them under its club's rules and with a machine meant for it. Your practice coupons I'll log any time.", practice},
		"seat": {"No settings for this one: a seat, belt or harness mount has to hold a person in a crash, and nothing on this bench can prove that it would.",
			"Use the maker's own repair procedure and a qualified body shop. Your practice coupons I'll log any time.", practice},
		"suspension": {"No settings for this one: steering, suspension, brakes and axles keep people alive, and their steels can lose their strength to a weld's heat.",
			"Replace the part, or use the maker's repair procedure and a qualified shop. Your practice coupons I'll log any time.", practice},
		"frame": {"No settings for this one: a vehicle's frame keeps people alive, some of its steels lose strength when heated, and its maker says which joints may be welded, if any.",
			"Use the maker's repair procedure and a qualified shop. Your practice coupons I'll log any time; and if it's the frame of a table or a toy, say plainly what it is for.", practice},
		"hitch": {"No settings for this one: when a hitch or a tow point lets go, what was behind it goes where it likes, or a chain comes back through a windshield.",
			"Buy it rated and bolt it on as its maker says, or take it to a qualified shop. If it's a piece of a toy or an ornament and tows nothing, say plainly what it is for.", practice},
		"held-up": {"No settings for this one: what holds a car, a machine or a floor up over somebody crushes them when one weld lets go, and a bead that looks good can't promise that it won't.",
			"Buy rated stands or ramps and use them on hard, level ground. For a post under a house, ask an engineer or your local building authority.", practice},
		"tire": {"Leave it alone while there's a tire on it: heat on the rim can burst the tire and kill, even from one small tack and with the air let out.",
			"Take it to a tire shop. If it's an ornament, the tire comes off the rim altogether first.", practice},
		"wheel": {"No settings for this one: a wheel, its nuts and its spacers carry whoever is riding, and a weld by a stud or a rim cracks on the road. With a tire on, flat or not, the heat can burst it.",
			"Replace it with the maker's part. If it's for an ornament or a fire pit, and the tire is off altogether, say plainly what it is for.", practice},
		"lifting": {"No settings for this one: hooks, chain, slings, jacks and hoists are rated and proof-tested, and a home weld undoes that without showing it. Somebody's feet are always under the load.",
			"Replace it with rated gear. If it's a piece of a toy or an ornament and lifts nothing, say plainly what it is for.", practice},
		"cadmium": {"Don't weld it and don't grind it: cadmium fume and dust can kill, and you may feel fine for hours.",
			"Choose another piece. If it must be this one, let a plating shop take the cadmium off chemically, then ask again.", memory},
		"lead-paint": {"Don't weld it, and don't burn or dry-grind it off: lead goes into you and into the house on your clothes. Old paint that nobody can vouch for counts as lead until a test says no.",
			"Test it first; let someone trained strip it, or choose another piece, then ask again.", memory},
		"galvanized": {"Take the zinc off first, well back from the weld and on both sides: the white smoke is zinc, and it brings chills and fever 4 to 12 hours later. A weld over zinc is full of holes as well.",
			"Strip it in moving air with your head out of the plume and a proper respirator, then say stripped and ask again. If you feel flu-like afterwards, get checked.", []string{"SA-ZNO", "SA-OA"}},
		"chrome": {"Take the chrome off first, or choose another piece: its fume can carry hexavalent chromium, which is far worse than plain welding smoke.",
			"Let a plating shop strip it, or buy plain stock, then say stripped and ask again.", memory},
		"unknown-coating": {"Find out what the coating is before any arc: it could be cadmium or something as bad, and grinding it to see is no better.",
			"Ask where it came from, or choose plain stock. Once it is known and off, say stripped and ask again.", practice},
		"steel": {"I've no settings for this metal: my tables are for mild steel, and on cast, stainless, hardened, spring, aluminum or unknown metal a bead can look good and crack beside itself.",
			"Find out what it is with a magnet, a file and where it came from, or build the part from mild steel. Otherwise take it to a shop that welds that metal.", practice},
		"which-hss": {"HSS is two things: hollow section, which my tables are for, and high-speed steel, which cracks beside the weld. I can't tell which you have, so no settings yet.",
			"If it's hollow section, say square tube or a500. If it came off a drill or a cutting tool, leave it unwelded.", practice},
		"people": {"If someone will sit, stand or ride on it, lean on it, hang from it or walk under it, a home weld mustn't be all that stands between them and the floor.",
			"Ask an engineer or your local building authority what it needs, and break a coupon of the same joint first.", practice},
		"building": {"Work on a building, a stair, a guard or a deck may need a permit, a written procedure and a tested welder, and these numbers are none of those.",
			"Ask your local building authority or an engineer before you weld.", practice},
		"trailer": {"A trailer shares the road with people who never saw your weld, and it shakes for years what a coupon bears once. Road rules may ask for an inspection.",
			"Ask your local vehicle authority and a qualified trailer shop. Hitch, tongue, coupler and axle stay out of it altogether.", practice},
		"confined": {"Come out of the pit or the closed space: fume and bad air gather there before you notice, and there is nobody to pull you out.",
			"Bring the piece outdoors. If it can't move, it's work for people with supplied air and a watcher outside.", []string{"SA-WAC415", "SA-252C"}},
		"which-frame": {"I can't tell which frame this is. If it belongs to anything that drives, flies or carries a rider, put the gun down: no settings are for that.",
			"If it's the frame of a table or a gate, say plainly what it is for.", practice},
		"which-gate": {"I can't tell which lift gate this is. If it lifts people or loads, or hangs on a truck, put the gun down: no settings are for that.",
			"If it's a plain gate in a fence, say plainly what it is for.", practice},
		"bed-rail": {"Go slowly with angle from a bed frame, or with a T-post: much of it is re-rolled rail, hard and brittle beside the weld. Try a file on it, and break a coupon of the same piece before you trust it.",
			"If the file skates off or the coupon snaps, use plain steel from the yard.", practice},
		"vehicle": {"On a vehicle, disconnect the battery (negative first), clamp close to the weld, and take out electronics within about 12 in (300 mm): stray current and heat ruin them. Clear fuel lines, brake lines, trim and carpet on both sides of the panel.",
			"Have an extinguisher and a second person by you, and the maker's repair manual for what may be welded at all.", practice},
		"paint": {"Take paint, primer or powder coat off well back from the weld: it burns to foul smoke and blows holes in the bead.",
			"If the paint is old and nobody can vouch for it, test it for lead before you touch it.", practice},
		"flammable": {"Let any cleaner, thinner or oil dry or wipe off fully, and put the can and the rags well away: their vapor catches from an arc across the room. Read the can for anything chlorinated.",
			"If it says chlor- anywhere, don't weld that part.", practice},
		"fire": {"Move what can burn, or cover it, and look behind the metal: heat goes through the panel and smolders where you can't see it.",
			"Take the piece out to bare concrete if it will move; keep an extinguisher in reach.", []string{"SA-252A", "CP"}},
		"indoors": {"Open the door and put a fan at your side, so that the smoke leaves across you and not past your face. Flux-core wire makes more smoke than gas-shielded wire, and a small room keeps it.",
			"Outdoors behind a windbreak is better than a closed garage.", []string{"SA-252C", "SA-HSE", "CP"}},
		"gear": {"Mend or change the gear before you start: a cracked lens, a holed glove, bare skin or a frayed lead finds you with the first bead.",
			"Hood with a sound lens, dry leather gloves, cotton or leather to the wrists and ankles, leather boots.", practice},
	}
})

var strippedAdvices = sync.OnceValue(func() map[string]advice {
	return map[string]advice{
		"galvanized": {"The zinc is off, you say: look again well back from the weld and on the far side, because what is left still smokes white. Chills or fever 4 to 12 hours later mean you breathed it.",
			"Moving air, head out of the plume, proper respirator; if you feel flu-like later, get checked.", []string{"SA-ZNO", "SA-OA"}},
		"cadmium": {"The cadmium is off, you say: if it was ground or burned off in your shop, the dust is still there, and it is worse than the fume of a whole day's welding.",
			"Weld only if a plating shop took it off; otherwise choose another piece.", []string{"MEM"}},
		"lead-paint": {"The lead paint is off, you say: wash up, and keep the dust and those clothes out of the house. Look well back from the weld, for heat travels further than the bead.",
			"Moving air and a proper respirator, even so.", []string{"MEM"}},
		"chrome": {"The chrome is off, you say: there is often nickel under it, and a bright streak means some is left.",
			"Moving air, head out of the plume, proper respirator.", []string{"MEM"}},
		"unknown-coating": {"The coating is off, you say: what it was you don't know, so treat every trace as the bad one. Look well back from the weld and on the far side.",
			"Moving air and a proper respirator; if you feel ill later, get checked and say what you welded.", []string{"CP"}},
	}
})
