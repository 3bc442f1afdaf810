package remedy

import (
	"slices"
	"sync"

	"beadwright/procedures"
)

// Trouble is a danger, or a question of the bench, and what to do about it: the
// first line is the one to read aloud.
type Trouble struct {
	Key   string `json:"key"`
	Grave bool   `json:"grave"` // a danger: it goes before any talk of beads
	Do    []Do   `json:"do"`
}

// Do is one thing to do, in a sentence or two.
type Do struct {
	Text   string   `json:"text"`
	Source []string `json:"source"`
}

// Troubles returns what to do about troubles by their keys, as
// [procedures.Hear] gives them: the gravest first. Where one is a danger the others
// that are none are left out. A key that is not known is left out.
//
// First aid is common first aid, from memory (MEM); most of the rest is common
// practice without a source (CP).
func Troubles(keys []string) []Trouble {
	list := []Trouble{}
	for _, key := range keys {
		t, ok := procedures.FindTrouble(key)
		if do := answers()[key]; ok && len(do) > 0 {
			list = append(list, Trouble{key, t.Grave, do})
		}
	}
	if slices.ContainsFunc(list, func(t Trouble) bool { return t.Grave }) {
		list = slices.DeleteFunc(list, func(t Trouble) bool { return !t.Grave })
	}
	return list
}

func do(text string, source ...string) Do { return Do{text, source} }

// answers are what to do, by the key of a trouble.
var answers = sync.OnceValue(func() map[string][]Do {
	m := map[string][]Do{}
	for _, part := range []map[string][]Do{currents(), bodies(), questions()} {
		for key, list := range part {
			m[key] = list
		}
	}
	return m
})

// charged goes with every danger of current inside a machine.
var charged = do("A machine rebuilt by hand from AC to DC stays charged with the switch off and the plug out: keep off wire, clamp and case until the bleed time is over and a meter reads under 5 V.", "CP")

var watch = do("Watch the place for 60 minutes, and look at the far side of the wall or panel: the older rule says 30, and smoldering takes its time.", "SA-252A", "MEM")

