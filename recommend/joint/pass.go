package joint

import (
	"math"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Passes returns how many passes fill a cross-section when each leaves bead:
// total over bead, rounded up. Range: total 0.01 to 1e5 mm2, bead 0.1 to 1e5 mm2.
// Derived here. More than 1000 passes are refused.
func Passes(total, bead arc.MM2) (procedures.Count, error) {
	if err := first(arc.Within("area to fill", float64(total), 0.01, 1e5, "mm2"), arc.Within("bead area", float64(bead), 0.1, 1e5, "mm2")); err != nil {
		return 0, err
	}
	// A hair over a whole number is the last digit of a conversion, not another pass.
	n := math.Ceil(float64(total)/float64(bead) - 1e-6)
	if err := arc.Within("passes", n, 0, 1000, ""); err != nil {
		return 0, err
	}
	return procedures.Count(max(n, 1)), nil
}

// FilletPasses returns how many passes a fillet needs when one pass makes at most
// the leg onePass: by area, since the passes of a larger fillet lie side by side.
// onePass is the lesser of [MaxSinglePass] and what the wire and machine lay down.
// Range: legs 0.5 to 100 mm.
func FilletPasses(leg, onePass procedures.MM) (procedures.Count, error) {
	total, err := FilletArea(leg)
	if err != nil {
		return 0, err
	}
	bead, err := FilletArea(onePass)
	if err != nil {
		return 0, err
	}
	return Passes(total, bead)
}

// GroovePasses returns the least number of layers of a groove as deep as t: a
// root pass and fill passes no thicker than [MaxRootPass] and [MaxFillPass].
// Range: 0.1 to 300 mm. Source: AWS D1.1:2020 Table 5.1.
func GroovePasses(t procedures.MM, p procedures.Position) (procedures.Count, error) {
	root, err := MaxRootPass(p)
	if err := first(checkThickness("thickness", t), err); err != nil {
		return 0, err
	}
	fill, err := MaxFillPass()
	if err != nil {
		return 0, err
	}
	left := float64(t) - root.Value
	if left <= sameLength {
		return 1, nil
	}
	return 1 + procedures.Count(math.Ceil(left/fill.Value-sameLength)), nil
}
