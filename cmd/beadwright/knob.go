package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

type knobOptions struct {
	mark, tap, strike, why        string
	lengths, seconds              []string
	shortLengths, shortSeconds    []string
	markSaid, strikeSaid, whySaid bool
}

// howToRunOut is how a knob is measured without getting hurt.
var howToRunOut = []string{
	"Clamp off the work, gun pointed at nothing metal, eyes covered, nobody in front: the wire is live while it feeds, and comes out fast.",
	"Come up to the mark from below. Hold the trigger for 10 seconds by a stopwatch, let go, make the wire dead, cut it at the tip and measure what you cut; three times at each mark.",
	"Five marks make a good curve (1, 3, 5, 7 and 9 of 10), on each tap by itself: the motor of a cheap machine may share the transformer, so that the tap changes it.",
	"No numbers on the knob? Stick a paper dial from 0 to 10 on it, zero at the stop.",
	"To leave out what the feeder takes to start and stop, make a short and a long run, such as 5 and 15 seconds.",
}

// deadWire is what makes a wire dead, for a machine that is not looked at.
const deadWire = "Dead: switch the machine off before you cut, for many guns are live whenever it is on. One rebuilt from AC to DC stays live until it is bled: plug out, wait its bleed time, measure between gun and clamp (beadwright machine rebuilt)."

