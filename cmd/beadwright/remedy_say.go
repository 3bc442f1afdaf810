package main

import (
	"fmt"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/remedy"
)

// printAdvice says the one next step first, then what stands behind it.
func (a *app) printAdvice(o advised, units procedures.Units) {
	for _, c := range o.Cautions {
		if c.Key == recommend.DangerBefore {
			a.line("DANGER", c.Text)
		}
	}
	if o.Failed != "" {
		a.line("FAILED", sentenceOf(o.weld.Mark+" failed: "+o.Failed))
	}
	a.line("NEXT", nextLine(o))
	if o.Then != nil {
		a.line("THEN", "on the bead after, if it still wants it, one change: "+o.Then.Text+".")
	}
	if o.Test != "" {
		a.line("test", sentenceOf(o.Test))
	}
	a.printf("\n")
	if text := o.Heading(); text != "" {
		a.line("called", text)
	}
	if o.weld != nil {
		a.line("about", o.weld.Mark+": "+describeJob(o.weld.Job, units))
		a.line("set", setLine(o.weld.Settings, units))
		if o.thick != "" {
			a.line("mind", o.thick)
		}
	} else {
		a.line("about", "no weld is logged yet. Log one, and the step comes in the marks of your knob: beadwright log 2 \"what you saw\"")
	}
	for _, q := range o.Questions {
		a.line("ask", q.Text+" "+strings.Join(q.Answers, "; "))
	}
	if len(o.Causes) > 0 {
		a.printf("\nlook in this order, one thing at a time\n")
		for i, c := range o.Causes {
			a.numbered(i+1, fmt.Sprintf("%s: %s. %s", c.Kind, c.Cause, sentenceOf(c.Do)), c.Source)
		}
	}
	a.printf("\n")
	if c := o.Compared; c != nil {
		a.line("changes", sentenceOf(c.Text))
		if c.Coupon != nil && o.Step.Kind != remedy.Part {
			a.line("to tell", sentenceOf(c.Coupon.Text))
		}
		if o.Tally.Last > 0 {
			a.line("record", recordText(o.Tally))
		}
	}
	if len(o.Unlogged) > 0 && o.weld != nil {
		fix := ""
		if o.weld.Outcome.Rating == 0 {
			fix = " --rating 3"
		}
		a.line("write it", fmt.Sprintf("so that suggest knows it too: beadwright amend %s --symptom %s%s", o.weld.Mark, strings.Join(o.Unlogged, " --symptom "), fix))
	}
	if o.weld != nil && o.Next.Verdict == recommend.Outside {
		a.line("settings", "none given: outside what the tables and your own welds cover")
	}
	a.line("looks", "looks and sound say what to change, not what a weld bears: only a broken or bent coupon tells")
	own, standing := parted(o.Cautions)
	a.printCautions(own)
	for i := range standing {
		standing[i].Text = firstSentence(standing[i].Text)
	}
	a.printTitled("always", standing)
	a.printSources(printedSources(o.Causes, o.Step))
}

// recordText says how clean the latest changes were.
func recordText(t remedy.Tally) string {
	switch {
	case t.Last == 1 && t.Clean == 1:
		return "the only change so far on this machine was clean: one thing changed"
	case t.Last == 1:
		return "the only change so far on this machine was confounded: several things changed at once"
	}
	return fmt.Sprintf("of your last %d changes on this machine %d clean (one thing changed), %d confounded", t.Last, t.Clean, t.Confounded)
}

// printedSources are those behind causes and step; the cautions name theirs by id.
func printedSources(causes []remedy.Cause, step *remedy.Step) map[string]string {
	ids := append([]string{}, step.Source...)
	for _, c := range causes {
		ids = append(ids, c.Source...)
	}
	cited := map[string]string{}
	for _, id := range ids {
		cited[id] = data.Cite(id)[0]
	}
	return cited
}

// nextLine is what to do, in one breath: a look at clamp and tip goes before any
// turn of the knob.
func nextLine(o advised) string {
	s := o.Step
	switch {
	case s.Kind == remedy.Ask:
		return sentenceOf(s.Text) + " The three questions below tell most."
	case s.Kind != remedy.Setting:
		return sentenceOf(s.Text)
	}
	var looks []string
	for _, c := range o.Looks() {
		if len(looks) < 2 {
			looks = append(looks, c.Do)
		}
	}
	change := "one change: " + s.Text + ". Everything else stays; weld the same coupon again."
	if len(looks) == 0 {
		return sentenceOf(change)
	}
	return "Leave the knob alone for now and look first: " + strings.Join(looks, "; ") + ". All in order? Then " + change
}

// numbered prints an item of an ordered list.
func (a *app) numbered(n int, text string, source []string) {
	for i, part := range fold(text+" ["+strings.Join(source, " ")+"]", 95) {
		lead := fmt.Sprintf("%3d. ", n)
		if i > 0 {
			lead = "     "
		}
		a.printf("%s%s\n", lead, part)
	}
}

// sentenceOf gives a clause its capital and its full stop.
func sentenceOf(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}
