package store

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"beadwright/procedures"
)

// numbered ties a record that has a number on its machine to its table: a
// run-out, a measurement, a cut-out.
type numbered struct {
	table, noun            string
	id                     *string
	number                 *int
	at                     *time.Time
	machine, state, struck *string
	more                   []column // what the record says
}

func (r numbered) columns() []column {
	return append([]column{
		{"id", "id", text[string]{r.id}},
		{"number", "number", whole[int]{r.number}},
		{"machine", "machine", text[string]{r.machine}},
		{"at", "at", moment{r.at}},
		{"state", "state", text[string]{r.state}},
		{"struck", "struck", text[string]{r.struck}},
	}, r.more...)
}

// records reads those that a WHERE and an ORDER BY ask for.
func records[T any](tx *tx, bind func(*T) numbered, which string, args ...any) (list []T, err error) {
	var rec T
	r := bind(&rec)
	cols := r.columns()
	err = tx.each(func(row scanner) error {
		err := row.Scan(cells(cols)...)
		list = append(list, rec)
		return err
	}, "SELECT "+names(cols)+" FROM "+r.table+" "+which, args...)
	return list, err
}

// add writes down a record of a machine, "" for none, and fills in what was not
// given. A record with the id of a recorded one and the same content is that
// one: it becomes it, and nothing is added.
func add[T any](tx *tx, machine string, rec *T, bind func(*T) numbered) error {
	r := bind(rec)
	just := r.at.IsZero()
	if *r.id != "" {
		found, err := records(tx, bind, "WHERE id = ?", strings.ToLower(*r.id))
		if err != nil {
			return err
		}
		if len(found) > 0 {
			return again(rec, &found[0], machine, bind)
		}
	}
	if err := giveID(r.id); err != nil {
		return err
	}
	if err := giveTime("at", r.at, tx.now); err != nil {
		return err
	}
	*r.machine = machine
	if err := tx.settleMachine(r.machine, r.state, *r.at, just); err != nil {
		return err
	}
	if err := legible(r.columns()); err != nil {
		return err
	}
	if err := tx.giveNumber(r); err != nil {
		return err
	}
	cols := r.columns()
	if *r.struck != "" {
		cols = append(cols, column{"struck_at", "", moment{ptr(tx.now)}})
	}
	_, err := tx.insert(r.table, cols...)
	return err
}

// again makes a record the recorded one, if it says the same.
func again[T any](rec, recorded *T, machine string, bind func(*T) numbered) error {
	given, kept := bind(rec), bind(recorded)
	*given.id, *given.machine = *kept.id, machine
	if *given.number == 0 {
		*given.number = *kept.number
	}
	if given.at.IsZero() {
		*given.at = *kept.at
	}
	if *given.state == "" {
		*given.state = *kept.state
	}
	is := given.columns()
	for i, was := range kept.columns() {
		if show(was.cell) != show(is[i].cell) {
			return procedures.Invalid("id", *kept.id, fmt.Sprintf("this %s is recorded already, as number %d, with another %s", kept.noun, *kept.number, was.field),
				"strike the recorded one and leave the id out to write it down anew")
		}
	}
	*rec = *recorded
	return nil
}

// giveNumber gives out the next number of the machine, or takes the one given if
// it is free. Records of no machine share the numbers of every machine, so that
// a number stands for one record whatever is in use.
func (tx *tx) giveNumber(r numbered) error {
	const mine = " WHERE (machine = ?1 OR machine IS NULL OR ?1 IS NULL)"
	machine := text[string]{r.machine}
	if *r.number == 0 {
		return tx.get([]any{r.number}, "SELECT coalesce(max(number), 0) + 1 FROM "+r.table+mine, machine)
	}
	var taken bool
	if err := tx.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM "+r.table+mine+" AND number = ?2)", machine, *r.number); err != nil {
		return err
	}
	if taken || *r.number < 0 {
		return procedures.Invalid("number", fmt.Sprint(*r.number), "another "+r.noun+" has this number", "leave it out, and the next one is given")
	}
	return nil
}

// strike withdraws a record, which stays.
func (tx *tx) strike(r numbered, machine string, number int, why string) error {
	var id, struck string
	err := tx.get([]any{&id, &struck}, "SELECT id, coalesce(struck, '') FROM "+r.table+" WHERE (machine = ? OR machine IS NULL) AND number = ?", machine, number)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		of := ""
		if machine != "" {
			of = " of " + machine
		}
		return fmt.Errorf("%s %d%s: %w", r.noun, number, of, procedures.ErrNotFound)
	case err != nil:
		return err
	case struck != "":
		return procedures.Invalid("number", fmt.Sprint(number), "this "+r.noun+" is struck already: "+struck)
	}
	return tx.exec("UPDATE "+r.table+" SET struck = ?, struck_at = ? WHERE id = ?", why, formatTime(tx.now), id)
}

// reason is why a record is withdrawn.
func reason(why string) (string, error) {
	why = strings.TrimSpace(why)
	if why == "" || len(why) > 400 {
		return why, procedures.Invalid("why", why, "say in a few words why it is withdrawn", "such as: wrong coupon, polarity was reversed")
	}
	return why, legibleText("why", why)
}

// named returns the name of a machine that is asked for by name or id, and of
// the one in use where none is asked for.
func (tx *tx) named(machine string) (name string, err error) {
	if strings.TrimSpace(machine) == "" {
		if machine, err = tx.inUse("machines"); err != nil {
			return "", err
		}
	}
	row, err := tx.lookUp("machines", machine)
	if err != nil {
		return "", err
	}
	return name, tx.get([]any{&name}, "SELECT name FROM machines WHERE n = ?", row)
}

// working is named for what is recorded anew: a machine that was withdrawn takes
// nothing more.
func (tx *tx) working(machine string) (name string, err error) {
	if name, err = tx.named(machine); err == nil {
		err = tx.stands("machines", name)
	}
	return name, err
}
