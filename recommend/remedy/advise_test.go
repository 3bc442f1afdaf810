package remedy_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/remedy"
)

func shed() procedures.Machine {
	ipm := procedures.InchesPerMin
	return procedures.Machine{ID: "m", Name: "shed", Output: procedures.DCEN, RatedAmps: 90, MaxAmps: 130, Duty: 20, Knob: procedures.Knob{Min: 1, Max: 10}, WireMin: ipm(20), WireMax: ipm(220),
		Taps:  []procedures.Tap{{Name: "low", Load: 14.5, How: procedures.Measured}, {Name: "high", Load: 17, How: procedures.Measured}},
		State: procedures.State{ID: "s1", Number: 1, Kind: procedures.Original}}
}

// asked is a request about the last of the welds, today.
func asked(symptoms string, welds ...procedures.Weld) remedy.Request {
	last := welds[len(welds)-1]
	job := last.Job
	job.Machine, job.State = "", ""
	return remedy.Request{Symptoms: strings.Fields(symptoms), Weld: &last, History: welds,
		Ask: recommend.Request{Job: job, Machine: shed(), Spool: "one", Now: day.Add(2 * time.Hour), Units: procedures.US}}
}

func advise(t interface {
	Helper()
	Fatal(...any)
}, r remedy.Request) remedy.Advice {
	t.Helper()
	a, err := remedy.Advise(r)
	if err != nil {
		t.Fatal(err)
	}
	if a.Step == nil && !a.Refused() {
		t.Fatal("no step")
	}
	return a
}

// What the coach says of the settings is what suggest says once the same is written
// down, whatever was welded before.
func TestAgreesWithSuggest(t *testing.T) {
	turned := 0
	rapid.Check(t, func(t *rapid.T) {
		var welds []procedures.Weld
		for n := range rapid.IntRange(1, 5).Draw(t, "beads") {
			welds = append(welds, weld(n+1, func(w *procedures.Weld) {
				w.Settings.Tap = "high"
				w.Settings.Knob, w.Settings.WireSpeed = nil, procedures.InchesPerMin(rapid.Float64Range(70, 150).Draw(t, "wire"))
				w.Outcome.Rating = procedures.Count(rapid.IntRange(0, 5).Draw(t, "rating"))
				w.Outcome.Symptoms = rapid.SliceOfNDistinct(rapid.SampledFrom(procedures.SymptomKeys()), 0, 1, rapid.ID).Draw(t, "symptoms")
			}))
		}
		said := rapid.SampledFrom([]string{"stubbing", "cold-bead", "burn-through", "long-arc", "popping", "burn-back", "undercut", "lack-of-fusion"}).Draw(t, "said")
		r := asked(said, welds...)
		a := advise(t, r)

		last := &welds[len(welds)-1]
		if len(a.Unlogged) > 0 {
			last.Outcome.Symptoms = append(last.Outcome.Symptoms, said)
			if last.Outcome.Rating == 0 {
				last.Outcome.Rating = 3
			}
		}
		s, err := recommend.Suggest(r.Ask, welds)
		if err != nil {
			t.Fatal(err)
		}
		for _, step := range []*remedy.Step{a.Step, a.Then} {
			if step == nil || step.Change != "wire-speed" || step.To == nil {
				continue
			}
			turned++
			far := math.Abs(float64(s.Settings.WireSpeed/step.From.WireSpeed)-1) > 0.255
			if !far && step.To.WireSpeed != s.Settings.WireSpeed {
				t.Fatalf("the coach says %g m/min and suggest %g", step.To.WireSpeed, s.Settings.WireSpeed)
			}
			if by := float64(step.To.WireSpeed/step.From.WireSpeed) - 1; math.Abs(100*by-float64(step.Percent)) > 0.06 {
				t.Fatalf("%.2f %% is said to be %g", 100*by, step.Percent)
			}
			heat, feed := procedures.Direction([]string{said})
			if step == a.Step && float64(step.Percent)*float64(heat+feed) > 0 {
				t.Fatalf("%s: %s", said, step.Text)
			}
		}
	})
	if turned == 0 {
		t.Error("no step of the wire speed was seen")
	}
}

// One step at a time: a step of the settings moves the tap or the wire, never both.
func TestOneChange(t *testing.T) {
	low := weld(1, func(w *procedures.Weld) { w.Settings.Tap = "low"; w.Settings.WireSpeed *= 1.3; w.Settings.Knob = nil })
	a := advise(t, asked("cold-bead", low))
	if a.Step.Change != "tap" || a.Step.Direction != "up" || a.Step.To.Tap != "high" || a.Step.To.WireSpeed != low.Settings.WireSpeed {
		t.Errorf("from the low tap: %+v", a.Step)
	}
	if a.Then == nil || a.Then.Change != "wire-speed" || a.Then.To.WireSpeed != a.Next.Settings.WireSpeed {
		t.Errorf("then: %+v", a.Then)
	}
}

