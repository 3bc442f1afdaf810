package learn

import "math"

var inf = math.Inf(1)

// Model holds a log of welds ready for questions. It does not change and may be shared. It answers for any job, machine
// and spool, those never welded included, and for the beads of today (Query.Live) whether or not they are in its log.
// Logging, correcting or striking a weld otherwise means a new Model. The package comment says what both cost.
type Model struct {
	tune    tune
	fleet   map[string]*rig
	welds   map[string]*Weld // by id
	ballots map[rigState][]ballot
	ledger
	cols    *columns
	spools  map[string]bool // those with a column
	whole   fit             // all groups, no job singled out
	systems []*system       // by pass
	rows    [][]row         // by pass, by group
	counts  []count         // by group
}

// tune is what tests of single parts turn.
type tune struct {
	passes int
	exact  int // number of welds up to which each question refits all of them
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
	log := newJournal(len(welds))
	for i := range welds {
		w := &welds[i]
		same := i > 0 && w.Setup == welds[i-1].Setup
		if err := w.check(m.fleet, same); err != nil {
			return nil, err
		}
		if m.welds[w.ID] = w; len(m.welds) == i {
			return nil, &InputError{"weld " + w.ID, "id", "used twice", "an id of its own for every weld"}
		}
		log.read(w, same)
	}
	m.spools = log.lastSpools()
	log.arrange(m.spools)
	m.ballots = newBallots(log)
	m.cols.number(common, 0)
	m.ledger = newLedger(log, m.cols, m.fleet)
	return m, m.fitWhole()
}

// fit is the outcome of the passes over some blocks.
type fit struct {
	post   *posterior
	trials []trial
	square float64 // sum of squared leave-one-out residuals
	rows   int
}

// fitWhole fits all welds with every cell collapsed, and keeps each pass so that a question need only redo the groups
// that it singles out.
func (m *Model) fitWhole() error {
	m.whole.trials = make([]trial, len(m.blocks))
	memory := newSlab(countBeads(m.groups), len(m.groups))
	rows := memory.rows
	m.counts = memory.counts
	for i := range m.blocks {
		b := &m.blocks[i]
		m.whole.trials[i] = newTrial(m.groups[b.first:b.last], b.terms, m.cells[b.cell].half, -1, -1, b.spool >= 0, memory)
	}
	return m.whole.run(m.tune.passes, func(int) *system {
		return newSystem(m.cols.size())
	}, func(s *system) {
		m.systems = append(m.systems, s)
		m.rows = append(m.rows, append([]row(nil), rows...))
	})
}

// run does the passes: start gives the system to add the rows to, done sees it complete.
func (f *fit) run(passes int, start func(pass int) *system, done func(*system)) (err error) {
	for pass := range passes {
		s := start(pass)
		for i := range f.trials {
			t := &f.trials[i]
			if pass == 1 {
				t.impute(f.post)
			}
			if pass > 0 {
				t.reweigh(f.post)
			}
			t.fold()
			s.add(t.terms, pool(t.rows), 1)
		}
		if f.post, err = s.solve(); err != nil {
			return err
		}
		if done != nil {
			done(s)
		}
	}
	for i := range f.trials {
		t := &f.trials[i]
		t.leaveOut(f.post)
		t.count()
		for k := range t.rows {
			f.square += t.counts[k].square
			if t.rows[k].used() {
				f.rows++
			}
		}
	}
	return nil
}
