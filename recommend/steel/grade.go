package steel

import (
	"strings"
	"sync"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// byName maps every key, name and alias to its grade.
var byName = sync.OnceValue(func() map[string]data.Steel {
	m := map[string]data.Steel{}
	for _, s := range data.Steels() {
		for _, name := range append([]string{s.Key, s.Name}, s.Aliases...) {
			m[plain(name)] = s
		}
	}
	return m
})

// Find returns the grade of a name as people say or standards write it: a36,
// "ASTM A36", "mild steel", "angle iron", S275JR. Case, extra space and hyphens
// do not matter. Error: [*procedures.InvalidError].
func Find(name string) (data.Steel, error) {
	if s, ok := byName()[plain(name)]; ok {
		return s, nil
	}
	return data.Steel{}, procedures.Invalid("steel", name, "not a steel this notebook knows",
		"accepted: mild, A36, A500, A513, 1018, 1020, A572, cold rolled, S235JR and the like; or unknown")
}

// split is a standard's letter kept apart from its number: A-500, S 275.
var split = procedures.Pattern(`\b([as])[ -]+(\d)`)

func plain(s string) string {
	s = split().ReplaceAllString(strings.ToLower(s), "$1$2")
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "-", " ")), " ")
}

// Group is a practical weldability group.
type Group string

const (
	I       Group = "I"       // readily weldable
	II      Group = "II"      // weldable with dry practice
	III     Group = "III"     // preheat and slow cooling
	Out     Group = "OUT"     // not a job for plain steel wire
	Unknown Group = "unknown" // nothing to go by
)

// GroupByCE returns the group of an IIW carbon equivalent, 0 to 2 %: I through
// 0.40, II through 0.45, III above. The Value
// carries the bounds of the group, and its Note what the group means.
// Source: PMPA and common practice; see the table for each bound.
func GroupByCE(ceIIW float64) (Group, arc.Value, error) {
	if err := arc.Within("carbon equivalent", ceIIW, 0, 2, "%"); err != nil {
		return Unknown, arc.Value{}, err
	}
	for _, r := range data.WeldabilityGroups() {
		if r.CEOver != nil && ceIIW >= *r.CEOver-fine && (r.CEThrough == 0 || ceIIW <= r.CEThrough+fine) {
			high := r.CEThrough
			if high == 0 {
				high = 2
			}
			return Group(r.Group), arc.Value{Value: ceIIW, Low: *r.CEOver, High: high, Unit: "%", Basis: r.Basis, Source: r.Source, Note: r.Meaning}, nil
		}
	}
	return Unknown, arc.Value{}, &arc.RangeError{Quantity: "carbon equivalent", Read: ceIIW, Low: 0, High: 2, Unit: "%"}
}

// fine is the last digit of a sum of decimals: 0.40 belongs to the band that ends there.
const fine = 1e-9

// Sample is a piece of steel: its grade, and its mill sheet where one is at hand.
type Sample struct {
	Steel data.Steel
	Sheet *Composition // nil: none
}

// GroupOf returns the practical group of a piece and why. A mill sheet decides
// where there is one; without it the grade's own practical group stands, which is
// not worked out from the printed maxima: those overstate the risk. A steel that
// is out of scope stays out whatever its sheet says.
// Error: [*procedures.InvalidError] for a bad mill sheet.
func GroupOf(s Sample) (Group, string, error) {
	own := Group(s.Steel.Group)
	if own == "" {
		own = Unknown
	}
	if own == Out || s.Sheet == nil {
		return own, "practical group of " + nameOf(s.Steel), nil
	}
	ce, err := s.Sheet.CE(IIW)
	if err != nil {
		return Unknown, "", err
	}
	g, _, err := GroupByCE(ce.Value)
	if err != nil {
		return Unknown, "", err
	}
	return g, "carbon equivalent (IIW) " + two(ce.Value) + " by the mill sheet", nil
}

func nameOf(s data.Steel) string {
	if s.Name == "" {
		return "a steel that was not said"
	}
	return s.Name
}
