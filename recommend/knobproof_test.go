package recommend

import (
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
)

// TestKnobProof: where the knob is not measured, a bead that passed its test at a mark
// gives the mark, with its name and its age, and nothing that was welded otherwise
// does.
func TestKnobProof(t *testing.T) {
	const job = "1/8 mild tee flat"
	noon := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	mark := func(v float64) *float64 { return &v }
	r := asked(t, job)
	r.Machine.Example, r.Machine.Name, r.Machine.State.ID, r.Machine.Knob = false, "shed", "s2", procedures.Knob{}
	r.Now, r.Spool = noon.AddDate(0, 0, 10), "one"
	bare, err := Suggest(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	tap := bare.Settings.Tap
	if bare.Settings.Knob != nil || bare.Settings.How["knob_text"] != procedures.Guessed || tap == "" {
		t.Fatalf("with no weld: knob %v, %q, tap %q", bare.Settings.Knob, bare.Settings.KnobSaid, tap)
	}
	weld := func(name string, day int, knob *float64, change ...func(*procedures.Weld)) procedures.Weld {
		w := procedures.Weld{Mark: name, Job: bare.Job, Spool: "one", At: noon.AddDate(0, 0, day),
			Settings: procedures.Settings{Tap: tap, Knob: knob, Polarity: bare.Settings.Polarity}, Outcome: procedures.Outcome{Rating: 4}}
		for _, c := range change {
			c(&w)
		}
		return w
	}
	test := func(kind string, passed bool) func(*procedures.Weld) {
		return func(w *procedures.Weld) {
			w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: kind, Passed: passed, Result: "held"})
		}
	}
	bent, broken := test("bend", true), test("break", false)
	rated := func(n procedures.Count) func(*procedures.Weld) {
		return func(w *procedures.Weld) { w.Outcome.Rating = n }
	}
	inUse := func(day int) func(*procedures.Weld) {
		return func(w *procedures.Weld) { w.Outcome.FailedInUse = noon.AddDate(0, 0, day) }
	}
	good := weld("A2", 0, mark(5), bent)
	for name, c := range map[string]struct {
		history History
		by      string
	}{
		"bent at a mark":                          {History{good}, "A2"},
		"broke open at a mark":                    {History{weld("A2", 0, mark(5), test("break", true))}, "A2"},
		"looks alone":                             {History{weld("A2", 0, mark(5))}, ""},
		"an etch alone":                           {History{weld("A2", 0, mark(5), test("etch", true))}, ""},
		"bent with no mark":                       {History{weld("A2", 0, nil, bent)}, ""},
		"the latest of two":                       {History{good, weld("A3", 1, mark(6), bent)}, "A3"},
		"another tap":                             {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Settings.Tap = "other" })}, ""},
		"another class of wire":                   {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.Class = "E71T-GS" })}, ""},
		"another size of wire":                    {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.Diameter = procedures.Inches(0.030) })}, ""},
		"another thickness":                       {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.Thickness *= 1.2 })}, ""},
		"another joint":                           {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.Joint = procedures.Lap })}, ""},
		"another position":                        {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.Position = procedures.Overhead })}, ""},
		"another machine":                         {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.Machine = "barn" })}, ""},
		"an older state of the machine":           {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Job.State = "s1" })}, ""},
		"the wrong pole":                          {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Settings.Polarity = procedures.DCEP })}, ""},
		"failed there since":                      {History{good, weld("A3", 1, mark(5), broken)}, ""},
		"failed a quarter mark off since":         {History{good, weld("A3", 1, mark(5.25), broken)}, ""},
		"failed at a mark not written down":       {History{good, weld("A3", 1, nil, broken)}, ""},
		"rated 2 there since":                     {History{good, weld("A3", 1, mark(5), rated(2))}, ""},
		"failed far off since":                    {History{good, weld("A3", 1, mark(8), broken)}, "A2"},
		"failed there before":                     {History{weld("A1", -1, mark(5), broken), good}, "A2"},
		"failed there since on another tap":       {History{good, weld("A3", 1, mark(5), broken, func(w *procedures.Weld) { w.Settings.Tap = "other" })}, "A2"},
		"bent, then failed its break":             {History{weld("A2", 0, mark(5), bent, broken)}, ""},
		"itself failed in use":                    {History{weld("A2", 0, mark(5), bent, inUse(3))}, ""},
		"a part like it failed in use":            {History{weld("A1", -1, mark(5), inUse(3)), good}, ""},
		"a part like it had failed in use before": {History{weld("A1", -3, mark(5), inUse(-1)), good}, "A2"},
		"wire speed known and the one suggested":  {History{weld("A2", 0, mark(5), bent, func(w *procedures.Weld) { w.Settings.WireSpeed = bare.Settings.WireSpeed })}, "A2"},
		"more than half a year ago":               {History{weld("A2", -200, mark(5), bent)}, ""},
		"on another spool, long ago":              {History{weld("A2", -80, mark(5), bent, func(w *procedures.Weld) { w.Spool = "two" })}, ""},
	} {
		s, err := Suggest(r, c.history)
		if err != nil {
			t.Fatal(err)
		}
		if s.Evidence.KnobBy != c.by {
			t.Errorf("%s: the mark is by %q, want %q", name, s.Evidence.KnobBy, c.by)
			continue
		}
		if c.by == "" {
			if s.Settings.Knob != nil {
				t.Errorf("%s: a mark is given all the same, %v", name, *s.Settings.Knob)
			}
			continue
		}
		last := c.history[len(c.history)-1]
		for _, w := range c.history {
			if w.Mark == c.by {
				last = w
			}
		}
		how := procedures.Measured
		if last.Settings.WireSpeed > 0 {
			how = procedures.OwnCurve
		}
		if s.Settings.Knob == nil || *s.Settings.Knob != *last.Settings.Knob || s.Settings.How["knob"] != how || s.Settings.KnobSaid != "" {
			t.Errorf("%s: settings %+v", name, s.Settings)
		}
		if s.Settings.WireSpeed != bare.Settings.WireSpeed {
			t.Errorf("%s: the mark moved the wire speed from %v to %v", name, bare.Settings.WireSpeed, s.Settings.WireSpeed)
		}
		said := false
		for _, why := range s.Lead {
			said = said || strings.HasPrefix(why.Text, c.by+" ") && strings.Contains(why.Text, " on the knob, tap "+tap) && strings.Contains(why.Text, "ago")
		}
		if !said {
			t.Errorf("%s: the reasons do not say whose mark it is: %v", name, s.Lead)
		}
	}
}

