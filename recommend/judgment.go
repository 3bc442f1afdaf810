package recommend

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"beadwright/procedures"
)

// Relook is a picture rated again, blind, long after its bead was.
type Relook struct{ First, Later procedures.Count }

// FewestRelooks is how many pictures are looked at again before anything is said
// of how a judgment drifts. A design choice.
const FewestRelooks = 5

// Drift says which way a judgment moved.
type Drift string

const (
	Harder      Drift = "harder" // the same picture gets less than its bead did
	Softer      Drift = "softer"
	NoDriftTold Drift = "none told"
)

// Judgment is how a welder's own eye rates now against then, in marks of 1 to 5.
type Judgment struct {
	Pictures   int        `json:"pictures"`
	Difference float64    `json:"difference"` // mean of later less first
	Range80    [2]float64 `json:"range_80"`   // of the mean
	Range95    [2]float64 `json:"range_95"`
	Spread     float64    `json:"spread"` // standard deviation of one difference
	Drift      Drift      `json:"drift"`
}

// JudgmentOf is Student's t for pairs. The standard deviation is never taken as less
// than that of the difference of two ratings rounded to whole marks, 1/sqrt(6). A
// drift is told only where the 95 % range excludes nought. ok is false below
// [FewestRelooks].
func JudgmentOf(looks []Relook) (j Judgment, ok bool) {
	if len(looks) < FewestRelooks {
		return Judgment{Pictures: len(looks)}, false
	}
	diffs := make([]float64, len(looks))
	for i, l := range looks {
		diffs[i] = float64(l.Later - l.First)
	}
	n := float64(len(diffs))
	mean, sd := stat.MeanStdDev(diffs, nil)
	sd = math.Max(sd, 1/math.Sqrt(6))
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: n - 1}
	reach := func(probability float64) [2]float64 {
		half := t.Quantile((1+probability)/2) * sd / math.Sqrt(n)
		return [2]float64{procedures.Round(mean - half), procedures.Round(mean + half)}
	}
	j = Judgment{Pictures: len(looks), Difference: procedures.Round(mean), Range80: reach(0.8), Range95: reach(0.95), Spread: procedures.Round(sd), Drift: NoDriftTold}
	switch {
	case j.Range95[1] < 0:
		j.Drift = Harder
	case j.Range95[0] > 0:
		j.Drift = Softer
	}
	return j, true
}
