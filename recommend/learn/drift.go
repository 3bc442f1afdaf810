package learn

import (
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

// visits are the sessions of the machine's last welds in the state used last, oldest first.
func (m *Model) visits(machine string) (visits []visit, state string) {
	var newest *Weld
	for _, b := range m.blocks {
		if m.realms[b.clan].machine != machine {
			continue
		}
		for _, g := range m.groups[b.first:b.last] {
			if newest == nil || compareTime(g.newest, newest) > 0 {
				newest = g.newest
			}
		}
	}
	if newest == nil {
		return nil, ""
	}
	// The sum over a session is taken in order of time, which is fixed.
	type session struct {
		group int
		name  int32
	}
	at := map[session]int{}
	for _, s := range m.lastSeen(machine, newest.State) {
		if s.weight == 0 {
			continue
		}
		k := session{s.group, s.bead.session}
		i, ok := at[k]
		if !ok {
			i = len(visits)
			at[k] = i
			visits = append(visits, visit{first: s.bead.weld})
		}
		v := &visits[i]
		v.welds++
		v.precision += s.weight
		v.residual += s.weight * (s.m - m.withoutSpool(m.groups[s.group].block))
	}
	for i := range visits {
		v := &visits[i]
		v.residual /= v.precision
		v.precision = 1 / (1/v.precision + sdSession*sdSession + sdCell*sdCell)
	}
	return visits, newest.State
}

// sighting is a bead with what was seen in it.
type sighting struct {
	*bead
	observation
	group int
}

// lastSeen returns the last 80 beads of a machine in a state, oldest first.
func (m *Model) lastSeen(machine, state string) (last []sighting) {
	byTime := func(a, b sighting) int { return compareTime(a.weld, b.weld) }
	for i := range m.blocks {
		b := &m.blocks[i]
		if who := &m.realms[b.clan]; who.machine != machine || who.state != state {
			continue
		}
		m.whole.trials[i].each(func(k int, g *group, seen []observation) {
			// Once cut to the last 80 and in order, groups that ended before those need no look.
			if len(last) == driftWelds && compareTime(g.newest, last[0].weld) < 0 {
				return
			}
			for n := range seen {
				last = append(last, sighting{&g.beads[n], seen[n], b.first + k})
			}
			if len(last) >= driftWelds {
				slices.SortFunc(last, byTime)
				last = slices.Delete(last, 0, len(last)-driftWelds)
			}
		})
	}
	slices.SortFunc(last, byTime)
	return last
}

// withoutSpool is a block's fitted f less the part of its spool.
func (m *Model) withoutSpool(block int32) (f float64) {
	for _, x := range m.blocks[block].terms {
		if m.cols.family(x.col) != spool {
			f += x.value * m.whole.post.beta[x.col]
		}
	}
	return f
}
