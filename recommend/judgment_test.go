package recommend

import (
	"math"
	"testing"

	"beadwright/procedures"
)

// TestJudgment holds the ranges to the printed table of Student's t (NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.6.7.2), which has three decimals.
func TestJudgment(t *testing.T) {
	for _, c := range []struct {
		diffs    []int
		mean, sd float64
		t80, t95 float64 // quantiles at 0.90 and 0.975
		want     Drift
	}{
		{[]int{-1, 0, -1, -1, 0, -1, -2}, -6. / 7, math.Sqrt(20./7) / math.Sqrt(6), 1.440, 2.447, Harder},
		{[]int{0, 1, -1, 0, 0}, 0, math.Sqrt(0.5), 1.533, 2.776, NoDriftTold},
		{[]int{1, 1, 1, 1, 1, 1}, 1, 1 / math.Sqrt(6), 1.476, 2.571, Softer}, // the spread is that of rounding
		{[]int{2, 1, 0, 1, 2, 1, 1, 0}, 1, math.Sqrt(4. / 7), 1.415, 2.365, Softer},
		{[]int{1, 0, 1, -1, 2}, 0.6, math.Sqrt(1.3), 1.533, 2.776, NoDriftTold},
	} {
		var looks []Relook
		for _, d := range c.diffs {
			looks = append(looks, Relook{3, procedures.Count(3 + d)})
		}
		j, ok := JudgmentOf(looks)
		if !ok || j.Pictures != len(c.diffs) || j.Drift != c.want || math.Abs(j.Difference-c.mean) > 1e-5 || math.Abs(j.Spread-c.sd) > 1e-5 {
			t.Errorf("%v: %+v, %v; want mean %g, spread %g, %s", c.diffs, j, ok, c.mean, c.sd, c.want)
		}
		for _, r := range []struct {
			got [2]float64
			t   float64
		}{{j.Range80, c.t80}, {j.Range95, c.t95}} {
			half := r.t * c.sd / math.Sqrt(float64(len(looks)))
			if tol := 0.0005 * c.sd; math.Abs(r.got[0]-(c.mean-half)) > tol || math.Abs(r.got[1]-(c.mean+half)) > tol {
				t.Errorf("%v: range %v, want %g to %g", c.diffs, r.got, c.mean-half, c.mean+half)
			}
		}
	}
}

// TestJudgmentNeedsLooks: of too few nothing is said.
func TestJudgmentNeedsLooks(t *testing.T) {
	var looks []Relook
	for n := range FewestRelooks {
		if j, ok := JudgmentOf(looks); ok || j.Pictures != n || j.Drift != "" {
			t.Errorf("of %d pictures: %+v, %v", n, j, ok)
		}
		looks = append(looks, Relook{5, 1})
	}
	if _, ok := JudgmentOf(looks); !ok {
		t.Errorf("nothing is said of %d pictures", len(looks))
	}
}
