package main

import (
	"fmt"
	"math"
	"time"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// What to do now, by the clock.
const (
	doGo        = "go"
	doRest      = "rest"
	doArc       = "arc on"
	doStop      = "stop"
	doWait      = "wait"
	doForgotten = "forgotten"
	doNot       = "do not" // strike an arc at all: a page of the machine says so
)

// do is what to do now.
func (s tally) do() string {
	_, no := source.Forbidden(s.against)
	switch {
	case !s.burning.IsZero() && s.burned() > procedures.LongestArc:
		return doForgotten
	case no:
		return doNot
	case !s.burning.IsZero() && (s.budget.Left < 1 || !s.opened.IsZero()):
		return doStop
	case !s.burning.IsZero():
		return doArc
	case !s.opened.IsZero():
		return doWait
	case s.rest() > 0:
		return doRest
	}
	return doGo
}

// burned is how long the present arc has burned for.
func (s tally) burned() procedures.Seconds {
	return procedures.Seconds(s.now.Sub(s.burning).Seconds())
}

func (s tally) clock(t time.Time) string { return t.In(s.now.Location()).Format("15:04:05") }

// span says a time as people do: 45 s, 120 s, 2 min 40 s.
func span(t procedures.Seconds) string {
	if t > 0 && t < 0.5 {
		return "under 1 s"
	}
	return source.Lasting(procedures.Seconds(math.Round(float64(t))))
}

// degreesText says a temperature both ways.
func degreesText(c float64) string { return fmt.Sprintf("%.0f C (%.0f F)", c, c*9/5+32) }

// order is the first line: a word for the margin, and what to do.
func (s tally) order() (word, text string) {
	switch s.do() {
	case doNot:
		c, _ := source.Forbidden(s.against)
		off := ""
		if !s.burning.IsZero() {
			off = "let go of the trigger: "
		}
		return "DO NOT", off + "no arc until this is put right: " + concernText(c)
	case doForgotten:
		return "ARC ON?", fmt.Sprintf("the clock has run for %s, and no hand holds one bead that long. If it went out, say when: beadwright duty stop --at '%s'",
			span(s.burned()), s.burning.Add(45*time.Second).In(s.now.Location()).Format("2006-01-02 15:04:05"))
	case doStop:
		if !s.opened.IsZero() {
			return "STOP", "the cut-out has opened: let go of the trigger and leave the machine switched on, so that the fan runs"
		}
		return "STOP", "the 10 minutes are full: let go of the trigger, and leave the machine switched on, so that the fan runs"
	case doArc:
		return "ARC ON", "stop within " + span(s.budget.Left)
	case doWait:
		return "WAIT", fmt.Sprintf("the cut-out opened at %s: leave the machine switched on, so that the fan runs, and do not weld before %s", s.clock(s.opened), s.clock(s.after(s.rest())))
	case doRest:
		return "REST", fmt.Sprintf("%s more, until %s, before a bead of %s; leave the fan running", span(s.rest()), s.clock(s.after(s.rest())), span(s.next))
	}
	return "GO", fmt.Sprintf("a bead of %s may start now; %s of arc left", span(s.next), span(s.budget.Left))
}

// printTally prints what to do now and the figures behind it.
func (a *app) printTally(s tally) {
	a.line(s.order())
	if s.do() == doRest && s.budget.Left >= 5 {
		a.line("or", fmt.Sprintf("a bead of up to %s may start now", span(s.budget.Left)))
	}
	used := fmt.Sprintf("%s of arc in the last 10 minutes", span(s.budget.Used))
	if paid := source.PaidAfter(s.spells); paid > 0 && s.burning.IsZero() {
		used += ", all paid at " + s.clock(s.after(paid))
	}
	a.line("used", used)
	a.line("left", fmt.Sprintf("%s of the %s that any 10 minutes allow, by %s", span(s.budget.Left), span(s.allow.Arc), limitWords[s.allow.By]))
	if s.allow.Arc < source.Period {
		a.line("pace", fmt.Sprintf("over and over: %s of arc, then %s of rest", span(s.next), span(s.next*(source.Period/s.allow.Arc-1))))
	}
	a.line("amps", s.arcNow.text())
	a.line("machine", s.machine.Name)
}

var limitWords = map[source.Limit]string{
	source.ByCutOuts:  "what this machine did",
	source.ByPlate:    "its plate",
	source.ByPractice: "common practice, since its plate is not written down",
}

// showTally answers the question where the machine stands, whole.
func (a *app) showTally(s tally, heat bool) error {
	if a.json {
		return a.printJSON(s.document(a, heat))
	}
	a.printTally(s)
	if heat {
		if p, ok := s.picture(); ok {
			a.line("picture", p.Text)
		}
	}
	a.printf("\nwhy\n")
	for _, r := range s.because(a) {
		a.bullet(r.Text, r.Source)
	}
	a.printCautions(s.cautions())
	a.storedCharge(s.machine)
	return nil
}

// dutyReason is one sentence of why, with the ids of its sources.
type dutyReason struct {
	Text   string   `json:"text"`
	Source []string `json:"source"`
}

func (s tally) because(a *app) []dutyReason {
	all := []dutyReason{{s.allow.Note, s.allow.Source}}
	switch t := s.allow.Trips; {
	case t > 0 && s.allow.By != source.ByCutOuts:
		all = append(all, dutyReason{fmt.Sprintf("%s since its output last changed, none that says less: a cut-out never allows more than the plate", counted(t, "cut-out")), nil})
	case t == 0 && s.allow.Other == 0:
		all = append(all, dutyReason{"no cut-out of it is written down: when one opens, " + a.todo("beadwright duty trip", "press its key here"), nil})
	}
	if n := s.allow.Other; n > 0 {
		stand := "stands as the most it may be"
		if n > 1 {
			stand = "stand as the most it may be"
		}
		all = append(all, dutyReason{fmt.Sprintf("%s from before its output was changed %s: no change makes a transformer cooler but another transformer, and then %s", counted(n, "cut-out"), stand, a.todo("withdraw it: beadwright duty trips", "it is withdrawn")), nil})
	}
	return all
}

// cautions are those that go with the clock, the stored charge left out: every view
// of a machine prints that one by itself.
func (s tally) cautions() []caution.Caution {
	var all []caution.Caution
	for _, c := range s.against {
		if c.Verdict == source.WillTrip {
			all = append(all, caution.Caution{Level: caution.Care, Key: c.Key, Text: "It will trip the breaker: " + c.Text + ".", Instead: "What it carries: see " + c.Page + ".", Source: c.Source})
		}
	}
	if s.allow.Trips > 0 || s.allow.Other > 0 || !s.opened.IsZero() {
		all = append(all, cutOutCaution)
	}
	if s.allow.By == source.ByPractice {
		c := caution.Caution{Level: caution.Care, Key: "duty", Text: "Nothing is known of this machine's duty cycle. Feel the case, leave the fan running, and stop when it is hot.",
			Instead: "The plate says it, as amps at per cent; write it down.", Source: []string{"CP"}}
		switch m := s.machine; {
		case m.Duty > 0:
			c.Text, c.Instead = fmt.Sprintf("Its duty cycle of %.0f %% is written down, and not the amps that it is for. Feel the case, leave the fan running, and stop when it is hot.", float64(m.Duty)),
				"The plate says both, as amps at per cent; write the amps down too."
		case m.RatedAmps > 0:
			c.Text, c.Instead = fmt.Sprintf("Its rated %.0f A are written down, and not the duty cycle at them. Feel the case, leave the fan running, and stop when it is hot.", float64(m.RatedAmps)),
				"The plate says both, as amps at per cent; write the duty cycle down too."
		}
		all = append(all, c)
	}
	if m := s.machine; m.Rebuilt {
		c := caution.Caution{Level: caution.Care, Key: "rebuilt-duty", Text: "This machine was rebuilt from AC to DC: rectifier and capacitors heat the transformer harder, and they sit outside its cut-out, which does not watch them. The plate was made before they were there.",
			Instead: "Rest longer than this says, and give the rectifier a thermal switch or a thermometer of its own.", Source: []string{"CP"}}
		if m.Rebuild != nil && m.Rebuild.Thermostat != nil && *m.Rebuild.Thermostat {
			c.Instead = "Rest longer than this says; the thermal switch on the rectifier does not watch the capacitors."
		}
		all = append(all, c)
	}
	return all
}

var cutOutCaution = caution.Caution{Level: caution.Care, Key: "cut-out",
	Text:    "Never bridge, block or file at the cut-out: it is what stands between hot windings and a fire. It may close after a few minutes and open again as soon; 10 minutes or more with the fan running is what the manual of one small machine asks for.",
	Instead: "If it opens sooner each time, look for a dead fan, blocked slots or dust, unplugged.", Source: []string{"CP", "MEM"}}

// warmth is what a simple picture takes the machine's warmth to be.
type warmth struct {
	Low    procedures.Percent `json:"low_percent"`
	High   procedures.Percent `json:"high_percent"`
	Text   string             `json:"text"`
	Source []string           `json:"source"`
}

// picture is the warmth by a time constant of 10 and of 40 minutes; none where the
// allowance is too short for it.
func (s tally) picture() (warmth, bool) {
	quick, err := source.Warmth(s.spells, s.allow.Arc, 600)
	slow, err2 := source.Warmth(s.spells, s.allow.Arc, 2400)
	if err != nil || err2 != nil {
		return warmth{}, false
	}
	w := warmth{Low: min(quick, slow), High: max(quick, slow), Source: []string{"DC-LIND", "DC-AIEE", "MATH"}}
	w.Text = fmt.Sprintf("%.0f to %.0f %% of the hottest that the pace above would ever make it, by a simple picture: one body, cold %s ago, air that stays the same, always these amps, a time constant of 10 to 40 minutes that is assumed (no source gives one for a small welder). It is for looking at: no allowance comes from it [DC-LIND DC-AIEE]",
		float64(w.Low), float64(w.High), span(procedures.Seconds(pictured.Seconds())))
	return w, true
}

// document is the tally as JSON shows it. Seconds that can be nought are 0.
func (s tally) document(a *app, heat bool) map[string]any {
	all := s.cautions()
	if c, ok := caution.StoredCharge(s.machine); ok {
		all = append(all, c)
	}
	var ids []string
	because := s.because(a)
	for i, r := range because {
		ids = arc.Together(ids, r.Source)
		because[i].Source = append([]string{}, r.Source...)
	}
	for _, c := range all {
		ids = arc.Together(ids, c.Source)
	}
	_, text := s.order()
	doc := map[string]any{
		"text": text, "machine": s.machine.Name, "state": s.machine.State.ID, "now": s.now.UTC(), "do": s.do(),
		"used_seconds": nought(s.budget.Used), "left_seconds": nought(s.budget.Left), "allowed_seconds": s.allow.Arc,
		"next_seconds": s.next, "rest_seconds": nought(s.rest()), "until": nil, "paid": nil,
		"arc_since": nil, "cut_out_at": nil, "current_A": s.amps, "current_from": s.from,
		"limit": s.allow.By, "plate_seconds": s.allow.Plate, "cut_out": nil, "cut_outs": s.allow.Trips, "cut_outs_of_other_states": s.allow.Other,
		"because": because, "cautions": append([]caution.Caution{}, all...), "picture": nil,
	}
	if s.rest() > 0 {
		doc["until"] = s.after(s.rest()).UTC()
	}
	if paid := source.PaidAfter(s.spells); paid > 0 {
		doc["paid"] = s.after(paid).UTC()
	}
	if !s.burning.IsZero() {
		doc["arc_since"] = s.burning.UTC()
	}
	if !s.opened.IsZero() {
		doc["cut_out_at"] = s.opened.UTC()
	}
	if s.allow.By == source.ByCutOuts {
		doc["cut_out"] = s.allow.Trip.Number
	}
	if p, ok := s.picture(); heat && ok {
		doc["picture"] = p
		ids = arc.Together(ids, p.Source)
	}
	sources := map[string]string{}
	for _, id := range ids {
		sources[id] = data.Cite(id)[0]
	}
	doc["sources"] = sources
	return doc
}

// nought is a number of seconds that can be 0 and is known.
func nought(t procedures.Seconds) float64 { return procedures.Round(float64(t)) }
