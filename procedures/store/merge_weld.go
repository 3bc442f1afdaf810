package store

import (
	"encoding/json"
	"errors"
	"slices"

	"beadwright/procedures"
)

// loadWelds fills in the lists of welds.
func loadWelds(tx *tx, byID map[string]*weldRecord) error {
	ids := make([]string, 0, len(byID))
	for id := range byID {
		ids = append(ids, id)
	}
	list, err := json.Marshal(ids)
	if err != nil {
		return err
	}
	const these = "w.id IN (SELECT value FROM json_each(?))"
	var id, key string
	if err := tx.each(func(r scanner) error {
		err := r.Scan(&id, &key)
		byID[id].Outcome.Symptoms = append(byID[id].Outcome.Symptoms, key)
		return err
	}, "SELECT w.id, s.key FROM symptoms s JOIN welds w ON w.n = s.weld WHERE "+these+" ORDER BY s.weld, s.place", string(list)); err != nil {
		return err
	}
	var t procedures.Test
	if err := tx.each(func(r scanner) error {
		err := r.Scan(&id, &t.Kind, &t.Passed, &t.Result)
		byID[id].Outcome.Tests = append(byID[id].Outcome.Tests, t)
		return err
	}, "SELECT w.id, t.kind, t.passed, t.result FROM tests t JOIN welds w ON w.n = t.weld WHERE "+these+" ORDER BY t.weld, t.place", string(list)); err != nil {
		return err
	}
	return loadAmendments(tx, "amendments", "weld", "welds", func(id string) *[]procedures.Amendment { return &byID[id].Amended },
		"r.id IN (SELECT value FROM json_each(?))", string(list))
}

// saveWeld writes the lists of a weld in the place of what there was of them.
func saveWeld(m *merging, row int64, w *weldRecord) error {
	if m.replacing {
		for _, table := range []string{"symptoms", "tests", "amendments"} {
			if _, err := m.run("DELETE FROM "+table+" WHERE weld = ?", row); err != nil {
				return err
			}
		}
	}
	for i, key := range w.Outcome.Symptoms {
		if err := m.queue(&m.symptoms, 0, row, i+1, key); err != nil {
			return err
		}
	}
	for i, t := range w.Outcome.Tests {
		if err := m.queue(&m.tests, 0, row, i+1, t.Kind, t.Passed, t.Result); err != nil {
			return err
		}
	}
	if len(w.Amended) > 0 {
		if err := m.flush(&m.welds); err != nil {
			return err
		}
	}
	return m.amend("amendments", "weld", row, w.Amended)
}

// mergeWelds puts in welds. What either side has amended is put together; then
// every weld gets a mark of its own.
func mergeWelds(m *merging, k *kind[weldRecord]) error {
	if len(k.got) == 0 {
		return nil
	}
	old, err := standing(m, k)
	if err != nil {
		return err
	}
	changed := map[string]bool{}
	var fresh []*weldRecord
	line := map[string]int{}
	for i := range k.got {
		s := k.got[i]
		line[s.rec.ID] = s.line
		if err := m.referWeld(k, s, old[s.rec.ID]); err != nil {
			return err
		}
		mine := old[s.rec.ID]
		switch {
		case mine == nil:
			fresh = append(fresh, &s.rec)
		case m.file.cells != nil:
			m.compareSheet(mine, &s.rec)
			m.tally.Same++
		default:
			if changed[s.rec.ID], err = m.agreeWeld(k, mine, &s.rec, s.line); err != nil {
				return err
			}
		}
	}
	moved, err := m.settleMarks(old, changed, fresh, k)
	if err != nil {
		return err
	}
	m.replacing = true
	for _, w := range moved { // welds of this notebook whose marks make room
		if err := put(m, k, w, line[w.ID], true); err != nil {
			return err
		}
	}
	for id, w := range old {
		if changed[id] {
			if err := put(m, k, w, line[id], true); err != nil {
				return err
			}
			m.tally.Changed++
		} else if m.file.cells == nil {
			m.tally.Same++
		}
		if err := m.step(); err != nil {
			return err
		}
	}
	m.replacing = false
	return m.addWelds(k, fresh, line)
}

