package main

import (
	"context"
	"fmt"
	"image/color"
	"strings"

	"github.com/spf13/cobra"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// knobChart is wire speed by mark of the knob on one tap, as it is drawn and as
// it is printed.
type knobChart struct {
	Chart   string            `json:"chart"`
	File    string            `json:"file"`
	Machine string            `json:"machine"`
	State   string            `json:"state"`
	Tap     string            `json:"tap"`
	Runs    []knobRun         `json:"runs"`
	Points  []feeder.Point    `json:"points"`
	Line    []knobLine        `json:"line"`
	Notes   []string          `json:"notes"`
	Sources map[string]string `json:"sources"`

	machine procedures.Machine
	units   procedures.Units
}

// knobRun is one run-out on the chart.
type knobRun struct {
	Number int                `json:"number"`
	Mark   float64            `json:"mark"`
	Speed  procedures.MPerMin `json:"wire_speed_m_min"`
}

// knobLine is one place on the curve.
type knobLine struct {
	Mark  float64            `json:"mark"`
	Speed procedures.MPerMin `json:"wire_speed_m_min"`
	Low   procedures.MPerMin `json:"low_m_min"`
	High  procedures.MPerMin `json:"high_m_min"`
}

func newChartKnob(a *app) *cobra.Command {
	var tap string
	var force bool
	cmd := &cobra.Command{
		Use:   "knob FILE [NAME]",
		Short: "Wire speed by mark of the knob: your run-outs, the curve through them, what timing makes of it",
		Long: `Draw wire speed by mark of the knob on one tap, as you ran it out: each run, the
median at each mark with what the thumb's timing makes of it, and the curve with its
range. Outside the outermost marks nothing is drawn.

FILE ends in .svg, .png or .pdf. One that exists is kept unless you say --force.`,
		Example: "  beadwright chart knob knob.svg\n  beadwright chart knob knob.pdf shed --tap low",
		Args:    cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.chartKnob(cmd.Context(), args[0], strings.Join(args[1:], " "), tap, force)
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 0 {
				return chartEndings, cobra.ShellCompDirectiveFilterFileExt
			}
			return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&tap, "tap", "", "the tap (default the one with most marks)")
	cmd.Flags().BoolVar(&force, "force", false, "write over FILE if it exists")
	return cmd
}

func (a *app) chartKnob(ctx context.Context, file, name, tap string, force bool) error {
	format, err := chartFormat(file, force)
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	m, err := a.machine(ctx, name, procedures.FCAWS)
	if err != nil {
		return err
	}
	if m.Example {
		return procedures.Invalid("machine", "", "no machine is written down yet", beginMachine)
	}
	c, err := newKnobChart(m, file, tap, units)
	if err != nil {
		return err
	}
	if err := a.putChart(file, format, c.draw); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(c)
	}
	a.line("machine", m.Name+onTap(c.Tap))
	a.line("wrote", c.File)
	for _, n := range c.Notes {
		a.line("", n)
	}
	a.storedCharge(m)
	return nil
}

// newKnobChart gathers what is drawn. A tap without two marks has no curve.
func newKnobChart(m procedures.Machine, file, said string, units procedures.Units) (*knobChart, error) {
	tap, err := knobTap(m, said)
	if err != nil {
		return nil, err
	}
	var curve feeder.Curve
	for _, t := range knobTaps(m, tap) {
		if own, ok := feeder.Own(m, m.State.ID, t); ok && len(own.Points) > len(curve.Points) {
			curve = own
		}
	}
	if len(curve.Points) < 2 {
		return nil, procedures.Invalid("tap", said, fmt.Sprintf("a curve wants two marks or more, and %s has %d run out there as it stands", m.Name, len(curve.Points)), "measure it: beadwright machine knob "+m.Name)
	}
	c := &knobChart{Chart: "knob", File: file, Machine: m.Name, State: m.State.ID, Tap: curve.Tap, Points: curve.Points, machine: m, units: units,
		Sources: map[string]string{"MATH": data.Cite("MATH")[0]}}
	for _, r := range m.RunOuts {
		if r.State == m.State.ID && strings.EqualFold(r.Tap, curve.Tap) {
			c.Runs = append(c.Runs, knobRun{r.Number, r.Mark, r.Speed()})
		}
	}
	reach, _ := curve.Reach()
	const steps = 160
	for i := range steps + 1 {
		x := reach[0] + (reach[1]-reach[0])*float64(i)/steps
		v, err := curve.SpeedAt(x)
		if err != nil {
			return nil, err
		}
		c.Line = append(c.Line, knobLine{x, procedures.MPerMin(v.Value), procedures.MPerMin(v.Low), procedures.MPerMin(v.High)})
	}
	c.note(curve)
	return c, nil
}

