package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"gonum.org/v1/plot/text"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

// historyChart is ratings over time, as drawn and as printed. Beads stand in the
// order in which they were welded, not by the clock: a Saturday has twenty and a
// winter has none.
type historyChart struct {
	Chart   string            `json:"chart"`
	File    string            `json:"file"`
	Machine string            `json:"machine"`
	Job     *procedures.Job   `json:"job"` // that the beads are of; nil: all jobs
	Beads   []historyBead     `json:"beads"`
	States  []historyState    `json:"states"`
	Spools  []historySpool    `json:"spools"`
	Line    []historyMean     `json:"line"`
	Notes   []string          `json:"notes"`
	Sources map[string]string `json:"sources"`

	machine procedures.Machine
	units   procedures.Units
	along   text.Style // of the words along an upright line
}

// historyBead is one bead on the chart.
type historyBead struct {
	N           int                `json:"n"` // from 1, in the order welded
	Mark        string             `json:"mark"`
	At          time.Time          `json:"at"`
	Rating      procedures.Count   `json:"rating"`
	Thirds      *procedures.Thirds `json:"thirds"`
	Test        string             `json:"test"` // passed, failed; "": none
	FailedInUse bool               `json:"failed_in_use"`
	State       int                `json:"state"` // number; 0 not known
	Spool       string             `json:"spool"` // name

	state string // id
}

// historyState is where a state of the machine begins.
type historyState struct {
	Before int                  `json:"before"` // the bead it begins at; one past the last: none was welded in it yet
	Number int                  `json:"number"`
	What   string               `json:"what"`
	Kind   procedures.StateKind `json:"kind"`
	Since  time.Time            `json:"since"`
}

// historySpool is where another spool begins.
type historySpool struct {
	Before int    `json:"before"`
	Name   string `json:"name"`
}

// historyMean is a place on the line of running means.
type historyMean struct {
	N    int     `json:"n"`
	Mean float64 `json:"mean"`

	begins bool // a state's line
}

func newChartHistory(a *app) *cobra.Command {
	var o chartOptions
	cmd := &cobra.Command{
		Use:   "history FILE [NAME|WORDS...]",
		Short: "Ratings over time, with the machine's changes, spools and tests",
		Long: `Draw the rating of every bead on a machine in the order welded: tests passed and
failed by their shapes, changes of the machine and of the spool as lines with their
words, and the mean of the last 5 beads. Words that name no machine are a job, as
for suggest: only beads of that joint, position, steel and wire are drawn, and of
that thickness within 10 % where one is said.

FILE ends in .svg, .png or .pdf. One that exists is kept unless you say --force.`,
		Example: `  beadwright chart history shed.svg
  beadwright chart history shed.pdf shed
  beadwright chart history tee.svg 1/8 tee flat --machine shed`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.chartHistory(cmd.Context(), o, args[0], args[1:])
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return chartEndings, cobra.ShellCompDirectiveFilterFileExt
			}
			return append(append(a.machineNames(cmd.Context()), keys(procedures.Joints())...), keys(procedures.Positions())...), cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	cmd.Flags().BoolVar(&o.force, "force", false, "write over FILE if it exists")
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

func (a *app) chartHistory(ctx context.Context, o chartOptions, file string, args []string) error {
	format, err := chartFormat(file, o.force)
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	words := strings.Join(args, " ")
	if _, err := nb.Machine(ctx, words); err == nil && o.machine == "" {
		o.machine, words = words, ""
	}
	c := &historyChart{Chart: "history", File: file, Notes: []string{}, units: units, Sources: map[string]string{"MATH": data.Cite("MATH")[0]}}
	if c.machine, err = a.machine(ctx, o.machine, procedures.FCAWS); err != nil {
		return err
	}
	if words != "" {
		if c.Job, err = historyJob(words, units); err != nil {
			return err
		}
	}
	c.Machine = c.machine.Name
	if err := c.gather(ctx, nb); err != nil {
		return err
	}
	if err := a.putChart(file, format, c.draw); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(c)
	}
	a.line("machine", c.Machine)
	if c.Job != nil {
		a.line("read", list(describeJob(*c.Job, units), c.Job.Wire.String()))
	}
	a.line("wrote", c.File)
	for _, n := range c.Notes {
		a.line("", n)
	}
	a.storedCharge(c.machine)
	return nil
}

// historyJob reads the job that a chart is narrowed to.
func historyJob(words string, units procedures.Units) (*procedures.Job, error) {
	r, err := procedures.ReadJob(words, units, recommend.Lexicon())
	if err != nil { // 16 ga: a search need not know of the zinc
		r, err = procedures.ReadJob(words+" plain", units, recommend.Lexicon())
	}
	if err != nil {
		return nil, err
	}
	if len(r.Unknown) > 0 {
		return nil, procedures.Invalid("words", words, "neither a machine of that name nor a job: "+strings.Join(r.Unknown, " "), "a machine's name: beadwright machine list", "or a job: 1/8 mild tee flat")
	}
	return &r.Job, nil
}

