package feeder_test

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/feeder"
)

// run is a run-out of 10 s at a mark that gave a wire speed in in/min.
func run(state, tap string, mark, ipm float64) procedures.RunOut {
	return procedures.RunOut{State: state, Tap: tap, Mark: mark, Length: procedures.Inches(ipm / 6), Seconds: 10}
}

func shed(runs ...procedures.RunOut) procedures.Machine {
	return procedures.Machine{Name: "shed", State: procedures.State{ID: "now"}, Taps: []procedures.Tap{{Name: "low"}, {Name: "high"}}, Knob: procedures.Knob{Min: 1, Max: 10}, RunOuts: runs}
}

func about(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance*math.Abs(want) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// TestReference: values by scipy's PchipInterpolator and brentq, of curves.py.
func TestReference(t *testing.T) {
	f, err := os.Open("testdata/curves.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 90 {
		t.Fatalf("%d rows: %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		var marks, speeds []float64
		if err := errors.Join(json.Unmarshal([]byte(row[0]), &marks), json.Unmarshal([]byte(row[1]), &speeds)); err != nil {
			t.Fatal(err)
		}
		at, errA := strconv.ParseFloat(row[3], 64)
		want, errW := strconv.ParseFloat(row[4], 64)
		if err := errors.Join(errA, errW); err != nil {
			t.Fatal(err)
		}
		m := shed()
		for i := range marks {
			m.RunOuts = append(m.RunOuts, run("now", "high", marks[i], speeds[i]))
		}
		c, ok := feeder.CurveOf(m, "now", "high")
		if !ok {
			t.Fatal("no curve")
		}
		var v arc.Value
		if row[2] == "speed" {
			v, err = c.SpeedAt(at)
			v.Value = procedures.MPerMin(v.Value).InchesPerMin()
		} else {
			v, err = c.MarkAt(procedures.InchesPerMin(at))
		}
		if err != nil {
			t.Fatal(row, err)
		}
		about(t, strings.Join(row[:4], " "), v.Value, want, 1e-8)
	}
}

// TestPoints: medians, spread and timing error. The errors are own arithmetic:
// 0.3 s of 6, 10 and 15 s are 5, 3 and 2 %.
func TestPoints(t *testing.T) {
	m := shed(run("now", "high", 5, 200), run("now", "high", 3, 130), run("now", "HIGH", 5, 204), run("now", "high", 5, 190), run("now", "high", 3, 126),
		run("now", "low", 5, 100), run("old", "high", 5, 100))
	c, ok := feeder.Own(m, "now", "high")
	if !ok || len(c.Points) != 2 || c.From != "" || c.Calibrated() || len(c.Again) != 0 {
		t.Fatalf("%+v", c)
	}
	three, five := c.Points[0], c.Points[1]
	about(t, "median of two", three.Speed.InchesPerMin(), 128, 1e-9)
	about(t, "median of three", five.Speed.InchesPerMin(), 200, 1e-9)
	about(t, "slowest", five.Low.InchesPerMin(), 190, 1e-9)
	about(t, "fastest", five.High.InchesPerMin(), 204, 1e-9)
	about(t, "error", five.Error, 3*math.Sqrt(math.Pi/6), 1e-9)
	if three.Count != 2 || five.Count != 3 || three.Mark != 3 || five.Mark != 5 {
		t.Errorf("%+v", c.Points)
	}
	for _, k := range []struct {
		run  procedures.RunOut
		want float64
	}{
		{procedures.RunOut{Seconds: 6}, 5}, {procedures.RunOut{Seconds: 10}, 3}, {procedures.RunOut{Seconds: 15}, 2},
		{procedures.RunOut{Seconds: 15, ShortSeconds: 5}, 3 * math.Sqrt2}, // two runs are timed
	} {
		about(t, "timing", feeder.Timing(k.run), k.want, 1e-12)
	}
}

// TestShortRun: a pair of runs cancels a start lag that would tilt a single one.
func TestShortRun(t *testing.T) {
	const lag, ipm = 0.5, 240.0
	fed := func(s float64) procedures.MM { return procedures.Inches(ipm / 60 * (s - lag)) }
	c, _ := feeder.Own(shed(procedures.RunOut{State: "now", Mark: 4, Length: fed(15), Seconds: 15, ShortLength: fed(5), ShortSeconds: 5}), "now", "")
	about(t, "pair", c.Points[0].Speed.InchesPerMin(), ipm, 1e-9)
	c, _ = feeder.Own(shed(procedures.RunOut{State: "now", Mark: 4, Length: fed(10), Seconds: 10}), "now", "")
	about(t, "single", c.Points[0].Speed.InchesPerMin(), ipm*0.95, 1e-9)
}

// TestRefuses: nothing is said beyond the outermost marks, not by a hair.
func TestRefuses(t *testing.T) {
	m := shed(run("now", "", 1, 70), run("now", "", 5, 190), run("now", "", 9, 310))
	c, _ := feeder.CurveOf(m, "now", "")
	for _, mark := range []float64{0.999, 9.001, 0, 10, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		var out *arc.RangeError
		if v, err := c.SpeedAt(mark); !errors.As(err, &out) || v.Value != 0 || out.Low != 1 || out.High != 9 {
			t.Errorf("mark %v: %+v, %v", mark, v, err)
		}
	}
	for _, ipm := range []float64{69.99, 310.01, 0, -70, math.NaN(), math.Inf(1)} {
		var out *arc.RangeError
		if v, err := c.MarkAt(procedures.InchesPerMin(ipm)); !errors.As(err, &out) || v.Value != 0 {
			t.Errorf("%v in/min: %+v, %v", ipm, v, err)
		}
	}
	for _, mark := range []float64{1, 9, 1 - 1e-12, 9 + 1e-12} {
		if _, err := c.SpeedAt(mark); err != nil {
			t.Errorf("mark %v: %v", mark, err)
		}
	}
	for _, ipm := range []float64{70, 310} {
		if _, err := c.MarkAt(procedures.MPerMin(ipm * 0.0254)); err != nil {
			t.Errorf("%v in/min: %v", ipm, err)
		}
	}
	one, _ := feeder.CurveOf(shed(run("now", "", 4, 150)), "now", "")
	if v, err := one.SpeedAt(4); err != nil || math.Abs(procedures.MPerMin(v.Value).InchesPerMin()-150) > 1e-9 {
		t.Errorf("one mark: %+v, %v", v, err)
	}
	if v, err := one.MarkAt(procedures.InchesPerMin(150)); err != nil || v.Value != 4 {
		t.Errorf("one mark: %+v, %v", v, err)
	}
	if _, err := one.SpeedAt(4.25); err == nil {
		t.Error("one mark answers for another")
	}
	if c, ok := feeder.CurveOf(shed(), "now", "high"); ok {
		t.Errorf("no run-outs: %+v", c)
	}
}

// TestFallback: what stands in for run-outs of the very state and tap, in words
// and wider.
func TestFallback(t *testing.T) {
	full := func(state, tap string, faster float64) (runs []procedures.RunOut) {
		for _, mark := range []float64{1, 5, 9} {
			runs = append(runs, run(state, tap, mark, faster+30*mark))
		}
		return runs
	}
	at := func(m procedures.Machine, state, tap string) (feeder.Curve, arc.Value) {
		t.Helper()
		c, ok := feeder.CurveOf(m, state, tap)
		if !ok {
			t.Fatal("no curve")
		}
		v, err := c.SpeedAt(5)
		if err != nil {
			t.Fatal(err)
		}
		return c, v
	}
	wide := func(v arc.Value) float64 { return (v.High - v.Low) / v.Value }
	all := slices.Concat(full("older", "high", 10), full("old", "low", 20), full("old", "high", 30), full("now", "low", 40))
	own, low := at(shed(all...), "now", "low")
	if own.From != "" || low.Note != "" || slices.Contains(low.Source, "CP") {
		t.Errorf("%+v %+v", own, low)
	}
	for _, k := range []struct {
		name       string
		runs       []procedures.RunOut
		state, tap string
		from       string
		ipm        float64
	}{
		{"another tap", all, "now", "high", "run-outs on the LOW tap", 190},
		{"the latest earlier state", all[:9], "now", "high", "run-outs from before the machine was changed", 180},
		{"its other tap", slices.Concat(all[:3], all[3:6]), "now", "high", "run-outs on the LOW tap, from before the machine was changed", 170},
		{"one mark of its own is not enough", slices.Concat(all, []procedures.RunOut{run("now", "high", 5, 500)}), "now", "high", "run-outs on the LOW tap", 190},
		{"two are", slices.Concat(all, []procedures.RunOut{run("now", "high", 5, 250), run("now", "high", 6, 300)}), "now", "high", "", 250},
		{"one mark and nothing else", []procedures.RunOut{run("now", "high", 5, 250)}, "now", "high", "", 250},
		{"tap not said", []procedures.RunOut{run("now", "", 5, 250), run("now", "", 6, 300)}, "now", "low", "run-outs on no tap that was said", 250},
		{"an old state", all, "old", "low", "", 170},
	} {
		c, v := at(shed(k.runs...), k.state, k.tap)
		if c.From != k.from || v.Note != k.from || v.How() != procedures.OwnCurve {
			t.Errorf("%s: from %q, %+v", k.name, c.From, v)
		}
		about(t, k.name, procedures.MPerMin(v.Value).InchesPerMin(), k.ipm, 1e-9)
		if k.from != "" && (wide(v) < wide(low)*1.5 || !slices.Contains(v.Source, "CP")) {
			t.Errorf("%s: %+v is no wider than %+v", k.name, v, low)
		}
	}
	if c, ok := feeder.CurveOf(shed(full("old", "low", 0)...), "older", "low"); ok {
		t.Errorf("a state from before the run-outs has %+v", c)
	}
}

// TestLevels: medians that fall are pooled as isotonic regression does. The check
// is its min-max formula (Barlow and others, Statistical inference under order
// restrictions, 1972): max over j<=i of min over k>=i of the mean of j through k.
func TestLevels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := shed()
		speeds := rapid.SliceOfN(rapid.Float64Range(50, 400), 1, 8).Draw(t, "speeds")
		for i, v := range speeds {
			m.RunOuts = append(m.RunOuts, run("now", "", float64(i+1), v))
		}
		c, ok := feeder.Own(m, "now", "")
		if !ok {
			t.Fatal("no curve")
		}
		falls := false
		for i := range speeds {
			want := math.Inf(-1)
			for j := 0; j <= i; j++ {
				least := math.Inf(1)
				for k := i; k < len(speeds); k++ {
					sum := 0.0
					for _, v := range speeds[j : k+1] {
						sum += v
					}
					least = math.Min(least, sum/float64(k-j+1))
				}
				want = math.Max(want, least)
			}
			v, err := c.SpeedAt(float64(i + 1))
			if err != nil {
				t.Fatal(err)
			}
			if got := procedures.MPerMin(v.Value).InchesPerMin(); math.Abs(got-want) > 1e-6 {
				t.Fatalf("mark %d: %v, want %v", i+1, got, want)
			}
			if i > 0 && speeds[i] < speeds[i-1] {
				falls = true
				if !slices.Contains(c.Again, float64(i)) || !slices.Contains(c.Again, float64(i+1)) {
					t.Fatalf("the marks %d and %d are not asked for again: %v", i, i+1, c.Again)
				}
			}
		}
		if falls != (len(c.Again) > 0) {
			t.Fatalf("again: %v for %v", c.Again, speeds)
		}
	})
}

// TestCurveProperties: never falling, never beyond the speeds measured, the true
// inverse, with the value in its range.
func TestCurveProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := shed()
		mark := 0.0
		for range rapid.IntRange(1, 7).Draw(t, "marks") {
			mark += rapid.Float64Range(0.25, 3).Draw(t, "step")
			for range rapid.IntRange(1, 3).Draw(t, "runs") {
				m.RunOuts = append(m.RunOuts, run("now", "", mark, rapid.Float64Range(30, 600).Draw(t, "ipm")))
			}
		}
		c, _ := feeder.CurveOf(m, "now", "")
		marks, speeds := c.Reach()
		last := math.Inf(-1)
		for i := range 41 {
			x := marks[0] + (marks[1]-marks[0])*float64(i)/40
			v, err := c.SpeedAt(x)
			if err != nil {
				t.Fatal(err)
			}
			if v.Value < last-1e-9 || v.Value < float64(speeds[0])-1e-9 || v.Value > float64(speeds[1])+1e-9 || v.Low > v.Value || v.High < v.Value || !(v.Low < v.High) {
				t.Fatalf("mark %v: %+v after %v, reach %v", x, v, last, speeds)
			}
			last = v.Value
			back, err := c.MarkAt(procedures.MPerMin(v.Value))
			if err != nil {
				t.Fatal(err)
			}
			again, err := c.SpeedAt(back.Value)
			if err != nil || math.Abs(again.Value-v.Value) > 1e-6 {
				t.Fatalf("%v m/min: mark %v, which gives %v: %v", v.Value, back.Value, again.Value, err)
			}
			if back.Low > back.Value || back.High < back.Value || back.Low < marks[0] || back.High > marks[1] {
				t.Fatalf("%+v outside %v", back, marks)
			}
		}
	})
}

