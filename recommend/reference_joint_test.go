package recommend_test

import (
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/joint"
)

const (
	footMM  = 304.8
	newton  = 4.4482216152605 // in a pound-force
	lbPerFt = kgPerLb * 1000 / 0.3048
)

// weight returns lb/ft of weld metal.
func weight(in *inputs, area arc.MM2, err error) float64 {
	in.given("density_lb_per_in3", 0.283)
	return must[float64](in)(joint.MassPerMetre(must[arc.MM2](in)(area, err))) / lbPerFt
}

func inches(in *inputs, v arc.Value, err error) float64 {
	return procedures.MM(value(in)(v, err).Value).Inches()
}

func positionOf(in *inputs) procedures.Position {
	p := procedures.Position(in.s("position"))
	if p == "vertical" {
		p = procedures.VerticalUp
	}
	return p
}

// oversized returns the area of a fillet whose legs are drawn larger than asked.
func oversized(in *inputs) arc.MM2 {
	return must[arc.MM2](in)(joint.FilletArea(inMM(in.f("leg_in") * in.f("oversize_factor"))))
}

func outcome(v joint.Verdict) string {
	switch {
	case v.Pass:
		return "pass"
	case v.Again:
		return "again"
	}
	return "fail"
}

func pores(in *inputs, name, within string, per float64) []joint.Pore {
	list := in.any(name).([]any)
	var out []joint.Pore
	for k, d := range list { // spread over the length that they were counted in
		at := in.f(within) * per * float64(k) / float64(len(list))
		out = append(out, joint.Pore{At: procedures.MM(at), Diameter: procedures.MM(d.(float64) * per)})
	}
	return out
}

func isoLimit(in *inputs, number string, w procedures.WeldType, t, size float64) joint.Limit {
	return must[joint.Limit](in)(joint.Imperfection(number, w, in.s("level"), procedures.MM(t), procedures.MM(size)))
}

func weldOf(in *inputs) procedures.WeldType {
	if in.s("weld") == "fillet" {
		return procedures.Fillet
	}
	return procedures.VGroove
}

