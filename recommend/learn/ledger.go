package learn

import "math"

// ledger is the groups of a log. Groups of one block stand together, and blocks of one cell.
type ledger struct {
	groups  []group
	blocks  []block
	cells   []stretch
	realms  []realm
	byCell  map[cell]int
	bySpool map[string]int32 // number of each spool
}

// newLedger describes the lots of an arranged journal by their features: each clan, each cell and each block once.
func newLedger(log *journal, c *columns, fleet map[string]*rig) ledger {
	l := ledger{groups: make([]group, 0, len(log.lots)), blocks: make([]block, 0, len(log.lots)),
		byCell: make(map[cell]int, len(log.cells.keys)), bySpool: log.spools.number}
	realms := make([]int, len(log.clans.keys)) // by number of the clan, +1
	var slab []term
	var before *lot
	beads := log.beads
	for i := range log.lots {
		lot := &log.lots[i]
		if lot.beads == 0 {
			continue
		}
		job, own := &log.cells.keys[lot.cell], log.column[lot.spool]
		newCell := before == nil || lot.cell != before.cell
		if newCell {
			l.byCell[*job] = len(l.cells)
			terms := cellTerms(c, *job)
			l.cells = append(l.cells, stretch{terms: terms, x: logThickness(job.thicknessIn), prior: squares(terms),
				least: math.Inf(1), half: halfWindow(job.thicknessIn), first: len(l.blocks)})
		}
		if newCell || own || lot.clan != before.clan {
			if realms[lot.clan] == 0 {
				who := log.clans.keys[lot.clan]
				r := fleet[who.machine]
				terms := r.clanTerms(c, who)
				l.realms = append(l.realms, realm{who, r, terms, c.name(machineSlope, who.machine), squares(terms)})
				realms[lot.clan] = len(l.realms)
			}
			b := block{cell: len(l.cells) - 1, clan: realms[lot.clan] - 1, spool: -1, first: len(l.groups)}
			if own {
				b.spool = c.name(spool, log.spools.keys[lot.spool])
			}
			l.describe(&b, job.tap, c, &slab)
			l.blocks = append(l.blocks, b)
			l.cells[b.cell].last = len(l.blocks)
		}
		l.groups = append(l.groups, group{lot.setup, lot.newest, beads[:lot.beads:lot.beads], int32(len(l.blocks) - 1), lot.spool})
		beads = beads[lot.beads:]
		l.blocks[len(l.blocks)-1].last = len(l.groups)
		before = lot
	}
	return l
}

// describe gives a block its terms, taken from the slab while that lasts, and what follows from them.
func (l *ledger) describe(b *block, tap string, c *columns, slab *[]term) {
	here, who := &l.cells[b.cell], &l.realms[b.clan]
	if most := len(who.terms) + 3 + len(here.terms); cap(*slab) < most {
		*slab = make([]term, 0, max(most, min(1<<14, most*cap(l.blocks))))
	}
	terms := append((*slab)[:0], who.terms...)
	if b.spool >= 0 {
		terms = append(terms, term{b.spool, sdSpool})
	}
	b.slope, b.tap = who.rig.slopes(here.x, tap)
	terms = appendTerm(terms, who.slope, b.slope)
	terms = appendTerm(terms, c.number(tapThickness, 0), b.tap)
	terms = append(terms, here.terms...)
	b.terms = inOrder(terms[:len(terms):len(terms)])
	*slab = terms[len(terms):]
	b.prior = who.prior + sdSpool*sdSpool + b.slope*b.slope + b.tap*b.tap + here.prior + sdCell*sdCell
	here.least = min(here.least, b.prior)
}

// ofSpool returns the groups of a spool that has no column, rising.
func (l *ledger) ofSpool(name string) (out []int) {
	if n, ok := l.bySpool[name]; ok {
		for k := range l.groups {
			if g := &l.groups[k]; g.spool == n && l.blocks[g.block].spool < 0 {
				out = append(out, k)
			}
		}
	}
	return out
}

// find returns the number of the group with this setup, -1 if there is none.
func (l *ledger) find(s *Setup) int {
	if i, ok := l.byCell[s.cell()]; ok {
		for _, b := range l.blocks[l.cells[i].first:l.cells[i].last] {
			if l.realms[b.clan].clan != s.clan() {
				continue
			}
			for k := b.first; k < b.last; k++ {
				if l.groups[k].setup.Spool == s.Spool {
					return k
				}
			}
		}
	}
	return -1
}
