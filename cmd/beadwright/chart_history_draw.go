package main

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
	"beadwright/recommend"
)

// The grades of a bead in a history: what was tested counts before what was not.
const (
	gradePassed = iota
	gradeFailed
	gradeInUse
	gradeUntested
)

// historyGrades are how beads are drawn: by shape and by color, either of which
// tells it alone.
var historyGrades = [...]grade{
	gradePassed:   {"a test passed", rimmed{draw.BoxGlyph{}}, color.RGBA{0x0f, 0x6b, 0x2f, 0xff}},
	gradeFailed:   {"a test failed", saltire{}, color.RGBA{0xb0, 0x00, 0x20, 0xff}},
	gradeInUse:    {"failed in use", rimmed{draw.PyramidGlyph{}}, color.RGBA{0x00, 0x00, 0x00, 0xff}},
	gradeUntested: {"not tested", hollow{draw.CircleGlyph{}}, color.RGBA{0x00, 0x5f, 0x87, 0xff}},
}

func (b historyBead) grade() int {
	switch {
	case b.FailedInUse:
		return gradeInUse
	case b.Test == "failed":
		return gradeFailed
	case b.Test == "passed":
		return gradePassed
	}
	return gradeUntested
}

var (
	stateInk = color.RGBA{0x7b, 0x1f, 0xa2, 0xff}
	spoolInk = color.RGBA{0x9a, 0x5b, 0x00, 0xff}
)

func changeLine() draw.LineStyle { return draw.LineStyle{Color: stateInk, Width: 1.2} }
func spoolLine() draw.LineStyle {
	return draw.LineStyle{Color: spoolInk, Width: 1, Dashes: []vg.Length{2, 3}}
}
func thirdsLine() draw.LineStyle { return draw.LineStyle{Color: rangeEdge, Width: 2.5} }

// draw renders the chart in a format: svg, png or pdf.
func (c *historyChart) draw(format string) ([]byte, error) {
	of := "every job"
	if c.Job != nil {
		of = list(describeJob(*c.Job, c.units), c.Job.Wire.String())
	}
	head := []paragraph{
		newParagraph(letters(16), "Ratings over time: "+c.Machine),
		newParagraph(letters(11), of),
		newParagraph(letters(11), "By sight; results hold for the coupon."),
	}
	if c.along = letters(8); format == onPage {
		c.along = letters(pageLetters)
	}
	lines, marks := c.legends()
	return drawSheet(format, head, footOf(c.Notes, c.machine), c.plot(), lines, marks)
}

func (c *historyChart) legends() (lines, marks plot.Legend) {
	lines, marks = newLegends()
	lines.Add(fmt.Sprintf("mean of the last %d rated beads", recommend.MeanOf), &plotter.Line{LineStyle: ownLine()})
	if len(c.changes()) > 0 {
		lines.Add("the machine was changed", &plotter.Line{LineStyle: changeLine()})
	}
	if len(c.Spools) > 1 {
		lines.Add("another spool", &plotter.Line{LineStyle: spoolLine()})
	}
	for _, b := range c.Beads {
		if b.Thirds != nil {
			lines.Add("thirds of a bead, lowest to highest", &plotter.Line{LineStyle: thirdsLine()})
			break
		}
	}
	addGrades(&marks, historyGrades[:], c.Beads)
	return lines, marks
}

// changes are the states that begin after the first bead.
func (c *historyChart) changes() []historyState {
	var list []historyState
	for _, s := range c.States {
		if s.Before > 1 {
			list = append(list, s)
		}
	}
	return list
}

// plot builds axes, lines and beads.
func (c *historyChart) plot() *plot.Plot {
	p := plot.New()
	p.X.Label.Text, p.Y.Label.Text = "beads in the order welded, by mark and day", "rating by sight"
	p.X.Tick.Marker, p.Y.Tick.Marker = plot.TickerFunc(c.marks), plot.TickerFunc(ratingTicks)
	grid := dress(p)
	grid.Vertical.Width = 0
	p.Add(grid, historyMarks{c})
	p.X.Min, p.X.Max = 0.4, float64(len(c.Beads))+0.6
	if n := len(c.States); n > 0 && c.States[n-1].Before > len(c.Beads) {
		p.X.Max += 0.4
	}
	p.Y.Min, p.Y.Max = -0.4, 5.4
	return p
}

