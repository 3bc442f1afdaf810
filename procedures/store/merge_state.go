package store

import (
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
		if had.What != s.What || had.Kind != s.Kind || !had.Since.Equal(s.Since) {
			return false, m.at(line, "states", procedures.Invalid("states", s.What, fmt.Sprintf("this state of %s is here already, as %q", mine.Name, had.What), "a state is not corrected: a change opens a new one"))
		}
		out := s.Output
		switch {
		case out == had.Output || out == "" || had.Output == "" && had.Kind != procedures.Feed:
			if out != "" && out != had.Output {
				had.Output, changed = out, true
			}
		case had.Kind != procedures.Feed:
			last, latest := unseen(own, theirs.Amended, []string{"output"}), unseen(theirs.Amended, own, []string{"output"})
			if last == nil && latest == nil {
				return false, m.at(line, "states", procedures.Invalid("output", string(out), fmt.Sprintf("%s gave %s in that state, as it says here", mine.Name, had.Output), "correct one of the two, and import again"))
			}
			stands, other := had.Output, out
			if last == nil || latest != nil && amendmentOrder(*latest, *last) > 0 {
				stands, other, changed = out, had.Output, true
			}
			if last != nil && latest != nil {
				m.report.Conflicts = append(m.report.Conflicts, Conflict{"machine " + mine.Name, "output", string(stands), string(other)})
			}
			had.Output = stands
		}
		if s.Rebuilt && !had.Rebuilt {
			had.Rebuilt, changed = true, true
		}
	}
	if len(more) == 0 {
		return changed, nil
	}
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
			return false, m.at(line, "states", procedures.Invalid("states", mine.Name, "one machine with two beginnings", "this is not a machine that the program wrote down"))
		}
		mine.States = append(mine.States, more...)
		slices.SortFunc(mine.States[1:], func(a, b stateRecord) int {
			if c := a.Since.Compare(b.Since); c != 0 {
				return c
			}
			return strings.Compare(a.ID, b.ID)
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
	return true, nil
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
		if c := order[a.State] - order[b.State]; c != 0 {
			return c
		}
		if c := a.At.Compare(b.At); c != 0 {
			return c
		}
		return strings.Compare(said(a), said(b))
	})
	version := map[string]int{}
	for i := range mine.Rebuilds {
		r := &mine.Rebuilds[i]
		version[r.State]++
		r.Version = version[r.State]
	}
	return true
}
