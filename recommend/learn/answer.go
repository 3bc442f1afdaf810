package learn

import (
	"math"
	"slices"
)

// answer is the fit for one question.
type answer struct {
	fit
	cols  *columns
	terms []term // of the question, with exact-job and live columns
	f, sd float64
	widen float64
	redone
}

// redone is what a question singles out: all blocks, or those of its exact job and, if its spool has no column yet, the
// groups of that.
type redone struct {
	first, last int   // blocks
	strays      []int // groups of other blocks, rising
}

func (m *Model) choose(q *Query) redone {
	if len(m.welds) <= m.tune.exact {
		return redone{0, len(m.blocks), nil}
	}
	var d redone
	if i, ok := m.byCell[q.cell()]; ok {
		d.first, d.last = m.cells[i].first, m.cells[i].last
	}
	if !m.spools[q.Spool] {
		d.strays = slices.DeleteFunc(m.ofSpool(q.Spool), func(k int) bool {
			return d.has(m, k)
		})
	}
	return d
}

// each calls do with the number of each group that is redone.
func (d *redone) each(l *ledger, do func(k int)) {
	for i := d.first; i < d.last; i++ {
		for k := l.blocks[i].first; k < l.blocks[i].last; k++ {
			do(k)
		}
	}
	for _, k := range d.strays {
		do(k)
	}
}

// has reports whether a group is redone.
func (d *redone) has(m *Model, group int) bool {
	b := int(m.groups[group].block)
	_, stray := slices.BinarySearch(d.strays, group)
	return stray || d.first <= b && b < d.last
}

// ask fits the log with the question's exact job, spool and live session singled out. Small logs are fitted afresh; in
// large ones only the groups of the same job or spool are redone and the rest keeps its weights, pass by pass.
func (m *Model) ask(q *Query) (*answer, error) {
	a := &answer{cols: &columns{below: m.cols}, redone: m.choose(q)}
	a.terms = m.fleet[q.Machine].terms(a.cols, &q.Setup)
	exact := a.cols.number(exactJob, 0)
	a.terms = append(a.terms, term{exact, sdCell})
	a.startLogged(m, q, exact)
	a.startLive(m, q, exact)
	inOrder(a.terms)
	n := a.cols.size()
	err := a.run(m.tune.passes, func(pass int) *system {
		if a.last-a.first == len(m.blocks) {
			return newSystem(n)
		}
		s := m.systems[pass].grown(n)
		for _, b := range m.blocks[a.first:a.last] {
			s.add(b.terms, pool(m.rows[pass][b.first:b.last]), -1)
		}
		for _, k := range a.strays {
			s.add(m.blocks[m.groups[k].block].terms, m.rows[pass][k], -1)
		}
		return s
	}, nil)
	if err != nil {
		return nil, err
	}
	a.square += m.whole.square
	a.rows += m.whole.rows
	a.each(&m.ledger, func(k int) {
		if m.rows[len(m.rows)-1][k].used() {
			a.square -= m.counts[k].square
			a.rows--
		}
	})
	a.f = a.post.mean(a.terms)
	a.sd = math.Sqrt(a.post.variance(a.terms))
	a.widen = min(maxWiden, max(1, math.Sqrt((widenPrior+a.square)/(widenPrior+float64(a.rows)))))
	return a, nil
}

// startLogged starts the trials of the groups that the question singles out: its own job's with the exact-job column, its
// spool's with a column of their own. Live welds are left out.
func (a *answer) startLogged(m *Model, q *Query, exact int) {
	var beads, groups int
	a.each(&m.ledger, func(k int) {
		beads += len(m.groups[k].beads)
		groups++
	})
	memory := newSlab(beads, groups)
	job := -1
	if i, ok := m.byCell[q.cell()]; ok {
		job = i
	}
	add := func(b *block, groups []group, apart bool) {
		if len(groups) == 0 {
			return
		}
		terms, column := b.terms, -1
		if apart {
			terms = append(slices.Clone(terms), term{a.cols.name(spool, q.Spool), sdSpool})
		}
		if b.cell == job {
			column = exact
		}
		a.trials = append(a.trials, newTrial(groups, terms, m.cells[b.cell].half, column, -1, apart || b.spool >= 0, memory))
	}
	live, holders := m.logged(q)
	for i := a.first; i < a.last; i++ {
		b := &m.blocks[i]
		kept, apart := m.part(b, q.Spool, live, holders)
		add(b, kept, false)
		add(b, apart, true)
	}
	for _, k := range a.strays {
		add(&m.blocks[m.groups[k].block], m.groups[k:k+1], true)
	}
}

// logged returns the ids of live welds that are in the log as well, and the numbers of the groups that hold them.
func (m *Model) logged(q *Query) (ids map[string]bool, holders map[int]bool) {
	for i := range q.Live {
		if w := m.welds[q.Live[i].ID]; w != nil && w.cell() == q.cell() {
			if ids == nil {
				ids, holders = map[string]bool{}, map[int]bool{}
			}
			ids[w.ID], holders[m.find(&w.Setup)] = true, true
		}
	}
	return ids, holders
}

// part gives the groups of a block without the live welds; apart are those of the spool if it has no column.
func (m *Model) part(b *block, name string, live map[string]bool, holders map[int]bool) (kept, apart []group) {
	kept = m.groups[b.first:b.last]
	whole := true
	number, known := m.bySpool[name]
	for k := b.first; k < b.last; k++ {
		g := m.groups[k]
		away := b.spool < 0 && known && g.spool == number
		if whole && (away || holders[k]) {
			whole, kept = false, slices.Clone(m.groups[b.first:k])
		}
		if holders[k] {
			if g = g.without(live); len(g.beads) == 0 {
				continue
			}
		}
		switch {
		case away:
			apart = append(apart, g)
		case !whole:
			kept = append(kept, g)
		}
	}
	return kept, apart
}

// startLive starts the trials of today's beads.
func (a *answer) startLive(m *Model, q *Query, exact int) {
	today := newJournal(len(q.Live))
	for i := range q.Live {
		today.read(&q.Live[i], false)
	}
	if len(today.beads) == 0 {
		return
	}
	today.arrange(nil)
	column := a.cols.number(liveSession, 0)
	a.terms = append(a.terms, term{column, sdLive})
	beads := today.beads
	for _, l := range today.lots {
		if l.beads == 0 {
			continue
		}
		groups := []group{{setup: l.setup, newest: l.newest, beads: beads[:l.beads]}}
		beads = beads[l.beads:]
		terms := inOrder(m.fleet[q.Machine].terms(a.cols, l.setup))
		a.trials = append(a.trials, newTrial(groups, terms, halfWindow(settle(q.ThicknessIn)), exact, column, true, new(slab)))
	}
}
