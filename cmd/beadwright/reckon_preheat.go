package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/steel"
)

type preheatOptions struct{ steel, thickness, wire, cet, weldCET, hydrogen, heat string }

func newReckonPreheat(a *app) *cobra.Command {
	var o preheatOptions
	cmd := &cobra.Command{
		Use:   "preheat",
		Short: "Least preheat of AWS D1.1 by steel and thickness, or of EN 1011-2 method B",
		Long: `Least preheat, in two ways that are not to be mixed. AWS D1.1 goes by the steel's
category and the thickest part, from 1/8 in up. EN 1011-2 method B goes by CET,
thickness, hydrogen and heat input (with k), and holds for CET 0.2 to 0.5 %, 10
to 90 mm, 1 to 20 ml/100 g and 0.5 to 4 kJ/mm only: most home work lies outside,
and nothing is given there.`,
		Example: `  beadwright reckon preheat --steel a36 --thickness 1in
  beadwright reckon preheat --steel a36 --thickness 1in --wire "1/8 E6013"
  beadwright reckon preheat --cet 0.30 --thickness 20mm --hydrogen 5 --heat 1.0kJ/mm`,
	}
	f := cmd.Flags()
	f.StringVar(&o.steel, "steel", "", "for AWS D1.1: a36, a500, a572-50 ...")
	f.StringVar(&o.thickness, "thickness", "", "of the thickest part: 1in, 20mm")
	f.StringVar(&o.wire, "wire", "", "for AWS D1.1, where it is a covered electrode: 1/8 E6013")
	f.StringVar(&o.cet, "cet", "", "for method B: CET of the plate, per cent")
	f.StringVar(&o.weldCET, "weld-cet", "", "for method B: CET of the weld metal, where known")
	f.StringVar(&o.hydrogen, "hydrogen", "", "for method B: ml in 100 g of weld metal")
	f.StringVar(&o.heat, "heat", "", "for method B: heat input with k: 1.0kJ/mm")
	return a.sum(cmd, func(r *reckoning) error {
		r.need("thickness", o.thickness, "of the thickest part: --thickness 1in")
		byB := o.cet+o.weldCET+o.hydrogen+o.heat != ""
		if r.err == nil && byB && o.steel != "" {
			return procedures.Invalid("preheat", "", "two methods at once", "AWS D1.1: --steel and --thickness", "EN 1011-2: --cet, --thickness, --hydrogen and --heat")
		}
		r.only("wire", o.wire, !byB, "for method B give the hydrogen of the weld metal: --hydrogen 5")
		t := r.thickness("thickness", o.thickness)
		r.firstComes()
		if byB {
			return o.methodB(r, t)
		}
		r.need("steel", o.steel, "the grade: --steel a36", "or method B: --cet 0.30 --hydrogen 5 --heat 1.0kJ/mm")
		lowHydrogen := true
		if o.wire == "" {
			r.assume("a wire process, which the table counts as low-hydrogen")
		} else {
			lowHydrogen = steel.LowHydrogen(a.spool(r.ctx, r, o.wire))
		}
		s := r.steel(o.steel)
		if r.err != nil {
			return r.err
		}
		return r.d11(s, t, lowHydrogen)
	})
}

// d11 answers by the table of AWS D1.1.
func (r *reckoning) d11(s data.Steel, t procedures.MM, lowHydrogen bool) error {
	const name = "least preheat and interpass temperature, AWS D1.1"
	if g, _, err := steel.GroupOf(steel.Sample{Steel: s}); err == nil && (g == steel.III || g == steel.Out || g == steel.Unknown) {
		r.caution(caution.Stop, "steel", "No settings come for such a steel from this notebook's tables: identify it, try a coupon of the same piece, or take it to a licensed trade.", "CP")
	}
	r.uncovered("cold shops, drafts, clamped or stiff joints and more hydrogen: they ask for more than the least",
		"a steel that you only think is that grade: if in doubt, a coupon of the same piece")
	category, err := steel.D11Category(s, lowHydrogen)
	if err != nil {
		return r.none(name, err)
	}
	p, err := steel.D11Preheat(category, t)
	if err != nil {
		return r.none(name, err)
	}
	v := exact(p.C, "degC", data.Row{Source: p.Source, Basis: p.Basis})
	v.Note = p.Note
	f := r.add(name, v, fmt.Sprintf("table: %s is category %s with %s; at %s the thickest part lies in the band %s", s.Name, category, hydrogenWords(lowHydrogen), r.sayLength(t), r.band(category, p)))
	f.Text = fmt.Sprintf("%.0f F (%.0f C)", p.F, p.C)
	if r.units == procedures.Metric {
		f.Text = fmt.Sprintf("%.0f C (%.0f F)", p.C, p.F)
	}
	if p.None() {
		f.Text = "none, as long as the metal is not below " + f.Text
	}
	return nil
}

