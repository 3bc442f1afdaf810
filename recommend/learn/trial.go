package learn

import "math"

// observation is where a bead says the best setting lies: m with variance v. Weight is its precision, cut by the robust
// passes; 0 for a failure without direction until its side is imputed.
type observation struct{ m, v, weight float64 }

// row is a group, or several of the same features, folded into one observation: its precision, and that times where it
// says the best setting lies. Zero is none.
type row struct{ precision, sum float64 }

// observed is the row of an observation m with variance v.
func observed(m, v float64) row { return row{1 / v, m / v} }

func (r row) used() bool { return r.precision > 0 }

// pool adds up rows of the same features.
func pool(rows []row) (all row) {
	for _, r := range rows {
		all.precision += r.precision
		all.sum += r.sum
	}
	return all
}

// count is what a group adds to the sums over all groups: the squared leave-one-out residual of its row, and its welds.
type count struct {
	square                       float64
	good, failed, sides, unclear int32
	weight, sum                  float64 // of good ones: where they were set
}

// trial is the groups of a block during the passes of one fit.
type trial struct {
	terms   []term
	half    float64 // half width of the good window, ln units
	free    float64 // variance of effects without a column here
	session float64 // variance between sessions, 0 when the session has a column
	groups  []group
	seen    []observation // of the beads of all groups
	rows    []row         // of each group
	counts  []count       // likewise, after the last pass
}

// slab gives out the working memory of trials.
type slab struct {
	seen   []observation
	rows   []row
	counts []count
}

func newSlab(beads, groups int) *slab {
	return &slab{make([]observation, beads), make([]row, groups), make([]count, groups)}
}

func (s *slab) take(beads, groups int) slab {
	if len(s.seen) < beads || len(s.rows) < groups {
		*s = *newSlab(max(beads, 256), max(groups, 64))
	}
	out := slab{s.seen[:beads], s.rows[:groups], s.counts[:groups]}
	s.seen, s.rows, s.counts = s.seen[beads:], s.rows[groups:], s.counts[groups:]
	return out
}

func countBeads(groups []group) (n int) {
	for i := range groups {
		n += len(groups[i].beads)
	}
	return n
}

// newTrial starts a block; exact and live give the numbers of those columns, or -1 for none.
func newTrial(groups []group, terms []term, half float64, exact, live int, ownSpool bool, from *slab) trial {
	s := from.take(countBeads(groups), len(groups))
	t := trial{terms: terms, half: half, session: sdSession * sdSession, groups: groups, seen: s.seen, rows: s.rows, counts: s.counts}
	if exact >= 0 {
		t.terms = append(t.terms[:len(t.terms):len(t.terms)], term{exact, sdCell})
	} else {
		t.free += sdCell * sdCell
	}
	if !ownSpool {
		t.free += sdSpool * sdSpool
	}
	if live >= 0 {
		t.terms = append(t.terms[:len(t.terms):len(t.terms)], term{live, sdLive})
		t.session = 0
	}
	t.each(func(_ int, g *group, seen []observation) {
		for i := range seen {
			b := &g.beads[i]
			a, s := pull(b.rating)
			v := s * half * s * half
			seen[i] = observation{m: b.y - a*float64(b.side)*half, v: v, weight: 1 / v}
			if b.side == 0 && !b.good() {
				seen[i].weight = 0
			}
		}
	})
	return t
}

// prior is the variance of f at these setups before any weld, today's session left out.
func (t *trial) prior() float64 {
	v := squares(t.terms) + t.free
	if t.session == 0 {
		v -= sdLive * sdLive
	}
	return v
}

// each calls do with the number of each group, the group and its observations.
func (t *trial) each(do func(i int, g *group, seen []observation)) {
	seen := t.seen
	for i := range t.groups {
		n := len(t.groups[i].beads)
		do(i, &t.groups[i], seen[:n])
		seen = seen[n:]
	}
}

// impute gives silent failures the side on which the model of the first pass sees them, trusted as far as it is clear.
func (t *trial) impute(p *posterior) {
	var f, spread float64
	t.each(func(_ int, g *group, seen []observation) {
		for i := range seen {
			o := &seen[i]
			if o.weight > 0 {
				continue
			}
			if spread == 0 {
				f = p.mean(t.terms)
				spread = math.Sqrt(p.variance(t.terms) + sdSession*sdSession + sdCell*sdCell + sdImpute*sdImpute)
			}
			b := &g.beads[i]
			q := math.Erf((b.y - f) / spread / math.Sqrt2) // 2 Phi(z) - 1
			a, _ := pull(b.rating)
			o.m = b.y - a*float64(sign(q))*t.half
			if math.Abs(q) < tossUp {
				o.v = ignoredVariance
			} else {
				o.v /= q * q
			}
		}
	})
}

// reweigh sets the Student-t weights from the last pass.
func (t *trial) reweigh(p *posterior) {
	f := p.mean(t.terms)
	for i := range t.seen {
		o := &t.seen[i]
		e := o.m - f
		o.weight = (studentNu + 1) / (studentNu + e*e/(o.v+sdSession*sdSession+sdCell*sdCell)) / o.v
	}
}

// fold collapses beads to sessions and sessions to one row a group.
func (t *trial) fold() {
	t.each(func(k int, g *group, seen []observation) {
		var total, sum float64 // over sessions
		for i := 0; i < len(seen); {
			var tau, at float64 // over beads
			for s := g.beads[i].session; i < len(seen) && g.beads[i].session == s; i++ {
				tau += seen[i].weight
				at += seen[i].weight * seen[i].m
			}
			if tau > 0 {
				v := 1/tau + t.session
				total += 1 / v
				sum += at / tau / v
			}
		}
		t.rows[k] = row{}
		if total > 0 {
			t.rows[k] = observed(sum/total, 1/total+t.free)
		}
	})
}

// leaveOut sets the squared residual of each row against the fit without it, in units of its own spread.
func (t *trial) leaveOut(p *posterior) {
	mean, variance := p.mean(t.terms), p.variance(t.terms)
	for i, r := range t.rows {
		t.counts[i].square = 0
		if r.used() {
			e := r.sum/r.precision - mean
			t.counts[i].square = min(outlierSquare, e*e*r.precision/max(leverageFloor, 1-variance*r.precision))
		}
	}
}

// count sums up the welds of each group.
func (t *trial) count() {
	t.each(func(k int, g *group, seen []observation) {
		c := count{square: t.counts[k].square}
		for i := range seen {
			b, o := &g.beads[i], &seen[i]
			switch {
			case b.good():
				c.good++
				c.weight += o.weight
				c.sum += o.weight * b.y
			case b.side != 0:
				c.failed++
				c.sides += int32(b.side)
			default:
				c.unclear++
			}
		}
		t.counts[k] = c
	})
}
