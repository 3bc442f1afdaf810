package store

import (
	"context"
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
)

// items is a list kept as JSON.
type items[T any] struct{ p *[]T }

func (c items[T]) Value() (driver.Value, error) {
	if len(*c.p) == 0 {
		return nil, nil
	}
	b, err := json.Marshal(*c.p)
	return string(b), err
}

func (c items[T]) Scan(v any) error {
	var s string
	*c.p = nil
	if err := fill(&s, v, func(s string) string { return s }); err != nil || s == "" {
		return err
	}
	return json.Unmarshal([]byte(s), c.p)
}

// retired is a status kept as whether the revision withdrew the procedure.
type retired struct{ p *procedures.ProcedureStatus }

func (c retired) Value() (driver.Value, error) {
	gone := *c.p == procedures.Retired
	return flag{&gone}.Value()
}

func (c retired) Scan(v any) error {
	return fill(c.p, v, func(n int64) procedures.ProcedureStatus {
		if n != 0 {
			return procedures.Retired
		}
		return procedures.Current
	})
}

func procedureColumns(p *procedures.Procedure) []column {
	return slices.Concat([]column{
		{"id", "id", text[string]{&p.ID}},
		{"name", "name", text[string]{&p.Name}},
		{"revision", "revision", whole[int]{&p.Revision}},
		{"at", "at", moment{&p.At}},
		{"retired", "status", retired{&p.Status}},
		{"why", "why", text[string]{&p.Why}},
		{"ranges", "ranges", items[procedures.ProcedureRange]{&p.Ranges}},
		{"runs", "passes", items[procedures.Pass]{&p.Passes}},
		{"fields", "fields", object[string]{&p.Fields}},
		{"note", "note", text[string]{&p.Note}},
		{"machine", "job.machine", text[string]{&p.Job.Machine}},
		{"state", "job.state", text[string]{&p.Job.State}},
	}, jobColumns(&p.Job), settingsColumns(&p.Settings))
}

// AddProcedure adds a revision of a procedure and returns it with its id and time
// filled in. Its Revision must be the next one of its name, 1 for a new name: so
// two hands that revise at once do not write over one another. From and Tests are
// marks of welds in the notebook. Errors: InvalidError where it cannot be, the name
// is taken or the revision is not the next.
func (n *Notebook) AddProcedure(ctx context.Context, p procedures.Procedure) (procedures.Procedure, error) {
	p.Name = strings.Join(strings.Fields(p.Name), " ")
	if p.Status != procedures.Retired {
		p.Status = procedures.Current
	}
	if err := p.Validate(); err != nil {
		return p, err
	}
	err := n.aside(ctx, func(tx *tx) error {
		last, err := tx.procedures("name_key = ?", fold(p.Name))
		if err != nil {
			return err
		}
		switch next := len(last) + 1; {
		case p.Revision == 1 && next > 1:
			return procedures.Invalid("name", p.Name, fmt.Sprintf("there is a procedure of this name already: %s, revision %d", last[0].Name, next-1),
				"to change it: beadwright procedure revise "+quoted(p.Name), "or give the new one another name")
		case p.Revision != next:
			return procedures.Invalid("revision", fmt.Sprint(p.Revision), fmt.Sprintf("the next revision is %d", next), "look at what stands: beadwright procedure show "+quoted(p.Name))
		case next > 1:
			p.Name = last[0].Name
		}
		if err := giveID(&p.ID); err != nil {
			return err
		}
		if err := giveTime("at", &p.At, tx.now); err != nil {
			return err
		}
		if err := tx.settleMachine(&p.Job.Machine, &p.Job.State, p.At, false); err != nil {
			return err
		}
		if p.Status != procedures.Retired { // which a machine that is gone is a reason for
			if err := tx.stands("machines", p.Job.Machine); err != nil {
				return err
			}
		}
		if err := legible(procedureColumns(&p)); err != nil {
			return err
		}
		key := fold(p.Name)
		row, err := tx.insert("procedures", append(procedureColumns(&p), column{"name_key", "", text[string]{&key}})...)
		if err != nil {
			return err
		}
		for i, mark := range p.From {
			w, _, err := tx.byMark(mark)
			if err != nil {
				return err
			}
			if err := tx.exec("INSERT INTO procedure_welds (procedure, place, weld, tested) VALUES (?, ?, ?, ?)", row, i+1, w.ID, slices.Contains(p.Tests, mark)); err != nil {
				return err
			}
		}
		return nil
	})
	return p, err
}

