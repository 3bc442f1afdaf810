package learn

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// job drawn with beads already made on it, at settings within the limits.
func drawJob(t *rapid.T) (*Model, Query) {
	q := drawQuery(t)
	q.Live = nil
	for i := range rapid.IntRange(1, 6).Draw(t, "beads") {
		w := drawWeld(t, string(rune('a'+i)), q.Setup)
		w.Time = testEpoch.AddDate(10, 0, i)
		w.TableWireSpeed = q.TableWireSpeed
		w.WireSpeed = q.TableWireSpeed * rapid.Float64Range(0.62, 1.6).Draw(t, "setting")
		q.Live = append(q.Live, w)
	}
	return mustModel(t, shop(), drawWelds(t, "w", 20), usual), q
}

func TestNextBeadRules(t *testing.T) {
	check(t, func(t *rapid.T) {
		m, q := drawJob(t)
		n := mustNext(t, m, q)
		last := q.Live[len(q.Live)-1]
		ratio := n.WireSpeed / last.WireSpeed
		if last.good() {
			if ratio != 1 || n.Rule != RuleKeep {
				t.Fatalf("a good setting was changed by %g: %+v", ratio, n)
			}
			return
		}
		if n.Stuck {
			return
		}
		for _, w := range q.Live {
			if !w.good() && math.Abs(math.Log(n.WireSpeed/w.WireSpeed)) < sameSetting*(1-1e-6) {
				t.Fatalf("%g repeats the failed %g: %+v", n.WireSpeed, w.WireSpeed, n)
			}
		}
		switch last.direction() {
		case 1:
			if !(ratio < 1) || ratio < 0.7-1e-9 && !n.Bracketed {
				t.Fatalf("too much wire at %g, next %g: %+v", last.WireSpeed, n.WireSpeed, n)
			}
			if ratio > 0.95+1e-9 && !n.Bracketed && n.LimitHit == "" && len(q.Live) == 1 {
				t.Fatalf("less than 5 %% down: %+v", n)
			}
		case -1:
			if !(ratio > 1) || ratio > 1.3+1e-9 && !n.Bracketed {
				t.Fatalf("too little wire at %g, next %g: %+v", last.WireSpeed, n.WireSpeed, n)
			}
			if ratio < 1.05-1e-9 && !n.Bracketed && n.LimitHit == "" && len(q.Live) == 1 {
				t.Fatalf("less than 5 %% up: %+v", n)
			}
		}
		if b, ok := bracket(byPointer(q.Live)); ok && n.Bracketed && !(n.WireSpeed >= b.min*(1-1e-9) && n.WireSpeed <= b.max*(1+1e-9)) {
			t.Fatalf("%g is outside the bracket %v", n.WireSpeed, b)
		}
	})
}

func byPointer(welds []Weld) (out []*Weld) {
	for i := range welds {
		out = append(out, &welds[i])
	}
	return out
}

// A failure with direction moves the next setting to the cure side even when all past welds say otherwise.
func TestCureAgainstTheLog(t *testing.T) {
	log := several(10, tee(), 120, 5, 0, 0)
	m := mustModel(t, shop(), log, usual)
	for _, c := range []struct {
		heat, balance int
		up            bool
	}{{-1, 0, true}, {0, -1, true}, {1, 0, false}, {0, 1, false}} {
		for _, at := range []float64{90, 110, 120, 130, 150} {
			n := mustNext(t, m, Query{Setup: tee(), TableWireSpeed: 5, Live: []Weld{made(100, tee(), at, 2, c.heat, c.balance)}})
			ratio := n.WireSpeed / (5 * at / 100)
			if c.up && (ratio < 1.05-1e-9 || ratio > 1.3+1e-9) || !c.up && (ratio > 0.95+1e-9 || ratio < 0.7-1e-9) {
				t.Errorf("heat %d balance %d at %g %%: next is %.3f of it", c.heat, c.balance, at, ratio)
			}
			if n.Rule != RuleCure {
				t.Errorf("rule %s", n.Rule)
			}
		}
	}
}

func TestBracket(t *testing.T) {
	live := []Weld{made(0, tee(), 90, 2, -1, 0), made(1, tee(), 115, 2, 1, 0)}
	n := mustNext(t, mustModel(t, shop(), several(20, tee(), 130, 5, 0, 0), usual), Query{Setup: tee(), TableWireSpeed: 5, Live: live})
	lo, hi := 4.5*math.Pow(115.0/90, 0.2), 5.75*math.Pow(90.0/115, 0.2)
	if !n.Bracketed || n.WireSpeed < lo-1e-9 || n.WireSpeed > hi+1e-9 {
		t.Errorf("%g, want %g to %g: %+v", n.WireSpeed, lo, hi, n)
	}
	// Two that cross are no bracket.
	live = []Weld{made(0, tee(), 115, 2, -1, 0), made(1, tee(), 90, 2, 1, 0)}
	if n = mustNext(t, mustModel(t, shop(), nil, usual), Query{Setup: tee(), TableWireSpeed: 5, Live: live}); n.Bracketed {
		t.Errorf("a crossed pair was taken for a bracket: %+v", n)
	}
}

// Without symptoms and history: 12 % up on plate, 12 % down on sheet, then the other side, then further out.
func TestProbing(t *testing.T) {
	for _, c := range []struct {
		inch  float64
		first float64 // over the table
	}{{0.125, 1.12}, {0.0359, 0.88}} {
		s := tee()
		s.ThicknessIn = c.inch
		q := Query{Setup: s, TableWireSpeed: 5}
		m := mustModel(t, shop(), nil, usual)
		at := 100.0
		seen := map[int]bool{}
		for i := range 6 {
			q.Live = append(q.Live, made(i, s, at, 2, 0, 0))
			n := mustNext(t, m, q)
			if n.Stuck {
				t.Fatalf("%g in: stuck after %d beads", c.inch, i+1)
			}
			at = 100 * n.WireSpeed / 5
			if i == 0 {
				near(t, "first probe", n.WireSpeed/5, c.first, 1e-9)
				if n.Rule != RuleProbe {
					t.Errorf("rule %s", n.Rule)
				}
			}
			if k := int(math.Round(at)); seen[k] {
				t.Errorf("%g in: %d %% tried twice", c.inch, k)
			} else {
				seen[k] = true
			}
		}
	}
}

// When the model itself moves at least 8 % off a failed setting, it is followed.
func TestModelBeatsProbing(t *testing.T) {
	m := mustModel(t, shop(), several(10, tee(), 130, 5, 0, 0), usual)
	n := mustNext(t, m, Query{Setup: tee(), TableWireSpeed: 5, Live: []Weld{made(100, tee(), 95, 2, 0, 0)}})
	if n.Rule != RuleModel || !(n.WireSpeed > 5*0.95*1.08) {
		t.Errorf("%+v", n)
	}
}

func TestStuckAtTheLimit(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5, Limits: Limits{MachineMax: 5.5}}
	q.Live = []Weld{made(0, tee(), 110, 2, -1, 0)}
	n := mustNext(t, mustModel(t, shop(), nil, usual), q)
	if !n.Stuck || n.WireSpeed > 5.5 || n.LimitHit != LimitMachine {
		t.Errorf("cold at the machine's limit: %+v", n)
	}
}

// Beads without a rating are no reason to move.
func TestUnratedLive(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5, Live: []Weld{made(0, tee(), 110, 0, 0, 0)}}
	n := mustNext(t, mustModel(t, shop(), nil, usual), q)
	if n.WireSpeed != 5 || n.Rule != RuleModel || n.Last != 0 {
		t.Errorf("%+v", n)
	}
}
