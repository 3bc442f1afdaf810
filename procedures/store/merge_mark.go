package store

import (
	"fmt"
	"slices"

	"beadwright/procedures"
)

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
	here, theirs, err := m.marksHere(old, changed)
	if err != nil {
		return nil, err
	}
	lines := map[string]int{}
	for _, s := range k.got {
		lines[s.rec.ID] = s.line
	}
	var blank []*weldRecord
	for _, w := range fresh {
		if w.Mark == "" {
			blank = append(blank, w)
			continue
		}
		mk := &marked{id: w.ID, mark: w.Mark, weld: w}
		if err := mk.read(); err != nil {
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
		if mine := here[mk.mark]; mine != nil {
			ours, others = append(ours, mine), append(others, mk)
		}
	}
	if len(ours)+len(blank) == 0 {
		return nil, nil
	}
	last, err := m.lastGiven()
	if err != nil {
		return nil, err
	}
	give := func() string {
		for {
			last++
			if mark := formatMark(last); here[mark] == nil && seen[mark] == "" {
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
		m.report.Renamed = append(m.report.Renamed, Rename{"mark", w.ID, was, w.Mark, mk.here || old[w.ID] != nil, false})
		if mk.here {
			moved = append(moved, w)
		}
	}
	for _, w := range blank {
		w.Mark = give()
	}
	return moved, m.set("last_mark", fmt.Sprint(last))
}

// marksHere are the marks of this notebook: here, by mark, those that its welds keep, and
// theirs, those that its welds had from the file by an amendment.
func (m *merging) marksHere(old map[string]*weldRecord, changed map[string]bool) (here map[string]*marked, theirs []*marked, err error) {
	here = map[string]*marked{}
	err = m.each(func(r scanner) error {
		mk := &marked{here: true}
		if err := r.Scan(&mk.id, &mk.mark); err != nil {
			return err
		}
		if w := old[mk.id]; w != nil && changed[mk.id] {
			mk.weld = w
			if w.Mark != mk.mark {
				mk.mark, mk.here = w.Mark, false
				theirs = append(theirs, mk)
				return mk.read()
			}
		}
		here[mk.mark] = mk
		return mk.read()
	}, "SELECT id, mark FROM welds")
	return here, theirs, err
}

// read fills in the number of a mark. Errors: [*procedures.InvalidError].
func (mk *marked) read() error {
	number, ok := parseMark(mk.mark)
	if !ok || formatMark(number) != mk.mark {
		return procedures.Invalid("mark", mk.mark, "not a mark", "letters and 1 to 99, such as A7")
	}
	mk.number = number
	return nil
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
