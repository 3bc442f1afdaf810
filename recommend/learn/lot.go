package learn

import (
	"cmp"
	"slices"
	"strings"
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

// lotKey is a cell and everything else that sets the features of a weld.
type lotKey struct {
	cell
	machine, state, spool, user string
}

func (s *Setup) key() lotKey {
	return lotKey{s.cell(), s.Machine, s.State, s.Spool, s.User}
}

// lot holds the welds of one key, by session, then id.
type lot struct {
	key   lotKey
	code  lotCode
	welds []*Weld
}

// lotCode is a key with numbers for names, quick to look up and, once the numbers are places in the alphabet, to compare:
// joint, position, tap, machine, state, spool, user.
type lotCode struct {
	thicknessIn, wireIn float64
	names               [7]int32
}

func (a *lotCode) compare(b *lotCode) int {
	if a.thicknessIn != b.thicknessIn {
		return cmp.Compare(a.thicknessIn, b.thicknessIn)
	}
	if c := slices.Compare(a.names[:2], b.names[:2]); c != 0 {
		return c
	}
	if a.wireIn != b.wireIn {
		return cmp.Compare(a.wireIn, b.wireIn)
	}
	return slices.Compare(a.names[2:], b.names[2:])
}

// sortLots parts welds into lots ordered by key: thickness, joint, position, wire, tap, then machine, state, spool, user.
// The order of the welds does not matter.
func sortLots(welds []*Weld) []*lot {
	var names register
	at := map[lotCode]*lot{}
	var lots []*lot
	var l *lot
	for i, w := range welds {
		// Welds mostly come in sessions; the look-up is the slow part.
		if i == 0 || w.Setup != welds[i-1].Setup {
			k := w.key()
			c := lotCode{k.thicknessIn, k.wireIn, [7]int32{names.number(k.joint), names.number(k.position), names.number(k.tap),
				names.number(k.machine), names.number(k.state), names.number(k.spool), names.number(k.user)}}
			if l = at[c]; l == nil {
				l = &lot{key: k, code: c}
				at[c] = l
				lots = append(lots, l)
			}
		}
		l.welds = append(l.welds, w)
	}
	rank := names.alphabet()
	for _, l := range lots {
		for i, n := range l.code.names {
			l.code.names[i] = rank[n]
		}
	}
	slices.SortFunc(lots, func(a, b *lot) int { return a.code.compare(&b.code) })
	for _, l := range lots {
		if len(l.welds) > 1 {
			slices.SortFunc(l.welds, compareSitting)
		}
	}
	return lots
}

// register numbers names as they come.
type register struct {
	numbers map[string]int32
	names   []string
}

func (r *register) number(name string) int32 {
	n, ok := r.numbers[name]
	if !ok {
		if r.numbers == nil {
			r.numbers = map[string]int32{}
		}
		n = int32(len(r.names))
		r.numbers[name] = n
		r.names = append(r.names, name)
	}
	return n
}

// alphabet gives each number's place in the order of the names.
func (r *register) alphabet() []int32 {
	rank := make([]int32, len(r.names))
	for i, name := range slices.Sorted(slices.Values(r.names)) {
		rank[r.numbers[name]] = int32(i)
	}
	return rank
}

// compareSitting orders welds by session, then id.
func compareSitting(a, b *Weld) int {
	if a.Session == "" || a.Session != b.Session {
		if c := a.sitting().compare(b.sitting()); c != 0 {
			return c
		}
	}
	return strings.Compare(a.ID, b.ID)
}

// compareTime orders welds as they were made; welds of one moment by id.
func compareTime(a, b *Weld) int { return cmp.Or(a.Time.Compare(b.Time), cmp.Compare(a.ID, b.ID)) }
