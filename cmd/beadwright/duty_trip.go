package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

type tripOptions struct{ after, tap, knob, note, at string }

func newDutyTrip(a *app, o *clockOptions) *cobra.Command {
	var t tripOptions
	cmd := &cobra.Command{
		Use: "trip", Short: "The cut-out has opened: write down after how much arc", Args: cobra.NoArgs,
		Long: `The machine's thermal cut-out has opened: it quit by itself, and mostly a light came
on. Without --after the arc of the last 10 minutes is taken from the clock; an arc
that burns is stopped. A breaker that trips in the panel is not this.`,
		Example: "  beadwright duty trip\n  beadwright duty trip --after 95s --amps 90 --tap high --air 86F",
		RunE:    func(cmd *cobra.Command, _ []string) error { return a.trip(cmd.Context(), *o, t) },
	}
	f := cmd.Flags()
	f.StringVar(&t.after, "after", "", "arc in the 10 minutes before it opened, all beads together: 95s (default by the clock)")
	f.StringVar(&t.tap, "tap", "", "low, high, or the name on the switch")
	f.StringVar(&t.knob, "knob", "", "mark that the wire-speed knob stood at: 4.5")
	f.StringVar(&t.note, "note", "", "anything else")
	f.StringVar(&t.at, "at", "", "when, if not now: '2 min ago', 14:32, 2026-05-01 14:30; needs --after")
	return cmd
}

func (a *app) trip(ctx context.Context, o clockOptions, t tripOptions) error {
	s, err := a.stand(ctx, o)
	if err != nil {
		return err
	}
	c := procedures.CutOut{At: s.now, Note: strings.TrimSpace(t.note)}
	if c.At, err = momentSaid("at", t.at, s.now); err != nil {
		return err
	}
	if c.Used, err = t.used(s); err != nil {
		return err
	}
	if s.from == "said" || s.from == "suggestion" {
		c.Current = s.amps
	}
	if c.Ambient, err = airSaid(o.air); err != nil {
		return err
	}
	if err := t.setting(s.machine, &c); err != nil {
		return err
	}
	if err := c.Validate(); err != nil {
		return err
	}
	if !s.burning.IsZero() && t.at == "" {
		if _, err := a.nb.StopArc(ctx, s.machine.Name, s.now); err != nil {
			return err
		}
	}
	if c, err = a.nb.AddCutOut(ctx, s.machine.Name, c); err != nil {
		return err
	}
	before := s.allow
	if s, err = a.stand(ctx, o); err != nil {
		return err
	}
	if a.json {
		doc := s.document(a, false)
		doc["recorded"] = c
		return a.printJSON(doc)
	}
	if s.opened.IsZero() { // long ago, or of another state
		a.line("kept", fmt.Sprintf("cut-out %d of %s", c.Number, s.machine.Name))
	} else {
		a.line("LEAVE ON", fmt.Sprintf("leave the machine switched on, so that the fan cools it, and wait 10 minutes or more: until %s. Most likely nothing is broken: this is what the cut-out is for", s.clock(s.after(s.rest()))))
	}
	a.line("cut-out", tripText(c))
	switch {
	case s.allow.By == source.ByCutOuts && s.allow.Arc < before.Arc:
		a.line("from now", fmt.Sprintf("%s of arc in any 10 minutes instead of %s", span(s.allow.Arc), span(before.Arc)))
	default:
		a.line("from now", fmt.Sprintf("%s of arc in any 10 minutes, as before: it stood longer than that", span(s.allow.Arc)))
	}
	a.bullet(s.allow.Note, s.allow.Source)
	switch {
	case s.from == "suggestion":
		a.bullet("the amps are those of the last suggestion: if you had set something else, withdraw this one and say --amps", nil)
	case c.Current == 0:
		a.bullet("its current is not known: say it with --amps next time, and the figure carries over to other settings better", nil)
	}
	a.printCautions(s.cautions())
	a.storedCharge(s.machine)
	a.printf("was it the breaker in the panel? Then withdraw it: beadwright duty trips --strike %d --why 'the breaker'\n", c.Number)
	return nil
}

// tooSoon is the arc below which the clock is not believed when a cut-out opens: a
// limit that is taken from forgotten beads would forbid every bead after. Own
// threshold, common practice, no source.
const tooSoon procedures.Seconds = 15

