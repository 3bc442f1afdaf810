package recommend

import (
	"cmp"
	"math"
	"slices"

	"beadwright/procedures"
)

// PairedCoupons is coupons to weld for a comparison: the same piece at the same
// wire speed, so many in each state, turn by turn.
type PairedCoupons struct {
	Joint     procedures.Joint    `json:"joint"`
	Weld      procedures.WeldType `json:"weld"`
	Position  procedures.Position `json:"position"`
	Wire      procedures.Wire     `json:"wire"`
	Tap       string              `json:"tap"`
	Thickness procedures.MM       `json:"thickness_mm"`
	WireSpeed procedures.MPerMin  `json:"wire_speed_m_min"`
	Before    int                 `json:"before"` // coupons to weld in the state before
	After     int                 `json:"after"`
}

// coupons proposes what to weld for so many more pairs: first what welds that
// stand alone are waiting for, the greatest number first, then what evens out the
// lots, then whole pairs where most is known.
func coupons(lots []lot, lonely []entry, more, within float64) []PairedCoupons {
	out := []PairedCoupons{}
	waiting := gather(lonely, within)
	for _, l := range append(waiting, lots...) {
		s := l.sides(func(procedures.Weld) (float64, bool) { return 0, true })
		short := len(s[0]) - len(s[1])
		if short == 0 || more <= 0 {
			continue
		}
		c := l.coupons(max(0, -short), max(0, short))
		gained := 2 * (sides{make([]float64, len(s[0])+c.Before), make([]float64, len(s[1])+c.After)}.weight() - s.weight())
		more -= gained
		out = append(out, c)
	}
	if rest := int(math.Ceil(more)); rest > 0 {
		if all := append(slices.Clone(lots), waiting...); len(all) > 0 {
			out = append(out, all[0].coupons(rest, rest))
		}
	}
	return out
}

// gather puts lonely entries that are like one another together, the most first.
func gather(lonely []entry, within float64) []lot {
	var out []lot
	lonely = slices.Clone(lonely)
	slices.SortStableFunc(lonely, func(a, b entry) int { return cmp.Compare(a.speed, b.speed) })
	for len(lonely) > 0 {
		first := lonely[0]
		w := window{first.speed, float64(first.Job.Thinner()), float64(first.Job.Thicker())}
		var like lot
		var rest []entry
		for _, e := range lonely {
			if e.alike == first.alike && e.side == first.side && w.holds(e, within) {
				like = append(like, e)
			} else {
				rest = append(rest, e)
			}
		}
		out, lonely = append(out, like), rest
	}
	slices.SortStableFunc(out, func(a, b lot) int { return cmp.Compare(len(b), len(a)) })
	return out
}

func (l lot) coupons(before, after int) PairedCoupons {
	s := l.shown()
	middle := (s.WireSpeed[0] + s.WireSpeed[1]) / 2
	return PairedCoupons{Joint: s.Joint, Weld: s.Weld, Position: s.Position, Wire: s.Wire, Tap: s.Tap, Thickness: l[0].Job.Thinner(), WireSpeed: middle, Before: before, After: after}
}
