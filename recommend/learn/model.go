package learn

import (
	"math"
	"slices"
)

var inf = math.Inf(1)

// Model holds a log of welds ready for questions. It does not change and may be shared. Logging, correcting or striking a
// weld means a new Model: 100,000 welds take well under 100 ms.
type Model struct {
	tune    tune
	fleet   map[string]*rig
	welds   map[string]*Weld // by id
	ballots []*ballot
	groups  []*group
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
// merely lack settings or a rating are kept and not learned from.
func New(machines []Machine, welds []Weld) (*Model, error) {
	return newModel(machines, welds, tune{passes, exactBeads})
}

func newModel(machines []Machine, welds []Weld, t tune) (*Model, error) {
	m := &Model{tune: t, fleet: make(map[string]*rig, len(machines)), cols: newColumns(nil)}
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
	welds = slices.Clone(welds)
	m.welds = make(map[string]*Weld, len(welds))
	all := make([]*Weld, len(welds))
	for i := range welds {
		w := &welds[i]
		if err := w.check(m.fleet); err != nil {
			return nil, err
		}
		if m.welds[w.ID] != nil {
			return nil, &InputError{"weld " + w.ID, "id", "used twice", "an id of its own for every weld"}
		}
		m.welds[w.ID] = w
		all[i] = w
	}
	m.cols.number(column{effect: common})
	m.groups = sortGroups(all)
	m.ballots = ballots(all)
	m.spools = newestSpools(m.groups)
	for _, g := range m.groups {
		g.describe(m.cols, m.fleet[g.key.machine], m.spools[g.key.spool])
	}
	return m, m.fitWhole()
}

// newestSpools returns the spools last used.
func newestSpools(groups []*group) map[string]bool {
	last := map[string]*Weld{}
	for _, g := range groups {
		for _, b := range g.beads {
			if l := last[g.key.spool]; l == nil || compareTime(b.weld, l) > 0 {
				last[g.key.spool] = b.weld
			}
		}
	}
	welds := make([]*Weld, 0, len(last))
	for _, w := range last {
		welds = append(welds, w)
	}
	slices.SortFunc(welds, func(a, b *Weld) int { return compareTime(b, a) })
	out := map[string]bool{}
	for _, w := range welds[:min(len(welds), explicitSpools)] {
		out[w.Spool] = true
	}
	return out
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
	for _, g := range m.groups {
		m.whole.trials = append(m.whole.trials, newTrial(g, g.terms, -1, -1, g.ownSpool))
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
	cols  *columns
	terms []term // of the question, with exact-job and live columns
	f, sd float64
	widen float64
	rest  []*trial // groups of the log taken as fitted before
}

// ask fits the log with the question's exact job, spool and live session singled out. Small logs are fitted afresh; in
// large ones only the groups of the same job or spool are redone and the rest keeps its weights, pass by pass.
func (m *Model) ask(q *Query) (*answer, error) {
	a := &answer{cols: newColumns(m.cols)}
	r := m.fleet[q.Machine]
	a.terms = r.terms(a.cols, &q.Setup, true)
	exact := a.cols.number(column{effect: exactJob})
	a.terms = append(a.terms, term{exact, sdCell})

	live := make([]*Weld, len(q.Live))
	again := make(map[string]bool, len(q.Live))
	for i := range q.Live {
		live[i] = &q.Live[i]
		again[live[i].ID] = true
	}
	job := q.cell()
	all := len(m.welds) <= m.tune.exact
	var redone []int
	for i, g := range m.groups {
		same := g.key.cell == job
		spooled := g.ownSpool || g.key.spool == q.Spool
		if !all && !same && spooled == g.ownSpool {
			a.rest = append(a.rest, m.whole.trials[i])
			continue
		}
		redone = append(redone, i)
		terms := g.terms
		if spooled != g.ownSpool {
			terms = m.fleet[g.key.machine].terms(a.cols, &g.beads[0].weld.Setup, true)
		}
		column := -1
		if same {
			column = exact
			if len(again) > 0 {
				if g = g.without(again); g == nil {
					continue
				}
			}
		}
		a.trials = append(a.trials, newTrial(g, terms, column, -1, spooled))
	}
	if groups := sortGroups(live); len(groups) > 0 {
		today := a.cols.number(column{effect: liveSession})
		a.terms = append(a.terms, term{today, sdLive})
		for _, g := range groups {
			g.live = true
			g.describe(a.cols, m.fleet[g.key.machine], true)
			a.trials = append(a.trials, newTrial(g, g.terms, exact, today, true))
		}
	}
	n := a.cols.size()
	err := a.run(m.tune.passes, func(pass int) *system {
		if all {
			return newSystem(n)
		}
		s := m.systems[pass].grown(n)
		for _, i := range redone {
			s.add(m.groups[i].terms, m.rows[pass][i], -1)
		}
		return s
	}, nil)
	if err != nil {
		return nil, err
	}
	for _, t := range a.rest {
		a.square += t.square
		if t.row.used {
			a.rows++
		}
	}
	a.f = a.post.mean(a.terms)
	a.sd = math.Sqrt(a.post.variance(a.terms))
	a.widen = min(maxWiden, max(1, math.Sqrt((widenPrior+a.square)/(widenPrior+float64(a.rows)))))
	return a, nil
}
