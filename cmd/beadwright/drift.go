package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
	"beadwright/recommend/source"
)

type checkFlags struct {
	mark, length, seconds, tap string
	load, line, lineLoaded     string
	stub, rating, like         string
	symptoms                   []string
	keep                       bool
}

// newMachineCheck sets ten seconds of wire, and what else was read, against the
// machine's own baseline.
func newMachineCheck(a *app, names cobra.CompletionFunc) *cobra.Command {
	var f checkFlags
	cmd := &cobra.Command{
		Use: "check [NAME]", Short: "Is it the same machine as last week? Ten seconds of wire against its own baseline", ValidArgsFunction: names,
		Long: `Sets a run-out of ten seconds, meter readings and one check bead against what the
machine gave in its present state, and says what moved, what is only noise, and
where to look before you touch a setting. Any of them alone will do.

Nothing of a check enters the baseline, so that a machine that drifts slowly is
still found out. Only the wire that was run out is counted as used. To make this
check part of the baseline, say --keep: the run-out then joins the knob's curve and
the readings join what was measured.`,
		Example: "  beadwright machine check --mark 5 --tap high --length 49in\n  beadwright machine check --tap high --load 16.5V --line 121V --line-loaded 113V\n  beadwright machine check --rating 3 --symptom popping --like A7",
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.checkMachine(cmd.Context(), strings.Join(args, " "), f)
		},
	}
	fl := cmd.Flags()
	fl.StringVar(&f.mark, "mark", "", "where the knob stood: 5, 4 1/2")
	fl.StringVar(&f.length, "length", "", "wire run out, clamp off the work: 49in")
	fl.StringVar(&f.seconds, "seconds", "10", "how long it ran")
	fl.StringVar(&f.tap, "tap", "", "the tap all of it was read on (default that of your last weld)")
	fl.StringVar(&f.load, "load", "", "volts from gun to work beside the weld, arc on: 17V")
	fl.StringVar(&f.line, "line", "", "wall volts at the machine's plug, not welding: 121V")
	fl.StringVar(&f.lineLoaded, "line-loaded", "", "the same with the arc on: 114V")
	fl.StringVar(&f.stub, "stub", "", "mark at which the wire begins to stub: 7")
	fl.StringVar(&f.rating, "rating", "", "of one check bead, 1 scrap .. 5 as good as I can")
	fl.StringArrayVar(&f.symptoms, "symptom", nil, "what was wrong with the bead, in your words; may be repeated")
	fl.StringVar(&f.like, "like", "", "the weld that the bead repeats, by its mark (default the last kind that was rated three times in this state)")
	fl.BoolVar(&f.keep, "keep", false, "make the run-out and the readings part of the baseline")
	a.completes(cmd, "symptom", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return procedures.SymptomKeys(), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// check is a reading as it was taken, and what came of it.
type check struct {
	machine procedures.Machine
	reading feeder.Reading
	assumed []string
	twin    procedures.Weld // that the check bead repeats
	drift   feeder.Drift
	against []source.Concern // what forbids an arc, with what was read just now
	kept    []string         // what was written down, in words
}

func (a *app) checkMachine(ctx context.Context, name string, f checkFlags) error {
	m, units, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	welds, err := a.nb.Past(ctx)
	if err != nil {
		return err
	}
	c, err := f.read(m, welds, units)
	if err != nil {
		return err
	}
	c.drift = feeder.Check(m, c.reading)
	if c.against, err = a.checkConcerns(ctx, c); err != nil {
		return err
	}
	if err := a.keepCheck(ctx, f.keep, &c, units); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(c.shown())
	}
	a.printCheck(c, units)
	return nil
}

// checkConcerns are what speaks against an arc with the readings of the check, whether
// they are kept or not: a line that falls too far is no matter of a baseline.
func (a *app) checkConcerns(ctx context.Context, c check) ([]source.Concern, error) {
	m := c.machine
	now, err := a.arcNow(ctx, m, "")
	if err != nil {
		return nil, err
	}
	m.Measurements = slices.Clone(m.Measurements)
	for _, r := range c.measurements() {
		r.At, r.State = a.now(), m.State.ID
		m.Measurements = append(m.Measurements, r)
	}
	return now.concerns(m), nil
}

