package feeder

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"beadwright/procedures"
)

// Thumb is how far a stopwatch in a thumb is off, in seconds, for one run. Taken
// as a standard deviation. Source: own arithmetic (MATH): 5 % of 6 s, 3 % of
// 10 s, 2 % of 15 s.
const Thumb = 0.3

// Point is one mark of the knob with the wire speed measured there.
type Point struct {
	Mark  float64            `json:"mark"`
	Speed procedures.MPerMin `json:"wire_speed_m_min"` // median of the runs
	Low   procedures.MPerMin `json:"low_m_min"`        // slowest of the runs
	High  procedures.MPerMin `json:"high_m_min"`       // fastest of the runs
	Count int                `json:"runs"`
	Error float64            `json:"error_percent"` // expected of Speed, from the thumb's timing; a standard deviation
	Runs  []int              `json:"run_numbers"`   // of the run-outs, as a person names them
}

// Timing is what the thumb's timing makes one run-out off, in per cent. A pair of
// runs is timed twice, so that its error is larger for the time between them; what
// it saves is the feeder's start and stop.
func Timing(r procedures.RunOut) float64 {
	seconds, thumb := float64(r.Seconds), Thumb
	if r.ShortSeconds > 0 {
		seconds, thumb = seconds-float64(r.ShortSeconds), Thumb*math.Sqrt2
	}
	if seconds <= 0 {
		return math.Inf(1)
	}
	return 100 * thumb / seconds
}

// medianShare is the standard deviation of the median of n runs against that of
// one: sqrt(pi/(2 n)), the limit for normal errors, which is a little too wide
// for small n. Two runs have their mean as median, and get the same rule.
func medianShare(n int) float64 { return math.Min(1, math.Sqrt(math.Pi/2/float64(n))) }

// points gathers runs by mark, from the lowest mark on.
func points(runs []procedures.RunOut) []Point {
	runs = slices.Clone(runs)
	slices.SortStableFunc(runs, func(a, b procedures.RunOut) int { return cmp.Compare(a.Mark, b.Mark) })
	var all []Point
	for from := 0; from < len(runs); {
		to := from
		var speeds []float64
		var square float64
		var numbers []int
		for ; to < len(runs) && sameMark(runs[to].Mark, runs[from].Mark); to++ {
			speeds = append(speeds, float64(runs[to].Speed()))
			square += Timing(runs[to]) * Timing(runs[to])
			numbers = append(numbers, runs[to].Number)
		}
		n := to - from
		slices.Sort(speeds)
		all = append(all, Point{Mark: runs[from].Mark, Count: n, Runs: numbers,
			Speed: procedures.MPerMin((speeds[(n-1)/2] + speeds[n/2]) / 2),
			Low:   procedures.MPerMin(speeds[0]), High: procedures.MPerMin(speeds[n-1]),
			Error: math.Sqrt(square/float64(n)) * medianShare(n)})
		from = to
	}
	return all
}

// sameMark reports whether two marks are one place on the dial: a hundredth of a
// mark is beyond any hand.
func sameMark(a, b float64) bool { return math.Abs(a-b) < 0.01 }

// of picks the runs of one state and tap that can be used, and those of other states
// in which the feeder ran alike. Tap names differ in nothing but the case of their
// letters.
func of(m procedures.Machine, state, tap string) (runs []procedures.RunOut) {
	for _, r := range m.RunOuts {
		if m.SameFeed(r.State, state) && strings.EqualFold(r.Tap, tap) && r.Struck == "" && r.Speed() > 0 {
			runs = append(runs, r)
		}
	}
	return runs
}
