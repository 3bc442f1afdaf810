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
	args := m.args[:0]
	for _, c := range cols {
		v, err := c.Value()
		if err != nil {
			return err
		}
		args = append(args, v)
	}
	m.args = args
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
	return m.refused(k.name, line, err)
}

// refused is the error of a record that breaks a rule of its table.
func (m *merging) refused(name string, line int, err error) error {
	if code, ok := resultCode(err); ok && code&0xff == sqlite3.SQLITE_CONSTRAINT {
		return m.at(line, "", procedures.Invalid(name, "", "no such "+name+" can be kept: "+err.Error()))
	}
	return err
}

// queue are rows that wait to be added many at a time, which is faster: SQLite makes
// ready for the rules of a table once, not for each row.
type queue struct {
	name  string // of a record; "": rows are part of one
	into  string
	after *queue // of the records that these rows are part of
	width int
	args  []any
	lines []int // of the file, a row each
}

const atOnce = 100

func (m *merging) queue(q *queue, line int, row ...any) error {
	q.width, q.args, q.lines = len(row), append(q.args, row...), append(q.lines, line)
	if len(q.lines) < atOnce {
		return nil
	}
	return m.flush(q)
}

// flush adds the rows that wait.
func (m *merging) flush(q *queue) error {
	if len(q.lines) == 0 {
		return nil
	}
	if q.after != nil {
		if err := m.flush(q.after); err != nil {
			return err
		}
	}
	row := ", (" + strings.Repeat(", ?", q.width)[2:] + ")"
	_, err := m.run("INSERT INTO "+q.into+" VALUES "+strings.Repeat(row, len(q.lines))[2:], q.args...)
	if err != nil && q.name != "" { // none was added: which one is it?
		for i, line := range q.lines {
			if _, err := m.run("INSERT INTO "+q.into+" VALUES "+row[2:], q.args[i*q.width:(i+1)*q.width]...); err != nil {
				return m.refused(q.name, line, err)
			}
		}
	}
	q.args, q.lines = q.args[:0], q.lines[:0]
	return err
}

func insertInto(table string, cols []column) string {
	return "INSERT INTO " + table + " (" + names(cols) + ") VALUES (" + strings.Repeat(", ?", len(cols))[2:] + ")"
}

// standing reads the records of a file that are in the notebook already, by id.
func standing[T any](m *merging, k *kind[T]) (map[string]*T, error) {
	k.ready()
	found := map[string]*T{}
	var some bool
	if err := m.get([]any{&some}, "SELECT EXISTS (SELECT 1 FROM "+k.table+")"); err != nil || !some {
		return found, err
	}
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
