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
	welds []*Weld
	order [9]float64 // key with names as places in the alphabet, quick to compare
}

// sortLots parts welds into lots ordered by key: thickness, joint, position, wire, tap, then machine, state, spool, user.
// The order of the welds does not matter.
func sortLots(welds []*Weld) []*lot {
	at := make(map[lotKey]*lot, len(welds)/4)
	var lots []*lot
	var l *lot
	for i, w := range welds {
		// Welds mostly come in sessions; the look-up is the slow part.
		if i == 0 || w.Setup != welds[i-1].Setup {
			k := w.key()
			if l = at[k]; l == nil {
				l = &lot{key: k}
				at[k] = l
				lots = append(lots, l)
			}
		}
		l.welds = append(l.welds, w)
	}
	rank := alphabet(lots)
	for _, l := range lots {
		k := &l.key
		l.order = [9]float64{k.thicknessIn, rank[k.joint], rank[k.position], k.wireIn, rank[k.tap],
			rank[k.machine], rank[k.state], rank[k.spool], rank[k.user]}
	}
	slices.SortFunc(lots, func(a, b *lot) int { return slices.Compare(a.order[:], b.order[:]) })
	for _, l := range lots {
		if len(l.welds) == 1 {
			continue
		}
		slices.SortFunc(l.welds, func(a, b *Weld) int {
			if c := a.sitting().compare(b.sitting()); c != 0 {
				return c
			}
			return strings.Compare(a.ID, b.ID)
		})
	}
	return lots
}

// alphabet numbers the names in the keys by their order.
func alphabet(lots []*lot) map[string]float64 {
	rank := map[string]float64{}
	var names []string
	for _, l := range lots {
		for _, n := range [...]string{l.key.joint, l.key.position, l.key.tap, l.key.machine, l.key.state, l.key.spool, l.key.user} {
			if _, ok := rank[n]; !ok {
				rank[n] = 0
				names = append(names, n)
			}
		}
	}
	slices.Sort(names)
	for i, n := range names {
		rank[n] = float64(i)
	}
	return rank
}

// compareTime orders welds as they were made; welds of one moment by id.
func compareTime(a, b *Weld) int { return cmp.Or(a.Time.Compare(b.Time), cmp.Compare(a.ID, b.ID)) }
