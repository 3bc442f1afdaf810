package learn

import (
	"fmt"
	"math"
)

// Gain is what one more bead somewhere would do for a target.
type Gain struct {
	SD    float64 `json:"sd"`    // of the target's F afterwards, before Widen, ln units
	Share float64 `json:"share"` // of the target's variance that goes, 0 to 1
}

// Narrow tells, for each candidate, what one more bead of that setup, in a session of its own and rated 4, would do for the
// target: which coupon is worth the wire. It says by how much the range narrows, not which way the answer moves, and holds
// the weights of the welds logged. Of the candidates only the setup is read; they may be of any job, machine or spool.
//
// In closed form: a bead changes the precision of its group's row by d, so the variance of the target falls by
// d k^2 / (1 + d h), where k is the posterior covariance of the two and h the candidate's own variance (the formula of
// Sherman and Morrison). Errors are those of Suggest; an InputError counts candidates from 1.
func (m *Model) Narrow(target Query, candidates []Query) ([]Gain, error) {
	if err := target.check(m.fleet); err != nil {
		return nil, err
	}
	for i := range candidates {
		if e := candidates[i].Setup.fault(m.fleet); e != nil {
			return nil, e.of(fmt.Sprint("candidate ", i+1))
		}
	}
	a, err := m.ask(&target)
	if err != nil {
		return nil, err
	}
	out := make([]Gain, len(candidates))
	for i := range candidates {
		terms, free := m.coupon(a, &target, &candidates[i].Setup)
		before, after := m.oneMore(a, &candidates[i].Setup, free)
		d := after - before
		k, h := a.post.covariance(terms, a.terms), a.post.covariance(terms, terms)
		less := d * k * k / (1 + d*h)
		out[i] = Gain{math.Sqrt(a.sd*a.sd - less), less / (a.sd * a.sd)}
	}
	return out, nil
}

// coupon gives the features of a bead of a setup, and the variance that has no column.
func (m *Model) coupon(a *answer, target *Query, s *Setup) (terms []term, free float64) {
	for _, t := range m.fleet[s.Machine].terms(a.cols, s) {
		if a.cols.family(t.col) == spool && t.col >= a.post.n {
			free += t.value * t.value
		} else {
			terms = append(terms, t)
		}
	}
	if s.cell() == target.cell() {
		return append(terms, term{a.cols.number(exactJob, 0), sdCell}), free
	}
	return terms, free + sdCell*sdCell
}

// oneMore is the precision of the row of the setup's group as it stands and with one more session of one bead.
func (m *Model) oneMore(a *answer, s *Setup, free float64) (before, after float64) {
	before = m.precision(a, m.find(s))
	var sessions float64 // precision of the row but for what has no column
	if before > 0 {
		sessions = 1 / (1/before - free)
	}
	_, spread := pull(4)
	spread *= halfWindow(settle(s.ThicknessIn))
	sessions += 1 / (spread*spread + sdSession*sdSession)
	return before, 1 / (1/sessions + free)
}

// precision is that of a logged group's row in the answer's last pass.
func (m *Model) precision(a *answer, group int) float64 {
	if group < 0 {
		return 0
	}
	for i := range a.trials {
		t := &a.trials[i]
		for k := range t.groups {
			if t.groups[k].setup == m.groups[group].setup {
				return t.rows[k].precision
			}
		}
	}
	if a.has(m, group) {
		return 0 // all of its beads are live
	}
	return m.rows[len(m.rows)-1][group].precision
}
