package recommend

import (
	"beadwright/procedures"
)

// MeanOf is how many of the last rated beads a running mean is taken over. A design
// choice.
const MeanOf = 5

// RunningMean is the mean rating of the last [MeanOf] rated beads up to each bead,
// beads in order; 0 where that bead is not rated. It begins anew with each state of
// the machine: what a change does is not to be smoothed away. states has as many as
// ratings.
func RunningMean(ratings []procedures.Count, states []string) []float64 {
	means := make([]float64, len(ratings))
	var last []procedures.Count
	for i, r := range ratings {
		if i > 0 && states[i] != states[i-1] {
			last = nil
		}
		if r == 0 {
			continue
		}
		last = append(last, r)
		last = last[max(0, len(last)-MeanOf):]
		sum := procedures.Count(0)
		for _, v := range last {
			sum += v
		}
		means[i] = procedures.Round(float64(sum) / float64(len(last)))
	}
	return means
}
