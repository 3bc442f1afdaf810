package learn

import (
	"math"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The knob is measured later: the caller works out the old speeds anew, and the machine counts as calibrated.
func TestRecalibratedKnob(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5}
	before := suggest(t, several(4, tee(), 130, 5, 0, 0), q)
	machines := shop()
	machines[1].Calibrated = true
	after := mustSuggest(t, mustModel(t, machines, several(4, tee(), 104, 5, 0, 0), usual), q)
	if !(after.SD < before.SD && after.F < before.F && after.F > 0) {
		t.Errorf("before f %g sd %g, measured f %g sd %g", before.F, before.SD, after.F, after.SD)
	}
	// What looked like habit was the dial, so other machines no longer inherit it.
	q.Machine = "red"
	other := mustSuggest(t, mustModel(t, shop(), several(4, tee(), 130, 5, 0, 0), usual), q)
	otherAfter := mustSuggest(t, mustModel(t, machines, several(4, tee(), 104, 5, 0, 0), usual), q)
	if !(otherAfter.F < other.F) {
		t.Errorf("the other machine: f %g before, %g after", other.F, otherAfter.F)
	}
}

// Of a dial that is off by more at one end than at the other, measuring it later takes all of the error out, that of old
// welds too: their speeds are worked out anew from the marks set, and the answer is as if they had been logged so.
func TestRecalibratedAsIfLoggedSo(t *testing.T) {
	guessed := func(mark float64) float64 { return 1.2 * mark }
	measured := func(mark float64) float64 { return 0.75 + 0.9*mark }
	var marks []float64
	var before, after []Weld
	for i := range 24 {
		s := tee()
		s.ThicknessIn = testSizes[4+i%6]
		table := 3 + float64(i%6)
		marks = append(marks, (table-0.75)/0.9) // each weld was good just where the table says
		w := made(i, s, 100, 5, 0, 0)
		w.TableWireSpeed, w.WireSpeed = table, guessed(marks[i])
		before = append(before, w)
		w.WireSpeed = measured(marks[i])
		after = append(after, w)
	}
	machines := shop()
	machines[1].Calibrated = true
	anew := slices.Clone(before)
	for i := range anew {
		anew[i].WireSpeed = measured(marks[i])
	}
	old, m, logged := mustModel(t, shop(), before, usual), mustModel(t, machines, anew, usual), mustModel(t, machines, after, usual)
	for i := range 6 {
		q := Query{Setup: before[i].Setup, TableWireSpeed: before[i].TableWireSpeed}
		was, e := mustSuggest(t, old, q), mustSuggest(t, m, q)
		if d := cmp.Diff(mustSuggest(t, logged, q), e); d != "" {
			t.Errorf("not as if logged so:\n%s", d)
		}
		if !(math.Abs(was.F) > 0.01) || math.Abs(e.F) > 1e-9 {
			t.Errorf("%g in: f %g by the dial, %g once measured", q.ThicknessIn, was.F, e.F)
		}
	}
}

// Of two machines the calibrated one starts surer, and moves less on the same evidence.
func TestOneCalibrated(t *testing.T) {
	at := func(machine string) (none, some Estimate) {
		s := tee()
		s.Machine = machine
		q := Query{Setup: s, TableWireSpeed: 5}
		return suggest(t, nil, q), suggest(t, []Weld{made(0, s, 120, 5, 0, 0)}, q)
	}
	red, redMoved := at("red")
	blue, blueMoved := at("blue")
	if !(red.SD < blue.SD && redMoved.F < blueMoved.F) {
		t.Errorf("calibrated: sd %g, f %g; not: sd %g, f %g", red.SD, redMoved.F, blue.SD, blueMoved.F)
	}
}
