package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

func newDutyStart(a *app, o *clockOptions) *cobra.Command {
	var at string
	cmd := &cobra.Command{
		Use: "start", Short: "The arc is struck", Args: cobra.NoArgs,
		Example: "  beadwright duty start\n  beadwright duty start --at '20s ago'",
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.arcEvent(cmd.Context(), *o, at, func(machine string, t time.Time) (procedures.Arc, error) {
				return a.nb.StartArc(cmd.Context(), machine, t)
			})
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "when, if not now: '20s ago', 14:32:10, 2026-05-01 14:30")
	return cmd
}

func newDutyStop(a *app, o *clockOptions) *cobra.Command {
	var at string
	cmd := &cobra.Command{
		Use: "stop", Short: "The arc is out", Args: cobra.NoArgs,
		Example: "  beadwright duty stop\n  beadwright duty stop --at '2min ago'",
		RunE: func(cmd *cobra.Command, _ []string) error {
			return a.arcEvent(cmd.Context(), *o, at, func(machine string, t time.Time) (procedures.Arc, error) {
				return a.nb.StopArc(cmd.Context(), machine, t)
			})
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "when, if not now: '20s ago', 14:32:10, 2026-05-01 14:30")
	return cmd
}

func newDutyAdd(a *app, o *clockOptions) *cobra.Command {
	return &cobra.Command{
		Use: "add SECONDS", Short: "A bead timed otherwise that has just ended", Args: cobra.MinimumNArgs(1),
		Example: "  beadwright duty add 45s\n  beadwright duty add 1.5 min",
		RunE: func(cmd *cobra.Command, args []string) error {
			said := strings.Join(args, " ")
			v, err := arcSaid("arc", said)
			if err != nil {
				return err
			}
			if v < 0.5 || v > float64(procedures.LongestArc) {
				return procedures.Invalid("arc", said, "not the length of one bead", "accepted: half a second to 10 minutes of arc: 45s, 1.5 min")
			}
			return a.arcEvent(cmd.Context(), *o, "", func(machine string, stop time.Time) (procedures.Arc, error) {
				return a.nb.AddArc(cmd.Context(), machine, stop.Add(-time.Duration(v*float64(time.Second))), stop)
			})
		},
	}
}

// arcSaid reads how long an arc burned, in seconds: 45s, 1.5 min, 1 1/2 min, 1:30. A
// bare number of a few is asked about: on a stopwatch a 2 is as often two minutes. Up to
// 5: own threshold, common practice, no source.
func arcSaid(field, said string) (float64, error) {
	text := strings.ToLower(strings.TrimSpace(said))
	if m, s, ok := strings.Cut(text, ":"); ok && len(s) == 2 {
		minutes, bad := strconv.ParseUint(m, 10, 8)
		rest, worse := strconv.ParseUint(s, 10, 8)
		if bad == nil && worse == nil && rest < 60 {
			return 60*float64(minutes) + float64(rest), nil
		}
	}
	if f := strings.Fields(text); len(f) > 2 { // 1 1/2 min
		over, under, _ := strings.Cut(f[1], "/")
		whole, bad := strconv.ParseUint(f[0], 10, 8)
		n, worse := strconv.ParseUint(over, 10, 8)
		of, worst := strconv.ParseUint(under, 10, 8)
		if bad == nil && worse == nil && worst == nil && of > n {
			said = fmt.Sprintf("%g %s", float64(whole)+float64(n)/float64(of), strings.Join(f[2:], " "))
		}
	}
	v, err := seconds.parse(field, said)
	if _, bare := strconv.ParseFloat(text, 64); err == nil && bare == nil && v <= 5 {
		return 0, procedures.Invalid(field, said, "is that seconds or minutes?", fmt.Sprintf("write %ss or %smin", text, text))
	}
	return v, err
}

// arcEvent writes down something that the arc did and shows where the clock stands.
func (a *app) arcEvent(ctx context.Context, o clockOptions, at string, write func(machine string, at time.Time) (procedures.Arc, error)) error {
	m, err := a.ownMachine(ctx, o.machine)
	if err != nil {
		return err
	}
	now := a.now()
	t, err := momentSaid("at", at, now)
	if err != nil {
		return err
	}
	arc, err := write(m.Name, t)
	if err != nil {
		return err
	}
	s, err := a.stand(ctx, o)
	if err != nil {
		return err
	}
	if a.json {
		doc := s.document(a, false)
		shown := map[string]any{"id": arc.ID, "machine": arc.Machine, "state": arc.State, "start": arc.Start, "stop": nil}
		if !arc.Burning() {
			shown["stop"] = arc.Stop
		}
		doc["arc"] = shown
		return a.printJSON(doc)
	}
	a.printTally(s)
	switch {
	case arc.Struck != "":
		a.line("bead", "withdrawn: "+arc.Struck)
	case !arc.Burning():
		a.line("bead", "this one burned for "+span(procedures.Seconds(arc.Stop.Sub(arc.Start).Seconds())))
	}
	a.storedCharge(s.machine)
	return nil
}

// momentSaid reads when something happened at the machine, to the second; "" is
// now. A time of day alone is the nearest of that name; the notebook refuses it where
// it is still to come.
func momentSaid(field, said string, now time.Time) (time.Time, error) {
	t := strings.ToLower(strings.TrimSpace(said))
	if t == "" {
		return now, nil
	}
	if ago, ok := strings.CutSuffix(t, "ago"); ok {
		v, err := seconds.parse(field, ago)
		if err != nil || v > 86400 {
			return now, procedures.Invalid(field, said, "not a time ago", "accepted: '20s ago', '2 min ago', up to a day")
		}
		return now.Add(-time.Duration(v * float64(time.Second))), nil
	}
	for _, layout := range []string{"15:04:05", "15:04"} {
		if c, err := time.Parse(layout, t); err == nil {
			day := time.Date(now.Year(), now.Month(), now.Day(), c.Hour(), c.Minute(), c.Second(), 0, now.Location())
			if day.Sub(now) > 12*time.Hour { // just after midnight, 23:58 was yesterday
				day = day.AddDate(0, 0, -1)
			}
			return day, nil
		}
	}
	if c, err := time.ParseInLocation("2006-01-02 15:04:05", t, now.Location()); err == nil {
		said = c.Format(time.RFC3339)
	}
	v, err := parseTime(field, said, now)
	if err != nil {
		return now, procedures.Invalid(field, said, "not a time in the past", "accepted: '20s ago', 14:32:10, 2026-05-01 14:30")
	}
	return v, nil
}
