package store

import (
	"context"
	"encoding/json"
	"slices"

	"beadwright/procedures"
)

// worth is how welds are ordered where a joint is searched for: a passed bend or break
// before good looks, what failed a test or in use last; see [procedures.Outcome.Passed].
const worth = `CASE WHEN EXISTS (SELECT 1 FROM tests WHERE tests.weld = welds.n AND NOT passed)
		OR EXISTS (SELECT 1 FROM followups f WHERE f.weld = welds.id AND f.held = 0 AND f.struck IS NULL) THEN -1
	WHEN EXISTS (SELECT 1 FROM tests WHERE tests.weld = welds.n AND kind IN ('bend', 'break')) THEN 10 + coalesce(rating, 0)
	ELSE coalesce(rating, 0) END`

// worthMost looks for welds by what they are worth.
func worthMost(where string, args []any) func(*tx) (look, error) {
	query := "SELECT n, at, " + worth + " FROM welds WHERE " + where + " AND n BETWEEN ? AND ?"
	return func(tx *tx) (look, error) {
		return func(from, to int64) (found []match, err error) {
			var row any
			var at string
			var worth int32
			err = tx.each(func(r scanner) error {
				if err := r.Scan(&row, &at, &worth); err != nil {
					return err
				}
				m, err := matchOf(row, at)
				m.score = worth
				found = append(found, m)
				return err
			}, query, append(slices.Clip(args), from, to)...)
			return found, err
		}, nil
	}
}

// Page is [Notebook.Find] for one who looks at the first few: it reads no more than
// f.Limit welds in full (all where that is 0), and counts all that fit. best puts
// what passed its test first and what failed it last, where no words are looked for.
func (n *Notebook) Page(ctx context.Context, f procedures.Filter, best bool) (list []procedures.Weld, total int, err error) {
	return n.find(ctx, f, best, true)
}

// find is Page; the total is counted where it is wanted, for it takes reading on.
func (n *Notebook) find(ctx context.Context, f procedures.Filter, best, count bool) (list []procedures.Weld, total int, err error) {
	if err := f.Validate(); err != nil {
		return nil, 0, err
	}
	where, args := conditions(f)
	limit := -1
	if f.Limit > 0 {
		limit = f.Limit
	}
	var begin func(*tx) (look, error)
	switch {
	case f.Words != "":
		begin = wordsLike(f.Words, where, args)
	case best:
		begin = worthMost(where, args)
	}
	err = n.read(ctx, func(tx *tx) error {
		if begin != nil {
			rows, err := n.lookThrough(tx, begin)
			if total = len(rows); err != nil || total == 0 {
				return err
			}
			if limit > 0 && total > limit {
				rows = rows[:limit]
			}
			list, err = tx.numbered(rows)
			return err
		}
		if count {
			if err := tx.get([]any{&total}, "SELECT count(*) FROM welds WHERE "+where, args...); err != nil {
				return err
			}
		}
		list, err = tx.welds("WHERE "+where+" ORDER BY at DESC, n DESC LIMIT ?", append(args, limit)...)
		return err
	})
	return list, total, err
}

// WeldsByID returns the welds of these ids that stand or are struck, in the order
// of the ids; ids that are none are left out.
func (n *Notebook) WeldsByID(ctx context.Context, ids []string) (list []procedures.Weld, err error) {
	asked, err := json.Marshal(ids)
	if err != nil {
		return nil, err
	}
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.welds("WHERE id IN (SELECT value FROM json_each(?))", string(asked))
		return err
	})
	place := make(map[string]int, len(ids))
	for i, id := range ids {
		place[id] = i
	}
	slices.SortFunc(list, func(a, b procedures.Weld) int { return place[a.ID] - place[b.ID] })
	return list, err
}
