package recommend

import (
	"slices"
	"testing"

	"beadwright/procedures"
)

func TestRunningMean(t *testing.T) {
	for _, c := range []struct {
		ratings []procedures.Count
		states  string // a letter a bead
		want    []float64
	}{
		{nil, "", []float64{}},
		{[]procedures.Count{4}, "a", []float64{4}},
		{[]procedures.Count{1, 2, 3, 4, 5, 5, 5}, "aaaaaaa", []float64{1, 1.5, 2, 2.5, 3, 3.8, 4.4}},
		{[]procedures.Count{1, 0, 3}, "aaa", []float64{1, 0, 2}},
		{[]procedures.Count{1, 1, 5, 4}, "aabb", []float64{1, 1, 5, 4.5}},
		{[]procedures.Count{2, 0, 5, 3}, "abba", []float64{2, 0, 5, 3}},
	} {
		states := make([]string, len(c.states))
		for i, r := range c.states {
			states[i] = string(r)
		}
		if got := RunningMean(c.ratings, states); !slices.Equal(got, c.want) {
			t.Errorf("%v in %s: %v, want %v", c.ratings, c.states, got, c.want)
		}
	}
}
