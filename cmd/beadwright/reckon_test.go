package main

import (
	"bytes"
	"encoding/json"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// reckoned is a sum as --json prints it.
type reckoned struct {
	Reckon  string         `json:"reckon"`
	Inputs  map[string]any `json:"inputs"`
	Answers []struct {
		Name           string
		Value          *float64
		Low, High      *float64
		Unit, Text     string
		Formula, Basis string
		Source         []string
		Note           string
	}
	NotCovered []string `json:"not_covered"`
	Cautions   []struct{ Level, Key, Text string }
	Sources    map[string]string
	Error      struct{ Code, Field, Message, Hint string }
}

// reckon runs the program without a notebook.
func reckon(t *testing.T, args ...string) (out, errs string, code int) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(t.Context(), append([]string{"--notebook", filepath.Join(t.TempDir(), "none.db")}, args...), &stdout, &stderr)
	return stdout.String(), stderr.String(), code
}

func reckonJSON(t *testing.T, line string) (reckoned, int) {
	t.Helper()
	out, errs, code := reckon(t, append([]string{"--json"}, split(line)...)...)
	var r reckoned
	if err := json.Unmarshal([]byte(out), &r); err != nil || errs != "" {
		t.Fatalf("%s: %v\nstdout %s\nstderr %s", line, err, out, errs)
	}
	return r, code
}

// split cuts a command line at spaces; an underscore stands for a space inside a word.
func split(line string) []string {
	args := append([]string{"reckon"}, strings.Fields(line)...)
	for k := range args {
		args[k] = strings.ReplaceAll(args[k], "_", " ")
	}
	return args
}

const (
	inch    = 25.4
	lbPerFt = 453.59237 / 0.3048 // g/m
)

