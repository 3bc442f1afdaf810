package learn

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

type vectors struct {
	Cases []struct {
		Name     string
		Machines []Machine
		Welds    []Weld
		Query    Query
		Want     struct{ F, SD float64 }
		Windows  [][2]float64 `json:"half_windows"`
	}
}

func readVectors(t testing.TB) vectors {
	t.Helper()
	var v vectors
	text, err := os.ReadFile("testdata/vectors.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &v); err != nil {
		t.Fatal(err)
	}
	if len(v.Cases) != 12 {
		t.Fatalf("%d cases, want 12", len(v.Cases))
	}
	return v
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.15g, want %.15g within %g (off by %.2g)", what, got, want, within, got-want)
	}
}

// Golden vectors, worked out by an implementation of the method that shares no code with this one.
func TestVectors(t *testing.T) {
	for _, c := range readVectors(t).Cases {
		t.Run(c.Name, func(t *testing.T) {
			for _, w := range c.Windows {
				near(t, "half window", halfWindow(w[0]), w[1], 1e-15)
			}
			m, err := New(c.Machines, c.Welds)
			if err != nil {
				t.Fatal(err)
			}
			e, err := m.Suggest(c.Query)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "f", e.F, c.Want.F, 1e-9)
			near(t, "sd", e.SD, c.Want.SD, 1e-9)
		})
	}
}
