package joint

import (
	"cmp"
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
	Loading   Loading             // for undercut; ISO 5817 makes no difference
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
}

// levels of ISO 5817, from the most moderate to the strictest.
var levels = []string{"D", "C", "B"}

// Judge holds what was measured against AWS D1.1, static load unless said, and the
// three levels of ISO 5817. A reading at a limit is within. D1.1's undersize counts
// over at most a tenth of the length.
//
// Range: as of [UndercutLimit], [Porosity], [ConvexityLimit], [UndersizeAllowed] and
// [Imperfection]; beyond it [*arc.RangeError] or [*procedures.InvalidError], as for
// a size that a limit needs and that is zero. Source: AWS D1.1 Tables 6.1 and 5.9,
// ISO 5817 Table 1; the editions are those of the rows' sources.
func Judge(f Flaw) ([]Judged, error) {
	f.Loading = cmp.Or(f.Loading, Static)
	var list []Judged
	if f.Crack {
		for _, r := range data.VisualLimits() {
			if r.Item == "crack" && r.Loading == string(f.Loading) {
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
		list = append(list, Judged{Flaw: "undercut", By: "AWS D1.1", Limit: v, Within: f.Undercut <= procedures.MM(v.Value)+sameLength, Why: v.Note})
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
		list = append(list, Judged{Flaw: "convexity", By: "AWS D1.1", Limit: v, Within: f.Convexity <= procedures.MM(v.Value)+sameLength, Why: v.Note})
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
		list = append(list, Judged{Flaw: "leg", By: "AWS D1.1", Limit: v, Within: short <= procedures.MM(v.Value)+sameLength, Short: short > sameLength, Why: "undersize " + v.Note})
	}
	return list, nil
}

// pores judges the sum of the widths by D1.1 and the widest pore by ISO 5817.
func (f Flaw) pores(list *[]Judged) error {
	var widest procedures.MM
	pores := make([]Pore, len(f.Pores))
	for i, d := range f.Pores {
		pores[i], widest = Pore{Diameter: d}, max(widest, d)
	}
	v, err := Porosity(pores, procedures.US)
	if err != nil {
		return err
	}
	for _, r := range data.VisualLimits() {
		if r.Item == "piping porosity in 1 in" && r.Loading == string(Static) {
			*list = append(*list, Judged{Flaw: "pores", By: "AWS D1.1", Limit: fromInches(r.LimitIn, r.Row), Within: v.Pass, Why: "sum of the widths of pores of 1/32 in and more in any inch: " + v.Why})
		}
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
