package main

import (
	"context"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// newChart returns the command that draws.
func newChart(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "chart WHAT", Short: "Draw a chart as SVG, PNG or PDF, by the file's ending", Args: noSub("chart")}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	cmd.AddCommand(newChartThickness(a), newChartKnob(a), newChartHistory(a))
	return cmd
}

type chartOptions struct {
	job     jobFlags
	machine string
	force   bool
}

func newChartThickness(a *app) *cobra.Command {
	var o chartOptions
	cmd := &cobra.Command{
		Use:   "thickness FILE [WORDS...]",
		Short: "Wire speed against thickness: the table, your own curve, your welds",
		Long: `Draw wire speed against thickness for a joint: the published table's line, your own
curve with the range that holds the right wire speed 4 times in 5, and your own
welds, each by its rating. Say joint, position, steel and wire as for suggest;
thickness is not needed. Outside the tables nothing is drawn.

FILE ends in .svg, .png or .pdf. One that exists is kept unless you say --force.

Exit status: 0 drawn; 1 the file was not written; 2 not understood; 3 nothing
drawn, on purpose: on the stop list, or outside every table.`,
		Example: `  beadwright chart thickness tee.svg mild tee flat
  beadwright chart thickness lap.pdf lap vertical down --wire "0.030 E71T-11" --force`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.chartThickness(cmd.Context(), o, args[0], args[1:])
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return chartEndings, cobra.ShellCompDirectiveFilterFileExt
			}
			return append(append(keys(procedures.Joints()), keys(procedures.Positions())...), steelKeys()...), cobra.ShellCompDirectiveNoFileComp
		},
	}
	o.job.add(cmd.Flags())
	cmd.Flags().StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	cmd.Flags().BoolVar(&o.force, "force", false, "write over FILE if it exists")
	o.job.complete(cmd, a)
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// thicknessChart is wire speed against thickness for one job, as it is drawn and
// as it is printed.
type thicknessChart struct {
	Chart    string                 `json:"chart"`
	File     string                 `json:"file"`
	Job      procedures.Job         `json:"job"`
	Assumed  []string               `json:"assumed"`
	Points   []recommend.CurvePoint `json:"points"`
	Welds    []chartWeld            `json:"welds"`
	Notes    []string               `json:"notes"`
	Cautions []caution.Caution      `json:"cautions"`
	Sources  map[string]string      `json:"sources"`

	machine procedures.Machine
	units   procedures.Units
	own     bool // own welds move the curve off the table
}

func (a *app) chartThickness(ctx context.Context, o chartOptions, file string, args []string) error {
	format, err := chartFormat(file, o.force)
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	reading, bare, refused, err := a.anySize(ctx, o.job, args, units)
	if refused != nil {
		return a.printAnswer(*refused, units)
	}
	if err != nil {
		return err
	}
	c := &thicknessChart{Chart: "thickness", File: file, Assumed: []string{}, units: units}
	r, err := a.chartRequest(ctx, c, reading, bare, o.machine)
	if err != nil {
		return err
	}
	shop, history, err := a.past(ctx)
	if err != nil {
		return err
	}
	r.Shop = shop
	if c.Points, err = recommend.Curve(r, history, chartThicknesses(r, history)); err != nil {
		return err
	}
	last, given := c.given()
	r.Job.Thickness, r.Job.OtherThickness = last.Thickness, 0
	s, err := recommend.Suggest(r, history)
	if err != nil {
		return err
	}
	if !given {
		return a.printAnswer(newAnswer(s, c.Assumed, c.machine), units)
	}
	c.Cautions = s.Cautions
	c.takeWelds(shop, history)
	c.cite()
	if err := a.putChart(file, format, c.draw); err != nil {
		return err
	}
	return a.printChart(c)
}

