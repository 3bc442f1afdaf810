package store

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"
	"time"

	"beadwright/procedures"
)

// Find returns the welds that fit the filter: with words, the best match first;
// else the latest first. Errors: InvalidError where the filter cannot be.
func (n *Notebook) Find(ctx context.Context, f procedures.Filter) ([]procedures.Weld, error) {
	list, _, err := n.find(ctx, f, false, false)
	return list, err
}

// numbered reads the welds of these numbers, in this order.
func (tx *tx) numbered(rows []int64) ([]procedures.Weld, error) {
	numbers, err := json.Marshal(rows)
	if err != nil {
		return nil, err
	}
	list, err := tx.welds("WHERE n IN (SELECT value FROM json_each(?)) ORDER BY n", string(numbers))
	if err != nil {
		return nil, err
	}
	place := ascending(rows)
	ordered := make([]procedures.Weld, len(rows))
	for i, at := range place {
		ordered[at] = list[i]
	}
	return ordered, nil
}

// ascending lists the places of rows in the order of their numbers.
func ascending(rows []int64) []int {
	place := make([]int, len(rows))
	for i := range place {
		place[i] = i
	}
	slices.SortFunc(place, func(i, j int) int { return cmp.Compare(rows[i], rows[j]) })
	return place
}

// match is a weld that was found, and how well it fits. Of a million, so it is small.
type match struct {
	row, second int64 // when it was welded, to the nanosecond
	nano, score int32
}

// matchOf takes number and time of a weld from a row of a result.
func matchOf(row any, at string) (match, error) {
	n, ok := row.(int64)
	t, err := time.Parse(time.RFC3339Nano, at)
	if err != nil || !ok {
		return match{}, unreadable{fmt.Errorf("%v and %q in the place of a number and a time", row, at)}
	}
	return match{row: n, second: t.Unix(), nano: int32(t.Nanosecond())}, nil
}

// look finds welds in a range of their numbers.
type look func(from, to int64) ([]match, error)

// Design choices: welds are looked through in so many transactions at the most, one
// for each processor, where there are so many of them; each takes some parts.
const (
	mostReaders     = 4
	weldsForSeveral = 4096
	partsEach       = 2
)

// lookThrough returns the numbers of the welds that are found, the best first, the
// later of two alike before the other. Other transactions that see the same notebook
// help, each with its own look. Nobody waits for them to begin: what they do not come
// to is done in this one.
func (n *Notebook) lookThrough(mine *tx, begin func(*tx) (look, error)) ([]int64, error) {
	now, err := mine.version()
	if err != nil {
		return nil, err
	}
	readers, parts := 1, int64(1)
	if now.Welds >= weldsForSeveral {
		readers = min(mostReaders, runtime.GOMAXPROCS(0))
		parts = int64(readers * partsEach)
	}
	found, errs := make([][]match, parts), make([]error, readers)
	var taken atomic.Int64
	work := func(tx *tx) error {
		look, err := begin(tx)
		for err == nil {
			part := taken.Add(1)
			if part > parts {
				break
			}
			found[part-1], err = look((part-1)*now.Welds/parts+1, part*now.Welds/parts)
		}
		return err
	}
	waiting, stop := context.WithCancel(mine.ctx)
	defer stop()
	sideBySide(readers, func(i int) {
		if i > 0 {
			n.beside(waiting, mine.ctx, now, func(tx *tx) { errs[i] = work(tx) })
			return
		}
		errs[i] = work(mine)
		stop()
	})
	if err := first(errs...); err != nil {
		return nil, err
	}
	all := slices.Concat(found...)
	slices.SortFunc(all, func(a, b match) int {
		return cmp.Or(cmp.Compare(b.score, a.score), cmp.Compare(b.second, a.second), cmp.Compare(b.nano, a.nano), cmp.Compare(b.row, a.row))
	})
	rows := make([]int64, len(all))
	for i, m := range all {
		rows[i] = m.row
	}
	return rows, nil
}

// beside runs do in a transaction of its own that sees the notebook of that version;
// not at all where it gets no connection while one is waited for, or sees another.
func (n *Notebook) beside(waiting, ctx context.Context, v Version, do func(*tx)) {
	conn, err := n.db.Conn(waiting)
	if err != nil {
		return
	}
	defer conn.Close()
	t, err := conn.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return
	}
	defer t.Rollback()
	other := &tx{Tx: t, ctx: ctx}
	if now, err := other.version(); err == nil && now == v {
		do(other)
	}
}
