package source

import (
	"errors"
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// TestHood holds the flows of a small hood against the table of 29 CFR 1910.252(c)(3),
// from memory: 150, 275, 425 and 600 cu ft/min at 4 to 6, 6 to 8, 8 to 10 and 10 to 12 in.
func TestHood(t *testing.T) {
	for in, cfm := range map[float64]float64{2: 150, 4: 150, 6: 150, 6.1: 275, 8: 275, 9: 425, 10: 425, 12: 600} {
		v, err := Hood(procedures.Inches(in))
		if err != nil || math.Abs(v.Value*ft3PerM3-cfm) > 1e-6 || v.Unit != "m3/min" {
			t.Errorf("%g in: %+v %v, want %g cu ft/min", in, v, err, cfm)
		}
	}
	var out *arc.RangeError
	if _, err := Hood(procedures.Inches(12.1)); !errors.As(err, &out) {
		t.Errorf("past the table: %v", err)
	}
	var bad *procedures.InvalidError
	if _, err := Hood(0); !errors.As(err, &bad) {
		t.Errorf("no distance: %v", err)
	}
}
