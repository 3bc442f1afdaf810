package learn

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestNoLogIsTable(t *testing.T) {
	check(t, func(t *rapid.T) {
		q := drawQuery(t)
		q.Live = nil
		for _, u := range []tune{usual, cached} {
			e := mustSuggest(t, mustModel(t, shop(), nil, u), q)
			if math.Abs(e.WireSpeed-q.TableWireSpeed) > 1e-12 || e.F != 0 || e.Widen != 1 || e.Tap != q.Tap {
				t.Fatalf("with no welds: %+v", e)
			}
		}
	})
}

func TestRepeatIsBitEqual(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 40), drawQuery(t)
		shuffled := rapid.Permutation(welds).Draw(t, "shuffled")
		reversed := slices.Clone(q.Live)
		slices.Reverse(reversed)
		for _, u := range []tune{usual, cached} {
			a := mustNext(t, mustModel(t, shop(), welds, u), q)
			b := mustNext(t, mustModel(t, shop(), welds, u), q)
			other := q
			other.Live = reversed
			c := mustNext(t, mustModel(t, shop(), shuffled, u), other)
			for _, x := range []Next{b, c} {
				if d := cmp.Diff(a, x); d != "" {
					t.Fatalf("not the same again:\n%s", d)
				}
			}
		}
	})
}

// Striking a weld, or logging one without settings or rating, is as if it had never been.
func TestStruckIsNeverLogged(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		bare := drawWeld(t, "bare", drawSetup(t, drawMachine(t)))
		switch rapid.IntRange(0, 2).Draw(t, "lacks") {
		case 0:
			bare.Rating = 0
		case 1:
			bare.WireSpeed = 0
		case 2:
			bare.TableWireSpeed = 0
		}
		a := mustNext(t, mustModel(t, shop(), welds, usual), q)
		b := mustNext(t, mustModel(t, shop(), append(slices.Clone(welds), bare), usual), q)
		if d := cmp.Diff(a, b); d != "" {
			t.Fatalf("a weld that cannot be learned from changed the answer:\n%s", d)
		}
	})
}

func TestAlwaysWithinLimits(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		limit := func(name string) float64 {
			if rapid.Bool().Draw(t, name) {
				return 0
			}
			return rapid.Float64Range(1, 14).Draw(t, name)
		}
		q.Limits = Limits{limit("table min") / 2, limit("table max"), limit("wire min") / 2, limit("wire max"), limit("machine min") / 2, limit("machine max")}
		n, err := mustModel(t, shop(), welds, usual).NextBead(q)
		if _, none := err.(*LimitsError); none {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		if problem := n.outside(q); problem != "" {
			t.Fatal(problem)
		}
	})
}

// Before reweighting, one more row can only narrow the answer.
func TestMoreRowsNeverWiden(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		more := drawWeld(t, "more", drawSetup(t, drawMachine(t)))
		a := mustSuggest(t, mustModel(t, shop(), welds, onePass), q)
		b := mustSuggest(t, mustModel(t, shop(), append(slices.Clone(welds), more), onePass), q)
		if b.SD > a.SD*(1+1e-12) {
			t.Fatalf("sd grew from %.15g to %.15g", a.SD, b.SD)
		}
	})
}

// A good weld of this very setup, set above f, never lowers f before reweighting. For merely correlated jobs this can
// fail: the welds already logged can turn a positive prior correlation round.
func TestGoodWeldAbovePullsUp(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		q.Live = nil
		a := mustSuggest(t, mustModel(t, shop(), welds, onePass), q)
		good := drawWeld(t, "good", q.Setup)
		good.Session, good.Heat, good.Balance, good.Rating = "its own", 0, 0, rapid.IntRange(4, 5).Draw(t, "good")
		good.WireSpeed = good.TableWireSpeed * math.Exp(a.F+rapid.Float64Range(0, 0.3).Draw(t, "above"))
		b := mustSuggest(t, mustModel(t, shop(), append(slices.Clone(welds), good), onePass), q)
		if b.F < a.F-1e-12 {
			t.Fatalf("f fell from %g to %g", a.F, b.F)
		}
	})
}

