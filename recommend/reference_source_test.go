package recommend_test

import (
	"fmt"
	"math"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

func rating(in *inputs) source.Rating {
	return source.Rating{Current: procedures.Amps(in.f("rated_A")), Duty: procedures.Percent(in.f("rated_duty_pct"))}
}

func bankOf(in *inputs) source.Bank {
	b := source.Bank{Farads: in.f("C_F"), Count: int(in.or("count", 1))}
	for _, name := range []string{"V0", "V"} {
		if in.has(name) && b.Volts == 0 {
			b.Volts = procedures.Volts(in.f(name))
		}
	}
	return b
}

func seconds(in *inputs) func(v procedures.Seconds, err error) float64 {
	return func(v procedures.Seconds, err error) float64 { return float64(must[procedures.Seconds](in)(v, err)) }
}

func volts(in *inputs) func(v procedures.Volts, err error) float64 {
	return func(v procedures.Volts, err error) float64 { return float64(must[procedures.Volts](in)(v, err)) }
}

func process(in *inputs) procedures.Process {
	return map[string]procedures.Process{"FCAW": procedures.FCAWS, "SMAW": procedures.SMAW, "GTAW": "141"}[in.s("process")]
}

func eyes(in *inputs) source.Eyes {
	return must[source.Eyes](in)(source.Shade(process(in), procedures.Amps(in.f("amps"))))
}

func bridge(in *inputs) source.Rectified {
	return must[source.Rectified](in)(source.Bridge(procedures.Volts(in.f("rms_V")), procedures.Volts(in.f("diode_drop_V"))))
}

func bridgeHeat(in *inputs) source.Heat {
	return must[source.Heat](in)(source.BridgeHeat(procedures.Amps(in.f("Idc_A")), procedures.Volts(in.f("Vf_V")), int(in.f("diodes_in_series")), procedures.Percent(100*in.or("duty", 1))))
}

// openCircuit says whether a voltage passes the rules that match.
func openCircuit(in *inputs, standard, use string) any {
	found, over := 0, false
	v, kind := procedures.Volts(in.f("V")), source.Waveform(in.s("kind"))
	for _, l := range must[[]source.OpenCircuit](in)(source.OpenCircuitLimits(v, kind)) {
		if strings.HasPrefix(l.Standard, standard) && l.Use == use {
			found++
			over = over || l.Over
		}
	}
	switch {
	case found == 0:
		return "no rule"
	case over:
		return "fail"
	}
	return "pass"
}

func residual(in *inputs, standard string) source.Residual {
	b := source.Bank{Farads: in.or("C_F", 0.1), Volts: procedures.Volts(in.f("V0"))}
	for _, r := range must[[]source.Residual](in)(source.ResidualRules(b, in.f("R_ohm"))) {
		if strings.HasPrefix(r.Standard, standard) {
			return r
		}
	}
	in.t.Fatalf("no rule of %s", standard)
	return source.Residual{}
}

func passIf(ok bool) string {
	if ok {
		return "pass"
	}
	return "fail"
}

func lead(in *inputs) source.LeadLoss {
	return must[source.LeadLoss](in)(source.LeadDrop(int(in.f("AWG")), procedures.MM(in.or("total_ft", 20)*footMM), procedures.Amps(in.f("amps"))))
}

func init() {
	teach(map[string]func(in *inputs) any{
		"duty_current_at_new_duty": func(in *inputs) any {
			return value(in)(source.CurrentAt(rating(in), procedures.Percent(in.f("new_duty_pct")))).Value
		},
		"current_for_100pct": func(in *inputs) any { return value(in)(source.CurrentAt(rating(in), 100)).Value },
		"duty_pct_at_new_current": func(in *inputs) any {
			return value(in)(source.DutyAt(rating(in), procedures.Amps(in.f("new_A")))).Value
		},
		"duty_arc_minutes": func(in *inputs) any {
			in.given("period_min", float64(source.Period)/60)
			return seconds(in)(source.ArcSeconds(procedures.Percent(in.f("rated_duty_pct")))) / 60
		},
		"rest_after_s": func(in *inputs) any {
			return seconds(in)(source.RestAfter(procedures.Seconds(in.f("arc_s")), procedures.Percent(in.f("duty_pct"))))
		},
		"nec_630_multiplier": func(in *inputs) any {
			return value(in)(source.Multiplier(procedures.Percent(in.f("duty_pct")), in.s("type") == "motor")).Value
		},
		"nec_630_conductor_A": func(in *inputs) any {
			return value(in)(source.SupplyConductor(procedures.Amps(in.f("primary_A")), procedures.Percent(in.f("duty_pct")), in.s("type") == "motor")).Value
		},
		"nec_630_group_A": func(in *inputs) any {
			var all []source.Welder
			for _, row := range in.any("welders").([]any) {
				w := row.([]any)
				all = append(all, source.Welder{Primary: procedures.Amps(w[0].(float64)), Duty: procedures.Percent(w[1].(float64)), MotorGenerator: w[2] == "motor", Count: int(w[3].(float64))})
			}
			return value(in)(source.Group(all)).Value
		},
		"nec_630_ocpd_max_A": func(in *inputs) any { return value(in)(source.Overcurrent(procedures.Amps(in.f("I1max_A")))).Value },
		"next_breaker":       func(in *inputs) any { return value(in)(source.NextBreaker(procedures.Amps(in.f("rating_A")))).Value },
		"receptacle_load":    func(in *inputs) any { return value(in)(source.ReceptacleLoad(in.s("NEMA"))).Value },
		"I1eff_A": func(in *inputs) any {
			return value(in)(source.EffectiveCurrent(procedures.Amps(in.f("I1_A")), procedures.Amps(in.f("I0_A")), procedures.Percent(100*in.f("duty")))).Value
		},
		"voltage_drop_V": func(in *inputs) any {
			ft, ohm, amps := in.f("one_way_ft"), in.f("ohm_per_kft"), procedures.Amps(in.f("amps"))
			v := volts(in)(source.Drop(procedures.MM(ft*footMM), ohm, amps))
			if in.has("AWG") { // the cord's own table must say the same
				loss := must[source.CordLoss](in)(source.CordDrop(procedures.Cord{AWG: int(in.f("AWG")), Length: procedures.MM(ft * footMM)}, amps, procedures.Volts(in.f("supply_V")), 18))
				if math.Abs(loss.Drop.Value-v) > 1e-9 {
					in.t.Errorf("cord loses %v V", loss.Drop.Value)
				}
			}
			return v
		},
		"cord_drop_V": func(in *inputs) any {
			cord := procedures.Cord{AWG: int(in.f("AWG")), Length: procedures.MM(in.f("one_way_ft") * footMM)}
			return must[source.CordLoss](in)(source.CordDrop(cord, procedures.Amps(in.f("amps")), 120, 18)).Drop.Value
		},
		"voltage_drop_pct": func(in *inputs) any {
			return float64(must[procedures.Percent](in)(source.DropPercent(procedures.Volts(in.f("drop_V")), procedures.Volts(in.f("supply_V")))))
		},
		"cord_ampacity": func(in *inputs) any {
			return value(in)(source.CordAmpacity(int(in.f("AWG")), int(in.f("conductors")))).Value
		},
		"welding_cable_drop_V": func(in *inputs) any {
			loss := lead(in)
			direct := volts(in)(source.Drop(procedures.MM(in.f("total_ft")*footMM), in.f("ohm_per_kft"), procedures.Amps(in.f("amps")))) / 2
			if math.Abs(loss.Drop.Value-direct) > 1e-9 {
				in.t.Errorf("by the given resistance %v V", direct)
			}
			return loss.Drop.Value
		},
		"welding_cable_cmil_per_A": func(in *inputs) any {
			in.given("cmil", 41740)
			return lead(in).MilsPerAmp
		},
		"welding_cable_cmil_rule": func(in *inputs) any { return passIf(lead(in).Caution == "") },
		"welding_cable_4V_rule":   func(in *inputs) any { return passIf(!strings.Contains(lead(in).Caution, "most to lose")) },
		"welding_cable_lookup": func(in *inputs) any {
			// Every duty cycle inside the printed band must give the printed size.
			duties := map[string][]procedures.Percent{"10-100 %": {10, 35, 59, 60, 100}, "10-60 %": {10, 20, 59}, "60-100 %": {60, 80, 100}}[in.s("duty")]
			var size string
			for _, d := range duties {
				l := must[source.Lead](in)(source.LeadSize(procedures.Amps(in.f("amps")), procedures.MM(in.f("total_ft")*footMM), d))
				s := l.AWG
				if l.Parallel > 1 {
					s = fmt.Sprintf("%dx%s", l.Parallel, l.AWG)
				}
				if size != "" && s != size {
					in.t.Errorf("%s at %v %%, %s before", s, d, size)
				}
				size = s
			}
			return size
		},
		"sine_peak_V":         func(in *inputs) any { return volts(in)(source.PeakOf(procedures.Volts(in.f("rms_V")))) },
		"half_wave_average_V": func(in *inputs) any { return volts(in)(source.HalfWave(procedures.Volts(in.f("rms_V")))) },
		"rectifier_factor": func(in *inputs) any {
			of := map[string]procedures.Volts{"peak": 1 / math.Sqrt2, "rms": 1}[in.s("of")] * 100
			if in.s("kind") == "half" {
				return volts(in)(source.HalfWave(of)) / 100
			}
			return float64(must[source.Rectified](in)(source.Bridge(of, 0)).Mean) / 100
		},
		"bridge_unfiltered_average_V": func(in *inputs) any { return float64(bridge(in).Mean) },
		"bridge_mean":                 func(in *inputs) any { return float64(bridge(in).Mean) },
		"bridge_no_load_capacitor_V":  func(in *inputs) any { return float64(bridge(in).NoLoad) },
		"ripple_pp_V": func(in *inputs) any {
			return must[source.Smoothing](in)(source.Ripple(procedures.Amps(in.f("load_A")), in.f("mains_Hz"), in.f("C_F"), 60)).Ripple.Value
		},
		"ripple_between": func(in *inputs) any {
			s := must[source.Smoothing](in)(source.Ripple(procedures.Amps(in.f("load_A")), in.f("mains_Hz"), in.f("C_F"), procedures.Volts(in.f("peak_V"))))
			if !s.Small {
				in.t.Error("the ripple is not small")
			}
			return within{s.Ripple.Low, s.Ripple.High}
		},
		"rectifier_heat_W":         func(in *inputs) any { return bridgeHeat(in).ArcOn },
		"rectifier_heat_average_W": func(in *inputs) any { return bridgeHeat(in).Mean },
		"rc_time_constant_s": func(in *inputs) any {
			return seconds(in)(source.Bank{Farads: in.f("C_F"), Volts: 10}.TimeConstant(in.f("R_ohm")))
		},
		"capacitor_charge_uC": func(in *inputs) any { return 1e6 * must[float64](in)(bankOf(in).Charge()) },
		"stored_energy_J":     func(in *inputs) any { return must[float64](in)(bankOf(in).Energy()) },
		"rc_voltage_after_one_tau": func(in *inputs) any {
			return volts(in)(bankOf(in).VoltageAfter(in.f("R_ohm"), procedures.Seconds(in.f("t_s"))))
		},
		"bank_voltage": func(in *inputs) any {
			return volts(in)(bankOf(in).VoltageAfter(in.f("R_ohm"), procedures.Seconds(in.f("t_s"))))
		},
		"rc_discharge_time_s":  bleed,
		"bleed_bank_s":         bleed,
		"bank_time":            bleed,
		"bleeder_ohm_for_time": bleedOhms,
		"bank_ohms":            bleedOhms,
		"bleeder_power_W": func(in *inputs) any {
			return must[source.Bleeder](in)(source.Bank{Farads: 0.1, Volts: procedures.Volts(in.f("V"))}.BleederLoad(in.f("R_ohm"))).Watts
		},
		"bleeder_current_A": func(in *inputs) any {
			return must[source.Bleeder](in)(source.Bank{Farads: 0.1, Volts: procedures.Volts(in.f("V"))}.BleederLoad(in.f("R_ohm"))).Amps
		},
		"discharge_rule_check": func(in *inputs) any {
			if r := residual(in, in.s("standard")); r.Already && r.VoltageV == 60 {
				return "no action required by the 60 V rule"
			}
			return "action required"
		},
		"residual_rule": func(in *inputs) any {
			r := residual(in, in.s("standard"))
			switch {
			case r.Already:
				return "no action"
			case r.Kept:
				return "kept"
			}
			return "not kept"
		},
		"body_rise": func(in *inputs) any {
			b := source.Body{Steady: in.f("steady_K"), Tau: procedures.Seconds(in.f("tau_s"))}
			return must[float64](in)(b.RiseAfter(in.f("from_K"), procedures.Seconds(in.f("t_s"))))
		},
		"body_peak": func(in *inputs) any {
			b := source.Body{Steady: in.f("steady_K"), Tau: procedures.Seconds(in.f("tau_s"))}
			return must[float64](in)(b.PeakInCycle(procedures.Percent(in.f("duty_pct"))))
		},
		"eye_shade_min_OSHA":  func(in *inputs) any { return float64(eyes(in).Minimum) },
		"eye_shade_suggested": func(in *inputs) any { return float64(eyes(in).Suggested) },
		"ventilation_needed": func(in *inputs) any {
			a := must[source.Air](in)(source.Ventilation(in.f("room_ft3")*footMM*footMM*footMM/1e9, in.f("ceiling_ft")*footMM/1000, 1, false))
			if !a.Needed {
				return "no"
			}
			return fmt.Sprintf("yes, %.0f cfm per welder", a.Flow.Value/(0.3048*0.3048*0.3048))
		},
		"ocv_check": func(in *inputs) any { return openCircuit(in, "OSHA", in.s("process")) },
		"ocv_iec":   func(in *inputs) any { return openCircuit(in, "IEC 60974-1", in.s("use")) },
	})
}

func bleed(in *inputs) any {
	b := source.Bank{Farads: in.f("C_F"), Count: int(in.or("count", 1)), Volts: procedures.Volts(in.f("V0"))}
	return seconds(in)(b.BleedTime(in.f("R_ohm"), procedures.Volts(in.f("V"))))
}

func bleedOhms(in *inputs) any {
	b := source.Bank{Farads: in.f("C_F"), Count: int(in.or("count", 1)), Volts: procedures.Volts(in.f("V0"))}
	return must[float64](in)(b.BleedOhms(procedures.Volts(in.f("V")), procedures.Seconds(in.f("t_s"))))
}
