package main

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"beadwright/procedures"

	"pgregory.net/rapid"
)

// unitWords are what follows a number in a shown sum: in/min, lb/cu in, ohm/kft, %.
var unitWords = regexp.MustCompile(`(\d) (%|[a-zA-Z]+(/[a-zA-Z]+)?( (in|mm|ft|m)\b(/min)?)*)`)

var leading = regexp.MustCompile(`^-?[0-9.]+`)

// checkSum works a shown sum out again: "words = numbers = outcome".
func checkSum(t *testing.T, line, formula string) {
	t.Helper()
	parts := strings.Split(formula, " = ")
	if len(parts) < 3 {
		return // a table
	}
	shown, err := strconv.ParseFloat(leading.FindString(parts[2]), 64)
	if err != nil {
		t.Errorf("%s: no outcome in %q", line, formula)
		return
	}
	p := sumParser{rest: unitWords.ReplaceAllString(strings.ReplaceAll(parts[1], " x ", " * "), "$1")}
	got := p.sum()
	if p.skip(); p.rest != "" || p.broken {
		t.Errorf("%s: cannot work out %q, left %q", line, parts[1], p.rest)
	} else if math.Abs(got-shown) > 0.006*math.Abs(shown)+1e-12 {
		t.Errorf("%s: %q shows %g and comes to %g", line, formula, shown, got)
	}
}

// sumParser works out sums as they are written for people; angles in degrees.
type sumParser struct {
	rest   string
	broken bool
}

func (p *sumParser) skip() { p.rest = strings.TrimLeft(p.rest, " ") }

func (p *sumParser) take(s string) bool {
	p.skip()
	rest, ok := strings.CutPrefix(p.rest, s)
	if ok {
		p.rest = rest
	}
	return ok
}

func (p *sumParser) sum() float64 {
	v := p.product()
	for {
		switch {
		case p.take("+"):
			v += p.product()
		case p.take("-"):
			v -= p.product()
		default:
			return v
		}
	}
}

func (p *sumParser) product() float64 {
	v := p.power()
	for {
		switch {
		case p.take("*"):
			v *= p.power()
		case p.take("/"):
			v /= p.power()
		default:
			return v
		}
	}
}

func (p *sumParser) power() float64 {
	v := p.atom()
	if p.take("^") {
		return math.Pow(v, p.atom())
	}
	return v
}

func (p *sumParser) atom() float64 {
	for name, f := range map[string]func(float64) float64{"(": func(v float64) float64 { return v }, "sqrt(": math.Sqrt, "ln(": math.Log, "tanh(": math.Tanh,
		"tan(": func(v float64) float64 { return math.Tan(v * math.Pi / 180) }} {
		if p.take(name) {
			v := p.sum()
			p.broken = p.broken || !p.take(")")
			return f(v)
		}
	}
	if p.take("pi") {
		return math.Pi
	}
	p.skip()
	n := leading.FindString(p.rest)
	v, err := strconv.ParseFloat(n, 64)
	p.broken = p.broken || err != nil
	p.rest = p.rest[len(n):]
	return v
}

// TestSumParser: the checker itself works sums out.
func TestSumParser(t *testing.T) {
	for s, want := range map[string]float64{"2 + 3 * 4": 14, "(0.1+0.2)/5 - 0.01": 0.05, "2 / 3 * 6": 4, "(3)^2": 9, "sqrt((3)^2 + (4)^2)": 5, "tan(45)": 1, "5^2 * 2": 50} {
		p := sumParser{rest: s}
		if got := p.sum(); math.Abs(got-want) > 1e-9 || p.broken || p.rest != "" {
			t.Errorf("%s: %g, left %q", s, got, p.rest)
		}
	}
}

