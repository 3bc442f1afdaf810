package store

import (
	"context"
	"errors"
	"fmt"

	"beadwright/procedures"
)

// AddWelds records welds in their order, all of them or none, as a sheet of paper
// is typed in. Each is as for [Notebook.AddWeld]; a mark that one of them has is not
// given to another. An error is a [*PlaceError].
func (n *Notebook) AddWelds(ctx context.Context, welds []procedures.Weld) ([]procedures.Weld, error) {
	return n.addWelds(ctx, welds, false)
}

// TryWelds does all that [Notebook.AddWelds] does and takes it back: it returns what
// would be recorded, or the error that there would be.
func (n *Notebook) TryWelds(ctx context.Context, welds []procedures.Weld) ([]procedures.Weld, error) {
	return n.addWelds(ctx, welds, true)
}

func (n *Notebook) addWelds(ctx context.Context, welds []procedures.Weld, try bool) ([]procedures.Weld, error) {
	added := make([]procedures.Weld, len(welds))
	said := map[string]bool{}
	for _, w := range welds {
		if number, ok := parseMark(w.Mark); ok {
			said[formatMark(number)] = true
		}
	}
	err := n.aside(ctx, func(tx *tx) error {
		for i, w := range welds {
			err := w.Validate()
			for w.Mark == "" && err == nil {
				if w.Mark, err = tx.nextMark(); said[w.Mark] {
					w.Mark = ""
				}
			}
			if err == nil {
				added[i], err = tx.addWeld(clone(w))
			}
			if err != nil {
				return &PlaceError{i, err}
			}
		}
		if try {
			return errTried
		}
		return nil
	})
	if err != nil && !errors.Is(err, errTried) {
		return nil, err
	}
	return added, nil
}

// errTried takes a transaction back in which all went well.
var errTried = errors.New("only tried")

// NextMarks are the marks that the next welds would be given. None is taken by it.
func (n *Notebook) NextMarks(ctx context.Context, count int) (marks []string, err error) {
	err = n.read(ctx, func(tx *tx) error {
		last, err := tx.lastMark()
		for number := last + 1; err == nil && len(marks) < count; number++ {
			mark, taken := formatMark(number), false
			if err = tx.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM welds WHERE mark = ?)", mark); err == nil && !taken {
				marks = append(marks, mark)
			}
		}
		return err
	})
	return marks, err
}

// PlaceError is an error about one record of a list.
type PlaceError struct {
	Place int // from 0
	Err   error
}

func (e *PlaceError) Error() string { return fmt.Sprintf("record %d: %v", e.Place+1, e.Err) }
func (e *PlaceError) Unwrap() error { return e.Err }