// read turns the flags into a reading.
func (f checkFlags) read(m procedures.Machine, welds []procedures.Weld, units procedures.Units) (c check, err error) {
	c.machine = m
	r := &c.reading
	bead := f.rating != "" || len(f.symptoms) > 0
	if f.length == "" && f.load == "" && f.line == "" && f.lineLoaded == "" && f.stub == "" && !bead {
		return c, procedures.Invalid("length", "", "what did you read?",
			"clamp off the work, run the wire out for 10 s, make it dead, cut it at the tip and measure it: beadwright machine check --mark MARK --length INCHES",
			"or meter readings, or one check bead: --load VOLTS, --line-loaded VOLTS, --stub MARK, --rating 3 --symptom popping")
	}
	here := slices.DeleteFunc(slices.Clone(welds), func(w procedures.Weld) bool { return w.Job.State != m.State.ID })
	if r.Tap, err = knobTap(m, f.tap); err != nil {
		return c, err
	}
	if r.Tap == "" && len(m.Taps) > 0 && (f.length != "" || f.load != "" || f.stub != "" || bead) {
		last := lastWeld(here, func(w procedures.Weld) bool { return w.Settings.Tap != "" })
		if r.Tap = last.Settings.Tap; r.Tap == "" {
			return c, procedures.Invalid("tap", "", "which tap was it read on?", "accepted: "+strings.Join(m.TapNames(), ", "))
		}
		c.assumed = append(c.assumed, strings.ToUpper(r.Tap)+" tap, as your last weld")
	}
	if f.mark != "" {
		mark, err := knobMark(m, f.mark)
		if err != nil {
			return c, err
		}
		r.Mark = &mark
	}
	if f.length != "" {
		if r.Mark == nil {
			return c, procedures.Invalid("mark", "", "where did the knob stand?", "such as: beadwright machine check --mark 5 --length 49in")
		}
		r.Run = procedures.RunOut{Machine: m.Name, Tap: r.Tap, Mark: *r.Mark}
		if r.Run.Length, err = runLength("length", f.length, units); err != nil {
			return c, err
		}
		if r.Run.Seconds, err = runSeconds("seconds", f.seconds); err != nil {
			return c, err
		}
		if err = r.Run.Validate(); err != nil {
			return c, err
		}
	}
	if f.stub != "" {
		mark, err := knobMark(m, f.stub)
		if err != nil {
			return c, err
		}
		r.Stub = &mark
	}
	for _, v := range []struct {
		field, s string
		to       *procedures.Volts
	}{{"load", f.load, &r.Load}, {"line", f.line, &r.LineIdle}, {"line-loaded", f.lineLoaded, &r.LineLoaded}} {
		if v.s == "" {
			continue
		}
		if *v.to, err = procedures.ParseVolts(v.field, v.s); err != nil {
			return c, err
		}
	}
	for _, one := range c.measurements() {
		if err := one.Validate(); err != nil {
			return c, err
		}
	}
	if bead {
		err = f.readBead(&c, here, units)
	} else if f.like != "" {
		err = procedures.Invalid("like", f.like, "a check bead needs a rating or a symptom", "such as --rating 3 --symptom popping --like A7")
	}
	return c, err
}

