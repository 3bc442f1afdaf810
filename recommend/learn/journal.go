package learn

import (
	"cmp"
	"slices"
)

// cell is an exact job: what table and habit can tell apart about a weld.
type cell struct {
	thicknessIn     float64
	joint, position string
	wireIn          float64
	tap             string
}

func (s *Setup) cell() cell {
	return cell{settle(s.ThicknessIn), s.Joint, s.Position, settle(s.WireDiameterIn), s.Tap}
}

func (a cell) compare(b cell) int {
	return cmp.Or(cmp.Compare(a.thicknessIn, b.thicknessIn), cmp.Compare(a.joint, b.joint), cmp.Compare(a.position, b.position),
		cmp.Compare(a.wireIn, b.wireIn), cmp.Compare(a.tap, b.tap))
}

// clan is who welds on what, whatever the job and the spool.
type clan struct{ machine, state, user string }

func (s *Setup) clan() clan { return clan{s.Machine, s.State, s.User} }

func (a clan) compare(b clan) int {
	return cmp.Or(cmp.Compare(a.machine, b.machine), cmp.Compare(a.state, b.state), cmp.Compare(a.user, b.user))
}

// index numbers keys as they come.
type index[K comparable] struct {
	number map[K]int32
	keys   []K
}

func (x *index[K]) of(k K) int32 {
	n, ok := x.number[k]
	if !ok {
		if x.number == nil {
			x.number = map[K]int32{}
		}
		n = int32(len(x.keys))
		x.number[k] = n
		x.keys = append(x.keys, k)
	}
	return n
}

// ranks gives each number's place in the order of the keys.
func (x *index[K]) ranks(compare func(a, b K) int) []int32 {
	rank := make([]int32, len(x.keys))
	for i, k := range slices.SortedFunc(slices.Values(x.keys), compare) {
		rank[x.number[k]] = int32(i)
	}
	return rank
}

// lot is what a log says of one cell, clan and spool.
type lot struct {
	cell, clan, spool int32 // numbers as they came
	setup             *Setup
	newest            *Weld // of its beads
	beads, last       int32 // how many, and the number of the one read last
	ordered           bool  // they came by session, then id
	votes             votes
}

// journal is a log read once, from the first weld to the last: names looked up, welds turned into beads. What it gives out
// does not depend on the order of the welds.
type journal struct {
	cells   index[cell]
	clans   index[clan]
	spools  index[string]
	newest  []*Weld // by spool, of its beads
	column  []bool  // by spool, whether it has one; set by arrange
	at      map[[3]int32]int32
	lots    []lot
	current int32 // lot of the setup read last, -1 before it is looked up
	beads   []bead
	of      []int32 // lot of each bead
}

func newJournal(welds int) *journal {
	return &journal{at: make(map[[3]int32]int32, welds/3), lots: make([]lot, 0, welds/3), current: -1,
		beads: make([]bead, 0, welds), of: make([]int32, 0, welds)}
}

// read takes in a checked weld, if it can be learned from. Same says that its setup is that of the weld before: welds
// mostly come in sessions, and looking names up is the slow part.
func (j *journal) read(w *Weld, same bool) {
	if !same {
		j.current = -1
	}
	if !w.learnable() {
		return
	}
	if j.current < 0 {
		j.current = j.lot(&w.Setup)
	}
	l := &j.lots[j.current]
	l.votes.count(w, 1)
	if w.conflict() && !w.good() {
		return // says nothing about wire speed
	}
	b := newBead(w)
	if l.beads > 0 {
		before := &j.beads[l.last]
		l.ordered = l.ordered && before.compare(&b) < 0
		b.follow(before)
	}
	if l.newest == nil || compareTime(w, l.newest) > 0 {
		l.newest = w
		if n := j.newest[l.spool]; n == nil || compareTime(w, n) > 0 {
			j.newest[l.spool] = w
		}
	}
	l.last = int32(len(j.beads))
	l.beads++
	j.beads = append(j.beads, b)
	j.of = append(j.of, j.current)
}

func (j *journal) lot(s *Setup) int32 {
	k := [3]int32{j.cells.of(s.cell()), j.clans.of(s.clan()), j.spools.of(s.Spool)}
	if len(j.newest) < len(j.spools.keys) {
		j.newest = append(j.newest, nil)
	}
	n, ok := j.at[k]
	if !ok {
		n = int32(len(j.lots))
		j.at[k] = n
		j.lots = append(j.lots, lot{cell: k[0], clan: k[1], spool: k[2], setup: s, ordered: true})
	}
	return n
}

// lastSpools returns the few spools last used.
func (j *journal) lastSpools() map[string]bool {
	last := slices.DeleteFunc(slices.Clone(j.newest), func(w *Weld) bool { return w == nil })
	slices.SortFunc(last, func(a, b *Weld) int { return compareTime(b, a) })
	out := map[string]bool{}
	for _, w := range last[:min(len(last), explicitSpools)] {
		out[w.Spool] = true
	}
	return out
}

// arrange orders the lots by cell, then clan, then spool, those whose spool has a column after the others, and the beads
// of each lot by session, then id.
func (j *journal) arrange(column map[string]bool) {
	type place struct {
		by    uint64 // cell and clan
		spool int32
		lot   int32
	}
	cells, clans, spools := j.cells.ranks(cell.compare), j.clans.ranks(clan.compare), j.spools.ranks(cmp.Compare[string])
	j.column = make([]bool, len(spools))
	for i, name := range j.spools.keys {
		if j.column[i] = column[name]; j.column[i] {
			spools[i] += int32(len(spools))
		}
	}
	order := make([]place, len(j.lots))
	for i, l := range j.lots {
		order[i] = place{uint64(cells[l.cell])<<32 | uint64(clans[l.clan]), spools[l.spool], int32(i)}
	}
	slices.SortFunc(order, func(a, b place) int {
		if a.by != b.by {
			return cmp.Compare(a.by, b.by)
		}
		return cmp.Compare(a.spool, b.spool)
	})
	lots, next, start := make([]lot, len(order)), make([]int32, len(order)), int32(0)
	for i, p := range order {
		lots[i] = j.lots[p.lot]
		next[p.lot] = start
		start += lots[i].beads
	}
	beads := make([]bead, len(j.beads))
	for i, n := range j.of {
		beads[next[n]] = j.beads[i]
		next[n]++
	}
	j.lots, j.beads = lots, beads
	for i := range lots {
		l := &lots[i]
		mine := beads[:l.beads:l.beads]
		beads = beads[l.beads:]
		if !l.ordered {
			sortBeads(mine)
		}
	}
}

// compareTime orders welds as they were made; welds of one moment by id.
func compareTime(a, b *Weld) int {
	if c := a.Time.Compare(b.Time); c != 0 {
		return c
	}
	return cmp.Compare(a.ID, b.ID)
}
