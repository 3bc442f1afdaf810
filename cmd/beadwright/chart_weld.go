package main

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"beadwright/procedures"
	"beadwright/recommend"
)

// chartWeld is one own weld on a chart.
type chartWeld struct {
	Mark      string             `json:"mark"`
	Thickness procedures.MM      `json:"thickness_mm"`
	WireSpeed procedures.MPerMin `json:"wire_speed_m_min"`
	Rating    procedures.Count   `json:"rating"`
	Test      string             `json:"test"` // passed, failed; "": none
	InUse     bool               `json:"failed_in_use"`
	Cracked   bool               `json:"crack"`          // one was seen in it
	Unfused   bool               `json:"lack_of_fusion"` // and no bend or break test says otherwise
}

// machineName is how welds name a machine; "" for the built-in example.
func machineName(m procedures.Machine) string {
	if m.Example {
		return ""
	}
	return m.Name
}

// chartable reports whether a weld is one of a job on a machine: the same joint,
// position, wire and group of steel, of whatever thickness.
func chartable(w procedures.Weld, j procedures.Job, m procedures.Machine) bool {
	return w.Settings.WireSpeed > 0 && w.Job.Thinner() > 0 && w.Job.Machine == machineName(m) && w.Job.Joint == j.Joint && w.Job.Position == j.Position &&
		w.Job.Class == j.Class && w.Job.Gas == j.Gas && w.Job.SteelGroup == j.SteelGroup && math.Abs(float64(w.Job.Diameter-j.Diameter)) < 0.06
}

// sameOutput lists the states of a machine since its output last changed: what a
// wire speed does is only then the same. New liners and tips do not count.
func sameOutput(m procedures.Machine, shop recommend.Shop) []string {
	ids := []string{m.State.ID}
	for _, s := range shop {
		if s.Machine.Name != m.Name || m.Example {
			continue
		}
		for _, st := range s.States {
			if st.Kind == procedures.Output {
				ids = nil
			}
			ids = append(ids, st.ID)
		}
	}
	return ids
}

// takeWelds picks the welds that the chart shows, and notes what it shows and
// what it leaves out.
func (c *thicknessChart) takeWelds(shop recommend.Shop, history recommend.History) {
	c.Welds = []chartWeld{}
	states := sameOutput(c.machine, shop)
	first, last := c.span()
	var before, off, here int
	for _, w := range history {
		if w.Job.Machine == machineName(c.machine) {
			here++
		}
		t := w.Job.Thinner()
		switch {
		case !chartable(w, c.Job, c.machine):
		case !slices.Contains(states, w.Job.State):
			before++
		case t < first.Thickness-0.01 || t > last.Thickness+0.01:
			off++
		default:
			v := chartWeld{Mark: w.Mark, Thickness: t, WireSpeed: w.Settings.WireSpeed, Rating: w.Outcome.Rating, InUse: !w.Outcome.FailedInUse.IsZero(), Cracked: w.Outcome.Cracked(), Unfused: w.Outcome.Unfused()}
			for _, test := range w.Outcome.Tests {
				if v.Test != "failed" {
					v.Test = "passed"
				}
				if !test.Passed {
					v.Test = "failed"
				}
			}
			c.Welds = append(c.Welds, v)
		}
	}
	for _, p := range c.Points {
		c.own = c.own || p.Given() && math.Abs(float64(p.WireSpeed-p.Table)) > 1e-6
	}
	c.note(here, before, off)
}

// grade is how a weld's outcome is drawn: by shape and by color, either of
// which tells it alone.
type grade struct {
	words string
	shape draw.GlyphDrawer
	color color.Color
}

