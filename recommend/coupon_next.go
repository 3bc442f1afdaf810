package recommend

import (
	"cmp"
	"math"
	"slices"

	"beadwright/procedures"
	"beadwright/recommend/learn"
)

// CouponChoice is one bead that might be welded, and what it would do for the job
// asked about.
type CouponChoice struct {
	Job      procedures.Job      `json:"job"`
	Settings procedures.Settings `json:"settings"`
	Same     bool                `json:"same"`          // the very job asked about
	Before   procedures.Percent  `json:"range_percent"` // half of the 80 % range of the wire speed, of it
	After    procedures.Percent  `json:"range_after_percent"`
	Share    procedures.Share    `json:"share"` // of the model's variance that goes
	Arc      procedures.Seconds  `json:"arc_seconds"`
	Wire     procedures.Grams    `json:"wire_g"`
	Pieces   []CouponPiece       `json:"pieces"`
}

// NextCoupons tells which one bead would narrow the range of a job's wire speed
// most, by the variance of the model of own welds ([learn.Model.Narrow]), the best
// first: the job itself and other thicknesses, joints and flat position, as far as
// the scrap gives the pieces and [Suggest] gives settings. Each is on the tap that
// Suggest sets for it. It says by how much the range narrows, not which way it
// will move; today's beads count as any others.
//
// The range is the model's alone: [Suggest] shows a wider one while the sources of
// its tables disagree and no like weld is logged. Where the job itself gets no
// settings there are no choices. Errors: those of [Coupons].
func NextCoupons(r Request, h History, scrap []Scrap) (Suggestion, []CouponChoice, error) {
	target, err := steppable(r, h)
	if err != nil || !target.Given() {
		return target, nil, err
	}
	past := recall(r, h)
	if past.err != nil {
		return target, nil, procedures.Invalid("welds", past.err.Error(), "a record cannot be used, so nothing can be said of the range", "find the record and correct it")
	}
	ask, ok := past.query(r, target)
	if !ok {
		return target, nil, nil
	}
	now, err := past.model.Suggest(ask)
	if err != nil {
		return target, nil, err
	}
	var choices []CouponChoice
	var asks []learn.Query
	for _, j := range candidates(r, scrap) {
		one := r
		one.Job, one.Words = j, ""
		s, err := answer(one, h, func() *memory { return past })
		if err != nil || !s.Given() || s.Settings.Travel == 0 {
			continue // no table, or nothing that can be welded there
		}
		q, ok := past.query(one, s)
		pieces, fits := onePiece(r.Units, s, scrap)
		if !ok || !fits {
			continue
		}
		c := CouponChoice{Job: s.Job, Settings: s.Settings, Same: q.Setup == ask.Setup, Pieces: pieces}
		p := CouponPlan{Suggestion: s, Beads: []CouponBead{{Settings: s.Settings, Length: pieces[0].Length}}}
		if p.reckon(one) == nil {
			c.Arc, c.Wire = p.Arc, p.Wire
		}
		choices, asks = append(choices, c), append(asks, q)
	}
	gains, err := past.model.Narrow(ask, asks)
	if err != nil {
		return target, nil, err
	}
	for i, g := range gains {
		choices[i].Before, choices[i].After = halfRange(now.SD*now.Widen), halfRange(g.SD*now.Widen)
		choices[i].Share = procedures.Share(g.Share)
	}
	slices.SortStableFunc(choices, func(a, b CouponChoice) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Arc, b.Arc))
	})
	return target, choices, nil
}

// query is what the model is asked for a job that has settings. It goes the way of
// a weld that is logged, so that the bead will be found there.
func (m *memory) query(r Request, s Suggestion) (learn.Query, bool) {
	j := s.Job
	j.Machine, j.State = machineKey(r.Machine)
	t := newTables(r)
	w := procedures.Weld{ID: "coupon", Job: j, Spool: r.Spool, Outcome: procedures.Outcome{Rating: 4},
		Settings: procedures.Settings{Tap: s.Settings.Tap, WireSpeed: procedures.MPerMin(t.of(j))}}
	l, ok := m.shop.weld(&w, t)
	return learn.Query{Setup: l.Setup, TableWireSpeed: l.TableWireSpeed}, ok
}

// halfRange is half of an 80 % range, in per cent, for a standard deviation in ln
// units of a normal distribution.
func halfRange(sd float64) procedures.Percent {
	const ninetieth = 1.2816 // of the standard normal: 1 in 10 lies above
	return procedures.Percent(100 * (math.Exp(ninetieth*sd) - 1))
}

// stockSizes are the thicknesses offered where no scrap is said: those that a shop
// for small jobs has. Common practice, no source.
var stockSizes = []float64{0.0478, 0.0598, 0.0747, 0.1046, 0.125, 0.1875, 0.25}

// candidates are the jobs that a coupon may be of: the one asked about, and bare
// flat pieces of each thickness at hand in each joint, in its position and flat.
func candidates(r Request, scrap []Scrap) []procedures.Job {
	var thick []procedures.MM
	for _, s := range scrap {
		thick = append(thick, s.Thickness)
	}
	if len(scrap) == 0 {
		for _, in := range stockSizes {
			thick = append(thick, procedures.Inches(in))
		}
	}
	jobs := []procedures.Job{r.Job}
	positions := []procedures.Position{r.Job.Position}
	if r.Job.Position != procedures.Flat {
		positions = append(positions, procedures.Flat)
	}
	for _, t := range thick {
		for _, joint := range []procedures.Joint{procedures.Tee, procedures.Lap, procedures.Butt, procedures.Corner} {
			for _, at := range positions {
				j := procedures.Job{Steel: r.Job.Steel, SteelGroup: r.Job.SteelGroup, Thickness: t, Joint: joint, Weld: joint.DefaultWeld(), Position: at, Wire: r.Job.Wire, Process: r.Job.Process}
				same := func(o procedures.Job) bool {
					return o.Joint == j.Joint && o.Position == j.Position && math.Abs(float64(o.Thinner()/t)-1) < 0.005
				}
				if !slices.ContainsFunc(jobs, same) {
					jobs = append(jobs, j)
				}
			}
		}
	}
	return jobs
}

// onePiece lists what one bead of a job is welded on, as large as the scrap gives
// it; false where it does not.
func onePiece(u procedures.Units, s Suggestion, scrap []Scrap) ([]CouponPiece, bool) {
	for _, size := range blankSizes(u) {
		pieces := blanks(s.Job, []CouponBead{{Rung: "B"}}, size)
		if _, missing := cut(pieces, scrap); len(missing) == 0 {
			return pieces, true
		}
	}
	return nil, false
}
