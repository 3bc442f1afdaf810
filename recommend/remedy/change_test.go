package remedy_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/remedy"
)

var day = time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)

// weld is the nth bead of a plain job, five minutes after the one before.
func weld(n int, change func(*procedures.Weld)) procedures.Weld {
	knob := 4.5
	w := procedures.Weld{ID: fmt.Sprintf("%08d-0000-7000-8000-000000000000", n), Mark: fmt.Sprintf("A%d", n), At: day.Add(time.Duration(n) * 5 * time.Minute), Spool: "one",
		Job: procedures.Job{Thickness: 3.175, Steel: "mild", SteelGroup: "I", Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Process: procedures.FCAWS,
			Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, Machine: "shed", State: "s1"},
		Settings: procedures.Settings{Tap: "high", Knob: &knob, WireSpeed: procedures.InchesPerMin(102), Polarity: procedures.DCEN, Extension: 9.5, Travel: 180, How: map[string]procedures.How{}},
		Outcome:  procedures.Outcome{Rating: 3}}
	if change != nil {
		change(&w)
	}
	return w
}

func knob(m float64) func(*procedures.Weld) {
	return func(w *procedures.Weld) {
		w.Settings.Knob, w.Settings.WireSpeed = &m, procedures.InchesPerMin(102*m/4.5)
	}
}

func keysOf(list []remedy.Change) string {
	var keys []string
	for _, c := range list {
		keys = append(keys, c.What)
	}
	return strings.Join(keys, " ")
}

