package learn

import (
	"math"
	"slices"
)

// Rules by which NextBead came to its wire speed.
const (
	RuleModel = "model" // as the model says
	RuleCure  = "cure"  // away from the last setting toward the cure, 5 to 30 %
	RuleProbe = "probe" // a setting not tried yet, as nothing says which way
	RuleKeep  = "keep"  // the last bead was good
)

// Next is the setting for the next bead of a job under way. Its range reaches at least to WireSpeed.
type Next struct {
	Estimate
	Rule      string  `json:"rule"`
	Bracketed bool    `json:"bracketed"` // held between a setting with too little wire and one with too much
	Stuck     bool    `json:"stuck"`     // no wire speed within the limits is left to try on this tap
	Last      float64 `json:"last_wire_speed"`
	LastSide  int     `json:"last_side"` // +1 the last bead had too much wire, -1 too little, 0 good or not known
}

// sameSetting is how near in ln units two settings must be to count as one, nearlyTried as not worth a probe.
const (
	sameSetting = 0.01
	nearlyTried = 0.03
	noOpinion   = 0.005
)

// NextBead returns the setting for the bead after q.Live. It stays on q.Tap; TapAdvice says if the symptoms speak for
// another. Without rated live welds it is Suggest. Errors are those of Suggest.
func (m *Model) NextBead(q Query) (Next, error) {
	var live []*Weld
	for i := range q.Live {
		if q.Live[i].learnable() {
			live = append(live, &q.Live[i])
		}
	}
	if len(live) == 0 {
		e, err := m.Suggest(q)
		return Next{Estimate: e, Rule: RuleModel}, err
	}
	if err := q.check(m.fleet); err != nil {
		return Next{}, err
	}
	slices.SortFunc(live, compareTime)
	e, b, err := m.estimate(&q)
	if err != nil {
		return Next{}, err
	}
	e.TapAdvice = m.adviseTap(&q)
	n := Next{Estimate: e}
	n.guard(live, b, q.ThicknessIn)
	n.Low, n.High = min(n.Low, n.WireSpeed), max(n.High, n.WireSpeed)
	return n, nil
}

// guard applies the rules for a job under way to the model's answer.
func (n *Next) guard(live []*Weld, b bounds, thicknessIn float64) {
	last := live[len(live)-1]
	n.Last = last.WireSpeed
	if last.good() {
		n.Rule = RuleKeep
		n.Wish = n.Last
		n.setSpeed(n.Last, b)
		return
	}
	n.LastSide = last.direction()
	room := reach{b.min, b.max}
	between, ok := bracket(live)
	if inner := room.cut(between); ok && !inner.empty() {
		room, n.Bracketed = inner, true
	}
	if n.LastSide != 0 {
		n.cure(live, b, room)
		return
	}
	model := room.nearest(n.WireSpeed)
	if math.Abs(math.Log(model/n.Last)) >= modelMoves && !tried(live, model, sameSetting) {
		n.Rule = RuleModel
		n.Wish = room.nearest(n.Wish)
		n.setSpeed(model, b)
		return
	}
	n.Rule = RuleProbe
	v, found := probe(live, room, firstSide(model, n.Last, thicknessIn))
	n.Wish, n.Stuck = v, !found
	n.setSpeed(v, b)
}

// cure moves toward the cure, within the room, and not onto a setting that failed before.
func (n *Next) cure(live []*Weld, b bounds, room reach) {
	n.Rule = RuleCure
	step := reach{n.Last * (1 + minCure), n.Last * (1 + maxCure)}
	beyond := reach{n.Last, math.Inf(1)}
	if n.LastSide > 0 {
		step = reach{n.Last * (1 - maxCure), n.Last * (1 - minCure)}
		beyond = reach{0, n.Last}
	}
	n.Wish = step.nearest(n.Wish)
	// Near a limit or in a narrow bracket the whole step does not fit; then as much of it as does, or nothing.
	where := room.cut(step)
	if where.empty() {
		where = room.cut(beyond)
	}
	if where.empty() {
		n.Stuck = true
		n.setSpeed(n.Wish, b)
		return
	}
	v, found := untried(live, where, where.nearest(n.WireSpeed))
	n.Stuck = !found
	n.setSpeed(v, b)
	if n.LimitHit == "" && math.Abs(math.Log(v/n.Wish)) > 1e-9 {
		_, n.LimitHit = b.hold(n.Wish)
	}
}

