package paper

import (
	"math"

	"beadwright/procedures"
)

// plate is a rectangle of metal in a section through a joint, in mm. The plates of
// a joint go on beyond the drawing: cut says at which sides.
type plate struct {
	low, high             point
	left, right, bottom   bool    // goes on there
	top                   bool    // the same
	rising                bool    // slant of its hatching
	bevelLeft, bevelRight float64 // how far its upper edge stands back
}

// measure is a dimension to be drawn, to the left of the way from a to b: so many
// mm and points away, to the right where the points are negative.
type measure struct {
	a, b   point
	mm, pt float64
	what   string // thickness, other, leg, gap
	beside int    // the words go beside it: -1 before a, 1 behind b
}

// section is a section through a joint, in mm.
type section struct {
	plates   []plate
	weld     [][]point // outlines of the weld metal
	measures []measure
	root     point    // where the symbol's arrow points
	outer    [2]point // low and high corners of all that is drawn
}

// cut draws the section of a procedure's joint from its sizes: the first part of the
// job stands or lies on top, the other is the base. Sizes that are not known take
// what is usual: a leg as the thinner part is thick, a V groove of 60 degrees.
func cut(p procedures.Procedure) section {
	j := p.Job
	a, b := float64(j.Thickness), float64(j.OtherThickness)
	if b == 0 {
		b = a
	}
	t := math.Max(a, b)
	leg := float64(p.Settings.Leg)
	if leg == 0 {
		leg = math.Min(a, b)
	}
	gap := float64(j.Gap)
	size := math.Max(t, leg)
	var s section
	switch {
	case j.Weld == procedures.BeadOnPlate:
		s = onPlate(a)
	case j.Weld == procedures.Plug:
		s = plug(a, b, size)
	case j.Joint == procedures.Lap:
		s = lap(a, b, leg, gap, size)
	case j.Joint == procedures.Butt:
		s = butt(a, b, gap, j.Weld == procedures.VGroove)
	case j.Joint == procedures.Corner:
		s = corner(a, b, size)
	case j.Joint == procedures.Edge:
		s = edge(a, b, gap)
	default:
		s = tee(a, b, leg, gap, size)
	}
	s.bound()
	return s
}

// tee stands part a on part b.
func tee(a, b, leg, gap, size float64) section {
	side, up := 4*size, 4.2*size
	foot := b + gap
	s := section{plates: []plate{
		{low: point{-side, 0}, high: point{side, b}, left: true, right: true},
		{low: point{-a / 2, foot}, high: point{a / 2, foot + up}, top: true, rising: true},
	}}
	s.weld = [][]point{crowned(point{a / 2, b + leg}, point{a/2 + leg, b}, point{a / 2, b})}
	s.measures = []measure{
		{point{-a / 2, foot + up}, point{a / 2, foot + up}, 0, 8, "thickness", 0},
		{point{-side, 0}, point{-side, b}, 0, 9, "other", 0},
		{point{a / 2, b}, point{a / 2, b + leg}, leg, -10, "leg", 0},
	}
	if gap > 0 {
		s.measures = append(s.measures, measure{point{-a / 2, b}, point{-a / 2, foot}, 0, 14, "gap", 0})
	}
	s.root = point{a/2 + leg*0.62, b + leg*0.62}
	return s
}

// lap lays part a on part b.
func lap(a, b, leg, gap, size float64) section {
	side := 4.2 * size
	foot := b + gap
	up := math.Min(leg, a)
	s := section{plates: []plate{
		{low: point{-side * 0.75, 0}, high: point{side, b}, right: true},
		{low: point{-side, foot}, high: point{0, foot + a}, left: true, rising: true},
	}}
	s.weld = [][]point{crowned(point{0, foot + up}, point{leg, b}, point{0, b})}
	s.measures = []measure{
		{point{-side, foot}, point{-side, foot + a}, 0, 9, "thickness", 0},
		{point{side, 0}, point{side, b}, 0, -9, "other", 0},
	}
	if gap > 0 {
		s.measures = append(s.measures, measure{point{-side * 0.75, b}, point{-side * 0.75, foot}, side * 0.25, 9, "gap", 0})
	}
	s.root = point{leg * 0.62, b + up*0.62}
	return s
}

// butt sets two parts end to end, in one plane below.
func butt(a, b, gap float64, v bool) section {
	t := math.Min(a, b)
	side := 4.5 * math.Max(a, b)
	s := section{plates: []plate{
		{low: point{-side, 0}, high: point{-gap / 2, a}, left: true},
		{low: point{gap / 2, 0}, high: point{side, b}, right: true, rising: true},
	}}
	// A square butt melts in as a wedge; a V is filled to its walls and a little over.
	left, right, root := math.Max(t+gap/2, 2), math.Max(t+gap/2, 2), gap/2+t*0.18
	var metal []point
	if v {
		slope := math.Tan(30 * math.Pi / 180)
		s.plates[0].bevelRight, s.plates[1].bevelLeft = a*slope, b*slope
		left, right, root = gap/2+a*slope, gap/2+b*slope, gap/2
		metal = []point{{-left, a}, {-root, 0}, {root, 0}, {right, b}}
		left, right = left+t*0.12, right+t*0.12
	} else {
		metal = []point{{-root, 0}, {root, 0}}
	}
	high := math.Min(t/4, 1.5)
	s.weld = [][]point{append(metal, arch(point{right, b}, point{-left, a}, high)...)}
	s.measures = []measure{{point{-side, 0}, point{-side, a}, 0, 9, "thickness", 0}, {point{side, 0}, point{side, b}, 0, -9, "other", 0}}
	if gap > 0 {
		s.measures = append(s.measures, measure{point{-gap / 2, 0}, point{gap / 2, 0}, 0, -10, "gap", 0})
	}
	s.root = point{right * 0.25, (a+b)/2 + high*0.9}
	return s
}