// currents are dangers of fire and current.
func currents() map[string][]Do {
	return map[string][]Do{
		"fire": {
			do("Stop. Trigger off, then breaker off or plug out if you reach it without passing the fire; extinguisher low at its foot, with the way out behind you. Not out in a few seconds: everybody out, door shut, call the fire department (911 or your own number).", "MEM"),
			do("No water while anything is plugged in: water carries current.", "CP"),
			do("Clothes on fire: stop, drop and roll, then cool running water.", "MEM"),
			watch,
			do("What burned stays unplugged until a qualified person has looked at it.", "CP"),
		},
		"gas-smell": {
			do("Stop. No switch, no plug in or out, no flame: everybody out, leave the door open behind you, and call the gas company or the fire department (911 or your own number) from outside.", "MEM"),
			do("Propane and gasoline vapor are heavier than air: they lie along the floor and in pits, and the spark of a switch or a plug lights them.", "MEM"),
			do("A can or a spill that you know of: no arc and no grinder before it is out of the building, wiped up, aired, and the smell gone.", "CP"),
			do("Was it the smell of hot paint or varnish and no gas? Then say so: it smells burnt.", "CP"),
		},
		"charge": {
			do("Stop. Leave the case shut: with the switch off and the plug out it may hold a charge that stops a heart or burns a hand, and no screwdriver, lamp or nail takes it out without a bang.", "MEM", "CP"),
			do("A qualified person bleeds it, through a resistor made for it, and measures across every capacitor before a hand goes in. Never trust a bleeder: measure.", "CP"),
			charged,
			do("What you may do from outside: plug out, wait the bleed time, and put a meter between gun and clamp.", "CP"),
		},
		"shock": {
			do("Stop. Let go, plug out or breaker off, and weld no more with it until somebody has found out why.", "RC-WAC", "RC-SLIDES"),
			do("Somebody still hangs on it: don't touch them. Cut the current first, at plug or breaker, then call 911 or your own number; not breathing: CPR until help comes.", "MEM"),
			do("Felt across the chest or from hand to hand, a burn where it went in, or a heart that stumbles: get looked at today, even if you feel well.", "MEM"),
			do("Why: wet or holed gloves, wet boots or floor, bare metal on gun, clamp or leads, a cord without its ground pin. A qualified person looks at machine and outlet before it runs again.", "RC-WAC", "CP"),
			charged,
		},
		"live-wire": {
			do("Stop. Hands off the wire: machine off and plug out before anybody touches gun, wire or clamp again.", "CP"),
			do("On many cheap machines the wire is live all the while the machine is on, and the trigger starts the feeding alone; its manual says which sort yours is. Lay the gun where the wire touches nothing, and switch off before you cut it.", "CP"),
			do("Is yours one whose wire should be dead without the trigger, or does it feed on by itself? Then trigger or relay sticks: leave it unplugged until a qualified person has looked.", "CP"),
			charged,
		},
		"plug": {
			do("Stop. Breaker off, then plug out; leave that outlet, plug and cord unused until a licensed electrician has looked.", "CP"),
			do("It smokes, glows or burns: breaker off, extinguisher, nobody's hand on it; not out at once: everybody out and call the fire department (911 or your own number).", "MEM"),
			do("Turning the machine down cures nothing: a contact that was hot once is worse the next time, and a bad one may glow inside the wall.", "CP"),
			do("A cord or plug that was hot, soft or brown is scrap, and tape is no repair. Never a bigger breaker.", "CP"),
			watch,
		},
		"machine-smoke": {
			do("Stop. Trigger off, plug out or breaker off, case shut, and don't try it once more: smoke or a smell means that something is burning.", "CP"),
			do("Door open, and breathe none of it. Flames, or more smoke with the plug out: extinguisher; not out at once: everybody out and call the fire department (911 or your own number).", "MEM"),
			watch,
			do("Plug and outlet first: hot, brown or soft there is for a licensed electrician. Else a qualified person looks inside before it's plugged in again.", "CP"),
			do("Was it paint, oil, zinc or a rag by the work? Stop all the same, get out of the smoke, and take it off or away before the next arc.", "CP"),
			charged,
		},
		"capacitor": {
			do("Stop and unplug. Stand back and don't open the case: a capacitor that burst, leaks or bulges is hot, can go again, and those beside it may still be charged.", "CP"),
			do("Door open, don't breathe the vapor, and touch nothing that leaked: off the skin with plenty of water; in the eye, rinse for 15 minutes and to a doctor.", "MEM"),
			do("A qualified person measures, opens it and finds out why: too many volts or too much ripple for it, the wrong way round, or plain age. A new one alone goes the same way.", "CP"),
			charged,
			watch,
		},
		"gfci": {
			do("Stop and unplug. A GFCI trips because current goes where it should not, and that may be through you: it is a shock warning, no plain breaker trip.", "CP"),
			do("Dry gun, leads, plug, floor and yourself, leave the extension cord out, and try it once more. Trips again: leave it unplugged until a qualified person has looked at machine and outlet.", "CP"),
			do("Never go round it, with another outlet or an adapter. Less wire or fewer lamps on the circuit is no cure.", "CP"),
			do("It guards the wall side only: against what gun and clamp give, no GFCI helps. Felt anything? Say: shock.", "MEM"),
		},
		"wet-machine": {
			do("Stop. Don't touch machine or plug with wet hands or on a wet floor: breaker off first, then plug out, and leave it out.", "CP"),
			do("Dry outside is not dry inside: a qualified person looks before it's plugged in again. Never weld in the wet: sweat and water carry current.", "RC-WAC", "RC-SLIDES", "CP"),
			charged,
		},
	}
}

