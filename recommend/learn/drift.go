package learn

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Question asks whether something on a machine changed unnoticed. It changes nothing: a yes is a new State of the machine
// from weld Since on.
type Question struct {
	Machine      string  `json:"machine"`
	State        string  `json:"state"`
	Since        string  `json:"since"`         // id of the first weld after the apparent change
	Welds        int     `json:"welds"`         // number of welds since
	ShiftPercent float64 `json:"shift_percent"` // of the best wire speed
	Score        float64 `json:"score"`         // shift over its standard error; asked above 2
}

// Words is the question as put to the welder.
func (q Question) Words() string {
	way := "more"
	if q.ShiftPercent < 0 {
		way = "less"
	}
	return fmt.Sprintf("Your last %d welds on this machine point to about %.0f %% %s wire than those before. "+
		"Did something change: wire, tip, liner, drive roll, polarity, extension cord?", q.Welds, math.Abs(q.ShiftPercent), way)
}

// visit is one session seen from the fit: how far its welds lie from what the model expects without the spool.
type visit struct {
	first     *Weld
	welds     int
	residual  float64
	precision float64
}

// Drift looks for a jump in the last 80 welds of the machine in its newest state used, with at least 4 sessions before
// and 2 after it. False when there is nothing to ask, or no such machine.
func (m *Model) Drift(machine string) (Question, bool) {
	visits, state := m.visits(machine)
	var best Question
	for i := driftBefore; i <= len(visits)-driftAfter; i++ {
		before, pBefore := pooled(visits[:i])
		after, pAfter := pooled(visits[i:])
		shift := after - before
		score := math.Abs(shift) / math.Sqrt(1/pBefore+1/pAfter)
		if score > best.Score {
			best = Question{machine, state, visits[i].first.ID, 0, 100 * math.Expm1(shift), score}
			for _, v := range visits[i:] {
				best.Welds += v.welds
			}
		}
	}
	return best, best.Score > driftScore && math.Abs(best.ShiftPercent) >= 0.5
}

func pooled(visits []visit) (mean, precision float64) {
	for _, v := range visits {
		mean += v.precision * v.residual
		precision += v.precision
	}
	return mean / precision, precision
}

func (m *Model) visits(machine string) (visits []visit, state string) {
	type seen struct {
		weld  *Weld
		trial *trial
		at    int
	}
	var all []seen
	var newest *Weld
	for _, t := range m.whole.trials {
		if t.key.machine != machine {
			continue
		}
		for i, b := range t.beads {
			all = append(all, seen{b.weld, t, i})
			if newest == nil || compareTime(b.weld, newest) > 0 {
				newest = b.weld
			}
		}
	}
	if newest == nil {
		return nil, ""
	}
	all = slices.DeleteFunc(all, func(s seen) bool { return s.weld.State != newest.State })
	slices.SortFunc(all, func(a, b seen) int { return compareTime(a.weld, b.weld) })
	all = all[max(0, len(all)-driftWelds):]

	// The sum over a session is taken in order of time, which is fixed.
	type session struct {
		trial *trial
		name  int32
	}
	at := map[session]int{}
	for _, s := range all {
		o := s.trial.seen[s.at]
		if o.silent {
			continue
		}
		k := session{s.trial, s.trial.beads[s.at].session}
		i, ok := at[k]
		if !ok {
			i = len(visits)
			at[k] = i
			visits = append(visits, visit{first: s.weld})
		}
		v := &visits[i]
		v.welds++
		v.precision += o.weight / o.v
		v.residual += o.weight / o.v * (o.m - m.withoutSpool(s.trial))
	}
	for i := range visits {
		v := &visits[i]
		v.residual /= v.precision
		v.precision = 1 / (1/v.precision + sdSession*sdSession + sdCell*sdCell)
	}
	slices.SortStableFunc(visits, func(a, b visit) int { return cmp.Or(compareTime(a.first, b.first)) })
	return visits, newest.State
}

// withoutSpool is the group's fitted f less the part of its spool.
func (m *Model) withoutSpool(t *trial) (f float64) {
	for _, x := range t.terms {
		if m.cols.family(x.col) != spool {
			f += x.value * m.whole.post.beta[x.col]
		}
	}
	return f
}
