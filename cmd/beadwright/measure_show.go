package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/feeder"
	"beadwright/recommend/source"
)

// measured is what machine measure shows.
type measured struct {
	Machine  string                   `json:"machine"`
	State    string                   `json:"state"`
	Added    []procedures.Measurement `json:"added"`    // now
	Measured []procedures.Measurement `json:"measured"` // in the present state, newest first
	Verdict  source.Verdict           `json:"verdict"`  // do not, where any page of the machine forbids an arc; null: none does
	Text     string                   `json:"text"`     // why, and what to do
	Findings []finding                `json:"findings"` // open-circuit and line volts against the limits
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

func (a *app) showMeasured(ctx context.Context, m procedures.Machine, o measureOptions, added []procedures.Measurement, spool procedures.Spool, units procedures.Units) error {
	held, err := source.HeldOpen(m)
	if err != nil {
		return err
	}
	now, err := a.arcNow(ctx, m, "")
	if err != nil {
		return err
	}
	if found, _, err := source.CircuitOf(m, now.amps, now.volts).Judge(); err == nil {
		for _, f := range found {
			if f.Key == "line-volts" || f.Key == "sag" || f.Key == "wiring" {
				held = append(held, f)
			}
		}
	}
	v := measured{Machine: m.Name, State: m.State.ID, Added: added, Measured: presently(m), Findings: findings(held), Brackets: recommend.Brackets(m),
		Amps: recommend.AmpReadings(m, spool.ID), Next: next(m, spool), Cautions: electric(m)}
	v.Sources = citedIn(held, v.Cautions)
	if c, no := source.Forbidden(now.concerns(m)); no {
		v.Verdict, v.Text = c.Verdict, concernText(c)
	}
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
	if v.Verdict != "" {
		a.line(strings.ToUpper(string(v.Verdict)), v.Text)
	}
	if o.strikeSaid {
		a.printf("struck #%s. It is kept and no longer counted.\n", strings.TrimSpace(o.strike))
	}
	if len(added) > 0 {
		a.printf("written down: %s\n", counted(len(added), "reading"))
	}
	a.printf("%s\n", stateLine(m))
	a.printReadings(v.Measured)
	a.printFindings(held)
	for _, b := range v.Brackets {
		a.printBracket(m, b, spool, units)
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

// holds reports whether a reading still speaks of the machine: volts and leads since
// the output last changed, the house always, marks of the knob in the present state.
func holds(m procedures.Machine, r procedures.Measurement) bool {
	switch r.Kind {
	case procedures.LineIdleVolts, procedures.LineLoadVolts:
		return true
	case procedures.StubMark, procedures.BurnBackMark, procedures.ClampAmps:
		return r.State == m.State.ID
	}
	return m.SinceOutput(r.State)
}

// presently lists what was measured and still holds, newest first. Tips and spools
// are counted by the wire commands.
func presently(m procedures.Machine) []procedures.Measurement {
	out := []procedures.Measurement{}
	for _, r := range slices.Backward(m.Measurements) {
		if _, ok := readingOf(r.Kind); ok && holds(m, r) {
			out = append(out, r)
		}
	}
	return out
}

// latest is the newest reading of a kind that still holds, on a tap where one is
// said.
func latest(m procedures.Machine, kind procedures.MeasurementKind, tap string) (procedures.Measurement, bool) {
	for _, r := range slices.Backward(m.Measurements) {
		if r.Kind == kind && holds(m, r) && (tap == "" || strings.EqualFold(r.Tap, tap)) {
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

// printBracket shows the window of the knob. Its middle is no setting: which mark a
// job wants is told by suggest.
func (a *app) printBracket(m procedures.Machine, b recommend.Bracket, spool procedures.Spool, units procedures.Units) {
	text := fmt.Sprintf("burns back at %s, stubs at %s: %s marks of room, the middle at %s. Which mark a job wants within it: beadwright suggest", procedures.FormatKnob(b.BurnBack), procedures.FormatKnob(b.Stub), procedures.FormatKnob(b.Width), procedures.FormatKnob(b.Middle))
	if b.Tap != "" {
		text = strings.ToUpper(b.Tap) + " " + text
	}
	a.line("window", text)
	if c, ok := feeder.CurveOf(m, m.State.ID, b.Tap); ok && spool.ID != "" && m.MaxAmps > 0 {
		if v, err := c.SpeedAt(b.Middle); err == nil {
			if i, err := arc.Current(spool.Wire, procedures.MPerMin(v.Value)); err != nil || procedures.Amps(i.Value) > m.MaxAmps {
				a.line("", fmt.Sprintf("the middle is about %s, more than the table gives for its %.0f A at the most: stay below it", procedures.FormatWireSpeed(procedures.MPerMin(v.Value), units), float64(m.MaxAmps)))
			}
		}
	}
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
		o.Refused = whyNoLine(all, err)
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

// whyNoLine says in words why there is no line through the readings.
func whyNoLine(all []recommend.AmpReading, err error) string {
	marks := map[float64]bool{}
	for _, r := range all {
		if r.WireSpeed > 0 {
			marks[float64(r.WireSpeed)] = true
		}
	}
	if len(marks) < 3 {
		return fmt.Sprintf("it wants readings at 3 marks that are run out, and has them at %d", len(marks))
	}
	var bad *procedures.InvalidError
	if errors.As(err, &bad) {
		return bad.Problem
	}
	return err.Error()
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
			fmt.Sprintf("%s, MIN/AVG/MAX if it has it. One probe on the gun's end of its lead or the gun's power block, one on the work beside the weld. Trigger pulled with the wire clear of everything; then again while you weld and a helper reads the average. %s", sentenceCase(meter(m)), caution.LiveWire(m)), flag+"--open VOLTS --load VOLTS")
	}
	idle, _ := source.LineOf(m)
	add(idle == 0, "wall volts at the machine's plug", "A plug-in meter, or the meter on AC volts, at the outlet or the cord's end: not welding, then while you weld.", "--line VOLTS --line-loaded VOLTS")
	add(!has(procedures.TerminalVolts, "") || !has(procedures.ClampVolts, ""), "what leads and clamp lose",
		sentenceCase(meter(m))+". While you weld one bead after another on scrap: post to post, post to clamp, clamp to bright work, post to contact tip.", tapFlag(m)+"--terminals VOLTS --load VOLTS --clamp VOLTS --work-lead VOLTS --gun-lead VOLTS --amps AMPS")
	for _, tap := range taps {
		flag := ""
		if tap != "" {
			flag = fmt.Sprintf("--tap %q ", tap)
		}
		add(!has(procedures.StubMark, tap) || !has(procedures.BurnBackMark, tap), "the window of the knob"+after(" on ", strings.ToUpper(tap)),
			"On scrap, raise the knob a little at a time until the wire stubs, then lower it until it burns back or pops.", flag+"--stub MARK --burn-back MARK")
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
		add(true, fmt.Sprintf("amps at %s of the knob, for a curve of your own", counted(3-len(good), "more mark")), how+" On the mains side, too, clamp one conductor alone: both together read nearly nothing, and that is for an electrician.", "--amps AMPS --knob MARK"+after(" --tap ", taps[len(taps)-1]))
	}
	return out
}

// tapFlag is the flag of a tap to be named, for a machine that has several.
func tapFlag(m procedures.Machine) string {
	if len(m.Taps) < 2 {
		return ""
	}
	return "--tap NAME "
}

func sentenceCase(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
