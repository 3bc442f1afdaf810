package store

import (
	"context"
	"strings"
	"time"

	"beadwright/procedures"
)

func spoolColumns(s *procedures.Spool) []column {
	return []column{
		{"id", "id", text[string]{&s.ID}},
		{"name", "name", text[string]{&s.Name}},
		{"wire_class", "wire_class", text[string]{&s.Wire.Class}},
		{"wire_diameter_mm", "wire_diameter_mm", number[procedures.MM]{&s.Wire.Diameter}},
		{"wire_gas", "wire_gas", text[string]{&s.Wire.Gas}},
		{"wire_g", "grams", number[procedures.Grams]{&s.Grams}},
		{"opened", "opened", moment{&s.Opened}},
		{"note", "note", text[string]{&s.Note}},
		{"struck", "struck", text[string]{&s.Struck}},
	}
}

// AddSpool writes down a spool of wire and returns it with its id. The first
// spool of a notebook is in use from then on. Errors: InvalidError where it
// cannot be, or its name is taken.
func (n *Notebook) AddSpool(ctx context.Context, s procedures.Spool) (procedures.Spool, error) {
	s.Name, s.Struck = strings.TrimSpace(s.Name), ""
	if err := s.Validate(); err != nil {
		return s, err
	}
	err := n.write(ctx, func(tx *tx) error {
		if err := giveID(&s.ID); err != nil {
			return err
		}
		if !s.Opened.IsZero() {
			if err := giveTime("opened", &s.Opened, time.Time{}); err != nil {
				return err
			}
		}
		if err := legible(spoolColumns(&s)); err != nil {
			return err
		}
		if err := tx.free("spools", s.Name, s.ID); err != nil {
			return err
		}
		key, added := fold(s.Name), tx.now
		if _, err := tx.insert("spools", append(spoolColumns(&s),
			column{"name_key", "", text[string]{&key}}, column{"added_at", "", moment{&added}})...); err != nil {
			return err
		}
		return tx.setFirst("spool", s.ID)
	})
	return s, err
}

func (tx *tx) spools(where string, args ...any) (list []procedures.Spool, err error) {
	var s procedures.Spool
	cols := spoolColumns(&s)
	err = tx.each(func(r scanner) error {
		err := r.Scan(cells(cols)...)
		list = append(list, s)
		return err
	}, "SELECT "+names(cols)+" FROM spools WHERE "+where+" ORDER BY n", args...)
	return list, err
}

func (tx *tx) spool(nameOrID string) (s procedures.Spool, err error) {
	row, err := tx.lookUp("spools", nameOrID)
	if err != nil {
		return s, err
	}
	list, err := tx.spools("n = ?", row)
	if err != nil {
		return s, err
	}
	return list[0], nil
}

// Spools lists the spools in the order written down, those too that were withdrawn.
func (n *Notebook) Spools(ctx context.Context) (list []procedures.Spool, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.spools("1 = 1")
		return err
	})
	return list, err
}

// Spool returns the spool of that name, in any case of letters, or of that id.
// Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) Spool(ctx context.Context, nameOrID string) (s procedures.Spool, err error) {
	err = n.read(ctx, func(tx *tx) error {
		s, err = tx.spool(nameOrID)
		return err
	})
	return s, err
}

// UseSpool makes a spool the one in use. Errors: wraps [procedures.ErrNotFound];
// InvalidError where it was withdrawn.
func (n *Notebook) UseSpool(ctx context.Context, nameOrID string) (s procedures.Spool, err error) {
	err = n.write(ctx, func(tx *tx) error {
		if s, err = tx.spool(nameOrID); err != nil {
			return err
		}
		return first(tx.stands("spools", s.ID), tx.set("spool", s.ID))
	})
	return s, err
}

// CurrentSpool returns the spool in use. Errors: wraps [procedures.ErrNotFound]
// where there is no spool yet; [NoneInUse].
func (n *Notebook) CurrentSpool(ctx context.Context) (s procedures.Spool, err error) {
	err = n.read(ctx, func(tx *tx) error {
		id, err := tx.inUse("spools")
		if err != nil {
			return err
		}
		s, err = tx.spool(id)
		return err
	})
	return s, err
}
