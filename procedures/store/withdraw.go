package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"beadwright/procedures"
)

// Withdrawal is what it means that a machine or a spool was withdrawn or put back.
type Withdrawal struct {
	Welds    int    // that stand on it, and stay
	WasInUse bool   // until now
	InUse    string // the machine, or spool, in use now; "" none
	Amended  []procedures.Amendment
}

// StrikeMachine withdraws a machine that was written down by mistake: it is chosen
// nowhere any more, and it and all that is recorded of it stays. Where it was in use
// none is, until one is chosen. why says why. Errors: wraps [procedures.ErrNotFound];
// InvalidError without a reason, if it is struck, or while an arc of it burns.
func (n *Notebook) StrikeMachine(ctx context.Context, name, why string) (m procedures.Machine, w Withdrawal, err error) {
	if why, err = reason(why); err != nil {
		return m, w, err
	}
	err = n.write(ctx, func(tx *tx) error {
		var row int64
		if m, row, err = tx.machine(name); err != nil {
			return err
		}
		burning, err := tx.arcs("machine = ? AND stop IS NULL", m.Name)
		if err != nil {
			return err
		}
		if len(burning) > 0 {
			return procedures.Invalid("machine", m.Name, "its arc clock runs, since "+clockTime(burning[0].Start), "stop it first: beadwright duty stop --machine "+quoted(m.Name))
		}
		if w, err = tx.withdraw("machines", row, m.ID, m.Struck, why); err != nil {
			return err
		}
		m.Struck = why
		return tx.get([]any{&w.Welds}, "SELECT count(*) FROM welds WHERE machine = ? AND struck IS NULL", m.Name)
	})
	return m, w, err
}

// PutBackMachine takes the withdrawal of a machine back. Where none is in use, it is
// from now on. That it was struck, when and why, and when it was put back stay with it
// as amendments. Errors: wraps [procedures.ErrNotFound]; InvalidError if it is not
// struck.
func (n *Notebook) PutBackMachine(ctx context.Context, name string) (m procedures.Machine, w Withdrawal, err error) {
	err = n.write(ctx, func(tx *tx) error {
		var row int64
		if m, row, err = tx.machine(name); err != nil {
			return err
		}
		w, err = tx.putBack("machines", row, m.ID, m.Name, m.Struck)
		m.Struck = ""
		return err
	})
	return m, w, err
}

// StrikeSpool is [Notebook.StrikeMachine] for a spool.
func (n *Notebook) StrikeSpool(ctx context.Context, name, why string) (s procedures.Spool, w Withdrawal, err error) {
	if why, err = reason(why); err != nil {
		return s, w, err
	}
	err = n.write(ctx, func(tx *tx) error {
		var row int64
		if s, row, err = tx.spoolRow(name); err != nil {
			return err
		}
		if w, err = tx.withdraw("spools", row, s.ID, s.Struck, why); err != nil {
			return err
		}
		s.Struck = why
		return tx.get([]any{&w.Welds}, "SELECT count(*) FROM welds WHERE spool = ? AND struck IS NULL", s.ID)
	})
	return s, w, err
}

// PutBackSpool is [Notebook.PutBackMachine] for a spool.
func (n *Notebook) PutBackSpool(ctx context.Context, name string) (s procedures.Spool, w Withdrawal, err error) {
	err = n.write(ctx, func(tx *tx) error {
		var row int64
		if s, row, err = tx.spoolRow(name); err != nil {
			return err
		}
		w, err = tx.putBack("spools", row, s.ID, s.Name, s.Struck)
		s.Struck = ""
		return err
	})
	return s, w, err
}

// RenameSpool gives a spool another name; the old one is kept as an amendment.
// Errors: wraps [procedures.ErrNotFound]; InvalidError where it cannot be called so,
// or the name is taken.
func (n *Notebook) RenameSpool(ctx context.Context, name, to string) (s procedures.Spool, made []procedures.Amendment, err error) {
	err = n.write(ctx, func(tx *tx) error {
		var row int64
		if s, row, err = tx.spoolRow(name); err != nil {
			return err
		}
		old := s.Name
		if s.Name = strings.TrimSpace(to); s.Name == old {
			return nil
		}
		if err := first(s.Validate(), legible(spoolColumns(&s))); err != nil {
			return err
		}
		if fold(s.Name) != fold(old) {
			if err := tx.free("spools", s.Name, ""); err != nil {
				return err
			}
		}
		made = []procedures.Amendment{{At: tx.now, Field: "name", Old: old, New: s.Name}}
		return first(tx.amend("spool_amendments", "spool", row, made), tx.exec("UPDATE spools SET name = ?, name_key = ? WHERE n = ?", s.Name, fold(s.Name), row))
	})
	return s, made, err
}

// SpoolAmendments lists the corrections of a spool from the first to the last. Errors:
// wraps [procedures.ErrNotFound].
func (n *Notebook) SpoolAmendments(ctx context.Context, name string) (list []procedures.Amendment, err error) {
	err = n.read(ctx, func(tx *tx) error {
		row, err := tx.lookUp("spools", name)
		if err != nil {
			return err
		}
		list, err = tx.amendments("spool_amendments WHERE spool = ?", row)
		return err
	})
	return list, err
}

