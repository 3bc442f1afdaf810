package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// With all weights at 1 and no failure to impute, an answer from the cache is the answer (all but the
// widening, which takes the residuals of other jobs from the fit without this one singled out).
func TestCacheIsExactInOnePass(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 60), drawQuery(t)
		a := mustSuggest(t, mustModel(t, shop(), welds, onePass), q)
		b := mustSuggest(t, mustModel(t, shop(), welds, tune{1, 0}), q)
		if math.Abs(a.F-b.F) > 1e-12 || math.Abs(a.SD-b.SD) > 1e-12 {
			t.Fatalf("f %g sd %g afresh, f %g sd %g from the cache", a.F, a.SD, b.F, b.SD)
		}
		if a.GoodLike != b.GoodLike || a.FailedLike != b.FailedLike || !slices.Equal(a.LikeIDs, b.LikeIDs) {
			t.Fatalf("like welds %d %d %v afresh, %d %d %v from the cache", a.GoodLike, a.FailedLike, a.LikeIDs, b.GoodLike, b.FailedLike, b.LikeIDs)
		}
	})
}

// At the size from which the cache is used, keeping the weights of other jobs costs less than 0.3 % of wire speed.
func TestCacheOnBigLog(t *testing.T) {
	machines, welds := bigLog(exactBeads + 1)
	fresh := mustModel(t, machines, welds, tune{passes, len(welds)})
	model := mustModel(t, machines, welds, usual)
	for i := 0; i < len(welds); i += 97 {
		q := Query{Setup: welds[i].Setup, TableWireSpeed: 5}
		a, b := mustSuggest(t, fresh, q), mustSuggest(t, model, q)
		near(t, "f", b.F, a.F, 0.003)
		near(t, "sd", b.SD, a.SD, 0.01*a.SD)
		near(t, "widen", b.Widen, a.Widen, 1e-3)
	}
}

