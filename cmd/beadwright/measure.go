package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// reading is one flag of machine measure: what a garage instrument reads.
type reading struct {
	flag  string
	kind  procedures.MeasurementKind
	name  string
	unit  string
	usage string
}

var readings = []reading{
	{"open", procedures.OpenVolts, "no arc", "V", "gun to work, trigger pulled, no arc: 24V"},
	{"load", procedures.LoadVolts, "arc", "V", "gun to work beside the weld, arc on: 17.5V"},
	{"terminals", procedures.TerminalVolts, "posts", "V", "between the machine's posts, arc on: 18.6V"},
	{"gun-lead", procedures.GunLeadVolts, "gun lead", "V lost", "lost from the post to the contact tip, arc on: 0.4V"},
	{"work-lead", procedures.WorkLeadVolts, "work lead", "V lost", "lost from the post to the clamp, arc on: 0.6V"},
	{"clamp", procedures.ClampVolts, "clamp", "V lost", "lost from the clamp to the work, arc on: 0.9V"},
	{"line", procedures.LineIdleVolts, "line, idle", "V", "wall volts at the machine's plug, not welding: 121V"},
	{"line-loaded", procedures.LineLoadVolts, "line, arc on", "V", "the same with the arc on: 114V"},
	{"amps", procedures.ClampAmps, "current", "A", "clamp meter round one welding lead, arc on: 85A"},
	{"stub", procedures.StubMark, "stubs at mark", "", "knob mark at which the wire begins to stub: 7"},
	{"burn-back", procedures.BurnBackMark, "burns back at mark", "", "knob mark at which it burns back to the tip: 3"},
}

// readingOf finds how a kind is spoken of; false for what other commands count.
func readingOf(k procedures.MeasurementKind) (reading, bool) {
	for _, r := range readings {
		if r.kind == k {
			return r, true
		}
	}
	return reading{}, false
}

type measureOptions struct {
	said                    map[string]*string // by flag
	tap, knob, speed, spool string
	note, why, strike       string
	strikeSaid, whySaid     bool
}

