package main

import (
	"context"
	"slices"
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
// notebook, and their words: what is looked through for a page of them.
type searched struct {
	mu      sync.Mutex
	at      store.Version
	welds   []procedures.Weld
	texts   *procedures.Concordance // of the welds; nil: nothing was read yet
	reading bool
}

// all is the welds as the notebook has them now, and how well each fits the words: -1
// not at all; nil where there are no words. New welds are read here and now. Whatever
// else has changed means reading everything again: that is done later, and meanwhile
// ok is false and the notebook is to be asked itself.
func (s *searched) all(ctx context.Context, nb *store.Notebook, words string, later func(func())) (welds []procedures.Weld, fits []int, ok bool, err error) {
	now, err := nb.Version(ctx)
	if err != nil {
		return nil, nil, false, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ok = s.texts != nil && s.at.Revision == now.Revision
	if ok && s.at != now {
		more, texts, at, whole, err := nb.PastTexts(ctx, s.at)
		if err != nil {
			return nil, nil, false, err
		}
		// Of an older notebook that came in they belong between the others.
		if ok = !whole && (len(more) == 0 || len(s.welds) == 0 || more[0].ID > s.welds[len(s.welds)-1].ID); ok {
			s.welds = append(s.welds, more...) // behind what others look through
			for _, text := range texts {
				s.texts.Add(text)
			}
			s.at = at
		}
	}
	if !ok {
		if !s.reading {
			s.reading = true
			later(func() { s.read(context.Background(), nb) })
		}
		return nil, nil, false, nil
	}
	if words != "" {
		fits = s.texts.Scores(words)
	}
	return s.welds, fits, true, nil
}

// read reads everything anew. Nobody waits for it; what goes wrong is told to who asks
// the notebook.
func (s *searched) read(ctx context.Context, nb *store.Notebook) {
	welds, texts, at, _, err := nb.PastTexts(ctx, store.Version{})
	known := &procedures.Concordance{}
	for _, text := range texts {
		known.Add(text)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.reading = false; err == nil {
		s.welds, s.texts, s.at = welds, known, at
	}
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
// reads only the welds that are shown. ok is false where that is out of date.
func (a *app) page(ctx context.Context, f procedures.Filter, best bool) (shown []procedures.Weld, total int, ok bool, err error) {
	if err := f.Validate(); err != nil {
		return nil, 0, false, err
	}
	history, fits, ok, err := a.memory.searched.all(ctx, a.nb, f.Words, a.later)
	if err != nil || !ok {
		return nil, 0, false, err
	}
	before := func(i, j int) int { // the order of a page; of one moment, the later id is the later weld
		v, w := &history[i], &history[j]
		if fits != nil && fits[i] != fits[j] {
			return fits[j] - fits[i]
		}
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
		if fits != nil && fits[i] < 0 || !f.Fits(&history[i]) {
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
	return slices.DeleteFunc(shown, func(w procedures.Weld) bool { return w.Struck != "" }), total, true, err
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
