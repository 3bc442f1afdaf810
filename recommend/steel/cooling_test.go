package steel

import (
	"errors"
	"math"
	"testing"

	"beadwright/procedures"
)

// TestCoolingOfBead: a bead cools as EN 1011-2 Annex D, from memory, counts its joint.
// The times on plate are SciPy's, of testdata/reference/library.csv.
func TestCoolingOfBead(t *testing.T) {
	thin := Cooling{Preheat: 20, HeatInput: 0.3, Thickness: 3}
	thick := Cooling{Preheat: 20, HeatInput: 1, Thickness: 25}
	const thinOnPlate, thickOnPlate = 11.363566321499011, 5.288461538461538
	for _, c := range []struct {
		bead            string
		of              Cooling
		low, high, mean float64
	}{
		{"plate", thin, thinOnPlate, thinOnPlate, thinOnPlate},
		{"butt", thin, 0.9 * thinOnPlate, 0.9 * thinOnPlate, 0.9 * thinOnPlate},
		{"tee", thin, 0.45 * thinOnPlate, 0.67 * thinOnPlate, 0.56 * thinOnPlate},
		{"plate", thick, thickOnPlate, thickOnPlate, thickOnPlate},
		{"corner", thick, 0.67 * thickOnPlate, 0.67 * thickOnPlate, 0.67 * thickOnPlate},
		{"tee", thick, 0.67 * thickOnPlate, 0.67 * thickOnPlate, 0.67 * thickOnPlate},
	} {
		b, err := FindBead(c.bead)
		if err != nil {
			t.Fatal(err)
		}
		v, err := b.CoolingTime(c.of)
		off := func(got, want float64) bool { return math.Abs(got-want) > 1e-9*want }
		if err != nil || off(v.Low, c.low) || off(v.High, c.high) || off(v.Value, c.mean) {
			t.Errorf("%s, %g mm: %+v %v, want %g (%g to %g)", c.bead, float64(c.of.Thickness), v, err, c.mean, c.low, c.high)
		}
	}
	var bad *procedures.InvalidError
	if _, err := FindBead("lap"); !errors.As(err, &bad) || len(bad.Hints) == 0 {
		t.Errorf("a joint without a factor: %v", err)
	}
	if _, err := (Bead{Thick: 1, Thin: [2]float64{1, 1}}).CoolingTime(Cooling{}); !errors.As(err, &bad) {
		t.Errorf("nothing said: %v", err)
	}
}
