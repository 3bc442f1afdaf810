package recommend

import (
	"cmp"
	"math"
	"slices"

	"beadwright/procedures"
)

// CouponPiece is flat pieces to cut, all of one size.
type CouponPiece struct {
	Name      string        `json:"name"` // upright, base, strip ...
	Count     int           `json:"count"`
	Thickness procedures.MM `json:"thickness_mm"`
	Width     procedures.MM `json:"width_mm"`
	Length    procedures.MM `json:"length_mm"` // along the bead
	Source    []string      `json:"source"`
}

// Scrap is flat pieces at hand, all of one size.
type Scrap struct {
	Said      string        `json:"said"`
	Count     int           `json:"count"`
	Width     procedures.MM `json:"width_mm"`
	Length    procedures.MM `json:"length_mm"`
	Thickness procedures.MM `json:"thickness_mm"`
}

// CouponCut is what comes out of one line of scrap.
type CouponCut struct {
	Scrap  Scrap         `json:"scrap"`
	Pieces []CouponPiece `json:"pieces"` // empty: another thickness, too small, or not wanted
	Used   int           `json:"used"`   // of the scrap's count
	Unlike bool          `json:"unlike"` // of another thickness than the joint
}

// Kerf is what a saw takes away between two pieces. Common practice, no source.
const Kerf = procedures.MM(procedures.MMPerInch / 8)

// likeScrap is how far off a thickness may be and still stand for the joint: what
// a test of it proves goes as far (see proof).
const likeScrap = 0.10

// blankSize is the sizes that coupons are cut to.
type blankSize struct {
	wide, narrow procedures.MM // strips; the upright of a tee
	long         procedures.MM // along the bead
	specimen     procedures.MM // of what is broken
}

// blankSizes are the usual sizes first, then without the long specimens, then the
// least. Strips of 1-1/2 to 2 by 3-1/2 to 4 in are common practice, no source; the
// 6 in that the limits of the break test speak of are AWS D1.1 (AC-FBT).
func blankSizes(u procedures.Units) []blankSize {
	if u == procedures.Metric {
		return []blankSize{{50, 40, 100, 150}, {50, 40, 100, 100}, {40, 40, 90, 90}}
	}
	in := procedures.Inches
	return []blankSize{{in(2), in(1.5), in(4), in(6)}, {in(2), in(1.5), in(4), in(4)}, {in(1.5), in(1.5), in(3.5), in(3.5)}}
}

// blanks lists the pieces that the beads want, gathered by size.
func blanks(j procedures.Job, beads []CouponBead, size blankSize) []CouponPiece {
	first, other := j.Thickness, j.Thickness
	if j.OtherThickness > 0 {
		other = j.OtherThickness
	}
	var all []CouponPiece
	add := func(name string, t, width, length procedures.MM) {
		for i := range all {
			if p := &all[i]; p.Name == name && p.Thickness == t && p.Width == width && p.Length == length {
				p.Count++
				return
			}
		}
		source := []string{"CP"}
		if length == size.specimen && length > size.long {
			source = []string{"AC-FBT", "CP"}
		}
		all = append(all, CouponPiece{name, 1, t, width, length, source})
	}
	for _, b := range beads {
		length := size.long
		if b.Rung == "E" {
			length = size.specimen
		}
		switch {
		case b.Rung == "A" || j.Weld == procedures.BeadOnPlate:
			add("strip", j.Thinner(), size.wide, length)
		case j.Joint == procedures.Tee:
			add("base", other, size.wide, length)
			add("upright", first, size.narrow, length)
		default:
			add("strip", first, size.wide, length)
			add("strip", other, size.wide, length)
		}
	}
	return all
}

// rect is a free part of a piece of scrap.
type rect struct {
	line, sheet   int // of the scrap, and which one of the line
	width, length procedures.MM
}

// snug forgives what rounding between units does to a size, in mm.
const snug = procedures.MM(0.02)

func (f rect) holds(w, l procedures.MM) bool { return w <= f.width+snug && l <= f.length+snug }

