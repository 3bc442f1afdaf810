package recommend

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"beadwright/procedures"
)

// asked is the request that words make on the example machine.
func asked(t testing.TB, words string) Request {
	t.Helper()
	r, err := procedures.ReadJob(words, procedures.US, Lexicon())
	if err != nil {
		t.Fatal(err)
	}
	if r.Job.Class == "" {
		r.Job.Wire, r.Job.Process = ExampleWire(), procedures.FCAWS
	}
	r.Job.Thickness = max(r.Job.Thickness, 1)
	if err := r.Complete(); err != nil {
		t.Fatal(err)
	}
	return Request{Job: r.Job, Machine: ExampleMachine(r.Job.Process), Words: words}
}

const sixtyFourth = procedures.MM(procedures.MMPerInch / 64)

// TestThicknesses holds the ends to the first and last rows of the tables.
func TestThicknesses(t *testing.T) {
	for _, c := range []struct {
		words     string
		low, high float64 // mm; 0: none
	}{
		{"tee flat", 0.76, 7.93},                         // 0.0299 in to 0.3125 in, WD-T11
		{"butt flat 0.035 ER70S-6 co2", 1.2, 3.2},        // PS-CO2, rows for wire of 0.9 mm
		{"tee horizontal 0.035 ER70S-6 80/20", 2.4, 3.2}, // PS-M21
		{"butt overhead 0.035 ER70S-6 co2", 0, 0},        // no row
		{"tee flat E6013 1/8 electrode", 0, 0},           // no wire speed
	} {
		r := asked(t, c.words)
		row := Thicknesses(r, sixtyFourth)
		if c.high == 0 {
			if len(row) > 0 {
				t.Errorf("%q: %v", c.words, row)
			}
			continue
		}
		if len(row) < 3 || !slices.IsSorted(row) {
			t.Fatalf("%q: %v", c.words, row)
		}
		if low, high := float64(row[0]), float64(row[len(row)-1]); math.Abs(low-c.low) > 1e-9 || math.Abs(high-c.high) > 1e-9 {
			t.Errorf("%q: from %v to %v mm, the tables go from %v to %v", c.words, low, high, c.low, c.high)
		}
		for _, mm := range row {
			if !r.covers(mm) {
				t.Errorf("%q: no table covers %v mm", c.words, mm)
			}
		}
		if !slices.ContainsFunc(row, func(mm procedures.MM) bool { return math.Abs(float64(mm)-3.175) < 1e-9 }) {
			t.Errorf("%q: 1/8 in is not in the row %v", c.words, row)
		}
	}
	for _, step := range []procedures.MM{0, -1, 0.001, 11, procedures.MM(math.NaN()), procedures.MM(math.Inf(1))} {
		if row := Thicknesses(asked(t, "tee flat"), step); row != nil {
			t.Errorf("step %v: %v", step, row)
		}
	}
}

// TestCurveIsSuggest: each point is what a question about that thickness gets.
func TestCurveIsSuggest(t *testing.T) {
	r := asked(t, "tee flat 0.035 E71T-11")
	h := History{goodWeld("1/8 tee flat", "A1", 1.1, 5), goodWeld("16ga plain tee flat", "A2", 1.05, 4), goodWeld("1/8 lap flat", "A3", 1, 2)}
	row := append(Thicknesses(r, 4*sixtyFourth), 0.3, 25)
	points, err := Curve(r, h, row)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range points {
		one := r
		one.Job.Thickness = row[i]
		s, err := Suggest(one, h)
		if err != nil {
			t.Fatal(err)
		}
		want := CurvePoint{Thickness: row[i], Verdict: s.Verdict, Table: s.Table.WireSpeed, WireSpeed: s.Settings.WireSpeed, Low: s.Range.WireSpeed[0], High: s.Range.WireSpeed[1]}
		got := CurvePoint{Thickness: p.Thickness, Verdict: p.Verdict, Table: p.Table, WireSpeed: p.WireSpeed, Low: p.Low, High: p.High}
		if fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%v mm: %+v, suggested %+v", row[i], got, want)
		}
		if p.Given() == (p.Why != "") || p.Given() && (len(p.Source) == 0 || p.Tap == "") {
			t.Errorf("%v mm: %+v", row[i], p)
		}
	}
	if last := points[len(points)-1]; last.Given() || last.Verdict != Outside || points[len(points)-2].Given() {
		t.Errorf("0.3 and 25 mm: %+v", points[len(points)-2:])
	}
}