// addWelds adds welds that are new, and numbers them on.
func (m *merging) addWelds(k *kind[weldRecord], fresh []*weldRecord, line map[string]int) error {
	var row int64
	if err := m.get([]any{&row}, "SELECT max(coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'welds'), 0), coalesce((SELECT max(n) FROM welds), 0))"); err != nil {
		return err
	}
	m.welds.name, m.welds.into = k.name, "welds (n, "+names(k.own)+")"
	args := make([]any, 1+len(k.own))
	for _, w := range fresh {
		row++
		args[0], k.draft = row, *w
		for i, c := range k.own {
			v, err := c.Value()
			if err != nil {
				return err
			}
			args[i+1] = v
		}
		if err := m.queue(&m.welds, line[w.ID], args...); err != nil {
			return err
		}
		if err := saveWeld(m, row, w); err != nil {
			return err
		}
		m.tally.Added++
		if err := m.step(); err != nil {
			return err
		}
	}
	return first(m.flush(&m.welds), m.flush(&m.symptoms), m.flush(&m.tests))
}

// referWeld checks what a weld says of others. A row of a sheet names its machine
// and its spool as people do, and may leave out the state.
func (m *merging) referWeld(k *kind[weldRecord], s *sent[weldRecord], mine *weldRecord) error {
	w := &s.rec
	if m.file.cells == nil {
		return referTo(m, k, s)
	}
	if mine != nil {
		return nil
	}
	if w.Struck != "" {
		w.StruckAt = m.now
	}
	err := m.settle(&w.Weld, false)
	var bad *procedures.InvalidError
	if errors.As(err, &bad) {
		return m.at(s.line, bad.Field, err)
	}
	return err
}

// agreeWeld makes mine one weld with theirs.
func (m *merging) agreeWeld(k *kind[weldRecord], mine, theirs *weldRecord, line int) (changed bool, err error) {
	more := missing(mine.Amended, theirs.Amended)
	if changed, err = m.agree(k.name, k.bind(mine), k.bind(theirs), nil, mine.Amended, theirs.Amended, line); err != nil {
		return false, err
	}
	if len(more) > 0 {
		mine.Amended = append(mine.Amended, more...)
		slices.SortFunc(mine.Amended, amendmentOrder)
		changed = true
	}
	if err := mine.Validate(); err != nil {
		return false, m.at(line, "", procedures.Invalid("weld", mine.Mark, "what the two say of it does not go together: "+err.Error(), "correct one of the two, and import again"))
	}
	return changed, nil
}

// ofSheet are the fields that a row of a sheet says itself, and that can be
// compared with those of a weld.
var ofSheet = []string{"job.steel", "job.thickness_mm", "job.other_thickness_mm", "job.joint", "job.weld", "job.position", "job.gap_mm", "job.coating", "job.length_mm", "job.for",
	"job.wire_class", "job.wire_diameter_mm", "job.wire_gas", "settings.tap", "settings.knob", "settings.knob_text", "settings.wire_speed_m_min", "settings.polarity", "settings.extension_mm",
	"settings.travel_mm_min", "settings.voltage_V", "settings.current_A", "settings.passes", "arc_seconds", "outcome.rating", "outcome.symptoms", "outcome.tests", "outcome.leg_mm", "outcome.photo", "outcome.note"}

// compareSheet lists what a row of a sheet says otherwise than its weld. The weld
// stands: a sheet may be older than its corrections.
func (m *merging) compareSheet(mine, row *weldRecord) {
	there := weldTravels(row)
	for i, c := range weldTravels(mine) {
		a, b := show(c.cell), show(there[i].cell)
		if b == "" || a == b || !slices.Contains(ofSheet, c.field) {
			continue
		}
		x, ok := mustValue(c.cell).(float64)
		if y, both := mustValue(there[i].cell).(float64); ok && both && procedures.Round(x) == procedures.Round(y) {
			continue
		}
		m.report.Conflicts = append(m.report.Conflicts, Conflict{"weld " + mine.Mark, c.field, a, b})
	}
}