// spoolRow is a spool and its row.
func (tx *tx) spoolRow(name string) (s procedures.Spool, row int64, err error) {
	if s, err = tx.spool(name); err == nil {
		row, err = tx.lookUp("spools", s.ID)
	}
	return s, row, err
}

// withdraw strikes a row of machines or spools, and takes it out of use.
func (tx *tx) withdraw(table string, row int64, id, struck, why string) (w Withdrawal, err error) {
	noun := strings.TrimSuffix(table, "s")
	if struck != "" {
		return w, procedures.Invalid(noun, "", "this "+noun+" was withdrawn already: "+struck, procedures.Way("with its name and --back it is put back: beadwright "+commands[table]+" list --struck", "it can be put back, on its page"))
	}
	if err := tx.exec("UPDATE "+table+" SET struck = ?, struck_at = ? WHERE n = ?", why, formatTime(tx.now), row); err != nil {
		return w, err
	}
	inUse, err := tx.setting(noun)
	if err != nil {
		return w, err
	}
	if w.WasInUse = inUse == id; w.WasInUse {
		err = tx.exec("DELETE FROM settings WHERE key = ?", noun)
	}
	return w, first(err, tx.nameInUse(table, &w.InUse))
}

// putBack undoes withdraw, and makes the row the one in use where none is.
func (tx *tx) putBack(table string, row int64, id, name, struck string) (w Withdrawal, err error) {
	noun := strings.TrimSuffix(table, "s")
	if struck == "" {
		return w, procedures.Invalid(noun, name, "this "+noun+" was not withdrawn, or was put back already", procedures.Way("those that are: beadwright "+commands[table]+" list --struck", "those that are: Machines or Wire, under Withdrawn ones"))
	}
	was := procedures.Amendment{Field: "struck", New: struck}
	if err := tx.get([]any{moment{&was.At}}, "SELECT struck_at FROM "+table+" WHERE n = ?", row); err != nil {
		return w, err
	}
	w.Amended = []procedures.Amendment{was, {At: tx.now, Field: "struck", Old: struck}}
	return w, first(tx.amend(noun+"_amendments", noun, row, w.Amended),
		tx.exec("UPDATE "+table+" SET struck = NULL, struck_at = NULL WHERE n = ?", row),
		tx.setFirst(noun, id), tx.nameInUse(table, &w.InUse))
}

// nameInUse fills in the name of the machine or spool in use; "" none.
func (tx *tx) nameInUse(table string, name *string) error {
	err := tx.get([]any{name}, "SELECT name FROM "+table+" WHERE id = (SELECT value FROM settings WHERE key = ?)", strings.TrimSuffix(table, "s"))
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	return err
}

// stands refuses a machine or a spool, by name or id, that was withdrawn: nothing new
// is put to it. What is not there is refused elsewhere.
func (tx *tx) stands(table, nameOrID string) error {
	var name, struck string
	err := tx.get([]any{&name, &struck}, "SELECT name, struck FROM "+table+" WHERE (name_key = ? OR id = ?) AND struck IS NOT NULL", fold(nameOrID), strings.ToLower(strings.TrimSpace(nameOrID)))
	if errors.Is(err, sql.ErrNoRows) {
		return nil
	}
	if err != nil {
		return err
	}
	if table == "spools" {
		return procedures.Spool{Name: name, Struck: struck}.Stands()
	}
	return procedures.Machine{Name: name, Struck: struck}.Stands()
}

// commands are those that the records of a table are kept with.
var commands = map[string]string{"machines": "machine", "spools": "wire"}

// NoneInUse is the error where machines or spools are written down and none of them is
// in use: the one that was has been withdrawn. It wraps [procedures.ErrNotFound].
type NoneInUse struct{ *procedures.InvalidError }

// Unwrap lets it be both what it says and not found.
func (e NoneInUse) Unwrap() []error { return []error{e.InvalidError, procedures.ErrNotFound} }

// inUse is the id of the machine or spool in use. Errors: wraps
// [procedures.ErrNotFound] where none is; [NoneInUse] where there are some to choose
// from.
func (tx *tx) inUse(table string) (id string, err error) {
	noun, command := strings.TrimSuffix(table, "s"), commands[table]
	if id, err = tx.setting(noun); err != nil || id != "" {
		return id, err
	}
	var some bool
	switch err := tx.get([]any{&some}, "SELECT EXISTS (SELECT 1 FROM "+table+" WHERE struck IS NULL)"); {
	case err != nil:
		return "", err
	case some:
		return "", NoneInUse{procedures.Invalid(noun, "", "none is in use: which one do you weld with?", procedures.Way("say it: beadwright "+command+" use NAME", "say it: Machines or Wire, at the foot"), tx.known(table))}
	}
	return "", fmt.Errorf("no %s is written down: %w", noun, procedures.ErrNotFound)
}
