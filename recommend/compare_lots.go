package recommend

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// Lot is like welds of two states at one wire speed.
type Lot struct {
	Joint     procedures.Joint      `json:"joint"`
	Weld      procedures.WeldType   `json:"weld"`
	Position  procedures.Position   `json:"position"`
	Wire      procedures.Wire       `json:"wire"`
	Tap       string                `json:"tap"` // "": none, not said, or mixed
	Thickness [2]procedures.MM      `json:"thickness_mm"`
	WireSpeed [2]procedures.MPerMin `json:"wire_speed_m_min"`
	Before    []string              `json:"before"` // marks
	After     []string              `json:"after"`
	Ratings   [2][]int              `json:"ratings"` // before, after; 0: not rated
}

// alike is what the welds of a lot have in common to the letter.
type alike struct {
	joint    procedures.Joint
	weld     procedures.WeldType
	position procedures.Position
	class    string
	gas      string
	tenths   float64 // wire size in tenths of a millimeter: 0.030 in and 0.8 mm are one
	group    string
	coating  procedures.Coating
	tap      string
}

// entry is one weld that can be compared.
type entry struct {
	procedures.Weld
	alike
	side    int // 0 before, 1 after
	speed   float64
	guessed bool
}

// lot is the entries of a [Lot].
type lot []entry

// sorting is the welds of two states, parted into those that can be compared and
// those that cannot.
type sorting struct {
	usable []entry
	left   []LeftOut
}

func (s *sorting) leave(why string, entries ...entry) {
	for _, e := range entries {
		i := slices.IndexFunc(s.left, func(l LeftOut) bool { return l.Why == why })
		if i < 0 {
			i, s.left = len(s.left), append(s.left, LeftOut{Why: why})
		}
		s.left[i].Marks = append(s.left[i].Marks, e.Mark)
	}
}

// sortOut parts the welds of two states into those that can be compared and those left
// out, with why.
func sortOut(m procedures.Machine, welds []procedures.Weld, before, after procedures.State, o CompareOptions) sorting {
	var s sorting
	for _, w := range welds {
		e := entry{Weld: w}
		switch {
		case w.Struck != "":
			continue
		case w.Job.State == before.ID:
		case w.Job.State == after.ID:
			e.side = 1
		default:
			continue
		}
		e.speed, e.guessed = equalSpeedOf(m, w)
		j, set := w.Job, w.Settings
		e.alike = alike{j.Joint, cmp.Or(j.Weld, j.Joint.DefaultWeld()), j.Position, strings.ToUpper(j.Class), j.Gas, math.Round(10 * float64(j.Diameter)), j.SteelGroup, dirt(j), strings.ToLower(set.Tap)}
		if o.AnyTap {
			e.tap = ""
		}
		switch {
		case w.Outcome.Rating == 0 && len(w.Outcome.Tests) == 0:
			s.leave("neither rated nor tested", e)
		case j.Joint == "" && e.weld == "" || j.Position == "" || j.Thinner() == 0 || j.Class == "" || j.Diameter == 0:
			s.leave("joint, position, thickness or wire was not written down", e)
		case e.speed == 0 || e.guessed && !o.Guessed:
			s.leave("the wire speed was never measured in its state, on its tap", e)
		default:
			s.usable = append(s.usable, e)
		}
	}
	return s
}

// equalSpeedOf is the wire speed of a weld in m/min, and whether it is only
// guessed; zero where it is not known at all.
func equalSpeedOf(m procedures.Machine, w procedures.Weld) (speed float64, guessed bool) {
	if w.Settings.WireSpeed > 0 && w.Settings.How["wire_speed_m_min"] == procedures.Measured {
		return float64(w.Settings.WireSpeed), false
	}
	if w.Settings.Knob != nil {
		if c, ok := feeder.Own(m, w.Job.State, w.Settings.Tap); ok {
			if v, err := c.SpeedAt(*w.Settings.Knob); err == nil {
				return v.Value, false
			}
		}
	}
	return float64(w.Settings.WireSpeed), true
}

// window is the lower corner of what one lot may hold.
type window struct{ speed, thin, thick float64 }