// TestCurveProperties: without welds the curve is the table; with any it stays
// within the limits, and its range holds it.
func TestCurveProperties(t *testing.T) {
	jobs := []string{"tee flat", "lap vertical down", "butt flat 0.030 E71T-11", "tee overhead 0.030 E71T-GS", "tee horizontal 0.035 ER70S-6 80/20"}
	rapid.Check(t, func(t *rapid.T) {
		words := rapid.SampledFrom(jobs).Draw(t, "job")
		rd, err := procedures.ReadJob("1/16 "+words, procedures.US, Lexicon())
		if err != nil {
			t.Fatal(err)
		}
		if rd.Job.Class == "" {
			rd.Job.Wire, rd.Job.Process = ExampleWire(), procedures.FCAWS
		}
		if err := rd.Complete(); err != nil {
			t.Fatal(err)
		}
		r := Request{Job: rd.Job, Machine: ExampleMachine(rd.Job.Process), Words: words}
		row := Thicknesses(r, procedures.MM(rapid.Float64Range(0.3, 1).Draw(t, "step")))
		if len(row) == 0 {
			t.Fatal("no thickness at all")
		}
		var h History
		for i := range rapid.IntRange(0, 6).Draw(t, "welds") {
			mm := rapid.SampledFrom(row).Draw(t, "mm")
			w := procedures.Weld{Mark: fmt.Sprintf("A%d", i+1), Job: rd.Job, Outcome: procedures.Outcome{Rating: procedures.Count(rapid.IntRange(1, 5).Draw(t, "rating"))}}
			w.Job.Thickness = mm
			w.Settings.WireSpeed = procedures.MPerMin(rapid.Float64Range(0.5, 12).Draw(t, "wire speed"))
			if taps := r.Machine.TapNames(); len(taps) > 0 {
				w.Settings.Tap = rapid.SampledFrom(taps).Draw(t, "tap")
			}
			h = append(h, w)
		}
		points, err := Curve(r, h, row)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range points {
			if !p.Given() {
				if p.Table != 0 || p.Low != 0 || p.High != 0 || p.Verdict != Outside || p.Why == "" {
					t.Fatalf("no speed and yet: %+v", p)
				}
				continue
			}
			if len(h) == 0 && p.WireSpeed != p.Table {
				t.Fatalf("no welds, and not the table: %+v", p)
			}
			if !(0 < p.Low && p.Low <= p.WireSpeed && p.WireSpeed <= p.High) {
				t.Fatalf("the range does not hold the value: %+v", p)
			}
			if over := float64(p.WireSpeed / p.Table); over < 0.60-1e-9 || over > 1.65+1e-9 || p.WireSpeed > r.Machine.WireMax || p.WireSpeed < r.Machine.WireMin {
				t.Fatalf("outside the limits: %+v", p)
			}
		}
	})
}

// TestCurveRefuses: the gate and the reader of jobs come first, and a thickness
// must be one.
func TestCurveRefuses(t *testing.T) {
	hitch := asked(t, "tee flat for a trailer hitch")
	points, err := Curve(hitch, nil, []procedures.MM{3, 6})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range points {
		if p.Verdict != Refused || p.Given() || p.Table != 0 || p.Why == "" {
			t.Errorf("a trailer hitch: %+v", p)
		}
	}
	var bad *procedures.InvalidError
	for _, mm := range []float64{0, -3, 1e9, math.NaN(), math.Inf(1)} {
		if _, err := Curve(asked(t, "tee flat"), nil, []procedures.MM{procedures.MM(mm)}); !errors.As(err, &bad) {
			t.Errorf("%v mm: %v", mm, err)
		}
	}
	stick := asked(t, "tee flat E6013 1/8 electrode")
	if _, err := Curve(stick, nil, []procedures.MM{3}); !errors.As(err, &bad) || bad.Field != "wire" {
		t.Errorf("a covered electrode: %v", err)
	}
}

// TestCurveStopsAtTheTable: a tested weld beyond the tables is no curve, though
// Suggest may point at it.
func TestCurveStopsAtTheTable(t *testing.T) {
	r := asked(t, "tee flat")
	w := goodWeld("1/8 tee flat", "A1", 1, 5)
	w.Job.Thickness = 12
	w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true}}
	if s, err := Suggest(r.at(12), History{w}); err != nil || s.Verdict != Edge {
		t.Fatalf("%s %v", s.Verdict, err)
	}
	points, err := Curve(r, History{w}, []procedures.MM{12})
	if err != nil || points[0].Given() || points[0].Verdict != Outside || points[0].Why == "" {
		t.Errorf("%+v %v", points, err)
	}
}

// TestCurveTakesTodayAsAnyDay: the rules of a bead under way put no spike in it.
func TestCurveTakesTodayAsAnyDay(t *testing.T) {
	r := asked(t, "tee flat")
	r.Now = time.Date(2026, 3, 7, 12, 0, 0, 0, time.UTC)
	w := goodWeld("1/8 tee flat", "A1", 1, 2)
	w.At = r.Now.Add(-time.Hour)
	w.Outcome.Symptoms = []string{"burn-through"}
	today, err := Curve(r, History{w}, []procedures.MM{3.175})
	if err != nil {
		t.Fatal(err)
	}
	r.Now = time.Time{}
	later, err := Curve(r, History{w}, []procedures.MM{3.175})
	if err != nil || fmt.Sprint(today) != fmt.Sprint(later) {
		t.Errorf("today %+v, any day %+v (%v)", today, later, err)
	}
}

func BenchmarkCurve(b *testing.B) {
	r := asked(b, "tee flat")
	row := Thicknesses(r, 7.2/60)
	for _, n := range []int{0, 1000} {
		var h History
		for i := range n {
			w := goodWeld([]string{"1/8 tee flat", "16ga plain lap flat", "3/16 tee horizontal", "1/16 butt flat"}[i%4], fmt.Sprintf("W%d", i), 1+float64(i%9)/50, 1+i%5)
			w.At = time.Date(2026, 1, 1+i/6, 9, i%60, 0, 0, time.UTC)
			h = append(h, w)
		}
		b.Run(fmt.Sprintf("%d welds", n), func(b *testing.B) {
			b.ReportMetric(float64(len(row)), "points")
			for b.Loop() {
				if _, err := Curve(r, h, row); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
