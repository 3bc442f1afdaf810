package learn

import (
	"cmp"
	"math"
	"slices"
)

// contributions splits f by group of effects, largest first.
func (a *answer) contributions() []Contribution {
	var out []Contribution
	for _, name := range groupOrder {
		var shift float64
		for _, t := range a.terms {
			if a.cols.name(t.col).effect.group() == name {
				shift += t.value * a.post.beta[t.col]
			}
		}
		if shift != 0 {
			out = append(out, Contribution{name, shift})
		}
	}
	slices.SortStableFunc(out, func(x, y Contribution) int {
		return sign(math.Abs(y.LogShift) - math.Abs(x.LogShift))
	})
	return out
}

// countLike counts the welds of jobs whose f is expected, before any weld, to go with that of the question: prior
// correlation of at least 0.6.
func (a *answer) countLike(e *Estimate, q *Query) {
	features := make([]float64, a.cols.size())
	var own float64
	for _, t := range a.terms {
		if a.cols.name(t.col).effect == liveSession {
			continue
		}
		features[t.col] = t.value
		own += t.value * t.value
	}
	job := q.cell()
	var weight, sum float64
	var sides int
	var nearest shortlist
	for _, trials := range [2][]*trial{a.rest, a.trials} {
		for _, t := range trials {
			var shared float64
			for _, x := range t.group.terms {
				shared += x.value * features[x.col]
			}
			if t.key.cell == job {
				shared += sdCell * sdCell
			}
			if !t.ownSpool && t.key.spool == q.Spool {
				shared += sdSpool * sdSpool
			}
			correlation := shared / math.Sqrt(own*t.prior)
			if correlation < likeCorrelation {
				continue
			}
			for i, b := range t.beads {
				switch o := t.seen[i]; {
				case b.weld.good():
					e.GoodLike++
					weight += o.weight / o.v
					sum += o.weight / o.v * b.y
				case b.side != 0:
					e.FailedLike++
					sides += b.side
				default:
					continue
				}
				nearest.offer(b.weld, correlation)
			}
		}
	}
	e.LikeIDs = nearest.ids()
	e.FailedSide = sign(float64(sides))
	if weight > 0 {
		e.MeanGoodPercent = 100 * math.Expm1(sum/weight)
	}
}

// shortlist keeps the few welds most like the job, newest first among equals.
type shortlist []liked

type liked struct {
	weld        *Weld
	correlation float64
}

const listed = 12

func (x liked) compare(y liked) int {
	return cmp.Or(cmp.Compare(y.correlation, x.correlation), compareTime(y.weld, x.weld))
}

func (s *shortlist) offer(w *Weld, correlation float64) {
	x := liked{w, correlation}
	if n := len(*s); n == listed {
		if x.compare((*s)[n-1]) > 0 {
			return
		}
		*s = (*s)[:n-1]
	}
	i, _ := slices.BinarySearchFunc(*s, x, liked.compare)
	*s = slices.Insert(*s, i, x)
}

func (s shortlist) ids() []string {
	out := make([]string, len(s))
	for i, x := range s {
		out[i] = x.weld.ID
	}
	return out
}
