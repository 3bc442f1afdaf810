package arc_test

import (
	"math"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"

	"pgregory.net/rapid"
)

func wire(class string, inch float64, gas string) procedures.Wire {
	return procedures.Wire{Class: class, Diameter: procedures.Inches(inch), Gas: gas}
}

// every wire that has a table.
var wires = []procedures.Wire{
	wire("E71T-11", 0.030, ""), wire("E71T-11", 0.035, ""), wire("E71T-11", 0.045, ""),
	wire("E71T-GS", 0.030, ""), wire("E71T-GS", 0.035, ""), wire("E71T-GS", 0.045, ""),
	wire("ER70S-6", 0.023, "CO2"), wire("ER70S-6", 0.024, "80Ar/20CO2"), wire("ER70S-6", 0.030, "CO2"), wire("ER70S-6", 0.035, "CO2"), wire("ER70S-6", 0.045, "80Ar/20CO2"),
}

func anyWire() *rapid.Generator[procedures.Wire] { return rapid.SampledFrom(wires) }

func anyAmps(t *rapid.T, w procedures.Wire) procedures.Amps {
	r, err := arc.CurrentRange(w)
	if err != nil {
		t.Fatal(err)
	}
	return procedures.Amps(rapid.Float64Range(r.Low, r.High).Draw(t, "A"))
}

// There and back again, for every wire: current -> wire speed -> current.
func TestCurrentRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWire().Draw(t, "wire")
		i := anyAmps(t, w)
		s, err := arc.WireSpeed(w, i)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "wire speed", s)
		back, err := arc.Current(w, procedures.MPerMin(s.Value))
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "current", back)
		if math.Abs(back.Value-float64(i)) > 1e-6 {
			t.Errorf("%v: %v A came back as %v A", w, i, back.Value)
		}
	})
}

// More current takes more wire, and every end of the range moves the same way.
func TestWireSpeedMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWire().Draw(t, "wire")
		a, b := anyAmps(t, w), anyAmps(t, w)
		a, b = min(a, b), max(a, b)
		sa, errA := arc.WireSpeed(w, a)
		sb, errB := arc.WireSpeed(w, b)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if sa.Value > sb.Value || sa.Low > sb.Low+1e-12 || sa.High > sb.High+1e-12 {
			t.Errorf("%v: %v A %+v, %v A %+v", w, a, sa, b, sb)
		}
	})
}

// Outside the table there is an error at the last digit and no number.
func TestNothingIsExtrapolated(t *testing.T) {
	for _, w := range wires {
		r, err := arc.CurrentRange(w)
		if err != nil {
			t.Fatal(err)
		}
		for _, i := range []float64{r.Low * 0.999, r.High * 1.001} {
			v, err := arc.WireSpeed(w, procedures.Amps(i))
			e := outside(t, w.String(), err)
			if v.Value != 0 || e.Low != r.Low || e.High != r.High || e.Unit != "A" || len(e.Source) == 0 {
				t.Errorf("%v at %v A: %+v, %v", w, i, v, e)
			}
		}
		low, _ := arc.WireSpeed(w, procedures.Amps(r.Low))
		high, err := arc.WireSpeed(w, procedures.Amps(r.High))
		if err != nil {
			t.Errorf("%v: its own end is refused: %v", w, err)
		}
		for _, s := range []float64{low.Value * 0.999, high.Value * 1.001} {
			_, err := arc.Current(w, procedures.MPerMin(s))
			outside(t, w.String(), err)
		}
	}
}

// 0.030 in E71T-11 has no printed current: it follows 0.035 in by wire area, and
// says so; its range reaches to the solid-wire rule of 2.0 in/min an ampere.
func TestDerivedWire(t *testing.T) {
	thin, err := arc.WireSpeed(wire("E71T-11", 0.030, ""), 90)
	if err != nil {
		t.Fatal(err)
	}
	thick, _ := arc.WireSpeed(wire("E71T-11", 0.035, ""), 90)
	if want := thick.Value * math.Pow(0.035/0.030, 2); math.Abs(thin.Value-want) > 1e-12 {
		t.Errorf("%v, want %v", thin.Value, want)
	}
	if thin.Basis != data.Computed || thick.Basis != data.Printed {
		t.Errorf("bases %q and %q", thin.Basis, thick.Basis)
	}
	if got := procedures.MPerMin(thin.High).InchesPerMin(); math.Abs(got-180) > 1e-9 {
		t.Errorf("range ends at %v in/min, the rule gives 180", got)
	}
	// The wire itself is printed for 40 to 200 in/min: the rule may not reach past that.
	top, _ := arc.WireSpeed(wire("E71T-11", 0.030, ""), 120)
	if got := procedures.MPerMin(top.High).InchesPerMin(); math.Abs(got-200) > 1e-9 {
		t.Errorf("range ends at %v in/min, the sheet at 200", got)
	}
}

