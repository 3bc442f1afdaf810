package feeder

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"beadwright/procedures"
)

// Step is a mark to run out next, and why, in words that follow "next".
type Step struct {
	Mark float64
	Why  string
}

// Repeats is how many runs at one mark tell a slip of the thumb from the feeder.
// Common practice.
const Repeats = 3

// How much the curve may part from a straight line between two marks, as a share
// of the wire speed, before a mark between them is worth its wire; and how close
// two marks may come, as a share of the scale. Design choices, from simulated
// knobs: timing noise alone bends a straight knob's curve by less in 19 of 20 cases.
const (
	bendWorth = 0.03
	closest   = 0.10
)

// scale is where the knob's marks run from and to. A knob without numbers is
// taken to have a paper dial from 0 to 10.
func scale(k procedures.Knob) (low, high, step float64) {
	if !k.Marked() {
		return 0, 10, 0.25
	}
	if k.Step > 0 {
		return k.Min, k.Max, k.Step
	}
	return k.Min, k.Max, 0.25
}

// plan is the five marks that make a good curve: 1, 3, 5, 7 and 9 of 10.
func plan(k procedures.Knob) (marks []float64) {
	low, high, _ := scale(k)
	for _, tenths := range []float64{1, 3, 5, 7, 9} {
		marks = append(marks, Settle(k, math.Max(low, high*tenths/10)))
	}
	return slices.Compact(marks)
}

// Settle rounds a mark to what a hand can set on the knob: its step, else a
// quarter of a mark (common practice), and never off a scale with numbers.
func Settle(k procedures.Knob, mark float64) float64 {
	low, high, step := scale(k)
	mark = math.Round(mark/step) * step
	if k.Marked() {
		mark = math.Max(low, math.Min(high, mark))
	}
	return mark
}

// Next is the mark to run out next, and false where none is worth its wire: one
// whose wire speed falls, the mark of five farthest from any that is measured,
// one without its three runs, or the middle of where the curve bends most. A
// curve without points begins.
func (c Curve) Next(k procedures.Knob) (Step, bool) {
	if s, ok := c.again(); ok {
		return s, true
	}
	if s, ok := c.missing(k); ok {
		return s, true
	}
	for _, p := range c.Points {
		if p.Count < Repeats {
			return Step{p.Mark, fmt.Sprintf("%s there so far: %d tell a slip of the thumb from the feeder", runs(p.Count), Repeats)}, true
		}
	}
	return c.bends(k)
}

func runs(n int) string {
	if n == 1 {
		return "one run"
	}
	return fmt.Sprintf("%d runs", n)
}

// again is the mark with the fewest runs of those whose wire speed falls by more
// than the thumb's timing explains: two neighbors on a level stretch fall half
// the time, and are no slip.
func (c Curve) again() (s Step, ok bool) {
	fewest := 0
	for i, p := range c.Points {
		moved := 100 * math.Abs(float64(p.Speed)-c.speeds[i]) / c.speeds[i]
		if moved > p.Error && (!ok || p.Count < fewest) {
			s, ok, fewest = Step{p.Mark, "the wire ran slower at the higher of the marks " + sayMarks(c.Again) + ", and no knob does that"}, true, p.Count
		}
	}
	return s, ok
}

// missing is the mark of the plan farthest from any mark measured.
func (c Curve) missing(k procedures.Knob) (Step, bool) {
	marks := plan(k)
	if len(c.Points) == 0 {
		return Step{marks[0], "nothing is measured yet"}, true
	}
	low, high, _ := scale(k)
	best, far := 0.0, (high-low)/20 // half a mark of ten: near enough
	for _, m := range marks {
		near := math.Inf(1)
		for _, p := range c.Points {
			near = math.Min(near, math.Abs(p.Mark-m))
		}
		if near > far+1e-9 {
			best, far = m, near
		}
	}
	if far == (high-low)/20 {
		return Step{}, false
	}
	return Step{best, "nothing is measured near it"}, true
}

// bends is the middle between the two marks where the curve parts most from a
// straight line.
func (c Curve) bends(k procedures.Knob) (s Step, ok bool) {
	low, high, _ := scale(k)
	most := bendWorth
	for i := 1; i < len(c.marks); i++ {
		a, b := c.marks[i-1], c.marks[i]
		middle := Settle(k, (a+b)/2)
		if (b-a)/2 < closest*(high-low)/2 || middle <= a || middle >= b {
			continue
		}
		for share := 0.1; share < 1; share += 0.1 {
			if d := c.bend(a + share*(b-a)); d > most {
				most, ok = d, true
				s = Step{middle, fmt.Sprintf("the curve bends most between %s and %s", procedures.FormatKnob(a), procedures.FormatKnob(b))}
			}
		}
	}
	return s, ok
}

// Toward is the mark to run out to learn about a wire speed outside those
// measured: the next one of the plan on that side, or the end of the scale. It is
// false where the end of the scale is measured: the feeder goes no further.
func (c Curve) Toward(speed procedures.MPerMin, k procedures.Knob) (Step, bool) {
	low, high, _ := scale(k)
	marks, speeds := c.Reach()
	way := append(append([]float64{low}, plan(k)...), high)
	if speed > speeds[1] {
		for _, m := range way {
			if m > marks[1]+0.01 {
				return Step{m, "the fastest measured is at mark " + procedures.FormatKnob(marks[1])}, true
			}
		}
		return Step{}, false
	}
	for _, m := range slices.Backward(way) {
		if m < marks[0]-0.01 {
			return Step{m, "the slowest measured is at mark " + procedures.FormatKnob(marks[0])}, true
		}
	}
	return Step{}, false
}

// Ends is the slowest and the fastest wire speed of a machine's feeder, measured
// at the ends of its own scale in its present state, on whatever tap; zero where
// an end was not run out, or the knob has no scale of its own.
func Ends(m procedures.Machine) (slowest, fastest procedures.MPerMin) {
	if !m.Knob.Marked() {
		return 0, 0
	}
	for _, tap := range tapsRun(m, m.State.ID) {
		c, ok := Own(m, m.State.ID, tap)
		if !ok {
			continue
		}
		marks, speeds := c.Reach()
		if sameMark(marks[0], m.Knob.Min) && (slowest == 0 || speeds[0] < slowest) {
			slowest = speeds[0]
		}
		if sameMark(marks[1], m.Knob.Max) {
			fastest = max(fastest, speeds[1])
		}
	}
	return slowest, fastest
}

func sayMarks(marks []float64) string {
	var words []string
	for _, m := range marks {
		words = append(words, procedures.FormatKnob(m))
	}
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return strings.Join(words, "")
}
