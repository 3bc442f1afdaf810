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

// elements in the order of a mill sheet.
var elements = []struct {
	symbol, name string
	of           func(*steel.Composition) *float64
}{
	{"C", "carbon", func(c *steel.Composition) *float64 { return &c.C }},
	{"Mn", "manganese", func(c *steel.Composition) *float64 { return &c.Mn }},
	{"Si", "silicon", func(c *steel.Composition) *float64 { return &c.Si }},
	{"Cr", "chromium", func(c *steel.Composition) *float64 { return &c.Cr }},
	{"Mo", "molybdenum", func(c *steel.Composition) *float64 { return &c.Mo }},
	{"Ni", "nickel", func(c *steel.Composition) *float64 { return &c.Ni }},
	{"Cu", "copper", func(c *steel.Composition) *float64 { return &c.Cu }},
	{"V", "vanadium", func(c *steel.Composition) *float64 { return &c.V }},
	{"Nb", "niobium, also called columbium", func(c *steel.Composition) *float64 { return &c.Nb }},
	{"Ti", "titanium", func(c *steel.Composition) *float64 { return &c.Ti }},
	{"B", "boron", func(c *steel.Composition) *float64 { return &c.B }},
}

// usual are the carbon equivalents shown when none is named.
var usual = []steel.Formula{steel.IIW, steel.AWS, steel.Pcm, steel.CET, steel.A706}

func newReckonCarbon(a *app) *cobra.Command {
	said := make([]string, len(elements))
	var grade, formula string
	cmd := &cobra.Command{
		Use:   "carbon",
		Short: "Carbon equivalents from a mill sheet, or what a grade tells without one",
		Long: `Carbon equivalents of a mill sheet, in per cent by weight. With a grade and no
sheet it tells the grade's practical weldability group, and a carbon equivalent
only where the standard itself caps one or leaves little room. The printed
maxima are not put into a formula: they are ceilings for single elements, no
heat of steel reaches all of them at once, and the sum overstates the risk.`,
		Example: `  beadwright reckon carbon --c 0.18 --mn 0.85 --si 0.2 --cu 0.25 --ni 0.1 --cr 0.1 --mo 0.02
  beadwright reckon carbon --steel a992
  beadwright reckon carbon --formula pipe --c 0.25 --mn 0.7`,
	}
	f := cmd.Flags()
	for k, e := range elements {
		f.StringVar(&said[k], strings.ToLower(e.symbol), "", e.name+", per cent by weight")
	}
	f.StringVar(&grade, "steel", "", "a36, 1018, a992 ...")
	f.StringVar(&formula, "formula", "", "one only: IIW, AWS, Pcm, CET, A706, D1.4, Z662, pipe")
	return a.sum(cmd, func(r *reckoning) error {
		var sheet steel.Composition
		for k, e := range elements {
			*e.of(&sheet) = r.measure(strings.ToLower(e.symbol), said[k], element)
		}
		given := strings.Join(said, "") != ""
		if grade == "" && !given {
			r.need("c", "", "the mill sheet's elements: --c 0.18 --mn 0.85 --si 0.2", "or a grade: --steel a36")
		}
		r.only("formula", formula, given, "a formula works on a mill sheet: --c 0.18 --mn 0.85")
		sample := steel.Sample{Steel: r.steel(grade)}
		if r.err != nil {
			return r.err
		}
		if given {
			sample.Sheet = &sheet
			return r.carbon(sample, formula)
		}
		return r.grade(sample)
	})
}

// steel reads a grade.
func (r *reckoning) steel(s string) data.Steel {
	if s == "" || r.err != nil {
		return data.Steel{}
	}
	row, err := steel.Find(s)
	if err != nil {
		r.err = err
		return row
	}
	r.note("steel", "", row.Key, row.Name)
	return row
}

// carbon answers from a mill sheet.
func (r *reckoning) carbon(s steel.Sample, only string) error {
	if err := s.Sheet.Validate(); err != nil {
		return err
	}
	wanted := usual
	if only != "" {
		wanted = nil
		for _, row := range data.CarbonEquivalents() {
			if strings.EqualFold(row.Key, only) {
				wanted = []steel.Formula{steel.Formula(row.Key)}
			}
		}
		if wanted == nil {
			return procedures.Invalid("formula", only, "not a carbon equivalent known here", "accepted: IIW, AWS, Pcm, CET, A706, D1.4, Z662, pipe")
		}
	}
	for _, f := range wanted {
		v, err := s.Sheet.CE(f)
		if err != nil {
			return err
		}
		row := equivalent(f)
		v.Note = sentence("used by "+row.UsedBy, v.Note, limitOf(row, v.Value))
		r.add("carbon equivalent, "+string(f), v, fmt.Sprintf("%s = %s = %s %%", row.Formula, putIn(row.Formula, *s.Sheet), num(v.Value)))
	}
	r.uncovered("elements that you left out count as nothing: a sheet with gaps reads low",
		"the formulas are not one scale: hold each against limits of its own name only")
	return r.grade(s)
}

