package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
)

// tx is one transaction with one moment of time.
type tx struct {
	*sql.Tx
	ctx context.Context
	now time.Time
}

// scanner is a row or rows.
type scanner interface{ Scan(dest ...any) error }

// write runs do in one IMMEDIATE transaction and counts it as a change of what
// the notebook says; see [Version].
func (n *Notebook) write(ctx context.Context, do func(*tx) error) error {
	return n.aside(ctx, func(tx *tx) error {
		if err := do(tx); err != nil {
			return err
		}
		return tx.revise()
	})
}

// aside is write for what [Version] tells by itself (a new weld, a corrected one) or
// that nothing is learned from (suggestions, arcs): nobody need read all again for it.
// It holds the write lock from the start: a reader that turned writer later would
// be refused, not made to wait. Those of this program wait for one another before
// they take a connection: there are few, and do may want to read with another one.
// It may not write with another one.
func (n *Notebook) aside(ctx context.Context, do func(*tx) error) error {
	if n.readOnly {
		return &FileError{Path: n.path, Kind: ReadOnly, Problem: "the notebook was opened for reading only"}
	}
	select {
	case n.pen <- struct{}{}:
		defer func() { <-n.pen }()
	case <-ctx.Done():
		return ctx.Err()
	}
	return explain(n.path, run(ctx, n.db, nil, n.now, do))
}

// read runs do in one transaction that sees one state of the notebook.
func (n *Notebook) read(ctx context.Context, do func(*tx) error) error {
	return explain(n.path, run(ctx, n.db, &sql.TxOptions{ReadOnly: true}, n.now, do))
}

// run looks at the clock once the lock is held, so that the order of times is
// that of the writes, whichever program makes them.
func run(ctx context.Context, db *sql.DB, opts *sql.TxOptions, now func() time.Time, do func(*tx) error) error {
	t, err := db.BeginTx(ctx, opts)
	if err != nil {
		return err
	}
	defer t.Rollback()
	if err := do(&tx{Tx: t, ctx: ctx, now: now().Round(0).UTC()}); err != nil {
		return err
	}
	return t.Commit()
}

func (tx *tx) exec(query string, args ...any) error {
	_, err := tx.ExecContext(tx.ctx, query, args...)
	return err
}

// get scans the one row of a query; sql.ErrNoRows where there is none.
func (tx *tx) get(dest []any, query string, args ...any) error {
	return readable(tx.QueryRowContext(tx.ctx, query, args...).Scan(dest...))
}

// record is a row of a result.
type record struct{ *sql.Rows }

func (r record) Scan(dest ...any) error { return readable(r.Rows.Scan(dest...)) }

// unreadable is a value that this program never writes, such as a time with a
// letter in it.
type unreadable struct{ error }

func (u unreadable) Unwrap() error { return u.error }

func readable(err error) error {
	if err == nil || errors.Is(err, sql.ErrNoRows) {
		return err
	}
	return unreadable{err}
}

// each calls do for every row of a query.
func (tx *tx) each(do func(scanner) error, query string, args ...any) error {
	rows, err := tx.QueryContext(tx.ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := do(record{rows}); err != nil {
			return err
		}
	}
	return rows.Err()
}
