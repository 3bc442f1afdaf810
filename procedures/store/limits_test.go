package store_test

import (
	"database/sql"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestLimitsAgree puts values at, next to and far from each limit past the
// notebook into its tables: the tables refuse what Validate refuses, and no more.
func TestLimitsAgree(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	n := open(t, path, store.Options{})
	must(n.AddMachine(t.Context(), procedures.Machine{Name: "m", Taps: []procedures.Tap{{Name: "max"}}}))(t)
	must(n.AddSpool(t.Context(), elevens()))(t)
	must(n.AddWeld(t.Context(), procedures.Weld{}))(t)
	must(n.SaveSuggestion(t.Context(), store.Suggestion{Verdict: "edge"}))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	db := raw(t, path)

	job := func(set func(*procedures.Job, float64)) func(float64) error {
		return func(v float64) error { var j procedures.Job; set(&j, v); return j.Validate() }
	}
	settings := func(set func(*procedures.Settings, float64)) func(float64) error {
		return func(v float64) error { var s procedures.Settings; set(&s, v); return s.Validate() }
	}
	outcome := func(set func(*procedures.Outcome, float64)) func(float64) error {
		return func(v float64) error { var o procedures.Outcome; set(&o, v); return o.Validate() }
	}
	machine := func(set func(*procedures.Machine, float64)) func(float64) error {
		return func(v float64) error { m := procedures.Machine{Name: "m"}; set(&m, v); return m.Validate() }
	}
	both := []string{"welds", "suggestions"}
	for _, c := range []struct {
		tables []string
		column string
		lo, hi float64
		check  func(float64) error
	}{
		{both, "thickness_mm", 0.1, 300, job(func(j *procedures.Job, v float64) { j.Thickness = procedures.MM(v) })},
		{both, "other_thickness_mm", 0.1, 300, job(func(j *procedures.Job, v float64) { j.OtherThickness = procedures.MM(v) })},
		{both, "gap_mm", math.SmallestNonzeroFloat64, 25, job(func(j *procedures.Job, v float64) { j.Gap = procedures.MM(v) })},
		{both, "length_mm", math.SmallestNonzeroFloat64, 1e6, job(func(j *procedures.Job, v float64) { j.Length = procedures.MM(v) })},
		{both, "wire_diameter_mm", 0.3, 8, job(func(j *procedures.Job, v float64) { j.Wire.Diameter = procedures.MM(v) })},
		{both, "knob", 0, 1000, settings(func(s *procedures.Settings, v float64) { s.Knob = &v })},
		{both, "preheat_C", 0, 700, settings(func(s *procedures.Settings, v float64) { s.Preheat = &v })},
		{both, "wire_speed_m_min", 0.3, 40, settings(func(s *procedures.Settings, v float64) { s.WireSpeed = procedures.MPerMin(v) })},
		{both, "extension_mm", 2, 100, settings(func(s *procedures.Settings, v float64) { s.Extension = procedures.MM(v) })},
		{both, "travel_mm_min", 10, 5000, settings(func(s *procedures.Settings, v float64) { s.Travel = procedures.MMPerMin(v) })},
		{both, "voltage_V", 5, 100, settings(func(s *procedures.Settings, v float64) { s.Voltage = procedures.Volts(v) })},
		{both, "current_A", 5, 1000, settings(func(s *procedures.Settings, v float64) { s.Current = procedures.Amps(v) })},
		{both, "leg_mm", 0.5, 100, settings(func(s *procedures.Settings, v float64) { s.Leg = procedures.MM(v) })},
		{[]string{"welds"}, "measured_leg_mm", 0.5, 100, outcome(func(o *procedures.Outcome, v float64) { o.Leg = procedures.MM(v) })},
		{[]string{"machines"}, "wire_min_m_min", 0.3, 40, machine(func(m *procedures.Machine, v float64) { m.WireMin = procedures.MPerMin(v) })},
		{[]string{"machines"}, "wire_max_m_min", 0.3, 40, machine(func(m *procedures.Machine, v float64) { m.WireMax = procedures.MPerMin(v) })},
		{[]string{"machines"}, "max_A", 5, 1000, machine(func(m *procedures.Machine, v float64) { m.MaxAmps = procedures.Amps(v) })},
		{[]string{"machines"}, "rated_V", 5, 100, machine(func(m *procedures.Machine, v float64) { m.RatedVolts = procedures.Volts(v) })},
		{[]string{"machines"}, "duty_percent", 1, 100, machine(func(m *procedures.Machine, v float64) { m.Duty = procedures.Percent(v) })},
		{[]string{"machines"}, "input_V", 90, 700, machine(func(m *procedures.Machine, v float64) { m.InputVolts = procedures.Volts(v) })},
		{[]string{"machines"}, "input_A", 1, 400, machine(func(m *procedures.Machine, v float64) { m.InputAmps = procedures.Amps(v) })},
		{[]string{"machines"}, "breaker_A", 5, 400, machine(func(m *procedures.Machine, v float64) { m.Breaker = procedures.Amps(v) })},
		{[]string{"machines"}, "cord_length_mm", 100, 100000, machine(func(m *procedures.Machine, v float64) { m.Cord.Length = procedures.MM(v) })},
		{[]string{"machines"}, "knob_max", 0, 1000, machine(func(m *procedures.Machine, v float64) { m.Knob.Max = v })},
		{[]string{"taps"}, "load_V", 1, 200, machine(func(m *procedures.Machine, v float64) {
			m.Taps = []procedures.Tap{{Name: "max", Load: procedures.Volts(v)}}
		})},
		{[]string{"taps"}, "open_V", 1, 200, machine(func(m *procedures.Machine, v float64) {
			m.Taps = []procedures.Tap{{Name: "max", Open: procedures.Volts(v)}}
		})},
		{[]string{"spools"}, "wire_diameter_mm", 0.3, 8, func(v float64) error { s := elevens(); s.Wire.Diameter = procedures.MM(v); return s.Validate() }},
		{[]string{"spools"}, "wire_g", 10, 50000, func(v float64) error { s := elevens(); s.Grams = procedures.Grams(v); return s.Validate() }},
	} {
		values := map[float64]bool{
			c.lo: true, c.hi: true, (c.lo + c.hi) / 2: true, math.Nextafter(c.lo, c.hi): true, math.Nextafter(c.hi, c.lo): true,
			math.Nextafter(c.hi, math.Inf(1)): false, c.hi * 10: false, -c.hi: false, math.Inf(1): false, math.Inf(-1): false,
		}
		if below := math.Nextafter(c.lo, math.Inf(-1)); below != 0 { // nought is "not known"
			values[below] = false
		}
		for v, ok := range values {
			if err := c.check(v); (err == nil) != ok {
				t.Errorf("%s %v: Validate says %v", c.column, v, err)
			}
			for _, table := range c.tables {
				if err := trial(db, table, c.column, v); (err == nil) != ok {
					t.Errorf("%s.%s %v: the table says %v", table, c.column, v, err)
				}
			}
		}
	}

	for _, c := range []struct {
		column string
		keys   []string
	}{
		{"joint", texts(procedures.Joints())}, {"weld_type", texts(procedures.WeldTypes())}, {"position", texts(procedures.Positions())},
		{"process", texts(procedures.Processes())}, {"polarity", texts(procedures.Polarities())}, {"coating", texts(procedures.Coatings())},
	} {
		for _, table := range both {
			for _, key := range c.keys {
				if err := trial(db, table, c.column, key); err != nil {
					t.Errorf("%s.%s %q: %v", table, c.column, key, err)
				}
			}
			for _, bad := range []any{"", "x", strings.ToUpper(c.keys[0]) + " ", 1.5} {
				if err := trial(db, table, c.column, bad); err == nil {
					t.Errorf("%s.%s takes %q", table, c.column, bad)
				}
			}
		}
	}
	for _, c := range []struct {
		table, column string
		good, bad     []any
	}{
		{"welds", "rating", []any{1, 5, nil}, []any{0, 6, -1, 2.5, "x"}},
		{"welds", "passes", []any{1, 100, nil}, []any{0, 101}},
		{"welds", "tap", []any{strings.Repeat("x", 20), strings.Repeat("é", 10)}, []any{strings.Repeat("x", 21), strings.Repeat("é", 11)}},
		{"welds", "note", []any{strings.Repeat("é", 2000)}, []any{strings.Repeat("é", 2000) + "x"}},
		{"welds", "coating_stripped", []any{0, 1}, []any{2, nil}},
		{"welds", "mark", []any{"A1", "ZZ99"}, []any{"", "1", "a1", nil}},
		{"welds", "at", nil, []any{nil, "2026-01-01", "yesterday"}},
		{"welds", "id", nil, []any{nil, "x"}},
		{"welds", "how", []any{`{"tap":"guessed"}`, nil}, []any{"x", "[]", "1"}},
		{"welds", "machine", []any{"m", nil}, []any{"M", "another"}},
		{"welds", "spool", []any{nil}, []any{"x"}},
		{"welds", "state", []any{nil}, []any{"x"}},
		{"welds", "suggestion", []any{nil}, []any{"x"}},
		{"welds", "struck", nil, []any{"why, and not when"}},
		{"machines", "cord_awg", []any{2, 18, nil}, []any{0, 1, 3, 20, -2}},
		{"machines", "name", []any{strings.Repeat("x", 60)}, []any{"", strings.Repeat("x", 61), nil}},
		{"machines", "struck", nil, []any{"why, and not when", ""}},
		{"machines", "struck_at", nil, []any{"2026-01-01T00:00:00.000000000Z", "yesterday"}},
		{"spools", "struck", nil, []any{"why, and not when", ""}},
		{"spools", "struck_at", nil, []any{"2026-01-01T00:00:00.000000000Z", "yesterday"}},
		{"states", "output", texts2(procedures.AC, procedures.DCEN, procedures.DCEP, procedures.DC), []any{"x", ""}},
		{"states", "kind", []any{"original"}, []any{"feed", "x", nil}},
		{"suggestions", "verdict", []any{"proved", "inside", "edge", "outside", "refused"}, []any{"maybe", nil}},
		{"suggestions", "document", []any{"{}", nil}, []any{"{"}},
	} {
		for _, v := range c.good {
			if err := trial(db, c.table, c.column, v); err != nil {
				t.Errorf("%s.%s refuses %v: %v", c.table, c.column, v, err)
			}
		}
		for _, v := range c.bad {
			if err := trial(db, c.table, c.column, v); err == nil {
				t.Errorf("%s.%s takes %v", c.table, c.column, v)
			}
		}
	}
	for _, key := range procedures.SymptomKeys() {
		if _, err := db.Exec("INSERT INTO symptoms (weld, place, key) VALUES (1, (SELECT count(*) FROM symptoms), ?)", key); err != nil {
			t.Errorf("symptom %s: %v", key, err)
		}
	}
	for i, kind := range procedures.TestKinds() {
		if _, err := db.Exec("INSERT INTO tests (weld, place, kind, passed, result) VALUES (1, ?, ?, 1, '')", i, kind); err != nil {
			t.Errorf("test %s: %v", kind, err)
		}
	}
}

// trial updates a column and takes it back, with foreign keys on.
func trial(db *sql.DB, table, column string, v any) error {
	if _, err := db.Exec("PRAGMA foreign_keys = ON"); err != nil {
		return err
	}
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	defer tx.Rollback()
	res, err := tx.Exec(fmt.Sprintf("UPDATE %s SET %s = ?", table, column), v)
	if err != nil {
		return err
	}
	if n, _ := res.RowsAffected(); n != 1 {
		return fmt.Errorf("%d rows updated", n)
	}
	return nil
}

func texts[T ~string](keys []T) (s []string) {
	for _, k := range keys {
		s = append(s, string(k))
	}
	return s
}

func texts2[T ~string](keys ...T) (s []any) {
	for _, k := range keys {
		s = append(s, string(k))
	}
	return s
}
