package recommend_test

import (
	"math"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
)

// measured is the shed machine with the knob run out on both taps: 30 in/min for
// each mark from 2 to 8, and whatever else was measured.
func measured(more ...procedures.Measurement) procedures.Machine {
	m := procedures.Machine{Name: "shed", State: procedures.State{ID: "now", Number: 1}, Knob: procedures.Knob{Min: 1, Max: 10},
		Taps: []procedures.Tap{{Name: "low"}, {Name: "high"}}, Output: procedures.DCEN, RatedAmps: 90, Duty: 20, MaxAmps: 125}
	for k, mark := range []float64{2, 4, 6, 8} {
		for j, tap := range []string{"low", "high"} {
			m.RunOuts = append(m.RunOuts, procedures.RunOut{Number: 2*k + j + 1, State: "now", Tap: tap, Mark: mark, Length: procedures.Inches(5 * mark), Seconds: 10})
		}
	}
	for i := range more {
		more[i].Number = i + 1
		more[i].At = time.Date(2026, 5, 1, 10, i, 0, 0, time.UTC)
		if more[i].State == "" {
			more[i].State = "now"
		}
	}
	m.Measurements = more
	return m
}

func amps(mark, value float64) procedures.Measurement {
	return procedures.Measurement{Kind: procedures.ClampAmps, Spool: "spool", Tap: "high", Knob: &mark, Value: value}
}

func TestOwnCurrent(t *testing.T) {
	// 60, 120 and 180 in/min at 50, 70 and 90 A: a straight line of 1 A for 3 in/min.
	m := measured(amps(2, 50), amps(4, 70), amps(6, 90))
	fit, err := recommend.OwnCurrent(m, "spool")
	if err != nil {
		t.Fatal(err)
	}
	i, err := fit.Current(procedures.MPerMin(150 * 0.0254))
	if err != nil || math.Abs(i.Value-80) > 1e-6 {
		t.Errorf("at 150 in/min %+v, %v", i, err)
	}
	if _, err := fit.Current(procedures.MPerMin(200 * 0.0254)); err == nil {
		t.Error("a current beyond the readings")
	}
	if _, err := recommend.OwnCurrent(m, "another spool"); err == nil {
		t.Error("readings of one spool spoke for another")
	}
}

// A reading without a mark, on another wire, in an earlier state or outside the
// curve has no wire speed, and says why.
func TestAmpReadings(t *testing.T) {
	bare := procedures.Measurement{Kind: procedures.ClampAmps, Spool: "spool", Value: 60}
	before := amps(4, 65)
	before.State = "before"
	other := amps(4, 66)
	other.Spool = "other"
	got := recommend.AmpReadings(measured(bare, before, other, amps(9, 100), amps(4, 70)), "spool")
	if len(got) != 3 || got[0].Why == "" || got[0].WireSpeed != 0 || got[1].Why == "" || got[1].WireSpeed != 0 {
		t.Fatalf("%+v", got)
	}
	if v := got[2].WireSpeed.InchesPerMin(); math.Abs(v-120) > 1e-6 || got[2].Why != "" {
		t.Errorf("mark 4 is %v in/min", v)
	}
	m := measured(amps(2, 50), amps(4, 70), amps(6, 90))
	m.RunOuts = nil
	if _, err := recommend.OwnCurrent(m, "spool"); err == nil {
		t.Error("marks without a curve made a line")
	}
}

// With three readings the answer gives the amps of the welder's own meter at the
// wire speed that it sets, and says so; without the spool it does not.
func TestSuggestByOwnCurrent(t *testing.T) {
	r := recommend.Request{Machine: measured(amps(2, 55), amps(4, 80), amps(6, 105)), Spool: "spool", Job: job(3.175)}
	s, err := recommend.Suggest(r, nil)
	if err != nil || !s.Given() {
		t.Fatalf("%+v, %v", s, err)
	}
	want := 55 + 25*(s.Settings.WireSpeed.InchesPerMin()-60)/60
	if math.Abs(float64(s.Settings.Current)-want) > 1e-6 || s.Settings.How["current_A"] != procedures.OwnCurve {
		t.Errorf("%v A (%s), want %v", s.Settings.Current, s.Settings.How["current_A"], want)
	}
	if s.Table.WireSpeed != s.Settings.WireSpeed {
		t.Error("readings of current moved the wire speed")
	}
	r.Spool = ""
	if s, err = recommend.Suggest(r, nil); err != nil || s.Settings.Current != s.Table.Current {
		t.Errorf("%v A without a spool, %v", s.Settings.Current, err)
	}
}

func job(thickness procedures.MM) procedures.Job {
	return procedures.Job{Thickness: thickness, Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Steel: "mild", Process: procedures.FCAWS,
		Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}}
}

func TestBrackets(t *testing.T) {
	mark := func(kind procedures.MeasurementKind, tap string, v float64) procedures.Measurement {
		return procedures.Measurement{Kind: kind, Tap: tap, Value: v}
	}
	m := measured(mark(procedures.StubMark, "low", 7), mark(procedures.BurnBackMark, "low", 3), mark(procedures.StubMark, "high", 8), mark(procedures.StubMark, "low", 6))
	got := recommend.Brackets(m)
	if len(got) != 1 {
		t.Fatalf("%+v", got)
	}
	if b := got[0]; b.Tap != "low" || b.Middle != 4.5 || b.Width != 3 || b.Before == nil || *b.Before != 7 || b.At.Minute() != 3 {
		t.Errorf("%+v", b)
	}
	m.State.ID = "later"
	if got = recommend.Brackets(m); len(got) != 0 {
		t.Errorf("an earlier state's bracket: %+v", got)
	}
	if got = recommend.Brackets(measured(mark(procedures.StubMark, "", 3), mark(procedures.BurnBackMark, "", 7))); len(got) != 0 {
		t.Errorf("the wrong way round: %+v", got)
	}
}
