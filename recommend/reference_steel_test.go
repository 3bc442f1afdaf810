package recommend_test

import (
	"errors"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/steel"
)

func sheet(in *inputs) steel.Composition {
	return steel.Composition{C: in.or("C", 0), Si: in.or("Si", 0), Mn: in.or("Mn", 0), P: in.or("P", 0), S: in.or("S", 0), Cr: in.or("Cr", 0),
		Mo: in.or("Mo", 0), Ni: in.or("Ni", 0), Cu: in.or("Cu", 0), V: in.or("V", 0), Nb: in.or("Nb", 0), Ti: in.or("Ti", 0), B: in.or("B", 0)}
}

func equivalent(f steel.Formula) func(in *inputs) any {
	return func(in *inputs) any { return value(in)(sheet(in).CE(f)).Value }
}

func grade(in *inputs, name string) data.Steel { return must[data.Steel](in)(steel.Find(in.s(name))) }

// d11 looks up a preheat by category, or by steel where one is named.
func d11(in *inputs) steel.Preheat {
	category := in.any("category").(string)
	if in.has("steel") {
		s := grade(in, "steel")
		if got := must[string](in)(steel.D11Category(s, category != "A")); got != category {
			in.t.Errorf("%s is category %s", s.Name, got)
		}
	}
	return must[steel.Preheat](in)(steel.D11Preheat(category, inMM(in.f("thickness_in"))))
}

func heatFlow(in *inputs) steel.HeatFlow {
	return steel.HeatFlow{CET: in.f("CET"), Thickness: procedures.MM(in.f("d_mm")), Hydrogen: in.f("HD_ml_per_100g"), HeatInput: arc.KJPerMM(in.f("Q_kJ_per_mm"))}
}

func init() {
	teach(map[string]func(in *inputs) any{
		"CE_IIW":              equivalent(steel.IIW),
		"CE_AWS":              equivalent(steel.AWS),
		"Pcm":                 equivalent(steel.Pcm),
		"CET":                 equivalent(steel.CET),
		"CE_A706":             equivalent(steel.A706),
		"CE_C_plus_Mn_over_4": equivalent(steel.Pipe),
		"CE_CSA_Z662": func(in *inputs) any {
			return must[float64](in)(sheet(in).Z662(in.f("F")))
		},
		"preheat_D11_annex_group": func(in *inputs) any {
			_, group, err := steel.Susceptibility(in.f("Pcm_less_than"), in.s("hydrogen"))
			return must[string](in)(group, err)
		},
		"preheat_D11_annex_degF": func(in *inputs) any {
			return must[steel.Preheat](in)(steel.AnnexPreheat(in.s("restraint"), inMM(in.f("thickness_in")), in.s("group"))).F
		},
		"preheat_D11_table":          func(in *inputs) any { return d11(in).F },
		"preheat_D11_table_boundary": func(in *inputs) any { return d11(in).F },
		"preheat_D11_degC":           func(in *inputs) any { return d11(in).C },
		"preheat_D11_category": func(in *inputs) any {
			category, err := steel.D11Category(grade(in, "steel"), in.s("hydrogen") == "low")
			if none := new(arc.NoTableError); errors.As(err, &none) {
				return "none"
			}
			return must[string](in)(category, err)
		},
		"preheat_rebar_degF": func(in *inputs) any { return value(in)(steel.RebarPreheat(in.f("CE"), int(in.f("bar")))).Value },
		"preheat_EN1011_2_method_B": func(in *inputs) any {
			return value(in)(steel.MethodB(heatFlow(in))).Value
		},
		"preheat_EN1011_2_sum_of_parts": func(in *inputs) any {
			p := must[steel.Parts](in)(steel.MethodBParts(heatFlow(in)))
			return p.CET + p.Thickness + p.Hydrogen + p.HeatInput
		},
		"method_B_refused": func(in *inputs) any {
			_, err := steel.MethodB(heatFlow(in))
			outside := new(arc.RangeError)
			if !errors.As(err, &outside) {
				in.t.Fatalf("not refused: %v", err)
			}
			return "outside " + strings.TrimSuffix(outside.Quantity, " for method B")
		},
		"method_B_CET":   func(in *inputs) any { return must[float64](in)(steel.MethodBCET(in.f("plate"), in.f("weld"))) },
		"hydrogen_scale": func(in *inputs) any { return must[string](in)(steel.HydrogenScale(in.f("ml_per_100g"))) },
		"cooling_time": func(in *inputs) any {
			return value(in)(steel.CoolingTime(steel.Cooling{Preheat: in.f("T0_C"), HeatInput: arc.KJPerMM(in.f("Q_kJ_per_mm")),
				Thickness: procedures.MM(in.f("d_mm")), ThinShape: 1, ThickShape: 1})).Value
		},
		"steel_find": func(in *inputs) any { return grade(in, "name").Key },
		"steel_group": func(in *inputs) any {
			g, _, err := steel.GroupOf(steel.Sample{Steel: grade(in, "steel")})
			return string(must[steel.Group](in)(g, err))
		},
		"group_by_CE": func(in *inputs) any {
			g, _, err := steel.GroupByCE(in.f("CE"))
			return string(must[steel.Group](in)(g, err))
		},
		"steel_compare": func(in *inputs) any {
			like := must[steel.Likeness](in)(steel.Compare(steel.Sample{Steel: grade(in, "a")}, steel.Sample{Steel: grade(in, "b")}))
			if like.Why == "" {
				in.t.Error("no reason given")
			}
			if like.Alike {
				return "alike"
			}
			return "not alike"
		},
	})
}
