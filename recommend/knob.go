package recommend

import (
	"fmt"
	"math"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/feeder"
)

// Dial tells where the knob goes for a wire speed on a tap, and how that is known.
// Where the knob was run out at two marks or more the curve through them answers,
// and only between its outermost marks: beyond them no mark is known. Until then
// the knob is taken as even over the feeder's range (guessed): a marked knob
// answers with a mark, an unmarked one in thirds of its turn. Where the feeder's
// range is not known either, the range of the example machine tells the third.
func Dial(m procedures.Machine, tap string, s procedures.MPerMin) (mark *float64, words string, how procedures.How) {
	if c, ok := knobCurve(m, tap); ok {
		v, err := c.MarkAt(s)
		if err != nil {
			return nil, "", ""
		}
		set := settle(c, m.Knob, v.Value)
		return &set, "", curveHow(c)
	}
	share, ok := dialShare(m, s)
	if !ok { // feeders of such machines are much alike: a third of the turn is as far as that goes
		share, _ = dialShare(ExampleMachine(procedures.FCAWS), s)
	}
	if ok && m.Knob.Marked() {
		v := feeder.Settle(m.Knob, m.Knob.Min+share*(m.Knob.Max-m.Knob.Min))
		return &v, "", procedures.Guessed
	}
	switch {
	case share < 1./3:
		return nil, "lower third", procedures.Guessed
	case share < 2./3:
		return nil, "middle third", procedures.Guessed
	}
	return nil, "upper third", procedures.Guessed
}

// SpeedAt is the inverse of [Dial]: the wire speed at a mark on a tap, and how it
// is known. It is zero where the mark lies outside those measured; where there is
// no curve, where the knob or the feeder's range is not known or the mark is off
// the scale.
func SpeedAt(m procedures.Machine, tap string, mark float64) (procedures.MPerMin, procedures.How) {
	if c, ok := knobCurve(m, tap); ok {
		v, err := c.SpeedAt(mark)
		if err != nil {
			return 0, ""
		}
		return procedures.MPerMin(v.Value), curveHow(c)
	}
	if !m.Knob.Marked() || m.WireMin <= 0 || m.WireMax <= m.WireMin || mark < m.Knob.Min || mark > m.Knob.Max {
		return 0, ""
	}
	return m.WireMin + procedures.MPerMin((mark-m.Knob.Min)/(m.Knob.Max-m.Knob.Min))*(m.WireMax-m.WireMin), procedures.Guessed
}

// knobCurve is the curve of the machine as it stands, on a tap; false where it
// has not two marks, which is no curve yet.
func knobCurve(m procedures.Machine, tap string) (feeder.Curve, bool) {
	c, ok := feeder.CurveOf(m, m.State.ID, tap)
	return c, ok && len(c.Points) > 1
}

// curveHow is how a value of a curve is known: one from another tap or an earlier
// state is no more than a guess here.
func curveHow(c feeder.Curve) procedures.How {
	if c.From != "" {
		return procedures.Guessed
	}
	return procedures.OwnCurve
}

// settle rounds a mark to what a hand can set, within the marks measured.
func settle(c feeder.Curve, k procedures.Knob, mark float64) float64 {
	reach, _ := c.Reach()
	return math.Max(reach[0], math.Min(reach[1], feeder.Settle(k, mark)))
}

func dialShare(m procedures.Machine, s procedures.MPerMin) (float64, bool) {
	if m.WireMin <= 0 || m.WireMax <= m.WireMin || s <= 0 {
		return 0, false
	}
	return math.Max(0, math.Min(1, float64((s-m.WireMin)/(m.WireMax-m.WireMin)))), true
}

// feederReach is the slowest and the fastest wire speed of a machine in m/min, as
// measured at the ends of its knob, else as written down; zero: not known. What
// was written down gives way where the two cannot both be.
func feederReach(m procedures.Machine) (slowest, fastest float64) {
	slowest, fastest = float64(m.WireMin), float64(m.WireMax)
	low, high := feeder.Ends(m)
	if low > 0 {
		if slowest = float64(low); fastest <= slowest {
			fastest = 0
		}
	}
	if high > 0 {
		if fastest = float64(high); slowest >= fastest {
			slowest = 0
		}
	}
	return slowest, fastest
}

