package procedures

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestParseLength(t *testing.T) {
	for _, c := range []struct {
		s     string
		units Units
		mm    float64 // 0: refused
	}{
		{"1/8", US, 3.175}, {`1/8"`, US, 3.175}, {"1/8 in", US, 3.175}, {"0.125in", US, 3.175}, {".125", US, 3.175}, {"0.125", US, 3.175},
		{"eighth", US, 3.175}, {"an eighth", US, 3.175}, {"3/16", Metric, 4.7625}, {"3mm", US, 3}, {"3 mm", US, 3}, {"3", Metric, 3}, {"0.3cm", US, 3},
		{"1-1/4", US, 31.75}, {"1 1/4in", US, 31.75}, {"125 thou", US, 3.175}, {"1/8\u2033", US, 3.175}, {"\u00bc", US, 6.35}, {"quarter", US, 6.35},
		{"3", US, 0}, {"", US, 0}, {"NaN", US, 0}, {"inf", US, 0}, {"-1/8", US, 0}, {"0", US, 0}, {"0/8", US, 0}, {"1/0", US, 0}, {"1e3", US, 0}, {"0x10", US, 0},
		{"3 bananas", US, 0}, {"3kg", US, 0}, {"🔥", US, 0}, {"1//8", US, 0}, {"1/8/2", US, 0}, {"1_000", US, 0},
	} {
		got, err := ParseLength("thickness", c.s, c.units)
		if c.mm == 0 {
			var bad *InvalidError
			if !errors.As(err, &bad) || len(bad.Hints) == 0 {
				t.Errorf("%q (%s): got %v, %v; want a refusal with a hint", c.s, c.units, got, err)
			}
			continue
		}
		if err != nil || math.Abs(float64(got)-c.mm) > 1e-9 {
			t.Errorf("%q (%s): got %v, %v; want %v mm", c.s, c.units, got, err, c.mm)
		}
	}
}

func TestParseSpeedsAndKnobs(t *testing.T) {
	for s, want := range map[string]float64{"250ipm": 6.35, "250 in/min": 6.35, "250": 6.35, "6.4 m/min": 6.4, "6.4m/min": 6.4} {
		if got, err := ParseWireSpeed(s, US); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("wire speed %q: %v, %v", s, got, err)
		}
	}
	for s, want := range map[string]float64{"10ipm": 254, "10": 254, "4in in 24s": 254, "25.4 cm/min": 254, "254 mm/min": 254} {
		if got, err := ParseTravel(s, US); err != nil || math.Abs(float64(got)-want) > 1e-9 {
			t.Errorf("travel %q: %v, %v", s, got, err)
		}
	}
	for _, s := range []string{"", "fast", "-5", "99999", "0", "NaN", "6 km/h", "4in in 0s"} {
		if v, err := ParseWireSpeed(s, US); err == nil {
			t.Errorf("wire speed %q accepted as %v", s, v)
		}
		if v, err := ParseTravel(s, US); err == nil {
			t.Errorf("travel %q accepted as %v", s, v)
		}
	}
	for s, want := range map[string]float64{"4.5": 4.5, "4 1/2": 4.5, "4-1/2": 4.5, "0": 0, "10": 10} {
		if got, _, err := ParseKnob(s); err != nil || got == nil || *got != want {
			t.Errorf("knob %q: %v, %v", s, got, err)
		}
	}
	if _, words, err := ParseKnob("the middle third"); err != nil || words != "middle third" {
		t.Errorf("middle third: %q, %v", words, err)
	}
	if _, _, err := ParseKnob("eleventy"); err == nil {
		t.Error("eleventy accepted")
	}
}