// marks puts the mark of a bead on the axis where a day begins, as far as there is
// room, and a small tick at every bead.
func (c *historyChart) marks(_, _ float64) []plot.Tick {
	room := int(math.Ceil(float64(len(c.Beads)) / 6))
	var all []plot.Tick
	labelled, day := -room, ""
	for i, b := range c.Beads {
		t := plot.Tick{Value: float64(b.N)}
		today := b.At.Local().Format("2006-01-02")
		if today != day && i-labelled >= room {
			t.Label, labelled = b.Mark+"\n"+today, i
		}
		day = today
		all = append(all, t)
	}
	return all
}

// ratingTicks are the five ratings and the row of beads without one.
func ratingTicks(_, _ float64) []plot.Tick {
	all := []plot.Tick{{Value: 0, Label: "not rated"}}
	for r := 1; r <= 5; r++ {
		all = append(all, plot.Tick{Value: float64(r), Label: fmt.Sprint(r)})
	}
	return all
}

// historyMarks draws changes, spools, thirds, means and beads, in that order.
type historyMarks struct{ *historyChart }

func (h historyMarks) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, s := range h.changes() {
		h.upright(c, changeLine(), x(float64(s.Before)-0.5), fmt.Sprintf("%d: %s", s.Number, s.What), true)
	}
	for i, s := range h.Spools {
		if i > 0 {
			h.upright(c, spoolLine(), x(float64(s.Before)-0.5)+3, s.Name, false)
		}
	}
	for _, b := range h.Beads {
		if b.Thirds == nil {
			continue
		}
		low, high := thirdsSpan(*b.Thirds)
		c.StrokeLine2(thirdsLine(), x(float64(b.N)), y(low), x(float64(b.N)), y(high))
	}
	var run []vg.Point
	for i, m := range h.Line {
		if m.begins && i > 0 {
			c.StrokeLines(ownLine(), run)
			run = nil
		}
		run = append(run, vg.Point{X: x(float64(m.N)), Y: y(m.Mean)})
	}
	c.StrokeLines(ownLine(), run)
	for _, b := range h.Beads {
		style := historyGrades[b.grade()].style()
		style.Radius = min(style.Radius, max(1.5, 220/vg.Length(len(h.Beads))))
		c.DrawGlyphNoClip(style, vg.Point{X: x(float64(b.N)), Y: y(float64(b.Rating))})
	}
}

// upright draws an upright line with its words along it, from the top or from the
// bottom.
func (h historyMarks) upright(c draw.Canvas, line draw.LineStyle, at vg.Length, words string, top bool) {
	c.StrokeLine2(line, at, c.Min.Y, at, c.Max.Y)
	style := h.along
	style.Color, style.Rotation, style.YAlign = line.Color, math.Pi/2, draw.YTop
	words = clipped(style.Width, paper.Printable(words), (c.Max.Y-c.Min.Y)*0.55)
	place := vg.Point{X: at + 2, Y: c.Min.Y + 4}
	style.XAlign = draw.XLeft
	if top {
		place.Y, style.XAlign = c.Max.Y-4, draw.XRight
	}
	if tall := style.Font.Size; at+1.5*tall > c.Max.X { // no room to the right of it
		place.X = at - 1.4*tall
	}
	c.FillText(style, place, words)
}

// clipped cuts words to a width.
func clipped(width func(string) vg.Length, words string, most vg.Length) string {
	if width(words) <= most {
		return words
	}
	r := []rune(words)
	for len(r) > 0 && width(string(r)+" ...") > most {
		r = r[:len(r)-1]
	}
	return string(r) + " ..."
}

// thirdsSpan is the lowest and the highest of the thirds that are rated.
func thirdsSpan(t procedures.Thirds) (low, high float64) {
	low = 5
	for _, r := range t {
		if r > 0 {
			low, high = min(low, float64(r)), max(high, float64(r))
		}
	}
	return low, high
}