func TestSteps(t *testing.T) {
	good := weld(1, func(w *procedures.Weld) { w.Outcome.Rating = 4 })
	hitch := weld(1, func(w *procedures.Weld) { w.Job.For = "trailer hitch" })
	electrode := weld(1, func(w *procedures.Weld) {
		w.Job.Process, w.Job.Wire = procedures.SMAW, procedures.Wire{Class: "E6013", Diameter: 3.2}
		w.Settings = procedures.Settings{Current: 100}
	})
	rooted := weld(1, func(w *procedures.Weld) { w.Outcome.Tests = []procedures.Test{{Kind: "break", Result: "root line"}} })
	mixed := weld(2, func(w *procedures.Weld) { knob(5)(w); w.Settings.Tap = "low" })
	for _, c := range []struct {
		name         string
		r            remedy.Request
		kind         remedy.Kind
		change, side string
		says         string
	}{
		{"stubbing", asked("stubbing", weld(1, nil)), remedy.Setting, "wire-speed", "down", "knob 4 1/2 to"},
		{"cold", asked("cold-bead", weld(1, nil)), remedy.Setting, "wire-speed", "up", "knob 4 1/2 to"},
		{"cold at a setting that was good", asked("cold-bead", good, weld(2, nil)), remedy.Connection, "clamp", "check", "A1 came out good"},
		{"a nest of wire", asked("bird-nest", weld(1, nil)), remedy.Consumable, "wire", "check", "cut off"},
		{"skinny", asked("narrow", weld(1, nil)), remedy.Hand, "pace", "down", "4 in in 42 s instead of 4 in in 34 s"},
		{"worms", asked("worm-tracks", weld(1, nil)), remedy.Metal, "clean", "check", "bright"},
		{"a crack, and cold", asked("cold-bead crack", weld(1, nil)), remedy.Hand, "grind-out", "check", "Grind it out"},
		{"a crack at a setting that was good", asked("crack", good, weld(2, nil)), remedy.Hand, "grind-out", "check", "stop. Grind it out"},
		{"a shock at a setting that was good", asked("shock", good, weld(2, nil)), remedy.Connection, "unplug", "check", "unplug"},
		{"a shock", asked("popping shock", weld(1, nil)), remedy.Connection, "unplug", "check", "unplug"},
		{"nothing said, a good bead", asked("", good), remedy.Keep, "", "", "change nothing"},
		{"nothing said, nothing known", asked("", weld(1, nil)), remedy.Ask, "", "", "say what"},
		{"nothing said, two changes", asked("", weld(1, nil), mixed), remedy.Part, "", "", "one more coupon"},
		{"nothing said, a root line in the break", asked("", rooted), remedy.Setting, "wire-speed", "up", "up"},
		{"a covered electrode", asked("burn-through", electrode), remedy.Setting, "current", "down", "10 %"},
		{"no weld, popping", remedy.Request{Symptoms: []string{"popping"}, Ask: recommend.Request{Machine: shed()}}, remedy.Setting, "wire-speed", "down", "eighth"},
		{"no weld, holes", remedy.Request{Symptoms: []string{"porosity"}, Ask: recommend.Request{Machine: shed()}}, remedy.Metal, "clean", "check", ""},
	} {
		a := advise(t, c.r)
		if s := a.Step; s.Kind != c.kind || s.Change != c.change || s.Direction != c.side || !strings.Contains(s.Text, c.says) {
			t.Errorf("%s: %+v", c.name, s)
		}
	}
	if a := advise(t, asked("", weld(1, nil))); len(a.Questions) != 3 {
		t.Errorf("questions: %+v", a.Questions)
	}
	r := asked("cold-bead", hitch)
	r.Ask.For = "trailer hitch"
	if a := advise(t, r); !a.Refused() || a.Step != nil || len(a.Causes) != 0 {
		t.Errorf("a hitch: %+v", a)
	}
	if a := advise(t, remedy.Request{Symptoms: []string{"crack"}, Ask: recommend.Request{Words: "cracked hitch", Machine: shed()}}); !a.Refused() || a.Step != nil {
		t.Errorf("a cracked hitch: %+v", a)
	}
	if a := advise(t, asked("cold-bead", good)); a.Step.Kind == remedy.Setting {
		t.Errorf("a good bead was to be changed: %+v", a.Step)
	}
}

