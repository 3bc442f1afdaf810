package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// measured is what machine measure shows.
type measured struct {
	Machine  string                   `json:"machine"`
	State    string                   `json:"state"`
	Added    []procedures.Measurement `json:"added"`    // now
	Measured []procedures.Measurement `json:"measured"` // in the present state, newest first
	Findings []finding                `json:"findings"` // open-circuit volts against the limits
	Brackets []recommend.Bracket      `json:"brackets"`
	Own      *ownCurve                `json:"own_current"`
	Amps     []recommend.AmpReading   `json:"amp_readings"` // with this spool
	Next     []toMeasure              `json:"next"`
	Cautions []caution.Caution        `json:"cautions"`
	Sources  map[string]string        `json:"sources"`
}

// ownCurve is the line through the welder's own clamp readings.
type ownCurve struct {
	Spool       string     `json:"spool"`
	Wire        string     `json:"wire"`
	Intercept   float64    `json:"intercept_A"`
	Slope       float64    `json:"slope_A_per_m_min"`
	Count       int        `json:"count"`
	Scatter     float64    `json:"scatter_A"`
	Probability float64    `json:"probability"` // of low_A to high_A, for one more reading
	Points      []ownPoint `json:"points"`
	Refused     string     `json:"refused"` // why there is no line; "" where there is one
}

// ownPoint is the line at one wire speed, beside the table's current.
type ownPoint struct {
	WireSpeed procedures.MPerMin `json:"wire_speed_m_min"`
	Current   procedures.Amps    `json:"current_A"`
	Low       procedures.Amps    `json:"low_A"`
	High      procedures.Amps    `json:"high_A"`
	Table     procedures.Amps    `json:"table_A"` // zero: the table does not reach it
}

// toMeasure is one thing to measure next.
type toMeasure struct {
	What string `json:"what"`
	How  string `json:"how"`
	Type string `json:"type"` // what to type
}

func (a *app) showMeasured(m procedures.Machine, added []procedures.Measurement, spool procedures.Spool, units procedures.Units) error {
	held, err := heldOpen(m)
	if err != nil {
		return err
	}
	v := measured{Machine: m.Name, State: m.State.ID, Added: added, Measured: presently(m), Findings: findings(held), Brackets: recommend.Brackets(m),
		Amps: recommend.AmpReadings(m, spool.ID), Next: next(m, spool), Cautions: electric(m)}
	v.Sources = citedIn(held, v.Cautions)
	v.Own = ownAmps(m, spool, v.Amps)
	if v.Brackets == nil {
		v.Brackets = []recommend.Bracket{}
	}
	if v.Amps == nil {
		v.Amps = []recommend.AmpReading{}
	}
	if a.json {
		return a.printJSON(v)
	}
	if len(added) > 0 {
		a.printf("written down: %s\n", counted(len(added), "reading"))
	}
	a.printf("%s\n", stateLine(m))
	a.printReadings(v.Measured)
	a.printFindings(held)
	for _, b := range v.Brackets {
		a.printBracket(b)
	}
	a.printOwnCurve(v, units)
	if len(v.Next) > 0 {
		a.printf("\nnext\n")
		for k, n := range v.Next {
			if k == 0 {
				a.bullet(n.What+": "+n.How+" Then: "+n.Type, nil)
			} else {
				a.bullet(n.What+": "+n.Type, nil)
			}
		}
	}
	a.printCautions(v.Cautions)
	return nil
}

// presently lists what was measured in the present state, newest first. Tips and
// spools are counted by the wire commands.
func presently(m procedures.Machine) []procedures.Measurement {
	out := []procedures.Measurement{}
	for _, r := range slices.Backward(m.Measurements) {
		if _, ok := readingOf(r.Kind); ok && r.State == m.State.ID {
			out = append(out, r)
		}
	}
	return out
}

// latest is the newest reading of a kind in the present state, on a tap where one
// is said.
func latest(m procedures.Machine, kind procedures.MeasurementKind, tap string) (procedures.Measurement, bool) {
	for _, r := range slices.Backward(m.Measurements) {
		if r.Kind == kind && r.State == m.State.ID && (tap == "" || strings.EqualFold(r.Tap, tap)) {
			return r, true
		}
	}
	return procedures.Measurement{}, false
}

