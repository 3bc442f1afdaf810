package joint

import (
	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

const (
	newtonPerLbf = 4.4482216152605
	mpaPerKSI    = newtonPerLbf * 1000 / (25.4 * 25.4)
)

// loadCaution goes with every load in this package.
const loadCaution = "for information only: it holds for full fusion, sound metal and a load in plain shear, and says nothing about the rest of the part; anything that people depend on is an engineer's job"

// FilletShear returns the code's allowable load on a fillet with equal legs, in
// N per mm of weld: 0.30 of the electrode's strength on the throat (allowable
// stress design). Information, never a promise: the Note must be shown with it.
// Range: leg 0.5 to 100 mm, strength 60 to 80 ksi (a row of the table).
// Source: AWS D1.1 clause 2, factor 0.30.
func FilletShear(leg procedures.MM, strengthKSI float64) (arc.Value, error) {
	throat, err := Throat(leg)
	if err != nil {
		return arc.Value{}, err
	}
	for _, r := range data.FilletShears() {
		if r.StrengthKSI == strengthKSI {
			v := exact(float64(throat)*r.AllowableKSI*mpaPerKSI, "N/mm", r.Row)
			v.Note = loadCaution
			return v, nil
		}
	}
	return arc.Value{}, procedures.Invalid("electrode strength", "", "no row for it", "accepted: 60, 70, 80 ksi")
}

// ButtLoad returns stress times section times a joint efficiency, in N, for a
// butt weld. Information, never a promise: the Note must be shown with it.
// Range: 1 to 1000 MPa, 0.1 to 300 mm, 1 mm to 1 km, 1 to 100 %.
// Source: course M259, weldment strength.
func ButtLoad(allowableMPa float64, t, length procedures.MM, efficiency procedures.Percent) (arc.Value, error) {
	err := first(arc.Within("allowable stress", allowableMPa, 1, 1000, "MPa"), checkThickness("thickness", t),
		checkLength(length), arc.Within("joint efficiency", float64(efficiency), 1, 100, "%"))
	if err != nil {
		return arc.Value{}, err
	}
	return exact(allowableMPa*float64(t)*float64(length)*float64(efficiency)/100, "N",
		data.Row{Source: []string{"FW-M259"}, Basis: data.Printed, Note: loadCaution}), nil
}
