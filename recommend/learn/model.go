package learn

import (
	"math"
	"slices"
)

var inf = math.Inf(1)

// Model holds a log of welds ready for questions. It does not change and may be shared. Logging, correcting or striking a
// weld means a new Model, which takes about 1 ms for a thousand welds; a question then takes about as long, whatever the
// size of the log (see the benchmarks).
type Model struct {
	tune    tune
	fleet   map[string]*rig
	welds   map[string]*Weld // by id
	ballots map[rigState][]*ballot
	groups  []*group
	ledger
	cols    *columns
	spools  map[string]bool // those with a column
	whole   fit             // all groups, no job singled out
	systems []*system
	rows    [][]row // by pass, by group
}

// tune is what tests of single parts turn.
type tune struct {
	passes int
	exact  int // number of beads up to which each question refits all of them
}

// New reads machines and welds in any order. It returns an InputError for a record that cannot be right; welds that
// merely lack settings or a rating are kept and not learned from. The welds must not be changed afterwards.
func New(machines []Machine, welds []Weld) (*Model, error) {
	return newModel(machines, welds, tune{passes, exactBeads})
}

func newModel(machines []Machine, welds []Weld, t tune) (*Model, error) {
	m := &Model{tune: t, fleet: make(map[string]*rig, len(machines)), cols: &columns{}}
	for _, x := range machines {
		r, err := newRig(x)
		if err != nil {
			return nil, err
		}
		if m.fleet[x.ID] != nil {
			return nil, &InputError{"machine " + x.ID, "id", "used twice", "an id of its own for every machine"}
		}
		m.fleet[x.ID] = r
	}
	m.welds = make(map[string]*Weld, len(welds))
	all := make([]*Weld, len(welds))
	for i := range welds {
		w := &welds[i]
		if err := w.check(m.fleet, i > 0 && w.Setup == welds[i-1].Setup); err != nil {
			return nil, err
		}
		if m.welds[w.ID] != nil {
			return nil, &InputError{"weld " + w.ID, "id", "used twice", "an id of its own for every weld"}
		}
		m.welds[w.ID] = w
		all[i] = w
	}
	m.cols.number(common, 0)
	lots := sortLots(all)
	m.groups = newGroups(lots)
	m.ballots = newBallots(lots)
	m.spools = newestSpools(m.groups)
	for _, g := range m.groups {
		g.describe(m.cols, m.fleet[g.key.machine], m.spools[g.key.spool])
	}
	m.ledger = newLedger(m.groups, m.cols)
	return m, m.fitWhole()
}

// fit is the outcome of the passes over some groups.
type fit struct {
	post   *posterior
	trials []*trial
	square float64 // sum of squared leave-one-out residuals
	rows   int
}

// fitWhole fits all welds with every cell collapsed, and keeps each pass so that a question need only redo the groups
// that it singles out.
func (m *Model) fitWhole() error {
	m.whole.trials = make([]*trial, len(m.groups))
	slab := make([]observation, beads(m.groups))
	for i, g := range m.groups {
		m.whole.trials[i] = newTrial(g, g.terms, -1, -1, g.ownSpool, &slab)
	}
	return m.whole.run(m.tune.passes, func(pass int) *system {
		return newSystem(m.cols.size())
	}, func(s *system) {
		m.systems = append(m.systems, s)
		rows := make([]row, len(m.whole.trials))
		for i, t := range m.whole.trials {
			rows[i] = t.row
		}
		m.rows = append(m.rows, rows)
	})
}

// run does the passes: start gives the system to add the rows to, done sees it complete.
func (f *fit) run(passes int, start func(pass int) *system, done func(*system)) (err error) {
	for pass := range passes {
		if pass > 0 {
			for _, t := range f.trials {
				if pass == 1 {
					t.impute(f.post)
				}
				t.reweigh(f.post)
			}
		}
		s := start(pass)
		for _, t := range f.trials {
			t.fold()
			s.add(t.terms, t.row, 1)
		}
		if f.post, err = s.solve(); err != nil {
			return err
		}
		if done != nil {
			done(s)
		}
	}
	for _, t := range f.trials {
		t.leaveOut(f.post)
		t.count()
		f.square += t.square
		if t.row.used {
			f.rows++
		}
	}
	return nil
}

