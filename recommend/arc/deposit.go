package arc

import (
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
)

// steelDensity is 0.2836 lb/in3 in g/cm3, the figure behind printed lengths of
// solid wire per pound.
const steelDensity = 7.85

// A cored wire is lighter than solid wire of its size by its flux. Filler-metal
// tables give about 0.92 for self-shielded sizes of 0.045 in and above, from
// memory; nothing is printed for 0.030 and 0.035 in.
const coredShare, coredShareLow = 0.92, 0.80

// WireMass returns the mass of a meter of wire, in g/m: the steel cylinder for
// solid wire; for cored wire about 0.92 of it, from memory, with the cylinder as
// the upper end. Weighing a meter or two of the spool replaces it.
// Range: 0.3 to 8 mm. Error: [*procedures.InvalidError].
func WireMass(w procedures.Wire) (Value, error) {
	d := float64(w.Diameter)
	if err := Within("wire", d, 0.3, 8, "mm"); err != nil {
		return Value{}, err
	}
	cylinder := math.Pi / 4 * d * d * steelDensity // mm2 * g/cm3 = g/m
	out := Value{Value: cylinder, Low: cylinder, High: cylinder, Unit: "g/m", Basis: data.Computed, Source: []string{"HB-MIG"}}
	switch processOf(w) {
	case procedures.FCAWS, procedures.FCAWG:
		out.Value, out.Low = cylinder*coredShare, cylinder*coredShareLow
		out.Basis, out.Source = data.Memory, []string{"HB-MIG", "MEM"}
		out.Note = "a cored wire is lighter than solid wire: weigh a meter of yours"
	}
	return out, nil
}

// DepositionEfficiency returns weld metal per weight of electrode used, in per
// cent, by wire. Error: [*NoTableError].
func DepositionEfficiency(w procedures.Wire) (Value, error) {
	p := processOf(w)
	use := map[procedures.Process]string{procedures.FCAWS: "average", procedures.FCAWG: "average", procedures.GMAW: "CO2", procedures.SMAW: "14 in electrode"}[p]
	if p == procedures.GMAW && w.Gas != "CO2" && w.Gas != "" {
		use = "75Ar/25CO2"
	}
	var out Value
	for _, r := range data.DepositionEfficiencies() {
		if r.Process != string(p) {
			continue
		}
		if r.Use == use {
			out = Value{Value: r.TypicalPct, Low: r.TypicalPct - 8, High: min(r.TypicalPct+8, 99), Unit: "%", Basis: r.Basis, Source: r.Source, Note: r.Note}
		}
	}
	if out.Value == 0 {
		return Value{}, &NoTableError{Quantity: "deposition efficiency", Of: w.String(), Have: []string{"self-shielded, gas-shielded and solid wire", "covered electrodes"}}
	}
	// Printed averages for like consumables differ by this much: 78, 80 and 81-86 % for self-shielded wire.
	out.Note = "printed averages differ by up to 8 points"
	return out, nil
}

// Deposition returns weld metal laid down per hour of arc, in kg/h, at a wire
// speed: wire melted times deposition efficiency. Ranges as for [WireMass] and
// wire speeds of 0.3 to 40 m/min. Where a data sheet prints a deposition rate for
// the wire, the range reaches to it.
func Deposition(w procedures.Wire, s procedures.MPerMin) (Value, error) {
	mass, errMass := WireMass(w)
	eff, errEff := DepositionEfficiency(w)
	if err := first(checkWireSpeed(s), errMass, errEff); err != nil {
		return Value{}, err
	}
	perHour := func(gPerM, pct float64) float64 { return gPerM * float64(s) * 60 / 1000 * pct / 100 }
	out := Value{
		Value: perHour(mass.Value, eff.Value), Low: perHour(mass.Low, eff.Low), High: perHour(mass.High, eff.High),
		Unit: "kg/h", Basis: Weakest(data.Computed, mass.Basis, eff.Basis), Source: Together(mass.Source, eff.Source), Note: mass.Note,
	}
	if printed, ok := PrintedDeposition(w, s); ok {
		out.Low, out.High = min(out.Low, printed.Value), max(out.High, printed.Value)
		out.Source = Together(out.Source, printed.Source)
		out.Note = fmt.Sprintf("its data sheet prints %.2g kg/h, which reads like a solid wire; %s", printed.Value, mass.Note)
	}
	return out, nil
}

const kgPerLb = 0.45359237

// PrintedDeposition interpolates the deposition column of the wire's data sheet, in
// kg/h; ok is false where none is printed for the wire, or not at that wire speed.
func PrintedDeposition(w procedures.Wire, s procedures.MPerMin) (Value, bool) {
	size, _ := TradeSize(w.Diameter)
	out := Value{Unit: "kg/h", Basis: data.Printed}
	var points []point
	for _, r := range data.SelfShieldedStarts() {
		if r.Class == w.Class && r.DiameterIn == size && r.DepositionLbPerH > 0 {
			points = append(points, point{r.WireSpeedInPerMin, r.DepositionLbPerH * kgPerLb})
			out.Source = Together(out.Source, r.Source)
		}
	}
	c, err := newCurve(points)
	if err != nil || !c.covers(s.InchesPerMin()) {
		return Value{}, false
	}
	out.Value = c.at(s.InchesPerMin())
	out.Low, out.High = out.Value, out.Value
	return out, true
}

// DepositionMeasured returns weld metal per hour of arc, in kg/h, from the mass
// that a coupon gained and its arc time. Range: 0.1 g to 100 kg, 1 s to 10 h.
// Source: filler-metal handbook, deposition data.
func DepositionMeasured(grams float64, t procedures.Seconds) (float64, error) {
	if err := first(Within("mass gained", grams, 0.1, 1e5, "g"), Within("arc time", float64(t), 1, 36000, "s")); err != nil {
		return 0, err
	}
	return 3.6 * grams / float64(t), nil
}

// EfficiencyMeasured returns weld metal per weight of electrode used, in per cent,
// from two weighings in the same unit. Range: above 0, weld metal at most what was
// used. Source: filler-metal handbook, deposition efficiency.
func EfficiencyMeasured(weldMetal, used float64) (procedures.Percent, error) {
	if err := first(Within("electrode used", used, 1e-6, 1e6, ""), Within("weld metal", weldMetal, 1e-6, used, "")); err != nil {
		return 0, err
	}
	return procedures.Percent(100 * weldMetal / used), nil
}
