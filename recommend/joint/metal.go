package joint

import (
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Density is the density of weld metal, 0.283 lb/in3, in g/mm3: the figure of the
// filler-metal handbook's weights of welds.
const Density = 0.283 * 453.59237 / (25.4 * 25.4 * 25.4)

// Mass returns the weld metal, in g, in a length of weld of a cross-section.
// Range: area 0.01 to 1e5 mm2, length 1 mm to 1 km. Source: filler-metal handbook, lb/ft = 12*0.283*in2.
func Mass(area arc.MM2, length procedures.MM) (float64, error) {
	if err := first(arc.Within("area", float64(area), 0.01, 1e5, "mm2"), checkLength(length)); err != nil {
		return 0, err
	}
	return float64(area) * float64(length) * Density, nil
}

// MassPerMetre returns the weld metal in a metre of weld, in g/m.
func MassPerMetre(area arc.MM2) (float64, error) { return Mass(area, 1000) }

// WireNeeded returns the wire or electrode used up, in g, for weld metal in g and
// a deposition efficiency in per cent. Range: 1 mg to 10 t, 10 to 100 %.
// Source: filler-metal handbook, P = W*L/E.
func WireNeeded(weldMetal float64, efficiency procedures.Percent) (float64, error) {
	if err := first(checkMass(weldMetal), arc.Within("deposition efficiency", float64(efficiency), 10, 100, "%")); err != nil {
		return 0, err
	}
	return weldMetal / float64(efficiency) * 100, nil
}

// ArcTime returns the arc time for weld metal in g at a deposition rate in kg/h.
// Range: 1 mg to 10 t, 0.01 to 50 kg/h. Source: filler-metal handbook.
func ArcTime(weldMetal, kgPerH float64) (procedures.Seconds, error) {
	if err := first(checkMass(weldMetal), checkRate(kgPerH)); err != nil {
		return 0, err
	}
	return procedures.Seconds(3.6 * weldMetal / kgPerH), nil
}

func checkRate(kgPerH float64) error {
	return arc.Within("deposition rate", kgPerH, 0.01, 50, "kg/h")
}

func checkFactor(f procedures.Percent) error {
	return arc.Within("operating factor", float64(f), 1, 100, "%")
}

// TotalTime returns time on the job: arc time over the operating factor, the
// share of the time that the arc burns. Range: 0.1 s to 1000 h, 1 to 100 %.
func TotalTime(arcTime procedures.Seconds, factor procedures.Percent) (procedures.Seconds, error) {
	if err := first(arc.Within("arc time", float64(arcTime), 0.1, 3.6e6, "s"), checkFactor(factor)); err != nil {
		return 0, err
	}
	return arcTime / procedures.Seconds(factor) * 100, nil
}

// Spool is what is left on a reel.
type Spool struct {
	Grams   float64            // of wire
	Metres  float64            // of wire
	ArcTime procedures.Seconds // at the wire speed asked about
}

// SpoolLeft reckons what is left from the reel on the scales: its weight now, the
// empty reel's weight (both g), the wire's own g/m (see [arc.WireMass], or weigh a
// metre) and a wire speed. Range: 1 g to 50 kg, 0.1 to 1000 g/m, 0.3 to 40 m/min.
// Source: arithmetic.
func SpoolLeft(now, empty, gramsPerMetre float64, s procedures.MPerMin) (Spool, error) {
	err := first(arc.Within("spool weight", now, 1, 50000, "g"), arc.Within("empty spool", empty, 0, 50000, "g"),
		arc.Within("wire mass", gramsPerMetre, 0.1, 1000, "g/m"), arc.Within("wire speed", float64(s), 0.3, 40, "m/min"))
	if err != nil {
		return Spool{}, err
	}
	if empty > now {
		return Spool{}, arc.Within("empty spool", empty, 0, now, "g")
	}
	left := Spool{Grams: now - empty}
	left.Metres = left.Grams / gramsPerMetre
	left.ArcTime = procedures.Seconds(left.Metres / float64(s) * 60)
	return left, nil
}

// DepositPerHour returns weld metal per hour of work, in kg/h: deposition rate
// times operating factor. Range: 0.01 to 50 kg/h, 1 to 100 %. Source: filler-metal handbook.
func DepositPerHour(kgPerH float64, factor procedures.Percent) (float64, error) {
	if err := first(checkRate(kgPerH), checkFactor(factor)); err != nil {
		return 0, err
	}
	return kgPerH * float64(factor) / 100, nil
}

// LabourPerKg returns what a kg of weld metal costs in labour, in the money of
// perHour. Range: 0.01 to 10000 an hour. Source: filler-metal handbook, cost sheet.
func LabourPerKg(perHour, kgPerH float64, factor procedures.Percent) (float64, error) {
	rate, err := DepositPerHour(kgPerH, factor)
	if err := first(arc.Within("hourly cost", perHour, 0.01, 10000, ""), err); err != nil {
		return 0, err
	}
	return perHour / rate, nil
}

// ElectrodePerKg returns what the wire in a kg of weld metal costs, from its
// price a kg. Range: 0.01 to 10000. Source: filler-metal handbook, cost sheet.
func ElectrodePerKg(price float64, efficiency procedures.Percent) (float64, error) {
	if err := arc.Within("price", price, 0.01, 10000, ""); err != nil {
		return 0, err
	}
	return WireNeeded(price, efficiency)
}