// used is the arc in the 10 min before it opened: as said, else by the clock.
func (t tripOptions) used(s tally) (procedures.Seconds, error) {
	hint := procedures.Way("say how long the arc burned in those 10 minutes, all beads together: --after 95s", "say how long the arc burned in those 10 minutes, all beads together: 95s, in the field above the button")
	if t.after != "" {
		v, err := arcSaid("after", t.after)
		return procedures.Seconds(v), err
	}
	switch {
	case t.at != "":
		return 0, procedures.Invalid("after", "", "the clock only knows the last 10 minutes before now", hint)
	case s.do() == doForgotten:
		return 0, procedures.Invalid("after", "", fmt.Sprintf("the clock has run for %s and was forgotten, so it cannot say", span(s.burned())), procedures.Way("stop it first: beadwright duty stop --at '5 min ago'", "stop it here first"), hint)
	case s.budget.Used < 1:
		return 0, procedures.Invalid("after", "", "the clock has no arc in the last 10 minutes", hint)
	case s.budget.Used < tooSoon:
		return 0, procedures.Invalid("after", "", fmt.Sprintf("the clock has %s of arc in the last 10 minutes, and hardly any cut-out opens so soon: were all beads on it?", span(s.budget.Used)), hint)
	}
	return s.budget.Used, nil
}

// setting puts in the tap and the knob that were said.
func (t tripOptions) setting(m procedures.Machine, c *procedures.CutOut) error {
	if t.tap != "" {
		c.Tap = strings.TrimSpace(t.tap)
		if tap, ok := tapSaid(m, t.tap); ok {
			c.Tap = tap.Name
		} else if len(m.Taps) > 0 {
			return procedures.Invalid("tap", t.tap, "no such tap on "+m.Name, "accepted: "+strings.Join(m.TapNames(), ", "))
		}
	}
	if t.knob == "" {
		return nil
	}
	mark, words, err := procedures.ParseKnob(t.knob)
	if err != nil {
		return err
	}
	if mark != nil && m.Knob.Marked() && (*mark < m.Knob.Min || *mark > m.Knob.Max) {
		return procedures.Invalid("knob", t.knob, fmt.Sprintf("%s's knob runs from %g to %g", m.Name, m.Knob.Min, m.Knob.Max), "write the mark that the knob stood at")
	}
	if c.Knob = mark; words != "" {
		c.Note = list(c.Note, "knob in the "+words)
	}
	return nil
}

// tripText says a cut-out in one line.
func tripText(c procedures.CutOut) string {
	parts := []string{span(c.Used) + " of arc in the 10 minutes before it opened", ifKnown("at ", float64(c.Current), fmt.Sprintf("%.0f A", float64(c.Current))), ifKnown("", float64(len(c.Tap)), strings.ToUpper(c.Tap)+" tap")}
	if c.Knob != nil {
		parts = append(parts, "knob "+procedures.FormatKnob(*c.Knob))
	}
	if c.Ambient != nil {
		parts = append(parts, "air "+degreesText(*c.Ambient))
	}
	return list(append(parts, c.Note)...)
}

func newDutyTrips(a *app, o *clockOptions) *cobra.Command {
	strike := strikeNumber{what: "a cut-out", example: "beadwright duty trips --strike 2 --why 'it was the breaker'"}
	cmd := &cobra.Command{
		Use: "trips", Short: "The cut-outs written down, and withdraw one", Args: cobra.NoArgs,
		Example: "  beadwright duty trips\n  " + strike.example,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := strike.check(cmd); err != nil {
				return err
			}
			return a.trips(cmd.Context(), *o, strike.number, strike.why)
		},
	}
	strike.add(cmd)
	return cmd
}

func (a *app) trips(ctx context.Context, o clockOptions, strike int, why string) error {
	m, err := a.ownMachine(ctx, o.machine)
	if err != nil {
		return err
	}
	if strike > 0 {
		if err := a.nb.StrikeCutOut(ctx, m.Name, strike, why); err != nil {
			return err
		}
	}
	s, bad := a.stand(ctx, o)
	if bad == nil {
		m = s.machine
	} else if a.json {
		return bad
	}
	if a.json {
		doc := s.document(a, false)
		doc["recorded"] = append([]procedures.CutOut{}, m.CutOuts...)
		return a.printJSON(doc)
	}
	if strike > 0 {
		a.printf("struck cut-out %d. It is kept and no longer counted.\n", strike)
	}
	if len(m.CutOuts) == 0 {
		a.printf("no cut-out of %s is written down. When one opens: beadwright duty trip\n", m.Name)
	}
	for _, c := range m.CutOuts {
		text := c.At.In(a.now().Location()).Format("2006-01-02 15:04") + "  " + tripText(c)
		if !m.SinceOutput(c.State) {
			text += "; from before its output was changed: it stands as the most it may be"
		}
		a.line(fmt.Sprint(c.Number), text)
	}
	if bad != nil { // the list is what tells which cut-out was a slip
		a.storedCharge(m)
		return bad
	}
	a.line("allowed", fmt.Sprintf("%s of arc in any 10 minutes", span(s.allow.Arc)))
	for _, r := range s.because(a) {
		a.bullet(r.Text, r.Source)
	}
	a.printCautions(s.cautions())
	a.storedCharge(m)
	return nil
}
