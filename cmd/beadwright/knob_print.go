package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/feeder"
)

// knobPoint is one mark of one tap, as it is shown.
type knobPoint struct {
	Tap string `json:"tap"`
	feeder.Point
}

// knobStep is what to run out next on one tap.
type knobStep struct {
	Tap  string  `json:"tap"`
	Mark float64 `json:"mark"`
	Why  string  `json:"why"`
}

// knobLoan is a curve that stands in where a tap has none of its own.
type knobLoan struct {
	Tap  string `json:"tap"`
	From string `json:"from"`
}

// knobTaps lists the taps to show: the one asked for, else those of the machine,
// coldest first, and whatever else was run out on.
func knobTaps(m procedures.Machine, tap string) []string {
	if tap != "" {
		return []string{tap}
	}
	taps := m.TapNames()
	for _, r := range m.RunOuts {
		if m.SameFeed(r.State, m.State.ID) && !slices.ContainsFunc(taps, func(t string) bool { return strings.EqualFold(t, r.Tap) }) {
			taps = append(taps, r.Tap)
		}
	}
	if len(taps) == 0 {
		taps = []string{""}
	}
	return taps
}

func (a *app) printKnob(m procedures.Machine, o knobOptions, tap string, added []procedures.RunOut, units procedures.Units) error {
	taps := knobTaps(m, tap)
	points, steps, loans, far := []knobPoint{}, []knobStep{}, []knobLoan{}, []int{}
	for _, t := range taps {
		own, _ := feeder.Own(m, m.State.ID, t)
		for _, r := range odd(own, added) {
			far = append(far, r.Number)
		}
		for _, p := range own.Points {
			points = append(points, knobPoint{t, p})
		}
		if s, ok := own.Next(m.Knob); ok {
			steps = append(steps, knobStep{t, s.Mark, s.Why})
		}
		if c, ok := feeder.CurveOf(m, m.State.ID, t); ok && c.From != "" {
			loans = append(loans, knobLoan{t, c.From})
		}
	}
	if a.json {
		return a.printJSON(map[string]any{"machine": m, "runouts": added, "odd": far, "curve": points, "next": steps, "from": loans})
	}
	for _, r := range added {
		a.line("wrote", fmt.Sprintf("run-out %d of %s: mark %s%s, %s", r.Number, m.Name, markText(r.Mark), onTap(r.Tap), runWords(r, units)))
	}
	if o.strikeSaid {
		a.line("struck", fmt.Sprintf("run-out %s of %s. It is kept and no longer counted", strings.TrimSpace(o.strike), m.Name))
	}
	if len(steps) > 0 {
		a.printNext(m, steps[0], units)
	} else {
		a.line("next", "nothing more to run out. After a new liner, tip or drive roll, run a mark out again")
	}
	if len(m.RunOuts) == 0 {
		a.printf("\nhow\n")
		for k, h := range howToRunOut {
			if k == 2 {
				a.bullet("Dead: "+caution.LiveWire(m), []string{"CP"})
			}
			a.bullet(h, []string{"CP"})
		}
	}
	for _, t := range taps {
		a.printCurve(m, t, added, units)
	}
	a.storedCharge(m)
	return nil
}

