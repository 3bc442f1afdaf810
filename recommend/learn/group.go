package learn

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// bead is a weld as the model reads it.
type bead struct {
	weld    *Weld
	y       float64 // ln(set / table)
	day     int32   // on which a bead without a named session was made, 0 when not known
	session int32   // number within the group
	rating  int8
	side    int8 // direction of the fault, 0 when not known
}

func newBead(w *Weld) bead {
	b := bead{weld: w, y: math.Log(w.WireSpeed / w.TableWireSpeed), rating: int8(w.Rating), side: int8(w.direction())}
	if w.Session == "" && !w.Time.IsZero() {
		y, m, d := w.Time.Date()
		b.day = int32(y)<<9 | int32(m)<<5 | int32(d)
	}
	return b
}

func (b *bead) good() bool { return b.rating >= 4 }

// compare orders beads by session, then id.
func (a *bead) compare(b *bead) int {
	if c := strings.Compare(a.weld.Session, b.weld.Session); c != 0 {
		return c
	}
	if a.day != b.day {
		return cmp.Compare(a.day, b.day)
	}
	return strings.Compare(a.weld.ID, b.weld.ID)
}

// follow numbers the session of a bead after that of the one before it. Sessions go by name, else by day; a bead with
// neither stands alone.
func (a *bead) follow(before *bead) {
	a.session = before.session
	if a.weld.Session != before.weld.Session || a.weld.Session == "" && (a.day == 0 || a.day != before.day) {
		a.session++
	}
}

// sortBeads orders the beads of one group and numbers their sessions.
func sortBeads(beads []bead) {
	slices.SortFunc(beads, func(a, b bead) int { return a.compare(&b) })
	beads[0].session = 0
	for i := range beads[1:] {
		beads[i+1].follow(&beads[i])
	}
}

// group holds the beads of one cell, clan and spool, ordered by session, then id.
type group struct {
	setup  *Setup // of one of its beads: it stands for all
	newest *Weld
	beads  []bead
	block  int32 // number
	spool  int32 // likewise
}

// without returns the group less the welds with these ids.
func (g group) without(ids map[string]bool) group {
	g.beads = slices.DeleteFunc(slices.Clone(g.beads), func(b bead) bool { return ids[b.weld.ID] })
	return g
}

// block is the groups of one cell that share all features: one clan's, and one spool's if that has a column.
type block struct {
	terms       []term // without exact-job and live columns
	cell, clan  int    // numbers
	spool       int    // column, -1 without
	slope, tap  float64
	prior       float64 // variance of f at this setup
	first, last int     // groups first to last-1
}

// realm is a clan with its features, the same for all its blocks.
type realm struct {
	clan
	rig   *rig
	terms []term
	slope int // column of the machine's slope
	prior float64
}

// stretch is the blocks of one cell: numbers first to last-1.
type stretch struct {
	terms       []term  // those that all of them share: joint, position, wire, tap, thickness
	x           float64 // ln(thickness / 0.100 in)
	prior       float64 // of the terms
	least       float64 // prior variance of f among its blocks
	half        float64 // half width of the good window, ln units
	first, last int
}

func squares(terms []term) (sum float64) {
	for _, t := range terms {
		sum += t.value * t.value
	}
	return sum
}
