package arc

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
)

// ElectrodeCurrent returns the current, in A, that a covered electrode is run at
// flat: the printed range with its middle as Value. The size may be in inches or
// as sold in mm (2.5 mm is sold as 3/32 in).
// Source: Machinery's Handbook, 31st ed., Tables 13 and 14. Error: [*NoTableError].
func ElectrodeCurrent(w procedures.Wire) (Value, error) {
	const same = 0.02 // mm
	for _, r := range data.Electrodes() {
		d := float64(w.Diameter)
		if r.Class == w.Class && (math.Abs(d-r.DiameterMM) < same || math.Abs(d-r.DiameterIn*procedures.MMPerInch) < same) {
			return Value{Value: (r.CurrentLowA + r.CurrentHighA) / 2, Low: r.CurrentLowA, High: r.CurrentHighA, Unit: "A", Basis: r.Basis, Source: r.Source, Note: r.Note}, nil
		}
	}
	return Value{}, &NoTableError{Quantity: "current", Of: w.String(), Have: []string{"E6010, E6011, E6012, E6013, E7014, E7018 and E7024, 1/16 to 5/16 in"}}
}
