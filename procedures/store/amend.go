package store

import (
	"context"
	"database/sql/driver"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"beadwright/procedures"
)

// AmendWeld corrects a weld: change is given a copy and alters it. Each field
// that comes out different is amended, its old value kept; nothing different,
// no amendment. It returns the weld as it now stands and the amendments made
// now. The id, the mark and whether it is struck cannot be changed. Errors:
// what change returns; wraps [procedures.ErrNotFound]; InvalidError as for
// [Notebook.AddWeld], or if the weld is struck.
func (n *Notebook) AmendWeld(ctx context.Context, mark string, change func(*procedures.Weld) error) (w procedures.Weld, made []procedures.Amendment, err error) {
	w, made, _, err = n.AmendWithPhotos(ctx, mark, nil, change)
	return w, made, err
}

// AmendWithPhotos is [Notebook.AmendWeld], and keeps pictures of the weld with it as
// [Notebook.AddPhotos] does: all that is said is done, or nothing.
func (n *Notebook) AmendWithPhotos(ctx context.Context, mark string, list []NewPhoto, change func(*procedures.Weld) error) (w procedures.Weld, made []procedures.Amendment, photos []procedures.Photo, err error) {
	err = n.aside(ctx, func(tx *tx) (err error) {
		if w, made, err = tx.amendWeld(mark, change); err != nil {
			return err
		}
		photos, err = tx.addPhotos(w, list)
		return err
	})
	return w, made, photos, err
}

// amendWeld changes a weld that stands and keeps each old value as an amendment. Errors:
// wraps [procedures.ErrNotFound]; InvalidError where it was struck, or may not be so.
func (tx *tx) amendWeld(mark string, change func(*procedures.Weld) error) (w procedures.Weld, made []procedures.Amendment, err error) {
	old, row, err := tx.byMark(mark)
	if err != nil {
		return w, nil, err
	}
	if old.Struck != "" {
		return w, nil, procedures.Invalid("mark", old.Mark, "this weld was struck: "+old.Struck, "name one that stands: beadwright find", procedures.Way("struck by mistake? Put it back: beadwright strike "+old.Mark+" --back", "withdrawn by mistake? Its page puts it back"))
	}
	w = clone(old)
	if err := change(&w); err != nil {
		return w, nil, err
	}
	if err := w.Validate(); err != nil {
		return w, nil, err
	}
	w.Outcome.FailedInUse, w.Outcome.InUse = old.Outcome.FailedInUse, old.Outcome.InUse // which a follow-up says
	if old.Job.Machine != w.Job.Machine && old.Job.State == w.Job.State {
		w.Job.State = "" // that of another machine
	}
	if err := tx.settle(&w, false); err != nil {
		return w, nil, err
	}
	for _, moved := range []struct{ table, from, to string }{{"machines", old.Job.Machine, w.Job.Machine}, {"spools", old.Spool, w.Spool}} {
		if moved.from == moved.to {
			continue
		}
		if err := tx.stands(moved.table, moved.to); err != nil {
			return w, nil, err
		}
	}
	made = compare(old, w)
	if len(made) == 0 {
		return w, nil, nil
	}
	for i := range made {
		switch made[i].Field {
		case "id", "mark", "struck":
			return w, nil, procedures.Invalid(made[i].Field, made[i].New, "this cannot be amended", "strike the weld and log another")
		}
		made[i].At = tx.now
	}
	return w, made, first(tx.amend("amendments", "weld", row, made), tx.rewrite(row, w), tx.corrected(w.ID))
}

// rewrite puts a weld in the place of its older self.
func (tx *tx) rewrite(row int64, w procedures.Weld) error {
	cols := weldColumns(&w)[fixedColumns:]
	if err := tx.exec("UPDATE welds SET "+strings.ReplaceAll(names(cols), ",", " = ?,")+" = ? WHERE n = ?", append(cells(cols), row)...); err != nil {
		return err
	}
	for _, table := range []string{"symptoms", "tests"} {
		if err := tx.exec("DELETE FROM "+table+" WHERE weld = ?", row); err != nil {
			return err
		}
	}
	return tx.insertFindings(row, w.Outcome)
}

// StrikeWeld withdraws a weld: it is kept and can be shown, but no search and
// no suggestion counts it any more. why says why. Errors: wraps
// [procedures.ErrNotFound]; InvalidError without a reason, or if it is struck.
func (n *Notebook) StrikeWeld(ctx context.Context, mark, why string) (w procedures.Weld, err error) {
	if why, err = reason(why); err != nil {
		return w, err
	}
	err = n.aside(ctx, func(tx *tx) error {
		var row int64
		if w, row, err = tx.byMark(mark); err != nil {
			return err
		}
		if w.Struck != "" {
			return procedures.Invalid("mark", w.Mark, "this weld is struck already: "+w.Struck)
		}
		w.Struck = why
		return first(tx.exec("UPDATE welds SET struck = ?, struck_at = ? WHERE n = ?", why, formatTime(tx.now), row), tx.corrected(w.ID))
	})
	return w, err
}

