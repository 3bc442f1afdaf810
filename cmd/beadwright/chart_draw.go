package main

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"beadwright/procedures"
	"beadwright/recommend"
)

const plotHeight = vg.Length(330) // points

var (
	ink       = color.RGBA{0x11, 0x11, 0x11, 0xff}
	gridInk   = color.RGBA{0xd8, 0xd8, 0xd8, 0xff}
	ownInk    = color.RGBA{0x1d, 0x3f, 0x8f, 0xff}
	rangeInk  = color.RGBA{0xdd, 0xe6, 0xf4, 0xff}
	rangeEdge = color.RGBA{0x8f, 0xa6, 0xcc, 0xff}
)

// draw renders the chart in a format: svg, png or pdf.
func (c *thicknessChart) draw(format string) ([]byte, error) {
	first, last := c.span()
	if !first.Given() || last.Thickness <= first.Thickness {
		return nil, procedures.Invalid("job", c.Job.Said, "settings are given for one thickness alone, which is no curve", "ask for it: beadwright suggest "+c.length(first.Thickness)+" "+c.Job.Said)
	}
	head := []paragraph{
		newParagraph(letters(16), "Wire speed against thickness: "+c.Job.Wire.String()),
		newParagraph(letters(11), describeJob(c.Job, c.units)+"; machine: "+c.machine.Name),
		newParagraph(letters(11), "Practice aid; results hold for the coupon."),
	}
	lines, marks := c.legends()
	return drawSheet(format, head, footOf(c.Notes, c.machine), c.plot(), lines, marks)
}

func inUnits(t procedures.MM, u procedures.Units) float64 {
	if u == procedures.Metric {
		return float64(t)
	}
	return t.Inches()
}

func speedIn(v procedures.MPerMin, u procedures.Units) float64 {
	if u == procedures.Metric {
		return float64(v)
	}
	return v.InchesPerMin()
}

// plot builds axes, range, lines and welds.
func (c *thicknessChart) plot() *plot.Plot {
	p := plot.New()
	first, last := c.span()
	p.X.Min, p.X.Max = inUnits(first.Thickness, c.units), inUnits(last.Thickness, c.units)
	p.X.Label.Text, p.Y.Label.Text = "thickness of the thinner part, in", "wire speed, in/min"
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(inchTicks), plot.TickerFunc(roundTicks)
	if c.units == procedures.Metric {
		p.X.Label.Text, p.Y.Label.Text = "thickness of the thinner part, mm", "wire speed, m/min"
		p.X.Tick.Marker = plot.TickerFunc(roundTicks)
	}
	grid := dress(p)
	for _, run := range c.runs() {
		p.Add(c.rangeOf(run))
	}
	p.Add(grid)
	for _, run := range c.runs() {
		p.Add(c.line(run, tableLine(), func(q recommend.CurvePoint) procedures.MPerMin { return q.Table }))
		if c.own {
			p.Add(c.line(run, ownLine(), func(q recommend.CurvePoint) procedures.MPerMin { return q.WireSpeed }))
		}
	}
	p.Add(weldMarks{c.Welds, c.units})
	p.Y.Min, p.Y.Max = c.speeds()
	return p
}

// dress sets the letters of a plot's axes, and returns the grid that goes with them.
func dress(p *plot.Plot) *plotter.Grid {
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Label.TextStyle.Font = letters(12).Font
		axis.Tick.Label.Font = letters(11).Font
		axis.Label.Padding = 4
		axis.Tick.Length = 5
	}
	grid := plotter.NewGrid()
	grid.Vertical.Color, grid.Horizontal.Color = gridInk, gridInk
	grid.Vertical.Width, grid.Horizontal.Width = 0.7, 0.7
	return grid
}

// speeds is the range of the wire-speed axis: all that is drawn and some air.
func (c *thicknessChart) speeds() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	reach := func(v procedures.MPerMin) {
		low, high = min(low, speedIn(v, c.units)), max(high, speedIn(v, c.units))
	}
	for _, p := range c.Points {
		if p.Given() {
			reach(p.Low)
			reach(p.High)
			reach(p.Table)
		}
	}
	for _, w := range c.Welds {
		reach(w.WireSpeed)
	}
	air := 0.05 * (high - low)
	return max(0, low-air), high + air
}

// runs parts the points where there are no speeds.
func (c *thicknessChart) runs() [][]recommend.CurvePoint {
	var all [][]recommend.CurvePoint
	unbroken := false
	for _, p := range c.Points {
		switch {
		case !p.Given():
		case unbroken:
			all[len(all)-1] = append(all[len(all)-1], p)
		default:
			all = append(all, []recommend.CurvePoint{p})
		}
		unbroken = p.Given()
	}
	return all
}