func (a *app) printReadings(all []procedures.Measurement) {
	if len(all) == 0 {
		a.printf("nothing measured yet in this state\n")
		return
	}
	var at time.Time
	for _, r := range all {
		if !r.At.Equal(at) {
			at = r.At
			a.printf("%s\n", list(at.Local().Format("2006-01-02 15:04"), r.Note))
		}
		say, _ := readingOf(r.Kind)
		where := list(after("on ", strings.ToUpper(r.Tap)), knobAt(r.Knob))
		a.line(fmt.Sprintf("  #%d", r.Number), strings.TrimSpace(fmt.Sprintf("%s %.4g %s", say.name, r.Value, say.unit))+after(", ", where))
	}
}

func knobAt(mark *float64) string {
	if mark == nil {
		return ""
	}
	return "knob " + procedures.FormatKnob(*mark)
}

// heldOpen holds the volts with no arc against the limits, tap by tap.
func heldOpen(m procedures.Machine) ([]source.Finding, error) {
	wave := source.Smooth
	if m.Output == procedures.AC || m.Output == "" {
		wave = source.Sine // the stricter limits where it is not known
	}
	taps := m.TapNames()
	if len(taps) == 0 {
		taps = []string{""}
	}
	out := []source.Finding{}
	for _, tap := range taps {
		r, ok := latest(m, procedures.OpenVolts, tap)
		if !ok {
			continue
		}
		f, err := source.HoldOpen(procedures.Volts(r.Value), wave)
		if err != nil {
			return nil, err
		}
		if tap != "" {
			f.Text = strings.ToUpper(tap) + ": " + f.Text
		}
		out = append(out, f)
	}
	return out, nil
}

func (a *app) printBracket(b recommend.Bracket) {
	text := fmt.Sprintf("burns back at %s, stubs at %s: begin in the middle at %s, %s marks of room", procedures.FormatKnob(b.BurnBack), procedures.FormatKnob(b.Stub), procedures.FormatKnob(b.Middle), procedures.FormatKnob(b.Width))
	if b.Tap != "" {
		text = strings.ToUpper(b.Tap) + " " + text
	}
	a.line("window", text)
	switch {
	case b.Before == nil:
	case *b.Before > b.Stub:
		a.line("", fmt.Sprintf("it stubbed at %s at first: volts are being lost, so look at clamp, leads, cord and line before the knob (beadwright machine losses)", procedures.FormatKnob(*b.Before)))
	default:
		a.line("", fmt.Sprintf("it stubbed at %s at first", procedures.FormatKnob(*b.Before)))
	}
}

// ownAmps is the line through the readings of a spool; nil where none was taken.
func ownAmps(m procedures.Machine, spool procedures.Spool, all []recommend.AmpReading) *ownCurve {
	if len(all) == 0 {
		return nil
	}
	o := &ownCurve{Spool: spool.Name, Points: []ownPoint{}, Probability: 0.8}
	if spool.ID != "" {
		o.Wire = spool.Wire.String()
	}
	fit, err := recommend.OwnCurrent(m, spool.ID)
	if err != nil {
		o.Refused = err.Error()
		return o
	}
	o.Intercept, o.Slope, o.Count, o.Scatter = procedures.Round(fit.Intercept), procedures.Round(fit.Slope), fit.Count, procedures.Round(fit.Scatter)
	low, high := math.Inf(1), 0.0
	for _, r := range all {
		if v := float64(r.WireSpeed); v > 0 {
			low, high = min(low, v), max(high, v)
		}
	}
	for _, v := range []float64{low, (low + high) / 2, high} {
		i, err := fit.Current(procedures.MPerMin(v))
		if err != nil {
			continue
		}
		p := ownPoint{WireSpeed: procedures.MPerMin(v), Current: procedures.Amps(i.Value), Low: procedures.Amps(max(0, i.Low)), High: procedures.Amps(i.High)}
		if t, err := arc.Current(spool.Wire, p.WireSpeed); err == nil && spool.ID != "" {
			p.Table = procedures.Amps(t.Value)
		}
		o.Points = append(o.Points, p)
	}
	return o
}

