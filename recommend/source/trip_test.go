package source_test

import (
	"slices"
	"strings"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

func air(c float64) *float64 { return &c }

// shed is a 90 A machine at 20 %, with cut-outs of its present state, "now".
func shed(trips ...procedures.CutOut) procedures.Machine {
	m := procedures.Machine{Name: "shed", RatedAmps: 90, Duty: 20, State: procedures.State{ID: "now"}}
	for k, c := range trips {
		if c.State == "" {
			c.State = "now"
		}
		c.Number = k + 1
		m.CutOuts = append(m.CutOuts, c)
	}
	return m
}

func TestAllow(t *testing.T) {
	for _, c := range []struct {
		what string
		m    procedures.Machine
		i    procedures.Amps
		air  *float64
		want float64
		by   source.Limit
		says string
	}{
		// Printed: 170 A at 40 % and 80 A at 30 % of 10 min (owner manuals, DC-MAN2 and
		// DC-MAN3); 400 A at 25 % is 282.8 A at 50 % (owner manual, DC-MAN).
		{"printed, 4 min", procedures.Machine{RatedAmps: 170, Duty: 40}, 170, nil, 240, source.ByPlate, "40 % at 170 A"},
		{"printed, 3 min", procedures.Machine{RatedAmps: 80, Duty: 30}, 80, nil, 180, source.ByPlate, "30 % at 80 A"},
		{"printed, half the time", procedures.Machine{RatedAmps: 400, Duty: 25}, 282.8, nil, 300, source.ByPlate, "rule of thumb"},
		// Reckoned by hand.
		{"rated", shed(), 90, nil, 120, source.ByPlate, "120 s"},
		{"current not said", shed(), 0, nil, 120, source.ByPlate, "120 s"},
		{"60 A", shed(), 60, nil, 270, source.ByPlate, "45 %"},
		{"cold enough for no rest", shed(), 40, nil, 600, source.ByPlate, "100 %"},
		{"above the plate", shed(), 120, nil, 67.5, source.ByPlate, "is a guess, and the cut-out decides"},
		{"air at the limit", shed(), 90, air(40), 120, source.ByPlate, "120 s"},
		{"air of 50 C", shed(), 90, air(50), 100, source.ByPlate, "50 C (122 F)"},
		{"no plate", procedures.Machine{}, 80, nil, 60, source.ByPractice, "not written down"},
		{"duty, but at which amps", procedures.Machine{Duty: 5}, 80, nil, 30, source.ByPractice, "not written down"},
		{"it tripped early", shed(procedures.CutOut{Used: 100, Current: 90}), 90, nil, 85, source.ByCutOuts, "cut-out 1 opened after 100 s"},
		{"the least counts", shed(procedures.CutOut{Used: 90, Current: 90}, procedures.CutOut{Used: 80, Current: 90}, procedures.CutOut{Used: 100, Current: 90}), 90, nil, 68, source.ByCutOuts, "cut-out 2"},
		{"carried to less current", shed(procedures.CutOut{Used: 80, Current: 90}), 60, nil, 153, source.ByCutOuts, "180 s here and now by the square"},
		{"carried to more current", shed(procedures.CutOut{Used: 240, Current: 60}), 120, nil, 51, source.ByCutOuts, "60 s here and now"},
		{"current not known, never stretched", shed(procedures.CutOut{Used: 100}), 60, nil, 85, source.ByCutOuts, "current not known"},
		{"current not known, taken as rated", shed(procedures.CutOut{Used: 72}), 120, nil, 34.425, source.ByCutOuts, "current not known"},
		{"it stood longer than the plate", shed(procedures.CutOut{Used: 200, Current: 90}), 90, nil, 120, source.ByPlate, "120 s"},
		{"before its output was changed", shed(procedures.CutOut{Used: 50, Current: 90, State: "before"}), 90, nil, 42.5, source.ByCutOuts, "before its output was changed, and it stands as the most"},
		{"withdrawn", shed(procedures.CutOut{Used: 50, Current: 90, Struck: "breaker, not cut-out"}), 90, nil, 120, source.ByPlate, "120 s"},
		{"it tripped in hot air, today is cool", shed(procedures.CutOut{Used: 100, Current: 90, Ambient: air(50)}), 90, air(20), 85, source.ByCutOuts, "air of 50 C"},
		{"it tripped in cool air, today is hot", shed(procedures.CutOut{Used: 100, Current: 90, Ambient: air(20)}), 90, air(52), 68, source.ByCutOuts, "sixtieth"},
		{"no plate never allows more", procedures.Machine{CutOuts: []procedures.CutOut{{Used: 300}}}, 80, nil, 60, source.ByPractice, "not written down"},
	} {
		a, err := source.Allow(c.m, c.i, c.air)
		if err != nil || !near(float64(a.Arc), c.want, 0.1) || a.By != c.by || !strings.Contains(a.Note, c.says) {
			t.Errorf("%s: got %.3f s by %s, %q, %v; want %g s by %s, saying %q", c.what, float64(a.Arc), a.By, a.Note, err, c.want, c.by, c.says)
		}
		for _, id := range a.Source {
			if _, ok := data.Sources()[id]; !ok {
				t.Errorf("%s: source %q is not known", c.what, id)
			}
		}
		if len(a.Source) == 0 {
			t.Errorf("%s: no source", c.what)
		}
	}
	a, err := source.Allow(shed(procedures.CutOut{Used: 50, State: "before"}, procedures.CutOut{Used: 100, Current: 90}), 90, nil)
	if err != nil || a.Trips != 1 || a.Other != 1 || a.Trip.Number != 1 || a.Plate != 120 {
		t.Errorf("%+v, %v", a, err)
	}
	tipped := shed(procedures.CutOut{Used: 40, Current: 90, State: "before"}) // a new tip since
	tipped.SameOutput = []string{"before", "now"}
	a, err = source.Allow(tipped, 90, nil)
	if err != nil || a.Trips != 1 || a.Other != 0 || !near(float64(a.Arc), 34, 1e-9) || strings.Contains(a.Note, "output") {
		t.Errorf("%+v, %v", a, err)
	}
	for _, v := range bad {
		if v != 0 {
			refused(t, "current", second(source.Allow(shed(), procedures.Amps(v), nil)))
		}
		if v < -40 || v > 60 {
			refused(t, "air", second(source.Allow(shed(), 90, air(v))))
		}
	}
	refused(t, "no arc left", second(source.Allow(shed(), 1900, nil)))
}

// No cut-out, no heat and no order of records ever allows more than the plate, and
// one more cut-out never allows more than before.
func TestAllowOnlyLowers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var trips []procedures.CutOut
		for range rapid.IntRange(0, 5).Draw(t, "trips") {
			c := procedures.CutOut{Used: procedures.Seconds(rapid.Float64Range(1, 600).Draw(t, "used")), State: rapid.SampledFrom([]string{"now", "before"}).Draw(t, "state")}
			if rapid.Bool().Draw(t, "measured") {
				c.Current = procedures.Amps(rapid.Float64Range(40, 200).Draw(t, "at"))
			}
			if rapid.Bool().Draw(t, "thermometer") {
				c.Ambient = air(rapid.Float64Range(-40, 60).Draw(t, "then"))
			}
			trips = append(trips, c)
		}
		m, i := shed(trips...), procedures.Amps(rapid.Float64Range(30, 200).Draw(t, "A"))
		if rapid.Bool().Draw(t, "no plate") {
			m.Duty = 0
		}
		hot := air(rapid.Float64Range(-40, 60).Draw(t, "air"))
		alone := m
		alone.CutOuts = nil
		plate, err := source.Allow(alone, i, nil)
		if err != nil {
			t.Fatal(err)
		}
		a, err := source.Allow(m, i, hot)
		if err != nil {
			return // less than a second is left: refused, see TestAllow
		}
		if a.Arc > plate.Arc || a.Arc > source.Period || a.Arc < 1 || a.Plate > 0 && a.Arc > a.Plate {
			t.Errorf("%v s of the plate's %v", a.Arc, plate.Arc)
		}
		if (a.By == source.ByCutOuts) != (a.Trip.Number > 0) {
			t.Errorf("by %s, cut-out %d", a.By, a.Trip.Number)
		}
		turned := m
		turned.CutOuts = slices.Clone(m.CutOuts)
		slices.Reverse(turned.CutOuts)
		if b, err := source.Allow(turned, i, hot); err != nil || b.Arc != a.Arc {
			t.Errorf("in another order %v s, not %v: %v", b.Arc, a.Arc, err)
		}
		for k := range m.CutOuts {
			fewer := m
			fewer.CutOuts = slices.Delete(slices.Clone(m.CutOuts), k, k+1)
			if b, err := source.Allow(fewer, i, hot); err != nil || b.Arc < a.Arc {
				t.Errorf("without cut-out %d it is %v s, not at least %v: %v", k+1, b.Arc, a.Arc, err)
			}
		}
	})
}