func tableLine() draw.LineStyle {
	return draw.LineStyle{Color: ink, Width: 1.4, Dashes: []vg.Length{6, 4}}
}
func ownLine() draw.LineStyle { return draw.LineStyle{Color: ownInk, Width: 2.4} }

func (c *thicknessChart) line(run []recommend.CurvePoint, style draw.LineStyle, speed func(recommend.CurvePoint) procedures.MPerMin) *plotter.Line {
	l := &plotter.Line{LineStyle: style}
	for _, p := range run {
		l.XYs = append(l.XYs, plotter.XY{X: inUnits(p.Thickness, c.units), Y: speedIn(speed(p), c.units)})
	}
	return l
}

func (c *thicknessChart) rangeOf(run []recommend.CurvePoint) *plotter.Polygon {
	var edge plotter.XYs
	for _, p := range run {
		edge = append(edge, plotter.XY{X: inUnits(p.Thickness, c.units), Y: speedIn(p.High, c.units)})
	}
	for i := range run {
		p := run[len(run)-1-i]
		edge = append(edge, plotter.XY{X: inUnits(p.Thickness, c.units), Y: speedIn(p.Low, c.units)})
	}
	return &plotter.Polygon{XYs: []plotter.XYs{edge}, Color: rangeInk, LineStyle: draw.LineStyle{Color: rangeEdge, Width: 0.7}}
}

// newLegends returns an empty legend for lines and one for marks.
func newLegends() (lines, marks plot.Legend) {
	lines, marks = plot.NewLegend(), plot.NewLegend()
	for _, l := range []*plot.Legend{&lines, &marks} {
		l.Top, l.Left = true, true
		l.TextStyle.Font = letters(11).Font
		l.Padding = 3
		l.ThumbnailWidth = 26
	}
	marks.ThumbnailWidth = 14
	return lines, marks
}

// legends says in words what the lines and the marks mean.
func (c *thicknessChart) legends() (lines, marks plot.Legend) {
	lines, marks = newLegends()
	lines.Add("what the tables give", &plotter.Line{LineStyle: tableLine()})
	if c.own {
		lines.Add("your own curve", &plotter.Line{LineStyle: ownLine()})
	}
	lines.Add("the right wire speed, 4 times in 5", &plotter.Polygon{Color: rangeInk, LineStyle: draw.LineStyle{Color: rangeEdge, Width: 0.7}})
	addGrades(&marks, grades[:], c.Welds)
	return lines, marks
}

// addGrades says how many beads there are of each grade that has any.
func addGrades[B interface{ grade() int }](marks *plot.Legend, all []grade, beads []B) {
	counts := make([]int, len(all))
	for _, b := range beads {
		counts[b.grade()]++
	}
	for i, n := range counts {
		if n > 0 {
			marks.Add(fmt.Sprintf("%s (%d)", all[i].words, n), all[i])
		}
	}
}

// legendSize is the height that a legend takes.
func legendSize(l plot.Legend) vg.Length {
	return l.Rectangle(draw.Canvas{}).Size().Y
}

// inchTicks puts fractions of an inch on an axis, as they are said.
func inchTicks(low, high float64) []plot.Tick {
	step := 1.0
	for (high-low)/step < 4 && step > 1./64 {
		step /= 2
	}
	return ticks(low, high, step, 2, func(v float64) string {
		label, _, _ := strings.Cut(procedures.FormatLength(procedures.Inches(v), procedures.US), " ")
		return label
	})
}

// roundTicks puts round numbers on an axis: steps of 1, 2 or 5.
func roundTicks(low, high float64) []plot.Tick {
	step := math.Pow(10, math.Floor(math.Log10((high-low)/4)))
	for _, k := range []float64{5, 2} {
		if (high-low)/(k*step) >= 4 {
			step *= k
			break
		}
	}
	return ticks(low, high, step, 2, func(v float64) string { return fmt.Sprint(procedures.Round(v)) })
}

// ticks labels every step of an axis and puts small ticks between.
func ticks(low, high, step float64, small int, label func(float64) string) []plot.Tick {
	var all []plot.Tick
	fine := step / float64(small)
	for i := int(math.Ceil(low/fine - 1e-9)); float64(i)*fine <= high*(1+1e-9); i++ {
		t := plot.Tick{Value: float64(i) * fine}
		if i%small == 0 && i != 0 {
			t.Label = label(t.Value)
		}
		all = append(all, t)
	}
	return all
}