// As written in the method: with an empty log, a good weld above the table on a job with prior correlation above 0.3
// never lowers f.
func TestFirstGoodWeldPullsLikeJobs(t *testing.T) {
	check(t, func(t *rapid.T) {
		q := drawQuery(t)
		q.Live = nil
		good := drawWeld(t, "good", drawSetup(t, drawMachine(t)))
		good.Heat, good.Balance, good.Rating = 0, 0, 5
		good.WireSpeed = good.TableWireSpeed * 1.2
		m := mustModel(t, shop(), []Weld{good}, onePass)
		a, err := m.ask(&q)
		if err != nil {
			t.Fatal(err)
		}
		l := a.likeness(&q)
		r := l.correlation(l.shared(a.trials[0].terms), a.trials[0].prior())
		if r > 0.3 && a.f < 0 {
			t.Fatalf("f = %g with prior correlation %g", a.f, r)
		}
		if (a.f > 0) != (r > 0) && math.Abs(r) > 1e-9 {
			t.Fatalf("f = %g, prior correlation %g", a.f, r)
		}
	})
}

func TestOwnMachineWeighsMore(t *testing.T) {
	check(t, func(t *rapid.T) {
		q := drawQuery(t)
		q.Live = nil
		q.State = "new"
		move := func(machine string) float64 {
			w := Weld{ID: "w", Setup: q.Setup, TableWireSpeed: 5, WireSpeed: 6, Rating: 5}
			w.Machine = machine
			return mustSuggest(t, mustModel(t, shop(), []Weld{w}, usual), q).F
		}
		other := map[string]string{"red": "blue", "blue": "red"}[q.Machine]
		if own, others := move(q.Machine), move(other); !(own > others && others > 0) {
			t.Fatalf("the same weld moves f by %g on this machine, by %g on the other", own, others)
		}
	})
}

// Millimetres, inches and other speed units are the caller's: scaling all speeds, or reaching a thickness by way of
// millimetres, changes nothing but the scale.
func TestUnitsChangeNothing(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		a := mustNext(t, mustModel(t, shop(), welds, usual), q)
		const scale = 1 / 0.0254 / 12 // feet per minute
		turn := func(w Weld) Weld {
			w.ThicknessIn = w.ThicknessIn * 25.4 / 25.4 * (1 + 1e-15)
			w.WireDiameterIn = w.WireDiameterIn * 25.4 / 25.4
			w.WireSpeed, w.TableWireSpeed = w.WireSpeed*scale, w.TableWireSpeed*scale
			return w
		}
		for i := range welds {
			welds[i] = turn(welds[i])
		}
		q.Live = slices.Clone(q.Live)
		for i := range q.Live {
			q.Live[i] = turn(q.Live[i])
		}
		q.ThicknessIn *= 1 + 1e-15
		q.TableWireSpeed *= scale
		b := mustNext(t, mustModel(t, shop(), welds, usual), q)
		if math.Abs(a.F-b.F) > 1e-12 || math.Abs(a.SD-b.SD) > 1e-12 || math.Abs(a.WireSpeed*scale/b.WireSpeed-1) > 1e-9 {
			t.Fatalf("f %g sd %g speed %g, in other units %g %g %g", a.F, a.SD, a.WireSpeed, b.F, b.SD, b.WireSpeed/scale)
		}
	})
}

func TestContributionsAddUp(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		e := mustSuggest(t, mustModel(t, shop(), welds, usual), q)
		var sum float64
		for i, c := range e.Contributions {
			sum += c.LogShift
			if i > 0 && math.Abs(c.LogShift) > math.Abs(e.Contributions[i-1].LogShift)+1e-9 {
				t.Fatalf("not the largest first: %v", e.Contributions)
			}
		}
		if math.Abs(sum-e.F) > 1e-12 {
			t.Fatalf("contributions add up to %g, f is %g", sum, e.F)
		}
	})
}