// reach is a closed range of wire speeds, m/min.
type reach struct{ min, max float64 }

func (r reach) empty() bool               { return r.min > r.max }
func (r reach) has(v float64) bool        { return v >= r.min && v <= r.max }
func (r reach) nearest(v float64) float64 { return min(r.max, max(r.min, v)) }
func (r reach) cut(s reach) reach         { return reach{max(r.min, s.min), min(r.max, s.max)} }

// bracket is the middle 60 % (in ln) between the highest failure with too little wire and the lowest with too much.
// False if one side is missing or the two cross.
func bracket(live []*Weld) (reach, bool) {
	low, high := 0.0, math.Inf(1)
	for _, w := range live {
		switch {
		case w.good():
		case w.direction() < 0:
			low = max(low, w.WireSpeed)
		case w.direction() > 0:
			high = min(high, w.WireSpeed)
		}
	}
	if low == 0 || math.IsInf(high, 1) || low >= high {
		return reach{}, false
	}
	d := bracketMargin * math.Log(high/low)
	return reach{low * math.Exp(d), high * math.Exp(-d)}, true
}

// tried reports whether a live weld that was not good was set within the distance, in ln units, of v.
func tried(live []*Weld, v, distance float64) bool {
	return slices.ContainsFunc(live, func(w *Weld) bool {
		return !w.good() && math.Abs(math.Log(v/w.WireSpeed)) < distance*(1-1e-9)
	})
}

// untried returns v, or the nearest setting in the range that is no repetition of a failed one; false and v if none is.
func untried(live []*Weld, where reach, v float64) (float64, bool) {
	if !tried(live, v, sameSetting) {
		return v, true
	}
	best, found := v, false
	for _, w := range live {
		for _, c := range []float64{w.WireSpeed * math.Exp(sameSetting), w.WireSpeed * math.Exp(-sameSetting)} {
			if where.has(c) && !tried(live, c, sameSetting) && (!found || math.Abs(c-v) < math.Abs(best-v)) {
				best, found = c, true
			}
		}
	}
	return best, found
}

// firstSide is the side to probe first: the model's, else more wire from 16 gauge up and less for thinner.
func firstSide(model, last, thicknessIn float64) float64 {
	switch d := math.Log(model / last); {
	case d > noOpinion:
		return 1
	case d < -noOpinion:
		return -1
	case settle(thicknessIn) >= gauge16In:
		return 1
	}
	return -1
}

// probe picks, of the last setting +12 %, -12 %, +24 % ..., the untried one nearest the best-rated setting so far; the
// middle of the widest gap if none of them is left in the room; false if there is no gap either.
func probe(live []*Weld, room reach, side float64) (float64, bool) {
	last := live[len(live)-1]
	best := last
	for _, w := range slices.Backward(live) {
		if w.Rating > best.Rating {
			best = w
		}
	}
	var pick float64
	for k := 1.0; k*probeStep < 1; k++ {
		for _, s := range []float64{side, -side} {
			v := last.WireSpeed * (1 + s*k*probeStep)
			if !room.has(v) || tried(live, v, nearlyTried) {
				continue
			}
			// Equal distances go to the earlier one in the sequence.
			if gain := math.Abs(pick-best.WireSpeed) - math.Abs(v-best.WireSpeed); pick == 0 || gain > 1e-9*best.WireSpeed {
				pick = v
			}
		}
	}
	if pick > 0 {
		return pick, true
	}
	marks := []float64{room.min, room.max}
	for _, w := range live {
		if room.has(w.WireSpeed) {
			marks = append(marks, w.WireSpeed)
		}
	}
	slices.Sort(marks)
	gap := 0.0
	for i := range len(marks) - 1 {
		v := math.Sqrt(marks[i] * marks[i+1])
		if g := math.Log(marks[i+1] / marks[i]); g > gap && !tried(live, v, sameSetting) {
			gap, pick = g, v
		}
	}
	if pick > 0 {
		return pick, true
	}
	return room.nearest(last.WireSpeed), false
}
