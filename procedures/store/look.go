package store

import (
	"context"
	"database/sql/driver"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"beadwright/procedures"
)

// later ties a record that is made of a weld later on to its table: a picture
// rated again, a follow-up.
type later struct {
	table, noun string
	id, weld    *string
	at          *time.Time
	more        []column // what the record says
}

func (l later) columns() []column {
	return append([]column{
		{"id", "id", text[string]{l.id}},
		{"weld", "weld", text[string]{l.weld}},
		{"at", "at", moment{l.at}},
	}, l.more...)
}

func bindRerating(r *procedures.Rerating) later {
	return later{"reratings", "rating", &r.ID, &r.Weld, &r.At, []column{
		{"rating", "rating", whole[procedures.Count]{&r.Rating}},
		{"blind", "blind", flag{&r.Blind}},
		{"note", "note", text[string]{&r.Note}},
	}}
}

// AddRerating writes down a later look at the picture of a weld, given by its mark
// or id, and returns it as recorded, with id and time filled in where they were not
// given. The first rating of the weld stays. One with the id of a recorded one and
// the same content is that one. Errors: InvalidError where it cannot be, or the
// weld is struck or has no picture; wraps [procedures.ErrNotFound].
func (n *Notebook) AddRerating(ctx context.Context, r procedures.Rerating) (procedures.Rerating, error) {
	if err := r.Validate(); err != nil {
		return r, err
	}
	err := n.aside(ctx, func(tx *tx) error {
		return addLater(tx, &r, bindRerating, func(w procedures.Weld) error {
			var has bool
			if err := tx.get([]any{&has}, "SELECT "+pictured+" FROM welds WHERE id = ?", w.ID); err != nil {
				return err
			}
			if !has {
				return procedures.Invalid("weld", w.Mark, "this weld has no picture to look at", "put one in: beadwright photo add "+w.Mark+" FILE")
			}
			return nil
		})
	})
	return r, err
}

// Reratings lists the later looks at the picture of a weld, given by its mark or
// id, "" of all welds that stand, from the oldest on, without withdrawn ones.
// Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) Reratings(ctx context.Context, weld string) (list []procedures.Rerating, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = latersOf(tx, bindRerating, weld)
		return err
	})
	return list, err
}

// StrikeRerating withdraws the last later look at a weld: it is kept, and nothing
// counts it any more. why says why. Errors: wraps [procedures.ErrNotFound];
// InvalidError without a reason.
func (n *Notebook) StrikeRerating(ctx context.Context, weld, why string) (procedures.Rerating, error) {
	return strikeLast(ctx, n, bindRerating, weld, why)
}

// pictured holds of a weld that has a picture of its bead, here or at a path.
const pictured = "(photo IS NOT NULL OR EXISTS (SELECT 1 FROM photos p WHERE p.weld = welds.id AND p.role = 'bead' AND p.struck IS NULL))"

// ToRerate lists the welds that stand, have a picture and a rating, and whose
// rating, the first or a later one, was made before then. The one not looked at
// for longest comes first.
func (n *Notebook) ToRerate(ctx context.Context, then time.Time) (list []procedures.Weld, err error) {
	const last = "coalesce((SELECT max(r.at) FROM reratings r WHERE r.weld = welds.id AND r.struck IS NULL), welds.at)"
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.welds("WHERE struck IS NULL AND "+pictured+" AND rating IS NOT NULL AND "+last+" < ? ORDER BY "+last+", n", formatTime(then))
		return err
	})
	return list, err
}

