package store

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
)

// fold turns a name into its key: case and spacing make no difference.
func fold(name string) string {
	return strings.ToLower(strings.Join(strings.Fields(name), " "))
}

// giveID fills in an id that is not yet given, and refuses one that is none.
func giveID(id *string) error {
	if *id == "" {
		u, err := uuid.NewV7()
		if err != nil {
			return err
		}
		*id = u.String()
		return nil
	}
	u, err := uuid.Parse(*id)
	if err != nil || len(*id) != 36 {
		return procedures.Invalid("id", *id, "not an id", "leave it out, and one is given")
	}
	*id = u.String()
	return nil
}

// lookUp returns the number of the machine or spool of that name or id. table
// is "machines" or "spools".
func (tx *tx) lookUp(table, nameOrID string) (n int64, err error) {
	err = tx.get([]any{&n}, "SELECT n FROM "+table+" WHERE name_key = ? OR id = ?", fold(nameOrID), strings.ToLower(strings.TrimSpace(nameOrID)))
	if errors.Is(err, sql.ErrNoRows) {
		noun := strings.TrimSuffix(table, "s")
		if now := tx.nowCalled(table, nameOrID); now != "" {
			return 0, fmt.Errorf("%s %q is called %q now: %w under its old name", noun, nameOrID, now, procedures.ErrNotFound)
		}
		return 0, fmt.Errorf("%s %q: %w", noun, nameOrID, procedures.ErrNotFound)
	}
	return n, err
}

// free refuses a name or an id that is taken.
func (tx *tx) free(table, name, id string) error {
	var other string
	err := tx.get([]any{&other}, "SELECT name FROM "+table+" WHERE name_key = ? OR id = ?", fold(name), id)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil
	case err != nil:
		return err
	}
	taken := procedures.Invalid("name", name, fmt.Sprintf("there is a %s of this name already: %s", strings.TrimSuffix(table, "s"), other), "give it another name")
	if tx.stands(table, other) != nil {
		taken.Problem += ", withdrawn"
		taken.Hints = []string{fmt.Sprintf("put that one back: beadwright %s strike %s --back", commands[table], quoted(other)),
			fmt.Sprintf("or call it otherwise first: beadwright %s rename %s %s", commands[table], quoted(other), quoted(other+", old"))}
	}
	return taken
}

// nowCalled is what was called so once, for a hint; "" nothing was. It may be called
// otherwise again.
func (tx *tx) nowCalled(table, was string) (now string) {
	noun := strings.TrimSuffix(table, "s")
	_ = tx.each(func(row scanner) error {
		var old, name string
		err := row.Scan(&old, &name)
		if fold(old) == fold(was) {
			now = name
		}
		return err
	}, "SELECT a.old, t.name FROM "+noun+"_amendments a JOIN "+table+" t ON t.n = a."+noun+" WHERE a.field = 'name' ORDER BY a.at, a.n")
	return now
}

// known lists the names in use, for a hint.
func (tx *tx) known(table string) string {
	var list []string
	err := tx.each(func(row scanner) error {
		var s string
		err := row.Scan(&s)
		list = append(list, s)
		return err
	}, "SELECT name FROM "+table+" WHERE struck IS NULL ORDER BY n LIMIT 20")
	if err != nil || len(list) == 0 {
		return "there is none to choose from in this notebook"
	}
	return "known: " + strings.Join(list, ", ")
}

// renamed is nowCalled behind a sentence.
func (tx *tx) renamed(table, was string) string {
	if now := tx.nowCalled(table, was); now != "" {
		return fmt.Sprintf("; it is called %q now", now)
	}
	return ""
}

// giveTime fills in a time that is not given and puts the others in UTC.
func giveTime(field string, t *time.Time, now time.Time) error {
	if t.IsZero() {
		*t = now
	}
	*t = t.Round(0).UTC()
	if y := t.Year(); y < 1900 || y > 9999 {
		return procedures.Invalid(field, t.Format(time.RFC3339), "not a time of this age", "write 2006-01-02 15:04")
	}
	return nil
}
