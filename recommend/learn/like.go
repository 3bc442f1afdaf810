package learn

import (
	"cmp"
	"math"
	"slices"
)

// contributions splits f by group of effects, largest first; those of one size, but for rounding, in the order of groupOrder.
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
		return cmp.Compare(math.Round(1e9*math.Abs(y.LogShift)), math.Round(1e9*math.Abs(x.LogShift)))
	})
	return out
}

// countLike counts the welds of jobs whose f is expected, before any weld, to go with that of the question: prior
// correlation of at least 0.6.
func (m *Model) countLike(e *Estimate, q *Query, a *answer) {
	l := a.likeness(q)
	var c likeCount
	if a.last-a.first < len(m.blocks) {
		m.countKept(&c, &l, a)
	}
	for i := range a.trials {
		t := &a.trials[i]
		c.add(t, l.correlation(l.shared(t.terms), t.prior()), nil)
	}
	e.GoodLike, e.FailedLike, e.FailedSide = int(c.good), int(c.failed), sign(float64(c.sides))
	e.UnclearLike = int(c.unclear)
	if e.FailedSide != 0 {
		e.FailedAgree = int(c.failed+max(c.sides, -c.sides)) / 2
	}
	if c.weight > 0 {
		e.MeanGoodPercent = 100 * math.Expm1(c.sum/c.weight)
	}
	e.LikeIDs = c.nearest.ids()
}

// countKept counts the groups that the question leaves as they are.
func (m *Model) countKept(c *likeCount, l *likeness, a *answer) {
	clans := make([]float64, len(m.realms))
	for i, r := range m.realms {
		clans[i] = l.shared(r.terms)
	}
	for i := range m.cells {
		s := &m.cells[i]
		ofCell := l.shared(s.terms)
		if l.tooFar(s, ofCell) || s.first >= a.first && s.first < a.last {
			continue
		}
		for k := s.first; k < s.last; k++ {
			b := &m.blocks[k]
			shared := ofCell + clans[b.clan] + b.slope*l.features[m.realms[b.clan].slope] + b.tap*l.features[l.tap]
			if b.spool >= 0 {
				shared += sdSpool * l.features[b.spool]
			}
			if r := l.correlation(shared, b.prior); r >= likeCorrelation {
				c.add(&m.whole.trials[k], r, func(g int) bool { _, away := slices.BinarySearch(a.strays, b.first+g); return away })
			}
		}
	}
}

// likeCount sums up the welds of like jobs.
type likeCount struct {
	count
	nearest shortlist
}

// add takes in the groups of a block that are not to be left out.
func (c *likeCount) add(t *trial, correlation float64, out func(group int) bool) {
	if correlation < likeCorrelation {
		return
	}
	for k := range t.groups {
		if out != nil && out(k) {
			continue
		}
		n := &t.counts[k]
		c.good += n.good
		c.failed += n.failed
		c.sides += n.sides
		c.unclear += n.unclear
		c.weight += n.weight
		c.sum += n.sum
		if !c.nearest.takes(correlation, t.groups[k].newest) {
			continue
		}
		for i := range t.groups[k].beads {
			if b := &t.groups[k].beads[i]; b.good() || b.side != 0 {
				c.nearest.offer(b.weld, correlation)
			}
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
	if x.correlation != y.correlation {
		return cmp.Compare(y.correlation, x.correlation)
	}
	return compareTime(y.weld, x.weld)
}

// takes reports whether a weld of a group with this newest one may be listed.
func (s shortlist) takes(correlation float64, newest *Weld) bool {
	return len(s) < listed || liked{newest, correlation}.compare(s[len(s)-1]) <= 0
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