// readBead reads the check bead, and finds the welds it is like: those of --like,
// else the last kind that was welded often enough to make a baseline, else the last.
func (f checkFlags) readBead(c *check, here []procedures.Weld, units procedures.Units) error {
	var out procedures.Outcome
	if err := (&weldFlags{rating: f.rating, symptoms: f.symptoms}).outcome(&out, procedures.US); err != nil {
		return err
	}
	r := &c.reading
	if f.like != "" {
		c.twin = lastWeld(here, func(w procedures.Weld) bool { return strings.EqualFold(w.Mark, strings.TrimSpace(f.like)) })
		if c.twin.ID == "" {
			return procedures.Invalid("like", f.like, "no weld of that mark in this state of "+c.machine.Name, "see what there is: beadwright find --limit 0", "a weld from before the last change is no baseline")
		}
	} else {
		near := func(w procedures.Weld) bool {
			return w.Outcome.Rating > 0 && strings.EqualFold(w.Settings.Tap, r.Tap) && (r.Mark == nil || w.Settings.Knob == nil || max(*r.Mark-*w.Settings.Knob, *w.Settings.Knob-*r.Mark) <= 0.5)
		}
		c.twin = lastWeld(here, func(w procedures.Weld) bool {
			return near(w) && len(feeder.Like(c.machine, here, w)) >= feeder.Repeated
		})
		if c.twin.ID == "" {
			c.twin = lastWeld(here, near)
		}
		if c.twin.ID != "" {
			c.assumed = append(c.assumed, "the bead repeats "+c.twin.Mark+" ("+describeJob(c.twin.Job, units)+")")
		}
	}
	r.Bead = &feeder.Bead{Rating: out.Rating, Symptoms: out.Symptoms}
	if c.twin.ID != "" {
		r.Bead.Like = feeder.Like(c.machine, here, c.twin)
	}
	return nil
}

// lastWeld is the last weld made that fits; the zero weld where none does.
func lastWeld(welds []procedures.Weld, fits func(procedures.Weld) bool) (last procedures.Weld) {
	for i := len(welds) - 1; i >= 0; i-- { // the latest stand last: few are looked at
		if w := welds[i]; (last.ID == "" || w.At.After(last.At)) && fits(w) {
			last = w
		}
	}
	return last
}

// measurements are the readings as they would be kept.
func (c check) measurements() (out []procedures.Measurement) {
	r := c.reading
	add := func(kind procedures.MeasurementKind, v float64, tap string, knob *float64) {
		if v != 0 {
			out = append(out, procedures.Measurement{Machine: c.machine.Name, Kind: kind, Value: v, Tap: tap, Knob: knob, Note: "check"})
		}
	}
	add(procedures.LoadVolts, float64(r.Load), r.Tap, r.Mark)
	add(procedures.LineIdleVolts, float64(r.LineIdle), "", nil)
	add(procedures.LineLoadVolts, float64(r.LineLoaded), "", nil)
	if r.Stub != nil {
		add(procedures.StubMark, *r.Stub, r.Tap, nil)
	}
	return out
}

// keepCheck writes down what is to be kept: all of it with --keep, else only that
// so much wire was used.
func (a *app) keepCheck(ctx context.Context, keep bool, c *check, units procedures.Units) error {
	r := c.reading
	var ms []procedures.Measurement
	spool, err := a.nb.CurrentSpool(ctx)
	if err != nil && !errors.Is(err, procedures.ErrNotFound) {
		return err
	}
	if keep {
		ms = c.measurements()
		for i := range ms {
			if ms[i].Tap != "" {
				ms[i].Spool = spool.ID
			}
		}
		if len(ms) > 0 {
			c.kept = append(c.kept, "the readings, as part of the baseline")
		}
		if r.Run.Length > 0 {
			if _, err := a.nb.AddRunOuts(ctx, c.machine.Name, []procedures.RunOut{r.Run}); err != nil {
				return err
			}
			c.kept = append(c.kept, "the run-out, as part of the knob's curve")
		}
	} else if r.Run.Length > 0 {
		ms = []procedures.Measurement{{Machine: c.machine.Name, Spool: spool.ID, Kind: procedures.WireFed, Tap: r.Tap, Knob: r.Mark, Value: float64(r.Run.Length),
			Note: fmt.Sprintf("check run-out, %g s", float64(r.Run.Seconds))}}
		c.kept = append(c.kept, procedures.FormatLength(r.Run.Length, units)+" of wire, as used")
	}
	if len(ms) == 0 {
		return nil
	}
	_, err = a.nb.AddMeasurements(ctx, c.machine.Name, ms)
	return err
}
