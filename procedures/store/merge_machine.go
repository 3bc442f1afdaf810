package store

import (
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
)

// loadMachines fills in the lists of machines.
func loadMachines(tx *tx, byID map[string]*machineRecord) error {
	var id string
	var t procedures.Tap
	if err := tx.each(func(r scanner) error {
		err := r.Scan(append(cells(tapColumns(&t)), &id)...)
		if m := byID[id]; m != nil {
			m.Taps = append(m.Taps, t)
		}
		return err
	}, "SELECT "+names(prefix("t.", tapColumns(&t)))+", m.id FROM taps t JOIN machines m ON m.n = t.machine ORDER BY t.machine, t.place"); err != nil {
		return err
	}
	var s stateRecord
	if err := tx.each(func(r scanner) error {
		err := r.Scan(append(cells(stateTravels(&s)), &id)...)
		if m := byID[id]; m != nil {
			m.States = append(m.States, s)
		}
		return err
	}, "SELECT "+names(prefix("s.", stateTravels(&s)))+", m.id FROM states s JOIN machines m ON m.n = s.machine ORDER BY s.machine, s.number"); err != nil {
		return err
	}
	var b rebuildRecord
	if err := tx.each(func(r scanner) error {
		err := r.Scan(append(cells(rebuildTravels(&b)), &id)...)
		if m := byID[id]; m != nil {
			m.Rebuilds = append(m.Rebuilds, b)
		}
		return err
	}, "SELECT "+names(prefix("r.", rebuildTravels(&b)))+", m.id FROM rebuilds r JOIN states s ON s.id = r.state JOIN machines m ON m.n = s.machine ORDER BY s.number, r.version"); err != nil {
		return err
	}
	return loadAmendments(tx, "machine_amendments", "machine", "machines", func(id string) *[]procedures.Amendment {
		if m := byID[id]; m != nil {
			return &m.Amended
		}
		return nil
	}, "1 = 1")
}

// loadAmendments reads amendments in the order in which they travel.
func loadAmendments(tx *tx, table, of, records string, into func(id string) *[]procedures.Amendment, where string, args ...any) error {
	var id string
	var a procedures.Amendment
	return tx.each(func(r scanner) error {
		err := r.Scan(append(cells(amendmentTravels(&a)), &id)...)
		if list := into(id); list != nil {
			*list = append(*list, a)
		}
		return err
	}, "SELECT a.at, a.field, a.old, a.new, r.id FROM "+table+" a JOIN "+records+" r ON r.n = a."+of+" WHERE "+where+
		" ORDER BY a."+of+", a.at, a.field, coalesce(a.new, ''), coalesce(a.old, '')", args...)
}

// mergeMachines puts in machines. One with the id of a machine here is that
// machine; of two with one name the later id is called "NAME (2)".
func mergeMachines(m *merging, k *kind[machineRecord]) error {
	here, err := k.rows(m.tx, "1 = 1 ORDER BY id")
	if err != nil {
		return err
	}
	byID, all := map[string]*machineRecord{}, []*machineRecord{}
	line, fresh, touched := map[string]int{}, map[string]bool{}, map[string]bool{}
	for _, r := range here {
		byID[r.ID] = r
		all = append(all, r)
	}
	for i := range k.got {
		s := k.got[i]
		line[s.rec.ID] = s.line
		if mine := byID[s.rec.ID]; mine != nil {
			changed, err := m.agreeMachine(k, mine, &s.rec, s.line)
			if err != nil {
				return err
			}
			touched[s.rec.ID] = changed
		} else {
			fresh[s.rec.ID] = true
			rec := s.rec
			all = append(all, &rec)
		}
	}
	if len(k.got) > 0 {
		if err := m.uniqueMachines(all, fresh, touched); err != nil {
			return err
		}
	}
	if err := m.saveMachines(k, all, fresh, touched, line); err != nil {
		return err
	}
	m.states = map[string]string{}
	final := map[string]string{}
	for _, r := range all {
		final[r.ID] = r.Name
		for _, s := range r.States {
			m.states[s.ID] = r.Name
		}
	}
	for i := range k.got {
		m.names[k.got[i].rec.Name] = final[k.got[i].rec.ID]
		if err := m.step(); err != nil {
			return err
		}
	}
	return nil
}

