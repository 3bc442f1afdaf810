package learn

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// coupon is a bead as Narrow imagines it: in a session of its own, rated 4. Its place in time does not make a spool newer.
func coupon(s Setup) Weld {
	return Weld{ID: "coupon", Setup: s, Session: "coupon", TableWireSpeed: 5, WireSpeed: 5.3, Rating: 4}
}

// The closed form is what a fit with the bead logged gives, as long as weights are held at 1: before the robust passes.
func TestNarrowIsRefit(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, target := drawWelds(t, "w", 30), drawQuery(t)
		candidates := []Query{{Setup: target.Setup}}
		for range 4 {
			candidates = append(candidates, Query{Setup: drawSetup(t, drawMachine(t))})
		}
		fresh := drawSetup(t, "blue") // somebody and something never logged
		fresh.User, fresh.Spool, fresh.Joint, fresh.ThicknessIn = "cy", "a new spool", "edge", 0.2
		candidates = append(candidates, Query{Setup: fresh})
		if len(welds) > 0 {
			candidates = append(candidates, Query{Setup: welds[0].Setup})
		}
		if rapid.Bool().Draw(t, "live logged") {
			welds = append(welds, target.Live...)
		}
		for _, u := range []tune{onePass, {1, 0}} {
			m := mustModel(t, shop(), welds, u)
			before := mustSuggest(t, m, target).SD
			gains, err := m.Narrow(target, candidates)
			if err != nil {
				t.Fatal(err)
			}
			for i, c := range candidates {
				after := mustSuggest(t, mustModel(t, shop(), append(slices.Clone(welds), coupon(c.Setup)), u), target).SD
				if math.Abs(gains[i].SD-after) > 1e-10 || math.Abs(gains[i].Share-(1-after*after/before/before)) > 1e-9 {
					t.Fatalf("candidate %d, sd %.12g before: %+v, refitted %.12g", i, before, gains[i], after)
				}
			}
		}
	})
}

// The same with more spools than have columns, some of the candidates' among them.
func TestNarrowOldSpools(t *testing.T) {
	for book := range uint64(50) {
		r := rand.New(rand.NewPCG(book, 3))
		target, welds := wildNotebook(r)
		target.Limits, target.OtherTaps = Limits{}, nil
		for i := range explicitSpools { // the last eight, which a coupon of no date does not change
			w := wildWeld(r, fmt.Sprint("last ", i), wildSetup(r))
			w.Spool, w.Rating, w.Heat, w.Time = fmt.Sprint("last ", i), 4, 0, testEpoch.AddDate(5, 0, i)
			welds = append(welds, w)
		}
		candidates := []Query{target, {Setup: wildSetup(r)}, {Setup: pick(r, welds).Setup}, {Setup: pick(r, welds).Setup}}
		for _, u := range []tune{onePass, {1, 0}} {
			m := mustModel(t, shop(), welds, u)
			gains, err := m.Narrow(target, candidates)
			if err != nil {
				t.Fatal(err)
			}
			for i, c := range candidates {
				after := mustSuggest(t, mustModel(t, shop(), append(slices.Clone(welds), coupon(c.Setup)), u), target).SD
				near(t, fmt.Sprintf("notebook %d, candidate %d, exact up to %d: sd", book, i, u.exact), gains[i].SD, after, 1e-10)
			}
		}
	}
}

// With the weights that the robust passes left, it is what those rows and one more give.
func TestNarrowHoldsWeights(t *testing.T) {
	for book := range uint64(50) {
		r := rand.New(rand.NewPCG(book, 4))
		target, welds := wildNotebook(r)
		m := mustModel(t, shop(), welds, usual)
		a, err := m.ask(&target)
		if err != nil {
			t.Fatal(err)
		}
		c := target
		gains, err := m.Narrow(target, []Query{c})
		if err != nil {
			t.Fatal(err)
		}
		s := newSystem(a.cols.size())
		var kept float64 // precision of the sessions of the target's own group
		for i := range a.trials {
			for k, g := range a.trials[i].groups {
				if g.setup.sameGroup(&target.Setup) {
					kept += a.trials[i].rows[k].precision // its cell and spool have columns: nothing is left over
				} else {
					s.add(a.trials[i].terms, a.trials[i].rows[k], 1)
				}
			}
		}
		w := 1.10 * halfWindow(target.ThicknessIn)
		s.add(a.terms, row{kept + 1/(w*w+sdSession*sdSession), 0}, 1)
		p, err := s.solve()
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("notebook %d: sd", book), gains[0].SD, math.Sqrt(p.variance(a.terms)), 1e-12)
	}
}