// ofJob reports whether a weld is of the job: what was said of it fits.
func ofJob(w, said procedures.Job) bool {
	t := said.Thinner()
	return (said.Joint == "" || w.Joint == said.Joint) && (said.Position == "" || w.Position == said.Position) &&
		(said.SteelGroup == "" || said.Steel == "" || w.SteelGroup == said.SteelGroup) && (said.Class == "" || w.Class == said.Class) &&
		(said.Diameter == 0 || math.Abs(float64(w.Diameter-said.Diameter)) < 0.06) && (t == 0 || math.Abs(float64(w.Thinner()/t)-1) <= 0.10)
}

// gather picks the beads, and where states and spools begin.
func (c *historyChart) gather(ctx context.Context, nb *store.Notebook) error {
	all, err := nb.History(ctx)
	if err != nil {
		return err
	}
	all = slices.DeleteFunc(all, func(w procedures.Weld) bool {
		return w.Job.Machine != machineName(c.machine) || c.Job != nil && !ofJob(w.Job, *c.Job)
	})
	if len(all) == 0 {
		if c.Job != nil {
			return procedures.Invalid("words", describeJob(*c.Job, c.units), "no bead of that job on "+c.Machine+" is in the notebook", "fewer words, or another machine: --machine NAME", "what there is: beadwright find")
		}
		return procedures.Invalid("machine", c.Machine, "no bead of this machine is in the notebook yet", "log one: beadwright log 4")
	}
	slices.SortStableFunc(all, func(a, b procedures.Weld) int { return a.At.Compare(b.At) })
	var states []procedures.State
	if !c.machine.Example {
		if states, err = nb.States(ctx, c.Machine); err != nil {
			return err
		}
	}
	spools, err := nb.Spools(ctx)
	if err != nil {
		return err
	}
	for i, w := range all {
		b := historyBead{N: i + 1, Mark: w.Mark, At: w.At, Rating: w.Outcome.Rating, Thirds: w.Outcome.Thirds, FailedInUse: !w.Outcome.FailedInUse.IsZero(), state: w.Job.State}
		for _, t := range w.Outcome.Tests {
			if b.Test != "failed" {
				b.Test = "passed"
			}
			if !t.Passed {
				b.Test = "failed"
			}
		}
		if j := slices.IndexFunc(states, func(s procedures.State) bool { return s.ID == w.Job.State }); j >= 0 {
			b.State = states[j].Number
		}
		if j := slices.IndexFunc(spools, func(s procedures.Spool) bool { return s.ID == w.Spool }); j >= 0 {
			b.Spool = spools[j].Name
		}
		c.Beads = append(c.Beads, b)
	}
	c.divide(states)
	c.mean()
	c.note()
	return nil
}

// divide says before which bead each state and each spool begins.
func (c *historyChart) divide(states []procedures.State) {
	c.States, c.Spools = []historyState{}, []historySpool{}
	for _, s := range states {
		before := len(c.Beads) + 1
		for _, b := range c.Beads {
			if b.State >= s.Number {
				before = b.N
				break
			}
		}
		c.States = append(c.States, historyState{before, s.Number, s.What, s.Kind, s.Since})
	}
	last := ""
	for _, b := range c.Beads {
		if b.Spool != "" && b.Spool != last {
			c.Spools = append(c.Spools, historySpool{b.N, b.Spool})
			last = b.Spool
		}
	}
}

func (c *historyChart) mean() {
	ratings, states := make([]procedures.Count, len(c.Beads)), make([]string, len(c.Beads))
	for i, b := range c.Beads {
		ratings[i], states[i] = b.Rating, b.state
	}
	c.Line = []historyMean{}
	before := ""
	for i, m := range recommend.RunningMean(ratings, states) {
		if m > 0 {
			c.Line = append(c.Line, historyMean{i + 1, m, len(c.Line) == 0 || states[i] != before})
			before = states[i]
		}
	}
}

// note says in words what the chart shows.
func (c *historyChart) note() {
	say := func(format string, args ...any) { c.Notes = append(c.Notes, fmt.Sprintf(format, args...)) }
	day := func(t time.Time) string { return t.Local().Format(time.DateOnly) }
	unrated, passed, failed, use := 0, 0, 0, 0
	for _, b := range c.Beads {
		switch b.grade() {
		case gradeInUse:
			use++
		case gradeFailed:
			failed++
		case gradePassed:
			passed++
		}
		if b.Rating == 0 {
			unrated++
		}
	}
	first, last := c.Beads[0], c.Beads[len(c.Beads)-1]
	say("%d beads, from %s (%s) to %s (%s), in the order welded: %d passed a test, %d failed one, %d failed in use, %d not rated.", len(c.Beads), first.Mark, day(first.At), last.Mark, day(last.At), passed, failed, use, unrated)
	for _, s := range c.States {
		where := "no bead in it yet"
		if s.Before <= len(c.Beads) {
			where = "from " + c.Beads[s.Before-1].Mark + " on"
		}
		say("State %d, since %s, %s: %s.", s.Number, day(s.Since), where, s.What)
	}
	for _, s := range c.Spools {
		say("Spool from %s on: %s.", c.Beads[s.Before-1].Mark, s.Name)
	}
	say("The line is the mean of the last %d rated beads [MATH]; it begins anew with each state. Whether a change did good, comparing two states tells.", recommend.MeanOf)
	say("A rating is looks alone: only a passed bend or break test proves anything.")
}
