package feeder_test

import (
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// TestNextOrder: from nothing to done on a straight knob: the ends, the middle,
// what lies between; then repeats; then nothing.
func TestNextOrder(t *testing.T) {
	for _, k := range []struct {
		name string
		knob procedures.Knob
		want []float64
	}{
		{"paper dial", procedures.Knob{}, []float64{1, 9, 5, 3, 7}},
		{"1 to 10", procedures.Knob{Min: 1, Max: 10}, []float64{1, 9, 5, 3, 7}},
		{"0 to 5", procedures.Knob{Max: 5}, []float64{0.5, 4.5, 2.5, 1.5, 3.5}},
		{"0 to 100 by fives", procedures.Knob{Max: 100, Step: 5}, []float64{10, 90, 50, 30, 70}},
	} {
		m, c := shed(), feeder.Curve{}
		m.Knob = k.knob
		top := 10.0
		if m.Knob.Marked() {
			top = m.Knob.Max
		}
		measure := func(mark float64) {
			m.RunOuts = append(m.RunOuts, run("now", "", mark, 40+300*mark/top))
			c, _ = feeder.CurveOf(m, "now", "")
		}
		var got []float64
		for range k.want {
			s, ok := c.Next(m.Knob)
			if !ok || s.Why == "" {
				t.Fatalf("%s: nothing after %v", k.name, got)
			}
			got = append(got, s.Mark)
			measure(s.Mark)
		}
		if !slices.Equal(got, k.want) {
			t.Errorf("%s: %v, want %v", k.name, got, k.want)
		}
		repeats := 0
		for s, ok := c.Next(m.Knob); ok && repeats < 20; s, ok = c.Next(m.Knob) {
			if !strings.Contains(s.Why, "3 tell a slip") {
				t.Fatalf("%s: %+v", k.name, s)
			}
			measure(s.Mark)
			repeats++
		}
		if repeats != 10 {
			t.Errorf("%s: asked for %d repeats, want 10", k.name, repeats)
		}
	}
}

// TestNextAgain: a mark that ran slower than the one below is run out again
// before anything else, the one with the fewest runs; not where the thumb's
// timing explains it.
func TestNextAgain(t *testing.T) {
	c, _ := feeder.CurveOf(shed(run("now", "", 1, 70), run("now", "", 3, 140), run("now", "", 3, 142), run("now", "", 5, 120)), "now", "")
	if s, ok := c.Next(procedures.Knob{}); !ok || s.Mark != 5 || !slices.Equal(c.Again, []float64{3, 5}) || !strings.Contains(s.Why, "3 and 5") {
		t.Errorf("%+v, again %v", s, c.Again)
	}
	c, _ = feeder.CurveOf(shed(run("now", "", 1, 70), run("now", "", 3, 140), run("now", "", 5, 138)), "now", "")
	if s, ok := c.Next(procedures.Knob{}); !ok || s.Mark != 9 || len(c.Again) != 2 {
		t.Errorf("%+v, again %v", s, c.Again)
	}
}

// TestToward: a wire speed outside those measured asks for a mark on that side.
func TestToward(t *testing.T) {
	knob := procedures.Knob{Min: 1, Max: 10}
	for _, k := range []struct {
		marks []float64
		ipm   float64
		want  float64
		ok    bool
	}{
		{[]float64{3, 5}, 400, 7, true}, {[]float64{3, 9}, 400, 10, true}, {[]float64{3, 10}, 400, 0, false},
		{[]float64{3, 5}, 20, 1, true}, {[]float64{1, 5}, 20, 0, false}, {[]float64{5, 8}, 20, 3, true},
	} {
		m := shed()
		for _, mark := range k.marks {
			m.RunOuts = append(m.RunOuts, run("now", "", mark, 30*mark))
		}
		c, _ := feeder.CurveOf(m, "now", "")
		if s, ok := c.Toward(procedures.InchesPerMin(k.ipm), knob); ok != k.ok || s.Mark != k.want || ok && s.Why == "" {
			t.Errorf("%v, %v in/min: %+v, %v", k.marks, k.ipm, s, ok)
		}
	}
}

// TestSettle: a quarter of a mark unless the knob says otherwise, never off its scale.
func TestSettle(t *testing.T) {
	for _, k := range []struct {
		knob       procedures.Knob
		mark, want float64
	}{
		{procedures.Knob{}, 4.4, 4.5}, {procedures.Knob{Min: 1, Max: 10}, 4.37, 4.25}, {procedures.Knob{Min: 1, Max: 10}, 10.2, 10},
		{procedures.Knob{Max: 100, Step: 5}, 42, 40}, {procedures.Knob{}, 11.1, 11},
	} {
		if got := feeder.Settle(k.knob, k.mark); got != k.want {
			t.Errorf("%+v %v: %v, want %v", k.knob, k.mark, got, k.want)
		}
	}
}

// TestEnds: the feeder's own ends, where they were run out, over all taps of the
// present state.
func TestEnds(t *testing.T) {
	m := shed(run("old", "low", 1, 30), run("old", "low", 10, 500), run("now", "low", 1, 44), run("now", "low", 9, 300), run("now", "high", 1, 50), run("now", "high", 10, 380))
	slow, fast := feeder.Ends(m)
	about(t, "slowest", slow.InchesPerMin(), 44, 1e-9)
	about(t, "fastest", fast.InchesPerMin(), 380, 1e-9)
	m.RunOuts = m.RunOuts[:4]
	if _, fast = feeder.Ends(m); fast != 0 {
		t.Errorf("fastest %v from mark 9 of 10", fast)
	}
	m.Knob = procedures.Knob{}
	if slow, fast = feeder.Ends(m); slow != 0 || fast != 0 {
		t.Errorf("a paper dial's ends %v, %v", slow, fast)
	}
}