// printCurve shows the curve of one tap as a table, and what is to be said of it.
func (a *app) printCurve(m procedures.Machine, tap string, added []procedures.RunOut, units procedures.Units) {
	own, ok := feeder.Own(m, m.State.ID, tap)
	a.printf("\n%s%s, state %d\n", m.Name, onTap(tap), m.State.Number)
	if ok {
		unit := "in/min"
		if units == procedures.Metric {
			unit = "m/min"
		}
		a.printf("  %-8s%8s   %-16s%5s   %-8s%s\n", "mark", unit, "repeats", "runs", "timing", "numbers")
		for _, p := range own.Points {
			repeats := ""
			if p.Count > 1 {
				repeats = speedWord(p.Low, units) + " to " + speedWord(p.High, units)
			}
			a.printf("  %-8s%8s   %-16s%5d   %-8s%s\n", markText(p.Mark), speedWord(p.Speed, units), repeats, p.Count,
				fmt.Sprintf("%.1f %%", p.Error), strings.Trim(fmt.Sprint(p.Runs), "[]"))
		}
	}
	switch n := len(own.Points); {
	case n == 0:
		a.bullet("nothing is run out here"+a.loan(m, tap), nil)
	case n == 1:
		a.bullet("one mark is no curve yet; three are wanted"+a.loan(m, tap), nil)
	case !own.Calibrated():
		a.bullet("two marks: between them a straight line is used, and nobody knows how the knob bends; three are wanted", nil)
	default:
		reach, _ := own.Reach()
		a.bullet(fmt.Sprintf("measured from mark %s to %s; outside that no mark is given", markText(reach[0]), markText(reach[1])), nil)
	}
	if ok {
		a.bullet(fmt.Sprintf("timing: what %.1f s of thumb on the stopwatch makes of it, less with each repeat", feeder.Thumb), []string{"MATH"})
	}
	if len(own.Again) > 0 {
		var marks []string
		for _, x := range own.Again {
			marks = append(marks, markText(x))
		}
		a.bullet("the wire does not run faster with each of the marks "+strings.Join(marks, ", ")+": their mean is used; run them out again", nil)
	}
	for _, r := range odd(own, added) {
		a.bullet(fmt.Sprintf("run-out %d is more than %.0f %% from the others at its mark: run it again, and if it was a slip, beadwright machine knob --strike %d --why 'let go too late'", r.Number, 100*oddShare, r.Number), nil)
	}
}

// loan says what stands in for a curve that a tap does not have.
func (a *app) loan(m procedures.Machine, tap string) string {
	if c, ok := feeder.CurveOf(m, m.State.ID, tap); ok && c.From != "" {
		return "; until then the marks come from " + c.From + ", with a wider range"
	}
	return ""
}

// markText writes a mark as it was read: as people say it where it is a quarter, and
// never another number.
func markText(mark float64) string {
	if math.Abs(mark*4-math.Round(mark*4)) < 1e-9 {
		return procedures.FormatKnob(mark)
	}
	return fmt.Sprintf("%.4g", mark)
}

func onTap(tap string) string {
	if tap == "" {
		return ""
	}
	return ", " + strings.ToUpper(tap) + " tap"
}

func runWords(r procedures.RunOut, units procedures.Units) string {
	text := fmt.Sprintf("%s in %g s", wireLength(r.Length, units), float64(r.Seconds))
	if r.ShortSeconds > 0 {
		text += fmt.Sprintf(" less %s in %g s", wireLength(r.ShortLength, units), float64(r.ShortSeconds))
	}
	return text + " is " + procedures.FormatWireSpeed(r.Speed(), units)
}

// wireLength is a length of wire as a tape reads it.
func wireLength(l procedures.MM, units procedures.Units) string {
	if units == procedures.Metric {
		return fmt.Sprintf("%.4g m", float64(l)/1000)
	}
	return fmt.Sprintf("%.4g in (%.0f mm)", l.Inches(), float64(l))
}

// printNext says what to run out next, and what to type then.
func (a *app) printNext(m procedures.Machine, s knobStep, units procedures.Units) {
	length, tap := "INCHES", ""
	if units == procedures.Metric {
		length = "METERS"
	}
	if s.Tap != "" {
		tap = " --tap " + s.Tap
		if strings.Contains(s.Tap, " ") {
			tap = fmt.Sprintf(" --tap %q", s.Tap)
		}
	}
	a.line("next", fmt.Sprintf("run out mark %s%s, three times: %s. Clamp off the work, gun at nothing metal, eyes covered. %s", markText(s.Mark), onTap(s.Tap), s.Why, caution.LiveWire(m)))
	a.printf("%-*sbeadwright machine knob --mark %g%s --length %s --seconds 10\n", margin, "then type", s.Mark, tap, length)
}

// speedWord is a wire speed without its unit, finer than it is spoken of: the
// curve is made of these.
func speedWord(v procedures.MPerMin, units procedures.Units) string {
	if units == procedures.Metric {
		return fmt.Sprintf("%.2f", float64(v))
	}
	return fmt.Sprintf("%.0f", v.InchesPerMin())
}