func newMachineMeasure(a *app, names cobra.CompletionFunc) *cobra.Command {
	o := measureOptions{said: map[string]*string{}}
	cmd := &cobra.Command{
		Use: "measure [NAME]", Short: "Write down what your meters read, and see what to measure next (default the machine in use)", ValidArgsFunction: names,
		Long: `Write down what your meters read on the machine as it stands: volts with and without
the arc, what the leads and the clamp lose, wall volts, amps, and the knob marks at
which the wire stubs and burns back. What is given together was read at one time.

Without flags it shows what was measured, what follows from it, and what to measure
next and how. Amps at three or more knob marks make a curve of your own.`,
		Example: `  beadwright machine measure --tap high --open 24V --load 17.5V
  beadwright machine measure --terminals 18.6V --load 17.5V --tap high --clamp 0.9V --work-lead 0.1V --amps 85A --knob 5
  beadwright machine measure --line 121V --line-loaded 114V
  beadwright machine measure --tap high --stub 7 --burn-back 3
  beadwright machine measure --strike 4 --why 'probe slipped'`,
		RunE: func(cmd *cobra.Command, args []string) error {
			o.strikeSaid, o.whySaid = cmd.Flags().Changed("strike"), cmd.Flags().Changed("why")
			return a.measure(cmd.Context(), o, strings.Join(args, " "))
		},
	}
	f := cmd.Flags()
	for _, r := range readings {
		o.said[r.flag] = f.String(r.flag, "", r.usage)
	}
	f.StringVar(&o.tap, "tap", "", "the tap it was measured on")
	f.StringVar(&o.knob, "knob", "", "mark that the knob stood at: 5, 4 1/2")
	f.StringVar(&o.speed, "wire-speed", "", "in place of --knob, once the knob is run out: 120ipm")
	f.StringVar(&o.spool, "spool", "", "the spool that was in it (default the one in use)")
	f.StringVar(&o.note, "note", "", "anything else")
	f.StringVar(&o.strike, "strike", "", "withdraw the measurement of that number: kept, and no longer counted")
	f.StringVar(&o.why, "why", "", "the reason for withdrawing it")
	a.completes(cmd, "tap", func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		m, err := a.machine(cmd.Context(), strings.Join(args, " "), procedures.FCAWS)
		if err != nil || m.Example {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return m.TapNames(), cobra.ShellCompDirectiveNoFileComp
	})
	a.completes(cmd, "spool", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.spoolNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

func (a *app) measure(ctx context.Context, o measureOptions, name string) error {
	m, units, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	spool, err := a.measuredSpool(ctx, o.spool)
	if err != nil {
		return err
	}
	made, err := o.read(m, spool, units)
	if err != nil {
		return err
	}
	switch {
	case o.strikeSaid && len(made) > 0:
		return procedures.Invalid("strike", o.strike, "withdraw one measurement or write some down, not both at once")
	case o.strikeSaid:
		number, err := strconv.Atoi(strings.TrimSpace(o.strike))
		if err != nil || number < 1 {
			return procedures.Invalid("strike", o.strike, "not the number of a measurement", "see the numbers beside them: beadwright machine measure")
		}
		if err := a.nb.StrikeMeasurement(ctx, m.Name, number, strings.TrimSpace(o.why)); err != nil {
			return err
		}
	case o.whySaid:
		return procedures.Invalid("why", o.why, "why goes with the number of a measurement to withdraw", "beadwright machine measure --strike 4 --why 'probe slipped'")
	case len(made) > 0:
		if made, err = a.nb.AddMeasurements(ctx, m.Name, made); err != nil {
			return err
		}
	}
	if m, err = a.nb.Machine(ctx, m.Name); err != nil {
		return err
	}
	return a.showMeasured(ctx, m, o, made, spool, units)
}

// measuredSpool is the spool said, else the one in use; none is no error.
func (a *app) measuredSpool(ctx context.Context, name string) (procedures.Spool, error) {
	if name != "" {
		return a.nb.Spool(ctx, name)
	}
	s, err := a.nb.CurrentSpool(ctx)
	if errors.Is(err, procedures.ErrNotFound) {
		return s, nil
	}
	return s, err
}

// read turns the flags into measurements; none where none was said.
func (o measureOptions) read(m procedures.Machine, spool procedures.Spool, units procedures.Units) ([]procedures.Measurement, error) {
	tap, err := knobTap(m, o.tap)
	if err != nil {
		return nil, err
	}
	knob, err := o.mark(m, tap, units)
	if err != nil {
		return nil, err
	}
	out := []procedures.Measurement{}
	for _, r := range readings {
		s := *o.said[r.flag]
		if s == "" {
			continue
		}
		one := procedures.Measurement{Machine: m.Name, Kind: r.kind, Note: o.note}
		if one.Value, err = r.parse(m, s); err != nil {
			return nil, err
		}
		if !r.wall() {
			one.Tap, one.Knob, one.Spool = tap, knob, spool.ID
		}
		if r.unit == "" {
			one.Knob = nil // its value is the mark
		}
		if (r.perTap() || r.kind == procedures.ClampAmps && knob != nil) && tap == "" && len(m.Taps) > 1 {
			return nil, procedures.Invalid("tap", "", "which tap was --"+r.flag+" read on?", "accepted: "+strings.Join(m.TapNames(), ", "))
		}
		if err := one.Validate(); err != nil {
			return nil, err
		}
		out = append(out, one)
	}
	if len(out) == 0 {
		if o.tap != "" || o.knob != "" || o.speed != "" || o.note != "" {
			return nil, procedures.Invalid("measure", "", "what did the meter read?", procedures.Way("such as: beadwright machine measure --tap NAME --open VOLTS --load VOLTS", "one field or more, such as 17.5V"))
		}
		return out, nil
	}
	if err := plausible(out); err != nil {
		return nil, err
	}
	return out, atOdds(m, tap, out)
}

// wall reports whether a reading is of the house and not of the welding circuit.
func (r reading) wall() bool {
	return r.kind == procedures.LineIdleVolts || r.kind == procedures.LineLoadVolts
}

// perTap reports whether a reading means nothing without its tap.
func (r reading) perTap() bool {
	switch r.kind {
	case procedures.OpenVolts, procedures.LoadVolts, procedures.StubMark, procedures.BurnBackMark:
		return true
	}
	return false
}

func (r reading) parse(m procedures.Machine, s string) (float64, error) {
	switch r.unit {
	case "V lost":
		return procedures.ParseDrop(r.flag, s)
	case "A":
		v, err := procedures.ParseAmps(r.flag, s)
		return float64(v), err
	case "V":
		v, err := procedures.ParseVolts(r.flag, s)
		return float64(v), err
	}
	mark, err := knobMark(m, s)
	var bad *procedures.InvalidError
	if errors.As(err, &bad) {
		bad.Field = r.flag
	}
	return mark, err
}

// mark is the knob's mark, said or found from the wire speed by the knob's curve.
func (o measureOptions) mark(m procedures.Machine, tap string, units procedures.Units) (*float64, error) {
	switch {
	case o.knob != "" && o.speed != "":
		return nil, procedures.Invalid("wire-speed", o.speed, "given together with --knob", "one of the two: the curve of the knob gives the other")
	case o.knob != "":
		mark, err := knobMark(m, o.knob)
		return &mark, err
	case o.speed == "":
		return nil, nil
	}
	v, err := procedures.ParseWireSpeed(o.speed, units)
	if err != nil {
		return nil, err
	}
	c, ok := feeder.CurveOf(m, m.State.ID, tap)
	if !ok || len(c.Points) < 2 || c.From != "" {
		return nil, procedures.Invalid("wire-speed", o.speed, "the knob is not run out on this tap, so nobody knows which mark that was", "say the mark: --knob MARK", "or run the knob out first: beadwright machine knob")
	}
	x, err := c.MarkAt(v)
	if err != nil {
		return nil, procedures.Invalid("wire-speed", o.speed, "outside the marks run out", err.Error(), "say the mark: --knob MARK")
	}
	mark := procedures.Round(x.Value)
	return &mark, nil
}

// plausible refuses readings of one time that contradict one another.
func plausible(all []procedures.Measurement) error {
	v := map[procedures.MeasurementKind]float64{}
	for _, r := range all {
		v[r.Kind] = r.Value
	}
	for _, pair := range []struct {
		low, high     procedures.MeasurementKind
		problem, hint string
	}{
		{procedures.BurnBackMark, procedures.StubMark, "the wire burns back when it is slow and stubs when it is fast", "swap the two marks"},
		{procedures.LineLoadVolts, procedures.LineIdleVolts, "the line cannot rise when the arc is struck", "swapped? --line is idle, --line-loaded with the arc on"},
		{procedures.LoadVolts, procedures.OpenVolts, "volts fall when the arc is struck", "swapped? --open is without the arc, --load with it"},
		{procedures.LoadVolts, procedures.TerminalVolts, "the arc cannot have more volts than the posts", "swapped? --terminals is at the posts, --load at the arc"},
	} {
		low, okLow := v[pair.low]
		high, okHigh := v[pair.high]
		if okLow && okHigh && low > high {
			r, _ := readingOf(pair.low)
			return procedures.Invalid(r.flag, fmt.Sprintf("%g and %g", low, high), pair.problem, pair.hint)
		}
	}
	if stub, ok := v[procedures.StubMark]; ok && stub == v[procedures.BurnBackMark] {
		return procedures.Invalid("stub", fmt.Sprint(stub), "it cannot stub and burn back at one mark", "raise the knob until it stubs, lower it until it burns back")
	}
	return nil
}

// Limits on what is asked back. Own thresholds: an arc wanders by about a volt, and
// small self-shielded wire burns at 14 to 20 V.
const (
	wanders  = 1.0
	hotArc   = 25.0
	smallest = 160 // A: machines up to here are for small wire
)

// atOdds asks back readings that go against what is known of the machine: a tap
// above a hotter one, an arc above the volts with no arc, an arc that no small wire
// has.
func atOdds(m procedures.Machine, tap string, all []procedures.Measurement) error {
	mine := slices.IndexFunc(m.Taps, func(t procedures.Tap) bool { return strings.EqualFold(t.Name, tap) })
	for _, r := range all {
		if r.Kind != procedures.OpenVolts && r.Kind != procedures.LoadVolts {
			continue
		}
		one, _ := readingOf(r.Kind)
		read := fmt.Sprintf("%g V", r.Value)
		for k, t := range m.Taps {
			v := float64(t.Open)
			if r.Kind == procedures.LoadVolts {
				v = float64(t.Load)
			}
			above := mine >= 0 && mine < k && r.Value > v+wanders
			below := mine > k && r.Value < v-wanders
			if v != 0 && (above || below) {
				return procedures.Invalid(one.flag, read, fmt.Sprintf("%s with %g V and %s with %g V: the hotter tap has the more volts", strings.ToUpper(tap), r.Value, strings.ToUpper(t.Name), v),
					"was the switch on the other tap, or the probe off? Read it again", fmt.Sprintf("was the %s reading the wrong one? Withdraw it first: beadwright machine measure --strike NUMBER, or beadwright machine set --taps", strings.ToUpper(t.Name)))
			}
		}
		if r.Kind != procedures.LoadVolts {
			continue
		}
		if mine >= 0 && m.Taps[mine].Open > 0 && r.Value > float64(m.Taps[mine].Open) && !slices.ContainsFunc(all, func(o procedures.Measurement) bool { return o.Kind == procedures.OpenVolts }) {
			return procedures.Invalid(one.flag, read, fmt.Sprintf("%s has %g V with no arc, and volts fall when the arc is struck", strings.ToUpper(tap), float64(m.Taps[mine].Open)), "was that read with no arc? --open VOLTS")
		}
		if i := max(m.RatedAmps, m.MaxAmps); r.Value > hotArc && i <= smallest && (i > 0 || m.InputVolts > 0 && m.InputVolts < 150) {
			return procedures.Invalid(one.flag, read, "no arc of small wire burns at that: 14 to 20 V are usual (own threshold: 25 V)", "was that read with no arc? --open VOLTS", "or the meter on AC for a machine that gives DC?")
		}
	}
	return nil
}