// No step goes farther than a quarter, and none makes its own symptom worse, by the
// wire or by the tap: every symptom, both wires, any beads before.
func TestNoStepAgainstItsSymptom(t *testing.T) {
	wires := []procedures.Wire{{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, {Class: "E71T-GS", Diameter: procedures.Inches(0.030)}}
	seen := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		wire := rapid.SampledFrom(wires).Draw(t, "wire")
		var welds []procedures.Weld
		for n := range rapid.IntRange(1, 4).Draw(t, "beads") {
			welds = append(welds, weld(n+1, func(w *procedures.Weld) {
				w.Job.Wire = wire
				w.Settings.Tap = rapid.SampledFrom([]string{"low", "high"}).Draw(t, "tap")
				w.Settings.Knob, w.Settings.WireSpeed = nil, procedures.InchesPerMin(rapid.Float64Range(60, 300).Draw(t, "speed"))
				w.Outcome.Rating = procedures.Count(rapid.IntRange(0, 5).Draw(t, "rating"))
				w.Outcome.Tests = rapid.SampledFrom([][]procedures.Test{nil, {{Kind: "break", Passed: true, Result: "tore parent"}}, {{Kind: "bend", Result: "broke"}}}).Draw(t, "tests")
			}))
		}
		said := rapid.SampledFrom(procedures.SymptomKeys()).Draw(t, "said")
		heat, feed := procedures.Direction([]string{said})
		a := advise(t, asked(said, welds...))
		for _, step := range []*remedy.Step{a.Step, a.Then} {
			if step == nil || step.Kind != remedy.Setting {
				continue
			}
			up := map[string]int{"up": 1, "down": -1}[step.Direction]
			worse := up*heat > 0 || up*feed > 0
			switch step.Change {
			case "tap":
				worse = up*heat > 0 || up*feed < 0
			case "wire-speed", "current":
			default:
				continue
			}
			seen[step.Change] = true
			first := step == a.Step || a.Step.Change != "tap" // the wire that goes along with another tap is suggest's
			if first && worse {
				t.Fatalf("%s: %s", said, step.Text)
			}
			if first && math.Abs(float64(step.Percent)) > 25.5 {
				t.Fatalf("%s: %g %%: %s", said, step.Percent, step.Text)
			}
		}
	})
	if !seen["tap"] || !seen["wire-speed"] {
		t.Errorf("steps seen: %v", seen)
	}
}

// A failed test, or a failure in use, is what the coach begins with, and suggest, the
// coach with and without words, and the next coupon give one answer about it.
func TestOneAnswerToAFailure(t *testing.T) {
	for name, o := range map[string]procedures.Outcome{
		"in use":                  {Rating: 5, FailedInUse: day.Add(time.Hour)},
		"in use, and it was said": {Rating: 5, FailedInUse: day.Add(time.Hour), InUse: "popped off"},
		"bend broke":              {Rating: 4, Tests: []procedures.Test{{Kind: "bend", Result: "broke"}}},
		"nobody rated it":         {Tests: []procedures.Test{{Kind: "break", Result: "root line"}}},
	} {
		w := weld(1, func(w *procedures.Weld) { w.Settings.Knob = nil; w.Outcome = o })
		r := asked("", w)
		s, err := recommend.Suggest(r.Ask, r.History)
		if err != nil {
			t.Fatal(err)
		}
		if s.Settings.WireSpeed < w.Settings.WireSpeed {
			t.Errorf("%s: suggest goes from %v to %v", name, w.Settings.WireSpeed, s.Settings.WireSpeed)
		}
		_, choices, err := recommend.NextCoupons(r.Ask, r.History, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range choices {
			if c.Same && c.Settings.WireSpeed != s.Settings.WireSpeed {
				t.Errorf("%s: suggest sets %v and the next coupon %v", name, s.Settings.WireSpeed, c.Settings.WireSpeed)
			}
		}
		for _, said := range []string{"", "lack-of-fusion"} {
			a := advise(t, asked(said, w))
			if a.Failed == "" {
				t.Errorf("%s, %q: the failure is not named", name, said)
			}
			if !strings.Contains(a.Compared.Text, "FAILED") && a.Compared.Before != "" {
				t.Errorf("%s: %s", name, a.Compared.Text)
			}
			found := false
			for _, step := range []*remedy.Step{a.Step, a.Then} {
				if step == nil || step.To == nil {
					continue
				}
				found = true
				if step.To.WireSpeed != s.Settings.WireSpeed {
					t.Errorf("%s, %q: suggest sets %v, the coach %s", name, said, s.Settings.WireSpeed, step.Text)
				}
			}
			if !found {
				t.Errorf("%s, %q: no step of the settings: %+v", name, said, a.Step)
			}
		}
	}
}
