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

// CoolingTime returns the time from 800 to 500 degC, in s: the longer of
// [CoolingTimes]. Errors as there.
func CoolingTime(c Cooling) (arc.Value, error) {
	thick, thin, err := CoolingTimes(c)
	if thin.Value > thick.Value {
		return thin, err
	}
	return thick, err
}

// CoolingTimes returns the time from 800 to 500 degC, in s, by the thick-plate and by
// the thin-plate form. Unalloyed steel only. Error: [*procedures.InvalidError].
// Source: EN 1011-2 Annex D, from memory.
func CoolingTimes(c Cooling) (thick, thin arc.Value, err error) {
	for _, q := range []struct {
		name         string
		v, low, high float64
		unit         string
	}{
		{"preheat", c.Preheat, -20, 350, "degC"}, {"heat input", float64(c.HeatInput), 0.05, 10, "kJ/mm"},
		{"thickness", float64(c.Thickness), 0.5, 150, "mm"}, {"F2", c.ThinShape, 0.3, 1, ""}, {"F3", c.ThickShape, 0.3, 1, ""},
	} {
		if err := arc.Within(q.name, q.v, q.low, q.high, q.unit); err != nil {
			return thick, thin, err
		}
	}
	t0, q, d := c.Preheat, float64(c.HeatInput), float64(c.Thickness)
	seconds := func(t float64) arc.Value {
		return arc.Value{Value: t, Low: t, High: t, Unit: "s", Basis: data.Memory, Source: fromMemory, Note: "EN 1011-2 Annex D from memory, unalloyed steel"}
	}
	thick = seconds((6700 - 5*t0) * q * (1/(500-t0) - 1/(800-t0)) * c.ThickShape)
	thin = seconds((4300 - 4.3*t0) * 1e5 * math.Pow(q/d, 2) * (1/math.Pow(500-t0, 2) - 1/math.Pow(800-t0, 2)) * c.ThinShape)
	return thick, thin, nil
}

// Bead is a kind of bead by the way its heat runs off. The thin-plate factor of a tee
// goes with heat input and thickness, and is a range here.
type Bead struct {
	Key, Name string
	Thick     float64    // F3
	Thin      [2]float64 // F2, least and most
}

// beads and their factors: EN 1011-2 Annex D, from memory.
var beads = []Bead{
	{"plate", "a bead on plate", 1, [2]float64{1, 1}},
	{"butt", "a pass in a groove, butt joint", 0.9, [2]float64{0.9, 0.9}},
	{"corner", "one fillet at a corner joint", 0.67, [2]float64{0.9, 0.9}},
	{"tee", "one fillet of a tee joint", 0.67, [2]float64{0.45, 0.67}},
}

// FindBead returns a kind of bead by its key: plate, butt, corner, tee.
// Error: [*procedures.InvalidError].
func FindBead(key string) (Bead, error) {
	for _, b := range beads {
		if b.Key == key {
			return b, nil
		}
	}
	return Bead{}, procedures.Invalid("bead", key, "no kind of bead with a factor here", "accepted: plate, butt, corner, tee")
}

// CoolingTime is [CoolingTime] of a bead; the range is that of its factor, with the
// middle of it as the value. The factors of c do not count.
func (b Bead) CoolingTime(c Cooling) (arc.Value, error) {
	times := make([]float64, 3)
	var v arc.Value
	for i, f := range []float64{b.Thin[0], (b.Thin[0] + b.Thin[1]) / 2, b.Thin[1]} {
		c.ThinShape, c.ThickShape = f, b.Thick
		var err error
		if v, err = CoolingTime(c); err != nil {
			return arc.Value{}, err
		}
		times[i] = v.Value
	}
	v.Low, v.Value, v.High = times[0], times[1], times[2]
	return v, nil
}
