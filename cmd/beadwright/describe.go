package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
)

// latestMarks names a few welds, the latest of a list that has them at its end.
func latestMarks(marks []string) string {
	const few = 6
	if older := len(marks) - few; older > 0 {
		return fmt.Sprintf("%s and %d older", strings.Join(marks[older:], ", "), older)
	}
	return strings.Join(marks, ", ")
}

// describeJob says a job back in trade words.
func describeJob(j procedures.Job, units procedures.Units) string {
	thick := ""
	if j.Thickness > 0 {
		thick = describePart(j.Thickness, j.ThicknessSaid, j.Form, units)
		if j.OtherThickness > 0 {
			thick += " to " + describePart(j.OtherThickness, j.OtherSaid, j.OtherForm, units)
		}
	}
	position := string(j.Position)
	if aws, iso := j.Position.Codes(j.Weld); aws != "" {
		position += fmt.Sprintf(" (%s, %s)", aws, iso)
	}
	steel := j.Steel
	if steel == "mild" {
		steel = "mild steel"
	}
	joint := ""
	if j.Joint != "" {
		joint = string(j.Joint) + " joint"
	}
	coat := string(j.Coating)
	if coat != "" && j.Stripped {
		coat += ", stripped"
	}
	gap := ""
	if j.Gap > 0 {
		gap = "gap " + procedures.FormatLength(j.Gap, units)
	}
	return list(thick, steel, coat, joint, weldName(j.Weld), position, gap)
}

func describePart(t procedures.MM, said string, form procedures.Form, units procedures.Units) string {
	text := procedures.FormatLength(t, units)
	if strings.Contains(said, "ga") {
		text = said + " = " + text
	}
	if form != "" && !strings.Contains(said, string(form)) {
		text += " " + string(form)
	}
	return text
}

func weldName(w procedures.WeldType) string {
	switch w {
	case "":
		return ""
	case procedures.Fillet, procedures.Plug, procedures.EdgeWeld:
		return string(w) + " weld"
	}
	return strings.ReplaceAll(string(w), "-", " ")
}

var polarityWords = map[procedures.Polarity]string{
	procedures.DCEN: "gun on the minus (DCEN)", procedures.DCEP: "gun on the plus (DCEP)", procedures.AC: "AC",
}

func setLine(set procedures.Settings, units procedures.Units) string {
	tap := ""
	if set.Tap != "" {
		tap = strings.ToUpper(set.Tap) + " tap"
	}
	wire := ""
	if set.WireSpeed > 0 {
		wire = "wire speed " + bothSpeeds(set.WireSpeed, units)
	} else if set.Current > 0 {
		wire = fmt.Sprintf("%.0f A", float64(set.Current))
	}
	polarity := polarityWords[set.Polarity]
	if set.WireSpeed == 0 {
		polarity = strings.Replace(polarity, "gun", "electrode", 1)
	}
	return list(tap, wire, knobText(set), polarity)
}

func bothSpeeds(v procedures.MPerMin, units procedures.Units) string {
	other := procedures.Metric
	if units == procedures.Metric {
		other = procedures.US
	}
	return procedures.FormatWireSpeed(v, units) + " (" + procedures.FormatWireSpeed(v, other) + ")"
}

func knobText(set procedures.Settings) string {
	guess := ""
	if set.How["knob"] == procedures.Guessed || set.How["knob_text"] == procedures.Guessed {
		guess = " (a guess)"
	}
	switch {
	case set.Knob != nil:
		return "knob " + procedures.FormatKnob(*set.Knob) + guess
	case set.KnobSaid != "":
		return "knob in the " + set.KnobSaid + guess
	}
	return ""
}

func paceText(v procedures.MMPerMin, units procedures.Units) string {
	if v == 0 {
		return ""
	}
	timed, err := arc.SayTravel(v, units)
	if err != nil {
		return ""
	}
	if units == procedures.Metric {
		return fmt.Sprintf("pace %.0f mm/min (%s)", float64(v), timed)
	}
	return fmt.Sprintf("pace %.0f in/min (%s)", v.InchesPerMin(), timed)
}

// arcText says how long an arc burned.
func arcText(t procedures.Seconds) string {
	whole := int(math.Round(float64(t)))
	if whole < 120 {
		return fmt.Sprintf("%.3g s of arc", float64(t))
	}
	return fmt.Sprintf("%d min %d s of arc", whole/60, whole%60)
}