// TestReckonRefuses: what cannot be read is refused with a hint, exit 2; what no
// table answers is told and not guessed, exit 3.
func TestReckonRefuses(t *testing.T) {
	for _, line := range []string{
		"foo", "heat", "heat 18V", "heat --volts NaN --amps 90 --travel 10ipm", "heat --volts 18 --amps -5 --travel 10ipm", "heat --volts 18 --amps 90", "heat --volts 18 --joules 5 --bead 6in",
		"heat --volts 18 --amps 90 --travel 10ipm --seconds 20", "heat --volts 18 --amps 90 --bead 6in", "heat --joules 90 --bead 6in --seconds 20", "heat --joules 0 --bead 6in", "heat --joules 1e9 --bead 6in", "heat --joules Inf --bead 6in", "heat --joules 90 --bead 6lb", "heat --volts 18 --amps 90 --travel 10ipm --process 999", "heat --nonsense",
		"travel", "travel fast", "travel 0ipm", "travel 4in in 0s", "travel --length 4in", "travel 10ipm --length 4in", "travel --length 4in --seconds NaN", "current --wire banana --amps 80", "current --wire 0.035_E71T-11", "current --amps 80 --wire-speed 90ipm", "current --wire 1/8_E6013 --wire-speed 90ipm",
		"carbon", "carbon --mn 1", "carbon --c 12", "carbon --c lots", "carbon --c -0.1", "carbon --c 0.2 --formula CEV99", "carbon --steel unobtainium", "carbon --steel a36 --formula IIW",
		"preheat --steel a36", "preheat --thickness 1in", "preheat --steel a36 --thickness 1in --cet 0.3", "preheat --cet 0.3 --thickness 20mm", "preheat --cet 0.3 --thickness 20mm --hydrogen 5 --heat 1kJ/mm --wire 1/8_E6013", "preheat --steel a36 --thickness 3", "preheat --steel a36 --thickness 11ga",
		"fillet", "fillet --leg 0", "fillet --leg 5in", "fillet --leg 3", "fillet --leg 1/8 --position sideways_up", "fillet --leg 1/8 --strength 65", "fillet --thickness 1/8 --loading heavy", "fillet --leg NaN", "fillet --leg 1/8 --loading cyclic", "fillet --leg 1/8 --other-thickness 1/4", "fillet --thickness 1/4 --other-leg 1/4",
		"groove", "groove --thickness 1/8", "groove --thickness 1/4 --angle 179", "groove --thickness 1/4 --root-face 1/8", "groove --thickness 1/4 --angle 60 --root-face 1/4", "groove --thickness 1/4 --cap 1/16", "groove --thickness 1/4 --gap 1/16 --cap-width 1/4",
		"wire --wire-speed 0", "wire --wire-speed 90ipm --length 24in", "wire --leg 1/8", "wire --wire-speed 90ipm --reel 1lb --empty 2lb", "wire --wire-speed 90ipm --reel 1lb --empty 1lb", "wire --wire-speed 90ipm --reel 2",
		"duty", "duty --rated 90 --amps 70", "duty --rated 90 --duty 120% --amps 70", "duty --rated 90 --duty 0 --amps 70", "duty --rated 90 --duty 20% --amps 70 --seconds 9999", "duty --machine ghost --amps 70",
		"supply", "supply --input-amps 20", "supply --input-amps 20 --duty 20% --idle-amps 30", "supply --input-amps 20 --duty 20% --outlet 14-50R", "supply --amps 70", "supply --amps 70 --volts 17 --input 120V --duty 20%", "supply --input-amps 20 --duty 20% --amps 70", "supply --input-amps 20 --duty 20% --volts 17",
		"cord", "cord --cord 12awg --amps 20", "cord --cord 3awg_25ft --amps 20", "cord --cord 12awg_25ft --amps 20 --input 30V", "cord --cord 12awg_25000ft --amps 20",
		"lead --amps 90", "lead --awg 2/0 --length 20ft --amps 90", "lead --length 20ft --amps 0",
		"smoothing", "smoothing --ac-volts 28 --ohms 100", "smoothing --ac-volts 28 --duty 20%", "smoothing --ac-volts 28 --farads 0.1 --to 10", "smoothing --ac-volts 28 --amps 90 --hz 50", "smoothing --ac-volts 28 --farads 60000", "smoothing --ac-volts 28 --farads 0.06 --ohms 100 --bleed-in 60", "smoothing --ac-volts 28 --farads 0.06 --count 2.5", "smoothing --ac-volts 28 --farads 5mF", "smoothing --ac-volts 28 --farads 0.06 --bleed-in 60 --to 90", "smoothing --ac-volts 28 --farads 0.06 --amps 90 --hz 5",
		"shade", "air", "air --width 12ft --length 22ft", "air --width 12 --length NaN --height 8ft", "air --width 12ft --length 22ft --height 8ft --welders 0", "air --width 12ft --length 22ft --height 3in", "cooling --heat 0.3kJ/mm", "cooling --heat 0.3 --thickness 3mm", "cooling --heat 0.3kJ/mm --thickness 3mm --preheat 100", "cooling --heat 0.3kJ/mm --thickness 3mm --preheat 700C", "cooling --heat 0.3kJ/mm --thickness 3mm --bead lap", "cooling --heat 99kJ/mm --thickness 3mm",
		"rebar", "rebar --bar 4.5", "rebar --bar four", "rebar --bar 4 --steel a36", "rebar --bar 4 --mn 1", "rebar --bar 4 --c 9", "group", "group --welder 20A", "group --welder 20A_0%", "group --welder 20_parsecs", "group --welder 0x_20A_20%",
		"shade --amps 80 --process basket", "gauge", "gauge 16", "gauge plain", "gauge 16 17 plain", "gauge sixteen plain", "gauge 0 plain", "gauge pipe 9",
	} {
		r, code := reckonJSON(t, line)
		if code != 2 || r.Error.Message == "" || r.Error.Hint == "" {
			t.Errorf("%s: exit %d, %+v", line, code, r.Error)
		}
		out, errs, code := reckon(t, split(line)...)
		if code != 2 || out != "" || !strings.HasPrefix(errs, "beadwright: ") || !strings.Contains(errs, "\nhint: ") {
			t.Errorf("%s: exit %d, stdout %q, stderr %q", line, code, out, errs)
		}
	}
	for line, why := range map[string]string{
		"preheat --steel a36 --thickness 16ga_plain":                       "begins at 0.125 in",
		"preheat --steel mild --thickness 1/8":                             "no table",
		"preheat --steel a572 --thickness 1/2 --wire 1/8_E6013":            "no table",
		"preheat --cet 0.30 --thickness 1/8 --hydrogen 5 --heat 1kJ/mm":    "10 to 90 mm",
		"preheat --cet 0.30 --thickness 20mm --hydrogen 5 --heat 0.3kJ/mm": "0.5 to 4 kJ/mm",
		"preheat --cet 0.55 --thickness 20mm --hydrogen 5 --heat 1kJ/mm":   "0.2 to 0.5 %",
		"duty --rated 90A --duty 20% --amps 91A":                           "0 to 90 A",
		"current --wire 0.035_E71T-11 --wire-speed 400ipm":                 "50 to 110 in/min",
		"current --wire 0.068_E71T-11 --amps 90":                           "no table",
		"current --wire 1/16_E7018":                                        "no table",
		"lead --length 20ft --amps 400":                                    "300 A",
		"shade --amps 501":                                                 "500 A",
		"gauge 40 plain":                                                   "3 to 30",
		"gauge 5 galvanized":                                               "8 to 30",
		"gauge 16 stainless":                                               "no table",
	} {
		r, code := reckonJSON(t, line)
		text, errs, plain := reckon(t, split(line)...)
		if code != 3 || plain != 3 || errs != "" || !strings.Contains(text, "none given") || r.Answers[0].Value != nil || !strings.Contains(r.Answers[0].Text, why) {
			t.Errorf("%s: exit %d and %d, %s\n%s%+v", line, code, plain, errs, text, r.Answers)
		}
	}
}

