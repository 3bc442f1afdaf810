package procedures

import (
	"slices"
	"strings"
	"sync"
)

// Symptom is something a welder sees, hears or feels in a bead. Heat and Feed
// are the two directions a symptom can point in on a constant-voltage machine:
// Heat +1 too hot, -1 too cold; Feed +1 too much wire for the volts, -1 too
// little. Zero says nothing of that direction. (Common practice, no source.)
type Symptom struct {
	Key   string   // stored and typed: "burn-through"
	Term  string   // trade term
	Plain string   // what it looks, sounds or feels like
	Heat  int      // -1, 0, +1
	Feed  int      // -1, 0, +1
	Words []string // what people call it
}

// Symptoms returns every symptom known, in the order shown to people.
func Symptoms() []Symptom { return slices.Clone(symptoms()) }

var symptoms = sync.OnceValue(func() []Symptom {
	return []Symptom{
		{"burn-through", "burn-through, melt-through", "blew a hole", +1, 0, called(`burn through, burnthrough, blowthrough, blowthru, blow thru, blew thru, meltthrough, burned through, burnt through, burning through, burned right through,
			melt through, melted through, melting through, blew a hole, blew holes, blew through, blow through, blowing through, blowing holes, blows holes, blown out, fell through, dropped through, dropping out,
			hole in it, hole in the metal, hole in the sheet, eats through, ate through, melted away, melting away, drips out the back`)},
		{"undercut", "undercut", "groove along the edge", +1, 0, called(`undercut, undercutting, under cut, groove along the edge, groove along the side, groove beside the bead, groove along the weld, groove at the toe, ditch along the edge, notch along the edge,
			trench along the edge, gutter along the edge, dug in, ate the side, ate the edge, eats the edge, eating the edge, fingernail catches, catches my fingernail`)},
		{"wide-flat", "wide flat bead", "spread out wide and flat", +1, 0, called(`wide, wide flat, too wide, flat bead, too flat, spread out, spreads out, too hot, hot, pancake, cow pat, soupy, runny puddle, puddle too big`)},
		{"cold-bead", "excessive convexity, cold lap", "tall, ropey, sitting on top", -1, 0, called(`cold, too cold, cold bead, tall, too tall, humped, humpy, hump, high crown, rope, ropey, ropy, roped, convex, rounded up, sitting on top, sits on top, sits up, sitting proud,
			bird poop, bird poo, bird crap, bird droppings, bird turd, bird shit, pigeon poop, pigeon droppings, chicken poop, seagull poop, turd, turds, booger, boogers, bubble gum, chewing gum, hot glue, glue gun, toothpaste, caulk, caterpillar, worm, worm on top, looks like a worm,
			lumpy, lumps, lump, lumpy and tall, blobby, blobs, globby bead, beads up, balls up on top, won't flatten, does not flatten, doesn't flatten, won't wet out, does not wet out, doesn't wet out, does not flow out, glob on top, sits on the surface, on the surface, too high, high bead, too much buildup, buildup, built up too high, mashed potatoes, cottage cheese, cauliflower, bee hive, chewed gum, bumpy, snail trail, slug`)},
		{"lack-of-fusion", "incomplete fusion, cold lap", "stuck on, not melted in", -1, 0, called(`lack of fusion, incomplete fusion, no fusion, not fused, did not fuse, cold lap, stuck not welded, popped off, pops off, popped right off, broke off, broke right off, broke clean, weld came off, bead came off, came right off, snapped off, weld fell off, bead fell off, bead peels off, bead peeled off, peeled clean, knocked it off, knocked off,
			no penetration, lack of penetration, poor penetration, little penetration, not penetrating, does not penetrate, doesn't penetrate, lying on it, lying on top, laying on top, lays on top, did not stick, didn't stick, does not stick, doesn't stick, won't stick, only stuck to one side, stuck to one side,
			not melted in, not melting in, does not melt in, doesn't melt in, did not bite, didn't bite, does not bite in, doesn't bite, no bite, line at the root, root line, line of shadow, can see the straight edge, straight edge in the break, nothing on the back, cold on the back, snaps off, snaps, snapped, gap along the edges, doesn't go deep, does not go deep, not deep`)},
		{"overlap", "overlap", "toe rolled over the plate", -1, 0, called(`overlap, overlapped, overlapping toe, rolled over, rolls over, rolled toe, rolled edge, toe rolled, edge rolled over, lip along the edge, hangs over the edge, overhanging toe, can slide a nail under`)},
		{"stubbing", "stubbing", "wire pushes the gun back, machine-gunning", 0, +1, called(`stubbing, stubs, stub, stubbed, stubbing out, pushing back, pushes back, pushes me back, pushing me back, pushed me back, pushes my hand, pushes the gun, pushing the gun, pushes the gun back, pushing the gun away, kicks back, kicking back, kicks the gun, wire pushing, wire pushes,
			machine gun, machine gunning, like a machine gun, rat a tat, bucking, bucks, pecking, stuttering, stutters, banging, jackhammer, shoving the gun, shoves the gun, gun jumps, jumps in my hand, wire hits the bottom, pokes the plate, poking the plate, wire stabs, stabbing, wire runs into the work, wire digs in, too much wire, wire too fast, wire glows red, bounces off the metal, wire bounces, bouncing off, wire pokes`)},
		{"popping", "popping arc", "pop-pop instead of a steady buzz", 0, +1, called(`popping, pop pop, pop pop pop, pops, popcorn, cracking sound, crackling, crackles, snap crackle`)},
		{"burn-back", "burn-back", "wire burns up to the tip", 0, -1, called(`burn back, burnback, burns back, burned back, burnt back, burning back, tip froze, frozen tip, ball on the tip, ball at the tip, welded to the tip, wire welded to the tip, wire welds to the tip, welds itself to the tip, welded itself to the tip, wire stuck in the tip, wire stuck to the tip, sticks to the tip, sticking to the tip, stuck in the tip,
			fused to the tip, fuses to the tip, melted to the tip, melts to the tip, melts into the tip, melts the tip, melting the tip, burns up the tip, burnt tip, burned tip, burning tips, eats tips, going through tips, burning up to the tip, burns up to the tip, burns up into the tip, climbs up to the tip, tip welded shut, tip welds shut, tip clogged, tip plugged, welded to the nozzle, burns off before it hits`)},
		{"long-arc", "long arc", "hissing, big drops falling off the wire", 0, -1, called(`long arc, hissing, hisses, hiss, hissing and popping, popping and hissing, globs, globs dropping, glob, globular, flaring, flares, big drops, drops falling, drops falling off, dripping off the wire, drips off the wire, drops off the wire, big ball on the end of the wire, ball on the end, ball on the end of the wire, big balls on the wire, loud whoosh, whooshing, roaring, not enough wire, wire too slow, arc too long, short of wire, wire balls up, balls up at the end of the wire, balling up at the end, wire melts before it gets there, melts before it reaches, wire melts before it gets to the plate`)},
		{"porosity", "porosity", "pinholes", 0, 0, called(`porosity, porous, pinholes, pin holes, pinhole, little holes, tiny holes, small holes, bugholes, bug holes, swiss cheese, sponge, spongy, aero bar, honeycomb, bubbles, bubbly, bubbling, foamy, foam, pores, holes, holes in the bead, holes in the weld, pitted, pits, pockmarks, gas holes, crumpet, pumice, pock marks, pock marked`)},
		{"worm-tracks", "piping porosity, worm tracks", "worm-shaped grooves or tunnels", 0, 0, called(`worm tracks, worm track, wormtracks, wormholes, worm holes, wormhole, worm hole, worms, worm trails, worm eaten, termites, woodworm, tunnels, tunnel, gas marks, chicken tracks, hollow bead, grooves in the face, squiggles in the face`)},
		{"spatter", "spatter", "balls stuck around the bead", 0, 0, called(`spatter, splatter, spatters, splatters, spattering, bbs, bb's, bb, buckshot, dingleberries, dingleberry, berries, balls, balls everywhere, balls stuck, little balls, sparks everywhere, spitting, spits, spits everywhere, sprays everywhere, fireworks, sparkler, warts, zits, pimples, metal all over`)},
		{"slag-inclusion", "slag inclusion", "slag trapped in the bead", 0, 0, called(`slag inclusion, slag inclusions, trapped slag, slag trapped, slag inside, slag in the weld, slag in the bead, slag in the break, black bits, black bits inside, black spots inside, black stuff inside, black specks, glass inside, glass in the weld, glassy bits, trapped flux, flux inside, flux trapped, glass in the break, black crud, crud in the weld, black stuff in the weld`)},
		{"stuck-slag", "slag that will not come off", "slag glued in the toes or the face", 0, 0, called(`slag stuck, stuck slag, slag glued, slag won't come off, slag will not come off, slag hard to chip, slag hard to remove, can't chip the slag, cannot chip the slag, can't get the slag off, slag welded on, crust won't come off, crusty, crust stuck on, crust on the weld`)},
		{"crater", "unfilled crater", "dimple or hole at the end", 0, 0, called(`crater, craters, crater hole, end dimple, dimple, dimple at the end, dent at the end, dip at the end, pit at the end, crater at the end, hole at the end, hole at the stop, hole where i stop, hole when i stop, sinks at the end, hollow at the end, volcano at the end`)},
		{"crack", "crack", "a crack, anywhere", 0, 0, called(`crack, cracks, cracked, cracking, crack down the middle, hairline, split down the middle, splits down the middle, split open`)},
		{"narrow", "insufficient size, excess travel speed", "skinny, stringy, skipping", 0, 0, called(`skinny, stringy, narrow, thin bead, skipping, skips, too fast, went too fast, moved too fast, too thin, too small, thin line, spaghetti bead, gaps in the bead, gaps in the weld, missed spots, stone on a pond, stone skipping, v shaped ripples, pointed ripples`)},
		{"too-slow", "oversize, travel too slow", "piled up, crawled", 0, 0, called(`too slow, piled up, piles up, piling up, heaped up, too big, too fat, bead too big, oversize, oversized, went too slow, moved too slow, crawled`)},
		{"bird-nest", "bird-nesting", "wire bunched at the rollers", 0, 0, called(`bird nest, bird nesting, birdnest, birds nest, bird's nest, birdnesting, rats nest, rat's nest, rat nest, nest of wire, nest at the rollers, bunched at the rollers, bunched up, bunches up, bunching at the rollers, wire piled up in the machine, wire tangled, tangled wire, tangle at the rollers, spaghetti in the machine, wire wads up, wire curls up, wire curled up, wire coils up, curls up inside, curled up inside, slinky, accordion, crumpled, wire crumpled, wire balled up in the machine, wire crumples`)},
		{"bad-feed", "irregular feed", "wire stops, slips or jerks", 0, 0, called(`bad feed, irregular feed, feeding trouble, feeds rough, not feeding, won't feed, doesn't feed, does not feed, no wire comes out, wire doesn't come out, jerky, jerks, jerky wire, surges, surging, wire slips, wire slipping, rollers slip, rollers slipping, rollers spin, roll slips, stopped feeding, stops feeding, wire stops, wire stopped, quit feeding, quits feeding, wire hesitates, wire drags, wire hangs up, wire snags, comes out in spurts, starts and stops, feeds in fits`)},
		{"bad-start", "poor start", "hard to start", 0, 0, called(`bad start, poor start, bad starts, poor starts, hard to start, won't start, wont start, doesn't start, does not start, won't light, won't strike, can't strike an arc, no arc, won't arc, doesn't restart, won't restart, hard to restart, cold start, blob at the start, explodes at the start, blasts off at the start`)},
		{"unsteady-arc", "unstable arc", "the arc sputters, cuts in and out", 0, 0, called(`unsteady arc, unstable arc, erratic arc, arc sputters, sputters, sputtering, sputter, arc stutters, arc cuts out, cuts in and out, arc flickers, flickering, arc goes out, arc keeps going out, arc dies, arc won't stay lit, won't hold an arc, can't hold an arc, arc comes and goes, arc surges, weak arc, arc all over the place, all over the place`)},
		{"arc-blow", "arc blow", "arc wanders off", 0, 0, called(`arc blow, arc wanders, wandering arc, arc wanders off, arc bends, arc pulls to one side, arc goes sideways, arc drifts, arc blows sideways, arc jumps around`)},
		{"hot-clamp", "poor work connection", "the clamp or a lead gets hot", 0, 0, called(`hot clamp, clamp gets hot, clamp is hot, ground gets hot, ground clamp hot, ground clamp gets hot, earth clamp hot, clamp sparks, clamp arcs, arcs at the clamp, sparks at the clamp, clamp welded itself, bad ground, poor ground, bad earth, loose ground, loose clamp, cable gets hot, lead gets hot, cable is hot, lug gets hot, gun gets hot, gun is hot, gun too hot`)},
		{"drift", "drift", "same settings, worse welds than before", 0, 0, called(`drift, drifted, used to work, worked yesterday, worked last week, worked fine before, was fine before, was fine an hour ago, getting worse, gets worse, same settings worse, same numbers worse, same settings different`)},
		{"distortion", "distortion", "pulled out of square", 0, 0, called(`distortion, distorted, warped, warp, warping, warps, bent the plate, plate bowed, pulled out of square, out of square, not square anymore, pulled over, pulled to one side, bowed, bows, buckled, twisted, potato chip, potato chipped, curled up, oil canned, bends after welding, bent after welding, pulled sideways, pulls sideways, moved when it cooled, pulled the piece`)},
		{"duty-trip", "duty-cycle cut-out", "the machine shut itself off", 0, 0, called(`duty trip, duty cycle, overheated, overheats, overheating, overheat light, thermal light, yellow light, warning light came on, shut off, shuts off, shuts itself off, shut itself off, shut down, shuts down, turns itself off, cut out, cuts out, kicked out, quit mid bead, quits mid bead, quit on me, machine quits, taking a break, thermal trip, thermal cut out, hot and shut off, hot and quit, hot and stopped, hot and cut out, machine got hot, machine gets hot, machine is hot, machine runs hot, welder got hot, too hot and shut off`)},
		{"breaker-trip", "supply breaker trip", "the breaker tripped", 0, 0, called(`breaker trip, breaker trips, breaker tripped, tripped the breaker, trips the breaker, tripping the breaker, tripped breaker, breaker keeps tripping, pops the breaker, popped the breaker, blows the breaker, blew the breaker, blew a fuse, blows fuses, blows the fuse, lights went out, kills the power, kicks the breaker, kicked the breaker, throws the breaker`)},
		{"shock", "electric shock", "a tingle or a shock", 0, 0, called(`shock, shocked, shocks me, shocked me, got shocked, get shocked, electric shock, tingle, tingles, tingling, zapped, zaps me, zapped me`)},
	}
})

// called parts the words of a symptom, which stand between commas.
func called(words string) []string {
	list := strings.Split(words, ",")
	for i, w := range list {
		list[i] = strings.TrimSpace(w)
	}
	return list
}

// FindSymptom returns the symptom with that key.
func FindSymptom(key string) (Symptom, bool) {
	for _, s := range symptoms() {
		if s.Key == key {
			return s, true
		}
	}
	return Symptom{}, false
}

// SymptomKeys lists the keys of all symptoms.
func SymptomKeys() []string {
	all := symptoms()
	keys := make([]string, len(all))
	for i, s := range all {
		keys[i] = s.Key
	}
	return keys
}

// Direction adds the heat and feed directions of the symptoms reported, each
// clipped to -1, 0, +1.
func Direction(keys []string) (heat, feed int) {
	for _, k := range keys {
		s, _ := FindSymptom(k)
		heat += s.Heat
		feed += s.Feed
	}
	return clip1(heat), clip1(feed)
}

func clip1(n int) int { return max(-1, min(1, n)) }
