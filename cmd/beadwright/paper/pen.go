package paper

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// point is a place in a joint, in mm: x to the right, y up.
type point struct{ x, y float64 }

// pen draws a joint on a canvas: a place in mm to a place on paper.
type pen struct {
	c     draw.Canvas
	scale float64  // points a mm
	zero  vg.Point // where 0, 0 lies
	size  vg.Length
}

func (p pen) at(q point) vg.Point {
	return vg.Point{X: p.zero.X + vg.Length(q.x*p.scale), Y: p.zero.Y + vg.Length(q.y*p.scale)}
}

func (p pen) places(all []point) []vg.Point {
	out := make([]vg.Point, len(all))
	for i, q := range all {
		out[i] = p.at(q)
	}
	return out
}

func (p pen) line(width vg.Length, all ...point) {
	p.c.StrokeLines(draw.LineStyle{Color: ink, Width: width}, p.places(all))
}

func (p pen) fill(shade color.Color, all []point) { p.c.FillPolygon(shade, p.places(all)) }

// hatch fills a rectangle with the slanted lines of a section.
func (p pen) hatch(low, high point, rising bool) {
	a, b := p.at(low), p.at(high)
	const step = vg.Length(6)
	w, h := b.X-a.X, b.Y-a.Y
	for s := step / 2; s < w+h; s += step {
		// A line of 45 degrees: from the left or the lower edge to the upper or the right one.
		from := vg.Point{X: max(0, s-h), Y: min(s, h)}
		to := vg.Point{X: min(s, w), Y: max(0, s-w)}
		if rising {
			from.Y, to.Y = h-from.Y, h-to.Y
		}
		p.c.StrokeLines(draw.LineStyle{Color: light, Width: 0.5}, []vg.Point{{X: a.X + from.X, Y: a.Y + from.Y}, {X: a.X + to.X, Y: a.Y + to.Y}})
	}
}

// breakLine is the cut end of a plate that goes on: a thin line with a kink.
func (p pen) breakLine(a, b point) {
	from, to := p.at(a), p.at(b)
	dx, dy := to.X-from.X, to.Y-from.Y
	length := vg.Length(math.Hypot(float64(dx), float64(dy)))
	if length == 0 {
		return
	}
	ux, uy := dx/length, dy/length
	along := func(share, off vg.Length) vg.Point {
		return vg.Point{X: from.X + dx*share - uy*off, Y: from.Y + dy*share + ux*off}
	}
	kink := min(3, length/6)
	out := kink / length * 1.2
	p.c.StrokeLines(draw.LineStyle{Color: ink, Width: 0.6}, []vg.Point{from, along(0.5-out, 0), along(0.5-out/2, kink), along(0.5+out/2, -kink), along(0.5+out, 0), to})
}

// words writes text with its anchor at a place on paper.
func (p pen) words(at vg.Point, text string, x, y float64) {
	s := letters(p.size, false)
	s.XAlign, s.YAlign = draw.XAlignment(x), draw.YAlignment(y)
	p.c.FillText(s, at, Printable(text))
}

// dimension draws a measured distance with its words: arrows at a and b, moved away
// from the metal by off (points) along the normal, with thin lines back to it. Where
// there is no room between, the arrows point inward from outside.
func (p pen) dimension(a, b point, off vg.Length, text string, beside int) {
	from, to := p.at(a), p.at(b)
	dx, dy := float64(to.X-from.X), float64(to.Y-from.Y)
	length := math.Hypot(dx, dy)
	if length == 0 {
		return
	}
	ux, uy := vg.Length(dx/length), vg.Length(dy/length)
	nx, ny := -uy, ux
	thin := draw.LineStyle{Color: ink, Width: 0.6}
	move := func(q vg.Point, along, normal vg.Length) vg.Point {
		return vg.Point{X: q.X + ux*along + nx*normal, Y: q.Y + uy*along + ny*normal}
	}
	sign := vg.Length(1)
	if off < 0 {
		sign = -1
	}
	for _, q := range []vg.Point{from, to} {
		p.c.StrokeLines(thin, []vg.Point{move(q, 0, sign*2.5), move(q, 0, off+sign*3)})
	}
	m, n := move(from, 0, off), move(to, 0, off)
	if length > 22 {
		p.c.StrokeLines(thin, []vg.Point{m, n})
		p.arrow(n, m)
		p.arrow(m, n)
	} else {
		p.c.StrokeLines(thin, []vg.Point{move(m, -12, 0), m})
		p.c.StrokeLines(thin, []vg.Point{n, move(n, 12, 0)})
		p.arrow(move(m, -12, 0), m)
		p.arrow(move(n, 12, 0), n)
	}
	middle := vg.Point{X: (m.X + n.X) / 2, Y: (m.Y + n.Y) / 2}
	s := letters(p.size, false)
	gap := sign * 3
	switch {
	case beside < 0:
		p.words(move(m, -15, 0), text, float64(draw.XRight), float64(draw.YCenter))
	case beside > 0:
		p.words(move(n, 15, 0), text, float64(draw.XLeft), float64(draw.YCenter))
	case math.Abs(float64(ux)) > math.Abs(float64(uy)): // lies flat: words above or below
		y := draw.YBottom
		if ny*sign < 0 {
			y = draw.YTop
		}
		p.words(vg.Point{X: middle.X, Y: middle.Y + ny*gap}, text, float64(draw.XCenter), float64(y))
	default: // stands: words beside
		x := draw.XLeft
		if nx*sign < 0 {
			x = draw.XRight
		}
		y := middle.Y
		if length < 14 { // clear of the lines that the arrows point at
			y = max(m.Y, n.Y) + s.Font.Size*0.75
		}
		p.words(vg.Point{X: middle.X + nx*gap, Y: y}, text, float64(x), float64(draw.YCenter))
	}
}

// arrow draws an arrow's head at to, coming from from.
func (p pen) arrow(from, to vg.Point) {
	dx, dy := float64(to.X-from.X), float64(to.Y-from.Y)
	length := math.Hypot(dx, dy)
	if length == 0 {
		return
	}
	ux, uy := vg.Length(dx/length), vg.Length(dy/length)
	const long, half = 6.5, 1.9
	p.c.FillPolygon(ink, []vg.Point{to, {X: to.X - ux*long - uy*half, Y: to.Y - uy*long + ux*half}, {X: to.X - ux*long + uy*half, Y: to.Y - uy*long - ux*half}})
}
