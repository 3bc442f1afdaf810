package recommend

import (
	"fmt"
	"math"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// shed is a machine whose knob runs 60 % of what an even knob would at its low
// end; every mark was run out three times.
func shed(runs bool) procedures.Machine {
	m := ExampleMachine(procedures.FCAWS)
	m.Name, m.Example = "shed", false
	m.Knob = procedures.Knob{Min: 0, Max: 10}
	m.State = procedures.State{ID: "s1", Number: 1, Kind: procedures.Original}
	if !runs {
		return m
	}
	for mark := 1.0; mark <= 9; mark += 2 {
		for range 3 {
			m.RunOuts = append(m.RunOuts, procedures.RunOut{State: "s1", Tap: "high", Mark: mark, Seconds: 10, Length: procedures.MM(1000 * knobTruth(mark) / 6)})
		}
	}
	return m
}

// knobTruth is the wire speed at a mark, in m/min.
func knobTruth(mark float64) float64 { return 1 + 0.35*mark + 0.012*mark*mark }

func marked(m procedures.Machine, mark float64, rating int) procedures.Weld {
	w := goodWeld("1/8 mild tee flat", fmt.Sprintf("A%g", mark), 1, rating)
	w.Job.Machine, w.Job.State = m.Name, "s1"
	w.Settings.Tap, w.Settings.Knob = "high", &mark
	w.Settings.WireSpeed, _ = SpeedAt(m, "high", mark)
	w.Settings.How = map[string]procedures.How{"wire_speed_m_min": procedures.Guessed, "knob": procedures.Measured}
	return w
}

// TestLaterCalibration holds that a knob measured after the welds makes of them
// what they would have been, had it been measured before.
func TestLaterCalibration(t *testing.T) {
	guessing, measured := shed(false), shed(true)
	marks := map[float64]int{3: 2, 4: 4, 4.5: 5, 6: 2}
	curve, ok := feeder.CurveOf(measured, "s1", "high")
	if !ok {
		t.Fatal("no curve of three runs at five marks")
	}
	var late, early History
	for mark, rating := range marks {
		late = append(late, marked(guessing, mark, rating))
		w := marked(guessing, mark, rating)
		v, err := curve.SpeedAt(mark)
		if err != nil {
			t.Fatal(err)
		}
		w.Settings.WireSpeed = procedures.MPerMin(v.Value)
		w.Settings.How["wire_speed_m_min"] = procedures.Measured
		early = append(early, w)
	}
	before := late[0].Settings.WireSpeed
	shop := Shop{{Machine: measured, States: []procedures.State{measured.State}}}
	shop.Derive(late)
	if late[0].Settings.WireSpeed == before {
		t.Fatal("the curve changed nothing, so this test shows nothing")
	}
	r := asked(t, "1/8 mild tee flat")
	r.Machine, r.Shop = measured, shop
	a, err := Suggest(r, late)
	if err != nil {
		t.Fatal(err)
	}
	b, err := Suggest(r, early)
	if err != nil {
		t.Fatal(err)
	}
	if x, y := a.Settings.WireSpeed, b.Settings.WireSpeed; math.Abs(float64(x/y)-1) > 1e-12 {
		t.Errorf("calibrated later: %v m/min, calibrated before: %v", x, y)
	}
	if a.Settings.WireSpeed == a.Table.WireSpeed {
		t.Error("four beads at other wire speeds moved nothing")
	}
}

// TestDerive holds that only what was not measured is derived, and that a curve
// of another state makes a guess.
func TestDerive(t *testing.T) {
	m := shed(true)
	shop := Shop{{Machine: m}}
	for _, c := range []struct {
		name   string
		change func(*procedures.Weld)
		mark   float64 // whose wire speed is expected; 0: as logged
		how    procedures.How
	}{
		{"guessed from the mark", func(*procedures.Weld) {}, 5, procedures.OwnCurve},
		{"measured on the wire itself", func(w *procedures.Weld) { w.Settings.How["wire_speed_m_min"] = procedures.Measured }, 0, procedures.Measured},
		{"no mark", func(w *procedures.Weld) { w.Settings.Knob = nil }, 0, procedures.Guessed},
		{"another machine", func(w *procedures.Weld) { w.Job.Machine = "elsewhere" }, 0, procedures.Guessed},
		{"another state", func(w *procedures.Weld) { w.Job.State = "s0" }, 5, procedures.Guessed},
		{"another tap", func(w *procedures.Weld) { w.Settings.Tap = "low" }, 5, procedures.Guessed},
		{"past the marks measured", func(w *procedures.Weld) { *w.Settings.Knob = 9.5 }, 0, procedures.Guessed},
		{"how not known", func(w *procedures.Weld) { w.Settings.How = nil }, 5, procedures.OwnCurve},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := marked(shed(false), 5, 4)
			c.change(&w)
			want := w.Settings.WireSpeed
			if c.mark > 0 {
				want = procedures.MPerMin(knobTruth(c.mark))
			}
			list := []procedures.Weld{w}
			shop.Derive(list)
			if got := list[0].Settings.WireSpeed; math.Abs(float64(got/want)-1) > 1e-9 {
				t.Errorf("%v m/min, want %v", got, want)
			}
			if got := list[0].Settings.How["wire_speed_m_min"]; got != c.how {
				t.Errorf("how %q, want %q", got, c.how)
			}
		})
	}
}

// TestCalibratedNarrows holds that a measured knob makes an untried machine less
// uncertain.
func TestCalibratedNarrows(t *testing.T) {
	r := asked(t, "1/8 mild tee flat")
	h := History{goodWeld("1/8 mild tee flat", "A1", 1.1, 4)} // on another machine
	width := func(m procedures.Machine) float64 {
		r.Machine, r.Shop, r.Now = m, Shop{{Machine: m, States: []procedures.State{m.State}}}, time.Time{}
		s, err := Suggest(r, h)
		if err != nil {
			t.Fatal(err)
		}
		return math.Log(float64(s.Range.WireSpeed[1] / s.Range.WireSpeed[0]))
	}
	if a, b := width(shed(true)), width(shed(false)); a >= b {
		t.Errorf("measured %v, not measured %v", a, b)
	}
}

func BenchmarkDerive(b *testing.B) {
	m := shed(true)
	welds := make([]procedures.Weld, 100_000)
	for i := range welds {
		welds[i] = marked(m, 2+float64(i%24)/4, 1+i%5)
	}
	shop := Shop{{Machine: m}}
	for b.Loop() {
		shop.Derive(welds)
	}
}
