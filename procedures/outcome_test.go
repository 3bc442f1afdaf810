package procedures_test

import (
	"slices"
	"testing"

	"beadwright/procedures"
)

// What is in quotes is read by itself, and a rating is heard as people say it.
func TestReadOutcome(t *testing.T) {
	for _, c := range []struct {
		args     []string
		rating   procedures.Count
		symptoms []string
		rest     []string
	}{
		{[]string{"4", "1/8", "mild", "tee", "flat", "bead popped right off"}, 4, []string{"lack-of-fusion"}, []string{"1/8", "mild", "tee", "flat", "bead popped right off"}},
		{[]string{"4", "flat", "bead"}, 4, []string{"wide-flat"}, []string{"flat", "bead"}},
		{[]string{"no", "spatter", "no cracks", "pinholes"}, 0, []string{"porosity"}, []string{"no", "spatter", "no cracks", "pinholes"}},
		{[]string{"4", "of", "5", "spatter"}, 4, []string{"spatter"}, []string{"spatter"}},
		{[]string{"3", "out", "of", "5"}, 3, nil, nil},
		{[]string{"4/5"}, 4, nil, nil},
		{[]string{"4+"}, 4, nil, []string{"4+"}},
		{[]string{"4 but a bit of spatter"}, 4, []string{"spatter"}, []string{"4 but a bit of spatter"}},
		{[]string{"2, popping"}, 2, []string{"popping"}, []string{"2, popping"}},
		{[]string{"2 passes"}, 0, nil, []string{"2 passes"}},
		{[]string{"3", "2 passes, tall"}, 3, []string{"cold-bead"}, []string{"2 passes, tall"}},
	} {
		got, err := procedures.ReadOutcome(c.args)
		if err != nil || got.Rating != c.rating || !slices.Equal(got.Symptoms, c.symptoms) || !slices.Equal(got.Rest, c.rest) {
			t.Errorf("%q: %+v, %v", c.args, got, err)
		}
	}
	for _, args := range [][]string{{"3.5"}, {"10"}, {"3", "4"}, {"8/10"}, {"4", "5"}} {
		if got, err := procedures.ReadOutcome(args); err == nil {
			t.Errorf("%q: %+v", args, got)
		}
	}
}
