package store

import (
	"context"
	"database/sql"
	"errors"
	"slices"

	"beadwright/procedures/sheet"
)

// Report is what a file does to a notebook.
type Report struct {
	Kinds     []Tally    `json:"records"`   // in the order of the file's kinds, without those it has none of
	Conflicts []Conflict `json:"conflicts"` // what the two say differently
	Renamed   []Rename   `json:"renamed"`   // so that no two have one name
	OutOfUse  []OutOfUse `json:"out_of_use"`
}

// OutOfUse is a machine or a spool that was in use here and that either side has
// withdrawn: none is in use until one is chosen.
type OutOfUse struct {
	What string `json:"what"` // machine, spool
	Name string `json:"name"`
	Why  string `json:"why"`
}

// Tally counts the records of one kind.
type Tally struct {
	Kind    string `json:"kind"`
	Added   int    `json:"added"`
	Changed int    `json:"changed"` // here already, and told more by the file
	Same    int    `json:"same"`
}

// Conflict is a field that the notebook and the file say differently.
type Conflict struct {
	Record string `json:"record"` // kind and mark, name or number
	Field  string `json:"field"`
	Stands string `json:"stands"`
	Kept   string `json:"kept"` // as an amendment, where there are such; of a sheet: not taken
}

// Rename is a name, mark or number given anew because both sides had given it.
type Rename struct {
	What string `json:"what"` // machine, spool, procedure, mark, run-out ...
	ID   string `json:"id"`
	From string `json:"from"`
	To   string `json:"to"`
	Here bool   `json:"here"` // the record was in this notebook before
	Told bool   `json:"told"` // a person called it so in one of the two; else it made room
}

// Changes reports whether anything comes out different.
func (r Report) Changes() bool {
	return len(r.Renamed) > 0 || slices.ContainsFunc(r.Kinds, func(t Tally) bool { return t.Added > 0 || t.Changed > 0 })
}

// Import puts a file's records into the notebook, all or none of them. What is
// here already, by id, is not added again; two forms of one record become one that
// holds what both say. keep is shown what comes of it before it is final; where it
// returns false nothing is written. progress, where not nil, is told how many
// records of how many are done.
//
// The order in which two notebooks are put together makes no difference: of two
// that amended one field, the later amendment stands and the other stays in the
// history; struck stands over not struck; of two machines, spools or procedures of
// one name the one with the later id is called "NAME (2)"; of two notebooks that
// gave out one mark, the one whose such weld is older keeps all its marks, and the
// other's are given new ones, the old kept as an amendment; numbers of run-outs and
// their like are given anew to the later id. Units and what is in use stay as they
// are here, but nothing stays in use that was withdrawn. Errors: [*sheet.Error]; [*FileError].
func (n *Notebook) Import(ctx context.Context, f *File, keep func(Report) (bool, error), progress func(done, of int)) (Report, error) {
	var report Report
	err := n.aside(ctx, func(tx *tx) error {
		m := &merging{tx: tx, file: f, names: map[string]string{}, had: map[string]bool{}, ids: map[string]map[string]bool{}, statements: map[string]*sql.Stmt{}}
		m.symptoms = queue{into: "symptoms (weld, place, key)", after: &m.welds}
		m.tests = queue{into: "tests (weld, place, kind, passed, result)", after: &m.welds}
		for _, key := range []string{"machine", "spool"} {
			var some bool
			if err := m.get([]any{&some}, "SELECT EXISTS (SELECT 1 FROM "+key+"s)"); err != nil {
				return err
			}
			m.had[key] = some
		}
		m.steady = context.WithoutCancel(ctx)
		m.step = func() error {
			if m.done++; progress != nil {
				progress(m.done, f.Total)
			}
			return ctx.Err()
		}
		if err := m.exec("PRAGMA cache_size = -65536"); err != nil { // kB: pages that are touched again need not be read again
			return err
		}
		defer m.exec("PRAGMA cache_size = -2000") // as SQLite has it
		all := f.goods.all()
		for _, k := range append(all[1:], all[0]) { // settings speak of machines
			m.tally = Tally{Kind: k.label()}
			if err := k.unite(m); err != nil {
				return err
			}
			if k.kept() > 0 || m.tally.Changed > 0 {
				m.report.Kinds = append(m.report.Kinds, m.tally)
			}
		}
		if report = m.report; report.Changes() {
			if err := tx.revise(); err != nil {
				return err
			}
		}
		ok, err := keep(report)
		if err == nil && !ok {
			err = errNotKept
		}
		return err
	})
	if errors.Is(err, errNotKept) {
		err = nil
	}
	return report, err
}

