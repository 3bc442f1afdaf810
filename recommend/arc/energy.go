package arc

import (
	"beadwright/data"
	"beadwright/procedures"
)

// KJPerMM is energy for each millimetre of bead, kJ/mm.
type KJPerMM float64

// PerInch returns the energy in kJ/in; 1 kJ/mm is exactly 25.4 kJ/in.
func (e KJPerMM) PerInch() float64 { return float64(e) * procedures.MMPerInch }

// Energy returns the arc energy V*I/S of an arc of v volts and i amperes that
// travels at s. US codes call this number heat input; EN codes multiply it by k
// first, see [HeatInput].
// Range: 5 to 100 V, 1 to 1000 A, 10 to 5000 mm/min.
// Source: NAVSEA S9074-AQ-GIB-010/248, ASME IX QW-409.1(a).
func Energy(v procedures.Volts, i procedures.Amps, s procedures.MMPerMin) (KJPerMM, error) {
	if err := first(checkVolts(v), checkAmps(i), checkTravel(s)); err != nil {
		return 0, err
	}
	return KJPerMM(60 * float64(v) * float64(i) / (1000 * float64(s))), nil
}

// EnergyFromJoules returns the arc energy of a bead of the given length from the
// energy that the machine displays, for any waveform. Range: 1 J to 1 GJ, 1 mm to 1 km.
// Source: ASME IX QW-409.1(c), by energy.
func EnergyFromJoules(joules float64, bead procedures.MM) (KJPerMM, error) {
	if err := first(Within("energy", joules, 1, 1e9, "J"), checkLength(bead)); err != nil {
		return 0, err
	}
	return KJPerMM(joules / 1000 / float64(bead)), nil
}

// EnergyFromPower returns the arc energy of a bead of the given length from the
// power that the machine displays and the arc time, for any waveform.
// Range: 1 W to 100 kW, 0.1 s to 10 h, 1 mm to 1 km.
// Source: ASME IX QW-409.1(c), by power.
func EnergyFromPower(watts float64, t procedures.Seconds, bead procedures.MM) (KJPerMM, error) {
	if err := first(Within("power", watts, 1, 1e5, "W"), Within("arc time", float64(t), 0.1, 36000, "s")); err != nil {
		return 0, err
	}
	return EnergyFromJoules(watts*float64(t), bead)
}

// ThermalEfficiency returns k of EN 1011-1: the share of arc energy that counts
// as heat input, a pure number. Source: TWI, EN 1011-1 Table 1.
// Error: [*procedures.InvalidError] for a process without a factor.
func ThermalEfficiency(p procedures.Process) (Value, error) {
	for _, r := range data.ArcEfficiencies() {
		if r.Process == string(p) {
			return Value{Value: r.K, Low: r.K, High: r.K, Basis: r.Basis, Source: r.Source, Note: r.Note}, nil
		}
	}
	return Value{}, procedures.Invalid("process", string(p), "no thermal efficiency is printed for it", "accepted: 114, 136, 135, 111 and other ISO 4063 numbers of arc welding")
}

// HeatInput returns the heat input of EN 1011-1, k times the arc energy, in
// kJ/mm. Ranges as for [Energy].
func HeatInput(p procedures.Process, v procedures.Volts, i procedures.Amps, s procedures.MMPerMin) (Value, error) {
	k, err := ThermalEfficiency(p)
	if err != nil {
		return Value{}, err
	}
	q, err := HeatInputWith(k.Value, v, i, s)
	if err != nil {
		return Value{}, err
	}
	return Value{Value: float64(q), Low: float64(q), High: float64(q), Unit: "kJ/mm", Basis: k.Basis, Source: k.Source,
		Note: "heat input in the EN sense, arc energy times k; US codes leave k out"}, nil
}

// HeatInputWith is [HeatInput] with the factor k given, above 0 through 1.
// Source: EN 1011-1, ISO/TR 17671-1.
func HeatInputWith(k float64, v procedures.Volts, i procedures.Amps, s procedures.MMPerMin) (KJPerMM, error) {
	e, err := Energy(v, i, s)
	if err := first(Within("k", k, 0.1, 1, ""), err); err != nil {
		return 0, err
	}
	return KJPerMM(k) * e, nil
}