func (a *app) printOwnCurve(v measured, units procedures.Units) {
	if v.Own == nil {
		return
	}
	if v.Own.Refused != "" {
		a.line("amps", fmt.Sprintf("no curve of your own yet: %s", v.Own.Refused))
	} else {
		a.line("amps", fmt.Sprintf("your own curve with %s: %s, scatter %.1f A; good between the marks read and nowhere else", orNotKnown(v.Own.Wire), counted(v.Own.Count, "reading"), v.Own.Scatter))
		for _, p := range v.Own.Points {
			text := fmt.Sprintf("%s: %.0f A (one more reading: %.0f to %.0f, 4 times in 5)", procedures.FormatWireSpeed(p.WireSpeed, units), float64(p.Current), float64(p.Low), float64(p.High))
			if p.Table > 0 {
				text += fmt.Sprintf("; the table says %.0f A", float64(p.Table))
			} else {
				text += "; the table does not reach it"
			}
			a.line("", text)
		}
	}
	for _, r := range v.Amps {
		if r.Why != "" {
			a.line("", fmt.Sprintf("#%d (%.0f A) is left out: %s", r.Number, float64(r.Current), r.Why))
		}
	}
}

// next lists what is not measured yet in the present state, what pays most first.
func next(m procedures.Machine, spool procedures.Spool) []toMeasure {
	command := "beadwright machine measure"
	taps := m.TapNames()
	if len(taps) == 0 {
		taps = []string{""}
	}
	out := []toMeasure{}
	add := func(missing bool, what, how, flags string) {
		if missing {
			out = append(out, toMeasure{what, how, command + " " + flags})
		}
	}
	has := func(kind procedures.MeasurementKind, tap string) bool { _, ok := latest(m, kind, tap); return ok }
	for _, tap := range taps {
		on, flag := "", ""
		if tap != "" {
			on, flag = " on "+strings.ToUpper(tap), fmt.Sprintf("--tap %q ", tap)
		}
		add(!has(procedures.OpenVolts, tap) || !has(procedures.LoadVolts, tap), "volts without and with the arc"+on,
			fmt.Sprintf("%s, MIN/AVG/MAX if it has it. One probe on the gun's end of its lead or the gun's power block, one on the work beside the weld. Trigger pulled with the wire clear of everything; then again while you weld and a helper reads the average.", sentenceCase(meter(m))), flag+"--open 24V --load 17.5V")
	}
	idle, _ := source.LineOf(m)
	add(idle == 0, "wall volts at the machine's plug", "A plug-in meter, or the meter on AC volts, at the outlet or the cord's end: not welding, then while you weld.", "--line 121V --line-loaded 114V")
	add(!has(procedures.TerminalVolts, "") || !has(procedures.ClampVolts, ""), "what leads and clamp lose",
		sentenceCase(meter(m))+". While you weld one bead after another on scrap: post to post, post to clamp, clamp to bright work, post to contact tip.", "--terminals 18.6V --load 17.5V --clamp 0.9V --work-lead 0.1V --gun-lead 0.4V --amps 85A")
	for _, tap := range taps {
		flag := ""
		if tap != "" {
			flag = fmt.Sprintf("--tap %q ", tap)
		}
		add(!has(procedures.StubMark, tap) || !has(procedures.BurnBackMark, tap), "the window of the knob"+after(" on ", strings.ToUpper(tap)),
			"On scrap, raise the knob a little at a time until the wire stubs, then lower it until it burns back or pops.", flag+"--stub 7 --burn-back 3")
	}
	good := map[float64]bool{}
	for _, r := range recommend.AmpReadings(m, spool.ID) {
		if r.WireSpeed > 0 {
			good[float64(r.WireSpeed)] = true
		}
	}
	if len(good) < 3 {
		how := "A Hall-effect clamp meter on DC amps (an ordinary AC clamp reads no DC), zeroed, round ONE welding lead, its jaws clear of the transformer; the average while you weld."
		if m.Output == procedures.AC {
			how = "A true-RMS clamp meter on AC amps round ONE welding lead, its jaws clear of the transformer; the average while you weld."
		}
		add(true, fmt.Sprintf("amps at %s of the knob, for a curve of your own", counted(3-len(good), "more mark")), how+" On the mains side, too, clamp one conductor alone: both together read nearly nothing, and that is for an electrician.", "--amps 85A --knob 5"+after(" --tap ", taps[len(taps)-1]))
	}
	return out
}

func sentenceCase(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
