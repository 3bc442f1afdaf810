package procedures

import (
	"slices"
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
		{"burn-through", "burn-through, melt-through", "blew a hole", +1, 0, []string{"burn through", "burnthrough", "burned through", "burnt through", "burning through", "melt through", "melt-through", "melted through", "blew a hole", "blew through", "blow through", "blowing holes", "blows holes", "fell through", "hole in it"}},
		{"undercut", "undercut", "groove along the edge", +1, 0, []string{"undercut", "undercutting", "under cut", "groove along the edge", "dug in", "ate the side", "ate the edge"}},
		{"wide-flat", "wide flat bead", "spread out wide and flat", +1, 0, []string{"wide", "wide flat", "too wide", "flat bead", "spread out", "too hot", "hot"}},
		{"cold-bead", "excessive convexity", "tall, ropey, sitting on top", -1, 0, []string{"cold", "too cold", "cold bead", "tall", "humped", "rope", "ropey", "ropy", "convex", "sitting on top", "bird poop", "bird droppings", "pigeon droppings", "booger", "boogers", "bubble gum", "hot glue", "worm on top"}},
		{"lack-of-fusion", "incomplete fusion, cold lap", "stuck on, not melted in", -1, 0, []string{"lack of fusion", "incomplete fusion", "no fusion", "not fused", "cold lap", "stuck not welded", "stuck, not welded", "popped off", "no penetration", "lack of penetration", "poor penetration", "lying on it", "lying on top", "did not stick", "didn't stick"}},
		{"overlap", "overlap", "toe rolled over the plate", -1, 0, []string{"overlap", "overlapping toe", "rolled over", "rolled toe"}},
		{"stubbing", "stubbing", "wire pushes the gun back, machine-gunning", 0, +1, []string{"stubbing", "stubs", "stub", "pushing back", "pushes back", "pushes me back", "pushing me back", "wire pushing", "machine gun", "machine-gunning", "machine gunning", "bucking", "pecking", "stuttering", "banging", "shoving the gun"}},
		{"popping", "popping arc", "pop-pop instead of a steady buzz", 0, +1, []string{"popping", "pop pop", "pop pop pop", "pops"}},
		{"burn-back", "burn-back", "wire burns up to the tip", 0, -1, []string{"burn back", "burnback", "burns back", "burned back", "burnt back", "tip froze", "ball on the tip", "welded to the tip", "wire welded to the tip", "burning up to the tip"}},
		{"long-arc", "long arc", "hissing, big drops falling off the wire", 0, -1, []string{"long arc", "hissing", "hiss", "globs", "globs dropping", "flaring", "big drops"}},
		{"porosity", "porosity", "pinholes", 0, 0, []string{"porosity", "porous", "pinholes", "pin holes", "bugholes", "swiss cheese", "bubbles", "pores", "holes"}},
		{"worm-tracks", "piping porosity, worm tracks", "worm-shaped grooves or tunnels", 0, 0, []string{"worm tracks", "wormtracks", "wormholes", "worm holes", "worms", "gas marks"}},
		{"spatter", "spatter", "balls stuck around the bead", 0, 0, []string{"spatter", "splatter", "spatters", "bbs", "buckshot", "dingleberries", "balls", "sparks everywhere"}},
		{"slag-inclusion", "slag inclusion", "slag trapped in the bead", 0, 0, []string{"slag inclusion", "slag inclusions", "trapped slag", "slag trapped", "black bits", "black bits inside", "trapped flux"}},
		{"crater", "unfilled crater", "dimple or hole at the end", 0, 0, []string{"crater", "end dimple", "dimple", "hole at the end"}},
		{"crack", "crack", "a crack, anywhere", 0, 0, []string{"crack", "cracks", "cracked", "cracking"}},
		{"narrow", "insufficient size, excess travel speed", "skinny, stringy, skipping", 0, 0, []string{"skinny", "stringy", "narrow", "skipping", "too fast", "too thin"}},
		{"too-slow", "oversize, travel too slow", "piled up, crawled", 0, 0, []string{"too slow", "piled up", "too big", "went too slow"}},
		{"bird-nest", "bird-nesting", "wire bunched at the rollers", 0, 0, []string{"bird nest", "birdnest", "birds nest", "bird's nest", "rats nest", "rat's nest", "bunched at the rollers"}},
		{"bad-feed", "irregular feed", "wire stops, slips or jerks", 0, 0, []string{"bad feed", "feeding trouble", "jerky", "wire slips", "stopped feeding", "stops feeding"}},
		{"bad-start", "poor start", "hard to start", 0, 0, []string{"bad start", "poor start", "bad starts", "hard to start", "won't start", "wont start"}},
		{"arc-blow", "arc blow", "arc wanders off", 0, 0, []string{"arc blow", "arc wanders", "wandering arc"}},
		{"distortion", "distortion", "pulled out of square", 0, 0, []string{"distortion", "warped", "warp", "warping", "pulled out of square", "out of square", "bowed", "potato chipped"}},
		{"duty-trip", "duty-cycle cut-out", "the machine shut itself off", 0, 0, []string{"duty trip", "overheated", "overheat light", "shut off", "shut itself off", "cut out", "thermal trip"}},
		{"breaker-trip", "supply breaker trip", "the breaker tripped", 0, 0, []string{"breaker trip", "breaker tripped", "tripped the breaker", "tripped breaker"}},
	}
})

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
