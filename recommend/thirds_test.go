package recommend

import (
	"strings"
	"testing"

	"beadwright/procedures"
)

// TestUneven: falling ratings, and cold and hot in one bead, speak of a piece that
// heats up; a bad start alone speaks of the start.
func TestUneven(t *testing.T) {
	for _, c := range []struct {
		thirds   *procedures.Thirds
		symptoms []string
		says     string // "" nothing
	}{
		{nil, nil, ""}, {nil, []string{"spatter", "cold-bead"}, ""}, {nil, []string{"cold-bead", "burn-through"}, "piece too small"},
		{&procedures.Thirds{4, 4, 4}, nil, ""}, {&procedures.Thirds{4, 4, 3}, nil, "piece too small"}, {&procedures.Thirds{5, 4, 2}, nil, "piece too small"},
		{&procedures.Thirds{2, 4, 3}, nil, "worse at both ends"}, {&procedures.Thirds{3, 5, 3}, nil, "piece too small"},
		{&procedures.Thirds{2, 4, 4}, nil, "start is the worst"}, {&procedures.Thirds{2, 4, 5}, nil, "start is the worst"},
		{&procedures.Thirds{0, 4, 3}, nil, "piece too small"}, {&procedures.Thirds{4, 0, 0}, nil, ""}, {&procedures.Thirds{0, 4, 0}, nil, ""},
		{&procedures.Thirds{2, 4, 4}, []string{"cold-bead", "undercut"}, "piece too small"},
		{&procedures.Thirds{4, 2, 4}, nil, ""},
	} {
		got := Uneven(procedures.Outcome{Thirds: c.thirds, Symptoms: c.symptoms})
		if (got == "") != (c.says == "") || !strings.Contains(got, c.says) {
			t.Errorf("%v %v: %q, want %q in it", c.thirds, c.symptoms, got, c.says)
		}
	}
}
