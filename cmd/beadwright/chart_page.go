package main

import (
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// onPage is the format of a chart that a page shows among its own words: an SVG
// with plot and legends alone, on no ground of its own.
const onPage = "page"

// A chart on a page, in points that are pixels on a phone 360 px wide.
const (
	pageWidth   = vg.Length(328)
	pagePlot    = vg.Length(300) // height
	pageLetters = vg.Length(18)
	tickRoom    = vg.Length(16) // right of the plot, for half of the last label: the library leaves none
)

// drawOnPage puts plot and legends below one another, in letters that can be read
// on a phone.
func drawOnPage(p *plot.Plot, lines, marks plot.Legend) ([]byte, error) {
	small := letters(pageLetters)
	for _, axis := range []*plot.Axis{&p.X, &p.Y} {
		axis.Label.TextStyle.Font, axis.Tick.Label.Font = small.Font, small.Font
	}
	p.X.Tick.Marker = sparse(p.X.Tick.Marker, small, (pageWidth-tickRoom)*0.74)
	p.X.Label.Text = strings.Replace(p.X.Label.Text, ", by", ",\nby", 1)
	p.BackgroundColor = nil
	lines.TextStyle.Font, marks.TextStyle.Font = small.Font, small.Font
	linesHeight, marksHeight := legendSize(lines), legendSize(marks)
	height := pagePlot + linesHeight + marksHeight + 24
	to := vgsvg.New(pageWidth, height)
	page := drawing{Canvas: draw.NewCanvas(to, pageWidth, height), format: "svg", to: to}
	p.Draw(page.part(0, pageWidth-tickRoom, height-pagePlot, height-4))
	top := height - pagePlot - 8
	lines.Draw(page.part(0, pageWidth, top-linesHeight, top))
	top -= linesHeight + 4
	marks.Draw(page.part(0, pageWidth, top-marksHeight, top))
	return page.file()
}

// sparse leaves out labels that have no room beside the one before; every tick
// stays. room is the length of the axis.
func sparse(all plot.Ticker, style text.Style, room vg.Length) plot.TickerFunc {
	return func(low, high float64) []plot.Tick {
		ticks := all.Ticks(low, high)
		free := vg.Length(math.Inf(-1)) // where the next label may begin
		for i, t := range ticks {
			if t.Label == "" {
				continue
			}
			half := style.Rectangle(t.Label).Size().X / 2
			at := vg.Length((t.Value-low)/(high-low)) * room
			if at-half < free {
				ticks[i].Label = ""
				continue
			}
			free = at + half + 10
		}
		return ticks
	}
}
