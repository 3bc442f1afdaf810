package recommend_test

import (
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend"
)

// The sheet of 0.030 E71T-11 allows 40 to 200 in/min, that of 0.035 in 50 to 300
// (filler-metal data sheet); no sheet is printed for E71T-GS.
func TestBeyondReach(t *testing.T) {
	slow := procedures.Machine{Name: "shed", WireMin: procedures.InchesPerMin(60), WireMax: procedures.InchesPerMin(150)}
	for _, c := range []struct {
		class string
		size  float64
		m     procedures.Machine
		v     float64
		want  string
	}{
		{"E71T-11", 0.030, procedures.Machine{}, 200, ""},
		{"E71T-11", 0.030, procedures.Machine{}, 300, "more than the data sheet of 0.030 E71T-11 allows"},
		{"E71T-11", 0.030, procedures.Machine{}, 30, "less than the data sheet"},
		{"E71T-11", 0.035, slow, 160, ""}, // by eye
		{"E71T-11", 0.035, slow, 200, "more than the feeder of shed gives"},
		{"E71T-GS", 0.030, procedures.Machine{MaxAmps: 120}, 300, "more than the rules for 0.030 E71T-GS"},
		{"E71T-GS", 0.030, procedures.Machine{}, 110, ""},
	} {
		j := procedures.Job{Thickness: procedures.Inches(0.125), Joint: procedures.Tee, Position: procedures.Flat, Process: procedures.FCAWS, Wire: procedures.Wire{Class: c.class, Diameter: procedures.Inches(c.size)}}
		if got := recommend.BeyondReach(j, c.m, procedures.InchesPerMin(c.v), procedures.US); (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s %g at %g in/min: %q, want %q", c.class, c.size, c.v, got, c.want)
		}
	}
}

// A current of the arc past the plate is asked about; one that was reckoned is not.
func TestBeyondOutput(t *testing.T) {
	shed := procedures.Machine{Name: "shed", MaxAmps: 120}
	measured := map[string]procedures.How{"current_A": procedures.Measured}
	for _, c := range []struct {
		m    procedures.Machine
		set  procedures.Settings
		want string
	}{
		{shed, procedures.Settings{Current: 200, How: measured}, "200 A is more than shed gives by its plate, 120 A"},
		{shed, procedures.Settings{Current: 125, How: measured}, ""},
		{shed, procedures.Settings{Current: 200}, ""},
		{procedures.Machine{Name: "shed"}, procedures.Settings{Current: 200, How: measured}, ""},
	} {
		if got := recommend.BeyondOutput(c.m, c.set); got != c.want {
			t.Errorf("%+v: %q, want %q", c.set, got, c.want)
		}
	}
}
