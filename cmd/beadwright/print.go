package main

import (
	"fmt"
	"sort"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
)

// The text on the screen: a word in the left margin says what a line is about,
// the line itself is what a welder would read aloud.
const margin = 10

// line prints text under a margin word, folded at 100 columns.
func (a *app) line(word, text string) {
	const width = 100 - margin
	for i, part := range fold(text, width) {
		if i > 0 {
			word = ""
		}
		a.printf("%-*s%s\n", margin, word, part)
	}
}

// fold breaks text at spaces into lines of at most width letters.
func fold(text string, width int) []string {
	var lines []string
	cur := ""
	for _, w := range strings.Fields(text) {
		if cur != "" && len([]rune(cur))+1+len([]rune(w)) > width {
			lines, cur = append(lines, cur), ""
		}
		if cur != "" {
			cur += " "
		}
		cur += w
	}
	return append(lines, cur)
}

func list(parts ...string) string {
	var full []string
	for _, p := range parts {
		if p != "" {
			full = append(full, p)
		}
	}
	return strings.Join(full, ", ")
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

func (a *app) printSettings(ans answer, units procedures.Units) {
	s, set := ans.Suggestion, ans.Settings
	a.line("read", describeJob(s.Job, units))
	if len(ans.Assumed) > 0 {
		a.line("assumed", strings.Join(ans.Assumed, "; ")+". Say otherwise to change it")
	}
	if ans.machine.Example {
		a.line("machine", ans.machine.Name+", built in and nobody's name plate. Write yours down: beadwright machine add NAME")
	} else {
		a.line("machine", ans.machine.Name)
	}
	a.printf("\n")
	a.line("SET", setLine(set, units))
	a.line("HOLD", list(ifKnown("stick-out ", float64(set.Extension), procedures.FormatLength(set.Extension, units)), paceText(set.Travel, units), set.Technique, passes(set.Passes)))
	a.line("RANGE", rangeLine(s, units))
	a.line("EXPECT", expectLine(s, units))
	if set.Preheat != nil {
		a.line("PREHEAT", fmt.Sprintf("%.0f C (%.0f F) at least", *set.Preheat, *set.Preheat*9/5+32))
	}
	if e := s.Expect; e.ArcSeconds > 0 {
		text := fmt.Sprintf("%.0f s of arc in any 10 minutes", float64(e.ArcSeconds))
		if e.Rest > 0 {
			text += fmt.Sprintf(", then %.0f s of rest with the fan running", float64(e.Rest))
		} else {
			text = "none owed by the plate; let the case tell you"
		}
		a.line("REST", text)
	}
	if e := s.Expect; e.JobArc > 0 {
		a.line("JOB", fmt.Sprintf("%s of weld: about %.0f s of arc and %.0f g of wire", procedures.FormatLength(s.Job.Length, units), float64(e.JobArc), float64(e.JobWire)))
	}
	if e := s.Expect; e.ShadeMin > 0 {
		a.line("EYES", fmt.Sprintf("filter shade %d at the least, %d suggested; start darker", e.ShadeMin, e.ShadeSuggested))
	}
	a.printf("\n")
	a.line("verdict", verdictWords(s))
	a.printf("\nwhy\n")
	for _, r := range s.Because {
		a.bullet(r.Text, r.Source)
	}
	a.printCautions(s.Cautions)
	a.printSources(ans.Sources)
	next := "weld a coupon, then log it with a rating of 1 to 5: beadwright log 4"
	if ans.ID == "" {
		next = "weld a coupon and note what you set"
	}
	a.line("next", next)
}

func (a *app) bullet(text string, source []string) {
	if len(source) > 0 {
		text += " [" + strings.Join(source, " ") + "]"
	}
	for i, part := range fold(text, 96) {
		lead := "  - "
		if i > 0 {
			lead = "    "
		}
		a.printf("%s%s\n", lead, part)
	}
}

func (a *app) printCautions(all []caution.Caution) {
	if len(all) == 0 {
		return
	}
	a.printf("\ncautions\n")
	for _, c := range all {
		text := c.Text
		if c.Level != caution.Care {
			text = strings.ToUpper(string(c.Level)) + ": " + text
		}
		if c.Instead != "" {
			text += " " + c.Instead
		}
		a.bullet(text, c.Source)
	}
}

func (a *app) printSources(sources map[string]string) {
	if len(sources) == 0 {
		return
	}
	ids := make([]string, 0, len(sources))
	for id := range sources {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	a.printf("\nsources\n")
	for _, id := range ids {
		a.bullet(id+": "+sources[id], nil)
	}
	a.printf("\n")
}

func (a *app) printRefusal(ans answer, units procedures.Units) {
	if text := describeJob(ans.Job, units); text != "" {
		a.line("read", text)
	}
	word := "no settings on purpose"
	if ans.Verdict == recommend.Outside {
		word = "no settings: outside what the tables and your own welds cover"
	}
	a.line("verdict", word)
	a.printCautions(ans.Cautions)
	a.printSources(ans.Sources)
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
	return list(tap, wire, knobText(set), polarityWords[set.Polarity])
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

func passes(n procedures.Count) string {
	switch {
	case n == 1:
		return "1 pass"
	case n > 1:
		return fmt.Sprintf("%d passes", n)
	}
	return ""
}

// after puts a lead before words that may be missing.
func after(lead, words string) string {
	if words == "" {
		return ""
	}
	return lead + words
}

// ifKnown puts a lead before a quantity's text unless the quantity is zero.
func ifKnown(lead string, v float64, text string) string {
	if v == 0 {
		return ""
	}
	return lead + text
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
		parts = append(parts, fmt.Sprintf("about %.0f A and %.1f V at the arc", float64(set.Current), float64(set.Voltage)))
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
			parts = append(parts, fmt.Sprintf("wire %.0f g per metre of weld", float64(e.WirePerMetre)))
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
	own := "none of your own welds stand behind it yet"
	switch e := s.Evidence; {
	case e.Good == 1:
		own = "1 good weld of your own stands behind it"
	case e.Good > 1:
		own = fmt.Sprintf("%d good welds of your own stand behind it", e.Good)
	}
	if n := s.Evidence.Failed; n > 0 {
		own += fmt.Sprintf("; %d rated below 4", n)
	}
	switch s.Verdict {
	case recommend.Proved:
		return "proved: your own " + s.Evidence.ProvedBy + ", a like job, passed its test; " + own
	case recommend.Inside:
		return "inside the tables and the machine's reach; " + own
	}
	return "edge: near a limit, so coupon first and break it; " + own
}
