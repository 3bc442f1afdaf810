package main

import (
	"bytes"
	"context"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"beadwright/procedures"
)

// A length or a speed that stands alone in one system. In the other's it is fine with
// the like in brackets behind it, or where it stands in the brackets itself.
var (
	inches  = regexp.MustCompile(`(\d ?|\b(an|half an) )(in|inch|inches|ft|feet|")(/min)?( \([^)]*\bm(m|/min|m/min)?\b[^)]*\))?([^\w/]|$)`)
	metric  = regexp.MustCompile(`\d ?(mm|cm|m|km)(/min)?( \([^)]*(\bin|\bft|in/min|")\b[^)]*\))?([^\w/]|$)`)
	bracket = regexp.MustCompile(`\([^()]*\)`)
)

// lonely lists the lengths of a text that are said in other units than those asked for.
func lonely(text string, units procedures.Units) (found []string) {
	text = strings.Join(strings.Fields(text), " ")
	of, twin := metric, 3
	if units == procedures.Metric {
		of, twin = inches, 5
	}
	for _, at := range of.FindAllStringSubmatchIndex(text, -1) {
		if at[2*twin] >= 0 {
			continue
		}
		within := false
		for _, b := range bracket.FindAllStringIndex(text, -1) {
			within = within || at[0] > b[0] && at[1] <= b[1]+1
		}
		if !within {
			found = append(found, "..."+text[max(0, at[0]-60):at[1]]+"...")
		}
	}
	return found
}

// TestLonely: the check itself tells a length that stands alone.
func TestLonely(t *testing.T) {
	for text, want := range map[string][2]int{ // in a US shop, in a metric one
		"thicker than 3/16 in, bevel it":        {0, 1},
		"thicker than 4.76 mm, bevel it":        {1, 0},
		"3/16 in (4.8 mm), bevel it":            {0, 0},
		"4.8 mm (3/16 in), bevel it":            {0, 0},
		"2.6 m/min (102 in/min)":                {0, 0},
		"102 in/min and 35 ft":                  {0, 2},
		"an inch past the weld":                 {0, 1},
		"an inch (25 mm) past the weld":         {0, 0},
		"0.035 E71T-11, 1 of 3 printed":         {0, 0},
		"1 of 5 of them, 4 m of cord":           {1, 0},
		"from 10 to 20 mm (3/8 to 3/4 in) long": {0, 0},
	} {
		for i, units := range []procedures.Units{procedures.US, procedures.Metric} {
			if got := lonely(text, units); len(got) != want[i] {
				t.Errorf("%q in %s: %q", text, units, got)
			}
		}
	}
}

// names are no lengths: sizes of wire and rod as the spool and the box have them, and
// what is to be typed.
var names = regexp.MustCompile(`0\.0\d\d in (wire|E71T|ER70)|E71T-11 in 0\.030, 0\.035 and 0\.045 in|0\.023 to 0\.045 in|1/16 to 5/16 in|--scrap "[^"]*"`)

// TestUnits: whatever is asked, lengths and speeds are said in the units of the shop.
func TestUnits(t *testing.T) {
	t.Setenv("BEADWRIGHT_NOTEBOOK", filepath.Join(t.TempDir(), "notebook.db"))
	asked, lines := 0, unitLines()
	for _, units := range []procedures.Units{procedures.US, procedures.Metric} {
		ask := func(args ...string) {
			var out, errs bytes.Buffer
			code := run(context.Background(), args, &out, &errs)
			switch {
			case code == 3, code == 0:
				asked++
			default:
				t.Errorf("%v: exit %d: %s", args, code, errs.String())
			}
			text, _, _ := strings.Cut(out.String(), "\nsources\n")
			if units == procedures.US && args[0] == "reckon" && args[1] == "wire" {
				return // its sums are worked in metric, and come out in both
			}
			for _, found := range lonely(names.ReplaceAllString(strings.Join(strings.Fields(text), " "), "a name"), units) {
				t.Errorf("in %s, %s: %s", units, strings.Join(args, " "), found)
			}
		}
		ask("units", string(units))
		if units == procedures.US {
			ask("machine", "add", "shed", "--rated", "90", "--duty", "20", "--input-amps", "20", "--breaker", "20", "--cord", "14awg 25ft", "--output", "dcen", "--rebuilt")
		}
		for _, args := range lines {
			ask(args...)
		}
	}
	if asked < 400 {
		t.Errorf("%d answers looked at", asked)
	}
}