// FuzzMeasure: whatever is typed, an amount is a plain number above nothing or a
// refusal with a hint.
func FuzzMeasure(f *testing.F) {
	for _, s := range []string{"0.06F", "60000uF", "NaN", "1e9", "-5", "", "0", "\u00b5", "9999999999", ".5 kohm", "1kJ/mm"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, m := range []measure{joules, watts, seconds, farads, ohms, element, gas, energy, degrees, hertz, ksi, times} {
			v, err := m.parse("amount", s)
			var bad *procedures.InvalidError
			switch {
			case err == nil && (math.IsNaN(v) || math.IsInf(v, 0) || v < 0 || v == 0 && !m.zero):
				t.Errorf("%q is %g %s", s, v, m.unit)
			case err != nil && (!errors.As(err, &bad) || len(bad.Hints) == 0):
				t.Errorf("%q: %v", s, err)
			}
		}
	})
}

// TestBoundsKeepTheirSide: what is asked for at the least is never told less, what is
// allowed at the most never told more, and neither is off by more than a digit.
func TestBoundsKeepTheirSide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(0.01, 20000).Draw(t, "v")
		told := func(v float64) float64 {
			f, err := strconv.ParseFloat(num(v), 64)
			if err != nil {
				t.Fatal(err)
			}
			return f
		}
		if up, down := told(upward(v)), told(downward(v)); up < v*(1-2e-6) || down > v*(1+2e-6) || up-v > 0.012*v || v-down > 0.012*v {
			t.Fatalf("%v is told as %v at the least and %v at the most", v, up, down)
		}
	})
}