func newMachineKnob(a *app, names cobra.CompletionFunc) *cobra.Command {
	var o knobOptions
	cmd := &cobra.Command{
		Use: "knob [NAME]", Short: "Measure the wire-speed knob: wire run out at a mark in so many seconds (default the machine in use)", ValidArgsFunction: names,
		Long: "Measure the wire-speed knob by running wire out, and see what is measured.\n\n" + strings.Join(foldAll(append(howToRunOut[:2:2], append([]string{deadWire}, howToRunOut[2:]...)...), 84), "\n") + `

Without flags it shows the curve, what is missing and which mark to run out next.
Between the outermost marks measured the curve speaks, beyond them never.`,
		Example: `  beadwright machine knob --mark 5 --tap high --length 42in --seconds 10
  beadwright machine knob --mark 5 --tap high --length 42in --length 41.5in --length 43in --seconds 10
  beadwright machine knob --mark 5 --tap high --length 63in --seconds 15 --short-length 20in --short-seconds 5
  beadwright machine knob --strike 4 --why 'let go too late'`,
		RunE: func(cmd *cobra.Command, args []string) error {
			o.markSaid, o.strikeSaid, o.whySaid = cmd.Flags().Changed("mark"), cmd.Flags().Changed("strike"), cmd.Flags().Changed("why")
			return a.knob(cmd.Context(), o, strings.Join(args, " "))
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.mark, "mark", "", "where the knob stood: 5, 4.5, 4 1/2")
	f.StringArrayVar(&o.lengths, "length", nil, "wire run out: 42in, 1.07m; once for each run")
	f.StringArrayVar(&o.seconds, "seconds", nil, "how long it ran: 10; once, or once for each length")
	f.StringVar(&o.tap, "tap", "", "the tap it ran on")
	f.StringArrayVar(&o.shortLengths, "short-length", nil, "wire of a shorter run at the same mark, to cancel start and stop")
	f.StringArrayVar(&o.shortSeconds, "short-seconds", nil, "how long the shorter run took")
	f.StringVar(&o.strike, "strike", "", "withdraw the run-out of that number: kept, and no longer counted")
	f.StringVar(&o.why, "why", "", "the reason for withdrawing it")
	a.completes(cmd, "tap", func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		m, err := a.machine(cmd.Context(), strings.Join(args, " "), procedures.FCAWS)
		if err != nil || m.Example {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return m.TapNames(), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

func foldAll(texts []string, width int) (lines []string) {
	for _, t := range texts {
		lines = append(lines, fold(t, width)...)
	}
	return lines
}

func (a *app) knob(ctx context.Context, o knobOptions, name string) error {
	m, units, err := a.written(ctx, name)
	if errors.Is(err, procedures.ErrNotFound) && strings.ContainsAny(name, "0123456789") { // 7 75cm 10s; 29.5 30 behind --length 29
		return procedures.Invalid("words", name, "no machine is called so", "a run-out is told by flags, each length by its own: beadwright machine knob --mark 7 --tap high --length 29in --length 29.5in --seconds 10")
	}
	if err != nil {
		return err
	}
	o.lengths = eachLength(o.lengths, units)
	if o.strikeSaid {
		if o.markSaid || len(o.lengths) > 0 {
			return procedures.Invalid("strike", o.strike, "withdraw one run-out or write one down, not both at once", "beadwright machine knob --strike 4 --why 'let go too late'")
		}
		number, err := strconv.Atoi(strings.TrimSpace(o.strike))
		if err != nil || number < 1 {
			return procedures.Invalid("strike", o.strike, "not the number of a run-out", "see the numbers beside each mark: beadwright machine knob")
		}
		if err := a.nb.StrikeRunOut(ctx, m.Name, number, strings.TrimSpace(o.why)); err != nil {
			return err
		}
	} else if o.whySaid {
		return procedures.Invalid("why", o.why, "why goes with the number of a run-out to withdraw", "beadwright machine knob --strike 4 --why 'let go too late'")
	}
	tap, err := knobTap(m, o.tap)
	if err != nil {
		return err
	}
	added := []procedures.RunOut{}
	if runs, err := o.runs(m, tap, units); err != nil {
		return err
	} else if len(runs) > 0 {
		if added, err = a.nb.AddRunOuts(ctx, m.Name, runs); err != nil {
			return err
		}
	}
	if m, err = a.nb.Machine(ctx, m.Name); err != nil {
		return err
	}
	return a.printKnob(m, o, tap, added, units)
}

// eachLength parts lengths that were given with commas between: 29, 29.5, 30. A comma
// that makes one length is left: 21,5in.
func eachLength(lengths []string, units procedures.Units) (all []string) {
	for _, l := range lengths {
		parts := strings.FieldsFunc(l, func(r rune) bool { return r == ',' || r == ';' })
		if _, err := runLength("length", l, units); err == nil || len(parts) < 2 {
			parts = []string{l}
		}
		all = append(all, parts...)
	}
	return all
}

// knobTap is the tap said, by the name that the machine has for it; "" where none
// was said.
func knobTap(m procedures.Machine, s string) (string, error) {
	if strings.TrimSpace(s) == "" {
		return "", nil
	}
	if len(m.Taps) == 0 {
		return "", procedures.Invalid("tap", s, "no taps of "+m.Name+" are written down", "leave --tap out, or write its taps down first")
	}
	t, ok := tapSaid(m, s)
	if !ok {
		return "", procedures.Invalid("tap", s, "no such tap on "+m.Name, "accepted: "+strings.Join(m.TapNames(), ", "))
	}
	return t.Name, nil
}

// runs reads the run-outs that the flags speak of; none where they speak of none.
func (o knobOptions) runs(m procedures.Machine, tap string, units procedures.Units) (runs []procedures.RunOut, err error) {
	const pattern = "beadwright machine knob --mark MARK --length INCHES --seconds 10"
	if !o.markSaid && len(o.lengths)+len(o.seconds)+len(o.shortLengths)+len(o.shortSeconds) == 0 {
		return nil, nil
	}
	switch {
	case !o.markSaid:
		return nil, procedures.Invalid("mark", "", "where did the knob stand?", "such as "+pattern)
	case len(o.lengths) == 0:
		return nil, procedures.Invalid("length", "", "how much wire ran out?", "such as "+pattern)
	case len(o.seconds) == 0:
		return nil, procedures.Invalid("seconds", "", "how long did it run?", "10 s is a good time: a thumb on a stopwatch is 3 % off there, 5 % at 6 s; such as "+pattern)
	case tap == "" && len(m.Taps) > 0:
		return nil, procedures.Invalid("tap", "", "which tap did it run on?", "accepted: "+strings.Join(m.TapNames(), ", "), "the motor of a cheap machine may share the transformer, so each tap has a curve of its own")
	}
	mark, err := knobMark(m, o.mark)
	if err != nil {
		return nil, err
	}
	for i, l := range o.lengths {
		r := procedures.RunOut{Machine: m.Name, Tap: tap, Mark: mark}
		if r.Length, err = runLength("length", l, units); err != nil {
			return nil, err
		}
		for _, q := range []struct {
			field string
			said  []string
			set   func(string) error
		}{
			{"seconds", o.seconds, func(s string) (err error) { r.Seconds, err = runSeconds("seconds", s); return err }},
			{"short-length", o.shortLengths, func(s string) (err error) { r.ShortLength, err = runLength("short-length", s, units); return err }},
			{"short-seconds", o.shortSeconds, func(s string) (err error) { r.ShortSeconds, err = runSeconds("short-seconds", s); return err }},
		} {
			switch len(q.said) {
			case 0:
			case 1:
				err = q.set(q.said[0])
			case len(o.lengths):
				err = q.set(q.said[i])
			default:
				err = procedures.Invalid(q.field, strings.Join(q.said, ", "), fmt.Sprintf("said %d times, and --length %d times", len(q.said), len(o.lengths)), "say it once for all, or once for each length")
			}
			if err != nil {
				return nil, err
			}
		}
		if err := r.Validate(); err != nil {
			return nil, err
		}
		runs = append(runs, r)
	}
	return runs, nil
}

// knobMark reads a mark on the machine's scale.
func knobMark(m procedures.Machine, s string) (float64, error) {
	mark, words, err := procedures.ParseKnob(s)
	if procedures.Placeholder(s) {
		return 0, err
	}
	if part := strings.TrimSpace(s); err == nil && mark != nil && *mark < 1 && strings.Contains(part, "/") && (!m.Knob.Marked() || m.Knob.Max > 1) {
		turn := fmt.Sprintf("for the mark: %.2f", *mark)
		if m.Knob.Marked() {
			return 0, procedures.Invalid("mark", s, fmt.Sprintf("%s of the turn, or the mark %.2f?", part, *mark), turn, fmt.Sprintf("for that part of the turn from %g to %g: %.2f", m.Knob.Min, m.Knob.Max, m.Knob.Min+*mark*(m.Knob.Max-m.Knob.Min)))
		}
		return 0, procedures.Invalid("mark", s, fmt.Sprintf("%s of the turn, or the mark %.2f?", part, *mark), turn, fmt.Sprintf("for that part of the turn of a dial from 0 to 10: %.2f", *mark*10))
	}
	if err != nil || words != "" {
		return 0, procedures.Invalid("mark", s, "not a mark on a knob", "accepted: a number on the scale, such as 4.5 or 4 1/2", "a knob without numbers: stick a paper dial from 0 to 10 on it, zero at the stop")
	}
	if m.Knob.Marked() && (*mark < m.Knob.Min || *mark > m.Knob.Max) {
		return 0, procedures.Invalid("mark", s, fmt.Sprintf("%s's knob runs from %g to %g", m.Name, m.Knob.Min, m.Knob.Max), "write the mark that the knob stood at")
	}
	return *mark, nil
}

func runLength(field, s string, units procedures.Units) (procedures.MM, error) {
	l, err := procedures.ParseDistance(field, s, units)
	if procedures.Placeholder(s) {
		return 0, err
	}
	if err != nil {
		return 0, procedures.Invalid(field, s, "not a length of wire", "accepted: 42in, 41 1/2in, 3.5ft, 1.07m, 1067mm")
	}
	return l, nil
}

func runSeconds(field, s string) (procedures.Seconds, error) {
	if procedures.Placeholder(s) {
		return 0, procedures.Invalid(field, s, "that is only the place for your own reading", "put your own in place of "+s)
	}
	t := strings.ToLower(strings.TrimSpace(s))
	for _, unit := range []string{"seconds", "sec", "s"} {
		t = strings.TrimSuffix(t, unit)
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(t), 64)
	if err != nil || math.IsNaN(v) || v < 1 || v > 300 {
		return 0, procedures.Invalid(field, s, "not a time for a run-out", "accepted: 1 to 300 s, such as 10 or 10s")
	}
	return procedures.Seconds(v), nil
}

// odd is the run-outs written down now that lie far from the others at their mark.
func odd(c feeder.Curve, added []procedures.RunOut) (far []procedures.RunOut) {
	for _, r := range added {
		i := slices.IndexFunc(c.Points, func(p feeder.Point) bool { return slices.Contains(p.Runs, r.Number) })
		if i < 0 || c.Points[i].Count < 2 {
			continue
		}
		if p := c.Points[i]; math.Abs(float64(r.Speed()/p.Speed)-1) > oddShare {
			far = append(far, r)
		}
	}
	return far
}

// oddShare is how far a run may lie from the median of its mark before it is
// asked about: three times a thumb's 3 %, and some. A design choice.
const oddShare = 0.10