// TestReckonPrinted holds the sums against figures seen in print, unless the row
// says otherwise. want is in the unit of the JSON.
func TestReckonPrinted(t *testing.T) {
	for _, c := range []struct {
		line, answer string
		want, off    float64
		from         string
	}{
		{"heat --volts 29 --amps 325 --bead 25in --seconds 2min --process 135", "arc energy", 45.24 / inch, 0.005 / inch, "inspection forum, worked example"},
		{"heat --volts 24 --amps 120 --travel 9ipm", "arc energy", 19.2 / inch, 1e-6, "note on ASME IX QW-409.1(a)"},
		{"heat --joules 90kJ --bead 6in", "arc energy", 15 / inch, 1e-6, "computed by QW-409.1, equation 2"},
		{"heat --watts 1620 --seconds 60 --bead 10in", "arc energy", 9.72 / inch, 1e-6, "computed by QW-409.1, equation 3"},
		{"heat --volts 18 --amps 90 --travel 254mm/min", "heat input, EN", 0.3061, 5e-5, "computed with k 0.8 of EN 1011-1 Table 1"},
		{"heat --volts 10 --amps 100 --travel 100mm/min --process tig", "heat input, EN", 0.36, 1e-6, "computed with k 0.6 of EN 1011-1 Table 1"},
		{"travel 4in in 24s", "travel speed", 254, 1e-6, "definition"},
		{"carbon --formula Z662 --c 0.25 --mn 1.28 --si 0.29 --cu 0.109 --ni 0.06 --cr 0.05 --mo 0.034 --v 0.004 --nb 0 --b 0.0009", "carbon equivalent, Z662", 0.507783, 1e-6, "CSA Z662 sheet of 1999"},
		{"carbon --formula pipe --c 0.25 --mn 0.7", "carbon equivalent, pipe", 0.425, 5e-4, "question page, C + Mn/4"},
		{"carbon --c 0.18 --mn 0.85 --si 0.2 --cu 0.25 --ni 0.1 --cr 0.1 --mo 0.02 --v 0.003", "carbon equivalent, AWS", 0.4029, 5e-5, "computed"},
		{"carbon --c 0.16 --mn 1.2 --si 0.25 --cu 0.28 --ni 0.1 --cr 0.12 --mo 0.03 --v 0.03", "carbon equivalent, IIW", 0.4213, 5e-5, "computed"},
		{"carbon --c 0.465 --mn 0.75", "carbon equivalent, CET", 0.54, 5e-5, "computed; the formula from memory"},
		{"carbon --c 0.2 --mn 0.8 --si 0.02 --cu 0.05", "carbon equivalent, Pcm", 0.2432, 5e-5, "computed; the formula from memory"},
		{"carbon --c 0.3 --mn 1.5", "carbon equivalent, A706", 0.55, 1e-5, "ASTM A706 sheet: the limits reach its cap"},
		{"preheat --steel a36 --thickness 1in", "least preheat and interpass temperature, AWS D1.1", 10, 0, "AWS D1.1:2015 Table 3.3, B: 50 F"},
		{"preheat --steel a36 --thickness 2in --wire 1/8_E6013", "least preheat and interpass temperature, AWS D1.1", 110, 0, "TI 809-26 Table 3-1, A: 225 F"},
		{"preheat --steel a500 --thickness 2-1/2in", "least preheat and interpass temperature, AWS D1.1", 65, 0, "AWS D1.1:2015 Table 3.3, B: 150 F through 2-1/2 in"},
		{"preheat --cet 0.30 --thickness 20mm --hydrogen 10 --heat 1.0kJ/mm", "preheat, EN 1011-2 method B", 86.4, 0.05, "from memory: EN 1011-2 C.3"},
		{"preheat --cet 0.25 --thickness 10mm --hydrogen 10 --heat 0.5kJ/mm", "preheat, EN 1011-2 method B", 20.2, 0.05, "from memory: EN 1011-2 C.3, the very edge of its range"},
		{"fillet --leg 1/2", "weld metal for each length", 0.424 * lbPerFt, 0.001 * lbPerFt, "filler-metal handbook, P = W*L/E"},
		{"fillet --leg 5/16", "weld metal for each length", 0.166 * lbPerFt, 0.0015 * lbPerFt, "electrode estimating table"},
		{"fillet --leg 0.275in --length 76.5in", "weld metal in all", 0.819 * 453.59237, 0.3, "weld metal by hand: 1/4 in, a tenth over"},
		{"fillet --leg 0.275in", "cross-section", 0.0378 * inch * inch, 5e-5 * inch * inch, "weld metal by hand"},
		{"fillet --leg 1/4", "throat", 0.1768 * inch, 5e-5 * inch, "geometry"},
		{"fillet --thickness 5/8", "least leg", inch / 4, 1e-6, "AISC 360 Table J2.4"},
		{"fillet --thickness 1/4", "least leg", inch / 8, 1e-6, "AISC 360 Table J2.4"},
		{"fillet --thickness 3/8", "largest leg along an edge", 5 * inch / 16, 1e-6, "AISC 360 J2.2b"},
		{"fillet --leg 1/8 --position horizontal", "largest one-pass leg, horizontal", 3 * inch / 8, 1e-6, "AWS D1.1:2020 Table 5.1"},
		{"fillet --leg 1/8 --strength 70", "allowable shear by the code, information only", 1856 * 4.4482216 / inch, 0.2, "computed: 0.30 by AWS D1.1 clause 2"},
		{"groove --thickness 1/4 --gap 1/8", "weld metal for each length", 0.106 * lbPerFt, 6e-4 * lbPerFt, "filler-metal handbook, weights of butt welds"},
		{"groove --thickness 3/16 --gap 1/16", "weld metal for each length", 0.040 * lbPerFt, 6e-4 * lbPerFt, "filler-metal handbook, weights of butt welds"},
		{"groove --thickness 1/2 --angle 90", "weld metal for each length", 2 * 0.425 * lbPerFt, 12e-4 * lbPerFt, "filler-metal handbook, two bevels of 45 degrees"},
		{"groove --thickness 1/4 --gap 1/8 --angle 60 --cap 1/16 --cap-width 0.414in", "weld metal for each length", 0.2872 * lbPerFt, 5e-5 * lbPerFt, "computed from its parts"},
		{"wire --wire 1/8_E6013 --leg 1/4 --length 1ft", "wire needed", 0.106 / 0.62 * 453.59237, 1.2, "handbook weight, and its 62 % for covered electrodes"},
		{"wire --wire 0.035_ER70S-6_co2 --wire-speed 300ipm", "deposition efficiency", 93, 0, "filler-metal handbook"},
		{"current --wire 0.035_E71T-11 --wire-speed 90ipm", "current", 90, 1e-6, "data sheet of an E71T-11 wire"},
		{"current --wire 0.045_E71T-11 --amps 160", "wire speed", 110 * 0.0254, 1e-5, "data sheet of an E71T-11 wire"},
		{"current --wire 0.035_E71T-11 --wire-speed 110ipm", "arc voltage to go with it", 16.5, 1e-6, "data sheet of an E71T-11 wire"},
		{"current --wire 1/8_E6013 --amps 80", "conventional load voltage", 23.2, 1e-6, "owner manual: 80 A at 23.2 V"},
		{"duty --rated 90 --duty 20% --amps 70", "duty cycle at that current", 33.1, 0.05, "computed by the manual's rule"},
		{"duty --rated 170 --duty 40% --amps 170", "arc in any 10 minutes", 240, 1e-6, "owner manual: 4 minutes"},
		{"duty --rated 80 --duty 30% --amps 80", "arc in any 10 minutes", 180, 1e-6, "owner manual: 3 minutes"},
		{"duty --rated 90 --duty 20% --amps 90", "current with no rest at all", 40.2, 0.05, "computed by the manual's rule"},
		{"supply --input-amps 40 --duty 50%", "supply conductors must carry at least", 28.40, 0.005, "electricians' magazine, code questions 45"},
		{"supply --input-amps 20 --duty 15%", "supply conductors must carry at least", 9, 1e-6, "NEC 630.11(A): 20 % covers less"},
		{"supply --input-amps 20 --duty 20%", "highest rating of the breaker ahead of it", 40, 1e-6, "NEC 630.12(A): 200 %"},
		{"supply --input-amps 20 --duty 20% --idle-amps 2", "effective input current", 9.12, 0.005, "computed; formula from memory"},
		{"cord --cord 16awg_100ft --amps 4", "voltage lost in the cord", 4.0, 0.05, "inspection course, 16 AWG"},
		{"cord --cord 10awg_50ft --amps 20", "voltage lost in the cord", 2.48, 0.005, "computed by NEC Chapter 9 Table 8"},
		{"lead --awg 4 --length 20ft --amps 90", "voltage lost in both leads", 0.554, 5e-4, "computed by NEC Chapter 9 Table 8"},
		{"smoothing --ac-volts 115", "peak of the AC", 162.6, 0.05, "US Army TC 9-62"},
		{"smoothing --ac-volts 30", "mean DC without capacitors, at welding current", 24.81, 0.005, "computed"},
		{"smoothing --ac-volts 22", "DC with no load, capacitors full", 29.91, 0.005, "computed"},
		{"smoothing --ac-volts 30 --farads 60000uF --amps 90", "ripple at that current, peak to peak", 12.5, 1e-6, "computed"},
		{"smoothing --ac-volts 30 --farads 0.06 --amps 90 --duty 20%", "heat of the rectifier on the mean", 39.6, 1e-6, "computed"},
		{"gauge 16 plain", "thickness", 0.0598 * inch, 1e-6, "Manufacturers' Standard Gauge"},
		{"gauge 16ga galvanized", "thickness", 0.0635 * inch, 1e-6, "gauge list"},
		{"gauge 16 tube", "thickness", 0.065 * inch, 1e-6, "Birmingham gauge"},
		{"gauge 10 plain", "weight", 5.625 * 0.45359237 / (0.3048 * 0.3048), 0.003, "note on the gauge: 41.82 x 0.1345"},
		{"gauge pipe 4", "weight", 10.79 * lbPerFt / 1000, 0.02 * lbPerFt / 1000, "pipe data by ASME B36.10"},
		{"air --width 20ft --length 18.75ft --height 8ft", "air to move, at least", 2000 * 0.3048 * 0.3048 * 0.3048, 1e-4, "29 CFR 1910.252(c)(2): 2000 cu ft/min for each welder, a garage of 3000 cu ft"},
		{"air --width 20ft --length 18.75ft --height 8ft", "that changes the air of the room", 40, 1e-4, "computed: 2000 x 60 / 3000"},
		{"air --width 20ft --length 20ft --height 8ft --welders 2 --hood 8in", "a hood there must draw", 275 * 0.3048 * 0.3048 * 0.3048, 1e-4, "29 CFR 1910.252(c)(3), from memory"},
		{"cooling --heat 0.3kJ/mm --thickness 3mm", "cooling time from 800 to 500 C", 11.363566321499011, 1e-4, "SciPy, testdata/reference/library.py: thin plate"},
		{"cooling --heat 1.0kJ/mm --thickness 25mm --preheat 68F", "cooling time from 800 to 500 C", 5.288461538461538, 1e-4, "SciPy, testdata/reference/library.py: thick plate"},
		{"cooling --heat 1.5kJ/mm --thickness 12mm --preheat 100C", "cooling time from 800 to 500 C", 25.452407525510207, 1e-4, "SciPy, testdata/reference/library.py: preheated"},
		{"rebar --bar 6 --c 0.30 --mn 1.50 --steel a706", "carbon equivalent, A706", 0.55, 1e-6, "ASTM A706: its limits alone reach its cap"},
		{"rebar --bar 8 --c 0.30 --mn 1.50 --cu 0.01", "least preheat, AWS D1.4", (200. - 32) * 5 / 9, 1e-3, "AWS D1.4, from memory: over 0.55, number 8"},
		{"rebar --bar 4", "least preheat, AWS D1.4", (300. - 32) * 5 / 9, 1e-3, "AWS D1.4, from memory: no mill sheet"},
		{"group --welder 80A_100% --welder 70A_90%_motor --welder 60A_70% --welder 50A_80% --welder 4x_40A_60%_motor --welder 4x_25A_40%", "feeder conductors must carry at least", 336.75, 0.005, "electricians' magazine, code quiz 61"},
		{"shade --amps 50", "least shade", 7, 0, "29 CFR 1910.133(a)(5)"},
		{"shade --amps 60", "least shade", 10, 0, "29 CFR 1910.133(a)(5), the darker of two rows"},
		{"shade --amps 160", "shade to begin with", 12, 0, "ANSI Z49.1, the darker of two rows"},
		{"shade --process stick --amps 100", "least shade", 8, 0, "29 CFR 1910.133(a)(5)"},
		{"shade --process tig --amps 100", "shade to begin with", 12, 0, "ANSI Z49.1"},
	} {
		r, code := reckonJSON(t, c.line)
		found := false
		for _, a := range r.Answers {
			if a.Name != c.answer {
				continue
			}
			if found = true; a.Value == nil || math.Abs(*a.Value-c.want) > c.off+1e-5*math.Abs(c.want) {
				t.Errorf("%s: %s is %s (%v %s), want %g: %s", c.line, a.Name, a.Text, a.Value, a.Unit, c.want, c.from)
			}
		}
		if !found || code != 0 {
			t.Errorf("%s: exit %d, no answer %q in %+v", c.line, code, c.answer, r.Answers)
		}
	}
}