// Procedure returns a revision of a procedure, 0 the last. Errors: wraps
// [procedures.ErrNotFound].
func (n *Notebook) Procedure(ctx context.Context, name string, revision int) (p procedures.Procedure, err error) {
	all, err := n.ProcedureRevisions(ctx, name)
	switch {
	case err != nil:
		return p, err
	case revision == 0:
		return all[len(all)-1], nil
	case revision < 1 || revision > len(all):
		return p, fmt.Errorf("procedure %q, revision %d (there are 1 to %d): %w", all[0].Name, revision, len(all), procedures.ErrNotFound)
	}
	return all[revision-1], nil
}

// ProcedureRevisions returns every revision of a procedure, from the first to the
// last. Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) ProcedureRevisions(ctx context.Context, name string) (list []procedures.Procedure, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.procedures("name_key = ? OR name_key = (SELECT name_key FROM procedures WHERE id = ?)", fold(name), strings.ToLower(strings.TrimSpace(name)))
		if err == nil && len(list) == 0 {
			err = fmt.Errorf("procedure %q: %w", name, procedures.ErrNotFound)
		}
		return err
	})
	return list, err
}

// Procedures returns the last revision of each procedure, retired ones included, in
// the order in which the names were first written.
func (n *Notebook) Procedures(ctx context.Context) (list []procedures.Procedure, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.procedures("revision = (SELECT max(revision) FROM procedures o WHERE o.name_key = procedures.name_key)")
		return err
	})
	slices.SortStableFunc(list, func(a, b procedures.Procedure) int { return strings.Compare(fold(a.Name), fold(b.Name)) })
	return list, err
}

// procedures reads revisions in the order in which they were written. One that is
// not the last of its name is superseded.
func (tx *tx) procedures(where string, args ...any) (list []procedures.Procedure, err error) {
	var p procedures.Procedure
	var row int64
	var later bool
	place := map[int64]int{}
	dest := append(cells(procedureColumns(&p)), &row, &later)
	err = tx.each(func(r scanner) error {
		if err := r.Scan(dest...); err != nil {
			return err
		}
		if later {
			p.Status = procedures.Superseded
		}
		place[row] = len(list)
		list = append(list, p)
		return nil
	}, "SELECT "+names(procedureColumns(&p))+", n, EXISTS (SELECT 1 FROM procedures o WHERE o.name_key = procedures.name_key AND o.revision > procedures.revision) FROM procedures WHERE "+where+" ORDER BY n", args...)
	if err != nil || len(list) == 0 {
		return list, err
	}
	var mark string
	var tested bool
	err = tx.each(func(r scanner) error {
		if err := r.Scan(&row, &mark, &tested); err != nil {
			return err
		}
		if i, ok := place[row]; ok {
			list[i].From = append(list[i].From, mark)
			if tested {
				list[i].Tests = append(list[i].Tests, mark)
			}
		}
		return nil
	}, "SELECT procedure, mark, tested FROM procedure_welds JOIN welds ON welds.id = weld ORDER BY procedure, place")
	return list, err
}

// quoted puts quotes round a name of several words, as a shell wants them.
func quoted(name string) string {
	if strings.Contains(name, " ") {
		return fmt.Sprintf("%q", name)
	}
	return name
}
