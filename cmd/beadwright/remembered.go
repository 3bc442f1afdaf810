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
	welds   []*procedures.Weld      // never altered: others look through them; nil: withdrawn since
	ids     []string                // of the welds
	texts   *procedures.Concordance // of the welds; nil: nothing was read yet
	reading bool
}

// all is the welds as the notebook has them now, and how well each fits the words: -1
// not at all; nil where there are no words. Single welds that are new or changed are
// read here and now. Where more has changed, everything is read anew: that is done
// later, and meanwhile ok is false and the notebook is to be asked itself.
func (s *searched) all(ctx context.Context, nb *store.Notebook, words string, later func(func())) (welds []*procedures.Weld, fits []int, ok bool, err error) {
	now, err := nb.Version(ctx)
	if err != nil {
		return nil, nil, false, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	ok = s.texts != nil && s.at.Revision == now.Revision
	if ok && s.at != now {
		news, err := nb.PastSince(ctx, s.at)
		if err != nil {
			return nil, nil, false, err
		}
		if ok = !news.Whole && s.room(news); ok {
			s.take(news)
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

// room reports whether there is a place for each: not where welds of an older notebook
// came in, or one withdrawn before all was read is put back, which belong between the
// others.
func (s *searched) room(news store.News) bool {
	for k := range news.Welds {
		if i, ok := slices.BinarySearch(s.ids, news.Welds[k].ID); !ok && i < len(s.ids) {
			return false
		}
	}
	return true
}

// take takes the news in, for which there is room.
func (s *searched) take(news store.News) {
	copied := false
	put := func(i int, w *procedures.Weld, text string) {
		if !copied {
			s.welds, copied = slices.Clone(s.welds), true
		}
		s.welds[i] = w
		s.texts.Set(i, text)
	}
	for k := range news.Welds {
		w := &news.Welds[k]
		w.Settings = procedures.Settings{} // no filter asks for them, and they are half of what a weld takes
		if i, ok := slices.BinarySearch(s.ids, w.ID); ok {
			put(i, w, news.Texts[k])
			continue
		}
		s.welds, s.ids = append(s.welds, w), append(s.ids, w.ID) // behind what others look through
		s.texts.Add(news.Texts[k])
	}
	for _, id := range news.Gone {
		if i, ok := slices.BinarySearch(s.ids, id); ok {
			put(i, nil, "")
		}
	}
	s.at = news.Version
}

// read reads everything anew. Nobody waits for it; what goes wrong is told to who asks
// the notebook.
func (s *searched) read(ctx context.Context, nb *store.Notebook) {
	news, err := nb.PastSince(ctx, store.Version{})
	fresh := searched{texts: &procedures.Concordance{}}
	if err == nil {
		fresh.take(news)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.reading = false; err == nil {
		s.welds, s.ids, s.texts, s.at = fresh.welds, fresh.ids, fresh.texts, fresh.at
	}
}

// asker answers from all that the notebook holds.
func (a *app) asker(ctx context.Context) (*recommend.Asker, error) {
	switch {
	case a.nb == nil:
		return recommend.NewAsker(nil, nil), nil
	case a.memory != nil:
		return a.memory.ask(ctx, a)
	}
	shop, err := a.shop(ctx)
	if err != nil {
		return nil, err
	}
	welds, err := a.nb.Lessons(ctx)
	shop.Derive(welds)
	return recommend.NewAsker(shop, welds), err
}

func (m *remembered) ask(ctx context.Context, a *app) (*recommend.Asker, error) {
	now, err := a.nb.Version(ctx)
	if err != nil {
		return nil, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.asker != nil && m.at.Revision >= now.Revision && m.at.Corrections >= now.Corrections && m.at.Welds >= now.Welds {
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
		news, err := a.nb.LessonsSince(ctx, known)
		if err != nil {
			return nil, err
		}
		if news.Version.Revision != now.Revision { // changed while the machines were read
			now = news.Version
			continue
		}
		shop.Derive(news.Welds)
		if news.Whole || m.asker == nil {
			m.asker = recommend.NewAsker(shop, news.Welds)
		} else {
			m.asker = m.asker.With(news.Welds, news.Gone...)
		}
		m.at = news.Version
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
		v, w := history[i], history[j]
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
		if history[i] == nil || fits != nil && fits[i] < 0 || !f.Fits(history[i]) {
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
	case slices.ContainsFunc(o.Tests, func(t procedures.Test) bool { return t.Kind == "bend" || t.Kind == "break" }): // passed, or it had failed above
		return 10 + int(o.Rating)
	}
	return int(o.Rating)
}

// pageLimit is how many welds are picked out of memory; who wants more reads the
// notebook.
const pageLimit = 200
