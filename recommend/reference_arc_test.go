package recommend_test

import (
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

const kgPerLb = 0.45359237

func value(in *inputs) func(v arc.Value, err error) arc.Value {
	return must[arc.Value](in)
}

func inMM(v float64) procedures.MM { return procedures.Inches(v) }

func ipm(v float64) procedures.MMPerMin { return procedures.TravelInchesPerMin(v) }

func wireOf(in *inputs) procedures.Wire {
	w := procedures.Wire{}
	if in.has("class") {
		w.Class = in.s("class")
	}
	if in.has("gas") {
		w.Gas = in.s("gas")
	}
	if in.has("diameter_in") {
		w.Diameter = inMM(in.f("diameter_in"))
	}
	return w
}

func wireSpeed(in *inputs) arc.Value {
	v := value(in)(arc.WireSpeed(wireOf(in), procedures.Amps(in.f("amps"))))
	for _, p := range []*float64{&v.Value, &v.Low, &v.High} {
		*p = procedures.MPerMin(*p).InchesPerMin()
	}
	return v
}

func currentAt(in *inputs) arc.Value {
	return value(in)(arc.Current(wireOf(in), procedures.InchesPerMin(in.f("wire_speed_in_per_min"))))
}

func arcVoltage(in *inputs) arc.Value {
	return value(in)(arc.Voltage(wireOf(in), procedures.Fillet, procedures.Amps(in.f("amps"))))
}

func energy(in *inputs) arc.KJPerMM {
	var travel procedures.MMPerMin
	switch {
	case in.has("travel_in_per_min"):
		travel = ipm(in.f("travel_in_per_min"))
	default:
		travel = must[procedures.MMPerMin](in)(arc.Travel(inMM(in.f("length_in")), procedures.Seconds(60*in.f("time_min"))))
	}
	return must[arc.KJPerMM](in)(arc.Energy(procedures.Volts(in.f("volts")), procedures.Amps(in.f("amps")), travel))
}

func fit(in *inputs) arc.Fit {
	var readings []arc.Reading
	for _, r := range in.any("readings").([]any) {
		p := r.([]any)
		readings = append(readings, arc.Reading{WireSpeed: procedures.MPerMin(p[0].(float64)), Current: procedures.Amps(p[1].(float64))})
	}
	return must[arc.Fit](in)(arc.FitCurrent(readings))
}

func init() {
	teach(map[string]func(in *inputs) any{
		"heat_input_kJ_per_in": func(in *inputs) any { return energy(in).PerInch() },
		"heat_input_J_per_in":  func(in *inputs) any { return 1000 * energy(in).PerInch() },
		"arc_energy_kJ_per_in": func(in *inputs) any { return energy(in).PerInch() },
		"heat_input_EN1011_kJ_per_mm": func(in *inputs) any {
			v, i, s := procedures.Volts(in.f("volts")), procedures.Amps(in.f("amps")), procedures.MMPerMin(in.f("travel_mm_per_min"))
			byProcess := value(in)(arc.HeatInput(procedures.FCAWS, v, i, s)).Value
			if q := must[arc.KJPerMM](in)(arc.HeatInputWith(in.f("k"), v, i, s)); float64(q) != byProcess {
				in.t.Errorf("k given: %v, k of the process: %v", q, byProcess)
			}
			return byProcess
		},
		"heat_input_instantaneous_energy": func(in *inputs) any {
			return 1000 * must[arc.KJPerMM](in)(arc.EnergyFromJoules(in.f("energy_J"), inMM(in.f("bead_length_in")))).PerInch()
		},
		"heat_input_instantaneous_power": func(in *inputs) any {
			return 1000 * must[arc.KJPerMM](in)(arc.EnergyFromPower(in.f("power_W"), procedures.Seconds(in.f("arc_time_s")), inMM(in.f("bead_length_in")))).PerInch()
		},
		"unit_conversion": func(in *inputs) any { return arc.KJPerMM(in.f("kJ_per_mm")).PerInch() },
		"thermal_efficiency": func(in *inputs) any {
			return value(in)(arc.ThermalEfficiency(procedures.Process(in.s("process")))).Value
		},
		"conventional_load_voltage_MMA": func(in *inputs) any {
			return value(in)(arc.LoadVoltage(procedures.SMAW, procedures.Amps(in.f("amps")))).Value
		},
		"conventional_load_voltage_MAG_FCAW": func(in *inputs) any {
			return value(in)(arc.LoadVoltage(procedures.FCAWS, procedures.Amps(in.f("amps")))).Value
		},
		"load_voltage": func(in *inputs) any {
			return value(in)(arc.LoadVoltage(procedures.Process(in.s("process")), procedures.Amps(in.f("amps")))).Value
		},
		"current": func(in *inputs) any { return currentAt(in).Value },
		"current_span": func(in *inputs) any {
			v := currentAt(in)
			return within{v.Low, v.High}
		},
		"wire_speed":      func(in *inputs) any { return wireSpeed(in).Value },
		"wire_speed_low":  func(in *inputs) any { return wireSpeed(in).Low },
		"wire_speed_high": func(in *inputs) any { return wireSpeed(in).High },
		"arc_voltage":     func(in *inputs) any { return arcVoltage(in).Value },
		"arc_voltage_span": func(in *inputs) any {
			v := arcVoltage(in)
			return within{v.Low, v.High}
		},
		"gas_voltage": func(in *inputs) any {
			w := wireOf(in)
			w.Class, w.Diameter = "ER70S-6", 0.9
			return value(in)(arc.Voltage(w, procedures.WeldType(in.s("weld")), procedures.Amps(in.f("amps")))).Value
		},
		"electrode_current": func(in *inputs) any {
			v := value(in)(arc.ElectrodeCurrent(wireOf(in)))
			return span{v.Low, v.High}
		},
		"deposition_rate": func(in *inputs) any {
			return must[float64](in)(arc.DepositionMeasured(in.f("deposit_g"), procedures.Seconds(in.f("time_s"))))
		},
		"deposition_efficiency": func(in *inputs) any {
			return float64(must[procedures.Percent](in)(arc.EfficiencyMeasured(in.f("deposit_lb"), in.f("electrode_lb"))))
		},
		"deposition_efficiency_pct": func(in *inputs) any { return value(in)(arc.DepositionEfficiency(wireOf(in))).Value },
		"deposition_efficiency_span": func(in *inputs) any {
			v := value(in)(arc.DepositionEfficiency(wireOf(in)))
			return within{v.Low, v.High}
		},
		"deposition_span": func(in *inputs) any {
			v := value(in)(arc.Deposition(wireOf(in), procedures.InchesPerMin(in.f("wire_speed_in_per_min"))))
			return within{v.Low / kgPerLb, v.High / kgPerLb}
		},
		"wire_in_per_lb": func(in *inputs) any {
			w := wireOf(in)
			w.Class, w.Gas = "ER70S-6", "CO2"
			g := value(in)(arc.WireMass(w)).Value
			return 1000 * kgPerLb / g * 1000 / 25.4
		},
		"travel_in_per_min": func(in *inputs) any {
			return must[procedures.MMPerMin](in)(arc.Travel(inMM(in.f("length_in")), procedures.Seconds(in.f("time_s")))).InchesPerMin()
		},
		"fit_intercept": func(in *inputs) any { return fit(in).Intercept },
		"fit_slope":     func(in *inputs) any { return fit(in).Slope },
		"fit_r2":        func(in *inputs) any { return fit(in).R2 },
		"fit_low": func(in *inputs) any {
			return value(in)(fit(in).Current(procedures.MPerMin(in.f("at_m_min")))).Low
		},
	})
}