// runOut says how the knob of the machine asked about is measured without getting
// hurt.
func runOut(r Request) string {
	sum := "inches times 6 is in/min"
	if r.Units == procedures.Metric {
		sum = "centimeters times 0.06 is m/min"
	}
	return "clamp off the work, gun pointed at nothing metal, eyes covered, for the wire is live while it feeds; run it out for 10 seconds, cut it at the tip and measure what you cut: " + sum + ". " + caution.LiveWire(r.Machine)
}

// measuredKnob puts in the mark that a curve gives for the wire speed, its range,
// and what is to be said of it.
func (s *Suggestion) measuredKnob(r Request, c feeder.Curve) {
	m, tap, v := r.Machine, s.Settings.Tap, s.Settings.WireSpeed
	marks, speeds := c.Reach()
	mark, _, how := Dial(m, tap, v)
	if mark == nil {
		s.beyond(r, c)
		return
	}
	s.Settings.Knob, s.Settings.How["knob"] = mark, how
	at, err := c.SpeedAt(*mark)
	if err != nil {
		return
	}
	off := 50 * (at.High - at.Low) / at.Value
	ends := [2]float64{*mark, *mark}
	for _, w := range append(s.Range.WireSpeed[:], v) {
		w = max(speeds[0], min(speeds[1], w))
		if x, err := c.MarkAt(w); err == nil {
			ends[0], ends[1] = math.Min(ends[0], settle(c, m.Knob, x.Value)), math.Max(ends[1], settle(c, m.Knob, x.Value))
		}
	}
	s.Range.Knob = &ends
	where := fmt.Sprintf("%d marks from %s to %s", len(c.Points), procedures.FormatKnob(marks[0]), procedures.FormatKnob(marks[1]))
	if c.From != "" {
		s.care("knob", fmt.Sprintf("The knob is not run out on this very tap of the machine as it stands: the mark comes from %s (%s) and may be %.0f %% off. Run it out here: %s.", c.From, where, off, markOn(tap, *mark)), "CP")
		return
	}
	s.because([]string{"MATH"}, "knob %s by your own run-outs (%s): about %s there, good to %.0f %%; come up to the mark from below", procedures.FormatKnob(*mark), where, speed(r, procedures.MPerMin(at.Value)), off)
	if !c.Calibrated() {
		text := "Two marks of the knob are measured here and three are wanted: between two, nobody knows how the knob bends."
		if next, ok := c.Next(m.Knob); ok {
			text += " Next: " + markOn(tap, next.Mark) + "."
		}
		s.care("knob", text, "MATH")
	}
}

// beyond says why there is no mark: the wire speed lies outside the marks measured.
func (s *Suggestion) beyond(r Request, c feeder.Curve) {
	marks, speeds := c.Reach()
	v, word, end := s.Settings.WireSpeed, "faster", 1
	if v < speeds[0] {
		word, end = "slower", 0
	}
	text := fmt.Sprintf("%s is %s than any mark that was run out (%s at mark %s), so no mark is given.", speed(r, v), word, speed(r, speeds[end]), procedures.FormatKnob(marks[end]))
	if c.From != "" {
		text += " That is by " + c.From + "."
	}
	if next, ok := c.Toward(v, r.Machine.Knob); ok {
		text += fmt.Sprintf(" Run out %s next.", markOn(s.Settings.Tap, next.Mark))
		s.because(nil, "%s", text)
	} else {
		text += " The knob is at its end there: the feeder goes no " + word + "."
		s.lower(nil, "%s", text)
	}
	s.care("knob", text, "MATH")
}

// oneMark says what the only mark measured gives, where there is no more; "" else.
func oneMark(r Request, tap string) string {
	c, ok := feeder.CurveOf(r.Machine, r.Machine.State.ID, tap)
	if !ok || len(c.Points) != 1 || c.From != "" {
		return ""
	}
	return fmt.Sprintf(" One mark is run out so far (%s: %s); three are wanted.", procedures.FormatKnob(c.Points[0].Mark), speed(r, c.Points[0].Speed))
}

// markOn names a mark of the knob on a tap.
func markOn(tap string, mark float64) string {
	if tap == "" {
		return "mark " + procedures.FormatKnob(mark)
	}
	return fmt.Sprintf("mark %s on tap %s", procedures.FormatKnob(mark), tap)
}