var grades = [...]grade{
	{"5 as good as I can", rimmed{draw.CircleGlyph{}}, color.RGBA{0x0f, 0x6b, 0x2f, 0xff}},
	{"4 good", rimmed{draw.BoxGlyph{}}, color.RGBA{0x00, 0x5f, 0x87, 0xff}},
	{"3 would do", rimmed{draw.PyramidGlyph{}}, color.RGBA{0x9a, 0x5b, 0x00, 0xff}},
	{"2 ugly or in doubt", hollow{draw.BoxGlyph{}}, color.RGBA{0x7b, 0x1f, 0xa2, 0xff}},
	{"1 scrap", hollow{draw.PyramidGlyph{}}, color.RGBA{0x00, 0x00, 0x00, 0xff}},
	{"failed, cracked or not melted in", saltire{}, color.RGBA{0xb0, 0x00, 0x20, 0xff}},
	{"not rated", hollow{draw.CircleGlyph{}}, color.RGBA{0x5f, 0x5f, 0x5f, 0xff}},
}

// grade is the place of a weld in [grades]. A failure, at a test or in use, a
// crack and a lack of fusion outweigh the looks.
func (w chartWeld) grade() int {
	switch {
	case w.Test == "failed" || w.InUse || w.Cracked || w.Unfused:
		return 5
	case w.Rating == 0:
		return 6
	}
	return 5 - int(w.Rating)
}

func (g grade) style() draw.GlyphStyle {
	return draw.GlyphStyle{Color: g.color, Radius: vg.Points(4.5), Shape: g.shape}
}

// Thumbnail draws the mark in a legend.
func (g grade) Thumbnail(c *draw.Canvas) { c.DrawGlyphNoClip(g.style(), c.Center()) }

// rimmed draws a filled shape with a white rim, so that neighbors stay apart.
type rimmed struct{ draw.GlyphDrawer }

func (r rimmed) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, at vg.Point) {
	rim := s
	rim.Radius *= 1.25
	c.SetColor(color.White)
	r.GlyphDrawer.DrawGlyph(c, rim, at)
	c.SetColor(s.Color)
	r.GlyphDrawer.DrawGlyph(c, s, at)
}

// hollow draws a filled shape as an outline broad enough to be seen.
type hollow struct{ draw.GlyphDrawer }

func (h hollow) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, at vg.Point) {
	h.GlyphDrawer.DrawGlyph(c, s, at)
	s.Radius *= 0.5
	c.SetColor(color.White)
	h.GlyphDrawer.DrawGlyph(c, s, at)
}

// saltire is a cross lying on its side, in broad strokes.
type saltire struct{}

func (saltire) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, at vg.Point) {
	r := s.Radius * 0.9
	line := draw.LineStyle{Color: s.Color, Width: vg.Points(2.2)}
	c.StrokeLine2(line, at.X-r, at.Y-r, at.X+r, at.Y+r)
	c.StrokeLine2(line, at.X-r, at.Y+r, at.X+r, at.Y-r)
}

// weldMarks draws welds. Where welds of unlike grades fall on one spot they stand
// side by side; those of one grade are one mark.
type weldMarks struct {
	welds []chartWeld
	units procedures.Units
}

func (m weldMarks) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	type spot struct{ x, y int }
	at := map[spot][]int{}
	var order []spot
	where := map[spot]vg.Point{}
	for _, w := range m.welds {
		pt := vg.Point{X: x(inUnits(w.Thickness, m.units)), Y: y(speedIn(w.WireSpeed, m.units))}
		s := spot{int(math.Round(float64(pt.X / 2))), int(math.Round(float64(pt.Y / 2)))}
		if at[s] == nil {
			order = append(order, s)
			where[s] = pt
		}
		if g := w.grade(); !slices.Contains(at[s], g) {
			at[s] = append(at[s], g)
		}
	}
	for _, s := range order {
		slices.Sort(at[s])
		for i, g := range at[s] {
			style := grades[g].style()
			pt := where[s]
			pt.X += style.Radius * vg.Length(2*i-len(at[s])+1)
			c.DrawGlyphNoClip(style, pt)
		}
	}
}