// E71T-GS and E71T-11 stay apart, and the disagreement of 1.6x is in the range.
func TestClassesStayApart(t *testing.T) {
	gs, err := arc.WireSpeed(wire("E71T-GS", 0.035, ""), 90)
	if err != nil {
		t.Fatal(err)
	}
	t11, _ := arc.WireSpeed(wire("E71T-11", 0.035, ""), 90)
	if ratio := gs.Value / t11.Value; math.Abs(ratio-1.6) > 1e-9 {
		t.Errorf("GS runs at %v of T-11", ratio)
	}
	if gs.Low > t11.Value || gs.Basis != data.Practice || gs.Note == "" {
		t.Errorf("the range of E71T-GS does not hold E71T-11: %+v", gs)
	}
	small, _ := arc.WireSpeed(wire("E71T-GS", 0.030, ""), 90)
	if small.High/small.Low < 1.6 {
		t.Errorf("no second figure for 0.030 in, and a range of only %v", small.High/small.Low)
	}
}

// A wire by its metric trade name is the same wire.
func TestMetricWireNames(t *testing.T) {
	for mm, inch := range map[float64]float64{0.6: 0.024, 0.8: 0.030, 0.9: 0.035, 1.2: 0.045} {
		a, errA := arc.WireSpeed(procedures.Wire{Class: "ER70S-6", Gas: "CO2", Diameter: procedures.MM(mm)}, 95)
		b, errB := arc.WireSpeed(wire("ER70S-6", inch, "CO2"), 95)
		if errA != nil || errB != nil || a.Value != b.Value {
			t.Errorf("%v mm: %v, %v in: %v (%v %v)", mm, a.Value, inch, b.Value, errA, errB)
		}
	}
}

func TestNoTable(t *testing.T) {
	for _, w := range []procedures.Wire{{}, wire("E71T-11", 0.052, ""), wire("E71T-11", 0.023, ""), wire("E71T-GS", 0.023, ""), wire("E71T-14", 0.030, ""), wire("E6013", 0.09375, ""),
		wire("ER70S-6", 0.0325, "CO2"), wire("E71T-11", math.NaN(), ""), wire("E71T-11", math.Inf(1), "")} {
		_, err := arc.WireSpeed(w, 90)
		noTable(t, w.String(), err)
		_, err = arc.Current(w, 3)
		noTable(t, w.String(), err)
		_, err = arc.CurrentRange(w)
		noTable(t, w.String(), err)
	}
	// A cored wire that wants a gas is not solid wire.
	cored := wire("E71T-1", 0.035, "CO2")
	_, err := arc.WireSpeed(cored, 90)
	noTable(t, "E71T-1", err)
	_, err = arc.Voltage(cored, procedures.Fillet, 90)
	noTable(t, "E71T-1", err)
	if e, err := arc.DepositionEfficiency(cored); err != nil || e.Value != 86 { // filler-metal handbook, FCAW-G
		t.Errorf("E71T-1: %+v, %v", e, err)
	}
	for _, v := range bad {
		_, err := arc.WireSpeed(wires[0], procedures.Amps(v))
		refused(t, "amps", err)
		_, err = arc.Current(wires[0], procedures.MPerMin(v))
		refused(t, "wire speed", err)
	}
}

func TestElectrodeCurrent(t *testing.T) {
	inch, err := arc.ElectrodeCurrent(wire("E6013", 3.0/32, ""))
	if err != nil || inch.Low != 50 || inch.High != 100 { // Machinery's Handbook, 31st ed., Table 13
		t.Errorf("%+v, %v", inch, err)
	}
	sound(t, "E6013", inch)
	metric, err := arc.ElectrodeCurrent(procedures.Wire{Class: "E6013", Diameter: 2.5})
	if err != nil || metric.Value != inch.Value {
		t.Errorf("2.5 mm: %+v, %v", metric, err)
	}
	_, err = arc.ElectrodeCurrent(wire("E6013", 0.1, ""))
	noTable(t, "0.1 in", err)
}