func TestChanges(t *testing.T) {
	noKnob := func(v float64) func(*procedures.Weld) {
		return func(w *procedures.Weld) { w.Settings.Knob, w.Settings.WireSpeed = nil, procedures.InchesPerMin(v) }
	}
	measured := func(key string, set func(*procedures.Weld)) func(*procedures.Weld) {
		return func(w *procedures.Weld) { w.Settings.How[key] = procedures.Measured; set(w) }
	}
	for _, c := range []struct {
		name string
		a, b func(*procedures.Weld)
		want string
	}{
		{"nothing", nil, nil, ""},
		{"the knob", nil, knob(5), "knob"},
		{"a mark against a third", func(w *procedures.Weld) { w.Settings.WireSpeed = 0 }, func(w *procedures.Weld) { w.Settings.Knob, w.Settings.KnobSaid = nil, "lower third" }, "knob"},
		{"a mark against a third at one wire speed", nil, func(w *procedures.Weld) { w.Settings.Knob, w.Settings.KnobSaid = nil, "lower third" }, ""},
		{"another third", func(w *procedures.Weld) {
			w.Settings.Knob, w.Settings.KnobSaid, w.Settings.WireSpeed = nil, "upper third", 0
		}, func(w *procedures.Weld) {
			w.Settings.Knob, w.Settings.KnobSaid, w.Settings.WireSpeed = nil, "lower third", 0
		}, "knob"},
		{"a tenth of a mark", nil, func(w *procedures.Weld) { m := 4.6; w.Settings.Knob = &m }, "knob"},
		{"less than a tenth", nil, func(w *procedures.Weld) { m := 4.55; w.Settings.Knob = &m }, ""},
		{"two speeds on one mark", nil, func(w *procedures.Weld) { w.Settings.WireSpeed *= 1.2 }, ""},
		{"wire speed by 3 %", noKnob(100), noKnob(103), "wire_speed_m_min"},
		{"wire speed by less", noKnob(100), noKnob(102.9), ""},
		{"the tap in other letters", nil, func(w *procedures.Weld) { w.Settings.Tap = "HIGH" }, ""},
		{"the tap", nil, func(w *procedures.Weld) { w.Settings.Tap = "low" }, "tap"},
		{"tap not known", nil, func(w *procedures.Weld) { w.Settings.Tap = "" }, ""},
		{"polarity", nil, func(w *procedures.Weld) { w.Settings.Polarity = procedures.AC }, "polarity"},
		{"state, and polarity with it", nil, func(w *procedures.Weld) { w.Job.State, w.Settings.Polarity = "s2", procedures.AC }, "state"},
		{"another spool", nil, func(w *procedures.Weld) { w.Spool = "two" }, "spool"},
		{"another wire, and spool with it", nil, func(w *procedures.Weld) { w.Job.Class, w.Spool = "E71T-GS", "two" }, "wire_class"},
		{"another size of wire", nil, func(w *procedures.Weld) { w.Job.Diameter = procedures.Inches(0.030) }, "wire_diameter_mm"},
		{"stick-out only reckoned", nil, func(w *procedures.Weld) { w.Settings.Extension = 15 }, ""},
		{"stick-out measured", nil, measured("extension_mm", func(w *procedures.Weld) { w.Settings.Extension = 12.7 }), "extension_mm"},
		{"pace measured once", nil, measured("travel_mm_min", func(w *procedures.Weld) { w.Settings.Travel = 300 }), ""},
		{"pace measured twice", measured("travel_mm_min", func(*procedures.Weld) {}), measured("travel_mm_min", func(w *procedures.Weld) { w.Settings.Travel = 200 }), "travel_mm_min"},
		{"thickness", nil, func(w *procedures.Weld) { w.Job.Thickness = 4.76 }, "thickness_mm"},
		{"the other part", nil, func(w *procedures.Weld) { w.Job.OtherThickness = 4.76 }, "other_thickness_mm"},
		{"gauge against fraction", nil, func(w *procedures.Weld) { w.Job.Thickness = 3.1 }, ""},
		{"steel, and preheat with it", nil, measured("preheat_C", func(w *procedures.Weld) { p := 90.; w.Job.Steel, w.Settings.Preheat = "1045", &p }), "steel"},
		{"preheat", nil, measured("preheat_C", func(w *procedures.Weld) { p := 90.; w.Settings.Preheat = &p }), "preheat_C"},
		{"rust", nil, func(w *procedures.Weld) { w.Job.Coating = procedures.Rust }, "coating"},
		{"rust ground off", nil, func(w *procedures.Weld) { w.Job.Coating, w.Job.Stripped = procedures.Rust, true }, ""},
		{"a gap", nil, func(w *procedures.Weld) { w.Job.Gap = 1 }, "gap_mm"},
		{"another machine, with all that goes with it", nil, func(w *procedures.Weld) { w.Job.Machine, w.Job.State, w.Settings.Knob = "den", "s9", nil }, "machine"},
		{"tap and knob", nil, func(w *procedures.Weld) { knob(5)(w); w.Settings.Tap = "low" }, "tap knob"},
	} {
		a, b := weld(1, c.a), weld(2, c.b)
		if got := keysOf(remedy.Changes(a, b)); got != c.want {
			t.Errorf("%s: changed %q, want %q", c.name, got, c.want)
		}
		if got := keysOf(remedy.Changes(b, a)); got != c.want {
			t.Errorf("%s, the other way round: changed %q, want %q", c.name, got, c.want)
		}
		for _, ch := range remedy.Changes(a, b) {
			if ch.Name() == "" || strings.Contains(ch.Say(procedures.Metric), "%!") {
				t.Errorf("%s: said as %q", c.name, ch.Say(procedures.Metric))
			}
		}
	}
}

func TestCompare(t *testing.T) {
	a := weld(1, nil)
	one := remedy.Compare(&a, weld(2, func(w *procedures.Weld) { knob(5)(w); w.Outcome.Rating = 4 }), procedures.US)
	if one.Verdict != remedy.Clean || one.Coupon != nil || !strings.Contains(one.Text, "knob (4 1/2 to 5, 11 % more wire)") || !strings.Contains(one.Text, "rating 3 to 4") {
		t.Errorf("one change: %+v", one)
	}
	two := remedy.Compare(&a, weld(2, func(w *procedures.Weld) { knob(5)(w); w.Settings.Tap = "low" }), procedures.US)
	if two.Verdict != remedy.Confounded || two.Coupon == nil || two.Coupon.Keep.What != "tap" || keysOf(two.Coupon.Back) != "knob" ||
		!strings.Contains(two.Text, "Nothing can be concluded") || !strings.Contains(two.Coupon.Text, "the knob back to 4 1/2") {
		t.Errorf("two changes: %+v %+v", two, two.Coupon)
	}
	if same := remedy.Compare(&a, weld(2, nil), procedures.US); same.Verdict != remedy.Same {
		t.Errorf("no change: %+v", same)
	}
	if first := remedy.Compare(nil, a, procedures.US); first.Verdict != remedy.First || first.Changes == nil {
		t.Errorf("first: %+v", first)
	}
}