// bodies are dangers to the welder.
func bodies() map[string][]Do {
	return map[string][]Do{
		"person-down": {
			do("Call 911 or your own number now. Current off before you touch them, at plug or breaker; out of the smoke into fresh air, only if you don't go down yourself; not breathing: CPR until help comes.", "MEM"),
			do("Bleeding: press on it hard with a clean cloth and keep pressing.", "MEM"),
			do("Tell the helpers what was welded, and whether there was current, smoke or a solvent.", "MEM"),
		},
		"eyes": {
			do("Stop, and rest the eyes in the dark: a cool wet cloth, contact lenses out, no rubbing, no driving. Pain that isn't gone in a day, or sight that is blurred or has spots: a doctor, at once.", "MEM"),
			do("An arc burns the eye as the sun burns skin: it begins some hours later and feels like sand. Numbing drops are for a doctor to give.", "MEM"),
			do("Before the next arc: hood down first, shade 10 at the least from 60 A up, and nobody near without one.", "SH-133"),
		},
		"eye-grit": {
			do("Stop, and don't rub: rinse the eye with plenty of clean water, lid held open. Still there, stuck, hot or hit hard: cover it, take out nothing, and to a doctor now.", "MEM"),
			do("Glasses with side shields stay on under the hood: slag and grindings fly.", "CP"),
		},
		"hood": {
			do("Stop: no arc with it, not even a tack. A hood that is late or goes light again burns the eye, and you feel it hours later.", "MEM"),
			do("Battery in and fresh, or the cell in the sun for a while; sensors clean and not behind your arm or the part; switched to weld, not grind; sensitivity up, delay longer. Cold makes it slow: warm it indoors.", "CP"),
			do("Try it before an arc: strike a lighter or a grinder's sparks in front of the sensors. It must go dark at once and stay dark.", "CP"),
			do("Still late, flickering or cracked: another hood. A plain one with a fixed shade 10 has nothing that can fail; shade 10 at the least from 60 A up.", "SH-133", "CP"),
			do("Eyes that burn or feel of sand later on? Say: my eyes hurt.", "MEM"),
		},
		"fumes": {
			do("Stop, out into fresh air, and sit down. Short of breath, chest pain, confused, or not better in a few minutes: call 911 or your own number; else get checked today.", "MEM"),
			do("Chills, fever, thirst and aches some hours after welding zinc are metal fume fever: a doctor must hear what you welded.", "SA-ZNO", "SA-OA"),
			do("Brake cleaner or another solvent with chlorine near an arc makes a poison gas: get seen even if you feel better, for it works late.", "MEM"),
			do("No more arc today. Before the next: coating, oil and paint off, door open, a fan from your side, head out of the plume, a respirator.", "SA-HSE", "CP"),
		},
		"burn": {
			do("Stop, plug out, and hold it under cool running water for 10 to 20 minutes, rings and watch off. No ice, no butter, no breaking of blisters.", "MEM"),
			do("A doctor today if it is bigger than your palm, on face, hands, feet or a joint, white, black or numb, or where current went in: that burn is deeper than it looks.", "MEM"),
			do("Cloth that sticks stays on; cover it loosely with something clean.", "MEM"),
			do("Dry gloves without holes, sleeves and collar closed, no cuffs: and pliers for hot metal, that looks no different from cold.", "CP"),
		},
		"hurt": {
			do("Stop, plug out, and see to it first. Bad, or you aren't sure: call 911 or your own number. A burn goes under cool running water for 10 to 20 minutes; press on what bleeds.", "MEM"),
			do("Say more and I can say more: burned my hand; my eyes hurt; I got a shock; I feel sick.", "CP"),
		},
	}
}

