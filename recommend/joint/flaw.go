package joint

import (
	"cmp"
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Flaw is what was measured on a weld, in mm; zero: not measured.
type Flaw struct {
	Undercut  procedures.MM   // depth of the groove
	Pores     []procedures.MM // widths of the pores in the worst inch
	Convexity procedures.MM   // height of the face over the line from toe to toe
	Leg       procedures.MM   // the smallest measured leg of a fillet
	Crack     bool

	Weld      procedures.WeldType // Fillet, else a butt weld
	Thickness procedures.MM       // of the thinner part: for undercut and pores
	Throat    procedures.MM       // of a fillet, for pores; zero: from Asked
	Face      procedures.MM       // width of a fillet's face, for convexity
	Asked     procedures.MM       // leg asked for, for Leg
	Loading   Loading             // for undercut and pores; ISO 5817 makes no difference
	Across    bool                // the weld lies across the pull
}

// Judged is one measured flaw against one limit. It says what a limit says, and
// nothing of what the weld will bear.
type Judged struct {
	Flaw   string    // undercut, pore, convexity, leg, crack
	By     string    // "AWS D1.1", or "ISO 5817 level C"
	Limit  arc.Value // mm; 0 where the flaw is not permitted
	Within bool
	Short  bool   // within, if the flaw runs over short lengths only
	Why    string // what the criterion says, where a number does not
	Since  string // what decided, where it was not the limit's number
}

// levels of ISO 5817, from the most moderate to the strictest.
var levels = []string{"D", "C", "B"}

// Judge holds what was measured against AWS D1.1, static load unless said, and the
// three levels of ISO 5817. A reading at a limit is within. D1.1's undersize counts
// over at most a tenth of the length. What neither answers is in [Flaw.LeftOut].
//
// Range: as of [UndercutLimit], [Porosity], [ConvexityLimit], [UndersizeAllowed] and
// [Imperfection]; beyond it [*arc.RangeError] or [*procedures.InvalidError], as for
// a size that a limit needs and that is zero. Source: AWS D1.1 Tables 6.1 and 5.9,
// ISO 5817 Table 1; the editions are those of the rows' sources.
func Judge(f Flaw) ([]Judged, error) {
	f.Loading = cmp.Or(f.Loading, Static)
	var list []Judged
	d11 := f.reached()
	if f.Crack {
		for _, r := range data.VisualLimits() {
			if d11 && r.Item == "crack" && r.Loading == string(f.Loading) {
				list = append(list, none("crack", r.Item, "AWS D1.1", r.Row))
			}
		}
		if err := f.iso(&list, "crack", "100", 1, 0, cmp.Or(f.Thickness, 3)); err != nil {
			return nil, err
		}
	}
	if f.Undercut > 0 {
		v, err := UndercutLimit(f.Thickness, f.Loading, f.Across)
		if err != nil {
			return nil, err
		}
		if d11 {
			list = append(list, Judged{Flaw: "undercut", By: "AWS D1.1", Limit: v, Within: f.Undercut <= procedures.MM(v.Value)+sameLength, Why: v.Note})
		}
		if err := f.iso(&list, "undercut", "5011", f.Undercut, f.Thickness, f.Thickness); err != nil {
			return nil, err
		}
	}
	if len(f.Pores) > 0 {
		if err := f.pores(&list); err != nil {
			return nil, err
		}
	}
	if f.Convexity > 0 {
		v, err := ConvexityLimit(f.Face)
		if err != nil {
			return nil, err
		}
		if d11 {
			list = append(list, Judged{Flaw: "convexity", By: "AWS D1.1", Limit: v, Within: f.Convexity <= procedures.MM(v.Value)+sameLength, Why: v.Note})
		}
		f.Weld = procedures.Fillet
		if err := f.iso(&list, "convexity", "503", f.Convexity, f.Face, cmp.Or(f.Thickness, 3)); err != nil {
			return nil, err
		}
	}
	if f.Leg > 0 {
		v, err := UndersizeAllowed(f.Asked)
		if err != nil {
			return nil, err
		}
		short := f.Asked - f.Leg
		j := Judged{Flaw: "leg", By: "AWS D1.1", Limit: v, Within: short <= procedures.MM(v.Value)+sameLength, Short: short > sameLength, Why: "undersize " + v.Note}
		if short <= sameLength {
			j.Since = "not undersized: as asked"
		}
		if short < -sameLength {
			j.Since = "not undersized: over what was asked by " + length(-short, procedures.US)
		}
		if d11 {
			list = append(list, j)
		}
	}
	return list, nil
}

// leastD11 is the thinnest part that AWS D1.1 reaches to: 1/8 in, in its metric
// text 3 mm. Sheet below it is AWS D1.3's. (Scope of D1.1, from memory.)
const leastD11 procedures.MM = 3

// reached reports whether D1.1 reaches to the part; one of unknown thickness is
// taken to be thick enough.
func (f Flaw) reached() bool { return f.Thickness == 0 || f.Thickness >= leastD11-sameLength }

// LeftOut says what [Judge] leaves out, and why.
func (f Flaw) LeftOut() []string {
	var out []string
	asked := f.Undercut > 0 || f.Convexity > 0 || f.Leg > 0 || f.Crack || len(f.Pores) > 0
	cyclic, fillet := f.Loading == Cyclic, f.Weld == procedures.Fillet
	switch {
	case asked && !f.reached():
		return append(out, "AWS D1.1: it does not reach below 1/8 in (3 mm), thinner sheet is AWS D1.3's, which is not here (from memory)")
	case asked && f.Thickness == 0:
		out = append(out, "a part below 1/8 in (3 mm): AWS D1.1 does not reach to it (from memory); say the thickness")
	}
	switch {
	case len(f.Pores) == 0 || !fillet && f.Across:
	case cyclic && fillet:
		out = append(out, "the other 3 in (75 mm): the cyclic rule of AWS D1.1 counts pores in 4 in (100 mm), and only the worst inch was said")
	case cyclic:
		out = append(out, "pores by AWS D1.1 in a butt that does not lie across the pull, under cyclic load: no row for it here")
	default:
		out = append(out, "the second sum of AWS D1.1, pores in 12 in (300 mm): only the worst inch was said, so it was not looked at")
	}
	return out
}

// pores judges by D1.1 the sum of the widths in the worst inch, or what stands in
// its place, and the widest pore by ISO 5817.
func (f Flaw) pores(list *[]Judged) error {
	var widest, sum procedures.MM
	pores := make([]Pore, len(f.Pores))
	for i, d := range f.Pores {
		pores[i], widest = Pore{Diameter: d}, max(widest, d)
		if d >= procedures.Inches(1.0/32)-sameLength {
			sum += d
		}
	}
	if _, err := Porosity(pores, procedures.US); err != nil { // for its range
		return err
	}
	item := "piping porosity in 1 in"
	if f.Weld != procedures.Fillet && f.Across {
		item = "piping porosity, butt across the pull"
	}
	for _, r := range data.VisualLimits() {
		if r.Item != item || r.Loading != string(f.Loading) || !f.reached() {
			continue
		}
		j := Judged{Flaw: "pores", By: "AWS D1.1", Limit: fromInches(r.LimitIn, r.Row), Why: r.Limit}
		most := procedures.MM(j.Limit.Value)
		switch {
		case r.LimitIn == 0:
			j = none("pores", r.Limit, j.By, r.Row)
		case f.Loading == Static:
			j.Flaw, j.Within = "pores in the worst inch", sum <= most+sameLength
			j.Why = "the one sum: widths of pores of 1/32 in (0.8 mm) and more in any inch (25 mm), here " + length(sum, procedures.US)
		case f.Weld != procedures.Fillet:
			continue // the row is of fillets
		default:
			j.Within = len(f.Pores) == 1 && widest <= most+sameLength
			if len(f.Pores) > 1 {
				j.Since = fmt.Sprintf("%d pores in an inch (25 mm), where one in 4 in (100 mm) is permitted", len(f.Pores))
			}
		}
		*list = append(*list, j)
	}
	size := f.Thickness
	if f.Weld == procedures.Fillet {
		if size = f.Throat; size == 0 && f.Asked > 0 {
			size = f.Asked / procedures.MM(math.Sqrt2)
		}
	}
	return f.iso(list, "widest pore", "2017", widest, size, f.Thickness)
}

// iso judges one size by the three levels of ISO 5817.
func (f Flaw) iso(list *[]Judged, name, number string, measured, size, thickness procedures.MM) error {
	for _, level := range levels {
		l, err := Imperfection(number, f.Weld, level, thickness, size)
		if err != nil {
			return err
		}
		by := "ISO 5817 level " + level
		switch l.Rule {
		case "none":
			j := none(name, l.Name, by, data.Row{Source: l.Value.Source, Basis: l.Value.Basis, Note: l.Value.Note})
			*list = append(*list, j)
		default:
			within := measured <= procedures.MM(l.Value.Value)+sameLength
			*list = append(*list, Judged{Flaw: name, By: by, Limit: l.Value, Within: within, Short: within && l.Rule == "short", Why: l.Value.Note})
		}
	}
	return nil
}

func none(flaw, what, by string, row data.Row) Judged {
	return Judged{Flaw: flaw, By: by, Limit: exact(0, "mm", row), Why: what + ": not permitted"}
}