func TestFormats(t *testing.T) {
	for _, c := range []struct {
		v     MM
		units Units
		want  string
	}{{3.175, US, "1/8 in (3.2 mm)"}, {3.175, Metric, "3.18 mm"}, {31.75, US, "1-1/4 in (31.8 mm)"}, {1.51892, US, "0.060 in (1.52 mm)"}, {0, US, "not known"}} {
		if got := FormatLength(c.v, c.units); got != c.want {
			t.Errorf("%v %s: %q, want %q", c.v, c.units, got, c.want)
		}
	}
	for v, want := range map[float64]string{4.5: "4 1/2", 4: "4", 0.25: "1/4", 3.99: "4", 7.75: "7 3/4"} {
		if got := FormatKnob(v); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}

// TestUnitsChangeNothing: one length written in inches and in millimetres is one length.
func TestUnitsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mm := float64(rapid.IntRange(5, 3000).Draw(t, "hundredths")) / 10
		a, err := ParseLength("thickness", strconv.FormatFloat(mm, 'f', 4, 64)+"mm", US)
		if err != nil {
			t.Fatal(err)
		}
		b, err := ParseLength("thickness", strconv.FormatFloat(mm/25.4, 'f', 9, 64)+"in", Metric)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(float64(a-b)) > 1e-6 {
			t.Fatalf("%v mm and %v in differ", a, b)
		}
	})
}

func FuzzQuantities(f *testing.F) {
	for _, s := range []string{"1/8", "250ipm", "6.4 m/min", "4in in 24s", "NaN", "1e309", "4 1/2", "\u00bd", "-0", "''"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v, err := ParseLength("length", s, US); err == nil && (v <= 0 || !finite(float64(v))) {
			t.Errorf("length %q: %v", s, v)
		}
		if v, err := ParseWireSpeed(s, US); err == nil && (v < slowestWire || v > fastestWire) {
			t.Errorf("wire speed %q: %v", s, v)
		}
		if v, err := ParseTravel(s, Metric); err == nil && (v < slowestTravel || v > fastestTravel) {
			t.Errorf("travel %q: %v", s, v)
		}
		if k, w, err := ParseKnob(s); err == nil && (k == nil) == (w == "") {
			t.Errorf("knob %q: neither or both", s)
		}
	})
}

// A slip of the thumb makes 8 inches of an eighth: it is asked about.
func TestTopHeavyFraction(t *testing.T) {
	for _, s := range []string{"8/1", "16/3", "4/4", "5/4in"} {
		if v, err := ParseLength("thickness", s, US); err == nil {
			t.Errorf("%s: %v", s, v)
		}
		if r, err := ReadJob(s+" mild tee flat", US, Lexicon{}); err == nil {
			t.Errorf("%s: %+v", s, r.Job)
		}
	}
	_, err := ParseLength("thickness", "8/1", US)
	var bad *InvalidError
	if !errors.As(err, &bad) || len(bad.Hints) == 0 || !strings.Contains(bad.Hints[0], "write 1/8") {
		t.Errorf("8/1: %v", err)
	}
	if v, err := ParseLength("thickness", "1-1/4", US); err != nil || v != 31.75 {
		t.Errorf("1-1/4: %v %v", v, err)
	}
}

// A printed command says INCHES where a reading belongs: pasted as it is, it is
// refused, and told what to do.
func TestPlaceholders(t *testing.T) {
	for what, err := range map[string]error{
		"INCHES":             second(ParseDistance("length", "INCHES", US)),
		"VOLTS":              second(ParseVolts("load", "VOLTS")),
		"AMPS":               second(ParseAmps("amps", "AMPS")),
		"PERCENT":            second(ParsePercent("duty", "PERCENT")),
		"OHMS":               second(ParseOhms("bleeder", "OHMS")),
		"NUMBERxMICROFARADS": third(ParseFarads("capacitors", "NUMBERxMICROFARADS")),
		"MARK":               third(ParseKnob("MARK")),
	} {
		var bad *InvalidError
		if !errors.As(err, &bad) || len(bad.Hints) == 0 || bad.Hints[0] != "put your own in place of "+what {
			t.Errorf("%s: %v", what, err)
		}
	}
	for _, s := range []string{"QUARTER", "24V", "volts", "A", ""} {
		if got := Placeholder(s); got != (s == "QUARTER") {
			t.Errorf("%q: %v", s, got)
		}
	}
	if v, err := ParseLength("thickness", "QUARTER", US); err != nil || v != Inches(0.25) {
		t.Errorf("a word for a size: %v, %v", v, err)
	}
}

func second[T any](_ T, err error) error { return err }

func third[T, U any](_ T, _ U, err error) error { return err }
