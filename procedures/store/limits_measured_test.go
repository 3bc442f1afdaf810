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

// around is values at, next to and far from two limits, and nought.
func around(lo, hi float64) []float64 {
	down, up := math.Inf(-1), math.Inf(1)
	return []float64{lo, hi, (lo + hi) / 2, math.Nextafter(lo, up), math.Nextafter(hi, down), math.Nextafter(lo, down), math.Nextafter(hi, up), hi * 10, -hi - 1, up, down, 0}
}

// TestMeasuredLimitsAgree adds records with values at, next to and far from each
// limit past the notebook: the tables refuse what Validate refuses, and no more.
func TestMeasuredLimitsAgree(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	n := open(t, path, store.Options{})
	red := must(n.AddMachine(t.Context(), littleRed()))(t)
	spool := must(n.AddSpool(t.Context(), elevens()))(t)
	must(n.AddWeld(t.Context(), procedures.Weld{}))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	db := raw(t, path)
	good, bad := 0, 0
	agree := func(what any, valid error, table string, set map[string]any) {
		t.Helper()
		if valid == nil {
			good++
		} else {
			bad++
		}
		if err := attempt(db, table, set); (err == nil) != (valid == nil) {
			t.Errorf("%s %+v: Validate says %v, the table %v", table, what, valid, err)
		}
	}
	known := func(v float64) any { // nought: not known
		if v == 0 {
			return nil
		}
		return v
	}
	given := func(p *float64) any {
		if p == nil {
			return nil
		}
		return *p
	}
	record := func(more map[string]any) map[string]any {
		set := map[string]any{"id": strings.Repeat("x", 36), "machine": red.Name, "number": 1, "at": strings.Repeat("x", 30), "state": red.State.ID}
		for k, v := range more {
			set[k] = v
		}
		return set
	}

	runOut := func(r procedures.RunOut) {
		t.Helper()
		agree(r, r.Validate(), "runouts", record(map[string]any{"mark": r.Mark, "length_mm": known(float64(r.Length)), "duration_s": known(float64(r.Seconds)),
			"short_length_mm": known(float64(r.ShortLength)), "short_s": known(float64(r.ShortSeconds))}))
	}
	for _, v := range around(0, 1000) {
		runOut(procedures.RunOut{Mark: v, Length: 1000, Seconds: 10})
	}
	for _, v := range around(10, 100000) {
		for _, s := range []procedures.Seconds{1, 1.5, 10, 150, 300} {
			runOut(procedures.RunOut{Length: procedures.MM(v), Seconds: s})
		}
		runOut(procedures.RunOut{Length: 100000, Seconds: 300, ShortLength: procedures.MM(v), ShortSeconds: 150})
		runOut(procedures.RunOut{Length: 100, Seconds: 20, ShortLength: procedures.MM(v), ShortSeconds: 5})
	}
	for _, v := range around(1, 300) {
		for _, l := range []procedures.MM{10, 500, 5000, 100000} {
			runOut(procedures.RunOut{Length: l, Seconds: procedures.Seconds(v)})
		}
		runOut(procedures.RunOut{Length: 90000, Seconds: 300, ShortLength: 300, ShortSeconds: procedures.Seconds(v)})
	}
	for _, v := range append(around(1, 298), 298.5, 299) {
		runOut(procedures.RunOut{Length: 1500, Seconds: 300, ShortLength: 1000, ShortSeconds: procedures.Seconds(v)})
	}
	for _, v := range around(0.3, 40) { // m/min
		runOut(procedures.RunOut{Length: procedures.MM(v * 1000), Seconds: 60})
	}

	bands := map[procedures.MeasurementKind][2]float64{}
	for _, kind := range procedures.MeasurementKinds() {
		lo, hi := 1e9, -1e9 // the limits, found by asking
		for _, v := range []float64{0, 5, 10, 60, 90, 30, 100, 200, 700, 1000, 50000, 1e6} {
			if (procedures.Measurement{Kind: kind, Value: v, Spool: spool.ID}).Validate() == nil {
				lo, hi = min(lo, v), max(hi, v)
			}
		}
		bands[kind] = [2]float64{lo, hi}
	}
	bands["smell"] = [2]float64{0, 10}
	for kind, band := range bands {
		for _, v := range around(band[0], band[1]) {
			m := procedures.Measurement{Kind: kind, Value: v, Spool: spool.ID}
			agree(m, m.Validate(), "measurements", record(map[string]any{"kind": kind, "value": v, "spool": spool.ID}))
			m.Spool = ""
			agree(m, m.Validate(), "measurements", record(map[string]any{"kind": kind, "value": v}))
		}
	}
	for _, v := range around(0, 1000) {
		m := procedures.Measurement{Kind: procedures.LoadVolts, Value: 17, Knob: &v}
		agree(m, m.Validate(), "measurements", record(map[string]any{"kind": m.Kind, "value": m.Value, "knob": v}))
	}

	cut := func(c procedures.CutOut) {
		t.Helper()
		agree(c, c.Validate(), "cutouts", record(map[string]any{"arc_s": known(float64(c.Used)), "current_A": known(float64(c.Current)), "knob": given(c.Knob), "ambient_C": given(c.Ambient)}))
	}
	for _, v := range around(1, 600) {
		cut(procedures.CutOut{Used: procedures.Seconds(v)})
	}
	for _, v := range around(5, 1000) {
		cut(procedures.CutOut{Used: 60, Current: procedures.Amps(v)})
	}
	for _, v := range around(-40, 60) {
		cut(procedures.CutOut{Used: 60, Ambient: &v})
	}
	for _, v := range around(0, 1000) {
		cut(procedures.CutOut{Used: 60, Knob: &v})
	}

	for _, c := range []struct {
		column string
		lo, hi float64
		set    func(*procedures.Rebuild, float64)
	}{
		{"ac_V", 5, 200, func(b *procedures.Rebuild, v float64) { b.ACVolts = procedures.Volts(v) }},
		{"capacitance_F", 1e-6, 10, func(b *procedures.Rebuild, v float64) { b.Farads = v }},
		{"capacitor_V", 5, 1000, func(b *procedures.Rebuild, v float64) { b.CapVolts = procedures.Volts(v) }},
		{"ripple_A", 0.1, 10000, func(b *procedures.Rebuild, v float64) { b.RippleAmps = procedures.Amps(v) }},
		{"bleeder_ohm", 0.1, 1e8, func(b *procedures.Rebuild, v float64) { b.BleedOhms = v }},
		{"bleeder_W", 0.1, 10000, func(b *procedures.Rebuild, v float64) { b.BleedWatts = v }},
		{"diode_V", 0.2, 3, func(b *procedures.Rebuild, v float64) { b.DiodeVolts = procedures.Volts(v) }},
		{"rectifier_A", 1, 5000, func(b *procedures.Rebuild, v float64) { b.RectifierAmps = procedures.Amps(v) }},
		{"mains_Hz", 40, 400, func(b *procedures.Rebuild, v float64) { b.MainsHz = v }},
	} {
		for _, v := range around(c.lo, c.hi) {
			var b procedures.Rebuild
			c.set(&b, v)
			agree(b, b.Validate(), "rebuilds", map[string]any{"state": red.State.ID, "version": 1, "at": strings.Repeat("x", 30), c.column: known(v)})
		}
	}
	for _, count := range []int{-1, 1, 50, 100, 101} {
		b := procedures.Rebuild{Capacitors: procedures.Count(count)}
		agree(b, b.Validate(), "rebuilds", map[string]any{"state": red.State.ID, "version": 1, "at": strings.Repeat("x", 30), "capacitors": count})
	}
	for _, v := range around(0.5, 36000) {
		if v == 0 {
			continue
		}
		valid := procedures.Weld{ArcTime: procedures.Seconds(v)}.Validate()
		if err := trial(db, "welds", "arc_s", v); (err == nil) != (valid == nil) {
			t.Errorf("welds.arc_s %v: Validate says %v, the table %v", v, valid, err)
		}
	}
	if good < 100 || bad < 100 {
		t.Errorf("%d records were good and %d bad: too few of one to show anything", good, bad)
	}

	const nine, later, latest = "2026-05-02T09:00:00.000000000Z", "2026-05-02T09:10:00.000000000Z", "2026-05-02T09:10:01.000000000Z"
	arc := func(start, stop, weld any) map[string]any {
		return map[string]any{"id": strings.Repeat("x", 36), "machine": red.Name, "state": red.State.ID, "start": start, "stop": stop, "weld": weld}
	}
	with := func(set map[string]any, column string, v any) map[string]any {
		set[column] = v
		return set
	}
	meter := func(column string, v any) map[string]any {
		return with(record(map[string]any{"kind": "tip", "value": 0}), column, v)
	}
	for _, c := range []struct {
		table string
		good  bool
		set   map[string]any
	}{
		{"arcs", true, arc(nine, nil, nil)},
		{"arcs", true, arc(nine, later, nil)},
		{"arcs", false, arc(nine, latest, nil)}, // longer than any hand holds
		{"arcs", false, arc(nine, nine, nil)},
		{"arcs", false, arc(later, nine, nil)},
		{"arcs", false, arc(nil, nil, nil)},
		{"arcs", false, arc(nine, later, "no such weld")},
		{"measurements", true, meter("note", nil)},
		{"measurements", true, with(meter("machine", nil), "state", nil)},
		{"measurements", false, meter("machine", nil)},
		{"measurements", false, meter("state", nil)},
		{"measurements", false, meter("machine", "nobody's")},
		{"measurements", false, meter("state", "x")},
		{"measurements", false, meter("spool", "x")},
		{"measurements", false, meter("number", 0)},
		{"measurements", false, meter("note", "")},
		{"measurements", false, meter("tap", "")},
		{"measurements", false, meter("value", nil)},
		{"measurements", false, meter("struck", "why, and not when")},
		{"measurements", false, meter("id", "x")},
		{"measurements", false, meter("at", "yesterday")},
		{"rebuilds", false, map[string]any{"state": "x", "version": 1, "at": nine}},
		{"rebuilds", false, map[string]any{"state": red.State.ID, "version": 0, "at": nine}},
		{"rebuilds", false, map[string]any{"state": red.State.ID, "version": 1, "at": nine, "rectifier_fan": 2}},
		{"rebuilds", true, map[string]any{"state": red.State.ID, "version": 1, "at": nine, "rectifier_fan": 0}},
		{"machine_amendments", true, map[string]any{"machine": 1, "at": nine, "field": "note"}},
		{"machine_amendments", false, map[string]any{"machine": 9, "at": nine, "field": "note"}},
		{"machine_amendments", false, map[string]any{"machine": 1, "at": nine, "field": ""}},
		{"spool_amendments", true, map[string]any{"spool": 1, "at": nine, "field": "name"}},
		{"spool_amendments", false, map[string]any{"spool": 9, "at": nine, "field": "name"}},
		{"spool_amendments", false, map[string]any{"spool": 1, "at": nine, "field": ""}},
		{"spool_amendments", false, map[string]any{"spool": 1, "at": "yesterday", "field": "name"}},
	} {
		if err := attempt(db, c.table, c.set); (err == nil) != c.good {
			t.Errorf("%s %v: %v", c.table, c.set, err)
		}
	}
	t.Run("one number, one burning arc", func(t *testing.T) {
		for table, set := range map[string]map[string]any{"measurements": with(meter("machine", nil), "state", nil), "arcs": arc(nine, nil, nil)} {
			if err := attempt(db, table, set, set); err == nil || !strings.Contains(err.Error(), "UNIQUE") {
				t.Errorf("%s takes two: %v", table, err)
			}
		}
	})
}

// attempt adds rows and takes them back, with foreign keys on. Each gets an id of
// its own.
func attempt(db *sql.DB, table string, rows ...map[string]any) error {
	if _, err := db.Exec("PRAGMA foreign_keys = ON"); err != nil {
		return err
	}
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	defer tx.Rollback()
	for i, set := range rows {
		var columns []string
		var values []any
		for column, v := range set {
			if column == "id" && i > 0 {
				v = strings.Repeat("y", 36)
			}
			columns, values = append(columns, column), append(values, v)
		}
		if _, err := tx.Exec(fmt.Sprintf("INSERT INTO %s (%s) VALUES (?%s)", table, strings.Join(columns, ", "), strings.Repeat(", ?", len(columns)-1)), values...); err != nil {
			return err
		}
	}
	return nil
}
