package joint

import (
	"fmt"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// SheetThickness returns the thickness, in mm, of a gauge of carbon steel sheet,
// uncoated (Manufacturers' Standard Gauge) or galvanized. Stainless, tube and
// electrical wire use other lists under the same numbers.
// Range: 3 to 30 uncoated, 8 to 30 galvanized. Error: [*arc.RangeError].
func SheetThickness(gauge int, galvanized bool) (arc.Value, error) {
	low := 3.0
	for _, r := range data.SheetGauges() {
		in := r.UncoatedIn
		if galvanized {
			in, low = r.GalvanizedIn, 8
		}
		if r.Gauge == gauge && in > 0 {
			return fromInches(in, r.Row), nil
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "sheet gauge", Read: float64(gauge), Low: low, High: 30, Source: []string{"TH-GAUGE"}}
}

// TubeWall returns the wall, in mm, of a tube gauge (Birmingham). Range: 7 to 22.
// Error: [*arc.RangeError].
func TubeWall(gauge int) (arc.Value, error) {
	for _, r := range data.TubeWalls() {
		if r.Gauge == gauge {
			return fromInches(r.WallIn, r.Row), nil
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "tube gauge", Read: float64(gauge), Low: 7, High: 22, Source: []string{"TH-BWG"}}
}

func pipe(nominal string) (data.Pipe, error) {
	for _, r := range data.Pipes() {
		if r.Nominal == nominal {
			return r, nil
		}
	}
	return data.Pipe{}, procedures.Invalid("pipe", nominal, "not a size in the schedule 40 list", "accepted: 1/2, 3/4, 1, 1-1/4, 1-1/2, 2, 2-1/2, 3, 3-1/2, 4")
}

// PipeWall returns the wall, in mm, of schedule 40 pipe by nominal size such as
// 1-1/2. Source: ASME B36.10. Error: [*procedures.InvalidError].
func PipeWall(nominal string) (arc.Value, error) {
	r, err := pipe(nominal)
	return fromInches(r.WallIn, r.Row), err
}

// PipeOutside returns the outside diameter, in mm, of pipe by nominal size.
func PipeOutside(nominal string) (arc.Value, error) {
	r, err := pipe(nominal)
	return fromInches(r.OutsideIn, r.Row), err
}

// lbPerFt2PerIn is the weight behind the Manufacturers' Standard Gauge.
const lbPerFt2PerIn = 41.82

// SheetWeight returns the weight of steel sheet in kg/m2. Range: 0.1 to 300 mm.
// Source: note on the Manufacturers' Standard Gauge, 41.82 lb/ft2 per inch.
func SheetWeight(t procedures.MM) (float64, error) {
	if err := checkThickness("thickness", t); err != nil {
		return 0, err
	}
	const kgPerM2 = 0.45359237 / (0.3048 * 0.3048)
	return lbPerFt2PerIn * t.Inches() * kgPerM2, nil
}

// PipeWeight returns the weight of steel pipe in kg/m, from its outside diameter
// and wall. Range: 3 to 2000 mm, wall below half of it.
// Source: lb/ft = 10.69*(OD-t)*t, from memory; agrees with printed weights.
func PipeWeight(outside, wall procedures.MM) (float64, error) {
	err := first(arc.Within("outside diameter", float64(outside), 3, 2000, "mm"), checkThickness("wall", wall))
	if err == nil && wall > outside/2 {
		err = procedures.Invalid("wall", fmt.Sprint(float64(wall)), "thicker than the pipe", "less than half of the outside diameter")
	}
	if err != nil {
		return 0, err
	}
	const kgPerM = 0.45359237 / 0.3048
	return 10.69 * (outside - wall).Inches() * wall.Inches() * kgPerM, nil
}