// The coupon does what it promises: it differs from the first weld in one thing.
func TestCouponSeparates(t *testing.T) {
	moves := []func(*procedures.Weld){knob(6), func(w *procedures.Weld) { w.Settings.Tap = "low" }, func(w *procedures.Weld) { w.Spool = "two" }, func(w *procedures.Weld) { w.Settings.Polarity = procedures.AC },
		func(w *procedures.Weld) { w.Job.Coating = procedures.Rust }, func(w *procedures.Weld) { w.Job.Gap = 2 }}
	a := weld(1, nil)
	tried := 0
	for pick := range 1 << len(moves) {
		made := func(only string) procedures.Weld { // the changes picked, or only the one kept
			return weld(2, func(w *procedures.Weld) {
				for i, m := range moves {
					if pick&(1<<i) == 0 {
						continue
					}
					if alone := weld(2, m); only == "" || keysOf(remedy.Changes(a, alone)) == only {
						m(w)
					}
				}
			})
		}
		b := made("")
		c := remedy.Compare(&a, b, procedures.US)
		if c.Coupon == nil {
			continue
		}
		tried++
		coupon := made(c.Coupon.Keep.What)
		if got := keysOf(remedy.Changes(a, coupon)); got != c.Coupon.Keep.What {
			t.Errorf("%s: the coupon differs from the first in %q", keysOf(c.Changes), got)
		}
		if n := len(remedy.Changes(coupon, b)); n != len(c.Coupon.Back) {
			t.Errorf("%s: the coupon differs from the second in %d things, %d were to go back", keysOf(c.Changes), n, len(c.Coupon.Back))
		}
	}
	if tried != 1<<len(moves)-1-len(moves) {
		t.Errorf("%d mixed changes tried", tried)
	}
}

// Eight beads by hand: repeat, clean, mixed, clean, another joint between them, mixed, clean.
func TestCount(t *testing.T) {
	low := func(w *procedures.Weld) { w.Settings.Tap = "low" }
	both := func(fs ...func(*procedures.Weld)) func(*procedures.Weld) {
		return func(w *procedures.Weld) {
			for _, f := range fs {
				f(w)
			}
		}
	}
	h := recommend.History{
		weld(1, nil), weld(2, nil), // repeat
		weld(3, knob(5)),            // clean
		weld(4, both(knob(6), low)), // mixed
		weld(5, both(knob(5), low)), // clean
		weld(6, both(knob(9), func(w *procedures.Weld) { w.Job.Joint = procedures.Lap })), // another joint: compared with none
		weld(7, knob(7)), // mixed: tap and knob
		weld(8, knob(8)), // clean
		weld(9, both(knob(3), func(w *procedures.Weld) { w.Job.Machine = "den" })),
	}
	want := remedy.Tally{Clean: 3, Confounded: 2, Repeats: 1, Last: 5}
	slices.Reverse(h)
	if got := remedy.Count(h, "shed", 20); got != want {
		t.Errorf("counted %+v, want %+v", got, want)
	}
	if got := remedy.Count(h, "shed", 2); got.Clean != 1 || got.Confounded != 1 || got.Last != 2 {
		t.Errorf("the last two: %+v", got)
	}
	if got := remedy.Count(nil, "shed", 20); got != (remedy.Tally{}) {
		t.Errorf("of nothing: %+v", got)
	}
	if b := remedy.Before(h, weld(7, nil)); b == nil || b.Mark != "A5" {
		t.Errorf("before A7 comes %v", b)
	}
}
