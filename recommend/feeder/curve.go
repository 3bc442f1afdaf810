package feeder

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/interp"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Curve is the wire speed by mark of one machine, as its run-outs give it.
//
// Between marks it is a monotone cubic (Fritsch and Butland, SIAM J. Sci. Statist.
// Comput. 5, 1984): it never falls and never leaves the speeds of its neighbors.
// On simulated knobs that bend, five marks and straight lines between them are up
// to 12 % off, this up to 4 % (TestShape).
type Curve struct {
	Points []Point   // by mark, from the lowest on
	Again  []float64 // marks whose medians fall where the mark rises: to be run out again
	From   string    // what it was measured on, where that is not the very state and tap asked for; else ""
	State  string    // id of the state it was measured in
	Tap    string    // it was measured on; "" where none was said

	shape    interp.FritschButland
	marks    []float64
	speeds   []float64 // of the marks, m/min, never falling
	borrowed float64   // how far a curve from elsewhere may be off, as a share
}

// enough is how many marks make a curve that is not called a beginning.
const enough = 3

// What a curve from elsewhere may be off, as a share of the wire speed. Common
// practice, no source: the motor of a cheap machine may share the transformer, so
// that the tap moves it by as much as the taps' volts differ; a liner, a tip or a
// drive roll moves it by less.
const (
	otherTap     = 0.15
	earlierState = 0.10
)

// CurveOf is the curve of a machine in a state on a tap. Where there are not two
// marks on this very tap in this very state it takes, in this order, another tap
// in the state, this tap and another tap in the latest earlier state, and says in
// From what it took; its answers are then wider. It reports false where nothing
// was run out. A state other than the present one has no earlier ones.
func CurveOf(m procedures.Machine, state, tap string) (Curve, bool) {
	own, found := Own(m, state, tap)
	if len(own.Points) > 1 {
		return own, true
	}
	best := own
	try := func(state, tap, from string, off float64) {
		if c, ok := Own(m, state, tap); ok && len(best.Points) < 2 && len(c.Points) > len(best.Points) {
			c.From, c.borrowed = from, off
			best, found = c, true
		}
	}
	earlier := ""
	if state == m.State.ID {
		for _, r := range m.RunOuts {
			if !m.SameFeed(r.State, state) && r.Struck == "" {
				earlier = r.State
			}
		}
	}
	for _, other := range tapsRun(m, state) {
		try(state, other, "run-outs "+onTap(other), otherTap)
	}
	if earlier == "" {
		return best, found
	}
	try(earlier, tap, "run-outs from before the machine was changed", earlierState)
	for _, other := range tapsRun(m, earlier) {
		try(earlier, other, "run-outs "+onTap(other)+", from before the machine was changed", math.Hypot(otherTap, earlierState))
	}
	return best, found
}

// Own is the curve of the run-outs of one state and tap alone, and of the states
// between which and it nothing touched the feeder. It reports false
// where there are none.
func Own(m procedures.Machine, state, tap string) (Curve, bool) {
	runs := of(m, state, tap)
	if len(runs) == 0 {
		return Curve{}, false
	}
	c := Curve{Points: points(runs), State: state, Tap: runs[0].Tap}
	c.level()
	if len(c.marks) > 1 {
		if err := c.shape.Fit(c.marks, c.speeds); err != nil {
			return Curve{}, false
		}
	}
	return c, true
}

// tapsRun names the taps that a state has run-outs on, the one with most marks first.
func tapsRun(m procedures.Machine, state string) []string {
	marks := map[string]int{}
	var taps []string
	for _, r := range m.RunOuts {
		if !m.SameFeed(r.State, state) || slices.ContainsFunc(taps, func(t string) bool { return strings.EqualFold(t, r.Tap) }) {
			continue
		}
		taps = append(taps, r.Tap)
		marks[r.Tap] = len(points(of(m, state, r.Tap)))
	}
	slices.SortStableFunc(taps, func(a, b string) int { return marks[b] - marks[a] })
	return taps
}

func onTap(tap string) string {
	if tap == "" {
		return "on no tap that was said"
	}
	return "on the " + strings.ToUpper(tap) + " tap"
}

// Calibrated reports whether the curve stands on three marks or more.
func (c Curve) Calibrated() bool { return len(c.Points) >= enough }

// level takes the medians as the curve's speeds. Where they fall while the mark
// rises it pools the neighbors into their mean, weighed by their runs, until none
// falls (the pool-adjacent-violators rule of isotonic regression), and lists them
// in Again.
func (c *Curve) level() {
	type pool struct {
		speed, weight float64
		marks         int
	}
	var pools []pool
	for _, p := range c.Points {
		pools = append(pools, pool{float64(p.Speed), float64(p.Count), 1})
		for n := len(pools); n > 1 && pools[n-1].speed < pools[n-2].speed; n = len(pools) {
			a, b := pools[n-2], pools[n-1]
			w := a.weight + b.weight
			pools = append(pools[:n-2], pool{(a.speed*a.weight + b.speed*b.weight) / w, w, a.marks + b.marks})
		}
	}
	for _, q := range pools {
		for range q.marks {
			p := c.Points[len(c.marks)]
			c.marks, c.speeds = append(c.marks, p.Mark), append(c.speeds, q.speed)
			if q.marks > 1 {
				c.Again = append(c.Again, p.Mark)
			}
		}
	}
}