func TestNarrowBasics(t *testing.T) {
	m := mustModel(t, shop(), several(3, tee(), 110, 5, 0, 0), usual)
	target := Query{Setup: tee(), TableWireSpeed: 5}
	like, unlike := target, target
	like.ThicknessIn = 0.1345
	unlike.Machine, unlike.State, unlike.Joint, unlike.Position, unlike.WireDiameterIn, unlike.Tap, unlike.User = "red", "liner", "butt", "overhead", 0.035, "low", "bo"
	gains, err := m.Narrow(target, []Query{target, like, unlike})
	if err != nil {
		t.Fatal(err)
	}
	if !(gains[0].Share > gains[1].Share && gains[1].Share > gains[2].Share && gains[2].Share > 0) {
		t.Errorf("the job itself, one like it, one unlike it: %+v", gains)
	}
	again, _ := m.Narrow(target, []Query{target, like, unlike})
	if !slices.Equal(gains, again) {
		t.Errorf("asked twice: %+v and %+v", gains, again)
	}
	if none, err := m.Narrow(target, nil); err != nil || len(none) != 0 {
		t.Errorf("no candidates: %v %v", none, err)
	}
	unlike.Tap = "middle"
	var in *InputError
	if _, err := m.Narrow(target, []Query{target, unlike}); !errors.As(err, &in) || in.Field != "tap" || in.Record != "candidate 2" {
		t.Errorf("a tap that is not there: %v", err)
	}
	if _, err := m.Narrow(Query{Setup: tee()}, []Query{target}); !errors.Is(err, ErrNoTable) {
		t.Errorf("no table for the target: %v", err)
	}
}

// A coupon chosen by Narrow narrows the range, once it is welded, rated and fitted, more than one chosen at random.
func TestChosenCouponNarrowsMore(t *testing.T) {
	const trials, candidates, least = 200, 8, 160
	better := 0
	for book := range uint64(trials) {
		w := newWorld(otherTruths[0], 120_000+book)
		log, spool := w.log(nil, 20)
		x := newExam(w, log)
		job := func() Query {
			s := w.anyJob()
			s.Spool = spool
			return Query{Setup: s, TableWireSpeed: table(&s)}
		}
		target := job()
		var offered []Query
		for len(offered) < candidates {
			if q := job(); q.cell() != target.cell() {
				offered = append(offered, q)
			}
		}
		gains, err := x.model.Narrow(target, offered)
		if err != nil {
			t.Fatal(err)
		}
		best := 0
		for i, g := range gains {
			if g.Share > gains[best].Share {
				best = i
			}
		}
		other := w.r.IntN(candidates - 1)
		if other >= best {
			other++
		}
		seed := w.r.Uint64()
		width := func(q Query) float64 {
			bead, _ := w.weld(rand.New(rand.NewPCG(seed, 2)), "coupon", testEpoch.AddDate(1, 0, 0), q.Setup, "coupon", suggested(x, q), 0)
			e := mustSuggest(t, mustModel(t, []Machine{w.rig()}, append(slices.Clone(log), bead), usual), target)
			return e.Widen * e.SD
		}
		if width(offered[best]) < width(offered[other]) {
			better++
		}
	}
	t.Logf("better in %d of %d trials", better, trials)
	if better < least {
		t.Errorf("the chosen coupon narrowed the range more than a random one in %d of %d trials, want %d", better, trials, least)
	}
}

// sameGroup reports whether welds of both setups share every feature.
func (s *Setup) sameGroup(t *Setup) bool {
	return s.clan() == t.clan() && s.Spool == t.Spool && s.cell() == t.cell()
}