// PutBack takes the withdrawal of a weld back: it counts again. That it was struck,
// when and why, and when it was put back stay with it as amendments. Errors: wraps
// [procedures.ErrNotFound]; InvalidError if it is not struck.
func (n *Notebook) PutBack(ctx context.Context, mark string) (w procedures.Weld, made []procedures.Amendment, err error) {
	err = n.aside(ctx, func(tx *tx) error {
		var row int64
		if w, row, err = tx.byMark(mark); err != nil {
			return err
		}
		if w.Struck == "" {
			return procedures.Invalid("mark", w.Mark, "this weld was not struck, or was put back already", "those that are: beadwright find --struck")
		}
		was := procedures.Amendment{Field: "struck", New: w.Struck}
		if err := tx.get([]any{moment{&was.At}}, "SELECT struck_at FROM welds WHERE n = ?", row); err != nil {
			return err
		}
		made = []procedures.Amendment{was, {At: tx.now, Field: "struck", Old: w.Struck}}
		w.Struck = ""
		return first(tx.amend("amendments", "weld", row, made), tx.exec("UPDATE welds SET struck = NULL, struck_at = NULL WHERE n = ?", row), tx.corrected(w.ID))
	})
	return w, made, err
}

// amend adds amendments to the history of a weld, machine or spool.
func (tx *tx) amend(table, of string, row int64, list []procedures.Amendment) error {
	for _, a := range list {
		if err := tx.exec(addAmendment(table, of), row, formatTime(a.At), a.Field, a.Old, a.New); err != nil {
			return err
		}
	}
	return nil
}

func addAmendment(table, of string) string {
	return "INSERT INTO " + table + " (" + of + ", at, field, old, new) VALUES (?, ?, ?, nullif(?, ''), nullif(?, ''))"
}

// amendments reads those of one weld or machine, from the first to the last.
func (tx *tx) amendments(which string, arg any) (list []procedures.Amendment, err error) {
	var a procedures.Amendment
	dest := []any{moment{&a.At}, &a.Field, text[string]{&a.Old}, text[string]{&a.New}}
	err = tx.each(func(r scanner) error {
		err := r.Scan(dest...)
		list = append(list, a)
		return err
	}, "SELECT at, field, old, new FROM "+which+" ORDER BY n", arg)
	return list, err
}

// compare lists the fields that differ between two forms of a weld.
func compare(old, new procedures.Weld) (list []procedures.Amendment) {
	differ := func(field, a, b string) {
		if a != b {
			list = append(list, procedures.Amendment{Field: field, Old: a, New: b})
		}
	}
	was, is := weldColumns(&old), weldColumns(&new)
	for i := range was {
		differ(was[i].field, show(was[i].cell), show(is[i].cell))
	}
	differ("outcome.symptoms", strings.Join(old.Outcome.Symptoms, ", "), strings.Join(new.Outcome.Symptoms, ", "))
	differ("outcome.tests", showTests(old.Outcome.Tests), showTests(new.Outcome.Tests))
	return list
}

// show writes a value for an amendment, "" where it is not known.
func show(v driver.Valuer) string {
	switch v, _ := v.Value(); v := v.(type) {
	case nil:
		return ""
	case float64:
		return strconv.FormatFloat(v, 'g', -1, 64)
	default:
		return fmt.Sprint(v)
	}
}

func showTests(tests []procedures.Test) string {
	s := make([]string, len(tests))
	for i, t := range tests {
		s[i] = fmt.Sprintf("%s=%s (failed)", t.Kind, t.Result)
		if t.Passed {
			s[i] = fmt.Sprintf("%s=%s (passed)", t.Kind, t.Result)
		}
	}
	return strings.Join(s, ", ")
}

// clone copies a weld so that no part is shared.
func clone(w procedures.Weld) procedures.Weld {
	w.Outcome.Symptoms = slices.Clone(w.Outcome.Symptoms)
	w.Outcome.Tests = slices.Clone(w.Outcome.Tests)
	w.Settings.How = maps.Clone(w.Settings.How)
	if t := w.Outcome.Thirds; t != nil {
		w.Outcome.Thirds = ptr(*t)
	}
	for _, p := range []**float64{&w.Settings.Knob, &w.Settings.Preheat} {
		if *p != nil {
			*p = ptr(**p)
		}
	}
	return w
}