// unitLines are questions that between them bring out the sentences with a length.
func unitLines() (lines [][]string) {
	add := func(args ...string) { lines = append(lines, args) }
	for _, t := range []string{"0.6mm", "2mm", "3.2mm", "5mm", "10mm"} {
		for _, j := range []string{"tee", "lap", "butt", "corner"} {
			for _, p := range []string{"flat", "vertical up", "vertical down", "overhead"} {
				for _, w := range []string{"0.035 E71T-11", "0.030 E71T-GS"} {
					add("suggest", t+" mild "+j+" "+p, "--wire", w, "--why")
				}
			}
			what := t + " mild " + j + " flat"
			add("suggest", what+" rusty", "--gap", "2mm", "--length", "300mm", "--why")
			add("suggest", t+" to 12mm mild "+j+" flat", "--why")
			add("suggest", what, "--wire", "0.035 ER70S-6 co2", "--why")
			add("suggest", what, "--wire", "3/32 E6013", "--why")
			add("suggest", what, "--wire", "0.052 E71T-GS", "--why")
			add("suggest", what+" galvanized", "--why")
			add("suggest", what, "--for", "a shelf on the car trailer", "--why")
			add("coupons", what)
			add("coupons", what, "--next")
		}
	}
	for _, line := range strings.Split(`reckon heat --volts 18 --amps 90 --travel 250mm/min
reckon heat --volts 18 --amps 90 --bead 150mm --seconds 30
reckon current --wire-speed 3m/min
reckon current --wire-speed 2m/min
reckon current --amps 90
reckon carbon --steel a36
reckon preheat --steel a36 --thickness 25mm
reckon preheat --steel a36 --thickness 1.6mm
reckon fillet --leg 3mm
reckon fillet --thickness 3mm --length 600mm
reckon fillet --leg 3mm --strength 70
reckon fillet --leg 6mm --thickness 12mm
reckon fillet --thickness 12mm --loading cyclic
reckon groove --thickness 6mm --gap 2mm
reckon groove --thickness 6mm --gap 2mm --angle 60
reckon wire --wire-speed 3m/min --leg 3mm --length 600mm
reckon duty --rated 90 --duty 20 --amps 70
reckon supply --input-amps 20 --duty 20%
reckon lead --amps 90 --awg 4 --length 6m
reckon smoothing --ac-volts 28 --farads 0.1 --ohms 100 --amps 90 --duty 20%
reckon shade --amps 59
reckon air --width 5m --length 6m --height 2.5m --hood 200mm
reckon rebar --bar 4
reckon gauge 16 tube
reckon gauge 16 plain
reckon gauge 16 galvanized
reckon flaw --undercut 0.5mm --thickness 3mm
reckon flaw --leg 3mm --asked-leg 5mm
reckon flaw --pore 3mm --pore 2mm --thickness 3mm --asked-leg 3mm
duty
machine list
machine circuit`, "\n") {
		add(strings.Fields(line)...)
	}
	add("reckon", "cord", "--cord", "14awg 30m", "--amps", "20")
	for _, s := range procedures.SymptomKeys() {
		add("remedy", s)
	}
	for _, said := range []string{"the weld fell off", "will it hold", "the plug is hot", "lights dim", "it only hums", "knob does nothing", "it died", "burned my hand", "got sick from the fumes"} {
		add("remedy", said)
	}
	return lines
}