func (c *knobChart) note(curve feeder.Curve) {
	say := func(format string, args ...any) { c.Notes = append(c.Notes, fmt.Sprintf(format, args...)) }
	reach, speeds := curve.Reach()
	say("%d runs at %d marks, from mark %s (%s) to %s (%s). Outside them nothing is drawn, and no mark is given.", len(c.Runs), len(c.Points),
		procedures.FormatKnob(reach[0]), procedures.FormatWireSpeed(speeds[0], c.units), procedures.FormatKnob(reach[1]), procedures.FormatWireSpeed(speeds[1], c.units))
	if len(curve.Again) > 0 {
		var marks []string
		for _, x := range curve.Again {
			marks = append(marks, procedures.FormatKnob(x))
		}
		say("The wire does not run faster with each of the marks %s: their mean is used. Run them out again.", strings.Join(marks, ", "))
	}
	if s, ok := curve.Next(c.machine.Knob); ok {
		say("Run out mark %s next: %s.", procedures.FormatKnob(s.Mark), s.Why)
	}
	say("Timing: %.1f s of thumb on the stopwatch, less with each repeat, 4 times in 5 [MATH]. The range adds the spread of the repeats and what a bend between two marks may hide.", feeder.Thumb)
	say("Come up to a mark from below. It holds for this tap and this state of the machine: %s.", c.machine.State.What)
}

var (
	runInk    = color.RGBA{0x9a, 0x5b, 0x00, 0xff}
	medianInk = color.RGBA{0x0f, 0x6b, 0x2f, 0xff}
)

func runStyle() draw.GlyphStyle {
	return draw.GlyphStyle{Color: runInk, Radius: 2.5, Shape: hollow{draw.CircleGlyph{}}}
}

func medianStyle() draw.GlyphStyle {
	return draw.GlyphStyle{Color: medianInk, Radius: 6, Shape: rimmed{draw.BoxGlyph{}}}
}

// draw renders the chart in a format: svg, png or pdf.
func (c *knobChart) draw(format string) ([]byte, error) {
	head := []paragraph{
		newParagraph(letters(16), "Wire speed by mark of the knob: "+c.machine.Name+onTap(c.Tap)),
		newParagraph(letters(11), fmt.Sprintf("Run out with no arc, state %d of the machine", c.machine.State.Number)),
	}
	p, err := c.plot()
	if err != nil {
		return nil, err
	}
	lines, marks := newLegends()
	lines.Add("the curve", &plotter.Line{LineStyle: ownLine()})
	lines.Add("the wire speed, 4 times in 5", &plotter.Polygon{Color: rangeInk, LineStyle: draw.LineStyle{Color: rangeEdge, Width: 0.7}})
	marks.Add(fmt.Sprintf("a run (%d)", len(c.Runs)), &plotter.Scatter{GlyphStyle: runStyle()})
	marks.Add(fmt.Sprintf("median, with its timing (%d)", len(c.Points)), &plotter.Scatter{GlyphStyle: medianStyle()})
	return drawSheet(format, head, footOf(c.Notes, c.machine), p, lines, marks)
}

// timings is the medians with what the thumb's timing makes of each.
type timings struct {
	plotter.XYs
	plotter.YErrors
}

// plot builds axes, range, curve, runs and medians.
func (c *knobChart) plot() (*plot.Plot, error) {
	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = "mark of the knob", "wire speed, in/min"
	if c.units == procedures.Metric {
		p.Y.Label.Text = "wire speed, m/min"
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(roundTicks), plot.TickerFunc(roundTicks)
	grid := dress(p)
	at := func(mark float64, v procedures.MPerMin) plotter.XY {
		return plotter.XY{X: mark, Y: speedIn(v, c.units)}
	}

	var curve, low, high plotter.XYs
	for _, l := range c.Line {
		curve, high, low = append(curve, at(l.Mark, l.Speed)), append(high, at(l.Mark, l.High)), append(plotter.XYs{at(l.Mark, l.Low)}, low...)
	}
	var runs plotter.XYs
	for _, r := range c.Runs {
		runs = append(runs, at(r.Mark, r.Speed))
	}
	var medians timings
	for _, q := range c.Points {
		xy := at(q.Mark, q.Speed)
		off := xy.Y * feeder.FourInFive * q.Error / 100
		medians.XYs = append(medians.XYs, xy)
		medians.YErrors = append(medians.YErrors, struct{ Low, High float64 }{off, off})
	}
	bars, err := plotter.NewYErrorBars(medians)
	if err != nil {
		return nil, err
	}
	bars.LineStyle = draw.LineStyle{Color: medianInk, Width: 1.4}
	p.Add(&plotter.Polygon{XYs: []plotter.XYs{append(high, low...)}, Color: rangeInk, LineStyle: draw.LineStyle{Color: rangeEdge, Width: 0.7}}, grid,
		&plotter.Line{XYs: curve, LineStyle: ownLine()}, bars,
		&plotter.Scatter{XYs: medians.XYs, GlyphStyle: medianStyle()}, &plotter.Scatter{XYs: runs, GlyphStyle: runStyle()})

	air := 0.05 * (p.X.Max - p.X.Min)
	p.X.Min, p.X.Max = max(0, p.X.Min-air), p.X.Max+air
	air = 0.05 * (p.Y.Max - p.Y.Min)
	p.Y.Min, p.Y.Max = max(0, p.Y.Min-air), p.Y.Max+air
	return p, nil
}