// Reach is the outermost marks measured, and their wire speeds.
func (c Curve) Reach() (marks [2]float64, speeds [2]procedures.MPerMin) {
	n := len(c.marks) - 1
	return [2]float64{c.marks[0], c.marks[n]}, [2]procedures.MPerMin{procedures.MPerMin(c.speeds[0]), procedures.MPerMin(c.speeds[n])}
}

// SpeedAt is the wire speed at a mark, in m/min. Low and High hold the true speed
// 4 times in 5: the thumb's timing, the spread of the repeats, and what a bend
// between two marks may hide. Error: [*arc.RangeError] outside the marks measured.
func (c Curve) SpeedAt(mark float64) (arc.Value, error) {
	x, ok := within(mark, c.marks[0], c.marks[len(c.marks)-1])
	if !ok {
		return arc.Value{}, &arc.RangeError{Quantity: "mark", Read: mark, Low: c.marks[0], High: c.marks[len(c.marks)-1], Source: []string{"MATH"}}
	}
	v, off := c.at(x), c.off(x)
	return c.value(v, v*(1-off), v*(1+off), "m/min"), nil
}

// MarkAt is the mark for a wire speed: the inverse of [Curve.SpeedAt]. Low and
// High are held at the outermost marks. Error: [*arc.RangeError] for a wire speed
// slower or faster than those measured.
func (c Curve) MarkAt(speed procedures.MPerMin) (arc.Value, error) {
	low, high := c.speeds[0], c.speeds[len(c.speeds)-1]
	v, ok := within(float64(speed), low, high)
	if !ok {
		return arc.Value{}, &arc.RangeError{Quantity: "wire speed", Read: float64(speed), Low: low, High: high, Unit: "m/min", Source: []string{"MATH"}}
	}
	x := c.mark(v)
	off := c.off(x)
	return c.value(x, math.Min(x, c.mark(math.Max(low, v*(1-off)))), math.Max(x, c.mark(math.Min(high, v*(1+off)))), ""), nil
}

func (c Curve) value(v, low, high float64, unit string) arc.Value {
	out := arc.Value{Value: v, Low: low, High: high, Unit: unit, Basis: arc.OwnReadings, Source: []string{"MATH"}}
	if c.From != "" {
		out.Note, out.Source = c.From, []string{"MATH", "CP"}
	}
	return out
}

// within holds v in low through high; it is refused where it lies outside by more
// than the last digits of a conversion between units.
func within(v, low, high float64) (float64, bool) {
	slack := 1e-9 * math.Max(1, math.Abs(high))
	return math.Max(low, math.Min(high, v)), v >= low-slack && v <= high+slack
}

// at is the wire speed at a mark within the curve.
func (c Curve) at(x float64) float64 {
	if len(c.marks) == 1 {
		return c.speeds[0]
	}
	return c.shape.Predict(x)
}

// mark is the middle of the marks that have a wire speed within the curve: one
// mark, but where the curve lies level.
func (c Curve) mark(v float64) float64 {
	first, last := c.marks[0], c.marks[len(c.marks)-1]
	low := halve(first, last, func(x float64) bool { return c.at(x) >= v-1e-9 })
	high := halve(low, last, func(x float64) bool { return c.at(x) > v+1e-9 })
	return (low + high) / 2
}

// halve finds where a condition that stays true once it is true begins, by
// halving; the upper end where it never does.
func halve(low, high float64, begun func(float64) bool) float64 {
	if begun(low) {
		return low
	}
	for range 60 {
		middle := (low + high) / 2
		if begun(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}

// FourInFive is how many standard deviations to each side hold 80 % of a normal
// distribution.
const FourInFive = 1.2816

// off is how far the wire speed at a mark may be off, as a share of it, 4 times
// in 5: timing, spread, bend and what was borrowed, added as independent errors.
func (c Curve) off(x float64) float64 {
	i, found := slices.BinarySearch(c.marks, x)
	i = min(i, len(c.marks)-1)
	here := c.pointOff(i)
	if !found && i > 0 {
		here = math.Max(here, c.pointOff(i-1))
	}
	return math.Sqrt(here*here + c.bend(x)*c.bend(x) + c.borrowed*c.borrowed)
}

// pointOff is the share that the speed at a measured mark may be off: its timing,
// half the spread of its repeats, and how far it was moved to level the curve.
func (c Curve) pointOff(i int) float64 {
	p, v := c.Points[i], c.speeds[i]
	timing := FourInFive * p.Error / 100
	spread := float64(p.High-p.Low) / 2 / v
	moved := (float64(p.Speed) - v) / v
	return math.Sqrt(timing*timing + spread*spread + moved*moved)
}

// bend is how far the curve parts from the straight line between its two
// neighbors, as a share of the wire speed: what nobody measured there.
func (c Curve) bend(x float64) float64 {
	i, found := slices.BinarySearch(c.marks, x)
	if found || i == 0 || i >= len(c.marks) {
		return 0
	}
	share := (x - c.marks[i-1]) / (c.marks[i] - c.marks[i-1])
	straight := c.speeds[i-1] + share*(c.speeds[i]-c.speeds[i-1])
	return math.Abs(c.at(x)-straight) / straight
}
