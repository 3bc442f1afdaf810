package arc_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"

	"pgregory.net/rapid"
)

func TestSayTravel(t *testing.T) {
	for _, c := range []struct {
		v     procedures.MMPerMin
		units procedures.Units
		want  string
	}{
		{procedures.TravelInchesPerMin(10), procedures.US, "4 in in 24 s"},
		{procedures.TravelInchesPerMin(8), procedures.US, "4 in in 30 s"},
		{procedures.TravelInchesPerMin(2), procedures.US, "2 in in 60 s"},
		{procedures.TravelInchesPerMin(30), procedures.US, "6 in in 12 s"},
		{250, procedures.Metric, "100 mm in 24 s"},
		{10, procedures.Metric, "25 mm in 150 s"},
	} {
		got, err := arc.SayTravel(c.v, c.units)
		if err != nil || got != c.want {
			t.Errorf("%v: got %q, %v, want %q", c.v, got, err, c.want)
		}
	}
	for _, v := range bad {
		_, err := arc.SayTravel(procedures.MMPerMin(v), procedures.US)
		refused(t, "travel", err)
	}
}

// What is said reads back as the pace, to within the half second of a stopwatch.
func TestSayTravelReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := procedures.MMPerMin(math.Exp(rapid.Float64Range(math.Log(11), math.Log(4500)).Draw(t, "ln mm/min")))
		units := rapid.SampledFrom([]procedures.Units{procedures.US, procedures.Metric}).Draw(t, "units")
		said, err := arc.SayTravel(v, units)
		if err != nil {
			t.Fatal(err)
		}
		back, err := procedures.ParseTravel(said, units)
		if err != nil || math.Abs(float64(back/v)-1) > 0.05+1e-9 {
			t.Errorf("%v mm/min said as %q reads as %v, %v", v, said, back, err)
		}
	})
}

func TestTravel(t *testing.T) {
	if v, err := arc.Travel(procedures.Inches(4), 24); err != nil || math.Abs(v.InchesPerMin()-10) > 1e-9 {
		t.Errorf("%v, %v", v, err)
	}
	for _, v := range bad {
		_, err := arc.Travel(procedures.MM(v), 24)
		refused(t, "length", err)
		_, err = arc.Travel(100, procedures.Seconds(v))
		refused(t, "time", err)
	}
	_, err := arc.Travel(1, 3600)
	refused(t, "a pace that no hand keeps", err)
}
