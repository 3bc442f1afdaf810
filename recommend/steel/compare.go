package steel

import (
	"fmt"
	"strconv"
)

// nearCE is how far two carbon equivalents may lie apart and still be near:
// common practice, no source. It is one weldability group's width.
const nearCE = 0.05

// Likeness says whether what was learned on one steel may be used on another.
type Likeness struct {
	Alike bool
	Why   string // in words, to show
}

// Compare reports whether two pieces are alike: in scope, in the same practical
// group, and with carbon equivalents that are not known to lie more than 0.05
// apart. Two pieces of unknown steel are never alike: they may be anything.
// Error: [*procedures.InvalidError] for a bad mill sheet.
func Compare(a, b Sample) (Likeness, error) {
	ga, _, err := GroupOf(a)
	if err != nil {
		return Likeness{}, err
	}
	gb, _, err := GroupOf(b)
	if err != nil {
		return Likeness{}, err
	}
	na, nb := nameOf(a.Steel), nameOf(b.Steel)
	switch {
	case ga == Unknown || gb == Unknown:
		return Likeness{Why: fmt.Sprintf("%s and %s: a steel that is not known compares with nothing", na, nb)}, nil
	case ga == Out || gb == Out:
		return Likeness{Why: fmt.Sprintf("%s and %s: not both a job for plain steel wire", na, nb)}, nil
	case ga != gb:
		return Likeness{Why: fmt.Sprintf("%s is group %s and %s group %s", na, ga, nb, gb)}, nil
	}
	lowA, highA, okA := bounds(a)
	lowB, highB, okB := bounds(b)
	if !okA || !okB {
		return Likeness{Alike: true, Why: fmt.Sprintf("%s and %s are both group %s", na, nb, ga)}, nil
	}
	if apart := max(lowA-highB, lowB-highA); apart > nearCE+fine {
		return Likeness{Why: fmt.Sprintf("%s and %s are both group %s, but their carbon equivalents lie at least %s apart", na, nb, ga, two(apart))}, nil
	}
	return Likeness{Alike: true, Why: fmt.Sprintf("%s and %s are both group %s with near carbon equivalents", na, nb, ga)}, nil
}

// bounds returns what is known of the IIW carbon equivalent of a piece.
func bounds(s Sample) (low, high float64, ok bool) {
	if s.Sheet != nil {
		ce, err := s.Sheet.CE(IIW)
		return ce.Value, ce.Value, err == nil
	}
	if s.Steel.CEFormula != string(IIW) || s.Steel.CEHigh == 0 {
		return 0, 0, false
	}
	return s.Steel.CELow, s.Steel.CEHigh, true
}

func two(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }
