package recommend

import (
	"math"
	"strings"
	"testing"

	"beadwright/procedures"

	"pgregory.net/rapid"
)

// question asks the built-in machine, with no welds behind it.
func question(w procedures.Wire, t procedures.MM, j procedures.Joint, p procedures.Position) Request {
	job := procedures.Job{Steel: "mild", SteelGroup: "I", Thickness: t, Joint: j, Position: p, Wire: w, Process: procedures.FCAWS, Weld: procedures.Fillet}
	if j == procedures.Butt {
		job.Weld = procedures.SquareGroove
	}
	return Request{Job: job, Machine: ExampleMachine(procedures.FCAWS)}
}

var (
	someWires = []procedures.Wire{{Class: "E71T-11", Diameter: procedures.Inches(0.030)}, {Class: "E71T-11", Diameter: procedures.Inches(0.035)}, {Class: "E71T-11", Diameter: procedures.Inches(0.045)},
		{Class: "E71T-GS", Diameter: procedures.Inches(0.030)}, {Class: "E71T-GS", Diameter: procedures.Inches(0.035)}, {Class: "E71T-GS", Diameter: procedures.Inches(0.045)}}
	somePositions = []procedures.Position{procedures.Flat, procedures.Horizontal, procedures.VerticalUp, procedures.VerticalDown, procedures.Overhead}
	someJoints    = []procedures.Joint{procedures.Tee, procedures.Lap, procedures.Butt, procedures.Corner}
)

// TestThickerWantsMore: thicker metal never gets fewer amps, fewer passes, a smaller
// leg, more minutes of arc or less from the wall; what is set lies in its range; and
// units change no setting.
func TestThickerWantsMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SampledFrom(someWires).Draw(t, "wire")
		j := rapid.SampledFrom(someJoints).Draw(t, "joint")
		p := rapid.SampledFrom(somePositions).Draw(t, "position")
		thin := rapid.Float64Range(0.029, 0.32).Draw(t, "thin in")
		thick := thin * rapid.Float64Range(1, 1.3).Draw(t, "times")
		a, errA := Suggest(question(w, procedures.Inches(thin), j, p), History{})
		metric := question(w, procedures.Inches(thin), j, p)
		metric.Units = procedures.Metric
		m, errM := Suggest(metric, History{})
		b, errB := Suggest(question(w, procedures.Inches(thick), j, p), History{})
		if errA != nil || errB != nil || errM != nil {
			t.Fatal(errA, errB, errM)
		}
		if x, y := a.Settings, m.Settings; a.Verdict != m.Verdict || x.WireSpeed != y.WireSpeed || x.Current != y.Current || x.Voltage != y.Voltage || x.Tap != y.Tap || x.Passes != y.Passes || x.Travel != y.Travel || x.Leg != y.Leg || a.Range.WireSpeed != m.Range.WireSpeed || a.Expect.ArcSeconds != m.Expect.ArcSeconds {
			t.Fatalf("in millimeters %+v, in inches %+v", y, x)
		}
		if s := a.Settings; s.WireSpeed > 0 {
			inside := func(what string, v, low, high float64) {
				if !(v >= low-1e-9 && v <= high+1e-9 && low > 0) {
					t.Fatalf("%s %v is not within %v to %v", what, v, low, high)
				}
			}
			inside("wire speed", float64(s.WireSpeed), float64(a.Range.WireSpeed[0]), float64(a.Range.WireSpeed[1]))
			inside("current", float64(s.Current), float64(a.Range.Current[0]), float64(a.Range.Current[1]))
			inside("voltage", float64(s.Voltage), float64(a.Range.Voltage[0]), float64(a.Range.Voltage[1]))
			if a.Range.Current[1]-a.Range.Current[0] < 0.02*s.Current {
				t.Fatalf("%v A with a range of %v: the rows themselves scatter by a tenth", s.Current, a.Range.Current)
			}
		}
		if a.Settings.WireSpeed == 0 || b.Settings.WireSpeed == 0 {
			return
		}
		if b.Settings.Current < a.Settings.Current-1e-9 || b.Settings.WireSpeed < a.Settings.WireSpeed-1e-9 || b.Settings.Passes < a.Settings.Passes || b.Settings.Leg < a.Settings.Leg-1e-9 {
			t.Fatalf("%.4f in: %+v\n%.4f in: %+v", thin, a.Settings, thick, b.Settings)
		}
		if b.Expect.ArcSeconds > a.Expect.ArcSeconds+1e-9 || b.Expect.Supply < a.Expect.Supply-1e-9 || b.Expect.ShadeMin < a.Expect.ShadeMin {
			t.Fatalf("%.4f in: %+v\n%.4f in: %+v", thin, a.Expect, thick, b.Expect)
		}
	})
}

// TestMetricSpool: wire sold in millimeters is set as the inch size beside it, and a
// size between them is refused.
func TestMetricSpool(t *testing.T) {
	for _, class := range []string{"E71T-11", "E71T-GS"} {
		for mm, in := range map[procedures.MM]float64{0.8: 0.030, 0.9: 0.035, 1.2: 0.045} {
			got, err := Suggest(question(procedures.Wire{Class: class, Diameter: mm}, procedures.Inches(0.125), procedures.Tee, procedures.Flat), History{})
			want, errWant := Suggest(question(procedures.Wire{Class: class, Diameter: procedures.Inches(in)}, procedures.Inches(0.125), procedures.Tee, procedures.Flat), History{})
			if err != nil || errWant != nil {
				t.Fatal(err, errWant)
			}
			if g, w := got.Settings, want.Settings; w.WireSpeed == 0 || got.Verdict != want.Verdict || math.Abs(float64(g.WireSpeed-w.WireSpeed)) > 1e-9 || g.Current != w.Current || g.Extension != w.Extension || g.Tap != w.Tap {
				t.Errorf("%s of %g mm: %s %+v, of %g in: %s %+v", class, mm, got.Verdict, g, in, want.Verdict, w)
			}
		}
		got, err := Suggest(question(procedures.Wire{Class: class, Diameter: 1.0}, procedures.Inches(0.125), procedures.Tee, procedures.Flat), History{})
		if err != nil || got.Verdict != Outside || got.Settings.WireSpeed != 0 {
			t.Errorf("%s of 1.0 mm: %v, %v %+v", class, err, got.Verdict, got.Settings)
		}
	}
}

// TestEyesByTheBrightest: the shade is for the highest current that the rows give for
// the wire speed, for they scatter: at 59 A of E71T-11, which may be 65 A, 29 CFR
// 1910.133 asks for 10, which begins at 60 A.
func TestEyesByTheBrightest(t *testing.T) {
	for _, c := range []struct {
		mm       procedures.MM
		class    string
		min, try procedures.Count
	}{{1.0, "E71T-11", 7, 9}, {1.3, "E71T-11", 7, 9}, {1.5, "E71T-11", 10, 11}, {1.3, "E71T-GS", 10, 11}, {3.2, "E71T-11", 10, 11}} {
		s, err := Suggest(question(procedures.Wire{Class: c.class, Diameter: procedures.Inches(0.035)}, c.mm, procedures.Lap, procedures.Flat), History{})
		if err != nil || s.Expect.ShadeMin != c.min || s.Expect.ShadeSuggested != c.try {
			t.Errorf("%+v: %v, %.1f A, shade %d, begin at %d", c, err, float64(s.Settings.Current), s.Expect.ShadeMin, s.Expect.ShadeSuggested)
		}
	}
}

// TestOutsideIsToldApart: a thickness a hair past its limit does not read like the limit.
func TestOutsideIsToldApart(t *testing.T) {
	for in, want := range map[float64][2]string{
		0.0298:  {"0.0298 in (0.75692 mm) is outside the table for self-shielded wire, which runs from 0.030 in (0.76 mm)", "0.75692 mm is outside the table for self-shielded wire, which runs from 0.76 mm"},
		0.31251: {"for metal up to 5/16 in (7.9 mm); this is 0.31251 in (7.9378 mm)", "for metal up to 7.9 mm; this is 7.9378 mm"},
		0.5:     {"for metal up to 5/16 in (7.9 mm); this is 1/2 in (12.7 mm)", "for metal up to 7.9 mm; this is 12.7 mm"},
	} {
		for k, units := range []procedures.Units{procedures.US, procedures.Metric} {
			r := question(ExampleWire(), procedures.Inches(in), procedures.Tee, procedures.Flat)
			r.Units = units
			s, err := Suggest(r, History{})
			if err != nil || s.Verdict != Outside || len(s.Cautions) == 0 || !strings.Contains(s.Cautions[0].Text, want[k]) {
				t.Errorf("%v in, %s: %v, %s, %+v", in, units, err, s.Verdict, s.Cautions)
			}
		}
	}
}

// TestHowSure: current and leg are called no surer than the weakest row behind them:
// between printed rows 1 A for each 0.001 in, and a leg as thick as the metal, are
// common practice.
func TestHowSure(t *testing.T) {
	for in, want := range map[float64][2]procedures.How{
		0.0299: {procedures.FromTable, procedures.CommonPractice},
		0.0598: {procedures.CommonPractice, procedures.CommonPractice},
		0.125:  {procedures.CommonPractice, procedures.CommonPractice},
		0.1875: {procedures.FromTable, procedures.CommonPractice},
		0.3:    {procedures.FromTable, procedures.CommonPractice},
	} {
		s, err := Suggest(question(ExampleWire(), procedures.Inches(in), procedures.Tee, procedures.Flat), History{})
		if err != nil || s.Settings.How["current_A"] != want[0] || s.Settings.How["leg_mm"] != want[1] {
			t.Errorf("%v in: %v, %v", in, err, s.Settings.How)
		}
	}
}

// TestThinFilletWithGas: the printed fillet row for 0.6 mm (75 A, three times its butt
// row) is at the edge, the one for 1.6 mm is not.
func TestThinFilletWithGas(t *testing.T) {
	for mm, want := range map[procedures.MM]Verdict{0.6: Edge, 1.0: Edge, 1.6: Inside} {
		r := question(procedures.Wire{Class: "ER70S-6", Diameter: 0.6, Gas: "80Ar/20CO2"}, mm, procedures.Tee, procedures.Flat)
		r.Job.Process, r.Machine = procedures.GMAW, ExampleMachine(procedures.GMAW)
		s, err := Suggest(r, History{})
		if err != nil || s.Verdict != want || s.Settings.Current == 0 {
			t.Errorf("%v mm: %v, %s, %v A, %v", mm, err, s.Verdict, s.Settings.Current, s.Near)
		}
	}
}
