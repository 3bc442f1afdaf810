package main

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"gonum.org/v1/plot/vg/draw"

	"beadwright/cmd/beadwright/paper"
	"beadwright/data"
	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
	"beadwright/recommend/caution"
	"beadwright/recommend/steel"
)

// procedureSheet is a procedure with all that a sheet of it shows.
type procedureSheet struct {
	Procedure procedures.Procedure `json:"procedure"`
	Missing   string               `json:"draft_because"` // null: it is none
	Doubts    []recommend.Reason   `json:"doubts"`        // found as it was written
	Stale     []recommend.Reason   `json:"stale"`         // why it holds no more as it did
	Failed    []recommend.Failure  `json:"failed_in_use"` // outweighs every test
	Fields    []sheetField         `json:"fields"`
	Energy    *[2]float64          `json:"arc_energy_kJ_mm"`
	Fixed     []recommend.Reason   `json:"fixed"`
	Revisions []sheetRevision      `json:"revisions"`
	Cautions  []caution.Caution    `json:"cautions"`
	Sources   map[string]string    `json:"sources"`

	procedureState
	units procedures.Units
}

// sheetField is a field of a procedure sheet: what the notebook knows, then what
// the welder wrote; "" where it is blank.
type sheetField struct {
	Group string `json:"group"`
	Field string `json:"field"`
	Value string `json:"value"`
	ISO   string `json:"iso_15609_1"`
	AWS   string `json:"aws_d1_1"`
}

type sheetRevision struct {
	Revision int                        `json:"revision"`
	At       time.Time                  `json:"at"`
	Status   procedures.ProcedureStatus `json:"status"`
	Why      string                     `json:"why"`
}

// noQualification goes on every sheet.
const noQualification = "A shop's own procedure from own coupons. It is no qualification under any code, and no code's acceptance."

func (a *app) procedureSheet(ctx context.Context, nb *store.Notebook, p procedures.Procedure, units procedures.Units) (*procedureSheet, error) {
	s := &procedureSheet{Procedure: p, Doubts: []recommend.Reason{}, Stale: []recommend.Reason{}, Fixed: recommend.Fixed(), Sources: map[string]string{}, units: units}
	var err error
	if s.procedureState, err = a.procedureState(ctx, nb, p); err != nil {
		return nil, err
	}
	for _, text := range s.alert() { // whoever shows only why it is stale shows this too
		s.Stale = append(s.Stale, recommend.Reason{Text: strings.TrimSuffix(text, "."), Source: []string{}})
	}
	s.Stale, s.Failed = append(s.Stale, s.stale...), s.failed
	if p.Draft() {
		s.Missing = fmt.Sprintf("%d of the %d coupons wanted passed a bend or break test; weld and break more like them, then revise it", len(p.Tests), procedures.ProvedBy)
	}
	if low, high, ok := recommend.ProcedureEnergy(p); ok {
		s.Energy = &[2]float64{procedures.Round(float64(low)), procedures.Round(float64(high))}
	}
	all, err := nb.ProcedureRevisions(ctx, p.Name)
	if err != nil {
		return nil, err
	}
	for _, r := range all {
		s.Revisions = append(s.Revisions, sheetRevision{r.Revision, r.At, r.Status, r.Why})
	}
	s.Cautions = recommend.ProcedureCautions(p, s.machine)
	for _, f := range data.ProcedureFields() {
		s.Fields = append(s.Fields, sheetField{f.Group, f.Field, joined("; ", s.known(f.Field), p.Fields[f.Field]), f.ISO, f.AWS})
	}
	s.cite()
	return s, nil
}

// joined puts a sign between what is not empty.
func joined(with string, parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), with)
}

func (s *procedureSheet) cite() {
	take := func(ids []string) {
		for _, id := range ids {
			s.Sources[id] = data.Cite(id)[0]
		}
	}
	for _, r := range s.Procedure.Ranges {
		take(r.Source)
	}
	for _, r := range s.Fixed {
		take(r.Source)
	}
	for _, c := range s.Cautions {
		take(c.Source)
	}
}

