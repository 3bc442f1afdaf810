package store

import (
	"encoding/json"
	"errors"
	"fmt"
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
		if _, err := m.run("INSERT INTO symptoms (weld, place, key) VALUES (?, ?, ?)", row, i+1, key); err != nil {
			return err
		}
	}
	for i, t := range w.Outcome.Tests {
		if _, err := m.run("INSERT INTO tests (weld, place, kind, passed, result) VALUES (?, ?, ?, ?, ?)", row, i+1, t.Kind, t.Passed, t.Result); err != nil {
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
		s := &k.got[i]
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
		m.step()
	}
	m.replacing = false
	for _, w := range fresh {
		if err := put(m, k, w, line[w.ID], false); err != nil {
			return err
		}
		m.tally.Added++
		m.step()
	}
	return nil
}

// referWeld checks what a weld says of others. A row of a sheet names its machine
// and its spool as people do, and may leave out the state.
func (m *merging) referWeld(k *kind[weldRecord], s *sent[weldRecord], mine *weldRecord) error {
	w := &s.rec
	if m.file.cells == nil {
		return m.refer(k.table, k.bind(w), s.line)
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

// marked is a weld whose mark is looked at.
type marked struct {
	id, mark string
	number   int
	here     bool
	weld     *weldRecord // nil: in the notebook, and untouched so far
}

// settleMarks gives each weld a mark of its own and returns the welds of the
// notebook that had to give theirs up. Of two welds with one mark one is this
// notebook's and one the file's; the side whose first such weld is the older one
// keeps all its marks, so that the paint of one shop stays true, and the marks of
// the other are given anew, in their old order, past all that were ever given.
func (m *merging) settleMarks(old map[string]*weldRecord, changed map[string]bool, fresh []*weldRecord, k *kind[weldRecord]) (moved []*weldRecord, err error) {
	by := map[string]*marked{} // by mark, of this notebook
	var theirs []*marked
	var blank []*weldRecord
	last := 0
	look := func(mk *marked) error {
		number, ok := parseMark(mk.mark)
		if !ok || formatMark(number) != mk.mark {
			return procedures.Invalid("mark", mk.mark, "not a mark", "letters and 1 to 99, such as A7")
		}
		mk.number = number
		return nil
	}
	if err := m.each(func(r scanner) error {
		mk := &marked{here: true}
		if err := r.Scan(&mk.id, &mk.mark); err != nil {
			return err
		}
		if w := old[mk.id]; w != nil && changed[mk.id] {
			mk.weld = w
			if w.Mark != mk.mark {
				mk.mark, mk.here = w.Mark, false
				theirs = append(theirs, mk)
				return look(mk)
			}
		}
		by[mk.mark] = mk
		return look(mk)
	}, "SELECT id, mark FROM welds"); err != nil {
		return nil, err
	}
	lines := map[string]int{}
	for _, s := range k.got {
		lines[s.rec.ID] = s.line
	}
	for _, w := range fresh {
		if w.Mark == "" {
			blank = append(blank, w)
			continue
		}
		mk := &marked{id: w.ID, mark: w.Mark, weld: w}
		if err := look(mk); err != nil {
			return nil, m.at(lines[w.ID], "mark", err)
		}
		theirs = append(theirs, mk)
	}
	var ours, others []*marked // that clash
	seen := map[string]string{}
	for _, mk := range theirs {
		if seen[mk.mark] != "" {
			return nil, m.at(lines[mk.id], "mark", procedures.Invalid("mark", mk.mark, "two welds of the file have this mark", "leave one of the marks out, and another is given"))
		}
		seen[mk.mark] = mk.id
		if mine := by[mk.mark]; mine != nil {
			ours, others = append(ours, mine), append(others, mk)
		}
	}
	if len(ours)+len(blank) == 0 {
		return nil, nil
	}
	if last, err = m.lastGiven(); err != nil {
		return nil, err
	}
	give := func() string {
		for {
			last++
			if mark := formatMark(last); by[mark] == nil && seen[mark] == "" {
				return mark
			}
		}
	}
	losers := others
	if m.file.cells == nil && slices.Compare(sortedIDs(others), sortedIDs(ours)) < 0 {
		losers = ours
	}
	slices.SortFunc(losers, func(a, b *marked) int { return a.number - b.number })
	for _, mk := range losers {
		w := mk.weld
		if w == nil {
			rows, err := k.rows(m.tx, "id = ?", mk.id)
			if err != nil {
				return nil, err
			}
			w = rows[0]
		}
		was := w.Mark
		w.Mark = give()
		w.Amended = append(w.Amended, procedures.Amendment{At: w.At, Field: "mark", Old: was, New: w.Mark})
		slices.SortFunc(w.Amended, amendmentOrder)
		_, here := old[w.ID]
		here = here || mk.here
		m.report.Renamed = append(m.report.Renamed, Rename{"mark", w.ID, was, w.Mark, here})
		switch {
		case mk.here && mk.weld == nil:
			moved = append(moved, w)
		case mk.here:
			moved = append(moved, w)
		}
	}
	for _, w := range blank {
		w.Mark = give()
	}
	return moved, m.set("last_mark", fmt.Sprint(last))
}

func sortedIDs(list []*marked) []string {
	ids := make([]string, len(list))
	for i, mk := range list {
		ids[i] = mk.id
	}
	slices.Sort(ids)
	return ids
}

// lastGiven is the number of the last mark that either side has given out.
func (m *merging) lastGiven() (int, error) {
	s, err := m.setting("last_mark")
	if err != nil {
		return 0, err
	}
	last, _ := readMarkCount(s)
	for _, set := range m.file.goods.settings.got {
		if set.rec[0] == "last_mark" {
			n, err := readMarkCount(set.rec[1])
			if err != nil {
				return 0, m.at(set.line, "value", err)
			}
			last = max(last, n)
		}
	}
	return last, nil
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
