package joint

import (
	"math"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Throat returns the theoretical throat of a fillet with equal legs, leg/sqrt(2).
// Range: leg 0.5 to 100 mm. Source: geometry.
func Throat(leg procedures.MM) (procedures.MM, error) { return ThroatUnequal(leg, leg) }

// ThroatUnequal returns the theoretical throat of a fillet with unequal legs,
// the height of its triangle: a*b/sqrt(a^2+b^2). Range: legs 0.5 to 100 mm.
func ThroatUnequal(a, b procedures.MM) (procedures.MM, error) {
	if err := first(checkLeg(a), checkLeg(b)); err != nil {
		return 0, err
	}
	return a * b / procedures.MM(math.Hypot(float64(a), float64(b))), nil
}

// LegForThroat returns the equal leg that gives a throat. Range: 0.5 to 70 mm.
func LegForThroat(throat procedures.MM) (procedures.MM, error) {
	if err := arc.Within("throat", float64(throat), 0.5, 70, "mm"); err != nil {
		return 0, err
	}
	return throat * math.Sqrt2, nil
}

// FilletArea returns the cross-section of a flat-faced fillet with equal legs,
// leg^2/2. Range: leg 0.5 to 100 mm. Source: TWI Job Knowledge 95.
func FilletArea(leg procedures.MM) (arc.MM2, error) { return FilletAreaUnequal(leg, leg) }

// FilletAreaUnequal returns the cross-section of a flat-faced fillet with
// unequal legs, a*b/2. Range: legs 0.5 to 100 mm.
func FilletAreaUnequal(a, b procedures.MM) (arc.MM2, error) {
	if err := first(checkLeg(a), checkLeg(b)); err != nil {
		return 0, err
	}
	return arc.MM2(a * b / 2), nil
}

// SquareArea returns the cross-section of a square groove filled level, t*gap.
// Range: t 0.1 to 300 mm; gap 0 (tight, nothing between) to 25 mm.
func SquareArea(t, gap procedures.MM) (arc.MM2, error) {
	if err := first(checkThickness("thickness", t), arc.Within("gap", float64(gap), 0, 25, "mm")); err != nil {
		return 0, err
	}
	return arc.MM2(t * gap), nil
}

// BevelArea returns the cross-section beside one bevelled edge, depth^2*tan(bevel)/2.
// Range: depth 0.1 to 300 mm; bevel angle 5 to 70 degrees, from the square edge.
func BevelArea(depth procedures.MM, bevelDeg float64) (arc.MM2, error) {
	if err := first(checkThickness("depth", depth), arc.Within("bevel angle", bevelDeg, 5, 70, "degrees")); err != nil {
		return 0, err
	}
	return arc.MM2(float64(depth*depth) * math.Tan(bevelDeg*math.Pi/180) / 2), nil
}

// CapArea returns the cross-section of a cap (reinforcement), 2/3*width*height: a
// parabola. Range: width 0.5 to 200 mm; height 0 (flush) to 25 mm.
// Source: filler-metal handbook, weight of butt welds; the factor 2/3 fits its rows.
func CapArea(width, height procedures.MM) (arc.MM2, error) {
	if err := first(arc.Within("cap width", float64(width), 0.5, 200, "mm"), arc.Within("cap height", float64(height), 0, 25, "mm")); err != nil {
		return 0, err
	}
	return arc.MM2(width * height * 2 / 3), nil
}

// VGroove is a single-V preparation.
type VGroove struct {
	Thickness procedures.MM // 0.1 to 300
	Gap       procedures.MM // root opening, 0 to 25
	Included  float64       // degrees between the two bevels, 10 to 140
	RootFace  procedures.MM // height of the square edge left at the root, 0 to below Thickness
	CapHeight procedures.MM // reinforcement, 0 to 25; 0: flush
	CapWidth  procedures.MM // 0: the width of the groove at the top
}

func (v VGroove) check() error {
	err := first(checkThickness("thickness", v.Thickness),
		arc.Within("gap", float64(v.Gap), 0, 25, "mm"),
		arc.Within("included angle", v.Included, 10, 140, "degrees"),
		arc.Within("root face", float64(v.RootFace), 0, 300, "mm"))
	if err == nil && v.RootFace >= v.Thickness {
		err = arc.Within("root face", float64(v.RootFace), 0, float64(v.Thickness)*0.99, "mm")
	}
	return err
}

// Width returns the width of the groove at the top: gap and both bevels.
func (v VGroove) Width() (procedures.MM, error) {
	if err := v.check(); err != nil {
		return 0, err
	}
	return v.Gap + 2*(v.Thickness-v.RootFace)*procedures.MM(math.Tan(v.Included/2*math.Pi/180)), nil
}

// Area returns the cross-section of weld metal: gap, both bevels and the cap.
// Source: TWI Job Knowledge 95 (rectangle, triangles), filler-metal handbook (cap).
func (v VGroove) Area() (arc.MM2, error) {
	width, err := v.Width()
	if err != nil {
		return 0, err
	}
	bevel, err := BevelArea(v.Thickness-v.RootFace, v.Included/2)
	if err != nil {
		return 0, err
	}
	area := arc.MM2(v.Thickness*v.Gap) + 2*bevel
	if v.CapHeight != 0 {
		if v.CapWidth != 0 {
			width = v.CapWidth
		}
		top, err := CapArea(width, v.CapHeight)
		if err != nil {
			return 0, err
		}
		area += top
	}
	return area, nil
}
