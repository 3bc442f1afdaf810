package arc

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
)

// MM2 is an area, mm2: the cross-section of weld metal.
type MM2 float64

// SquareInches returns the area in in2.
func (a MM2) SquareInches() float64 {
	return float64(a) / (procedures.MMPerInch * procedures.MMPerInch)
}

// humped is how much larger than a flat fillet a bead is drawn by practised
// hands: legs a tenth over, as in a worked example of weld metal by hand.
const humped = 1.1

// BeadArea returns the cross-section of weld metal, in mm2, that a wire speed and
// a travel speed leave: deposition over travel, by volume balance (derived here).
// Ranges as for [Deposition] and travel of 10 to 5000 mm/min.
func BeadArea(w procedures.Wire, s procedures.MPerMin, travel procedures.MMPerMin) (Value, error) {
	dep, err := Deposition(w, s)
	if err := first(err, checkTravel(travel)); err != nil {
		return Value{}, err
	}
	area := func(kgPerH float64) float64 {
		gramsPerMM := kgPerH * 1000 / 60 / float64(travel)
		return gramsPerMM / (steelDensity / 1000)
	}
	dep.Value, dep.Low, dep.High, dep.Unit = area(dep.Value), area(dep.Low), area(dep.High), "mm2"
	return dep, nil
}

// Leg returns the leg, in mm, of the equal-legged fillet that a wire speed and a
// travel speed lay down in one pass. Value and High are for a flat face; Low
// allows for a humped one. Errors as for [BeadArea].
func Leg(w procedures.Wire, s procedures.MPerMin, travel procedures.MMPerMin) (Value, error) {
	a, err := BeadArea(w, s, travel)
	if err != nil {
		return Value{}, err
	}
	leg := func(area float64) float64 { return math.Sqrt(2 * area) }
	a.Value, a.Low, a.High, a.Unit = leg(a.Value), leg(a.Low)/humped, leg(a.High), "mm"
	return a, nil
}

// TravelFor returns the travel speed, in mm/min, that leaves a wanted
// cross-section in one pass: the inverse of [BeadArea]. Range: 0.5 to 500 mm2.
// The answer itself must be a pace that a hand can keep, 10 to 5000 mm/min, else [*RangeError].
func TravelFor(w procedures.Wire, s procedures.MPerMin, wanted MM2) (Value, error) {
	dep, err := Deposition(w, s)
	if err := first(err, Within("bead area", float64(wanted), 0.5, 500, "mm2")); err != nil {
		return Value{}, err
	}
	pace := func(kgPerH float64) float64 {
		return kgPerH * 1000 / 60 / (float64(wanted) * steelDensity / 1000)
	}
	dep.Value, dep.Low, dep.High, dep.Unit = pace(dep.Value), pace(dep.Low), pace(dep.High), "mm/min"
	if checkTravel(procedures.MMPerMin(dep.Value)) != nil {
		return Value{}, &RangeError{Quantity: "travel for that bead", Read: dep.Value, Low: 10, High: 5000, Unit: "mm/min", Source: dep.Source}
	}
	dep.Basis = Weakest(dep.Basis, data.Computed)
	return dep, nil
}

// TravelForLeg is [TravelFor] for a flat-faced fillet with equal legs, 1 to 30 mm.
func TravelForLeg(w procedures.Wire, s procedures.MPerMin, leg procedures.MM) (Value, error) {
	if err := Within("leg", float64(leg), 1, 30, "mm"); err != nil {
		return Value{}, err
	}
	return TravelFor(w, s, MM2(leg*leg/2))
}
