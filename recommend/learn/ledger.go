package learn

import "math"

// ledger finds groups by cell and by spool. Groups are ordered by cell first, so that each cell is one stretch of them.
type ledger struct {
	cells   []stretch
	byCell  map[cell]int
	bySpool map[string][]int // groups whose spool has no column
	kin     []kin            // by group
	clans   []clan
}

// kin is a group in brief: what its likeness to a question takes, side by side with all others so that it is read fast.
type kin struct {
	prior      float64
	slope, tap float64 // features of machine slope and tap slope
	clan       int32
}

// clan is what groups of one machine, state and user have in common whatever the cell, and their spool if it has a column.
type clan struct {
	terms []term
	slope int // column
}

// stretch is the groups of one cell: numbers first to last-1.
type stretch struct {
	first, last int
	x           float64 // ln(thickness / 0.100 in)
	terms       []term  // those that all of them share: joint, position, wire, tap, thickness
	prior       float64 // least prior variance among them
}

func newLedger(groups []*group, c *columns) ledger {
	l := ledger{byCell: map[cell]int{}, bySpool: map[string][]int{}, kin: make([]kin, len(groups))}
	clans := map[[4]int32]int32{}
	for i, g := range groups {
		if i == 0 || g.key.cell != groups[i-1].key.cell {
			l.byCell[g.key.cell] = len(l.cells)
			l.cells = append(l.cells, stretch{i, i, logThickness(g.key.thicknessIn), g.terms[g.ofCell:], g.prior})
		}
		s := &l.cells[len(l.cells)-1]
		s.last = i + 1
		s.prior = min(s.prior, g.prior)
		name := [4]int32(g.code.names[3:])
		if !g.ownSpool {
			l.bySpool[g.key.spool] = append(l.bySpool[g.key.spool], i)
			name[2] = -1
		}
		k, known := clans[name]
		if !known {
			k = int32(len(l.clans))
			clans[name] = k
			l.clans = append(l.clans, clan{})
		}
		l.kin[i] = kin{prior: g.prior, clan: k}
		for _, t := range g.terms[:g.ofCell] {
			switch c.family(t.col) {
			case machineSlope:
				l.kin[i].slope, l.clans[k].slope = t.value, t.col
			case tapThickness:
				l.kin[i].tap = t.value
			default:
				if !known {
					l.clans[k].terms = append(l.clans[k].terms, t)
				}
			}
		}
	}
	return l
}

// likeness measures how the prior ties groups to a question.
type likeness struct {
	features  []float64 // of the question, by column, without exact-job and live columns
	variance  float64   // its prior variance, exact job included
	elsewhere float64   // the most that common offset, machine, states, spool and user can share
	slopes    float64   // the same for the slopes of machine and tap, for each unit of x
	tap       float64   // feature of the tap slope
}

func (a *answer) likeness(q *Query) likeness {
	l := likeness{features: make([]float64, a.cols.size())}
	for _, t := range a.terms {
		square := t.value * t.value
		switch a.cols.family(t.col) {
		case liveSession:
			continue
		case exactJob:
			l.variance += square
			continue
		case common, machineOffset, machineState, spool, user:
			l.elsewhere += square
		case machineSlope, tapThickness:
			if x := math.Abs(logThickness(settle(q.ThicknessIn))); x > 0 {
				l.slopes += square / x
			}
			if a.cols.family(t.col) == tapThickness {
				l.tap = t.value
			}
		}
		l.variance += square
		l.features[t.col] = t.value
	}
	return l
}

// withCell is what the question shares with every group of a cell that has these terms.
func (l *likeness) withCell(terms []term, job bool) (shared float64) {
	for _, t := range terms {
		shared += t.value * l.features[t.col]
	}
	if job {
		shared += sdCell * sdCell
	}
	return shared
}

// tooFar reports that no group of a cell can be like enough.
func (l *likeness) tooFar(s *stretch, withCell float64) bool {
	most := l.elsewhere + l.slopes*math.Abs(s.x) + withCell
	return most < (likeCorrelation-1e-6)*math.Sqrt(l.variance*s.prior)
}

// correlation is the prior correlation of the group's f with that of the question; shared is what the columns of the
// machine and the user leave out.
func (l *likeness) correlation(g *group, shared float64) float64 {
	for _, t := range g.terms[:g.ofCell] {
		shared += t.value * l.features[t.col]
	}
	return shared / math.Sqrt(l.variance*g.prior)
}

// clans measures each clan: what it shares with the question, and the question's feature of its machine slope.
func (l *likeness) clans(clans []clan) (shared, slope []float64) {
	shared, slope = make([]float64, len(clans)), make([]float64, len(clans))
	for i, c := range clans {
		for _, t := range c.terms {
			shared[i] += t.value * l.features[t.col]
		}
		slope[i] = l.features[c.slope]
	}
	return shared, slope
}