// statesFit refuses states that no machine has been through.
func statesFit(r *machineRecord) error {
	ids := map[string]bool{}
	for i, s := range r.States {
		if err := validID(s.ID); err != nil {
			return err
		}
		if s.Number != i+1 || (s.Kind == procedures.Original) != (i == 0) || s.Since.IsZero() || ids[s.ID] {
			return procedures.Invalid("states", s.What, "the states of a machine are numbered from 1, the first one original, each with its time")
		}
		ids[s.ID] = true
	}
	if len(r.States) == 0 {
		return procedures.Invalid("states", r.Name, "a machine has at least the state that it was first written down in")
	}
	for _, b := range r.Rebuilds {
		if !ids[b.State] || b.At.IsZero() {
			return procedures.Invalid("rebuilds", b.State, "what was fitted belongs to a state of the machine, and has a time")
		}
		if err := b.Rebuild.Validate(); err != nil {
			return err
		}
	}
	return nil
}

// uniqueMachines gives each machine a name of its own. A new name is an amendment,
// dated when the machine was written down.
func (m *merging) uniqueMachines(all []*machineRecord, fresh, touched map[string]bool) error {
	slices.SortFunc(all, func(a, b *machineRecord) int { return strings.Compare(a.ID, b.ID) })
	named := map[string]bool{}
	for _, r := range all {
		named[fold(r.Name)] = true
	}
	taken := map[string]bool{}
	for _, r := range all {
		if taken[fold(r.Name)] {
			old := r.Name
			r.Name = another(old, named)
			named[fold(r.Name)] = true
			if a := (procedures.Amendment{At: r.Added, Field: "name", Old: old, New: r.Name}); !hasAmendment(r.Amended, a) { // nor a second time of one that was called so before
				r.Amended = append(r.Amended, a)
			}
			touched[r.ID] = true
			m.report.Renamed = append(m.report.Renamed, Rename{"machine", r.ID, old, r.Name, !fresh[r.ID], false})
		}
		taken[fold(r.Name)] = true
	}
	return nil
}

// another is "NAME (2)", or the next that is free.
func another(name string, taken map[string]bool) string {
	base := name
	if i := strings.LastIndex(name, " ("); i > 0 && numbering(name[i:]) {
		base = name[:i]
	}
	for n := 2; ; n++ {
		end := fmt.Sprintf(" (%d)", n)
		s := base
		for len(s)+len(end) > 60 {
			r := []rune(s)
			s = strings.TrimSpace(string(r[:len(r)-1]))
		}
		if !taken[fold(s+end)] {
			return s + end
		}
	}
}

// numbering reports whether s is an ending that [another] gives.
func numbering(s string) bool {
	var n int
	_, err := fmt.Sscanf(s, " (%d)", &n)
	return err == nil && fmt.Sprintf(" (%d)", n) == s && n > 1
}

// agreeMachine makes mine one machine with theirs.
func (m *merging) agreeMachine(k *kind[machineRecord], mine, theirs *machineRecord, line int) (changed bool, err error) {
	theirs = ptr(*theirs) // by its name in the file other records there are found
	more := missing(mine.Amended, theirs.Amended)
	own, was := slices.Clone(mine.Amended), mine.Name
	renamed := agreeNames(&mine.Name, &theirs.Name, own, theirs.Amended)
	if changed, err = m.agree(k.name, settled(k.bind(mine)), settled(k.bind(theirs)), map[string]rule{"added": lesser}, own, theirs.Amended, line); err != nil {
		return false, err
	}
	if mine.Name != was && !renamed {
		m.report.Renamed = append(m.report.Renamed, Rename{"machine", mine.ID, was, mine.Name, true, true})
	}
	states, err := m.agreeStates(mine, theirs, own, line)
	if err != nil {
		return false, err
	}
	fitted := agreeRebuilds(mine, theirs)
	if len(more) > 0 {
		mine.Amended = append(mine.Amended, more...)
		slices.SortFunc(mine.Amended, amendmentOrder)
	}
	if err := mine.Validate(); err != nil {
		return false, m.at(line, "", procedures.Invalid("machine", mine.Name, "what the two say of it does not go together: "+err.Error(), "correct one of the two, and import again"))
	}
	return changed || renamed || states || fitted || len(more) > 0, nil
}

// agreeNames settles names that no amendment tells apart but for the ending that a
// merge gives: such a name stands, and it is the same to theirs too.
func agreeNames(mine, theirs *string, own, other []procedures.Amendment) (changed bool) {
	name := []string{"name"}
	if *mine == *theirs || unseen(own, other, name) != nil || unseen(other, own, name) != nil {
		return false
	}
	was := *mine
	*mine = laterName(*mine, *theirs)
	*theirs = laterName(*theirs, *mine)
	return *mine != was
}