// answer is the fit for one question.
type answer struct {
	fit
	cols    *columns
	terms   []term // of the question, with exact-job and live columns
	f, sd   float64
	widen   float64
	fresh   bool  // all groups were redone
	redone  []int // else those that were, rising
	jobCell int   // number of the question's cell, -1 if the log has none
}

// choose sets which groups the question singles out: those of its exact job, and those of its spool if that has no
// column yet.
func (m *Model) choose(a *answer, q *Query) {
	a.fresh = len(m.welds) <= m.tune.exact
	a.jobCell = -1
	if c, ok := m.byCell[q.cell()]; ok {
		a.jobCell = c
	}
	switch {
	case a.fresh:
		for i := range m.groups {
			a.redone = append(a.redone, i)
		}
		return
	case a.jobCell >= 0:
		for i := m.cells[a.jobCell].first; i < m.cells[a.jobCell].last; i++ {
			a.redone = append(a.redone, i)
		}
	}
	a.redone = append(a.redone, m.bySpool[q.Spool]...)
	slices.Sort(a.redone)
	a.redone = slices.Compact(a.redone)
}

// ask fits the log with the question's exact job, spool and live session singled out. Small logs are fitted afresh; in
// large ones only the groups of the same job or spool are redone and the rest keeps its weights, pass by pass.
func (m *Model) ask(q *Query) (*answer, error) {
	a := &answer{cols: &columns{below: m.cols}}
	r := m.fleet[q.Machine]
	a.terms, _ = r.terms(a.cols, &q.Setup, true)
	exact := a.cols.number(exactJob, 0)
	a.terms = append(a.terms, term{exact, sdCell})

	live := make([]*Weld, len(q.Live))
	again := make(map[string]bool, len(q.Live))
	for i := range q.Live {
		live[i] = &q.Live[i]
		again[live[i].ID] = true
	}
	m.choose(a, q)
	job := q.cell()
	var slab []observation
	for _, i := range a.redone {
		g := m.groups[i]
		terms, ownSpool, column := g.terms, g.ownSpool, -1
		if !ownSpool && g.key.spool == q.Spool {
			terms, _ = m.fleet[g.key.machine].terms(a.cols, &g.beads[0].weld.Setup, true)
			ownSpool = true
		}
		if g.key.cell == job {
			column = exact
			if len(again) > 0 {
				if g = g.without(again); g == nil {
					continue
				}
			}
		}
		a.trials = append(a.trials, newTrial(g, terms, column, -1, ownSpool, &slab))
	}
	if groups := newGroups(sortLots(live)); len(groups) > 0 {
		today := a.cols.number(liveSession, 0)
		a.terms = append(a.terms, term{today, sdLive})
		for _, g := range groups {
			g.describe(a.cols, m.fleet[g.key.machine], true)
			a.trials = append(a.trials, newTrial(g, g.terms, exact, today, true, new([]observation)))
		}
	}
	n := a.cols.size()
	err := a.run(m.tune.passes, func(pass int) *system {
		if a.fresh {
			return newSystem(n)
		}
		s := m.systems[pass].grown(n)
		for _, i := range a.redone {
			s.add(m.groups[i].terms, m.rows[pass][i], -1)
		}
		return s
	}, nil)
	if err != nil {
		return nil, err
	}
	if !a.fresh {
		a.square += m.whole.square
		a.rows += m.whole.rows
		for _, i := range a.redone {
			if t := m.whole.trials[i]; t.row.used {
				a.square -= t.square
				a.rows--
			}
		}
	}
	a.f = a.post.mean(a.terms)
	a.sd = math.Sqrt(a.post.variance(a.terms))
	a.widen = min(maxWiden, max(1, math.Sqrt((widenPrior+a.square)/(widenPrior+float64(a.rows)))))
	return a, nil
}