// TestReckonSizes holds the answers in words against the lead table of a maker.
func TestReckonSizes(t *testing.T) {
	for line, want := range map[string]string{
		"lead --amps 100 --length 200ft --duty 60%": "3 AWG",
		"lead --amps 150 --length 100ft --duty 20%": "3 AWG",
		"lead --amps 200 --length 150ft --duty 60%": "1 AWG",
	} {
		if r, code := reckonJSON(t, line); code != 0 || r.Answers[0].Text != want {
			t.Errorf("%s: exit %d, %+v, want %s", line, code, r.Answers, want)
		}
	}
}

// everySum is each sum in each of its ways.
var everySum = []string{
	"heat --volts 18 --amps 90 --travel 10ipm", "heat --joules 91kJ --bead 6in", "heat --watts 1620 --seconds 61s --bead 10in --process 135",
	"travel 10ipm", "travel --length 100mm --seconds 24", "current --wire 0.030_E71T-GS --amps 80", "current --wire 1/8_E6013 --amps 90", "current --wire 0.035_ER70S-6_co2 --wire-speed 200ipm",
	"carbon --c 0.18 --mn 0.85 --si 0.21 --cu 0.25 --ni 0.1 --cr 0.1 --mo 0.02 --v 0.003 --b 0.0005", "carbon --formula z662 --c 0.25 --mn 1.28", "carbon --steel a992", "carbon --steel 4130", "carbon --steel mild",
	"preheat --steel a36 --thickness 1/2", "preheat --steel a36 --thickness 3-1/2in --wire 1/8_E6011", "preheat --cet 0.31 --weld-cet 0.3 --thickness 21mm --hydrogen 5 --heat 26kJ/in",
	"fillet --leg 6.5mm --other-leg 8mm --length 24in --thickness 3/8 --other-thickness 1in", "fillet --thickness 11ga_plain --position vertical_up --loading cyclic --strength 60", "fillet --leg 1/16 --thickness 1/4",
	"groove --thickness 1/8 --gap 1/16 --cap 1/32 --cap-width 1/4 --length 24in", "groove --thickness 1/2 --gap 1/8 --angle 60 --root-face 1/16 --cap 1/16 --position overhead",
	"wire --wire 0.030_E71T-GS --wire-speed 200ipm --leg 1/8 --length 24in", "wire --wire-speed 90ipm --travel 9ipm --reel 1.6lb --empty 0.3lb", "wire --wire 1/8_E6013 --leg 1/8 --length 24in",
	"duty --rated 90A --duty 20% --amps 71A --seconds 45", "duty --rated 90A --duty 20% --amps 30A", "supply --input-amps 20A --duty 20% --breaker 15A --idle-amps 2 --outlet 5-15R", "supply --amps 70 --volts 17 --input 120V",
	"cord --cord 12awg_25ft --amps 20A --input 120V", "cord --cord 6awg_80ft --amps 20A", "lead --awg 6 --length 20ft --amps 90", "lead --length 20ft --amps 90 --duty 20%",
	"smoothing --ac-volts 28 --farads 0.1 --ohms 101 --amps 90 --duty 20%", "smoothing --ac-volts 80 --farads 60000uF --count 2 --bleed-in 60s --to 10", "smoothing --ac-volts 28 --farads 0.01 --amps 90",
	"air --width 12ft --length 22ft --height 8ft", "air --width 31m --length 22m --height 5m --welders 3 --partitions --hood 9in", "air --width 30m --length 22m --height 6m", "cooling --heat 0.31kJ/mm --thickness 3.2mm", "cooling --heat 25kJ/in --thickness 1in --preheat 210F --bead tee",
	"rebar --bar 4", "rebar --bar 4 --steel a706", "rebar --bar 8 --c 0.31 --mn 0.9", "rebar --bar 9 --c 0.33 --mn 1.2 --cu 0.2 --steel a615", "group --welder 20A_20% --welder 20A_20%", "group --welder 3x_25A_40% --welder 70A_90%_motor",
	"shade --amps 80", "gauge 16 galvanized", "gauge 16 plain", "gauge pipe 1-1/2",
}

