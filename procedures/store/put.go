package store

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	sqlite3 "modernc.org/sqlite/lib"

	"beadwright/procedures"
)

// run executes a statement, prepared once.
func (m *merging) run(query string, args ...any) (row int64, err error) {
	s := m.statements[query]
	if s == nil {
		if s, err = m.PrepareContext(m.ctx, query); err != nil {
			return 0, err
		}
		m.statements[query] = s // closed with the transaction
	}
	res, err := s.ExecContext(m.steady, args...)
	if err != nil {
		return 0, err
	}
	return res.LastInsertId()
}

// put adds a record, or with old writes it in the place of its older self.
func put[T any](m *merging, k *kind[T], rec *T, line int, old bool, more ...column) error {
	k.draft = *rec
	cols, query := k.own, k.add
	if len(more) > 0 {
		cols = slices.Concat(cols, more)
		query = insertInto(k.table, cols)
	}
	args := cells(cols)
	if old {
		query = "UPDATE " + k.table + " SET " + strings.ReplaceAll(names(cols), ",", " = ?,") + " = ? WHERE id = ?"
		args = append(args, k.id())
	}
	row, err := m.run(query, args...)
	if err == nil && k.save != nil {
		if old {
			err = m.get([]any{&row}, "SELECT n FROM "+k.table+" WHERE id = ?", k.id())
		}
		if err == nil {
			err = k.save(m, row, rec)
		}
	}
	if code, ok := resultCode(err); ok && code&0xff == sqlite3.SQLITE_CONSTRAINT {
		return m.at(line, "", procedures.Invalid(k.name, "", "no such "+k.name+" can be kept: "+err.Error()))
	}
	return err
}

// queue are rows that wait to be added many at a time, which is faster.
type queue struct {
	into  string
	width int
	args  []any
}

const atOnce = 64

func (m *merging) queue(q *queue, row ...any) error {
	q.width, q.args = len(row), append(q.args, row...)
	if len(q.args) < atOnce*q.width {
		return nil
	}
	return m.flush(q)
}

// flush adds the rows that wait.
func (m *merging) flush(q *queue) error {
	if len(q.args) == 0 {
		return nil
	}
	row := ", (" + strings.Repeat(", ?", q.width)[2:] + ")"
	_, err := m.run("INSERT INTO "+q.into+" VALUES "+strings.Repeat(row, len(q.args)/q.width)[2:], q.args...)
	q.args = q.args[:0]
	return err
}

func insertInto(table string, cols []column) string {
	return "INSERT INTO " + table + " (" + names(cols) + ") VALUES (" + strings.Repeat(", ?", len(cols))[2:] + ")"
}

// standing reads the records of a file that are in the notebook already, by id.
func standing[T any](m *merging, k *kind[T]) (map[string]*T, error) {
	k.ready()
	found := map[string]*T{}
	for part := range slices.Chunk(k.got, 5000) {
		var ids []string
		for _, s := range part {
			k.draft = s.rec
			ids = append(ids, k.id())
		}
		list, err := json.Marshal(ids)
		if err != nil {
			return nil, err
		}
		rows, err := k.rows(m.tx, "id IN (SELECT value FROM json_each(?))", string(list))
		if err != nil {
			return nil, err
		}
		for _, rec := range rows {
			k.draft = *rec
			found[k.id()] = rec
		}
	}
	return found, nil
}

// once refuses a file that holds one id twice.
func once[T any](m *merging, k *kind[T]) error {
	seen := make(map[string]int, len(k.got))
	for i := range k.got {
		k.draft = k.got[i].rec
		if before := seen[k.id()]; before > 0 {
			return m.at(k.got[i].line, "id", procedures.Invalid("id", k.id(), fmt.Sprintf("line %d has this id too", before), "leave one of the two lines out"))
		}
		seen[k.id()] = k.got[i].line
	}
	return nil
}
