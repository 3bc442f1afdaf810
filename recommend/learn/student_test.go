package learn

import (
	"encoding/json"
	"fmt"
	"os"
	"testing"
)

// The robust passes, with each bead a row of its own and run on until they stand still, end where SciPy's BFGS finds the
// minimum of the t likelihood (testdata/student.py).
func TestStudentWeights(t *testing.T) {
	text, err := os.ReadFile("testdata/student.json")
	if err != nil {
		t.Fatal(err)
	}
	var in struct {
		Cases []struct {
			Phi        [][]float64
			M, V, Beta []float64
		}
	}
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	if len(in.Cases) != 4 {
		t.Fatalf("%d cases, want 4", len(in.Cases))
	}
	for _, c := range in.Cases {
		t.Run(fmt.Sprint(len(c.M), " rows"), func(t *testing.T) {
			var f fit
			bead := []group{{beads: make([]bead, 1)}}
			for i, phi := range c.Phi {
				x := trial{groups: bead, seen: []observation{{c.M[i], c.V[i], 1 / c.V[i]}}, rows: make([]row, 1), counts: make([]count, 1)}
				for col, v := range phi {
					x.terms = appendTerm(x.terms, col, v)
				}
				f.trials = append(f.trials, x)
			}
			if err := f.run(400, func(int) *system { return newSystem(len(c.Beta)) }, nil); err != nil {
				t.Fatal(err)
			}
			for i, want := range c.Beta {
				near(t, fmt.Sprint("beta ", i), f.post.beta[i], want, 1e-9)
			}
			low := 1.0
			for _, x := range f.trials {
				low = min(low, x.seen[0].weight*x.seen[0].v)
			}
			if low > 0.75 {
				t.Errorf("least weight %g: nothing here was far off", low)
			}
		})
	}
}
