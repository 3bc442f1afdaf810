package main

import (
	"context"
	"math"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// clockOptions are what every command of the duty clock takes.
type clockOptions struct{ machine, amps, air, next string }

func newDuty(a *app) *cobra.Command {
	var o clockOptions
	var heat bool
	cmd := &cobra.Command{
		Use:   "duty",
		Short: "The duty clock: arc left in these 10 minutes, rest owed, cut-outs",
		Long: `The duty clock counts the arc of the last 10 minutes and says how much is left and
how long to rest before the next bead. It goes by the plate, and by what this
machine did once its cut-out has opened sooner than the plate says.`,
		Example: `  beadwright duty --next 45s
  beadwright duty watch
  beadwright duty add 45s
  beadwright duty trip --after 95s --air 86F`,
		Args: noSub("duty"),
		RunE: func(cmd *cobra.Command, _ []string) error {
			s, err := a.stand(cmd.Context(), o)
			if err != nil {
				return err
			}
			return a.showTally(s, heat)
		},
	}
	f := cmd.PersistentFlags()
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	f.StringVar(&o.amps, "amps", "", "current that you weld at (default the last suggestion's, else the plate's)")
	f.StringVar(&o.air, "air", "", "how warm the air is at the machine: 30C, 86F")
	cmd.Flags().StringVar(&o.next, "next", "", "how long the next bead is to be: 45s (default 30 s)")
	cmd.Flags().BoolVar(&heat, "heat", false, "show how warm a simple picture takes it to be; for looking at only")
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	named := func(of func(*app, *clockOptions) *cobra.Command) func() *cobra.Command {
		return func() *cobra.Command { return of(a, &o) }
	}
	a.addNamed(cmd, map[string]func() *cobra.Command{
		"start": named(newDutyStart), "stop": named(newDutyStop), "add": named(newDutyAdd), "arcs": named(newDutyArcs),
		"trip": named(newDutyTrip), "trips": named(newDutyTrips), "watch": named(newDutyWatch),
	})
	return cmd
}

// tally is where a machine stands on its duty clock.
type tally struct {
	arcNow
	machine procedures.Machine
	now     time.Time
	against []source.Concern // what speaks against welding at all, the worst first
	allow   source.Allowance
	spells  []source.Spell // of the last hours, from the oldest on
	budget  source.Budget
	next    procedures.Seconds // of arc, what budget.Rest is for
	burning time.Time          // when the arc that burns was struck; zero: none burns
	opened  time.Time          // when the cut-out opened, while it is to be waited for; zero: it is not
}

// pictured is how far back the clock reads: five times the longest time constant
// of the picture of warmth. The allowance looks at 10 minutes of it.
const pictured = 5 * 40 * time.Minute

// stand reads where a machine stands now.
func (a *app) stand(ctx context.Context, o clockOptions) (tally, error) {
	return a.standAt(ctx, o, a.now())
}

// standAt is stand at another moment.
func (a *app) standAt(ctx context.Context, o clockOptions, now time.Time) (s tally, err error) {
	s.now = now
	if s.machine, err = a.ownMachine(ctx, o.machine); err != nil {
		return s, err
	}
	if s.arcNow, err = a.arcNow(ctx, s.machine, o.amps); err != nil {
		return s, err
	}
	s.against = s.concerns(s.machine)
	air, err := airSaid(o.air)
	if err != nil {
		return s, err
	}
	if s.allow, err = source.Allow(s.machine, s.amps, air); err != nil {
		return s, err
	}
	s.next = min(30, max(1, procedures.Seconds(math.Floor(float64(s.allow.Arc)/2)))) // a bead, never the whole of it
	if o.next != "" {
		v, err := arcSaid("next", o.next)
		if err != nil {
			return s, err
		}
		if s.next = procedures.Seconds(v); s.next > s.allow.Arc {
			return s, procedures.Invalid("next", o.next, "longer than the "+span(s.allow.Arc)+" of arc that any 10 minutes allow",
				"split it into shorter beads with rests between, or weld at less current", "accepted: up to "+span(s.allow.Arc))
		}
	}
	arcs, err := a.nb.Arcs(ctx, s.machine.Name, now.Add(-pictured))
	if err != nil {
		return s, err
	}
	for _, arc := range arcs {
		if arc.Burning() {
			s.burning = arc.Start
		}
	}
	if s.spells, err = source.Spells(arcs, now); err != nil {
		return s, err
	}
	s.spells = source.WithCutOuts(s.spells, s.machine.CutOuts, now)
	if s.budget, err = source.Spend(s.spells, 0, s.allow.Arc, s.next); err != nil {
		return s, err
	}
	for _, c := range s.machine.CutOuts {
		if !c.At.After(now) && now.Before(c.At.Add(cutOutWait)) {
			s.opened = c.At
		}
	}
	return s, nil
}

const cutOutWait = time.Duration(source.CutOutWait) * time.Second

// rest is how long to wait before the next bead, for the clock and for a cut-out. A
// bead that is short by less than a second need not wait: no hand times it closer.
func (s tally) rest() procedures.Seconds {
	owed := s.budget.Rest
	if s.next-s.budget.Left < 1 {
		owed = 0
	}
	if s.opened.IsZero() {
		return owed
	}
	return max(owed, procedures.Seconds(s.opened.Add(cutOutWait).Sub(s.now).Seconds()))
}

// after is the time of day so many seconds from now.
func (s tally) after(t procedures.Seconds) time.Time {
	return s.now.Add(time.Duration(float64(t) * float64(time.Second)))
}

// ownMachine is the machine named, else the one in use. The built-in example has
// no clock: nobody welds with it.
func (a *app) ownMachine(ctx context.Context, name string) (procedures.Machine, error) {
	m, err := a.machine(ctx, name, procedures.FCAWS)
	if err == nil && m.Example {
		err = procedures.Invalid("machine", "", "no machine is written down yet, and the clock runs for one", procedures.Way("begin with: beadwright machine add NAME --rated 90A --duty 20", "begin with your machine: Machines, at the foot"))
	}
	return m, err
}

// airSaid reads a temperature of the air, which needs its unit; nil: not said.
func airSaid(s string) (*float64, error) {
	if s == "" {
		return nil, nil
	}
	const hint = "accepted: 30C or 86F, from -40 to 60 C (-40 to 140 F)"
	t := strings.ToUpper(strings.Join(strings.Fields(s), ""))
	t, below := strings.CutPrefix(strings.ReplaceAll(strings.ReplaceAll(t, "\u00b0", ""), "DEG", ""), "-")
	scale := measure{per: map[string]float64{"c": 1, "f": 1}, hint: hint[len("accepted: "):], zero: true}
	v, err := scale.parse("air", t)
	if err != nil {
		return nil, procedures.Invalid("air", s, "not a temperature with its unit", hint)
	}
	if below {
		v = -v
	}
	if strings.HasSuffix(t, "F") {
		v = (v - 32) * 5 / 9
	}
	if v < -40 || v > 60 {
		return nil, procedures.Invalid("air", s, "not air to weld in", hint)
	}
	return &v, nil
}