// A big log gives the same answers bit for bit when built again, in any order, and when many ask one model at once; sessions
// by name or by day.
func TestBigLogInAnyOrder(t *testing.T) {
	machines, welds := bigLog(3 * exactBeads)
	for _, named := range []bool{true, false} {
		if !named {
			for i := range welds {
				welds[i].Session = ""
			}
		}
		ask := func(m *Model) (out []any) {
			for i := range 20 {
				q := Query{Setup: tee(), TableWireSpeed: 5}
				q.Machine, q.User, q.State, q.ThicknessIn = fmt.Sprint("m", i%3), "u1", "s2", testSizes[i%len(testSizes)]
				q.Spool = fmt.Sprint("spool", 7*i)
				n, err := m.NextBead(q)
				gains, also := m.Narrow(q, []Query{q})
				if err != nil || also != nil {
					panic(fmt.Sprint(err, also))
				}
				question, _ := m.Drift(q.Machine)
				out = append(out, n, gains, question)
			}
			return out
		}
		m := mustModel(t, machines, welds, usual)
		want := ask(m)
		shuffled := slices.Clone(welds)
		rand.New(rand.NewPCG(1, 1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		for name, log := range map[string][]Weld{"again": welds, "shuffled": shuffled} {
			if d := cmp.Diff(want, ask(mustModel(t, machines, log, usual))); d != "" {
				t.Errorf("named sessions %v, %s:\n%s", named, name, d)
			}
		}
		answers := make(chan []any)
		for range 4 {
			go func() { answers <- ask(m) }()
		}
		for range 4 {
			if d := cmp.Diff(want, <-answers); d != "" {
				t.Errorf("named sessions %v, asked at once:\n%s", named, d)
			}
		}
	}
}

// A weld of today that is in the log already counts once, as live.
func TestLiveCountsOnce(t *testing.T) {
	check(t, func(t *rapid.T) {
		welds, q := drawWelds(t, "w", 30), drawQuery(t)
		for _, u := range []tune{usual, {1, 0}} {
			a := mustNext(t, mustModel(t, shop(), welds, u), q)
			b := mustNext(t, mustModel(t, shop(), append(slices.Clone(welds), q.Live...), u), q)
			if math.Abs(a.F-b.F) > 1e-12 || math.Abs(a.SD-b.SD) > 1e-12 || a.GoodLike != b.GoodLike || math.Abs(a.TapAdvice.Votes-b.TapAdvice.Votes) > 1e-12 {
				t.Fatalf("logged and live: %+v, live only: %+v", b.Estimate, a.Estimate)
			}
		}
	})
}

// So one model goes through a job: asked with the beads made since as live, it says what a model with those in its log says.
// In a big log, other jobs keep the weights they had, which costs less than 0.1 % of wire speed.
func TestLiveNeedsNoRebuild(t *testing.T) {
	machines, welds := bigLog(2 * exactBeads)
	m := mustModel(t, machines, welds, usual)
	for i := 0; i < len(welds); i += 997 {
		q := Query{Setup: welds[i].Setup, TableWireSpeed: 5}
		for k, heat := range []int{-1, 1, 0} {
			w := made(k, q.Setup, 100, 2, heat, 0)
			w.ID = fmt.Sprint("live ", k)
			q.Live = append(q.Live, w)
		}
		logged := mustNext(t, mustModel(t, machines, append(slices.Clone(welds), q.Live...), usual), q)
		n := mustNext(t, m, q)
		near(t, "f", n.F, logged.F, 1e-3)
		near(t, "sd", n.SD, logged.SD, 1e-3)
		near(t, "wire speed", n.WireSpeed, logged.WireSpeed, 1e-3*logged.WireSpeed)
		if n.GoodLike != logged.GoodLike || n.FailedLike != logged.FailedLike || n.TapAdvice != logged.TapAdvice {
			t.Errorf("live only %+v, logged too %+v", n, logged)
		}
	}
}

// The welds counted and named as like, in a big log, are those that a look at every weld finds.
func TestLikeInBigLog(t *testing.T) {
	machines, welds := bigLog(3 * exactBeads)
	welds = habits(welds)
	m := mustModel(t, machines, welds, usual)
	for i := 0; i < len(welds); i += 397 {
		q := Query{Setup: welds[i].Setup, TableWireSpeed: 5}
		e := mustSuggest(t, m, q)
		q.Tap = e.Tap
		var want []liked
		var good, failed, unclear int
		for k := range welds {
			w := &welds[k]
			r := priorCorrelation(m, &q.Setup, &w.Setup)
			if r < likeCorrelation || w.conflict() && !w.good() {
				continue
			}
			switch {
			case w.good():
				good++
			case w.direction() != 0:
				failed++
			default:
				unclear++
				continue
			}
			want = append(want, liked{w, r})
		}
		slices.SortFunc(want, liked.compare)
		if names := shortlist(want[:min(listed, len(want))]).ids(); !slices.Equal(e.LikeIDs, names) {
			t.Errorf("%v: named %v, most like are %v", q.Setup, e.LikeIDs, names)
		}
		if e.GoodLike != good || e.FailedLike != failed || e.UnclearLike != unclear {
			t.Errorf("%v: counted %d, %d, %d, there are %d, %d, %d", q.Setup, e.GoodLike, e.FailedLike, e.UnclearLike, good, failed, unclear)
		}
	}
}

// priorCorrelation of f at two setups, by their features.
func priorCorrelation(m *Model, a, b *Setup) float64 {
	c := &columns{below: m.cols}
	at := map[int]float64{}
	own := sdCell * sdCell
	va, vb, shared := own, own, 0.0
	for _, t := range m.fleet[a.Machine].terms(c, a) {
		at[t.col] = t.value
		va += t.value * t.value
	}
	for _, t := range m.fleet[b.Machine].terms(c, b) {
		shared += t.value * at[t.col]
		vb += t.value * t.value
	}
	if a.cell() == b.cell() {
		shared += own
	}
	return math.Round(1e9*shared/math.Sqrt(va*vb)) / 1e9
}
