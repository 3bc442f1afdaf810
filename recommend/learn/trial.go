package learn

import "math"

// observation is where a bead says the best setting lies: m with variance v, and the weight that the robust passes give
// it. Until its side is imputed, a failure without direction is silent.
type observation struct {
	m, v, weight float64
	silent       bool
}

// row is a group folded into one observation of its features.
type row struct {
	m, v float64
	used bool
}

// trial is a group during the passes of one fit.
type trial struct {
	*group
	terms   []term
	free    float64 // variance of effects without a column here
	session float64 // variance between sessions, 0 when the session has a column
	seen    []observation
	row     row
	square  float64 // squared leave-one-out residual, after the last pass
	tally   tally   // likewise
}

// newTrial starts a group; exact and live give the numbers of those columns, or -1 for none. The observations are taken
// from the slab while it lasts.
func newTrial(g *group, terms []term, exact, live int, ownSpool bool, slab *[]observation) *trial {
	n := len(g.beads)
	if len(*slab) < n {
		*slab = make([]observation, max(n, 256))
	}
	t := &trial{group: g, terms: terms, session: sdSession * sdSession, seen: (*slab)[:n:n]}
	*slab = (*slab)[n:]
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
	for i := range g.beads {
		b := &g.beads[i]
		a, s := pull(b.rating)
		t.seen[i] = observation{
			m: b.y - a*float64(b.side)*t.half, v: s * t.half * s * t.half, weight: 1,
			silent: b.side == 0 && !b.good(),
		}
	}
	return t
}

// impute gives silent failures the side on which the model of the first pass sees them, trusted as far as it is clear.
func (t *trial) impute(p *posterior) {
	var f, spread float64
	for i := range t.seen {
		o := &t.seen[i]
		if !o.silent {
			continue
		}
		if spread == 0 {
			f = p.mean(t.terms)
			spread = math.Sqrt(p.variance(t.terms) + sdSession*sdSession + sdCell*sdCell + sdImpute*sdImpute)
		}
		b := &t.beads[i]
		q := math.Erf((b.y - f) / spread / math.Sqrt2) // 2 Phi(z) - 1
		a, _ := pull(b.rating)
		o.m = b.y - a*float64(sign(q))*t.half
		if math.Abs(q) < tossUp {
			o.v = ignoredVariance
		} else {
			o.v /= q * q
		}
		o.silent = false
	}
}

// reweigh sets the Student-t weights from the last pass.
func (t *trial) reweigh(p *posterior) {
	f := p.mean(t.terms)
	for i := range t.seen {
		o := &t.seen[i]
		e := o.m - f
		o.weight = (studentNu + 1) / (studentNu + e*e/(o.v+sdSession*sdSession+sdCell*sdCell))
	}
}

// fold collapses beads to sessions and sessions to one row.
func (t *trial) fold() {
	var total, sum float64 // over sessions
	for i := 0; i < len(t.beads); {
		var tau, at float64 // over beads
		s := t.beads[i].session
		for ; i < len(t.beads) && t.beads[i].session == s; i++ {
			if o := &t.seen[i]; !o.silent {
				w := o.weight / o.v
				tau += w
				at += w * o.m
			}
		}
		if tau > 0 {
			v := 1/tau + t.session
			total += 1 / v
			sum += at / tau / v
		}
	}
	t.row = row{}
	if total > 0 {
		t.row = row{sum / total, 1/total + t.free, true}
	}
}

// leaveOut sets the squared residual of the row against the fit without it, in units of its own spread.
func (t *trial) leaveOut(p *posterior) {
	t.square = 0
	if !t.row.used {
		return
	}
	hat := p.variance(t.terms) / t.row.v
	e := t.row.m - p.mean(t.terms)
	t.square = min(outlierSquare, e*e/(t.row.v*max(leverageFloor, 1-hat)))
}
