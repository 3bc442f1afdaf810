package joint

import (
	"fmt"

	"beadwright/procedures"
)

// Thicknesses compares the two parts of a joint.
type Thicknesses struct {
	Thinner procedures.MM // limits the heat: it burns through first
	Thicker procedures.MM // limits the fusion: it stays cold longest
	Ratio   float64       // thicker over thinner, 1 or more
	Caution string        // what to say; "" where the parts are alike
}

// Ratios from which the parts are told apart. Common practice, no source.
const (
	unlike     = 1.5
	veryUnlike = 3
)

// CompareThickness returns which part limits what. Range: 0.1 to 300 mm.
// Ratios of 1.5 and 3 call for words: common practice, no source.
func CompareThickness(a, b procedures.MM) (Thicknesses, error) {
	if err := first(checkThickness("thickness", a), checkThickness("other thickness", b)); err != nil {
		return Thicknesses{}, err
	}
	t := Thicknesses{Thinner: min(a, b), Thicker: max(a, b)}
	t.Ratio = float64(t.Thicker / t.Thinner)
	switch {
	case t.Ratio >= veryUnlike:
		t.Caution = fmt.Sprintf("one part is %.1f times as thick as the other: no setting suits both; hold the arc on the thick part, warm it first, and break a coupon of the same pair", t.Ratio)
	case t.Ratio >= unlike:
		t.Caution = fmt.Sprintf("one part is %.1f times as thick as the other: set for the thin part, hold the arc on the thick one and wash over to the thin", t.Ratio)
	}
	return t, nil
}