// range says a range of the procedure in the notebook's units.
func (s *procedureSheet) rangeText(variable string) string {
	r, ok := s.Procedure.Range(variable)
	if !ok {
		return ""
	}
	low, high := s.say(variable, r.Low), s.say(variable, r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

// say writes a value of a variable.
func (s *procedureSheet) say(variable string, v float64) string {
	switch variable {
	case "wire_speed_m_min":
		return procedures.FormatWireSpeed(procedures.MPerMin(v), s.units)
	case "knob":
		return procedures.FormatKnob(v)
	case "voltage_V":
		return fmt.Sprintf("%.1f V", v)
	case "current_A":
		return fmt.Sprintf("%.0f A", v)
	case "travel_mm_min":
		if s.units == procedures.Metric {
			return fmt.Sprintf("%.0f mm/min", v)
		}
		return fmt.Sprintf("%.1f in/min", procedures.MMPerMin(v).InchesPerMin())
	}
	format := procedures.FormatLength
	if variable == "extension_mm" {
		format = procedures.FormatRuler
	}
	text, _, _ := strings.Cut(format(procedures.MM(v), s.units), " (")
	return text
}

// known is what the notebook knows of a field of the sheet; "" nothing.
func (s *procedureSheet) known(field string) string {
	p := s.Procedure
	j, set := p.Job, p.Settings
	switch field {
	case "number, revision, date, who wrote and who approved it":
		return fmt.Sprintf("%s, revision %d, %s", p.Name, p.Revision, p.At.Local().Format("2006-01-02"))
	case "record of the qualifying test, or prequalified":
		if len(p.Tests) == 0 {
			return "none; no test of its own yet either"
		}
		return joined("; ", "none", "own tests: "+strings.Join(p.Tests, ", "), after(failedInUse+": ", s.unanswered()))
	case "steel: standard and grade, or group":
		return list(j.Steel, after("group ", j.SteelGroup))
	case "range of thickness and of pipe diameter":
		return "thinner part " + s.rangeText("thickness_mm")
	case "process, and how far it is mechanised":
		return fmt.Sprintf("%s (%s), wire fed by the machine, gun by hand", j.Process.Letters(), j.Process)
	case "joint type and sketch, root opening, root face, groove angle and radius":
		gap := ifKnown("root opening ", float64(j.Gap), procedures.FormatLength(j.Gap, s.units))
		if gap == "" && (j.Weld == procedures.SquareGroove || j.Weld == procedures.VGroove) {
			gap = "root opening not written down: write it here"
		}
		return list(string(j.Joint)+" joint", weldName(j.Weld), gap, "sketch on this sheet")
	case "sketch of the order of runs":
		if len(p.Passes) == 1 {
			return "one run"
		}
	case "preparation, cleaning, clamping and tacks":
		if j.Stripped {
			return "coating taken well back from the weld"
		}
	case "position":
		aws, iso := j.Position.Codes(j.Weld)
		return fmt.Sprintf("%s (%s, %s)", j.Position, aws, iso)
	case "vertical: up or down":
		switch j.Position {
		case procedures.VerticalUp:
			return "up"
		case procedures.VerticalDown:
			return "down"
		}
		return "not vertical"
	case "stringer or weave, and its greatest width":
		return set.Technique
	case "one or several passes a side":
		return passes(procedures.Count(len(p.Passes)))
	case "contact tip to work distance":
		return s.rangeText("extension_mm")
	case "how many electrodes and how far apart":
		return "one"
	case "filler: standard, class, maker's name and diameter":
		return j.Wire.String() + " (AWS class)"
	case "gas or flux, its make-up, flow and nozzle":
		if j.Process == procedures.FCAWS {
			return "none: self-shielded wire"
		}
		return j.Gas
	case "current type and polarity":
		return polarityWords[set.Polarity]
	case "range of current or wire speed":
		return list(s.rangeText("wire_speed_m_min"), s.rangeText("current_A"))
	case "range of voltage":
		return list(s.rangeText("voltage_V"), after("tap ", strings.ToUpper(set.Tap)))
	case "transfer mode, and kind of power source":
		return "machine: " + s.machine.Name
	case "tungsten size and type":
		return "not used"
	case "for each run: process, filler and size, polarity, current or wire speed, voltage, travel speed":
		return "see the runs on this sheet"
	case "range of heat input or arc energy":
		if s.Energy != nil {
			return fmt.Sprintf("arc energy %.2f to %.2f kJ/mm", s.Energy[0], s.Energy[1])
		}
	case "least preheat by thickness":
		if set.Preheat != nil {
			return fmt.Sprintf("%.0f C (%.0f F)", *set.Preheat, steel.Fahrenheit(*set.Preheat))
		}
		if least, ok := recommend.LeastPreheat(j); ok && least.None() {
			return "none asked for by AWS D1.1 at this thickness; below freezing warm it to 70 F (20 C) first"
		}
	}
	return ""
}

// document is the procedure as a sheet of paper.
func (s *procedureSheet) document() paper.Document {
	p := s.Procedure
	page := paper.Letter
	if s.units == procedures.Metric {
		page = paper.A4
	}
	page.Letter = 9.5
	d := paper.Document{Title: "Procedure: " + p.Name, Page: page, At: p.At, Alert: s.alert(),
		Foot: fmt.Sprintf("%s, revision %d of %s. %s Results hold for the logged coupons on this machine alone. Local codes, the machine's manual and licensed trades come first.", p.Name, p.Revision, p.At.Local().Format("2006-01-02"), noQualification)}
	d.Lead = append(d.Lead, list(fmt.Sprintf("revision %d", p.Revision), p.At.Local().Format("2006-01-02"), string(p.Status), draftWord(p)), describeJob(p.Job, s.units), "SET  "+setLine(p.Settings, s.units))
	add := func(b ...paper.Block) { d.Blocks = append(d.Blocks, b...) }
	strong := func(format string, args ...any) { add(paper.Words{Text: fmt.Sprintf(format, args...), Strong: true}) }
	add(paper.Words{Text: noQualification})
	switch p.Status {
	case procedures.Retired:
		strong("RETIRED: %s", p.Why)
	case procedures.Superseded:
		strong("SUPERSEDED: a later revision stands.")
	}
	if s.Missing != "" {
		strong("DRAFT: %s.", s.Missing)
	}
	for _, r := range append(slices.Clone(s.stale), s.Doubts...) {
		strong("MIND: %s.", r.Text)
	}
	if p.Note != "" {
		add(paper.Words{Text: "Note: " + p.Note})
	}
	add(paper.Drawing{Draw: func(c draw.Canvas) { paper.Sketch(c, p, s.units) }, Words: "Sketch: " + describeJob(p.Job, s.units) + joined("", ifKnown(", leg ", float64(p.Settings.Leg), procedures.FormatLength(p.Settings.Leg, s.units)))})
	add(paper.Heading("Settings and their ranges"), s.rangeTable())
	for _, r := range p.Ranges {
		add(paper.Words{Item: true, Text: variableNames[r.Variable] + ": " + r.Why + ". [" + strings.Join(r.Source, " ") + "]"})
	}
	add(paper.Heading("Runs"), s.passTable(), paper.Heading("Tests that stand behind it"), s.testTable())
	group := ""
	for _, f := range s.Fields {
		if f.Group != group {
			group = f.Group
			add(paper.Heading(strings.ToUpper(group[:1])+group[1:]), paper.Fields{})
		}
		at := len(d.Blocks) - 1
		d.Blocks[at] = append(d.Blocks[at].(paper.Fields), paper.Field{Name: f.Field, Value: f.Value})
	}
	add(paper.Words{Text: "These fields are the content lists of ISO 15609-1 and of the procedure form of AWS D1.1; what is not known is left to be written in."})
	add(paper.Heading("Any of these makes it another procedure"))
	for _, r := range s.Fixed {
		add(paper.Words{Item: true, Text: r.Text + ". [" + strings.Join(r.Source, " ") + "]"})
	}
	add(paper.Heading("Revisions"))
	for _, r := range s.Revisions {
		add(paper.Words{Item: true, Text: list(fmt.Sprintf("revision %d", r.Revision), r.At.Local().Format("2006-01-02"), string(r.Status), r.Why)})
	}
	add(paper.Heading("Cautions"))
	own, standing := parted(slices.Clone(s.Cautions))
	for i := range standing {
		standing[i].Text, standing[i].Instead = firstSentence(standing[i].Text), ""
	}
	for _, c := range append(own, standing...) {
		text := c.Text
		if c.Level != caution.Care {
			text = strings.ToUpper(string(c.Level)) + ": " + text
		}
		add(paper.Words{Item: true, Text: strings.TrimSpace(text+" "+c.Instead) + " [" + strings.Join(c.Source, " ") + "]"})
	}
	add(paper.Heading("Sources"))
	for _, id := range slices.Sorted(maps.Keys(s.Sources)) {
		add(paper.Words{Item: true, Text: id + ": " + s.Sources[id]})
	}
	return d
}

// variableNames are the words for the variables that have ranges.
var variableNames = map[string]string{
	"wire_speed_m_min": "wire speed", "knob": "knob", "voltage_V": "arc volts", "current_A": "current", "travel_mm_min": "pace",
	"extension_mm": "stick-out", "leg_mm": "leg", "thickness_mm": "thickness",
}

func (s *procedureSheet) rangeTable() paper.Table {
	p := s.Procedure
	t := paper.Table{Head: []string{"what", "set", "from", "to", "how it is known"}}
	middle := map[string]float64{"wire_speed_m_min": float64(p.Settings.WireSpeed), "voltage_V": float64(p.Settings.Voltage), "current_A": float64(p.Settings.Current),
		"travel_mm_min": float64(p.Settings.Travel), "extension_mm": float64(p.Settings.Extension), "leg_mm": float64(p.Settings.Leg), "thickness_mm": float64(p.Job.Thinner())}
	if p.Settings.Knob != nil {
		middle["knob"] = *p.Settings.Knob
	}
	if p.Settings.Tap != "" {
		t.Rows = append(t.Rows, paper.Row{Cells: []string{"tap", strings.ToUpper(p.Settings.Tap), "", "", "as welded"}, Strong: true})
	}
	if p.Settings.Knob == nil {
		t.Rows = append(t.Rows, paper.Row{Cells: []string{"knob", "", "", "", "mark not written down: write it here"}})
	}
	if p.Settings.Polarity != "" {
		t.Rows = append(t.Rows, paper.Row{Cells: []string{"polarity", polarityWords[p.Settings.Polarity], "", "", "as welded"}, Strong: true})
	}
	for _, r := range p.Ranges {
		set := ""
		if v := middle[r.Variable]; v != 0 {
			set = s.say(r.Variable, v)
		}
		how := howWords[p.Settings.How[r.Variable]]
		if r.Variable == "thickness_mm" {
			how = "as welded"
		}
		t.Rows = append(t.Rows, paper.Row{Cells: []string{variableNames[r.Variable], set, s.say(r.Variable, r.Low), s.say(r.Variable, r.High), how}, Strong: r.Variable == "wire_speed_m_min" || r.Variable == "knob"})
	}
	for _, key := range []string{"voltage_V", "current_A"} {
		if _, ok := p.Range(key); !ok {
			t.Rows = append(t.Rows, paper.Row{Cells: []string{variableNames[key], "", "", "", "not measured"}})
		}
	}
	return t
}

// howWords say how a value of a procedure is known.
var howWords = map[procedures.How]string{procedures.Measured: "measured", procedures.OwnCurve: "own run-outs", procedures.FromTable: "table, not measured",
	procedures.CommonPractice: "common practice, not measured", procedures.Guessed: "as suggested or guessed"}

func (s *procedureSheet) passTable() paper.Table {
	t := paper.Table{Head: []string{"run", "what", "wire", "tap", "knob", "wire speed", "volts", "amps", "pace", "polarity"}}
	show := func(key string, v float64) string {
		if v == 0 {
			return "" // not known stays blank
		}
		return s.say(key, v)
	}
	for _, r := range s.Procedure.Passes {
		knob := ""
		if r.Knob != nil {
			knob = procedures.FormatKnob(*r.Knob)
		}
		t.Rows = append(t.Rows, paper.Row{Cells: []string{fmt.Sprint(r.Number), r.What, r.Wire.String(), strings.ToUpper(r.Tap), knob, show("wire_speed_m_min", float64(r.WireSpeed)),
			show("voltage_V", float64(r.Voltage)), show("current_A", float64(r.Current)), show("travel_mm_min", float64(r.Travel)), strings.ToUpper(string(r.Polarity))}})
	}
	return t
}

func (s *procedureSheet) testTable() paper.Table {
	t := paper.Table{Head: []string{"coupon", "date", "thickness", "set", "looks", "test", "stands behind it"}}
	for _, w := range s.welds {
		var tests []string
		for _, test := range w.Outcome.Tests {
			word := "failed"
			if test.Passed {
				word = "passed"
			}
			tests = append(tests, fmt.Sprintf("%s %s (%s)", test.Kind, word, test.Result))
		}
		set := list(strings.ToUpper(w.Settings.Tap), ifKnown("", float64(w.Settings.WireSpeed), procedures.FormatWireSpeed(w.Settings.WireSpeed, s.units)))
		if w.Settings.Knob != nil {
			set = list(set, "knob "+procedures.FormatKnob(*w.Settings.Knob))
		}
		behind := s.behind(w)
		t.Rows = append(t.Rows, paper.Row{Cells: []string{w.Mark, w.At.Local().Format("2006-01-02"), s.say("thickness_mm", float64(w.Job.Thinner())), set, ratingNames[w.Outcome.Rating], strings.Join(tests, ", "), behind}, Strong: behind == behindTested || behind == failedInUse})
	}
	return t
}

// printProcedure prints a procedure; did says what was done with it, "" nothing.
func (a *app) printProcedure(s *procedureSheet, did string) error {
	if a.json {
		return a.printJSON(s)
	}
	page, err := s.document().As("txt")
	if err != nil {
		return err
	}
	if did != "" {
		a.printf("%s %s, revision %d\n\n", did, s.Procedure.Name, s.Procedure.Revision)
	}
	a.printf("%s", page)
	if did != "" {
		a.printf("\non paper: beadwright print procedure %s sheet.pdf (or .html, .md, .txt)\n", quote(s.Procedure.Name))
	}
	return nil
}

// barred reports whether a stop stands against the procedure as it is today.
func (s *procedureSheet) barred() bool {
	return slices.ContainsFunc(s.Cautions, func(c caution.Caution) bool { return c.Level == caution.Stop })
}

// refuseSheet says why no sheet is printed, on purpose.
func (a *app) refuseSheet(s *procedureSheet) error {
	if a.json {
		if err := a.printJSON(printed{Print: "procedure", Cautions: s.Cautions}); err != nil {
			return err
		}
		return errNoSettings
	}
	a.line("verdict", "no sheet on purpose")
	a.printCautions(slices.DeleteFunc(slices.Clone(s.Cautions), func(c caution.Caution) bool { return c.Level != caution.Stop }))
	return errNoSettings
}
