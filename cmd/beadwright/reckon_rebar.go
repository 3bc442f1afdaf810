package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/steel"
)

// barElements are those of [elements] that a carbon equivalent of rebar asks for.
const barElements = "C Mn Cu Ni Cr Mo V"

func newReckonRebar(a *app) *cobra.Command {
	said := map[string]*string{}
	var bar, grade string
	cmd := &cobra.Command{
		Use:   "rebar",
		Short: "Carbon equivalent and least preheat of a reinforcing bar, by AWS D1.4",
		Long: `Carbon equivalent and least preheat of a reinforcing bar by AWS D1.4, whose table is
from memory. With the whole sheet it goes by the formula of A706, with carbon and
manganese alone by those two. A bar without a mill sheet is taken as over 0.75, as bad as any: what
the marks on it do not tell, nobody knows.`,
		Example: `  beadwright reckon rebar --bar 4
  beadwright reckon rebar --bar 4 --steel a706
  beadwright reckon rebar --bar 8 --c 0.30 --mn 0.90`,
	}
	f := cmd.Flags()
	f.StringVar(&bar, "bar", "", "US bar number, in eighths of an inch: 3 to 11, 14, 18")
	f.StringVar(&grade, "steel", "", "a706 where it is marked W; else a615")
	for _, e := range elements {
		if strings.Contains(" "+barElements+" ", " "+e.symbol+" ") {
			said[e.symbol] = f.String(strings.ToLower(e.symbol), "", e.name+", per cent by weight")
		}
	}
	return a.sum(cmd, func(r *reckoning) error {
		r.need("bar", bar, "the number rolled into it: --bar 4 is 1/2 in (13 mm) thick")
		n := r.measure("bar", strings.TrimPrefix(bar, "#"), times)
		s := r.steel(grade)
		var sheet steel.Composition
		given := false
		for _, e := range elements {
			if p := said[e.symbol]; p != nil {
				*e.of(&sheet) = r.measure(strings.ToLower(e.symbol), *p, element)
				given = given || *p != ""
			}
		}
		if r.err != nil {
			return r.err
		}
		switch {
		case n != float64(int(n)):
			return procedures.Invalid("bar", bar, "a bar number is a whole number", "accepted: 3 to 11, 14, 18")
		case s.Key != "" && s.Key != "a706" && s.Key != "a615":
			return procedures.Invalid("steel", grade, "not a reinforcing bar", "accepted: a706, a615", "another steel: beadwright reckon preheat --steel "+s.Key+" --thickness 1/2")
		}
		ce, err := r.barCE(s.Key == "a706", given, sheet)
		if err != nil {
			return err
		}
		const name = "least preheat, AWS D1.4"
		v, err := steel.RebarPreheat(ce, int(n))
		if err != nil {
			if err := r.none(name, err); err != nil {
				return err
			}
		} else {
			over := fmt.Sprintf("table: bar number %.0f, carbon equivalent %s %%", n, put(ce))
			if ce > 0.75 {
				over = fmt.Sprintf("table: bar number %.0f, carbon equivalent over 0.75 %%", n)
			}
			c := (v.Value - 32) * 5 / 9
			told := exact(c, "degC", rowOf(v))
			told.Note = v.Note
			if v.Value == 0 {
				r.words(name, "none, as long as the metal is not below 32 F (0 C)", told, over).Unit = ""
			} else {
				f := r.least(name, told, over)
				if r.units != procedures.Metric {
					f.Text = fmt.Sprintf("%.0f F (%.0f C)", v.Value, upward(c))
				}
			}
		}
		r.caution(caution.Stop, "rebar", "No settings come for rebar here: bars in concrete carry people, and that is for an engineer and a licensed trade, by D1.4 itself. Never weld bars where they cross, even a tack: it cuts them brittle.", "ST-A615", "MEM")
		r.caution(caution.Care, "hydrogen", "Low-hydrogen electrodes, dry from the oven or a fresh can, and let it cool slowly: water on it hardens it.", "MEM")
		r.firstComes()
		r.uncovered("a bar in or near its bend, stretched or galvanized or coated", "bars of unlike steel together: the worse one counts",
			"AWS D1.4 itself: its table is from memory, so hold a copy against it")
		return nil
	})
}

// barCE answers the carbon equivalent that the table goes by, and returns it.
func (r *reckoning) barCE(a706, given bool, sheet steel.Composition) (float64, error) {
	const name = "carbon equivalent"
	switch {
	case given:
		formula := steel.D14
		if a706 || sheet != (steel.Composition{C: sheet.C, Mn: sheet.Mn}) {
			formula = steel.A706
		}
		v, err := sheet.CE(formula)
		if err != nil {
			return 0, err
		}
		row := equivalent(formula)
		v.Note = sentence(v.Note, limitOf(row, v.Value))
		r.add(name+", "+string(formula), v, fmt.Sprintf("%s = %s = %s %%", row.Formula, putIn(row.Formula, sheet), num(v.Value)))
		r.uncovered("elements that you left out count as nothing: a sheet with gaps reads low")
		return v.Value, nil
	case a706:
		s, err := steel.Find("a706")
		if err != nil {
			return 0, err
		}
		r.words(name+", A706", "at most "+put(s.CEHigh)+" %", arc.Value{Unit: "%", Basis: s.Basis, Source: s.Source}, "the cap of its standard, by its own formula")
		return s.CEHigh, nil
	}
	s, err := steel.Find("a615")
	if err != nil {
		return 0, err
	}
	r.assume("a bar without a mill sheet: over 0.75 %%")
	r.words(name, "not known, taken as over 0.75 %", arc.Value{Unit: "%", Basis: arc.Weakest(s.Basis, data.Memory), Source: arc.Together(s.Source, []string{"MEM"}), Note: s.Note}, "the standard of common bars limits neither carbon nor manganese").given = false
	return 0.76, nil
}
