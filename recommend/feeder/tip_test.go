package feeder_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

func newTip(at time.Time) procedures.Measurement {
	return procedures.Measurement{Machine: "shed", Kind: procedures.TipNew, At: at}
}

func TestTipOf(t *testing.T) {
	r := feeder.Records{Uses: []feeder.Use{
		timed("1", "a", hours(1), 600, 3), // before the first tip that is written down: its own is not known
		timed("2", "a", hours(3), 600, 3), // 30 m
		timed("3", "b", hours(4), 600, 3), // 30 m, of another spool, through the same tip
		timed("4", "b", hours(6), 600, 4), // 40 m
		timed("5", "b", hours(8), 60, 5),  // 5 m
	}}
	other := timed("6", "b", hours(8), 600, 9)
	other.Machine = "cart"
	r.Uses = append(r.Uses, other)

	tip := feeder.TipOf(r, "shed")
	if _, ok := tip.Usual(); ok || !tip.Since.IsZero() || tip.Worn() {
		t.Errorf("with no tip written down: %+v", tip)
	}
	near(t, "all that went through", tip.Fed.Length, 135e3, 1e-6)

	r.Measurements = []procedures.Measurement{newTip(hours(7)), newTip(hours(2)), newTip(hours(5))} // in any order
	tip = feeder.TipOf(r, "shed")
	near(t, "age", tip.Fed.Length, 5e3, 1e-6)
	if len(tip.Lives) != 2 {
		t.Fatalf("lives %v", tip.Lives)
	}
	near(t, "first life", tip.Lives[0], 60e3, 1e-6)
	near(t, "second life", tip.Lives[1], 40e3, 1e-6)
	usual, ok := tip.Usual()
	near(t, "median", usual, 50e3, 1e-6)
	if !ok || tip.Worn() || !tip.Since.Equal(hours(7)) {
		t.Errorf("%+v", tip)
	}

	r.Uses = append(r.Uses, timed("7", "b", hours(9), 600, 3.6)) // 36 m more: 41 of 50
	if tip = feeder.TipOf(r, "shed"); !tip.Worn() {
		t.Errorf("41 m of the usual 50 m: %+v", tip)
	}
	r.Measurements[0].Struck = "it was the old one"
	if tip = feeder.TipOf(r, "shed"); len(tip.Lives) != 1 || !tip.Since.Equal(hours(5)) {
		t.Errorf("a withdrawn tip counts: %+v", tip)
	}
}

// A life of which most is not known tells nothing.
func TestTipLifeOfUnknownWelds(t *testing.T) {
	blank := func(id string, at time.Time) feeder.Use {
		return feeder.Use{ID: id, At: at, Machine: "shed"}
	}
	r := feeder.Records{
		Uses:         []feeder.Use{timed("1", "a", hours(2), 60, 3), blank("2", hours(3)), blank("3", hours(3))},
		Measurements: []procedures.Measurement{newTip(hours(1)), newTip(hours(5))},
	}
	if tip := feeder.TipOf(r, "shed"); len(tip.Lives) != 0 {
		t.Errorf("one weld in three is known, and yet a life of %v", tip.Lives)
	}
	r.Uses = r.Uses[:2]
	if tip := feeder.TipOf(r, "shed"); len(tip.Lives) != 1 {
		t.Errorf("one weld of two is known: %v", tip.Lives)
	}
}

// The wire of all tips together is the wire of the machine since the first.
func TestTipsShareTheWire(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := drawRecords(rt)
		known := r.Uses[:0]
		for _, u := range r.Uses {
			if u.Length > 0 {
				known = append(known, u)
			}
		}
		r.Uses = known
		changes := rapid.SliceOfNDistinct(rapid.IntRange(0, 30), 1, 5, rapid.ID[int]).Draw(rt, "changes")
		first := changes[0]
		for _, h := range changes {
			r.Measurements = append(r.Measurements, newTip(hours(2*h+1)))
			first = min(first, h)
		}
		tip := feeder.TipOf(r, "shed")
		sum := tip.Fed.Length
		for _, life := range tip.Lives {
			sum += life
		}
		all := feeder.Feed(feeder.OnMachine(r, "shed"), hours(2*first+1), time.Time{}).Length
		if d := sum - all; d > 1e-6 || d < -1e-6 {
			rt.Fatalf("tips add up to %g mm of %g", sum, all)
		}
		if usual, ok := tip.Usual(); ok != (len(tip.Lives) > 0) || ok && usual <= 0 {
			rt.Fatalf("usual %g of %v", usual, tip.Lives)
		}
	})
}
