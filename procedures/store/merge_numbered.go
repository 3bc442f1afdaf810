package store

import (
	"database/sql/driver"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
)

// numberedSent is what decides about the number of a record on its machine.
type numberedSent struct {
	id, machine string
	number      int
	here        bool
	set         func(int) // for one of the file
}

// mergeNumbered is [mergePlain] for records that are numbered on their machine. Of
// two with one number the later id gets the next free one.
func mergeNumbered[T any](m *merging, k *kind[withdrawn[T]]) error {
	if len(k.got) == 0 {
		return nil
	}
	all := map[string]*numberedSent{}
	if err := m.each(func(r scanner) error {
		s := &numberedSent{here: true}
		err := r.Scan(&s.id, text[string]{&s.machine}, &s.number)
		all[s.id] = s
		return err
	}, "SELECT id, machine, number FROM "+k.table); err != nil {
		return err
	}
	was := map[string]int{}
	for id, s := range all {
		was[id] = s.number
	}
	for i := range k.got {
		cols := k.bind(&k.got[i].rec)
		if err := m.refer(k.table, cols, k.got[i].line); err != nil {
			return err
		}
		var number int
		_ = whole[int]{&number}.Scan(mustValue(field(cols, "number")))
		if number < 1 || number > 1e9 {
			return m.at(k.got[i].line, "number", procedures.Invalid("number", fmt.Sprint(number), "not the number of a "+k.name, "a whole number from 1"))
		}
		id := show(field(cols, "id"))
		s := all[id]
		if s == nil {
			s = &numberedSent{id: id, machine: show(field(cols, "machine"))}
			all[id] = s
		}
		s.number = max(s.number, number)
		s.set = func(n int) { _ = field(cols, "number").Scan(int64(n)) }
		if !s.here {
			was[id] = number
		}
	}
	list := make([]*numberedSent, 0, len(all))
	for _, s := range all {
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b *numberedSent) int { return strings.Compare(a.id, b.id) })
	renumber(list)
	for _, apart := range []int{1 << 40, 0} { // first out of one another's way
		for _, s := range list {
			if s.here && s.number != was[s.id] {
				if _, err := m.run("UPDATE "+k.table+" SET number = ? WHERE id = ?", s.number+apart, s.id); err != nil {
					return err
				}
			}
		}
	}
	for _, s := range list {
		if s.set != nil {
			s.set(s.number)
		}
		if s.number != was[s.id] {
			m.report.Renamed = append(m.report.Renamed, Rename{k.name, s.id, fmt.Sprint(was[s.id]), fmt.Sprint(s.number), s.here, false})
		}
	}
	return mergeReferred(m, k)
}

func mustValue(c cell) driver.Value {
	v, _ := c.Value()
	return v
}

// renumber gives the next free number to each record whose number an earlier id on
// its machine has. A record of no machine shares the numbers of every machine.
func renumber(list []*numberedSent) {
	type place struct {
		machine string
		number  int
	}
	taken, any, last := map[place]bool{}, map[int]bool{}, map[string]int{}
	highest := 0
	take := func(s *numberedSent) {
		taken[place{s.machine, s.number}], any[s.number] = true, true
		last[s.machine], highest = max(last[s.machine], s.number), max(highest, s.number)
	}
	var later []*numberedSent
	for _, s := range list {
		if taken[place{s.machine, s.number}] || taken[place{"", s.number}] || s.machine == "" && any[s.number] {
			later = append(later, s)
			last[s.machine], highest = max(last[s.machine], s.number), max(highest, s.number)
			continue
		}
		take(s)
	}
	for _, s := range later {
		s.number = max(last[s.machine], last[""]) + 1
		if s.machine == "" {
			s.number = highest + 1
		}
		take(s)
	}
}
