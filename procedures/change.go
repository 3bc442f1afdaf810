package procedures

import (
	"strings"
	"unicode"
)

// Words of a change that say which side of the machine it touched. Common
// practice, no source.
var (
	besideFeeder = []string{"tip", "nozzle", "clamp", "ground", "lead", "cable", "lug", "plug", "cord", "outlet", "hood"}
	feederParts  = []string{"liner", "roll", "roller", "drive", "feed", "feeder", "motor", "tension", "spring", "gun", "torch", "trigger", "board", "pot", "potentiometer", "speed", "knob", "dial", "wheel", "spool",
		"transformer", "rectifier", "diode", "bridge", "capacitor", "cap", "choke", "inductor", "polarity", "tap", "switch", "supply", "everything", "all"}
)

// TouchesFeeder reports whether a change, in words, may have altered how fast the
// wire runs at a mark of the knob. A contact tip, a clamp or a lead alone does not;
// whatever is not known to leave it alone may.
func TouchesFeeder(what string) bool {
	return touches(what, feederParts) || !touches(what, besideFeeder)
}

// TouchesTip reports whether a change, in words, put in a new contact tip.
func TouchesTip(what string) bool { return touches(what, []string{"tip"}) }

// rectifying are the parts that make DC of AC; behind them stands what holds a charge.
var rectifying = []string{"rectifier", "rectifyer", "bridge", "diode", "capacitor", "capaciter", "capacitator", "cap", "electrolytic", "bleeder"}

// Rebuilds reports whether words of a change or a note sound like a machine that is
// rebuilt from AC to DC, slips of the keyboard forgiven in long words: a part that
// makes DC, or AC and DC in one breath. It leans to yes, since a caution too many
// costs a sentence. The words are common practice, no source.
func Rebuilds(text string) bool {
	said := map[string]bool{}
	for _, w := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
		w = strings.TrimSuffix(w, "s")
		said[w] = true
		for _, part := range rectifying {
			if w == part || len(part) >= 6 && len(w) >= 6 && Distance(w, part) <= len(part)/6 && w != "fridge" {
				return true
			}
		}
		for _, turned := range []string{"conver", "rebuil", "rectif"} {
			if strings.HasPrefix(w, turned) {
				said["turned"] = true
			}
		}
	}
	dc := said["dc"] || said["dcen"] || said["dcep"]
	return dc && (said["ac"] || said["turned"] || said["now"] || said["made"])
}

// touches reports whether one of the parts is named, as one or as several.
func touches(what string, parts []string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(what), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if known(w, parts) || known(strings.TrimSuffix(w, "s"), parts) {
			return true
		}
	}
	return false
}
