package learn

import (
	"math"
	"slices"
)

// TapAdvice says which tap past welds speak for. Contradictory symptoms (cold with too much wire, hot with too little)
// cannot be cured by wire speed: they are votes for a hotter or a colder tap, weighed by how like the job was.
type TapAdvice struct {
	From     string  `json:"from"`     // the table's tap
	Tap      string  `json:"tap"`      // the same unless the votes are against it
	Votes    float64 `json:"votes"`    // + for hotter, - for colder; a change needs more than 0.6
	NoTap    bool    `json:"no_tap"`   // welds asked for a hotter tap than the hottest, or a colder one than the coldest
	Colder   int     `json:"colder"`   // welds on the table's tap that asked for a colder one
	Hotter   int     `json:"hotter"`   // welds on the table's tap that asked for a hotter one
	GoodHere int     `json:"good"`     // good welds on the table's tap, unlike jobs left out
	GoodThen int     `json:"good_new"` // good welds on the advised tap, if it is another
}

// AdviseTap counts the votes for a job; q.Tap is the table's choice. Errors are those of Suggest.
func (m *Model) AdviseTap(q Query) (TapAdvice, error) {
	if err := q.check(m.fleet); err != nil {
		return TapAdvice{}, err
	}
	return m.adviseTap(&q), nil
}

// closeness is e^-distance between two jobs on one machine, whatever their taps.
func closeness(a, b *Setup) float64 {
	d := math.Abs(logThickness(settle(a.ThicknessIn))-logThickness(settle(b.ThicknessIn))) / 0.5
	if a.Joint != b.Joint {
		d += 0.6
	}
	if a.Position != b.Position {
		d += 0.6
	}
	if settle(a.WireDiameterIn) != settle(b.WireDiameterIn) {
		d += 0.5
	}
	return math.Exp(-d)
}

// namedFrom is the closeness from which a weld is named as a reason, not merely weighed.
const namedFrom = 0.2

// rigState is a machine in one state.
type rigState struct{ machine, state string }

// votes are the welds that bear on the choice of tap.
type votes struct{ hotter, colder, good int }

func (v *votes) count(w *Weld, times int) {
	switch {
	case w.conflict() && w.Heat < 0:
		v.hotter += times
	case w.conflict():
		v.colder += times
	}
	if w.good() {
		v.good += times
	}
}

func (v *votes) add(w votes) {
	v.hotter += w.hotter
	v.colder += w.colder
	v.good += w.good
}

// ballot is the votes of one cell on one machine in one state.
type ballot struct {
	setup *Setup // of one of its welds
	votes
}

// newBallots sums up the lots of an arranged journal.
func newBallots(log *journal) map[rigState][]ballot {
	var places index[rigState]
	of := make([]int32, len(log.clans.keys))
	for i, c := range log.clans.keys {
		of[i] = places.of(rigState{c.machine, c.state})
	}
	boxes := make([][]ballot, len(places.keys))
	last := make([]int32, len(places.keys)) // cell of the last ballot in each box, +1
	for i := range log.lots {
		l := &log.lots[i]
		p := of[l.clan]
		if last[p] != l.cell+1 {
			last[p] = l.cell + 1
			boxes[p] = append(boxes[p], ballot{setup: l.setup})
		}
		boxes[p][len(boxes[p])-1].add(l.votes)
	}
	out := make(map[rigState][]ballot, len(boxes))
	for i, k := range places.keys {
		out[k] = boxes[i]
	}
	return out
}

// adviseTap is [Model.AdviseTap] for a query that was checked.
func (m *Model) adviseTap(q *Query) TapAdvice {
	a := TapAdvice{From: q.Tap, Tap: q.Tap}
	r := m.fleet[q.Machine]
	if len(r.Taps) < 2 {
		return a
	}
	// Good welds weigh against leaving the tap, and for the neighbour they were made on. On two taps, up and down are one
	// sum, as only one of them can be done.
	here := r.tap[q.Tap]
	var up, down, asked float64
	var goodUp, goodDown int
	for _, b := range m.ballotsWith(q) {
		c := closeness(b.setup, &q.Setup)
		good := goodVote * float64(b.good) * c
		named := b.good
		if c < namedFrom {
			named = 0
		}
		switch r.tap[b.setup.Tap] - here {
		case 0:
			conflicts := float64(b.hotter-b.colder) * c
			asked += conflicts
			up += conflicts - good
			down += conflicts + good
			a.GoodHere += named
			if c >= namedFrom {
				a.Hotter += b.hotter
				a.Colder += b.colder
			}
		case 1:
			up += good
			goodUp += named
		case -1:
			down -= good
			goodDown += named
		}
	}
	canUp, canDown := here+1 < len(r.Taps), here > 0
	a.Votes = up
	if !canUp || canDown && -down > up {
		a.Votes = down
	}
	switch {
	case a.Votes > voteThreshold && canUp:
		a.Tap, a.GoodThen = r.Taps[here+1], goodUp
	case a.Votes < -voteThreshold && canDown:
		a.Tap, a.GoodThen = r.Taps[here-1], goodDown
	default:
		a.NoTap = asked > voteThreshold && !canUp || asked < -voteThreshold && !canDown
	}
	return a
}

// ballotsWith gives the ballots for the question's machine and state; live welds count too, and none of them twice.
func (m *Model) ballotsWith(q *Query) []ballot {
	logged := m.ballots[rigState{q.Machine, q.State}]
	if len(q.Live) == 0 {
		return logged
	}
	out := slices.Clone(logged)
	today := ballot{setup: &q.Setup}
	for i := range q.Live {
		w := &q.Live[i]
		if w.learnable() && w.State == q.State {
			today.count(w, 1)
		}
		w = m.welds[w.ID]
		if w == nil || !w.learnable() || w.Machine != q.Machine || w.State != q.State {
			continue
		}
		for k := range out {
			if out[k].setup.cell() == w.cell() {
				out[k].count(w, -1)
			}
		}
	}
	return append(out, today)
}
