package learn

import (
	"cmp"
	"math"
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

func (c cell) compare(d cell) int {
	return cmp.Or(cmp.Compare(c.thicknessIn, d.thicknessIn), cmp.Compare(c.joint, d.joint),
		cmp.Compare(c.position, d.position), cmp.Compare(c.wireIn, d.wireIn), cmp.Compare(c.tap, d.tap))
}

// groupKey is a cell and everything else that sets the features of a weld.
type groupKey struct {
	cell
	machine, state, spool, user string
}

func (s *Setup) key() groupKey {
	return groupKey{s.cell(), s.Machine, s.State, s.Spool, s.User}
}

func (k groupKey) compare(l groupKey) int {
	return cmp.Or(k.cell.compare(l.cell), cmp.Compare(k.machine, l.machine), cmp.Compare(k.state, l.state),
		cmp.Compare(k.spool, l.spool), cmp.Compare(k.user, l.user))
}

// bead is a weld as the model reads it.
type bead struct {
	weld    *Weld
	y       float64 // ln(set / table)
	half    float64 // half width of the good window, ln units
	side    int     // direction of the fault, 0 when not known
	session string
}

// newBead reports false for a weld that says nothing about wire speed: not learnable, or a failure whose symptoms
// contradict each other.
func newBead(w *Weld) (bead, bool) {
	if !w.Learnable() || w.conflict() && !w.good() {
		return bead{}, false
	}
	return bead{w, math.Log(w.WireSpeed / w.TableWireSpeed), halfWindow(settle(w.ThicknessIn)), w.direction(), w.session()}, true
}

// group holds the beads that share all features, ordered by session, then id.
type group struct {
	key      groupKey
	beads    []bead
	terms    []term // without exact-job and live columns
	ownSpool bool   // the spool has a column
	live     bool
	prior    float64 // prior variance of f at this setup
}

// sortGroups collects beads into groups, ordered by key, whatever the order of the welds.
func sortGroups(welds []*Weld) []*group {
	at := map[groupKey]*group{}
	var groups []*group
	for _, w := range welds {
		b, ok := newBead(w)
		if !ok {
			continue
		}
		k := w.key()
		g := at[k]
		if g == nil {
			g = &group{key: k}
			at[k] = g
			groups = append(groups, g)
		}
		g.beads = append(g.beads, b)
	}
	slices.SortFunc(groups, func(a, b *group) int { return a.key.compare(b.key) })
	for _, g := range groups {
		slices.SortFunc(g.beads, func(a, b bead) int {
			return cmp.Or(cmp.Compare(a.session, b.session), cmp.Compare(a.weld.ID, b.weld.ID))
		})
	}
	return groups
}

// describe fills in the features. The bead's setup stands for all of the group.
func (g *group) describe(c *columns, r *rig, ownSpool bool) {
	g.ownSpool = ownSpool
	g.terms = r.terms(c, &g.beads[0].weld.Setup, ownSpool)
	g.prior = sdCell * sdCell
	if !ownSpool {
		g.prior += sdSpool * sdSpool
	}
	for _, t := range g.terms {
		g.prior += t.value * t.value
	}
}

// without returns the group less the welds with these ids, nil if none is left.
func (g *group) without(ids map[string]bool) *group {
	out := *g
	out.beads = make([]bead, 0, len(g.beads))
	for _, b := range g.beads {
		if !ids[b.weld.ID] {
			out.beads = append(out.beads, b)
		}
	}
	if len(out.beads) == 0 {
		return nil
	}
	return &out
}

// compareTime orders welds as they were made; welds of one moment by id.
func compareTime(a, b *Weld) int { return cmp.Or(a.Time.Compare(b.Time), cmp.Compare(a.ID, b.ID)) }