// addLater writes a record down, if fits finds nothing wrong with its weld.
func addLater[T any](tx *tx, rec *T, bind func(*T) later, fits func(procedures.Weld) error) error {
	l := bind(rec)
	w, _, err := tx.byMark(*l.weld)
	if err != nil {
		return err
	}
	*l.weld = w.ID
	if *l.id != "" {
		recorded, err := laters(tx, bind, "id = ?", strings.ToLower(*l.id))
		if err != nil {
			return err
		}
		if len(recorded) > 0 {
			return sameLater(rec, &recorded[0], bind)
		}
	}
	if w.Struck != "" {
		return procedures.Invalid("weld", w.Mark, "this weld was struck: "+w.Struck, "name one that stands: beadwright find")
	}
	if err := fits(w); err != nil {
		return err
	}
	if err := giveID(l.id); err != nil {
		return err
	}
	if err := giveTime("at", l.at, tx.now); err != nil {
		return err
	}
	if l.at.Before(w.At) {
		return procedures.Invalid("at", clockTime(*l.at), w.Mark+" was welded only at "+clockTime(w.At), "look at the date")
	}
	if err := legible(l.columns()); err != nil {
		return err
	}
	if _, err = tx.insert(l.table, l.columns()...); err != nil {
		return err
	}
	return tx.corrected(w.ID)
}

// sameLater makes a record the recorded one, if it says the same.
func sameLater[T any](rec, recorded *T, bind func(*T) later) error {
	given, kept := bind(rec), bind(recorded)
	*given.id = *kept.id
	if given.at.IsZero() {
		*given.at = *kept.at
	}
	is := given.columns()
	for i, was := range kept.columns() {
		if show(was.cell) != show(is[i].cell) {
			return procedures.Invalid("id", *kept.id, fmt.Sprintf("this %s is recorded already, with another %s", kept.noun, was.field),
				"strike the recorded one and leave the id out to write it down anew")
		}
	}
	*rec = *recorded
	return nil
}

func laters[T any](tx *tx, bind func(*T) later, where string, args ...any) (list []T, err error) {
	var rec T
	l := bind(&rec)
	cols := l.columns()
	err = tx.each(func(row scanner) error {
		err := row.Scan(cells(cols)...)
		list = append(list, rec)
		return err
	}, "SELECT "+names(cols)+" FROM "+l.table+" WHERE "+where+" ORDER BY at, id", args...)
	return list, err
}

// latersOf lists what stands of one weld, or of all that stand.
func latersOf[T any](tx *tx, bind func(*T) later, weld string) ([]T, error) {
	if weld == "" {
		return laters(tx, bind, "struck IS NULL AND weld IN (SELECT id FROM welds WHERE struck IS NULL)")
	}
	w, _, err := tx.byMark(weld)
	if err != nil {
		return nil, err
	}
	return laters(tx, bind, "struck IS NULL AND weld = ?", w.ID)
}

func strikeLast[T any](ctx context.Context, n *Notebook, bind func(*T) later, weld, why string) (last T, err error) {
	if why, err = reason(why); err != nil {
		return last, err
	}
	err = n.aside(ctx, func(tx *tx) error {
		w, _, err := tx.byMark(weld)
		if err != nil {
			return err
		}
		list, err := laters(tx, bind, "struck IS NULL AND weld = ?", w.ID)
		if err != nil {
			return err
		}
		l := bind(&last)
		if len(list) == 0 {
			return fmt.Errorf("%s of %s: %w", l.noun, w.Mark, procedures.ErrNotFound)
		}
		last = list[len(list)-1]
		return first(tx.exec("UPDATE "+l.table+" SET struck = ?, struck_at = ? WHERE id = ?", why, formatTime(tx.now), *l.id), tx.corrected(w.ID))
	})
	return last, err
}

// thirds is a bead rated by thirds, kept as "3,4,4".
type thirds struct{ p **procedures.Thirds }

func (c thirds) Value() (driver.Value, error) {
	t := *c.p
	if t == nil || *t == (procedures.Thirds{}) {
		return nil, nil
	}
	return fmt.Sprintf("%d,%d,%d", t[0], t[1], t[2]), nil
}

func (c thirds) Scan(v any) error {
	var s string
	*c.p = nil
	if err := fill(&s, v, func(s string) string { return s }); err != nil || s == "" {
		return err
	}
	parts := strings.Split(s, ",")
	if len(parts) != 3 {
		return errors.New("a bead has three thirds, and not " + strconv.Quote(s))
	}
	t := procedures.Thirds{}
	for i, part := range parts {
		r, err := strconv.Atoi(part)
		if err != nil {
			return err
		}
		t[i] = procedures.Count(r)
	}
	*c.p = &t
	return nil
}
