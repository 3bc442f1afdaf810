package learn

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

var limitBooks = flag.Int("limitbooks", 300, "ask this many random notebooks for settings outside their limits")

// No setting is outside its limits, whatever the notebook.
//
//	go test ./recommend/learn -run TestNeverOutside -v -limitbooks 100000 -timeout 2h
//
// Run on 2026-11-26 with 100,000 notebooks: 554,667 settings, a limit bit in 62,213 of them, 0 outside.
func TestNeverOutside(t *testing.T) {
	var asked, held int
	for book := range uint64(*limitBooks) {
		r := rand.New(rand.NewPCG(book, 77))
		q, welds := wildNotebook(r)
		u := usual
		if book%2 == 1 {
			u = cached
		}
		m, err := newModel(shop(), welds, u)
		if err != nil {
			t.Fatalf("notebook %d: %v", book, err)
		}
		for range 6 {
			n, err := m.NextBead(q)
			var none *LimitsError
			if errors.As(err, &none) {
				break
			}
			if err != nil {
				t.Fatalf("notebook %d: %v", book, err)
			}
			asked++
			if n.LimitHit != "" {
				held++
			}
			if problem := n.outside(q); problem != "" {
				t.Fatalf("notebook %d, %d beads into the job: %s", book, len(q.Live), problem)
			}
			if n.Tap != q.Tap {
				break // a job started on the other tap is another job
			}
			w := wildWeld(r, fmt.Sprint("live ", len(q.Live)), q.Setup)
			w.Time = testEpoch.AddDate(10, 0, len(q.Live))
			w.TableWireSpeed, w.WireSpeed = q.TableWireSpeed, n.WireSpeed
			q.Live = append(q.Live, w)
		}
	}
	if asked < *limitBooks/2 || held == 0 {
		t.Errorf("%d settings asked for, a limit bit in %d: the notebooks are not wild enough", asked, held)
	}
	t.Logf("%d notebooks, %d settings, a limit bit in %d", *limitBooks, asked, held)
}

// outside says what is wrong with an answer: not finite, outside a limit of the question or of its tap's table, or a range
// that does not hold the setting or reaches past a limit.
func (n *Next) outside(q Query) string {
	table := q.TableWireSpeed
	for _, o := range q.OtherTaps {
		if n.Tap == o.Tap && n.Tap != q.Tap {
			table = o.TableWireSpeed
		}
	}
	l := q.Limits
	low, high := max(0.60*table, l.TableMin, l.WireMin, l.MachineMin), 1.65*table
	for _, v := range []float64{l.TableMax, l.WireMax, l.MachineMax} {
		if v > 0 {
			high = min(high, v)
		}
	}
	for _, v := range []float64{n.F, n.SD, n.Wish, n.ShiftPercent, n.MeanGoodPercent} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Sprintf("not finite: %+v", n)
		}
	}
	for _, v := range []float64{n.Low, n.WireSpeed, n.High} {
		if !(v >= low && v <= high) {
			return fmt.Sprintf("%g is outside %g to %g: %+v", v, low, high, n)
		}
	}
	if n.Low > n.WireSpeed || n.WireSpeed > n.High || n.Widen < 1 || n.Widen > maxWiden || !(n.SD > 0) {
		return fmt.Sprintf("%g to %g does not hold %g: %+v", n.Low, n.High, n.WireSpeed, n)
	}
	return ""
}

// wildNotebook is up to 60 welds, mostly of a few jobs, with settings, ratings and symptoms without rhyme or reason, and a question
// under limits of all kinds.
func wildNotebook(r *rand.Rand) (Query, []Weld) {
	jobs := make([]Setup, 1+r.IntN(5))
	for i := range jobs {
		jobs[i] = wildSetup(r)
	}
	welds := make([]Weld, r.IntN(60))
	for i := range welds {
		s := pick(r, jobs)
		if r.IntN(3) == 0 {
			s = wildSetup(r)
		}
		welds[i] = wildWeld(r, fmt.Sprint("w", i), s)
	}
	q := Query{Setup: pick(r, jobs), TableWireSpeed: 2 + 8*r.Float64()}
	if r.IntN(3) == 0 {
		q.Setup = wildSetup(r)
	}
	if r.IntN(3) > 0 {
		other := map[string]string{"low": "high", "high": "low"}[q.Tap]
		q.OtherTaps = []TapTable{{other, 2 + 8*r.Float64()}}
	}
	limit := func(around float64) float64 {
		if r.IntN(2) == 0 {
			return 0
		}
		return around * math.Exp(0.3*r.NormFloat64())
	}
	v := q.TableWireSpeed
	q.Limits = Limits{limit(0.6 * v), limit(1.3 * v), limit(0.5 * v), limit(1.4 * v), limit(0.5 * v), limit(1.5 * v)}
	return q, welds
}

func wildSetup(r *rand.Rand) Setup {
	s := Setup{User: pick(r, []string{"ann", "bo"}), Machine: pick(r, []string{"red", "blue"}), State: "new",
		Spool: fmt.Sprint("s", r.IntN(12)), ThicknessIn: pick(r, testSizes), Joint: pick(r, testJoints),
		Position: pick(r, testPositions), WireDiameterIn: pick(r, testWires), Tap: pick(r, testTaps)}
	if r.IntN(10) == 0 {
		s.ThicknessIn = minThicknessIn * math.Pow(maxThicknessIn/minThicknessIn, r.Float64())
	}
	if s.Machine == "red" {
		s.State = pick(r, []string{"new", "dcen", "liner"})
	}
	return s
}

func wildWeld(r *rand.Rand, id string, s Setup) Weld {
	w := Weld{ID: id, Time: testEpoch.Add(time.Duration(r.IntN(3000)) * time.Hour), Setup: s, Session: pick(r, []string{"", "a", "b", "c"}),
		TableWireSpeed: 2 + 8*r.Float64(), Rating: r.IntN(6), Heat: r.IntN(3) - 1, Balance: r.IntN(3) - 1}
	spread := pick(r, []float64{0.05, 0.2, 0.8})
	w.WireSpeed = min(maxSpeed, max(minSpeed, w.TableWireSpeed*math.Exp(spread*r.NormFloat64())))
	return w
}
