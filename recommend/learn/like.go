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
			if a.cols.family(t.col).group() == name {
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
func (m *Model) countLike(e *Estimate, q *Query, a *answer) {
	l := a.likeness(q)
	job := q.cell()
	var c likeCount
	if !a.fresh {
		clan, slope := l.clans(m.clans)
		next := 0 // of the groups redone
		for i := range m.cells {
			s := &m.cells[i]
			ofCell := l.withCell(s.terms, i == a.jobCell)
			far := l.tooFar(s, ofCell)
			for k := s.first; k < s.last; k++ {
				if next < len(a.redone) && a.redone[next] == k {
					next++
				} else if g := &m.kin[k]; !far {
					shared := ofCell + clan[g.clan] + g.slope*slope[g.clan] + g.tap*l.tap
					if shared >= likeCorrelation*math.Sqrt(l.variance*g.prior) {
						c.add(m.whole.trials[k], shared/math.Sqrt(l.variance*g.prior))
					}
				}
			}
		}
	}
	for _, t := range a.trials {
		shared := l.withCell(t.group.terms[t.ofCell:], t.key.cell == job)
		if !t.ownSpool && t.key.spool == q.Spool {
			shared += sdSpool * sdSpool // a spool without a column, which only groups redone can share
		}
		c.add(t, l.correlation(t.group, shared))
	}
	e.GoodLike, e.FailedLike, e.FailedSide = c.good, c.failed, sign(float64(c.sides))
	e.UnclearLike = c.unclear
	if e.FailedSide != 0 {
		e.FailedAgree = (c.failed + max(c.sides, -c.sides)) / 2
	}
	if c.weight > 0 {
		e.MeanGoodPercent = 100 * math.Expm1(c.sum/c.weight)
	}
	e.LikeIDs = c.nearest.ids()
}

// tally sums up welds: good ones, failed ones with a direction and without, and where the good ones were set.
type tally struct {
	good, failed, sides, unclear int
	weight, sum                  float64
}

func (t *trial) count() {
	t.tally = tally{}
	for i := range t.beads {
		b, o := &t.beads[i], &t.seen[i]
		switch {
		case b.good():
			t.tally.good++
			t.tally.weight += o.weight / o.v
			t.tally.sum += o.weight / o.v * b.y
		case b.side != 0:
			t.tally.failed++
			t.tally.sides += int(b.side)
		default:
			t.tally.unclear++
		}
	}
}

// likeCount sums up the welds of like jobs.
type likeCount struct {
	tally
	nearest shortlist
}

func (c *likeCount) add(t *trial, correlation float64) {
	if correlation < likeCorrelation {
		return
	}
	c.good += t.tally.good
	c.failed += t.tally.failed
	c.sides += t.tally.sides
	c.unclear += t.tally.unclear
	c.weight += t.tally.weight
	c.sum += t.tally.sum
	if !c.nearest.takes(correlation) {
		return
	}
	for i := range t.beads {
		if b := &t.beads[i]; b.good() || b.side != 0 {
			c.nearest.offer(b.weld, correlation)
		}
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

func (s shortlist) takes(correlation float64) bool {
	return len(s) < listed || correlation >= s[len(s)-1].correlation
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