// split takes a piece out of the corner of a rectangle by two straight cuts, and
// keeps the larger of what can be left whole.
func (f rect) split(w, l procedures.MM) []rect {
	right, above := f.width-w-Kerf, f.length-l-Kerf
	long := []rect{{f.line, f.sheet, right, f.length}, {f.line, f.sheet, w, above}}
	cross := []rect{{f.line, f.sheet, right, l}, {f.line, f.sheet, f.width, above}}
	keep := long
	if f.width*max(above, 0) > max(right, 0)*f.length {
		keep = cross
	}
	return slices.DeleteFunc(keep, func(r rect) bool { return r.width <= snug || r.length <= snug })
}

// cut lays pieces into the scrap: the largest first, each into the smallest free
// rectangle of its thickness that holds it, by straight cuts right across what is
// left, a kerf apart. It is a plain way and not always the best one: what it says
// fits does fit; what it leaves short a clever eye may still find room for.
func cut(pieces []CouponPiece, scrap []Scrap) (cuts []CouponCut, missing []CouponPiece) {
	if len(scrap) == 0 {
		return nil, nil
	}
	var free []rect
	used := map[[2]int]bool{}
	for i, s := range scrap {
		like := slices.ContainsFunc(pieces, func(p CouponPiece) bool { return s.like(p.Thickness) })
		cuts = append(cuts, CouponCut{Scrap: s, Pieces: []CouponPiece{}, Unlike: !like})
		for k := range s.Count {
			free = append(free, rect{i, k, s.Width, s.Length})
		}
	}
	order := slices.Clone(pieces)
	slices.SortStableFunc(order, func(a, b CouponPiece) int { return cmp.Compare(b.Width*b.Length, a.Width*a.Length) })
	for _, p := range order {
		short := p
		short.Count = 0
		for range p.Count {
			i, turned := place(free, scrap, p)
			if i < 0 {
				short.Count++
				continue
			}
			f, w, l := free[i], p.Width, p.Length
			if turned {
				w, l = l, w
			}
			free = append(slices.Delete(free, i, i+1), f.split(w, l)...)
			c := &cuts[f.line]
			if at := ([2]int{f.line, f.sheet}); !used[at] {
				used[at] = true
				c.Used++
			}
			if n := len(c.Pieces); n == 0 || c.Pieces[n-1].Name != p.Name || c.Pieces[n-1].Length != p.Length || c.Pieces[n-1].Thickness != p.Thickness {
				one := p
				one.Count = 0
				c.Pieces = append(c.Pieces, one)
			}
			c.Pieces[len(c.Pieces)-1].Count++
		}
		if short.Count > 0 {
			missing = append(missing, short)
		}
	}
	return cuts, missing
}

// place finds the smallest free rectangle for a piece, and whether the piece has
// to lie across; -1 where there is none.
func place(free []rect, scrap []Scrap, p CouponPiece) (best int, turned bool) {
	best = -1
	for i, f := range free {
		if !scrap[f.line].like(p.Thickness) || best >= 0 && f.width*f.length >= free[best].width*free[best].length {
			continue
		}
		switch {
		case f.holds(p.Width, p.Length):
			best, turned = i, false
		case f.holds(p.Length, p.Width):
			best, turned = i, true
		}
	}
	return best, turned
}

// like reports whether scrap may stand for metal of a thickness.
func (s Scrap) like(t procedures.MM) bool { return math.Abs(float64(s.Thickness/t)-1) <= likeScrap }

// Validate reports the first thing about the scrap that cannot be.
func (s Scrap) Validate() error {
	const hint = "write how many, width x length and thickness: \"6x 2x4 1/8\", \"12x24 11ga plain\""
	switch {
	case s.Count < 1 || s.Count > 100:
		return procedures.Invalid("scrap", s.Said, "1 to 100 pieces of one size", hint)
	case !(s.Width >= 5 && s.Length >= 5 && s.Width <= 5000 && s.Length <= 5000):
		return procedures.Invalid("scrap", s.Said, "not the size of a piece of scrap", hint, "accepted: 5 mm to 5 m (1/4 to 196 in) each way")
	case !(s.Thickness >= 0.1 && s.Thickness < s.Width && s.Thickness < s.Length):
		return procedures.Invalid("scrap", s.Said, "a flat piece is thinner than it is wide and long", hint)
	}
	return nil
}
