package learn

import "math"

// likeness measures how the prior ties blocks to a question. Today's session is no part of it.
type likeness struct {
	features  []float64 // of the question, by column
	variance  float64   // its prior variance
	elsewhere float64   // the most that common offset, machine, states, spool and user can share
	slopes    float64   // the same for the slopes of machine and tap, for each unit of x
	tap       int       // column of the tap slope
}

func (a *answer) likeness(q *Query) likeness {
	l := likeness{features: make([]float64, a.cols.size()), tap: a.cols.number(tapThickness, 0)}
	x := math.Abs(logThickness(settle(q.ThicknessIn)))
	for _, t := range a.terms {
		square := t.value * t.value
		switch a.cols.family(t.col) {
		case liveSession:
			continue
		case common, machineOffset, machineState, spool, user:
			l.elsewhere += square
		case machineSlope, tapThickness:
			l.slopes += square / x // a term of 0 is left out, so x is not 0
		}
		l.variance += square
		l.features[t.col] = t.value
	}
	return l
}

// shared is the prior covariance of terms with the question.
func (l *likeness) shared(terms []term) (sum float64) {
	for _, t := range terms {
		sum += t.value * l.features[t.col]
	}
	return sum
}

// tooFar reports that no block of a cell other than the question's can be like enough.
func (l *likeness) tooFar(s *stretch, ofCell float64) bool {
	most := l.elsewhere + l.slopes*math.Abs(s.x) + ofCell
	return most < (likeCorrelation-1e-6)*math.Sqrt(l.variance*s.least)
}

// correlation is the prior correlation with the question of welds that share so much with it and have that prior variance,
// rounded so that jobs alike by different sums rank as alike.
func (l *likeness) correlation(shared, prior float64) float64 {
	return math.Round(1e9*shared/math.Sqrt(l.variance*prior)) / 1e9
}
