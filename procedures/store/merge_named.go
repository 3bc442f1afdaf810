package store

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// mergeSpools puts in spools. Of two with one name the later id is called
// "NAME (2)".
func mergeSpools(m *merging, k *kind[spoolRecord]) error {
	if len(k.got) == 0 {
		return nil
	}
	all, err := k.rows(m.tx, "1 = 1")
	if err != nil {
		return err
	}
	here, was, line := map[string]*spoolRecord{}, map[string]string{}, map[string]int{}
	changed, told := map[string]bool{}, map[string]string{} // told: the name, as a person in the other notebook did
	for _, s := range all {
		here[s.ID], was[s.ID] = s, s.Name
	}
	for i := range k.got {
		s := k.got[i]
		line[s.rec.ID] = s.line
		if mine := here[s.rec.ID]; mine != nil {
			var renamed bool
			if changed[mine.ID], renamed, err = m.agreeSpool(k, mine, s.rec, s.line); err != nil {
				return err
			}
			if renamed {
				told[mine.ID] = mine.Name
			}
			continue
		}
		all = append(all, &s.rec)
		was[s.rec.ID] = s.rec.Name
	}
	slices.SortFunc(all, func(a, b *spoolRecord) int { return strings.Compare(a.ID, b.ID) })
	named, taken := map[string]bool{}, map[string]bool{}
	for _, s := range all {
		named[fold(s.Name)] = true
	}
	for _, s := range all {
		if taken[fold(s.Name)] {
			s.Name = another(s.Name, named)
			named[fold(s.Name)] = true
		}
		taken[fold(s.Name)] = true
		if s.Name != was[s.ID] {
			m.report.Renamed = append(m.report.Renamed, Rename{"spool", s.ID, was[s.ID], s.Name, here[s.ID] != nil, told[s.ID] == s.Name})
			changed[s.ID] = true
		}
	}
	for _, s := range all { // old names get out of the way of new ones
		if here[s.ID] != nil && s.Name != was[s.ID] {
			if _, err := m.run("UPDATE spools SET name = id, name_key = id WHERE id = ?", s.ID); err != nil {
				return err
			}
		}
	}
	for _, s := range all {
		key := fold(s.Name)
		old := here[s.ID] != nil
		if !old || changed[s.ID] {
			if err := put(m, k, s, line[s.ID], old, column{"name_key", "", text[string]{&key}}); err != nil {
				return err
			}
		}
		switch {
		case !old:
			m.tally.Added++
		case changed[s.ID]:
			m.tally.Changed++
		case line[s.ID] > 0:
			m.tally.Same++
		}
		if line[s.ID] > 0 {
			if err := m.step(); err != nil {
				return err
			}
		}
	}
	return nil
}

// agreeSpool makes mine one spool with theirs. renamed: it has the name that an
// amendment of theirs gave it.
func (m *merging) agreeSpool(k *kind[spoolRecord], mine *spoolRecord, theirs spoolRecord, line int) (changed, renamed bool, err error) {
	more, own := missing(mine.Amended, theirs.Amended), slices.Clone(mine.Amended)
	agreeNames(&mine.Name, &theirs.Name, own, theirs.Amended) // a name that comes of it is written with those that make room
	was := mine.Name
	if changed, err = m.agree(k.name, settled(k.bind(mine)), settled(k.bind(&theirs)), map[string]rule{"added": lesser}, own, theirs.Amended, line); err != nil {
		return false, false, err
	}
	if len(more) > 0 {
		mine.Amended = append(own, more...)
		slices.SortFunc(mine.Amended, amendmentOrder)
	}
	return changed || len(more) > 0, mine.Name != was, nil
}

// loadSpools fills in the amendments of spools.
func loadSpools(tx *tx, byID map[string]*spoolRecord) error {
	return loadAmendments(tx, "spool_amendments", "spool", "spools", func(id string) *[]procedures.Amendment {
		if s := byID[id]; s != nil {
			return &s.Amended
		}
		return nil
	}, "1 = 1")
}

// saveSpool writes the amendments of a spool in the place of what there was of them.
func saveSpool(m *merging, row int64, s *spoolRecord) error {
	if _, err := m.run("DELETE FROM spool_amendments WHERE spool = ?", row); err != nil {
		return err
	}
	return m.amend("spool_amendments", "spool", row, s.Amended)
}

// laterName is the later of two names of one record: names are only ever given an
// ending.
func laterName(mine, theirs string) string {
	if rest, ok := strings.CutPrefix(theirs, mine); ok && numbering(rest) {
		return theirs
	}
	i, j := strings.LastIndex(mine, " ("), strings.LastIndex(theirs, " (")
	if i > 0 && j > 0 && mine[:i] == theirs[:j] && numbering(mine[i:]) && numbering(theirs[j:]) && (len(theirs) > len(mine) || len(theirs) == len(mine) && theirs > mine) {
		return theirs
	}
	return mine
}

// mergeSuggestions puts in suggestions, before those of this notebook: the last one
// made here stays the one that the next log follows.
func mergeSuggestions(m *merging, k *kind[Suggestion]) error {
	for i := range k.got {
		if err := referTo(m, k, k.got[i]); err != nil {
			return err
		}
	}
	var place int64
	if err := m.get([]any{&place}, "SELECT min(0, coalesce(min(n), 0)) FROM suggestions"); err != nil {
		return err
	}
	place -= int64(len(k.got)) + 1
	return mergeFrom(m, k, func() column {
		place++
		return column{"n", "", whole[int64]{ptr(place)}}
	})
}