// chartRequest makes the request of what was said: as suggest does, but that the
// thickness is left open.
func (a *app) chartRequest(ctx context.Context, c *thicknessChart, reading procedures.Reading, r recommend.Request, machine string) (recommend.Request, error) {
	if t := reading.Job.Thickness; t != 0 {
		reading.Assumed = append(reading.Assumed, "every thickness, though "+procedures.FormatLength(t, c.units)+" was said")
	}
	reading.Job.Thickness, reading.Job.OtherThickness = anyThickness, 0
	reading.Job.ThicknessSaid, reading.Job.OtherSaid = "", ""
	if err := reading.Complete(); err != nil {
		return r, err
	}
	r.Job = reading.Job
	spool, wire, err := a.fillWire(ctx, &r.Job)
	if err != nil {
		return r, err
	}
	if wire != "" {
		reading.Assumed = append(reading.Assumed, "wire "+wire)
	}
	r.Spool = spool
	if r.Machine, err = a.working(ctx, machine, r.Job.Process); err != nil {
		return r, err
	}
	c.Assumed = append(c.Assumed, reading.Assumed...)
	c.Job, c.machine = r.Job, r.Machine
	c.Job.Thickness = 0
	if !c.machine.Example {
		c.Job.Machine, c.Job.State = c.machine.Name, c.machine.State.ID
	}
	return r, nil
}

// anyThickness stands where a job must have one and a chart has all: 1/8 in.
const anyThickness procedures.MM = procedures.MMPerInch / 8

// chartThicknesses is the row that the chart is drawn over: thicknesses that
// people say, and those of the welds, which the model knows best.
func chartThicknesses(r recommend.Request, history recommend.History) []procedures.MM {
	step := procedures.MM(procedures.MMPerInch / 128)
	if r.Units == procedures.Metric {
		step = 0.2
	}
	row := recommend.Thicknesses(r, step)
	if len(row) == 0 {
		return []procedures.MM{anyThickness} // which will say why there is none
	}
	first, last := row[0], row[len(row)-1]
	var welded []procedures.MM
	for _, w := range history {
		if t := w.Job.Thinner(); t > first+0.01 && t < last-0.01 && chartable(w, r.Job, r.Machine) {
			welded = append(welded, t)
		}
	}
	slices.Sort(welded)
	welded = slices.CompactFunc(welded, func(a, b procedures.MM) bool { return math.Abs(float64(a-b)) < 0.01 })
	// Elsewhere the curve keeps its distance from them, so that it bends evenly.
	row = slices.DeleteFunc(row, func(t procedures.MM) bool {
		return t != first && t != last && slices.ContainsFunc(welded, func(w procedures.MM) bool { return math.Abs(float64(t-w)) < float64(step)/2 })
	})
	row = append(row, welded...)
	slices.Sort(row)
	return row
}

// given is the thickest point that holds speeds, else a point that says why none
// does.
func (c *thicknessChart) given() (recommend.CurvePoint, bool) {
	for _, p := range slices.Backward(c.Points) {
		if p.Given() {
			return p, true
		}
	}
	return c.Points[len(c.Points)/2], false
}

// cite gathers the citations behind the ids of the points and the cautions.
func (c *thicknessChart) cite() {
	c.Sources = map[string]string{}
	ids := c.tableSources()
	for _, k := range c.Cautions {
		ids = append(ids, k.Source...)
	}
	for _, id := range ids {
		c.Sources[id] = data.Cite(id)[0]
	}
}

// tableSources are the ids behind the table's line, in order.
func (c *thicknessChart) tableSources() []string {
	var ids []string
	for _, p := range c.Points {
		ids = append(ids, p.Source...)
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

func (a *app) printChart(c *thicknessChart) error {
	if a.json {
		return a.printJSON(c)
	}
	a.line("read", describeJob(c.Job, c.units))
	if len(c.Assumed) > 0 {
		a.line("assumed", strings.Join(c.Assumed, "; ")+". Say otherwise to change it")
	}
	a.line("wire", c.Job.Wire.String())
	a.line("machine", c.machine.Name)
	a.line("wrote", c.File)
	for _, n := range c.Notes {
		a.line("", n)
	}
	a.printCautions(c.Cautions)
	a.printSources(c.Sources)
	return nil
}
