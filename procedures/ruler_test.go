package procedures_test

import (
	"testing"

	"beadwright/procedures"
)

// TestFormatRuler: what a ruler shows, worked by hand: 11 mm is 0.433 in, and 7/16 in
// is 11.11 mm.
func TestFormatRuler(t *testing.T) {
	for _, c := range []struct {
		mm    procedures.MM
		units procedures.Units
		want  string
	}{
		{11, procedures.US, "7/16 in (11 mm)"},
		{9.525, procedures.US, "3/8 in (9.5 mm)"},
		{25, procedures.US, "1 in (25 mm)"},
		{15, procedures.US, "9/16 in (15 mm)"},
		{11, procedures.Metric, "11 mm"},
		{0, procedures.US, "not known"},
		{0.5, procedures.US, "0.020 in (0.5 mm)"},
	} {
		if got := procedures.FormatRuler(c.mm, c.units); got != c.want {
			t.Errorf("%v mm in %s: %q, want %q", c.mm, c.units, got, c.want)
		}
	}
}
