package joint

import (
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Loading says whether a weld's load stays or comes and goes.
type Loading string

const (
	Static Loading = "static"
	Cyclic Loading = "cyclic"
)

func checkLoading(l Loading) error {
	if l == Static || l == Cyclic {
		return nil
	}
	return procedures.Invalid("loading", string(l), "not a kind of loading", "accepted: static, cyclic")
}

// cyclicLeast is the least fillet under load that comes and goes, whatever the thickness.
const cyclicLeast = 3.0 / 16 // in, AWS D1.1:2020 4.18.3

// MinFillet returns the least leg, in mm, of a single-pass fillet, so that thick
// metal does not quench it. t is the thinner part (AISC; D1.1 with low-hydrogen
// or wire processes); D1.1 with other covered electrodes and no calculated
// preheat takes the thicker part. The leg need not exceed the thinner part.
// Range: 0.1 to 300 mm. Source: AISC 360 Table J2.4, AWS D1.1:2020 Table 7.7.
func MinFillet(t procedures.MM, l Loading) (arc.Value, error) {
	if err := first(checkThickness("thickness", t), checkLoading(l)); err != nil {
		return arc.Value{}, err
	}
	in := t.Inches()
	for _, r := range data.MinFillets() {
		if in > r.OverIn-sameLength && (r.ThroughIn == 0 || in <= r.ThroughIn+sameLength) {
			leg := r.LegIn
			if l == Cyclic {
				leg = max(leg, cyclicLeast)
			}
			return fromInches(min(leg, in), r.Row), nil
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "thickness", Read: float64(t), High: math.Inf(1), Unit: "mm"}
}

// MaxFilletAlongEdge returns the largest leg, in mm, along the edge of a part as
// thick as edge: the whole edge below 1/4 in, 1/16 in less from there on. The metric
// text begins at 6 mm, with 2 mm less: between the two the Note says what it allows.
// Range: 0.1 to 300 mm. Source: AISC 360 J2.2b.
func MaxFilletAlongEdge(edge procedures.MM) (arc.Value, error) {
	if err := checkThickness("edge", edge); err != nil {
		return arc.Value{}, err
	}
	in := edge.Inches()
	var out arc.Value
	for _, r := range data.MaxFillets() {
		switch {
		case in >= r.FromIn-sameLength && (r.BelowIn == 0 || in < r.BelowIn-sameLength):
			out = fromInches(in-r.LessIn, r.Row)
		case in < r.FromIn && float64(edge) >= r.FromMM-sameLength:
			out.Note = fmt.Sprintf("the metric text of the rule begins at %g mm and takes %g mm off: %.3g mm", r.FromMM, r.LessMM, float64(edge)-r.LessMM)
		}
	}
	if out.Unit == "" {
		return arc.Value{}, &arc.RangeError{Quantity: "edge", Read: float64(edge), High: math.Inf(1), Unit: "mm"}
	}
	return out, nil
}

// MinFilletLength returns the least effective length, in mm, of a fillet: four
// times its leg, and 38 mm (1-1/2 in) for a segment of an intermittent fillet.
// Range: leg 0.5 to 100 mm. Source: AISC 360 J2.2b.
func MinFilletLength(leg procedures.MM, intermittent bool) (arc.Value, error) {
	if err := checkLeg(leg); err != nil {
		return arc.Value{}, err
	}
	l := 4 * float64(leg)
	if intermittent {
		l = max(l, 38)
	}
	return exact(l, "mm", data.Row{Source: []string{"FW-AISC"}, Basis: data.Printed}), nil
}

// passLimit looks up a limit of prequalified wire procedures, in mm.
func passLimit(variable string, p procedures.Position) (arc.Value, error) {
	position := string(p)
	if p == procedures.VerticalUp || p == procedures.VerticalDown {
		position = "vertical"
	}
	for _, r := range data.PassLimits() {
		if r.Variable == variable && (r.Position == position || r.Position == "any") {
			return fromInches(r.LimitIn, r.Row), nil
		}
	}
	return arc.Value{}, procedures.Invalid("position", string(p), "not a position with a printed limit", "accepted: flat, horizontal, vertical-up, vertical-down, overhead")
}

// MaxSinglePass returns the largest fillet leg, in mm, laid in one pass with
// wire in a position. Small machines reach their own limit long before this one.
// Source: AWS D1.1:2020 Table 5.1. Error: [*procedures.InvalidError] for no position.
func MaxSinglePass(p procedures.Position) (arc.Value, error) {
	return passLimit("single-pass-fillet", p)
}

// MaxRootPass returns the thickest root pass, in mm, with wire in a position.
// Source: AWS D1.1:2020 Table 5.1.
func MaxRootPass(p procedures.Position) (arc.Value, error) { return passLimit("root-pass", p) }

// MaxFillPass returns the thickest pass after the root, in mm, with wire.
// Source: AWS D1.1:2020 Table 5.1.
func MaxFillPass() (arc.Value, error) { return passLimit("fill-pass", procedures.Flat) }

// ConvexityLimit returns the largest convexity, in mm, of a fillet whose face is
// as wide as face. Range: 0.5 to 200 mm. Source: AWS D1.1:2010 Table 5.9, from
// memory; codes and articles disagree about it.
func ConvexityLimit(face procedures.MM) (arc.Value, error) {
	if err := arc.Within("face width", float64(face), 0.5, 200, "mm"); err != nil {
		return arc.Value{}, err
	}
	in := face.Inches()
	for _, r := range data.ConvexityLimits() {
		// The last band begins at 1 in: "from", where the first ends at "through" 5/16 in.
		if r.Weld == "fillet" && (r.ThroughIn == 0 || r.ThroughIn < 1 && in <= r.ThroughIn+sameLength || r.ThroughIn >= 1 && in < r.ThroughIn-sameLength) {
			return fromInches(r.LimitIn, r.Row), nil
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "face width", Read: float64(face), High: math.Inf(1), Unit: "mm"}
}
