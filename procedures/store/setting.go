package store

import (
	"context"
	"database/sql"
	"errors"

	"beadwright/procedures"
)

// setting returns what is set, "" where nothing is.
func (tx *tx) setting(key string) (string, error) {
	var value string
	err := tx.get([]any{&value}, "SELECT value FROM settings WHERE key = ?", key)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return value, err
}

func (tx *tx) set(key, value string) error {
	return tx.exec("INSERT INTO settings (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value", key, value)
}

// setFirst sets what was not yet set.
func (tx *tx) setFirst(key, value string) error {
	return tx.exec("INSERT INTO settings (key, value) VALUES (?, ?) ON CONFLICT (key) DO NOTHING", key, value)
}

// Units returns what a bare number means in this notebook; [procedures.US] until
// something else is set.
func (n *Notebook) Units(ctx context.Context) (units procedures.Units, err error) {
	err = n.read(ctx, func(tx *tx) error {
		s, err := tx.setting("units")
		if units = procedures.Units(s); units == "" {
			units = procedures.US
		}
		return err
	})
	return units, err
}

// SetUnits sets what a bare number means: us or metric.
func (n *Notebook) SetUnits(ctx context.Context, units procedures.Units) error {
	if units != procedures.US && units != procedures.Metric {
		return procedures.Invalid("units", string(units), "not a system of units", "accepted: us, metric")
	}
	return n.write(ctx, func(tx *tx) error { return tx.set("units", string(units)) })
}
