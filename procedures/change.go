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

// touches reports whether one of the parts is named, as one or as several.
func touches(what string, parts []string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(what), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if known(w, parts) || known(strings.TrimSuffix(w, "s"), parts) {
			return true
		}
	}
	return false
}
