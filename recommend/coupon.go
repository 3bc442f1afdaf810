package recommend

import (
	"math"
	"slices"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/source"
)

// CouponPlan is practice coupons for a job: what to cut, what to set, in which
// order, and the arc, wire and time that it takes. Where the suggestion gives no
// settings nothing else is filled.
type CouponPlan struct {
	Suggestion Suggestion         `json:"-"`
	Rungs      []CouponRung       `json:"rungs"`
	Beads      []CouponBead       `json:"beads"`
	Pieces     []CouponPiece      `json:"pieces"`  // to cut, for all beads together
	Cuts       []CouponCut        `json:"cuts"`    // where they come out of the scrap; empty: no scrap was said
	Missing    []CouponPiece      `json:"missing"` // of Pieces, what the scrap does not give
	Short      []CouponPiece      `json:"short"`   // what the whole ladder asked for would want besides
	Asked      int                `json:"beads_asked"`
	Allowed    procedures.Seconds `json:"arc_seconds_per_10_min"` // at the hottest bead's current
	AllowedBy  Reason             `json:"arc_limit"`
	Arc        procedures.Seconds `json:"arc_seconds"`
	Wire       procedures.Grams   `json:"wire_g"`
	WireRange  [2]float64         `json:"wire_range_g"` // by what a metre of the wire may weigh
	Fed        procedures.MM      `json:"wire_mm"`
	Rest       float64            `json:"rest_seconds"`
	Clock      procedures.Seconds `json:"clock_seconds"` // from the first arc to the last, rests included
}

// CouponRung is a step of the ladder. One factor moves on it, or none.
type CouponRung struct {
	Letter string `json:"rung"`
	Moved  string `json:"moved"` // JSON key of the setting that moves; "" none
	Beads  int    `json:"beads"`
}

// CouponBead is one bead of a plan, on pieces of its own.
type CouponBead struct {
	Number   int                 `json:"number"`
	Rung     string              `json:"rung"`
	Moved    string              `json:"moved"`   // JSON key of the setting moved; "" none
	Percent  float64             `json:"percent"` // by how much, against the suggestion; 0: not at all
	Settings procedures.Settings `json:"settings"`
	Length   procedures.MM       `json:"length_mm"`     // of each pass
	Arc      procedures.Seconds  `json:"arc_seconds"`   // all passes together, whole seconds
	Rest     float64             `json:"rest_seconds"`  // before it and between its passes; 0: none owed
	Start    float64             `json:"start_seconds"` // after the first arc of the plan
	Fed      procedures.MM       `json:"wire_mm"`
	Wire     procedures.Grams    `json:"wire_g"`

	passes []source.Spell
}

// CouponOptions say what there is to practice with.
type CouponOptions struct {
	Scrap []Scrap // none: cut from stock
	Beads int     // at most so many, 1 to 12; 0: the whole ladder
}

// LadderBeads is how many beads the whole ladder has.
const LadderBeads = 12

// ladders are the ladder and what is left of it where there is less time or steel:
// first the beads that repeat one of the rung before, then stick-out, pace and the
// pad. Two alike to break are the last to go. Beads on rungs A to E.
var ladders = [][5]int{{1, 3, 3, 3, 2}, {1, 3, 2, 2, 2}, {1, 3, 2, 0, 2}, {1, 3, 0, 0, 2}, {0, 3, 0, 0, 2}, {1, 0, 0, 0, 2}, {0, 0, 0, 0, 2}, {0, 0, 0, 0, 1}}

// Coupons plans practice coupons for a job: a pad, then the knob, the pace and the
// stick-out one at a time about what [Suggest] gives, then the best of them twice,
// to break. The steps of the knob come from the suggestion's own range. The later
// rungs are reckoned at the suggestion; the welder goes on from the best.
//
// Beads are laid on the clock so that no 10 min hold more arc than the machine
// allows at the hottest of them, and each is paid for before the next. Sizes and
// steps are common practice, no source. Where the scrap does not give the pieces,
// the longest ladder that it gives is planned.
//
// Errors: those of [Suggest], and [*procedures.InvalidError] for a wish that no
// ladder meets.
func Coupons(r Request, h History, o CouponOptions) (CouponPlan, error) {
	if o.Beads < 0 || o.Beads > LadderBeads {
		return CouponPlan{}, procedures.Invalid("beads", trim(float64(o.Beads)), "the ladder has 1 to 12 beads", "4 to 6 a joint are plenty where it is nearly right (common practice, no source)")
	}
	if o.Beads == 0 {
		o.Beads = LadderBeads
	}
	s, err := steppable(r, h)
	p := CouponPlan{Suggestion: s, Asked: o.Beads}
	if err != nil || !s.Given() {
		return p, err
	}
	steps := stepsOf(r, s)
	want := slices.IndexFunc(ladders, func(l [5]int) bool { return count(l) <= o.Beads })
	found := false
	for n := want; n < len(ladders) && !found; n++ {
		for _, size := range blankSizes(r.Units) {
			beads := steps.ladder(s, ladders[n], size)
			pieces := blanks(s.Job, beads, size)
			cuts, missing := cut(pieces, o.Scrap)
			if n == want && p.Beads == nil { // as asked, in case nothing fits
				p.Beads, p.Pieces, p.Cuts, p.Missing, p.Short = beads, pieces, cuts, missing, missing
			}
			if found = len(o.Scrap) == 0 || len(missing) == 0; found {
				p.Beads, p.Pieces, p.Cuts, p.Missing = beads, pieces, cuts, nil
				if n == want {
					p.Short = nil
				}
				break
			}
		}
	}
	if err := p.reckon(r); err != nil {
		return CouponPlan{Suggestion: s}, err
	}
	p.rungs()
	return p.listed(), nil
}

