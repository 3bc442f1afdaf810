package store

import (
	"context"
	"encoding/json"
	"strings"

	"beadwright/procedures"
)

// welds reads the welds that a WHERE and an ORDER BY ask for, with their symptoms
// and tests, and whether they failed in use: four queries, however many welds.
func (tx *tx) welds(which string, args ...any) ([]procedures.Weld, error) {
	var w procedures.Weld
	var row int64
	var list []procedures.Weld
	var rows []int64
	place := map[int64]int{}
	cols := weldColumns(&w)
	dest := append(cells(cols), &row)
	err := tx.each(func(r scanner) error {
		if err := r.Scan(dest...); err != nil {
			return err
		}
		place[row] = len(list)
		rows = append(rows, row)
		list = append(list, w)
		return nil
	}, "SELECT "+names(cols)+", n FROM welds "+which, args...)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	numbers, err := json.Marshal(rows)
	if err != nil {
		return nil, err
	}
	var key string
	err = tx.each(func(r scanner) error {
		if err := r.Scan(&row, &key); err != nil {
			return err
		}
		o := &list[place[row]].Outcome
		o.Symptoms = append(o.Symptoms, key)
		return nil
	}, "SELECT weld, key FROM symptoms WHERE weld IN (SELECT value FROM json_each(?)) ORDER BY weld, place", string(numbers))
	if err != nil {
		return nil, err
	}
	var t procedures.Test
	err = tx.each(func(r scanner) error {
		if err := r.Scan(&row, &t.Kind, &t.Passed, &t.Result); err != nil {
			return err
		}
		o := &list[place[row]].Outcome
		o.Tests = append(o.Tests, t)
		return nil
	}, "SELECT weld, kind, passed, result FROM tests WHERE weld IN (SELECT value FROM json_each(?)) ORDER BY weld, place", string(numbers))
	if err != nil {
		return nil, err
	}
	return list, tx.failures(list, func(row int64) (int, bool) { i, ok := place[row]; return i, ok })
}

// History returns every weld that stands, in the order of their ids, which is
// that in which they were first recorded, here or in another notebook.
func (n *Notebook) History(ctx context.Context) (list []procedures.Weld, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.welds("WHERE struck IS NULL ORDER BY id")
		return err
	})
	return list, err
}

// conditions writes a filter as SQL.
func conditions(f procedures.Filter) (where string, args []any) {
	list := []string{"1 = 1"}
	add := func(condition string, values ...any) {
		list = append(list, condition)
		args = append(args, values...)
	}
	if !f.Struck {
		add("struck IS NULL")
	}
	if f.Thickness > 0 {
		lo, hi := f.ThicknessRange()
		add("(thickness_mm BETWEEN ? AND ? OR other_thickness_mm BETWEEN ? AND ?)", float64(lo), float64(hi), float64(lo), float64(hi))
	}
	if f.WireDiameter > 0 {
		lo, hi := f.WireRange()
		add("wire_diameter_mm BETWEEN ? AND ?", float64(lo), float64(hi))
	}
	for _, q := range []struct{ condition, value string }{
		{"joint = ?", string(f.Joint)},
		{"position = ?", string(f.Position)},
		{"wire_class = ? COLLATE NOCASE", strings.TrimSpace(f.WireClass)},
		{"machine = (SELECT name FROM machines WHERE name_key = ?)", fold(f.Machine)},
		{"state = ?", f.State},
		{"spool = ?", f.Spool},
		{"n IN (SELECT weld FROM symptoms WHERE key = ?)", f.Symptom},
	} {
		if q.value != "" {
			add(q.condition, q.value)
		}
	}
	if len(f.Steels) > 0 {
		steels := make([]any, len(f.Steels))
		for i, s := range f.Steels {
			steels[i] = s
		}
		add("steel IN (?"+strings.Repeat(", ?", len(steels)-1)+")", steels...)
	}
	if f.RatingMin > 0 || f.RatingMax > 0 {
		hi := f.RatingMax
		if hi == 0 {
			hi = 5
		}
		add("rating BETWEEN ? AND ?", max(f.RatingMin, 1), hi)
	}
	if f.RatingMin >= 4 { // looks do not outweigh a failed test
		add("NOT EXISTS (SELECT 1 FROM tests WHERE tests.weld = welds.n AND NOT passed)")
	}
	if !f.Since.IsZero() {
		add("at >= ?", formatTime(f.Since))
	}
	if !f.Until.IsZero() {
		add("at <= ?", formatTime(f.Until))
	}
	return strings.Join(list, " AND "), args
}
