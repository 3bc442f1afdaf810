package recommend

import (
	"cmp"
	"fmt"
	"slices"
	"sync"

	"beadwright/procedures"
	"beadwright/recommend/learn"
)

// Asker answers request after request from one shop and one history, as [Suggest]
// does, and keeps what it has worked out: the first question about a kind of job
// (wire and group of steel, on one machine) reads the whole history, the next ones
// do not. Several goroutines may ask one Asker at once.
//
// Shop and history must not be changed afterwards, and a machine that is asked about
// is one of the shop, as it stands there, or the built-in example.
type Asker struct {
	shop    Shop
	history History

	mu    sync.Mutex
	kept  []*recollection // the one used last at the end
	grown bool            // a successor writes behind the ends of our slices
}

// recollection is the memory of one kind of job.
type recollection struct {
	kind   kind
	mu     sync.Mutex // held while it is made
	memory *memory
}

// kind is what jobs share that one memory answers for.
type kind struct {
	wire    procedures.Wire
	process procedures.Process
	group   string
	machine string
	example bool
}

// keptKinds is how many kinds of job are remembered at once: a shop has few wires,
// and each memory is as large as the history. A design choice.
const keptKinds = 4

// NewAsker takes the machines of past welds and the welds that stand, in the order
// of their ids.
func NewAsker(s Shop, h History) *Asker { return &Asker{shop: s, history: h} }

// Shop is what the Asker was made of, and History the welds; they must not be changed.
func (a *Asker) Shop() Shop       { return a.shop }
func (a *Asker) History() History { return a.history }

// Suggest is [Suggest] with the Asker's history; the request's own shop does not
// count.
func (a *Asker) Suggest(r Request) (Suggestion, error) {
	r.Shop = a.shop
	return answer(r, a.history, func() *memory { return a.recall(r) })
}

func (a *Asker) recall(r Request) *memory {
	k := kind{r.Job.Wire, r.Job.Process, r.Job.SteelGroup, r.Machine.Name, r.Machine.Example}
	a.mu.Lock()
	i := slices.IndexFunc(a.kept, func(k2 *recollection) bool { return k2.kind == k })
	var c *recollection
	if i < 0 {
		c = &recollection{kind: k}
		if len(a.kept) == keptKinds {
			a.kept = slices.Delete(a.kept, 0, 1)
		}
	} else {
		c = a.kept[i]
		a.kept = slices.Delete(a.kept, i, i+1)
	}
	a.kept = append(a.kept, c)
	a.mu.Unlock()

	c.mu.Lock()
	defer c.mu.Unlock()
	if c.memory == nil {
		c.memory = remember(r, a.history)
	}
	return c.memory
}

// Think works out what the kinds of job asked about before want for their next
// answers.
func (a *Asker) Think() {
	a.mu.Lock()
	kept := slices.Clone(a.kept)
	a.mu.Unlock()
	for _, c := range kept {
		c.mu.Lock()
		m := c.memory
		c.mu.Unlock()
		if m != nil {
			m.think()
		}
	}
}