func init() {
	teach(map[string]func(in *inputs) any{
		"fillet_weight_lb_per_ft": func(in *inputs) any {
			a, err := joint.FilletArea(inMM(in.f("leg_in")))
			return weight(in, a, err)
		},
		"fillet_area_in2": func(in *inputs) any { return oversized(in).SquareInches() },
		"weld_volume_in3": func(in *inputs) any { return oversized(in).SquareInches() * in.f("length_in") },
		"weld_weight_lb": func(in *inputs) any {
			in.given("density_lb_per_in3", 0.283)
			return must[float64](in)(joint.Mass(oversized(in), inMM(in.f("length_in")))) / 1000 / kgPerLb
		},
		"electrode_needed_lb_per_ft": func(in *inputs) any {
			grams := in.f("deposit_lb_per_ft") * kgPerLb * 1000
			return must[float64](in)(joint.WireNeeded(grams, procedures.Percent(100*in.f("efficiency")))) / kgPerLb / 1000
		},
		"groove_triangle_lb_per_ft": func(in *inputs) any {
			a, err := joint.BevelArea(inMM(in.f("depth_in")), in.f("bevel_angle_deg"))
			return weight(in, a, err)
		},
		"groove_rectangle_lb_per_ft": func(in *inputs) any {
			a, err := joint.SquareArea(inMM(in.f("thickness_in")), inMM(in.f("root_gap_in")))
			return weight(in, a, err)
		},
		"reinforcement_lb_per_ft": func(in *inputs) any {
			a, err := joint.CapArea(inMM(in.f("cap_width_in")), inMM(in.f("height_in")))
			return weight(in, a, err)
		},
		"groove_total_lb_per_ft": func(in *inputs) any {
			v := joint.VGroove{Thickness: inMM(in.f("thickness_in")), Gap: inMM(in.f("root_gap_in")), Included: in.f("included_angle_deg"),
				CapWidth: inMM(in.f("cap_width_in")), CapHeight: inMM(in.f("cap_height_in"))}
			a, err := v.Area()
			return weight(in, a, err)
		},
		"deposit_per_paid_hour": func(in *inputs) any {
			return must[float64](in)(joint.DepositPerHour(in.f("deposition_rate_lb_per_h")*kgPerLb, procedures.Percent(100*in.f("operating_factor")))) / kgPerLb
		},
		"labour_per_lb": func(in *inputs) any {
			return kgPerLb * must[float64](in)(joint.LabourPerKg(in.f("labour_per_h"), in.f("deposition_rate_lb_per_h")*kgPerLb, procedures.Percent(100*in.f("operating_factor"))))
		},
		"electrode_per_lb": func(in *inputs) any {
			return must[float64](in)(joint.ElectrodePerKg(in.f("price_per_lb"), procedures.Percent(100*in.f("efficiency"))))
		},
		"arc_time_min": func(in *inputs) any {
			a := must[arc.MM2](in)(joint.FilletArea(inMM(in.f("leg_in"))))
			g := must[float64](in)(joint.Mass(a, inMM(in.f("length_in"))))
			return float64(must[procedures.Seconds](in)(joint.ArcTime(g, in.f("deposition_rate_lb_per_h")*kgPerLb))) / 60
		},
		"fillet_throat_in": func(in *inputs) any {
			return must[procedures.MM](in)(joint.Throat(inMM(in.f("leg_in")))).Inches()
		},
		"fillet_throat_unequal_in": func(in *inputs) any {
			return must[procedures.MM](in)(joint.ThroatUnequal(inMM(in.f("leg1_in")), inMM(in.f("leg2_in")))).Inches()
		},
		"fillet_allowable_shear_lb_per_in": func(in *inputs) any {
			in.given("factor", 0.30)
			return value(in)(joint.FilletShear(inMM(in.f("leg_in")), in.f("FEXX_psi")/1000)).Value / newton * 25.4
		},
		"butt_weld_load_lb": func(in *inputs) any {
			mpa := in.f("allowable_psi") * newton / (25.4 * 25.4)
			return value(in)(joint.ButtLoad(mpa, inMM(in.f("thickness_in")), inMM(in.f("length_in")), procedures.Percent(100*in.f("efficiency")))).Value / newton
		},
		"min_fillet_leg": func(in *inputs) any {
			v, err := joint.MinFillet(inMM(in.f("thinner_part_in")), joint.Static)
			return inches(in, v, err)
		},
		"min_fillet_leg_cyclic": func(in *inputs) any {
			v, err := joint.MinFillet(inMM(in.f("thinner_part_in")), joint.Cyclic)
			return inches(in, v, err)
		},
		"max_fillet_along_edge": func(in *inputs) any {
			v, err := joint.MaxFilletAlongEdge(inMM(in.f("edge_in")))
			return inches(in, v, err)
		},
		"min_fillet_length": func(in *inputs) any {
			v, err := joint.MinFilletLength(inMM(in.f("leg_in")), in.yes("intermittent"))
			return inches(in, v, err)
		},
		"d11_fcaw_max_single_pass_fillet": func(in *inputs) any {
			v, err := joint.MaxSinglePass(positionOf(in))
			return inches(in, v, err)
		},
		"d11_fcaw_max_root_pass": func(in *inputs) any {
			v, err := joint.MaxRootPass(positionOf(in))
			return inches(in, v, err)
		},
		"d11_fcaw_max_fill_pass": func(in *inputs) any {
			v, err := joint.MaxFillPass()
			return inches(in, v, err)
		},
		"convexity_limit": func(in *inputs) any {
			v, err := joint.ConvexityLimit(inMM(in.f("face_width_in")))
			return inches(in, v, err)
		},
		"fillet_passes": func(in *inputs) any {
			most := value(in)(joint.MaxSinglePass(positionOf(in))).Value
			return float64(must[procedures.Count](in)(joint.FilletPasses(inMM(in.f("leg_in")), procedures.MM(most))))
		},
		"groove_passes": func(in *inputs) any {
			return float64(must[procedures.Count](in)(joint.GroovePasses(inMM(in.f("thickness_in")), positionOf(in))))
		},
		"undersize_allowed_in": func(in *inputs) any {
			v, err := joint.UndersizeAllowed(inMM(in.f("nominal_leg_in")))
			return inches(in, v, err)
		},
		"undercut_limit_in": func(in *inputs) any {
			across := in.has("across") && in.yes("across")
			v, err := joint.UndercutLimit(inMM(in.f("thickness_in")), joint.Loading(in.s("loading")), across)
			return inches(in, v, err)
		},
		"porosity_sum_limit_in": func(in *inputs) any {
			// The largest sum that passes, found from outside: equal pores spread over the length.
			spread := map[string]float64{"1 in": 1, "12 in": 12}[in.s("per")]
			low, high := 0.0, 2.0
			for range 40 {
				sum := (low + high) / 2
				var row []joint.Pore
				for k := range 12 {
					row = append(row, joint.Pore{At: inMM(spread * float64(k) / 12), Diameter: inMM(sum / 12)})
				}
				if must[joint.Verdict](in)(joint.Porosity(row, procedures.US)).Pass {
					low = sum
				} else {
					high = sum
				}
			}
			return math.Round(low*1e6) / 1e6
		},
		"porosity_pass": func(in *inputs) any {
			return outcome(must[joint.Verdict](in)(joint.Porosity(pores(in, "pores_in", "within_in", 25.4), procedures.US)))
		},
		"porosity_pass_metric": func(in *inputs) any {
			return outcome(must[joint.Verdict](in)(joint.Porosity(pores(in, "pores_mm", "within_mm", 1), procedures.Metric)))
		},
		"bend_test": func(in *inputs) any {
			return outcome(must[joint.Verdict](in)(joint.BendTest(joint.Bend{Largest: inMM(in.f("largest_opening_in")), Sum: inMM(in.f("sum_in"))})))
		},
		"bend_corner": func(in *inputs) any {
			return outcome(must[joint.Verdict](in)(joint.BendTest(joint.Bend{Corner: inMM(in.f("corner_in")), CornerFromFlaw: in.yes("from_flaw")})))
		},
		"fillet_break_test": func(in *inputs) any {
			return outcome(must[joint.Verdict](in)(joint.FilletBreak(joint.Break{Broke: in.yes("broke"), RootFused: in.yes("root_fused"),
				Largest: inMM(in.f("largest_in")), Sum: inMM(in.f("sum_in"))})))
		},
		"iso5817_excess_weld_metal_limit_mm": func(in *inputs) any {
			return isoLimit(in, "502", procedures.VGroove, 6, in.f("b_mm")).Value.Value
		},
		"iso5817_convexity_limit_mm": func(in *inputs) any {
			return isoLimit(in, "503", procedures.Fillet, 6, in.f("b_mm")).Value.Value
		},
		"iso5817_undercut_limit_mm": func(in *inputs) any {
			return isoLimit(in, "5011", procedures.Fillet, in.f("t_mm"), 0).Value.Value
		},
		"iso5817_limit_mm": func(in *inputs) any {
			return isoLimit(in, in.s("number"), weldOf(in), in.f("t_mm"), in.f("size_mm")).Value.Value
		},
		"iso5817_rule": func(in *inputs) any { return isoLimit(in, in.s("number"), weldOf(in), in.f("t_mm"), 2).Rule },
		"range_ISO15614_upper": func(in *inputs) any {
			_, high, err := joint.RangeAround(in.f("test_heat_input_kJ_per_mm"), 0, in.f("pct"), 0)
			return must[float64](in)(high, err)
		},
		"wps_range_amps":   func(in *inputs) any { return spanAround(in, "pqr_average_A", 1) },
		"wps_range_volts":  func(in *inputs) any { return spanAround(in, "pqr_average_V", 0) },
		"wps_range_travel": func(in *inputs) any { return spanAround(in, "pqr_in_per_min", 0.1) },
		"procedure_range": func(in *inputs) any {
			v := value(in)(joint.ProcedureRange(in.s("variable"), in.f("value"), in.f("step")))
			return span{v.Low, v.High}
		},
		"gauge_lookup": func(in *inputs) any {
			v, err := joint.SheetThickness(int(in.f("gauge")), in.s("finish") == "galvanized")
			return inches(in, v, err)
		},
		"tube_wall": func(in *inputs) any {
			v, err := joint.TubeWall(int(in.f("gauge")))
			return inches(in, v, err)
		},
		"pipe_sch40_wall": func(in *inputs) any {
			v, err := joint.PipeWall(in.s("NPS"))
			return inches(in, v, err)
		},
		"pipe_outside": func(in *inputs) any {
			v, err := joint.PipeOutside(in.s("NPS"))
			return inches(in, v, err)
		},
		"pipe_weight": func(in *inputs) any {
			nps := in.s("NPS")
			wall, od := value(in)(joint.PipeWall(nps)), value(in)(joint.PipeOutside(nps))
			return must[float64](in)(joint.PipeWeight(procedures.MM(od.Value), procedures.MM(wall.Value))) * 0.3048 / kgPerLb
		},
		"sheet_weight": func(in *inputs) any {
			t := inMM(in.f("thickness_in"))
			if in.has("gauge") {
				v := value(in)(joint.SheetThickness(int(in.f("gauge")), false))
				if math.Abs(v.Value-float64(t)) > 1e-9 {
					in.t.Errorf("gauge gives %v mm", v.Value)
				}
			}
			return must[float64](in)(joint.SheetWeight(t)) * 0.3048 * 0.3048 / kgPerLb
		},
		"process_number": func(in *inputs) any {
			for _, p := range procedures.Processes() {
				if p.Letters() == in.s("aws") {
					return string(p)
				}
			}
			return "none"
		},
		"position_map": func(in *inputs) any {
			asked := in.s("aws")
			w := procedures.Fillet
			if asked[1] == 'G' {
				w = procedures.VGroove
			}
			for _, p := range procedures.Positions() {
				if aws, iso := p.Codes(w); aws == asked {
					for _, r := range data.Positions() { // the table must agree
						if r.ISO == iso {
							return iso
						}
					}
				}
			}
			return "none"
		},
	})
}

func spanAround(in *inputs, name string, step float64) span {
	pct := in.f("pct")
	low, high, err := joint.RangeAround(in.f(name), -pct, pct, step)
	if err != nil {
		in.t.Fatal(fmt.Errorf("%s: %w", name, err))
	}
	return span{low, high}
}
