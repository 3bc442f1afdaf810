package recommend_test

import (
	"testing"

	"beadwright/procedures"
	"beadwright/recommend"
)

// TestBehindOf: only welds of this very job on this tap stand behind a row of a card;
// what failed in use is named until a like coupon passes after it.
func TestBehindOf(t *testing.T) {
	thin := func(w *procedures.Weld) { w.Job.Thickness = 0.9 }
	high := func(w *procedures.Weld) { w.Settings.Tap = "high" }
	type bead struct {
		state  procedures.State
		rating int
		change []func(*procedures.Weld)
	}
	on := func(rating int, change ...func(*procedures.Weld)) bead { return bead{stateDC, rating, change} }
	for _, c := range []struct {
		name         string
		beads        []bead
		good, before int
		failed       string
	}{
		{"none", nil, 0, 0, ""},
		{"two good, one middling", []bead{on(4), on(5), on(3)}, 2, 0, ""},
		{"good ones of another thickness, and on the other tap", []bead{on(5, thin), on(5, high)}, 0, 0, ""},
		{"from before the machine was changed", []bead{{stateAC, 5, nil}, {stateAC, 2, nil}}, 0, 1, ""},
		{"one failed in use", []bead{on(5, broke(true), failedOn(20)), on(4)}, 1, 0, "A1"},
		{"it failed, and a fresh coupon passed", []bead{on(5, failedOn(1)), on(4, broke(true))}, 1, 0, ""},
		{"another thickness failed", []bead{on(5, thin, failedOn(20))}, 0, 0, ""},
	} {
		b := &bench{}
		for _, d := range c.beads {
			b.weld(d.state, 100, d.rating, d.change...)
		}
		ask := &bench{}
		ask.weld(stateDC, 100, 4)
		got := recommend.BehindOf(recommend.Request{Job: ask.welds[0].Job, Machine: shed()}, "low", b.welds)
		if got.Good != c.good || got.Before != c.before || got.Failed != c.failed || got.At.IsZero() != (c.failed == "") {
			t.Errorf("%s: %+v, want %d good, %d before, failed %q", c.name, got, c.good, c.before, c.failed)
		}
	}
}
