package steel

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// CombinedThickness returns the combined thickness of EN 1011-2 method A: the
// plates that carry heat away, the through plate of a tee counted twice.
// Range: 0.1 to 300 mm each. Source: EN 1011-2, from memory; the standard
// averages over 75 mm, so this holds for plates that wide and of one thickness.
func CombinedThickness(j procedures.Joint, through, other procedures.MM) (procedures.MM, error) {
	for _, t := range []procedures.MM{through, other} {
		if err := arc.Within("thickness", float64(t), 0.1, 300, "mm"); err != nil {
			return 0, err
		}
	}
	switch j {
	case procedures.Butt:
		return through + other, nil
	case procedures.Tee:
		return 2*through + other, nil
	}
	return 0, procedures.Invalid("joint", string(j), "no rule for its combined thickness here", "accepted: butt, tee")
}

// Cooling is what the cooling time of EN 1011-2 Annex D depends on.
type Cooling struct {
	Preheat    float64       // degC, -20 to 350
	HeatInput  arc.KJPerMM   // with k, 0.05 to 10
	Thickness  procedures.MM // 0.5 to 150
	ThinShape  float64       // factor F2 of the weld's shape, 0.3 to 1; 1 for a bead on plate
	ThickShape float64       // factor F3, 0.3 to 1; 1 for a bead on plate
}

// CoolingTime returns the time from 800 to 500 degC, in s: the longer of the thick-
// plate and the thin-plate form. Unalloyed steel only.
// Source: EN 1011-2 Annex D, from memory.
func CoolingTime(c Cooling) (arc.Value, error) {
	for _, q := range []struct {
		name         string
		v, low, high float64
		unit         string
	}{
		{"preheat", c.Preheat, -20, 350, "degC"}, {"heat input", float64(c.HeatInput), 0.05, 10, "kJ/mm"},
		{"thickness", float64(c.Thickness), 0.5, 150, "mm"}, {"F2", c.ThinShape, 0.3, 1, ""}, {"F3", c.ThickShape, 0.3, 1, ""},
	} {
		if err := arc.Within(q.name, q.v, q.low, q.high, q.unit); err != nil {
			return arc.Value{}, err
		}
	}
	t0, q, d := c.Preheat, float64(c.HeatInput), float64(c.Thickness)
	thick := (6700 - 5*t0) * q * (1/(500-t0) - 1/(800-t0)) * c.ThickShape
	thin := (4300 - 4.3*t0) * 1e5 * math.Pow(q/d, 2) * (1/math.Pow(500-t0, 2) - 1/math.Pow(800-t0, 2)) * c.ThinShape
	t := max(thick, thin)
	return arc.Value{Value: t, Low: t, High: t, Unit: "s", Basis: data.Memory, Source: fromMemory, Note: "EN 1011-2 Annex D from memory, unalloyed steel"}, nil
}