func BenchmarkCurveOf(b *testing.B) {
	m := shed()
	for _, tap := range []string{"low", "high"} {
		for _, mark := range []float64{1, 3, 5, 7, 9} {
			for k := range 3 {
				m.RunOuts = append(m.RunOuts, run("now", tap, mark, 40+30*mark+float64(k)))
			}
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, ok := feeder.CurveOf(m, "now", "high"); !ok {
			b.Fatal("no curve")
		}
	}
}

func BenchmarkMarkAt(b *testing.B) {
	m := shed(run("now", "", 1, 70), run("now", "", 5, 190), run("now", "", 9, 310))
	c, _ := feeder.CurveOf(m, "now", "")
	for b.Loop() {
		if _, err := c.MarkAt(4); err != nil {
			b.Fatal(err)
		}
	}
}

// What nothing touched runs as it ran: a curve outlives a new clamp, and not a new
// liner.
func TestCurveOutlivesAClamp(t *testing.T) {
	m := procedures.Machine{State: procedures.State{ID: "third"}, SameFeeder: []string{"second", "third"}}
	for _, r := range []struct {
		state  string
		mark   float64
		length procedures.MM
	}{{"first", 5, 1000}, {"second", 3, 700}, {"second", 5, 1100}, {"second", 7, 1500}} {
		m.RunOuts = append(m.RunOuts, procedures.RunOut{Number: len(m.RunOuts) + 1, State: r.state, Tap: "high", Mark: r.mark, Length: r.length, Seconds: 10})
	}
	for _, state := range []string{"second", "third"} {
		c, ok := feeder.CurveOf(m, state, "high")
		if !ok || len(c.Points) != 3 || c.From != "" || c.State != state || !c.Calibrated() {
			t.Errorf("%s: %+v", state, c)
		}
	}
	if c, ok := feeder.Own(m, "first", "high"); !ok || len(c.Points) != 1 {
		t.Errorf("before the liner: %+v", c)
	}
	m.SameFeeder = []string{"third"}
	if c, ok := feeder.CurveOf(m, "third", "high"); !ok || c.From == "" {
		t.Errorf("after a new liner: %+v", c)
	}
}
