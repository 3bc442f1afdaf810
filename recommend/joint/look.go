package joint

import (
	"fmt"
	"slices"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

const sixteenth = 1.0 / 16 // in

// UndercutLimit returns the deepest undercut, in mm, that AWS D1.1 lets pass on
// a part as thick as t. Under static load and below 1 in, twice the depth may run
// over 2 in in all in any 12 in. acrossPull: the weld lies across the tension.
// Range: 0.1 to 300 mm. Source: AWS D1.1 Table 6.1 (cyclic from memory).
func UndercutLimit(t procedures.MM, l Loading, acrossPull bool) (arc.Value, error) {
	if err := first(checkThickness("thickness", t), checkLoading(l)); err != nil {
		return arc.Value{}, err
	}
	for _, r := range data.VisualLimits() {
		// The upper band begins at 1 in: "from", where the lower one ends "below".
		if r.Item != "undercut" || r.Loading != string(l) || r.ThroughIn > 0 && t.Inches() >= r.ThroughIn-sameLength || t.Inches() < r.OverIn-sameLength {
			continue
		}
		limit := r.LimitIn
		if l == Cyclic && !acrossPull {
			limit = 1.0 / 32
		}
		v := fromInches(limit, r.Row)
		v.Note = r.Limit
		return v, nil
	}
	return arc.Value{}, &arc.NoTableError{Quantity: "undercut limit", Of: string(l) + " load", Have: []string{"static", "cyclic"}}
}

// UndersizeAllowed returns how much, in mm, a fillet may fall short of its leg
// over at most a tenth of its length. The table names 3/16, 1/4 and 5/16 in; a leg
// between them takes the smaller allowance. Range: 0.5 to 100 mm.
// Source: AWS D1.1 Table 6.1.
func UndersizeAllowed(leg procedures.MM) (arc.Value, error) {
	if err := checkLeg(leg); err != nil {
		return arc.Value{}, err
	}
	var found data.VisualLimit
	for _, r := range data.VisualLimits() {
		if r.Item == "undersize fillet" && r.Loading == string(Static) && (r.OverIn == 0 || leg.Inches() >= r.OverIn+sixteenth-sameLength) {
			found = r
		}
	}
	v := fromInches(found.LimitIn, found.Row)
	v.Note = "over at most 10 % of the length"
	return v, nil
}

// Pore is a pore that can be seen: where along the weld, and how wide.
type Pore struct{ At, Diameter procedures.MM }

// Verdict is the outcome of a check, and why in words. It says what a criterion
// says and nothing about what the weld will bear.
type Verdict struct {
	Pass  bool
	Again bool // not counted: test a spare
	Why   string
}

// window is one of the lengths over which D1.1 sums the widths of pores.
type window struct{ length, most procedures.MM }

// Porosity holds the pores of a groove weld or fillet under static load against
// AWS D1.1: the widths of pores of 1/32 in and more, at most 3/8 in in any inch
// and 3/4 in in any 12 in. The metric text (1, 10 and 20 mm in 25 and 300 mm)
// differs a little: the units say which one is kept to.
// Range: positions 0 to 1 km, widths 0.01 to 50 mm. Source: AWS D1.1 Table 6.1 (8).
func Porosity(pores []Pore, units procedures.Units) (Verdict, error) {
	least, windows := procedures.Inches(1.0/32), []window{{procedures.Inches(1), procedures.Inches(3.0 / 8)}, {procedures.Inches(12), procedures.Inches(3.0 / 4)}}
	if units == procedures.Metric {
		least, windows = 1, []window{{25, 10}, {300, 20}}
	}
	counted := make([]Pore, 0, len(pores))
	for _, p := range pores {
		if err := first(arc.Within("position of a pore", float64(p.At), 0, 1e6, "mm"), arc.Within("pore", float64(p.Diameter), 0.01, 50, "mm")); err != nil {
			return Verdict{}, err
		}
		if p.Diameter >= least-sameLength {
			counted = append(counted, p)
		}
	}
	slices.SortFunc(counted, func(a, b Pore) int {
		if a.At < b.At {
			return -1
		}
		return 1
	})
	for _, w := range windows {
		if sum := worst(counted, w.length); sum > w.most+sameLength {
			return Verdict{Why: fmt.Sprintf("pores add up to %s in %s, more than %s", length(sum, units), length(w.length, units), length(w.most, units))}, nil
		}
	}
	return Verdict{Pass: true, Why: "the widths of pores stay within both sums"}, nil
}

// worst slides a window along the weld and returns the largest sum of widths in
// it. Pores count whole when their middles lie in the window, ends included.
func worst(pores []Pore, long procedures.MM) procedures.MM {
	var most, sum procedures.MM
	from := 0
	for _, p := range pores {
		sum += p.Diameter
		for p.At-pores[from].At > long+sameLength {
			sum -= pores[from].Diameter
			from++
		}
		most = max(most, sum)
	}
	return most
}

func length(v procedures.MM, units procedures.Units) string {
	return procedures.FormatLength(v, units)
}

// limitOf returns a criterion of a destructive test, in mm.
func limitOf(test, criterion string) procedures.MM {
	for _, r := range data.DestructiveLimits() {
		if r.Test == test && len(r.Limit) >= len(criterion) && r.Limit[:len(criterion)] == criterion {
			return procedures.Inches(r.LimitIn)
		}
	}
	return 0
}

// Bend is what a guided bend shows on its convex face, in mm; 0 for none.
type Bend struct {
	Largest        procedures.MM // opening away from the corners
	Sum            procedures.MM // of the openings between 1/32 and 1/8 in
	Corner         procedures.MM // longest crack at a corner
	CornerFromFlaw bool          // slag or lack of fusion began it
}

// BendTest holds a guided bend against AWS D1.1; a reading at a limit passes.
// Range: 0 to 100 mm. Source: AWS D1.1 4.8.3.3.
func BendTest(b Bend) (Verdict, error) {
	if err := first(checkOpening(b.Largest), checkOpening(b.Sum), checkOpening(b.Corner)); err != nil {
		return Verdict{}, err
	}
	single, sum, corner := limitOf("guided-bend", "largest single"), limitOf("guided-bend", "sum"), limitOf("guided-bend", "largest crack at a corner")
	switch {
	case b.Largest > single+sameLength:
		return Verdict{Why: "an opening is longer than 1/8 in (3 mm)"}, nil
	case b.Sum > sum+sameLength:
		return Verdict{Why: "the openings add up to more than 3/8 in (10 mm)"}, nil
	case b.CornerFromFlaw && b.Corner > single+sameLength:
		return Verdict{Why: "a corner crack from slag or lack of fusion is longer than 1/8 in (3 mm)"}, nil
	case b.Corner > corner+sameLength:
		return Verdict{Again: true, Why: "a corner crack is longer than 1/4 in (6 mm) with no flaw behind it: bend a spare"}, nil
	}
	return Verdict{Pass: true, Why: "no opening over the limits on the convex face"}, nil
}

// Break is what a fillet break shows; widths in mm, 0 for none.
type Break struct {
	Broke     bool // false: it folded flat on itself
	RootFused bool // over the whole length
	Largest   procedures.MM
	Sum       procedures.MM // of the largest sizes in a 6 in specimen
}

// FilletBreak holds a fillet break against AWS D1.1; a reading at a limit passes.
// Range: 0 to 100 mm. Source: AWS D1.1:2010 4.31.4.1.
func FilletBreak(b Break) (Verdict, error) {
	if err := first(checkOpening(b.Largest), checkOpening(b.Sum)); err != nil {
		return Verdict{}, err
	}
	switch {
	case !b.Broke:
		return Verdict{Pass: true, Why: "it folded flat on itself without breaking"}, nil
	case !b.RootFused:
		return Verdict{Why: "the root is not fused: the straight edge of the plate shows in the break"}, nil
	case b.Largest > limitOf("fillet-break", "broken: largest")+sameLength:
		return Verdict{Why: "a pore or inclusion is larger than 3/32 in"}, nil
	case b.Sum > limitOf("fillet-break", "broken: sum")+sameLength:
		return Verdict{Why: "pores and inclusions add up to more than 3/8 in"}, nil
	}
	return Verdict{Pass: true, Why: "fused to the root, with pores and inclusions within the limits"}, nil
}

func checkOpening(v procedures.MM) error { return arc.Within("opening", float64(v), 0, 100, "mm") }
