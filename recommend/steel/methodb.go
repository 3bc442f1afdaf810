package steel

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// HeatFlow is what EN 1011-2 method B asks about a joint. It holds for yield
// strengths up to 1000 MPa.
type HeatFlow struct {
	CET       float64       // carbon equivalent CET, 0.2 to 0.5 %
	Thickness procedures.MM // of the plate, 10 to 90
	Hydrogen  float64       // diffusible, 1 to 20 ml/100 g
	HeatInput arc.KJPerMM   // in the EN sense, with k: 0.5 to 4.0
}

var fromMemory = []string{"MEM"}

// inside refuses everything outside the limits of the method. Most home work lies
// outside: below 10 mm, or below 0.5 kJ/mm.
func (h HeatFlow) inside() error {
	for _, q := range []struct {
		name     string
		v        float64
		low, top float64
		unit     string
	}{
		{"CET", h.CET, 0.2, 0.5, "%"},
		{"thickness for method B", float64(h.Thickness), 10, 90, "mm"},
		{"hydrogen", h.Hydrogen, 1, 20, "ml/100 g"},
		{"heat input for method B", float64(h.HeatInput), 0.5, 4, "kJ/mm"},
	} {
		if math.IsNaN(q.v) {
			return arc.Within(q.name, q.v, q.low, q.top, q.unit)
		}
		if q.v < q.low || q.v > q.top {
			return &arc.RangeError{Quantity: q.name, Read: q.v, Low: q.low, High: q.top, Unit: q.unit, Source: fromMemory}
		}
	}
	return nil
}

// MethodB returns the preheat of EN 1011-2 method B, in degC. A value below the
// air temperature asks for none. Range: see [HeatFlow]; outside it [*arc.RangeError].
// Source: EN 1011-2 Annex C.3 from memory; no printed worked example was found.
func MethodB(h HeatFlow) (arc.Value, error) {
	if err := h.inside(); err != nil {
		return arc.Value{}, err
	}
	q := float64(h.HeatInput)
	t := 697*h.CET + 160*math.Tanh(float64(h.Thickness)/35) + 62*math.Pow(h.Hydrogen, 0.35) + (53*h.CET-32)*q - 328
	return arc.Value{Value: t, Low: t, High: t, Unit: "degC", Basis: data.Memory, Source: fromMemory,
		Note: "EN 1011-2 method B from memory; at or below air temperature it asks for none"}, nil
}

// Parts are the four shares of method B, in degC. They add up to [MethodB].
type Parts struct{ CET, Thickness, Hydrogen, HeatInput float64 }

// MethodBParts returns what composition, thickness, hydrogen and heat input each
// add to the preheat of method B. Range and source as for [MethodB], C.3 to C.6.
func MethodBParts(h HeatFlow) (Parts, error) {
	if err := h.inside(); err != nil {
		return Parts{}, err
	}
	q := float64(h.HeatInput)
	return Parts{
		CET:       750*h.CET - 150,
		Thickness: 160*math.Tanh(float64(h.Thickness)/35) - 110,
		Hydrogen:  62*math.Pow(h.Hydrogen, 0.35) - 100,
		HeatInput: (53*h.CET-32)*q - 53*h.CET + 32,
	}, nil
}

// MethodBCET returns the CET that method B takes: the plate's, unless the weld
// metal's is not at least 0.03 below it; then the weld metal's plus 0.03.
// Range: 0.01 to 1 %. Source: EN 1011-2, from memory.
func MethodBCET(plate, weld float64) (float64, error) {
	if err := arc.Within("CET of the plate", plate, 0.01, 1, "%"); err != nil {
		return 0, err
	}
	if err := arc.Within("CET of the weld metal", weld, 0.01, 1, "%"); err != nil {
		return 0, err
	}
	return max(plate, weld+0.03), nil
}
