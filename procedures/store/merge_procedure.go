package store

import (
	"cmp"
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

// revising is the merging of procedures: what stands here, and what the file says of it.
type revising struct {
	*merging
	kind    *kind[procedureRecord]
	here    map[string]*procedureRecord // by id
	was     map[string]procedureRecord  // here, before anything was merged
	line    map[string]int              // of the file, by id; 0: not in it
	changed map[string]bool
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
	r := revising{m, k, map[string]*procedureRecord{}, map[string]procedureRecord{}, map[string]int{}, map[string]bool{}}
	for _, p := range all {
		r.here[p.ID], r.was[p.ID] = p, *p
	}
	theirs, err := r.brought()
	if err != nil {
		return err
	}
	ours := lines(all)
	for name, group := range lines(theirs) {
		if err := r.unite(ours, name, group); err != nil {
			return err
		}
	}
	r.name(ours)
	return r.put(ours)
}

// brought are the revisions of the file, each with all that it refers to at hand.
func (r *revising) brought() (theirs []*procedureRecord, err error) {
	for i := range r.kind.got {
		s := r.kind.got[i]
		r.line[s.rec.ID] = s.line
		if err := referTo(r.merging, r.kind, s); err != nil {
			return nil, err
		}
		for _, w := range s.rec.Welds {
			if there, err := r.has("welds", w.Weld); err != nil {
				return nil, err
			} else if !there {
				return nil, r.at(s.line, "welds", fmt.Errorf("there is no weld %s, neither here nor in the file", w.Weld))
			}
		}
		theirs = append(theirs, &s.rec)
	}
	return theirs, nil
}

// unite puts a procedure of the file, with all its revisions, to the one of ours that it
// shares a revision with; else it becomes one of ours.
func (r *revising) unite(ours map[string][]*procedureRecord, name string, group []*procedureRecord) (err error) {
	var mine []*procedureRecord
	for _, p := range group {
		if old := r.here[p.ID]; old != nil {
			mine = ours[fold(old.Name)]
		}
	}
	united := slices.Clone(mine)
	for _, p := range group {
		old := r.here[p.ID]
		if old == nil {
			united = append(united, p)
			continue
		}
		said := *p
		old.Name = laterName(old.Name, said.Name)
		said.Name, said.Revision = old.Name, old.Revision
		if r.changed[p.ID], err = r.agree(r.kind.name, r.kind.bind(old), r.kind.bind(&said), nil, nil, nil, r.line[p.ID]); err != nil {
			return err
		}
	}
	if len(mine) == 0 {
		ours["\x00"+name] = united // another procedure, maybe of the same name
		return nil
	}
	if len(united) > len(mine) {
		sortRevisions(united, group)
	}
	ours[fold(united[0].Name)] = united
	return nil
}

// sortRevisions sorts the revisions of both sides: as the file has them where it has all of
// them, else those after the first by their time.
func sortRevisions(united, theirs []*procedureRecord) {
	if len(united) > len(theirs) {
		slices.SortFunc(united[1:], func(a, b *procedureRecord) int {
			return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID))
		})
		return
	}
	number := map[string]int{}
	for _, p := range theirs {
		number[p.ID] = p.Revision
	}
	slices.SortFunc(united, func(a, b *procedureRecord) int { return number[a.ID] - number[b.ID] })
}

// put writes down every revision that is new or has changed, and counts them.
func (r *revising) put(groups map[string][]*procedureRecord) error {
	for id, p := range r.here { // old names and numbers get out of the way
		if p.Name != r.was[id].Name || p.Revision != r.was[id].Revision {
			r.changed[id] = true
			if _, err := r.run("UPDATE procedures SET name_key = id WHERE id = ?", id); err != nil {
				return err
			}
		}
	}
	for _, group := range groups {
		for _, p := range group {
			key := fold(p.Name)
			old := r.here[p.ID] != nil
			if !old || r.changed[p.ID] {
				r.replacing = old
				if err := put(r.merging, r.kind, p, r.line[p.ID], old, column{"name_key", "", text[string]{&key}}); err != nil {
					return err
				}
				r.replacing = false
			}
			switch {
			case !old:
				r.tally.Added++
			case r.changed[p.ID]:
				r.tally.Changed++
			case r.line[p.ID] > 0:
				r.tally.Same++
			}
			if r.line[p.ID] > 0 {
				if err := r.step(); err != nil {
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

// name gives each procedure a name of its own, and numbers its revisions.
func (r *revising) name(groups map[string][]*procedureRecord) {
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
			r.report.Renamed = append(r.report.Renamed, Rename{"procedure", g[0].ID, old, name, r.here[g[0].ID] != nil, false})
		}
		taken[fold(name)] = true
		for i, p := range g {
			p.Name, p.Revision = name, i+1
		}
	}
}