// steppable asks for the suggestion that a plan moves about, and refuses what has
// no wire speed or no pace to step.
func steppable(r Request, h History) (Suggestion, error) {
	s, err := Suggest(r, h)
	switch {
	case err != nil || !s.Given():
	case r.Job.Process == procedures.SMAW:
		err = procedures.Invalid("wire", r.Job.Wire.String(), "a covered electrode has no wire speed to step", "name a wire: 0.035 E71T-11, 0.030 E71T-GS, 0.035 ER70S-6 co2")
	case s.Settings.WireSpeed == 0 || s.Settings.Travel == 0:
		err = procedures.Invalid("weld", string(r.Job.Weld), "this weld has no pace, so there is no ladder of it", "ask for a tee, a lap, a butt or a corner; a plug is learned by filling three and peeling them apart")
	}
	return s, err
}

func count(l [5]int) (n int) {
	for _, k := range l {
		n += k
	}
	return n
}

// rungs lists the steps with beads on them, in order.
func (p *CouponPlan) rungs() {
	for _, b := range p.Beads {
		if n := len(p.Rungs); n == 0 || p.Rungs[n-1].Letter != b.Rung {
			p.Rungs = append(p.Rungs, CouponRung{Letter: b.Rung})
		}
		rung := &p.Rungs[len(p.Rungs)-1]
		rung.Beads++
		if b.Moved != "" {
			rung.Moved = b.Moved
		}
	}
}

// listed has lists where there would be none.
func (p CouponPlan) listed() CouponPlan {
	p.Cuts, p.Missing, p.Short = append([]CouponCut{}, p.Cuts...), append([]CouponPiece{}, p.Missing...), append([]CouponPiece{}, p.Short...)
	return p
}

// reckon fills in arc, wire and clock, and adds them up.
func (p *CouponPlan) reckon(r Request) error {
	hottest := p.Suggestion.Settings.Current
	for _, b := range p.Beads {
		hottest = max(hottest, b.Settings.Current)
	}
	a, err := source.Allow(r.Machine, hottest, nil)
	if err != nil {
		return err
	}
	p.Allowed, p.AllowedBy = a.Arc, Reason{a.Note, a.Source}
	if err := onClock(p.Beads, a.Arc); err != nil {
		return err
	}
	mass, err := arc.WireMass(p.Suggestion.Job.Wire)
	if err != nil {
		return err
	}
	for i := range p.Beads {
		b := &p.Beads[i]
		b.Fed = procedures.MM(float64(b.Settings.WireSpeed) * 1000 * float64(b.Arc) / 60)
		b.Wire = procedures.Grams(float64(b.Fed) / 1000 * mass.Value)
		p.Arc, p.Rest, p.Fed, p.Wire = p.Arc+b.Arc, p.Rest+b.Rest, p.Fed+b.Fed, p.Wire+b.Wire
	}
	p.Clock = p.Arc + procedures.Seconds(p.Rest)
	p.WireRange = [2]float64{procedures.Round(float64(p.Wire) * mass.Low / mass.Value), procedures.Round(float64(p.Wire) * mass.High / mass.Value)}
	return nil
}

// onClock gives the beads their arc and their rests. Each pass is paid for, by
// the share of the time that the arc may burn, before the next begins, and no 10
// min hold more than is allowed. A pass that would take more than that is cut
// short. Rests are rounded up to whole seconds.
func onClock(beads []CouponBead, allowed procedures.Seconds) error {
	var all []source.Spell
	now, owed := procedures.Seconds(0), procedures.Seconds(0)
	for i := range beads {
		b := &beads[i]
		t := procedures.Seconds(math.Max(1, math.Round(float64(b.Length)/float64(b.Settings.Travel)*60)))
		if t > allowed {
			t = procedures.Seconds(math.Max(1, math.Floor(float64(allowed))))
			b.Length = procedures.MM(float64(t) / 60 * float64(b.Settings.Travel))
		}
		for pass := range max(1, int(b.Settings.Passes)) {
			left, err := source.Spend(all, now, allowed, t)
			if err != nil {
				return err
			}
			rest := procedures.Seconds(math.Ceil(float64(max(owed, left.Rest)) - 1e-9))
			now += rest
			if pass == 0 {
				b.Start = float64(now)
			}
			spell := source.Spell{From: now, To: now + t}
			all, b.passes = append(all, spell), append(b.passes, spell)
			b.Arc, b.Rest = b.Arc+t, b.Rest+float64(rest)
			now += t
			if owed, err = source.RestAfter(t, procedures.Percent(100*allowed/source.Period)); err != nil {
				return err
			}
		}
	}
	return nil
}
