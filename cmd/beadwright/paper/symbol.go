package paper

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"beadwright/procedures"
)

// symbol draws the weld symbol: an arrow to the joint, a reference line, the sign of
// the weld on the arrow's side with its size to the left, and the process in the
// tail. Weld all round, field weld and contour are not drawn, since nobody said so.
// AWS A2.4 puts the arrow's side below the line; ISO 2553 system A puts it on the
// full line, with a dashed one for the other side. Both from memory.
func (q pen) symbol(p procedures.Procedure, u procedures.Units, to, from vg.Point, k float64) {
	line := draw.LineStyle{Color: ink, Width: 1.2}
	n := func(v float64) vg.Length { return vg.Length(v * k) }
	long := n(92)
	end := vg.Point{X: from.X + long, Y: from.Y}
	q.c.StrokeLines(line, []vg.Point{end, from, to})
	q.arrow(from, to)
	// The tail forks, and holds the process.
	q.c.StrokeLines(line, []vg.Point{{X: end.X + n(11), Y: end.Y + n(11)}, end, {X: end.X + n(11), Y: end.Y - n(11)}})
	process, standard := p.Job.Process.Letters(), "weld symbol after AWS A2.4"
	if u == procedures.Metric {
		process, standard = string(p.Job.Process), "weld symbol after ISO 2553, system A"
		q.c.StrokeLines(draw.LineStyle{Color: ink, Width: 0.9, Dashes: []vg.Length{n(6), n(4)}}, []vg.Point{{X: from.X, Y: from.Y + n(5)}, {X: end.X, Y: end.Y + n(5)}})
	}
	q.words(vg.Point{X: end.X + n(14), Y: end.Y}, process, float64(draw.XLeft), float64(draw.YCenter))
	small := q
	small.size = n(9)
	foot := vg.Point{X: q.c.Max.X - n(4), Y: q.c.Min.Y + n(24)}
	small.words(foot, sign(p.Job.Weld), float64(draw.XRight), float64(draw.YBottom))
	small.words(vg.Point{X: foot.X, Y: q.c.Min.Y + n(11)}, "drawn to scale; "+standard, float64(draw.XRight), float64(draw.YBottom))

	// The sign hangs below the line at its middle.
	x, y := from.X+long/2, from.Y
	below := func(points ...float64) []vg.Point {
		var all []vg.Point
		for i := 0; i < len(points); i += 2 {
			all = append(all, vg.Point{X: x + n(points[i]), Y: y - n(points[i+1])})
		}
		return all
	}
	stroke := func(points ...float64) { q.c.StrokeLines(line, below(points...)) }
	leftWords := func(text string) {
		q.words(vg.Point{X: x - n(11), Y: y - n(9)}, text, float64(draw.XRight), float64(draw.YCenter))
	}
	switch p.Job.Weld {
	case procedures.Fillet:
		stroke(-8, 0, -8, 17, 9, 0)
		size := short(p.Settings.Leg, u)
		if size != "" && u == procedures.Metric {
			size = "z" + size
		}
		leftWords(noUnit(size))
	case procedures.SquareGroove:
		stroke(-5, 0, -5, 17)
		stroke(5, 0, 5, 17)
		if gap := noUnit(short(p.Job.Gap, u)); gap != "" {
			q.words(vg.Point{X: x, Y: y - n(19)}, gap, float64(draw.XCenter), float64(draw.YTop))
		}
	case procedures.VGroove:
		stroke(-16, 26, 0, 0, 16, 26)
		q.words(vg.Point{X: x, Y: y - n(28)}, "60\u00b0", float64(draw.XCenter), float64(draw.YTop))
		if gap := noUnit(short(p.Job.Gap, u)); gap != "" {
			small.words(vg.Point{X: x, Y: y - n(15)}, gap, float64(draw.XCenter), float64(draw.YTop))
		}
	case procedures.Plug:
		stroke(-11, 0, -11, 14, 11, 14, 11, 0)
	case procedures.EdgeWeld:
		for _, at := range []float64{-6, 0, 6} {
			stroke(at, 0, at, 17)
		}
	case procedures.BeadOnPlate:
		for _, at := range []float64{-8, 8} {
			var path vg.Path
			path.Move(vg.Point{X: x + n(at+8), Y: y})
			path.Arc(vg.Point{X: x + n(at), Y: y}, n(8), 0, -3.14159265)
			q.c.SetLineStyle(line)
			q.c.Stroke(path)
		}
	}
}

// noUnit leaves the unit out: on a symbol the drawing's unit holds.
func noUnit(s string) string {
	for _, unit := range []string{" in", " mm"} {
		if len(s) > len(unit) && s[len(s)-len(unit):] == unit {
			return s[:len(s)-len(unit)]
		}
	}
	return s
}

// sign is what a symbol says, in words.
func sign(w procedures.WeldType) string {
	switch w {
	case procedures.Fillet:
		return "fillet weld on the arrow side, leg at its left"
	case procedures.SquareGroove:
		return "square groove on the arrow side"
	case procedures.VGroove:
		return "V groove on the arrow side, angle as usual"
	case procedures.Plug:
		return "plug weld on the arrow side"
	case procedures.EdgeWeld:
		return "edge weld on the arrow side"
	case procedures.BeadOnPlate:
		return "bead on plate, as surfacing"
	}
	return ""
}
