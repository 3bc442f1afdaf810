package main

import (
	"context"
	"slices"
	"strings"
	"sync"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

// remembered is what a program that stays open keeps of the notebook: everything
// a suggestion is made from, at one version of it. Whoever writes to the notebook,
// this program or another, an answer is never older than the question: only an
// unchanged notebook is answered for from memory.
type remembered struct {
	mu    sync.Mutex
	at    store.Version
	asker *recommend.Asker

	searched searched
}

// searched is all welds that stand, in the order of their ids, at one version of the
// notebook: what is looked through for a page of them.
type searched struct {
	mu    sync.Mutex
	at    store.Version
	welds []procedures.Weld
}

func (s *searched) all(ctx context.Context, nb *store.Notebook) ([]procedures.Weld, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	welds, at, whole, err := nb.PastSince(ctx, s.at)
	if err != nil {
		return nil, err
	}
	byID := func(v, w procedures.Weld) int { return strings.Compare(v.ID, w.ID) }
	switch {
	case whole:
		s.welds = welds
	case len(s.welds) > 0 && len(welds) > 0 && byID(welds[0], s.welds[len(s.welds)-1]) < 0: // of an older notebook that came in
		s.welds = append(slices.Clone(s.welds), welds...)
		slices.SortFunc(s.welds, byID)
	default:
		s.welds = append(s.welds, welds...) // behind what others look through
	}
	s.at = at
	return s.welds, nil
}

// asker answers from all that the notebook holds.
func (a *app) asker(ctx context.Context) (*recommend.Asker, error) {
	if a.memory == nil || a.nb == nil {
		shop, history, err := a.past(ctx)
		return recommend.NewAsker(shop, history), err
	}
	return a.memory.ask(ctx, a)
}

func (m *remembered) ask(ctx context.Context, a *app) (*recommend.Asker, error) {
	now, err := a.nb.Version(ctx)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.asker != nil && m.at.Revision >= now.Revision && m.at.Welds >= now.Welds {
		return m.asker, nil
	}
	for ctx.Err() == nil {
		known := m.at
		if m.asker == nil || known.Revision != now.Revision {
			known = store.Version{}
		}
		shop, err := a.shop(ctx)
		if err != nil {
			return nil, err
		}
		welds, at, whole, err := a.nb.LessonsSince(ctx, known)
		if err != nil {
			return nil, err
		}
		if at.Revision != now.Revision { // changed while the machines were read
			now = at
			continue
		}
		shop.Derive(welds)
		if whole || m.asker == nil {
			m.asker = recommend.NewAsker(shop, welds)
		} else {
			m.asker = m.asker.With(welds)
		}
		m.at = at
		return m.asker, nil
	}
	return nil, ctx.Err()
}

// page is [store.Notebook.Page] for welds that stand, out of what is remembered: it
// reads only the welds that are shown.
func (a *app) page(ctx context.Context, f procedures.Filter, best bool) (shown []procedures.Weld, total int, err error) {
	if err := f.Validate(); err != nil {
		return nil, 0, err
	}
	history, err := a.memory.searched.all(ctx, a.nb)
	if err != nil {
		return nil, 0, err
	}
	before := func(i, j int) int { // the order of a page; of one moment, the later id is the later weld
		v, w := &history[i], &history[j]
		if best {
			if d := worth(w.Outcome) - worth(v.Outcome); d != 0 {
				return d
			}
		}
		if d := w.At.Compare(v.At); d != 0 {
			return d
		}
		return j - i
	}
	var first []int // so far, in order
	for i := range history {
		if !f.Fits(&history[i]) {
			continue
		}
		total++
		if len(first) == f.Limit {
			if before(i, first[len(first)-1]) > 0 {
				continue
			}
			first = first[:len(first)-1]
		}
		at, _ := slices.BinarySearchFunc(first, i, before)
		first = slices.Insert(first, at, i)
	}
	ids := make([]string, len(first))
	for k, i := range first {
		ids[k] = history[i].ID
	}
	shown, err = a.nb.WeldsByID(ctx, ids)
	return slices.DeleteFunc(shown, func(w procedures.Weld) bool { return w.Struck != "" }), total, err
}

// worth ranks an outcome: a passed test before good looks, what failed last.
func worth(o procedures.Outcome) int {
	switch {
	case failedTest(o) || !o.FailedInUse.IsZero():
		return -1
	case o.Passed():
		return 10 + int(o.Rating)
	}
	return int(o.Rating)
}

// pageLimit is how many welds are picked out of memory; who wants more reads the
// notebook.
const pageLimit = 200