// corner sets two parts edge to edge at a right angle, open to the outside.
func corner(a, b, size float64) section {
	side := 4.2 * size
	s := section{plates: []plate{
		{low: point{-side, 0}, high: point{0, a}, left: true, rising: true},
		{low: point{0, -side}, high: point{b, 0}, bottom: true},
	}}
	s.weld = [][]point{crowned(point{0, a}, point{b, 0}, point{0, 0})}
	s.measures = []measure{{point{-side, 0}, point{-side, a}, 0, 9, "thickness", 0}, {point{0, -side}, point{b, -side}, 0, -8, "other", 0}}
	s.root = point{b * 0.68, a * 0.68}
	return s
}

// edge lays two parts face to face, their edges flush.
func edge(a, b, gap float64) section {
	down := 4.5 * math.Max(a, b)
	s := section{plates: []plate{
		{low: point{-a - gap/2, -down}, high: point{-gap / 2, 0}, bottom: true},
		{low: point{gap / 2, -down}, high: point{b + gap/2, 0}, bottom: true, rising: true},
	}}
	s.weld = [][]point{append([]point{{-a - gap/2, 0}, {-gap / 2, -math.Min(a, b) * 0.35}, {gap / 2, -math.Min(a, b) * 0.35}}, arch(point{b + gap/2, 0}, point{-a - gap/2, 0}, math.Min(a, b)*0.6)...)}
	s.measures = []measure{
		{point{-a - gap/2, -down}, point{-gap / 2, -down}, 0, -8, "thickness", -1},
		{point{gap / 2, -down}, point{b + gap/2, -down}, 0, -8, "other", 1},
	}
	s.root = point{b * 0.5, math.Min(a, b) * 0.5}
	return s
}

// onPlate is a practice bead on a flat plate.
func onPlate(a float64) section {
	side := 4.5 * a
	s := section{plates: []plate{{low: point{-side, 0}, high: point{side, a}, left: true, right: true}}}
	half := math.Max(a, 3)
	s.weld = [][]point{append([]point{{-half, a}, {0, a - math.Min(a/2, 1.2)}}, arch(point{half, a}, point{-half, a}, half*0.45)...)}
	s.measures = []measure{{point{-side, 0}, point{-side, a}, 0, 9, "thickness", 0}}
	s.root = point{half * 0.4, a + half*0.4}
	return s
}

// plug fills a hole in part a down to part b.
func plug(a, b, size float64) section {
	side, hole := 4.5*size, math.Max(1.5*size, 4.0)
	s := section{plates: []plate{
		{low: point{-side, 0}, high: point{side, b}, left: true, right: true},
		{low: point{-side, b}, high: point{-hole, b + a}, left: true, rising: true},
		{low: point{hole, b}, high: point{side, b + a}, right: true, rising: true},
	}}
	s.weld = [][]point{append([]point{{-hole, b + a}, {-hole, b}, {hole, b}}, arch(point{hole, b + a}, point{-hole, b + a}, a*0.25)...)}
	s.measures = []measure{{point{-side, b}, point{-side, b + a}, 0, 9, "thickness", 0}, {point{side, 0}, point{side, b}, 0, -9, "other", 0}}
	s.root = point{hole * 0.3, b + a*1.2}
	return s
}

// crowned is a fillet: a triangle whose face is slightly rounded. It runs from the
// top of the upright leg to the end of the lying one, and closes at the corner.
func crowned(top, toe, corner point) []point {
	return append([]point{corner}, arch(toe, top, 0.06*math.Hypot(toe.x-top.x, toe.y-top.y))...)
}

// arch is a bow from a to b, high above the straight line at its middle, to the left
// of it as one goes.
func arch(a, b point, high float64) []point {
	const n = 16
	dx, dy := b.x-a.x, b.y-a.y
	length := math.Hypot(dx, dy)
	// To the right of the way from a to b lies the outside of every outline here.
	nx, ny := dy/length, -dx/length
	var out []point
	for i := 0; i <= n; i++ {
		s := float64(i) / n
		h := high * 4 * s * (1 - s)
		out = append(out, point{a.x + dx*s + nx*h, a.y + dy*s + ny*h})
	}
	return out
}

// bound finds the corners of all that is drawn.
func (s *section) bound() {
	s.outer = [2]point{{math.Inf(1), math.Inf(1)}, {math.Inf(-1), math.Inf(-1)}}
	take := func(p point) {
		s.outer[0] = point{math.Min(s.outer[0].x, p.x), math.Min(s.outer[0].y, p.y)}
		s.outer[1] = point{math.Max(s.outer[1].x, p.x), math.Max(s.outer[1].y, p.y)}
	}
	for _, p := range s.plates {
		take(p.low)
		take(p.high)
	}
	for _, w := range s.weld {
		for _, p := range w {
			take(p)
		}
	}
}
