package learn

import "math"

// ledger is the groups of a log, found by cell, by clan and by spool. Groups of one block stand together, and blocks of
// one cell.
type ledger struct {
	groups  []group
	blocks  []block
	cells   []stretch
	realms  []realm
	byCell  map[cell]int
	bySpool map[string][]int // groups whose spool has no column
}

// newLedger describes the lots of an arranged journal by their features: each clan, each cell and each block once.
func newLedger(log *journal, c *columns, fleet map[string]*rig, column map[string]bool) ledger {
	l := ledger{groups: make([]group, 0, len(log.lots)), blocks: make([]block, 0, len(log.lots)),
		byCell: make(map[cell]int, len(log.cells.keys)), bySpool: map[string][]int{}}
	realms := make([]int, len(log.clans.keys)) // by number of the clan, +1
	var slab []term
	var before *lot
	beads := log.beads
	for i := range log.lots {
		lot := &log.lots[i]
		if lot.beads == 0 {
			continue
		}
		s, k := lot.setup, len(l.groups)
		own := column[s.Spool]
		if !own {
			l.bySpool[s.Spool] = append(l.bySpool[s.Spool], k)
		}
		newCell := before == nil || lot.cell != before.cell
		if newCell {
			l.byCell[s.cell()] = len(l.cells)
			terms := cellTerms(c, s)
			l.cells = append(l.cells, stretch{terms: terms, x: logThickness(settle(s.ThicknessIn)), prior: squares(terms),
				least: math.Inf(1), half: halfWindow(settle(s.ThicknessIn)), first: len(l.blocks)})
		}
		if newCell || own || lot.clan != before.clan {
			if realms[lot.clan] == 0 {
				r := fleet[s.Machine]
				terms := r.clanTerms(c, s)
				l.realms = append(l.realms, realm{s.clan(), r, terms, c.name(machineSlope, s.Machine), squares(terms)})
				realms[lot.clan] = len(l.realms)
			}
			l.blocks = append(l.blocks, l.newBlock(s, realms[lot.clan]-1, own, c, &slab))
		}
		l.groups = append(l.groups, group{s, lot.newest, beads[:lot.beads:lot.beads], len(l.blocks) - 1})
		beads = beads[lot.beads:]
		l.blocks[len(l.blocks)-1].last = len(l.groups)
		before = lot
	}
	return l
}

// newBlock starts a block of the last cell; its terms are taken from the slab while that lasts.
func (l *ledger) newBlock(s *Setup, clan int, own bool, c *columns, slab *[]term) block {
	here, who := &l.cells[len(l.cells)-1], &l.realms[clan]
	b := block{cell: len(l.cells) - 1, clan: clan, spool: -1, first: len(l.groups)}
	if most := len(who.terms) + 3 + len(here.terms); cap(*slab) < most {
		*slab = make([]term, 0, max(most, min(1<<14, most*cap(l.blocks))))
	}
	terms := append((*slab)[:0], who.terms...)
	if own {
		b.spool = c.name(spool, s.Spool)
		terms = append(terms, term{b.spool, sdSpool})
	}
	b.slope, b.tap = who.rig.slopes(s)
	terms = appendTerm(terms, who.slope, b.slope)
	terms = appendTerm(terms, c.number(tapThickness, 0), b.tap)
	terms = append(terms, here.terms...)
	b.terms = inOrder(terms[:len(terms):len(terms)])
	*slab = terms[len(terms):]
	b.prior = who.prior + sdSpool*sdSpool + b.slope*b.slope + b.tap*b.tap + here.prior + sdCell*sdCell
	here.least = min(here.least, b.prior)
	here.last = len(l.blocks) + 1
	return b
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
