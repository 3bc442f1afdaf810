package store

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
)

// agreeStates puts the states of two forms of a machine together. Where each side
// has states that the other lacks they go by their time; a change of the feed alone
// leaves the output as it was, and what was once rebuilt stays so.
func (m *merging) agreeStates(mine, theirs *machineRecord, own []procedures.Amendment, line int) (changed bool, err error) {
	at := map[string]int{}
	for i, s := range mine.States {
		at[s.ID] = i
	}
	var more []stateRecord
	for _, s := range theirs.States {
		i, known := at[s.ID]
		if !known {
			more = append(more, s)
			continue
		}
		had := &mine.States[i]
		before := *had
		if had.What != s.What || had.Kind != s.Kind || !had.Since.Equal(s.Since) {
			err = procedures.Invalid("states", s.What, fmt.Sprintf("this state of %s is here already, as %q", mine.Name, had.What), "a state is not corrected: a change opens a new one")
		} else {
			had.Output, err = m.agreeOutput(mine.Name, before, s, own, theirs.Amended)
		}
		if err != nil {
			return false, m.at(line, "states", err)
		}
		had.Rebuilt = had.Rebuilt || s.Rebuilt
		changed = changed || *had != before
	}
	if len(more) == 0 {
		return changed, nil
	}
	if err := joinStates(mine, theirs, more); err != nil {
		return false, m.at(line, "states", err)
	}
	return true, nil
}

// agreeOutput is what a machine of that name gives in one state that both sides know:
// what either says where the other says nothing, else what was corrected last. The
// output of a change of the feed is that of the state before, and is left to it.
func (m *merging) agreeOutput(name string, mine, theirs stateRecord, own, other []procedures.Amendment) (procedures.Polarity, error) {
	switch {
	case theirs.Output == "" || theirs.Output == mine.Output || mine.Kind == procedures.Feed:
		return mine.Output, nil
	case mine.Output == "":
		return theirs.Output, nil
	}
	last, latest := unseen(own, other, []string{"output"}), unseen(other, own, []string{"output"})
	if last == nil && latest == nil {
		return "", procedures.Invalid("output", string(theirs.Output), fmt.Sprintf("%s gave %s in that state, as it says here", name, mine.Output), "correct one of the two, and import again")
	}
	stands, gone := mine.Output, theirs.Output
	if last == nil || latest != nil && amendmentOrder(*latest, *last) > 0 {
		stands, gone = gone, stands
	}
	if last != nil && latest != nil {
		m.report.Conflicts = append(m.report.Conflicts, Conflict{"machine " + name, "output", string(stands), string(gone)})
	}
	return stands, nil
}

// joinStates puts the states that only they know among mine, and numbers all anew.
func joinStates(mine, theirs *machineRecord, more []stateRecord) error {
	if len(mine.States)+len(more) == len(theirs.States) {
		outputs := map[string]stateRecord{}
		for _, s := range mine.States {
			outputs[s.ID] = s
		}
		mine.States = slices.Clone(theirs.States) // they know all of it, in its order
		for i := range mine.States {
			if had, ok := outputs[mine.States[i].ID]; ok {
				had.Number = mine.States[i].Number
				mine.States[i] = had
			}
		}
	} else {
		if mine.States[0].ID != theirs.States[0].ID {
			return procedures.Invalid("states", mine.Name, "one machine with two beginnings", "this is not a machine that the program wrote down")
		}
		mine.States = append(mine.States, more...)
		slices.SortFunc(mine.States[1:], func(a, b stateRecord) int {
			return cmp.Or(a.Since.Compare(b.Since), strings.Compare(a.ID, b.ID))
		})
	}
	for i := range mine.States {
		s := &mine.States[i]
		s.Number = i + 1
		if i == 0 {
			continue
		}
		before := mine.States[i-1]
		if s.Kind == procedures.Feed && before.Output != "" {
			s.Output = before.Output
		}
		s.Rebuilt = s.Rebuilt || before.Rebuilt
	}
	return nil
}

// agreeRebuilds puts together what both say was fitted; the last of a state counts.
func agreeRebuilds(mine, theirs *machineRecord) (changed bool) {
	said := func(r rebuildRecord) string {
		r.Version = 0
		return inFile(several[rebuildRecord]{&[]rebuildRecord{r}, rebuildTravels})
	}
	have := map[string]bool{}
	for _, r := range mine.Rebuilds {
		have[said(r)] = true
	}
	for _, r := range theirs.Rebuilds {
		if !have[said(r)] {
			mine.Rebuilds, changed = append(mine.Rebuilds, r), true
		}
	}
	if !changed {
		return false
	}
	order := map[string]int{}
	for _, s := range mine.States {
		order[s.ID] = s.Number
	}
	slices.SortFunc(mine.Rebuilds, func(a, b rebuildRecord) int {
		return cmp.Or(order[a.State]-order[b.State], a.At.Compare(b.At), strings.Compare(said(a), said(b)))
	})
	version := map[string]int{}
	for i := range mine.Rebuilds {
		r := &mine.Rebuilds[i]
		version[r.State]++
		r.Version = version[r.State]
	}
	return true
}
