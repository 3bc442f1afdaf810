package store

import (
	"slices"
	"strings"
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
	changed := map[string]bool{}
	for _, s := range all {
		here[s.ID], was[s.ID] = s, s.Name
	}
	for i := range k.got {
		s := k.got[i]
		line[s.rec.ID] = s.line
		if mine := here[s.rec.ID]; mine != nil {
			theirs := s.rec
			mine.Name = laterName(mine.Name, theirs.Name)
			theirs.Name = laterName(theirs.Name, mine.Name)
			if changed[mine.ID], err = m.agree(k.name, k.bind(mine), k.bind(&theirs), map[string]rule{"added": lesser}, nil, nil, s.line); err != nil {
				return err
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
			m.report.Renamed = append(m.report.Renamed, Rename{"spool", s.ID, was[s.ID], s.Name, here[s.ID] != nil})
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
