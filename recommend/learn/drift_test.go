package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// visits makes sessions of three good welds on changing jobs, set around a percentage of the table.
func visitsAt(r *rand.Rand, from, n int, percent float64) (welds []Weld) {
	for i := range n {
		s := tee()
		s.Joint, s.ThicknessIn = pick(r, testJoints[:3]), pick(r, testSizes[5:10])
		for k := range 3 {
			w := made(10*(from+i)+k, s, percent*math.Exp(0.03*r.NormFloat64()), 5, 0, 0)
			w.ID = fmt.Sprintf("v%03d.%d", from+i, k)
			w.Session = fmt.Sprint(from + i)
			welds = append(welds, w)
		}
	}
	return welds
}

func TestDriftAsks(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	welds := append(visitsAt(r, 0, 20, 100), visitsAt(r, 20, 6, 70)...)
	m := mustModel(t, shop(), welds, usual)
	q, ask := m.Drift("blue")
	if !ask || q.Score <= driftScore || q.ShiftPercent > -10 || q.State != "new" {
		t.Fatalf("30 %% lower for 6 sessions: %+v %v", q, ask)
	}
	if q.Since < "v018" || q.Since > "v022" {
		t.Errorf("change seen from %s on, was at v020.0", q.Since)
	}
	if q.Welds < 12 || q.Welds > 24 {
		t.Errorf("%d welds since", q.Welds)
	}
	if got := q.Words(); got == "" || q.ShiftPercent > 0 {
		t.Errorf("%s", got)
	}
	// Asking changes nothing.
	again, _ := m.Drift("blue")
	if again != q {
		t.Errorf("asked twice: %+v and %+v", q, again)
	}
	// A yes is a new state from that weld on, after which there is nothing more to ask.
	machines := shop()
	machines[1].States = append(machines[1].States, State{"changed", Output})
	for i := range welds {
		if welds[i].ID >= q.Since {
			welds[i].State = "changed"
		}
	}
	if q, ask := mustModel(t, machines, welds, usual).Drift("blue"); ask {
		t.Errorf("still asks once the change is known: %+v", q)
	}
}

func TestDriftIsQuiet(t *testing.T) {
	asked := 0
	const logs = 100
	for seed := range uint64(logs) {
		r := rand.New(rand.NewPCG(7, seed))
		if _, ask := mustModel(t, shop(), visitsAt(r, 0, 25, 105), usual).Drift("blue"); ask {
			asked++
		}
	}
	if asked > logs/10 {
		t.Errorf("asked in %d of %d logs without a change", asked, logs)
	}
}

func TestDriftNeedsSessions(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for name, welds := range map[string][]Weld{
		"no welds":   nil,
		"few before": append(visitsAt(r, 0, 3, 100), visitsAt(r, 3, 2, 60)...),
		"few after":  append(visitsAt(r, 0, 4, 100), visitsAt(r, 4, 1, 60)...),
	} {
		if q, ask := mustModel(t, shop(), welds, usual).Drift("blue"); ask {
			t.Errorf("%s: %+v", name, q)
		}
	}
	if q, ask := mustModel(t, shop(), nil, usual).Drift("no such machine"); ask {
		t.Errorf("%+v", q)
	}
}