// With returns an Asker that knows more welds as well. It reads those alone; what
// they bear on is worked out anew when it is asked about, or by Think, and the rest
// is taken over. A weld that it knows already is taken to be a correction, and those
// gone, by their ids, are forgotten: then all welds of their kind are gone through
// again. The old Asker still answers as before. One goroutine at a time may call it.
func (a *Asker) With(welds []procedures.Weld, gone ...string) *Asker {
	a.mu.Lock()
	defer a.mu.Unlock()
	n := &Asker{shop: a.shop}
	history, stale := a.without(welds, gone)
	if len(stale) == 0 {
		if history = a.history; a.grown { // somebody else's welds stand behind ours
			history = slices.Clip(history)
		}
	}
	later := slices.IsSortedFunc(welds, byID) && (len(welds) == 0 || len(history) == 0 || byID(history[len(history)-1], welds[0]) < 0)
	if n.history = append(history, welds...); !later {
		n.history = slices.Clone(n.history)
		slices.SortStableFunc(n.history, byID)
	}
	for _, c := range a.kept {
		c.mu.Lock()
		old := c.memory
		c.mu.Unlock()
		if old == nil {
			continue
		}
		m := &memory{shop: old.shop, tables: old.tables, welds: old.welds, mark: old.mark}
		if a.grown {
			m.welds = slices.Clip(m.welds)
		}
		job := procedures.Job{Wire: c.kind.wire, Process: c.kind.process, SteelGroup: c.kind.group}
		fresh := &recollection{kind: c.kind, memory: old}
		if slices.ContainsFunc(stale, func(w procedures.Weld) bool { return sameKind(job, w.Job) }) {
			m.welds = make([]learn.Weld, 0, len(old.welds)+len(welds))
			m.take(job, n.history)
			fresh.memory = m
		} else if m.take(job, welds) {
			fresh.memory = m
		}
		n.kept = append(n.kept, fresh)
	}
	a.grown = true
	return n
}

// without is a copy of the history without these welds and those gone, and what it
// knew of them.
func (a *Asker) without(welds []procedures.Weld, gone []string) (rest History, stale []procedures.Weld) {
	known := func(id string) {
		if i, ok := slices.BinarySearchFunc(a.history, id, func(w procedures.Weld, id string) int { return cmp.Compare(w.ID, id) }); ok {
			stale = append(stale, a.history[i])
		}
	}
	for i := range welds {
		known(welds[i].ID)
	}
	for _, id := range gone {
		known(id)
	}
	if len(stale) == 0 {
		return nil, nil
	}
	rest = slices.DeleteFunc(slices.Clone(a.history), func(w procedures.Weld) bool {
		return slices.ContainsFunc(stale, func(s procedures.Weld) bool { return s.ID == w.ID })
	})
	return rest, stale
}

func byID(a, b procedures.Weld) int { return cmp.Compare(a.ID, b.ID) }

// marks names welds by their ids. A mark once given stays, so memories that grow
// out of one another share one.
type marks struct {
	mu sync.RWMutex
	by map[string]string
}

func newMarks(welds int) *marks { return &marks{by: make(map[string]string, welds)} }

func (m *marks) set(id, mark string) {
	m.mu.Lock()
	m.by[id] = mark
	m.mu.Unlock()
}

func (m *marks) of(id string) string {
	m.mu.RLock()
	defer m.mu.RUnlock()
	return m.by[id]
}

// said is what a model has answered, for who asks the same again: a page that is
// looked at twice, a job that is thought over. Beads of today are not in it.
type said struct {
	mu        sync.Mutex
	drift     map[string]string
	estimates map[string]estimated
}

type estimated struct {
	estimate learn.Estimate
	err      error
}

// keptEstimates is how many questions one memory remembers. A design choice.
const keptEstimates = 256

// drift asks whether something on a machine changed unnoticed; "" nothing to ask.
func (m *memory) drift(machine string) string {
	s := m.said
	s.mu.Lock()
	defer s.mu.Unlock()
	question, ok := s.drift[machine]
	if !ok {
		if ask, found := m.model.Drift(machine); found {
			question = ask.Words()
		}
		if s.drift == nil {
			s.drift = map[string]string{}
		}
		s.drift[machine] = question
	}
	return question
}

// estimate asks the model of past welds alone. The same question has the same
// answer, which nobody changes.
func (m *memory) estimate(q learn.Query) (learn.Estimate, error) {
	key := fmt.Sprintf("%#v", q)
	s := m.said
	s.mu.Lock()
	e, ok := s.estimates[key]
	s.mu.Unlock()
	if ok {
		return e.estimate, e.err
	}
	e.estimate, e.err = m.model.Suggest(q)
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.estimates == nil || len(s.estimates) == keptEstimates {
		s.estimates = map[string]estimated{}
	}
	s.estimates[key] = e
	return e.estimate, e.err
}