// A knob that was run out answers by its curve, whatever bead bent well.
func TestKnobProofBesideCurve(t *testing.T) {
	r := asked(t, "1/8 mild tee flat")
	r.Machine.Example, r.Machine.Name, r.Machine.State.ID = false, "shed", "s1"
	bare, err := Suggest(r, nil)
	if err != nil {
		t.Fatal(err)
	}
	tap, v := bare.Settings.Tap, bare.Settings.WireSpeed
	for i, share := range []float64{0.6, 1, 1.4} {
		r.Machine.RunOuts = append(r.Machine.RunOuts, procedures.RunOut{State: "s1", Tap: tap, Mark: 2 + 3*float64(i), Length: procedures.MM(float64(v) * share * 1000 / 6), Seconds: 10})
	}
	five := 8.
	w := procedures.Weld{Mark: "A2", Job: bare.Job, Settings: procedures.Settings{Tap: tap, Knob: &five}, Outcome: procedures.Outcome{Rating: 4, Tests: []procedures.Test{{Kind: "bend", Passed: true}}}}
	s, err := Suggest(r, History{w})
	if err != nil {
		t.Fatal(err)
	}
	if s.Evidence.KnobBy != "" || s.Settings.Knob == nil || *s.Settings.Knob != 5 || s.Settings.How["knob"] != procedures.OwnCurve {
		t.Errorf("knob %v (%s) by %q", s.Settings.Knob, s.Settings.How["knob"], s.Evidence.KnobBy)
	}
}
