package joint

import (
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// RangeAround returns what a value may move to: lowPct below (negative) and
// highPct above it, both in per cent, rounded inward to a step so that the
// printed range never claims more than was proved. Step 0 leaves it unrounded.
// Range: value above 0, percentages -99 to 0 and 0 to 1000. Where nothing is left
// between the steps the value itself is returned at both ends.
func RangeAround(value, lowPct, highPct, step float64) (low, high float64, err error) {
	err = first(arc.Within("value", value, 1e-9, 1e9, ""), arc.Within("lower per cent", lowPct, -99, 0, "%"),
		arc.Within("upper per cent", highPct, 0, 1000, "%"), arc.Within("step", step, 0, 1e9, ""))
	if err != nil {
		return 0, 0, err
	}
	low, high = value*(1+lowPct/100), value*(1+highPct/100)
	if step > 0 {
		const hair = 1e-9 // 90 % of 100 is 90 whatever its last digit
		low = math.Ceil(low/step-hair) * step
		high = math.Floor(high/step+hair) * step
	}
	if low > high {
		return value, value, nil
	}
	return low, high, nil
}

// ProcedureRange returns the range of a variable around the value that a
// procedure was qualified at: current, wire speed, voltage or travel speed, in
// the unit of the value, rounded inward to a step. Value is the qualified value.
// Source: AWS D1.1:2015 Table 4.5 (wire speed and travel from memory).
func ProcedureRange(variable string, value, step float64) (arc.Value, error) {
	for _, r := range data.VariableLimits() {
		if r.Variable != variable || r.LowPct == 0 && r.HighPct == 0 {
			continue
		}
		low, high, err := RangeAround(value, r.LowPct, r.HighPct, step)
		if err != nil {
			return arc.Value{}, err
		}
		out := exact(value, "", r.Row)
		out.Low, out.High, out.Note = low, high, fmt.Sprintf("%+.0f to %+.0f %%; requalify on %s", r.LowPct, r.HighPct, r.Change)
		return out, nil
	}
	return arc.Value{}, procedures.Invalid("variable", variable, "no range in per cent for it", "accepted: current, wire speed, voltage, travel speed")
}