func passes(n procedures.Count) string {
	switch {
	case n == 1:
		return "1 pass"
	case n > 1:
		return fmt.Sprintf("%d passes", n)
	}
	return ""
}

func rangeLine(s recommend.Suggestion, units procedures.Units) string {
	if s.Range.WireSpeed[1] == 0 {
		return fmt.Sprintf("%.0f to %.0f A as printed", float64(s.Range.Current[0]), float64(s.Range.Current[1]))
	}
	text := fmt.Sprintf("the right wire speed lies between %s and %s, 4 times in 5", procedures.FormatWireSpeed(s.Range.WireSpeed[0], units), procedures.FormatWireSpeed(s.Range.WireSpeed[1], units))
	if k := s.Range.Knob; k != nil {
		text += fmt.Sprintf("; knob %s to %s", procedures.FormatKnob(k[0]), procedures.FormatKnob(k[1]))
	}
	return text
}

func expectLine(s recommend.Suggestion, units procedures.Units) string {
	e, set := s.Expect, s.Settings
	parts := []string{}
	if set.Current > 0 {
		parts = append(parts, fmt.Sprintf("about %.0f A at the arc, which wants %.1f V", float64(set.Current), float64(set.Voltage)))
	}
	if set.Leg > 0 {
		parts = append(parts, "leg "+procedures.FormatLength(set.Leg, units))
		if e.Bead > set.Leg*1.15 {
			parts = append(parts, "though a hand at that pace lays more like "+procedures.FormatLength(e.Bead, units))
		}
	}
	if e.ArcEnergy > 0 {
		parts = append(parts, fmt.Sprintf("arc energy %.2f kJ/mm (%.1f kJ/in)", float64(e.ArcEnergy), float64(e.ArcEnergy)*25.4))
	}
	if e.WirePerMetre > 0 {
		if units == procedures.Metric {
			parts = append(parts, fmt.Sprintf("wire %.0f g per meter of weld", float64(e.WirePerMetre)))
		} else {
			parts = append(parts, fmt.Sprintf("wire %.0f g per foot of weld", float64(e.WirePerMetre)*0.3048))
		}
	}
	if e.Supply > 0 {
		parts = append(parts, fmt.Sprintf("about %.0f A from the wall", float64(e.Supply)))
	}
	return strings.Join(parts, ", ")
}

func verdictWords(s recommend.Suggestion) string {
	own, other := "none of your own welds stand behind it yet", ""
	if s.Evidence.SameJob == 0 {
		other = " of other joints, positions or thicknesses"
	}
	switch e := s.Evidence; {
	case e.Good == 1:
		own = "1 good weld of your own" + other + " stands behind it"
	case e.Good > 1:
		own = fmt.Sprintf("%d good welds of your own%s stand behind it", e.Good, other)
		if e.SameJob > 0 && e.SameJob < e.Good {
			own += fmt.Sprintf(", %d of them of this very joint and thickness", e.SameJob)
		}
	}
	if s.Evidence.BeforeChange {
		own += ", from before the machine was changed or from another one"
	}
	if n := s.Evidence.Failed; n > 0 {
		own += fmt.Sprintf("; %d not good", n)
	}
	if failed := s.Evidence.FailedTests; len(failed) > 0 {
		own = fmt.Sprintf("%d of your own FAILED a test or in use (%s); ", len(failed), latestMarks(failed)) + own
	}
	if faded := s.Evidence.ProofFaded; faded != "" && len(s.Evidence.FailedTests) == 0 {
		own = "the proof has faded: " + faded + "; " + own
	}
	switch s.Verdict {
	case recommend.Proved:
		if slices.ContainsFunc(s.Cautions, func(c caution.Caution) bool { return c.Level == caution.Defer }) {
			own = "the coupon is proved, the part is not; " + own
		}
		return "proved: your own " + s.Evidence.ProvedBy + ", a like job, passed its test; " + own
	case recommend.Inside:
		return "inside the tables and the machine's reach; " + own
	}
	near := "near a limit"
	if len(s.Near) > 0 {
		near = strings.Join(s.Near, "; ")
	}
	return "edge: " + near + ". So coupon first and break it; " + own
}