// settled leaves out the lists that have rules of their own.
func settled(cols []column) []column {
	return slices.DeleteFunc(cols, func(c column) bool { return c.field == "states" || c.field == "rebuilds" || c.field == "amended" })
}

// saveMachines writes what is new or has changed. Old names and numbers first get
// out of the way of new ones.
func (m *merging) saveMachines(k *kind[machineRecord], all []*machineRecord, fresh, touched map[string]bool, line map[string]int) error {
	rows := map[string]int64{}
	for _, r := range all {
		if fresh[r.ID] || !touched[r.ID] {
			continue
		}
		var row int64
		if err := m.get([]any{&row}, "SELECT n FROM machines WHERE id = ?", r.ID); err != nil {
			return err
		}
		rows[r.ID] = row
		if _, err := m.run("UPDATE machines SET name = id, name_key = id WHERE n = ? AND name <> ?", row, r.Name); err != nil {
			return err
		}
	}
	for _, r := range all {
		row, old := rows[r.ID]
		if !old && !fresh[r.ID] {
			if line[r.ID] > 0 {
				m.tally.Same++
			}
			continue
		}
		key := fold(r.Name)
		if err := put(m, k, r, line[r.ID], old, column{"name_key", "", text[string]{&key}}); err != nil {
			return err
		}
		if line[r.ID] > 0 && old {
			m.tally.Changed++
		}
		if !old {
			m.tally.Added++
			if err := m.get([]any{&row}, "SELECT n FROM machines WHERE id = ?", r.ID); err != nil {
				return err
			}
		}
		if err := m.saveMachineParts(row, r, line[r.ID]); err != nil {
			return err
		}
	}
	return nil
}

func (m *merging) saveMachineParts(row int64, r *machineRecord, line int) error {
	var had []string
	if err := m.each(func(s scanner) error {
		var id string
		err := s.Scan(&id)
		had = append(had, id)
		return err
	}, "SELECT id FROM states WHERE machine = ?", row); err != nil {
		return err
	}
	if _, err := m.run("UPDATE states SET number = number + 1000000 WHERE machine = ? AND number > 1", row); err != nil {
		return err
	}
	for _, s := range r.States {
		if slices.Contains(had, s.ID) {
			if _, err := m.run("UPDATE states SET number = ?, output = ?, rebuilt = ? WHERE id = ?", s.Number, text[procedures.Polarity]{&s.Output}, s.Rebuilt, s.ID); err != nil {
				return err
			}
			continue
		}
		var taken bool
		if err := m.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM states WHERE id = ?)", s.ID); err != nil {
			return err
		}
		if taken {
			return m.at(line, "states", procedures.Invalid("states", s.ID, "another machine has a state with this id"))
		}
		if _, err := m.insert("states", append(stateTravels(&s), column{"machine", "", whole[int64]{&row}})...); err != nil {
			return m.at(line, "states", procedures.Invalid("states", s.What, "no such state can be kept: "+err.Error()))
		}
	}
	if err := m.exec("DELETE FROM taps WHERE machine = ?", row); err != nil {
		return err
	}
	if err := m.insertTaps(row, r.Taps); err != nil {
		return m.at(line, "taps", procedures.Invalid("taps", r.Name, "no such taps can be kept: "+err.Error()))
	}
	if err := m.exec("DELETE FROM rebuilds WHERE state IN (SELECT id FROM states WHERE machine = ?)", row); err != nil {
		return err
	}
	for _, b := range r.Rebuilds {
		if _, err := m.insert("rebuilds", rebuildTravels(&b)...); err != nil {
			return m.at(line, "rebuilds", procedures.Invalid("rebuilds", r.Name, "nothing like that can be kept: "+err.Error()))
		}
	}
	if err := m.exec("DELETE FROM machine_amendments WHERE machine = ?", row); err != nil {
		return err
	}
	if err := m.amend("machine_amendments", "machine", row, r.Amended); err != nil {
		return m.at(line, "amended", procedures.Invalid("amended", r.Name, "no such amendment can be kept: "+err.Error()))
	}
	return m.exec("UPDATE suggestions SET machine = ? WHERE state IN (SELECT id FROM states WHERE machine = ?) AND machine <> ?", r.Name, row, r.Name)
}
