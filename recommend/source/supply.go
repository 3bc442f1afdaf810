package source

import (
	"math"
	"slices"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// supplyNote goes with every answer about the house circuit.
const supplyNote = "local codes and a licensed electrician come first; it is for a circuit kept for the welder, and a general-purpose outlet gets no larger breaker"

// Multiplier returns the NEC 630.11(A) multiplier of a duty cycle, a pure number.
// Between rows the next higher duty cycle counts; the 20 % row covers all below.
// Range: 1 to 100 %. Source: NEC 630.11(A).
func Multiplier(d procedures.Percent, motorGenerator bool) (arc.Value, error) {
	if err := checkDuty(d); err != nil {
		return arc.Value{}, err
	}
	var row data.SupplyMultiplier
	for _, r := range data.SupplyMultipliers() { // high to low
		if r.DutyPct >= float64(d)-1e-9 {
			row = r
		}
	}
	m := row.Multiplier
	if motorGenerator {
		m = row.MotorGenerator
	}
	return exact(m, "", row.Row), nil
}

// SupplyConductor returns the ampacity, in A, that the supply conductors of one
// welder need: rated primary current times [Multiplier]. Range: 0.1 to 2000 A,
// 1 to 100 %. Source: NEC 630.11(A).
func SupplyConductor(primary procedures.Amps, d procedures.Percent, motorGenerator bool) (arc.Value, error) {
	m, err := Multiplier(d, motorGenerator)
	if err := first(err, checkAmps("primary current", primary)); err != nil {
		return arc.Value{}, err
	}
	m.Value *= float64(primary)
	m.Low, m.High, m.Unit, m.Note = m.Value, m.Value, "A", supplyNote
	return m, nil
}

// EffectiveCurrent returns I1eff, in A: the root of the duty-weighted mean square
// of the primary current with the arc on and at no load (0 to the first).
// Source: NEC 630.11 note for the name, the formula from memory.
func EffectiveCurrent(primary, idle procedures.Amps, d procedures.Percent) (arc.Value, error) {
	err := first(checkAmps("primary current", primary), checkDuty(d), arc.Within("no-load current", float64(idle), 0, float64(primary), "A"))
	if err != nil {
		return arc.Value{}, err
	}
	x := float64(d) / 100
	i := math.Sqrt(math.Pow(float64(primary), 2)*x + math.Pow(float64(idle), 2)*(1-x))
	return exact(i, "A", data.Row{Source: []string{"EL-630"}, Basis: data.Memory, Note: supplyNote}), nil
}

// Welder is one of several welders on a feeder.
type Welder struct {
	Primary        procedures.Amps
	Duty           procedures.Percent
	MotorGenerator bool
	Count          int // 1 to 100 alike
}

// groupShares are what the largest, second ... welder on one feeder count for.
var groupShares = []float64{1, 1, 0.85, 0.70, 0.60}

// Group returns the ampacity, in A, that a feeder to several welders needs: 100 %
// of the two largest, 85 % of the third, 70 % of the fourth, 60 % of the rest, each
// after its multiplier. Source: NEC 630.11(B). Errors: [*procedures.InvalidError].
func Group(welders []Welder) (arc.Value, error) {
	var amps []float64
	for _, w := range welders {
		v, err := SupplyConductor(w.Primary, w.Duty, w.MotorGenerator)
		if err := first(err, arc.Within("count", float64(w.Count), 1, 100, "welders")); err != nil {
			return arc.Value{}, err
		}
		for range w.Count {
			amps = append(amps, v.Value)
		}
	}
	if len(amps) == 0 {
		return arc.Value{}, procedures.Invalid("welders", "", "none given", "one or more")
	}
	slices.Sort(amps)
	slices.Reverse(amps)
	var sum float64
	for k, a := range amps {
		sum += a * groupShares[min(k, len(groupShares)-1)]
	}
	return exact(sum, "A", data.Row{Source: []string{"EL-630", "EL-ECM61"}, Basis: data.Printed, Note: supplyNote}), nil
}

// Overcurrent returns the highest rating, in A, of the breaker or fuse ahead of one
// welder: 200 % of its highest primary current. Where that is no standard size the
// next one up is allowed, see [NextBreaker]. Range: 0.1 to 2000 A.
// Source: NEC 630.12(A).
func Overcurrent(primaryMax procedures.Amps) (arc.Value, error) {
	if err := checkAmps("primary current", primaryMax); err != nil {
		return arc.Value{}, err
	}
	for _, r := range data.SupplyRules() {
		if r.Clause == "630.12(A)" {
			v := exact(float64(primaryMax)*r.Pct/100, "A", r.Row)
			v.Note = "an upper limit, not a size to go and fit: " + supplyNote
			return v, nil
		}
	}
	return arc.Value{}, &arc.NoTableError{Quantity: "overcurrent limit", Of: "an arc welder"}
}

// NextBreaker returns the standard size, in A, at or above a rating. Range: up to
// the largest size listed. Source: NEC 240.6(A), from memory. Error: [*arc.RangeError].
func NextBreaker(a procedures.Amps) (arc.Value, error) {
	if err := checkAmps("rating", a); err != nil {
		return arc.Value{}, err
	}
	sizes := data.BreakerSizes()
	for _, r := range sizes {
		if r.RatingA >= float64(a)-1e-9 {
			return exact(r.RatingA, "A", r.Row), nil
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "rating", Read: float64(a), Low: sizes[0].RatingA, High: sizes[len(sizes)-1].RatingA, Unit: "A", Source: sizes[0].Source}
}

// ReceptacleLoad returns the highest load, in A, of one cord-and-plug appliance on
// an outlet such as 5-15R. Source: NEC Table 210.21(B)(2). A welder that draws
// less on the mean may be treated apart: 210.21(B)(1).
func ReceptacleLoad(nema string) (arc.Value, error) {
	var known []string
	for _, r := range data.Receptacles() {
		if r.NEMA == nema {
			return exact(r.LoadA, "A", r.Row), nil
		}
		known = append(known, r.NEMA)
	}
	return arc.Value{}, procedures.Invalid("outlet", nema, "not in the list", "accepted: "+strings.Join(known, ", "))
}

// PrimaryCurrent returns the current, in A, that a transformer machine draws from
// the line for an output: output power over input volts, efficiency and power
// factor, each 0.3 to 1. A small machine's plate gives its own figure, which is
// better. Derived here; usual figures of 0.7 and 0.9 are common practice, no source.
func PrimaryCurrent(out procedures.Amps, load, line procedures.Volts, efficiency, powerFactor float64) (arc.Value, error) {
	err := first(checkAmps("current", out), arc.Within("load voltage", float64(load), 5, 100, "V"), arc.Within("line voltage", float64(line), 90, 700, "V"),
		arc.Within("efficiency", efficiency, 0.3, 1, ""), arc.Within("power factor", powerFactor, 0.3, 1, ""))
	if err != nil {
		return arc.Value{}, err
	}
	return exact(float64(out)*float64(load)/float64(line)/efficiency/powerFactor, "A",
		data.Row{Source: []string{"MATH"}, Basis: data.Computed, Note: "the machine's plate comes first"}), nil
}