func (w window) holds(e entry, within float64) bool {
	in := func(v, low, share float64) bool { return v >= low*(1-1e-9) && v <= low*(1+share)*(1+1e-9) }
	return in(e.speed, w.speed, within) && in(float64(e.Job.Thinner()), w.thin, equalThickness) && in(float64(e.Job.Thicker()), w.thick, equalPartner)
}

// intoLots parts the entries into lots, the one that tells most first, and
// returns those left with nothing on the other side.
func intoLots(entries []entry, within float64) (lots []lot, lonely []entry) {
	groups := map[alike]lot{}
	var order []alike
	for _, e := range entries {
		if groups[e.alike] == nil {
			order = append(order, e.alike)
		}
		groups[e.alike] = append(groups[e.alike], e)
	}
	for _, key := range order {
		left := groups[key]
		for {
			best, ok := bestWindow(left, within)
			if !ok {
				break
			}
			var l lot
			l, left = split(left, best, within)
			lots = append(lots, l)
		}
		lonely = append(lonely, left...)
	}
	slices.SortStableFunc(lots, func(a, b lot) int { return cmp.Compare(b.weight(), a.weight()) })
	return lots, lonely
}

func split(all []entry, w window, within float64) (in lot, out []entry) {
	for _, e := range all {
		if w.holds(e, within) {
			in = append(in, e)
		} else {
			out = append(out, e)
		}
	}
	return in, out
}

// bestWindow is the window whose lot tells most; of equals the lowest.
func bestWindow(all []entry, within float64) (best window, ok bool) {
	most := 0.0
	for _, w := range windows(all) {
		in, _ := split(all, w, within)
		if weight := in.weight(); weight > most {
			best, most, ok = w, weight, true
		}
	}
	return best, ok
}

// windows is every lower corner that the values at hand allow, rising.
func windows(all []entry) []window {
	distinct := func(of func(entry) float64) []float64 {
		var v []float64
		for _, e := range all {
			v = append(v, of(e))
		}
		slices.Sort(v)
		return slices.Compact(v)
	}
	var out []window
	for _, thin := range distinct(func(e entry) float64 { return float64(e.Job.Thinner()) }) {
		for _, thick := range distinct(func(e entry) float64 { return float64(e.Job.Thicker()) }) {
			for _, speed := range distinct(func(e entry) float64 { return e.speed }) {
				out = append(out, window{speed, thin, thick})
			}
		}
	}
	return out
}

// sides parts the lot's values; those that are not there are passed over.
func (l lot) sides(value func(procedures.Weld) (float64, bool)) sides {
	var s sides
	for _, e := range l {
		if v, ok := value(e.Weld); ok {
			s[e.side] = append(s[e.side], v)
		}
	}
	return s
}

// weight is what the lot tells, were all its welds rated.
func (l lot) weight() float64 {
	return l.sides(func(procedures.Weld) (float64, bool) { return 0, true }).weight()
}

func columns(lots []lot, value func(procedures.Weld) (float64, bool)) []sides {
	all := make([]sides, len(lots))
	for i, l := range lots {
		all[i] = l.sides(value)
	}
	return all
}

// shown is the lot as it is told.
func (l lot) shown() Lot {
	first := l[0]
	out := Lot{Joint: first.joint, Weld: first.weld, Position: first.position, Wire: first.Job.Wire, Tap: first.tap,
		Thickness: [2]procedures.MM{first.Job.Thinner(), first.Job.Thinner()}, WireSpeed: [2]procedures.MPerMin{procedures.MPerMin(first.speed), procedures.MPerMin(first.speed)},
		Before: []string{}, After: []string{}, Ratings: [2][]int{{}, {}}}
	for _, e := range l {
		t, v := e.Job.Thinner(), procedures.MPerMin(e.speed)
		out.Thickness = [2]procedures.MM{min(out.Thickness[0], t), max(out.Thickness[1], t)}
		out.WireSpeed = [2]procedures.MPerMin{min(out.WireSpeed[0], v), max(out.WireSpeed[1], v)}
		marks := &out.Before
		if e.side == 1 {
			marks = &out.After
		}
		*marks = append(*marks, e.Mark)
		out.Ratings[e.side] = append(out.Ratings[e.side], int(e.Outcome.Rating))
	}
	return out
}