func hydrogenWords(low bool) string {
	if low {
		return "wire or a low-hydrogen electrode"
	}
	return "an electrode that is not low-hydrogen"
}

// band says which thicknesses a row of the table covers.
func (r *reckoning) band(category string, p steel.Preheat) string {
	for _, row := range data.PreheatMinimums() {
		if row.Category != category || row.MinF != p.F {
			continue
		}
		from := "over"
		if row.OverIn == 0.125 {
			from = "from"
		}
		if row.ThroughIn == 0 {
			return from + " " + r.in(procedures.Inches(row.OverIn))
		}
		return from + " " + r.in(procedures.Inches(row.OverIn)) + " through " + r.in(procedures.Inches(row.ThroughIn))
	}
	return "named by the table"
}

// methodB answers by EN 1011-2 method B.
func (o preheatOptions) methodB(r *reckoning, t procedures.MM) error {
	r.need("cet", o.cet, "CET of the plate: --cet 0.30, see reckon carbon")
	r.need("hydrogen", o.hydrogen, "ml in 100 g of weld metal: --hydrogen 5")
	r.need("heat", o.heat, "heat input with k: --heat 1.0kJ/mm, see reckon heat")
	cet := r.measure("cet", o.cet, element)
	weld := r.measure("weld-cet", o.weldCET, element)
	h := steel.HeatFlow{CET: cet, Thickness: t, Hydrogen: r.measure("hydrogen", o.hydrogen, gas), HeatInput: arc.KJPerMM(r.measure("heat", o.heat, energy))}
	if r.err != nil {
		return r.err
	}
	if weld != 0 {
		var err error
		if h.CET, err = steel.MethodBCET(cet, weld); err != nil {
			return err
		}
		if h.CET != cet {
			r.assume("CET %s %%, the weld metal's plus 0.03: it is not 0.03 below the plate's", put(h.CET))
		}
	}
	r.uncovered("anything outside CET 0.2 to 0.5 %, 10 to 90 mm, 1 to 20 ml/100 g, 0.5 to 4.0 kJ/mm, or a yield strength over 1000 MPa",
		"wrong versions of this formula circulate, without tanh or with other signs: hold the standard itself against it before relying on it")
	v, err := steel.MethodB(h)
	q := float64(h.HeatInput)
	f, err := r.try("preheat, EN 1011-2 method B", v, err, r.equals(
		"697 x CET + 160 x tanh(thickness / 35) + 62 x hydrogen^0.35 + (53 x CET - 32) x heat input - 328",
		fmt.Sprintf("697 x %[1]s + 160 x tanh(%[2]s mm / 35) + 62 x %[3]s^0.35 + (53 x %[1]s - 32) x %[4]s kJ/mm - 328", put(h.CET), put(float64(t)), put(h.Hydrogen), put(q)), v.Value, "C"))
	if err != nil || !f.given {
		return err
	}
	parts, err := steel.MethodBParts(h)
	if err != nil {
		return err
	}
	f.Note = fmt.Sprintf("composition adds %.0f C, thickness %.0f, hydrogen %.0f and heat input %.0f; at or below air temperature it asks for none",
		parts.CET, parts.Thickness, parts.Hydrogen, clean(parts.HeatInput))
	return nil
}

// clean turns a rounded minus nothing into nothing.
func clean(v float64) float64 {
	if math.Abs(v) < 0.5 {
		return 0
	}
	return v
}
