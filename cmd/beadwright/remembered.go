package main

import (
	"context"
	"sync"

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
		welds, at, whole, err := a.nb.PastSince(ctx, known)
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
