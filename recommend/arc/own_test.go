package arc_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"

	"pgregory.net/rapid"
)

func line(points ...float64) []arc.Reading {
	var out []arc.Reading
	for k := 0; k < len(points); k += 2 {
		out = append(out, arc.Reading{WireSpeed: procedures.MPerMin(points[k]), Current: procedures.Amps(points[k+1])})
	}
	return out
}

// Readings on a straight line give it back, whatever the line.
func TestFitRecovers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(-20, 40).Draw(t, "a")
		b := rapid.Float64Range(10, 40).Draw(t, "b")
		n := rapid.IntRange(3, 8).Draw(t, "n")
		var readings []arc.Reading
		for k := range n {
			s := 2 + 0.5*float64(k)
			readings = append(readings, arc.Reading{WireSpeed: procedures.MPerMin(s), Current: procedures.Amps(a + b*s + 30)})
		}
		f, err := arc.FitCurrent(readings)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.Intercept-a-30) > 1e-8 || math.Abs(f.Slope-b) > 1e-8 || f.R2 < 1-1e-9 {
			t.Errorf("got %+v", f)
		}
		s := procedures.MPerMin(rapid.Float64Range(2, 2+0.5*float64(n-1)).Draw(t, "s"))
		i, err := f.Current(s)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "current", i)
		back, err := f.WireSpeed(procedures.Amps(math.Min(math.Max(i.Value, f.Intercept+2*f.Slope), f.Intercept+f.Slope*(2+0.5*float64(n-1)))))
		if err != nil || math.Abs(back.Value-float64(s)) > 1e-9 {
			t.Errorf("%v came back as %v, %v", s, back.Value, err)
		}
	})
}

func TestFitErrors(t *testing.T) {
	for what, readings := range map[string][]arc.Reading{
		"none": nil, "two": line(2, 50, 3, 70), "one speed": line(2, 50, 2.01, 51, 2, 50),
		"falling": line(2, 90, 3, 70, 4, 60), "not a number": line(2, 50, nan, 70, 4, 60), "no current": line(2, 50, 3, 0, 4, 60), "infinite": line(2, 50, 3, inf, 4, 60),
	} {
		_, err := arc.FitCurrent(readings)
		refused(t, what, err)
	}
	f, err := arc.FitCurrent(line(2, 50, 3, 71, 4, 90))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []procedures.MPerMin{1.99, 4.01, procedures.MPerMin(nan), 0} {
		_, err := f.Current(s)
		outside(t, "beyond the readings", err)
	}
	for _, i := range []procedures.Amps{20, 120, procedures.Amps(nan)} {
		_, err := f.WireSpeed(i)
		outside(t, "beyond the readings", err)
	}
	v, err := f.WireSpeed(70)
	if err != nil || v.Basis != arc.OwnReadings || v.How() != procedures.OwnCurve || v.Note != "line through 3 own readings, scatter 0.8 A" {
		t.Errorf("%+v, %v", v, err)
	}
}
