package source

import (
	"math"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Body is a part that warms and cools at a rate in proportion to what is left to
// go: the simplest picture of a transformer. It is for a simulation only. No time
// constant for a small welding transformer was found in print (a maker says
// "several hours" of small transformers in general), and temperature rise is not
// strictly proportional to duty cycle.
type Body struct {
	Steady float64            // rise, in K, that the current would level off at if it never stopped; 0 to 1000
	Tau    procedures.Seconds // time constant, 1 s to 1e6 s
}

func (b Body) check() error {
	return first(arc.Within("steady rise", b.Steady, 0, 1000, "K"), arc.Within("time constant", float64(b.Tau), 1, 1e6, "s"))
}

// RiseAfter returns the temperature rise, in K, a time after a rise of from (0 to
// 1000 K). With Steady 0 the body cools. Range: time 0 to 1e7 s.
// Source: first-order heating, T' = (Steady - T)/Tau.
func (b Body) RiseAfter(from float64, t procedures.Seconds) (float64, error) {
	err := first(b.check(), arc.Within("rise", from, 0, 1000, "K"), arc.Within("time", float64(t), 0, 1e7, "s"))
	if err != nil {
		return 0, err
	}
	return b.Steady + (from-b.Steady)*math.Exp(-float64(t/b.Tau)), nil
}

// PeakInCycle returns the highest rise, in K, once arc and rest have been
// repeated for long in 10 min periods at a duty cycle. It lies above
// Steady*duty, and the more so the quicker the body. Derived here.
func (b Body) PeakInCycle(d procedures.Percent) (float64, error) {
	if err := first(b.check(), checkDuty(d)); err != nil {
		return 0, err
	}
	on := Period * procedures.Seconds(d) / 100
	return b.Steady * math.Expm1(-float64(on/b.Tau)) / math.Expm1(-float64(Period/b.Tau)), nil
}