// never are words and slips that no answer shows.
var never = regexp.MustCompile(`(?i)\b(certified|safe|safely|structural|strong enough|NaN|[+-]?Inf|\d+e[+-]\d+)\b|%!`)

// TestReckonShows holds what every answer must carry, and the words that none may.
func TestReckonShows(t *testing.T) {
	for _, line := range everySum {
		var first reckoned
		for _, units := range []string{"us", "metric"} {
			r, code := reckonJSON(t, line+" --units "+units)
			if units == "us" {
				first = r
			}
			for k, a := range r.Answers { // units change what is said, never what is meant
				if b := first.Answers[k]; cmp.Diff(a.Value, b.Value) != "" || a.Unit != b.Unit || a.Name != b.Name {
					t.Errorf("%s: %s is %v, and %v in metric", line, a.Name, b.Value, a.Value)
				}
			}
			if code != 0 || len(r.NotCovered) == 0 || len(r.Inputs) == 0 || r.Reckon != strings.Fields(line)[0] {
				t.Errorf("%s: exit %d, inputs %v, not covered %v", line, code, r.Inputs, r.NotCovered)
			}
			for _, a := range r.Answers {
				none := strings.HasPrefix(a.Text, "none given")
				if !none && (len(a.Source) == 0 || a.Basis == "" || a.Text == "") || none && a.Value != nil {
					t.Errorf("%s: %s without a source, basis or words: %+v", line, a.Name, a)
				}
				if a.Value != nil && (a.Low == nil || a.High == nil || *a.Low > *a.Value || *a.Value > *a.High || math.IsInf(*a.High, 0)) {
					t.Errorf("%s: %s lies outside its own range", line, a.Name)
				}
				for _, id := range a.Source {
					if r.Sources[id] == "" || strings.HasPrefix(r.Sources[id], "unknown") {
						t.Errorf("%s: %s cites %q", line, a.Name, id)
					}
				}
				checkSum(t, line, a.Formula)
			}
			text, errs, _ := reckon(t, append(split(line), "--units", units)...)
			if word := never.FindString(text); word != "" {
				t.Errorf("%s: says %q:\n%s", line, word, text)
			}
			if errs != "" || !strings.HasPrefix(text, "read ") || !strings.Contains(text, "\nanswer ") {
				t.Errorf("%s: %s\n%s", line, errs, text)
			}
		}
	}
}
