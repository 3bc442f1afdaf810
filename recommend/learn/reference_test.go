package learn

import (
	"encoding/json"
	"os"
	"testing"
)

// Values of scikit-learn with a row for every bead and a column for every session and cell; see testdata/reference.py.
func TestReference(t *testing.T) {
	text, err := os.ReadFile("testdata/reference.json")
	if err != nil {
		t.Fatal(err)
	}
	var in struct {
		Cases []struct {
			Name     string
			Machines []Machine
			Welds    []Weld
			Query    Query
			Want     []struct {
				Passes       int
				F, SD, Widen float64
			}
		}
	}
	if err := json.Unmarshal(text, &in); err != nil {
		t.Fatal(err)
	}
	if len(in.Cases) != 12 {
		t.Fatalf("%d cases, want 12", len(in.Cases))
	}
	for _, c := range in.Cases {
		t.Run(c.Name, func(t *testing.T) {
			for _, want := range c.Want {
				m, err := newModel(c.Machines, c.Welds, tune{want.Passes, exactBeads})
				if err != nil {
					t.Fatal(err)
				}
				e, err := m.Suggest(c.Query)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "f", e.F, want.F, 1e-10)
				near(t, "sd", e.SD, want.SD, 1e-10)
				near(t, "widen", e.Widen, want.Widen, 1e-10)
			}
		})
	}
}