var errNotKept = errors.New("not kept")

// merging is one file on its way into a notebook.
type merging struct {
	*tx
	file   *File
	report Report
	tally  Tally
	step   func() error // one record is done
	done   int

	welds, symptoms, tests queue

	steady    context.Context // of single statements: to watch each for a stop costs more than it
	replacing bool            // the lists of a record that was there

	names      map[string]string          // of the file's machines: name there to name here
	had        map[string]bool            // machine, spool: there were some before
	states     map[string]string          // id to the machine's name here
	ids        map[string]map[string]bool // by table
	statements map[string]*sql.Stmt
	args       []any // of one statement
}

// has reports whether a table has a record of that id.
func (m *merging) has(table, id string) (bool, error) {
	set := m.ids[table]
	if set == nil {
		set = map[string]bool{}
		m.ids[table] = set
		if err := m.each(func(r scanner) error {
			var id string
			err := r.Scan(&id)
			set[id] = true
			return err
		}, "SELECT id FROM "+table); err != nil {
			return false, err
		}
	}
	return set[id], nil
}

// at puts an error to a record of the file.
func (m *merging) at(line int, key string, err error) error {
	return sheet.At(line, m.file.place(line, key), key, err)
}

func (k *kind[T]) unite(m *merging) error {
	k.ready()
	if err := once(m, k); err != nil {
		return err
	}
	if k.merge != nil {
		return k.merge(m, k)
	}
	return mergePlain(m, k)
}

// mergePlain puts in records that are never amended.
func mergePlain[T any](m *merging, k *kind[T]) error {
	for i := range k.got {
		if err := referTo(m, k, k.got[i]); err != nil {
			return err
		}
	}
	return mergeReferred(m, k)
}

// referTo is [merging.refer] for a record of the file.
func referTo[T any](m *merging, k *kind[T], s *sent[T]) error {
	k.draft = s.rec
	err := m.refer(k.table, k.own, s.line)
	s.rec = k.draft
	return err
}

// mergeReferred is mergePlain for records whose references are in order.
func mergeReferred[T any](m *merging, k *kind[T]) error {
	return mergeFrom(m, k, nil)
}

// mergeFrom is mergeReferred with columns that number each new record.
func mergeFrom[T any](m *merging, k *kind[T], number func() column) error {
	old, err := standing(m, k)
	if err != nil {
		return err
	}
	for i := range k.got {
		s := k.got[i]
		cols := k.bind(&s.rec)
		mine := old[show(field(cols, "id"))]
		if mine == nil {
			var more []column
			if number != nil {
				more = append(more, number())
			}
			if err := put(m, k, &s.rec, s.line, false, more...); err != nil {
				return err
			}
			m.tally.Added++
		} else if err := agreeOne(m, k, mine, s); err != nil {
			return err
		}
		if err := m.step(); err != nil {
			return err
		}
	}
	return nil
}

// agreeOne makes one record of the notebook's form and the file's.
func agreeOne[T any](m *merging, k *kind[T], mine *T, theirs *sent[T]) error {
	changed, err := m.agree(k.name, k.bind(mine), k.bind(&theirs.rec), k.joins, nil, nil, theirs.line)
	if err != nil {
		return err
	}
	if !changed {
		m.tally.Same++
		return nil
	}
	m.tally.Changed++
	return put(m, k, mine, theirs.line, true)
}

func field(cols []column, key string) cell {
	for _, c := range cols {
		if c.field == key {
			return c.cell
		}
	}
	return nil
}
