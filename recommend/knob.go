package recommend

import (
	"math"

	"beadwright/procedures"
)

// Dial tells where the knob goes for a wire speed. Until the knob is measured by
// run-out it is taken as even over the feeder's range (guessed): a marked knob
// answers with a mark, an unmarked one in thirds of its turn. Neither is known
// where the feeder's range is not.
func Dial(m procedures.Machine, s procedures.MPerMin) (mark *float64, words string) {
	share, ok := dialShare(m, s)
	if !ok {
		return nil, ""
	}
	if m.Knob.Marked() {
		v := m.Knob.Min + share*(m.Knob.Max-m.Knob.Min)
		step := m.Knob.Step
		if step == 0 {
			step = 0.25 // what a hand can repeat on a printed dial; common practice
		}
		v = math.Round(v/step) * step
		return &v, ""
	}
	switch {
	case share < 1./3:
		return nil, "lower third"
	case share < 2./3:
		return nil, "middle third"
	}
	return nil, "upper third"
}

func dialShare(m procedures.Machine, s procedures.MPerMin) (float64, bool) {
	if m.WireMin <= 0 || m.WireMax <= m.WireMin || s <= 0 {
		return 0, false
	}
	return math.Max(0, math.Min(1, float64((s-m.WireMin)/(m.WireMax-m.WireMin)))), true
}

// SpeedAt is the inverse of [Dial] for a marked knob: the wire speed guessed for
// a mark. It is zero where the knob or the feeder's range is not known, or the
// mark is off the scale.
func SpeedAt(m procedures.Machine, mark float64) procedures.MPerMin {
	if !m.Knob.Marked() || m.WireMin <= 0 || m.WireMax <= m.WireMin || mark < m.Knob.Min || mark > m.Knob.Max {
		return 0
	}
	return m.WireMin + procedures.MPerMin((mark-m.Knob.Min)/(m.Knob.Max-m.Knob.Min))*(m.WireMax-m.WireMin)
}