// questions are asked of the bench every day.
func questions() map[string][]Do {
	return map[string][]Do{
		"fell-off": {
			do("Take what it held out of use, and everything welded the same way, until each of them is looked at or ground out and welded anew.", "CP"),
			do("Looks told nothing, and they tell nothing of the others: break a coupon of the same kind before you weld it again.", "CP"),
			do("Look at the broken face: flat and shiny with a straight edge, it never fused; torn and gray all over, it was too small or it cracked.", "CP"),
			do("Where it hurts somebody when it lets go, it's a job for a licensed trade.", "CP"),
		},
		"proof": {
			do("Break one: only a broken coupon of the same kind tells. Weld a spare of the same metal, joint and setting for it.", "CP"),
			do("Looks and sound tell what to change, not what a weld bears: a pretty bead can lie on top.", "CP"),
			do("What carries, lifts or holds people, or rolls on a road, is for an engineer and a licensed trade, whatever the coupon did.", "CP"),
		},
		"may-i": {
			do("Say the joint and what it's for, and I'll say what stands against it, and where to begin: 1/8 mild tee flat for a shop cart.", "CP"),
			do("What carries, lifts or holds people, holds pressure or fuel, or rolls on a road is for a licensed trade.", "CP"),
		},
		"lights-dim": {
			do("Read the wall while you weld: lights that stay dim mean that the line sags. Volts at the plug, idle and with the arc on, tell by how much.", "CP"),
			do("A warm or buzzing outlet, a smell, or lights that get brighter when the others dim: stop, breaker off, and call an electrician.", "CP"),
			do("Without the extension cord, nothing else on that circuit, and plug straight into the wall: compare a bead.", "CP"),
			do("A short wink when the arc starts is usual; less at the wall means less in the weld, and it looks like a wrong setting.", "CP"),
		},
		"tripped": {
			do("Which one tripped? The breaker in the panel: switch everything else on that circuit off, and feel plug and cord. Warm, brown or soft there is for a licensed electrician, and never a bigger breaker.", "CP"),
			do("The machine's own cut-out, often with a light on its front: leave it switched on for ten minutes or more so that the fan runs, vents clear, then shorter beads.", "DC-AWS", "CP"),
			do("A GFCI, with a button on the outlet or the plug: unplug, it is a shock warning. Say: gfci tripped.", "CP"),
			do("Which cord and which breaker, and what the machine draws, stands with its circuit. How long the arc may burn, the clock says.", "CP"),
		},
		"hums": {
			do("Machine off and plug out, then look at the way of the current: clamp on bright metal of the piece itself, its lead and lug tight, wire out of the tip and touching the work.", "CP"),
			do("Does the wire feed with the trigger? No: trigger, its plug, or the feeder. Yes, and no spark: clamp, lead, or the loose ends of a polarity change inside the door.", "CP"),
			do("A light on the front: it's too hot; leave it on for ten minutes so that the fan runs.", "CP"),
			do("All good, and it still only hums: case shut, a qualified person. A machine rebuilt by hand keeps its charge: nobody but them goes in.", "CP"),
		},
		"knob": {
			do("Run the wire out for ten seconds at two marks far apart, clamp off the work, and measure both.", "CP"),
			do("Both alike: knob or feeder is at fault, and that is for a qualified person. Machine off and plug out first.", "CP"),
			do("Far apart, and the bead is still the same: the wire slips on its way. Look at roll tension, groove, tip and cable.", "CP"),
		},
		"fan": {
			do("Trigger off and no more arc: without its fan it cooks long before its plate says so. Switch it off, plug out, and let it stand an hour.", "CP"),
			do("From outside: slots free of dust and walls, nothing poked in. Some fans run only while it's hot or while the trigger is pulled; the manual says which.", "CP"),
			do("Stands still with the machine on and warm: a qualified person, before the next bead. A machine rebuilt by hand keeps its charge: nobody but them goes in.", "CP"),
		},
		"dead": {
			do("Case shut, and look from outside in this order: a heat light (leave it on for ten minutes and wait), the breaker, the outlet with a lamp in it, plug, switch, trigger.", "CP"),
			do("A smell, a hum that is new, a warm plug or a breaker that trips again: plug out, and leave it for a qualified person.", "CP"),
			do("The wire runs but nothing arcs? Say: hums but no arc. It arcs but no wire comes? Say: no wire comes out.", "CP"),
		},
		"smoke": {
			do("Stop, and look where it comes from. From machine, plug or cord: plug out now. From the arc: head out of the plume, door open, a fan from your side that clears the smoke and not the arc.", "CP"),
			do("Flux-core wire makes plenty, and welding fume can cause cancer: a respirator for anything longer than a few beads. Sick or dizzy: out, and say: I feel sick.", "SA-HSE"),
			do("More than usual comes from oil, paint, zinc or primer under the arc: grind it bright. Zinc comes off before any arc.", "CP"),
			do("With clean metal: the gun is held too far off, or too many volts for the wire.", "CP"),
		},
	}
}
