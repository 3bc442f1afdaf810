package learn

import (
	"math"
	"slices"
)

// bead is a weld as the model reads it.
type bead struct {
	weld    *Weld
	y       float64 // ln(set / table)
	session int32   // number within the group
	rating  int8
	side    int8 // direction of the fault, 0 when not known
}

func (b *bead) good() bool { return b.rating >= 4 }

// group holds the beads that share all features, ordered by session, then id.
type group struct {
	key      *lotKey
	code     *lotCode
	beads    []bead
	newest   *Weld
	half     float64 // half width of the good window, ln units
	terms    []term  // without exact-job and live columns
	ofCell   int     // number of the first term that the whole cell shares
	ownSpool bool    // the spool has a column
	prior    float64
}

// newGroups takes from the lots what says something about wire speed: learnable welds, without the failures whose
// symptoms contradict each other.
func newGroups(lots []*lot) []*group {
	var n int
	for _, l := range lots {
		n += len(l.welds)
	}
	slab := make([]bead, 0, n)
	groups := make([]*group, 0, len(lots))
	for _, l := range lots {
		start := len(slab)
		session, name := int32(-1), sitting{}
		var newest *Weld
		for _, w := range l.welds {
			if !w.Learnable() || w.conflict() && !w.good() {
				continue
			}
			if s := w.sitting(); s != name {
				session, name = session+1, s
			}
			if newest == nil || compareTime(w, newest) > 0 {
				newest = w
			}
			slab = append(slab, bead{w, math.Log(w.WireSpeed / w.TableWireSpeed), session, int8(w.Rating), int8(w.direction())})
		}
		if newest != nil {
			groups = append(groups, &group{key: &l.key, code: &l.code, beads: slab[start:len(slab):len(slab)], newest: newest,
				half: halfWindow(l.key.thicknessIn)})
		}
	}
	return groups
}

func beads(groups []*group) (n int) {
	for _, g := range groups {
		n += len(g.beads)
	}
	return n
}

// describe fills in the features and the prior variance of f at this setup. One bead's setup stands for all.
func (g *group) describe(c *columns, r *rig, ownSpool bool) {
	g.ownSpool = ownSpool
	g.terms, g.ofCell = r.terms(c, &g.beads[0].weld.Setup, ownSpool)
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
	out.beads = slices.DeleteFunc(slices.Clone(g.beads), func(b bead) bool { return ids[b.weld.ID] })
	if len(out.beads) == 0 {
		return nil
	}
	return &out
}

// newestSpools returns the spools last used.
func newestSpools(groups []*group) map[string]bool {
	last := map[string]*Weld{}
	for _, g := range groups {
		if l := last[g.key.spool]; l == nil || compareTime(g.newest, l) > 0 {
			last[g.key.spool] = g.newest
		}
	}
	welds := make([]*Weld, 0, len(last))
	for _, w := range last {
		welds = append(welds, w)
	}
	slices.SortFunc(welds, func(a, b *Weld) int { return compareTime(b, a) })
	out := map[string]bool{}
	for _, w := range welds[:min(len(welds), explicitSpools)] {
		out[w.Spool] = true
	}
	return out
}
