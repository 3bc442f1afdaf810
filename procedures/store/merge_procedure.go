package store

import (
	"fmt"
	"slices"
	"strings"
)

// loadProcedures fills in the welds that procedures were written from.
func loadProcedures(tx *tx, byID map[string]*procedureRecord) error {
	var id string
	var w procedureWeld
	return tx.each(func(r scanner) error {
		err := r.Scan(&id, &w.Weld, &w.Tested)
		if p := byID[id]; p != nil {
			p.Welds = append(p.Welds, w)
		}
		return err
	}, "SELECT p.id, w.weld, w.tested FROM procedure_welds w JOIN procedures p ON p.n = w.procedure ORDER BY w.procedure, w.place")
}

func saveProcedure(m *merging, row int64, p *procedureRecord) error {
	if m.replacing {
		return nil // a revision is never altered, but for its number and name
	}
	for i, w := range p.Welds {
		if _, err := m.run("INSERT INTO procedure_welds (procedure, place, weld, tested) VALUES (?, ?, ?, ?)", row, i+1, w.Weld, w.Tested); err != nil {
			return err
		}
	}
	return nil
}

// mergeProcedures puts in revisions of procedures. Two sides that share a revision
// speak of one procedure, and what each has revised since goes by its time. Two of
// one name that share none are two: the later one is called "NAME (2)".
func mergeProcedures(m *merging, k *kind[procedureRecord]) error {
	if len(k.got) == 0 {
		return nil
	}
	all, err := k.rows(m.tx, "1 = 1")
	if err != nil {
		return err
	}
	line, here, was := map[string]int{}, map[string]*procedureRecord{}, map[string]procedureRecord{}
	for _, p := range all {
		here[p.ID], was[p.ID] = p, *p
	}
	changed := map[string]bool{}
	var theirs []*procedureRecord
	for i := range k.got {
		s := k.got[i]
		line[s.rec.ID] = s.line
		if err := referTo(m, k, s); err != nil {
			return err
		}
		for _, w := range s.rec.Welds {
			if there, err := m.has("welds", w.Weld); err != nil {
				return err
			} else if !there {
				return m.at(s.line, "welds", fmt.Errorf("there is no weld %s, neither here nor in the file", w.Weld))
			}
		}
		theirs = append(theirs, &s.rec)
	}
	ours := lines(all)
	for name, group := range lines(theirs) {
		var mine []*procedureRecord
		for _, p := range group {
			if old := here[p.ID]; old != nil {
				mine = ours[fold(old.Name)]
			}
		}
		united := slices.Clone(mine)
		for _, p := range group {
			old := here[p.ID]
			if old == nil {
				united = append(united, p)
				continue
			}
			said := *p
			old.Name = laterName(old.Name, said.Name)
			said.Name, said.Revision = old.Name, old.Revision
			if changed[p.ID], err = m.agree(k.name, k.bind(old), k.bind(&said), nil, nil, nil, line[p.ID]); err != nil {
				return err
			}
		}
		if len(mine) == 0 {
			ours["\x00"+name] = united // another procedure, maybe of the same name
			continue
		}
		if len(united) == len(group) && len(united) > len(mine) { // they know all of it, in its order
			number := map[string]int{}
			for _, p := range group {
				number[p.ID] = p.Revision
			}
			slices.SortFunc(united, func(a, b *procedureRecord) int { return number[a.ID] - number[b.ID] })
		} else if len(united) > len(mine) {
			slices.SortFunc(united[1:], func(a, b *procedureRecord) int {
				if c := a.At.Compare(b.At); c != 0 {
					return c
				}
				return strings.Compare(a.ID, b.ID)
			})
		}
		ours[fold(united[0].Name)] = united
	}
	if err := m.nameProcedures(ours, was, here); err != nil {
		return err
	}
	for id, p := range here { // old names and numbers get out of the way
		if p.Name != was[id].Name || p.Revision != was[id].Revision {
			changed[id] = true
			if _, err := m.run("UPDATE procedures SET name_key = id WHERE id = ?", id); err != nil {
				return err
			}
		}
	}
	for _, group := range ours {
		for _, p := range group {
			key := fold(p.Name)
			old := here[p.ID] != nil
			if !old || changed[p.ID] {
				m.replacing = old
				if err := put(m, k, p, line[p.ID], old, column{"name_key", "", text[string]{&key}}); err != nil {
					return err
				}
				m.replacing = false
			}
			switch {
			case !old:
				m.tally.Added++
			case changed[p.ID]:
				m.tally.Changed++
			case line[p.ID] > 0:
				m.tally.Same++
			}
			if line[p.ID] > 0 {
				if err := m.step(); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// lines sorts revisions into procedures, by name, each from its first revision on.
func lines(all []*procedureRecord) map[string][]*procedureRecord {
	by := map[string][]*procedureRecord{}
	for _, p := range all {
		by[fold(p.Name)] = append(by[fold(p.Name)], p)
	}
	for _, group := range by {
		slices.SortFunc(group, func(a, b *procedureRecord) int { return a.Revision - b.Revision })
	}
	return by
}

// nameProcedures gives each procedure a name of its own, and numbers its revisions.
func (m *merging) nameProcedures(groups map[string][]*procedureRecord, was map[string]procedureRecord, here map[string]*procedureRecord) error {
	var order [][]*procedureRecord
	named, taken := map[string]bool{}, map[string]bool{}
	for _, g := range groups {
		order = append(order, g)
		named[fold(g[0].Name)] = true
	}
	slices.SortFunc(order, func(a, b []*procedureRecord) int { return strings.Compare(a[0].ID, b[0].ID) })
	for _, g := range order {
		name := g[0].Name
		for _, p := range g {
			name = laterName(name, p.Name)
		}
		if taken[fold(name)] {
			old := name
			name = another(name, named)
			named[fold(name)] = true
			m.report.Renamed = append(m.report.Renamed, Rename{"procedure", g[0].ID, old, name, here[g[0].ID] != nil, false})
		}
		taken[fold(name)] = true
		for i, p := range g {
			p.Name, p.Revision = name, i+1
		}
	}
	return nil
}