func equivalent(f steel.Formula) data.CarbonEquivalent {
	for _, row := range data.CarbonEquivalents() {
		if row.Key == string(f) {
			return row
		}
	}
	return data.CarbonEquivalent{Key: string(f)}
}

func limitOf(row data.CarbonEquivalent, v float64) string {
	switch {
	case row.Limit == 0:
		return ""
	case v > row.Limit+1e-9:
		return fmt.Sprintf("over the %s %% that its users accept", put(row.Limit))
	}
	return fmt.Sprintf("its users accept up to %s %%", put(row.Limit))
}

func sentence(parts ...string) string {
	var full []string
	for _, p := range parts {
		if p != "" {
			full = append(full, p)
		}
	}
	return strings.Join(full, "; ")
}

var symbol = procedures.Pattern(`\b(?:Si|Mn|Cr|Mo|Ni|Cu|Nb|C|V|B|F)\b`)

// putIn writes the elements' numbers into a formula. F is the factor of Z662 at 1.
func putIn(formula string, c steel.Composition) string {
	return symbol().ReplaceAllStringFunc(formula, func(s string) string {
		for _, e := range elements {
			if e.symbol == s {
				return put(*e.of(&c))
			}
		}
		return "1"
	})
}

// grade answers with the practical group, and with the standard's own cap where
// there is no sheet.
func (r *reckoning) grade(s steel.Sample) error {
	g, why, err := steel.GroupOf(s)
	if err != nil {
		return err
	}
	v := arc.Value{Basis: s.Steel.Basis, Source: s.Steel.Source, Note: s.Steel.Note}
	for _, row := range data.WeldabilityGroups() {
		if row.Group == string(g) {
			why += ": " + row.Meaning
			v.Basis, v.Source = arc.Weakest(v.Basis, row.Basis), arc.Together(v.Source, row.Source)
		}
	}
	if s.Sheet == nil && s.Steel.CEHigh > 0 {
		low, text := s.Steel.CELow, num(s.Steel.CELow)+" to "+num(s.Steel.CEHigh)+" %"
		if low == 0 {
			text = "at most " + num(s.Steel.CEHigh) + " %"
		}
		f := r.words("carbon equivalent, "+s.Steel.CEFormula, text, arc.Value{Unit: "%", Basis: s.Steel.Basis, Source: s.Steel.Source, Note: s.Steel.Note}, "")
		f.High = &s.Steel.CEHigh
		if low > 0 {
			f.Low = &low
		}
	}
	r.words("practical weldability group", string(g)+", "+why, v, "").given = g != steel.Unknown
	if s.Sheet == nil {
		r.uncovered(maximaWords(s.Steel), "your piece of steel: only its mill sheet or a coupon tells")
	}
	switch g {
	case steel.III, steel.Out, steel.Unknown:
		r.caution(caution.Stop, "steel", "No settings come for such a steel from this notebook's tables: identify it, try a coupon of the same piece, or take it to a licensed trade.", "CP")
	}
	return nil
}

// maximaWords says why printed maxima are not summed, and what the sum would be where
// the grade's own standard stops it short of that.
func maximaWords(s data.Steel) string {
	const why = "printed maxima are not summed: they are ceilings for single elements and no heat of steel reaches all at once"
	ce, err := steel.Composition{C: s.CMax, Mn: s.MnMax, Si: s.SiMax, Cr: s.CrMax, Mo: s.MoMax, Ni: s.NiMax, Cu: s.CuMax, V: s.VMax}.CE(steel.IIW)
	if err != nil || s.CEHigh == 0 || s.CEFormula != string(steel.IIW) || ce.Value <= s.CEHigh {
		return why
	}
	return why + fmt.Sprintf(". Those of %s would come to %.2f %%, while its standard stops the whole at %.2f %%", s.Name, ce.Value, s.CEHigh)
}
