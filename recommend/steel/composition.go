package steel

import (
	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Composition is a mill sheet: elements in per cent by weight, 0 where not given.
type Composition struct {
	C, Si, Mn, P, S, Cr, Mo, Ni, Cu, V, Nb, Ti, B float64
}

// Validate reports the first element that no weldable or unweldable steel holds:
// carbon must be given and no more than 2.2 %. Error: [*procedures.InvalidError].
func (c Composition) Validate() error {
	if c.C == 0 {
		return procedures.Invalid("C", "", "a mill sheet gives the carbon", "accepted: 0.01 to 2.2 %")
	}
	for _, e := range []struct {
		name      string
		v, lo, hi float64
	}{
		{"C", c.C, 0.001, 2.2}, {"Si", c.Si, 0, 5}, {"Mn", c.Mn, 0, 15}, {"P", c.P, 0, 0.2}, {"S", c.S, 0, 0.4},
		{"Cr", c.Cr, 0, 30}, {"Mo", c.Mo, 0, 10}, {"Ni", c.Ni, 0, 40}, {"Cu", c.Cu, 0, 5}, {"V", c.V, 0, 5},
		{"Nb", c.Nb, 0, 2}, {"Ti", c.Ti, 0, 2}, {"B", c.B, 0, 0.1},
	} {
		if err := arc.Within(e.name, e.v, e.lo, e.hi, "%"); err != nil {
			return err
		}
	}
	return nil
}

// Formula names a carbon equivalent; the values are keys of [data.CarbonEquivalents].
type Formula string

const (
	IIW  Formula = "IIW"  // general; EN 10025 calls it CEV
	AWS  Formula = "AWS"  // D1.1 annex, hardness control: IIW with Si/6
	Pcm  Formula = "Pcm"  // low-carbon steel; D1.1 annex, hydrogen control
	CET  Formula = "CET"  // EN 1011-2 method B
	A706 Formula = "A706" // weldable reinforcing bar
	D14  Formula = "D1.4" // other reinforcing bar
	Z662 Formula = "Z662" // pipelines, with its factor 1; see [Composition.Z662]
	Pipe Formula = "pipe" // C + Mn/4: another formula altogether
)

var formulas = map[Formula]func(c Composition) float64{
	IIW: func(c Composition) float64 { return c.C + c.Mn/6 + (c.Cr+c.Mo+c.V)/5 + (c.Ni+c.Cu)/15 },
	AWS: func(c Composition) float64 { return c.C + (c.Mn+c.Si)/6 + (c.Cr+c.Mo+c.V)/5 + (c.Ni+c.Cu)/15 },
	Pcm: func(c Composition) float64 {
		return c.C + c.Si/30 + (c.Mn+c.Cu+c.Cr)/20 + c.Ni/60 + c.Mo/15 + c.V/10 + 5*c.B
	},
	CET:  func(c Composition) float64 { return c.C + (c.Mn+c.Mo)/10 + (c.Cr+c.Cu)/20 + c.Ni/40 },
	A706: func(c Composition) float64 { return c.C + c.Mn/6 + c.Cu/40 + c.Ni/20 + c.Cr/10 - c.Mo/50 - c.V/10 },
	D14:  func(c Composition) float64 { return c.C + c.Mn/6 },
	Z662: func(c Composition) float64 { return c.z662(1) },
	Pipe: func(c Composition) float64 { return c.C + c.Mn/4 },
}

// CE returns a carbon equivalent in per cent by weight. The Note says where the
// formula holds, and that the mill sheet lies outside it where it does.
// Errors: [*procedures.InvalidError] for a bad mill sheet or an unknown formula.
func (c Composition) CE(f Formula) (arc.Value, error) {
	if err := c.Validate(); err != nil {
		return arc.Value{}, err
	}
	for _, r := range data.CarbonEquivalents() {
		if sum, ok := formulas[f]; ok && r.Key == string(f) {
			v := sum(c)
			out := arc.Value{Value: v, Low: v, High: v, Unit: "%", Basis: r.Basis, Source: r.Source, Note: r.Note}
			if !c.inside(f) {
				out.Note = "outside the range of the formula: " + r.Valid
			}
			return out, nil
		}
	}
	return arc.Value{}, procedures.Invalid("formula", string(f), "not a carbon equivalent known here", "accepted: IIW, AWS, Pcm, CET, A706, D1.4, Z662, pipe")
}

// inside reports whether the mill sheet lies in the printed range of a formula.
// Elements that are not given count as inside. Source: EN 1011-2, from memory.
func (c Composition) inside(f Formula) bool {
	switch f {
	case IIW:
		return c.C >= 0.05 && c.C <= 0.25 && c.Si <= 0.8 && c.Mn <= 1.7 && c.Cr <= 0.9 && c.Cu <= 1 && c.Ni <= 2.5 && c.Mo <= 0.75 && c.V <= 0.2
	case CET:
		return c.C >= 0.05 && c.C <= 0.32 && c.Si <= 0.8 && (c.Mn == 0 || c.Mn >= 0.5 && c.Mn <= 1.9) && c.Cr <= 1.5 && c.Cu <= 0.7 && c.Mo <= 0.75 &&
			c.Nb <= 0.06 && c.Ni <= 2.5 && c.Ti <= 0.12 && c.V <= 0.18 && c.B <= 0.005
	case Pcm:
		return c.C <= 0.17
	}
	return true
}

func (c Composition) z662(factor float64) float64 {
	return c.C + factor*(c.Mn/6+c.Si/24+c.Cu/15+c.Ni/20+(c.Cr+c.Mo+c.V+c.Nb)/5+5*c.B)
}

// Z662 returns the carbon equivalent of CSA Z662 with its compliance factor,
// which depends on carbon: 1 from about 0.22 % on. Range: factor 0.5 to 1.
func (c Composition) Z662(factor float64) (float64, error) {
	if err := arc.Within("compliance factor", factor, 0.5, 1, ""); err != nil {
		return 0, err
	}
	return c.z662(factor), c.Validate()
}
