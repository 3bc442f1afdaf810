package recommend

import (
	"math"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// runOuts makes three runs of 10 s at each mark, of 30 in/min a mark and 20 more.
func runOuts(state, tap string, marks ...float64) (all []procedures.RunOut) {
	for _, mark := range marks {
		for range 3 {
			all = append(all, procedures.RunOut{State: state, Tap: tap, Mark: mark, Seconds: 10, Length: procedures.Inches((20 + 30*mark) / 6)})
		}
	}
	return all
}

// bench is a two-tap machine with a knob from 1 to 10 and the run-outs given.
func bench(knob procedures.Knob, runs ...procedures.RunOut) procedures.Machine {
	m := ExampleMachine(procedures.FCAWS)
	m.Name, m.Example, m.Knob, m.State.ID, m.RunOuts = "shed", false, knob, "now", runs
	return m
}

var oneToTen = procedures.Knob{Min: 1, Max: 10}

// TestDial: by the curve where there is one, and nothing beyond it; by the even
// guess where there is none.
func TestDial(t *testing.T) {
	five := runOuts("now", "high", 1, 3, 5, 7, 9)
	for _, c := range []struct {
		name string
		m    procedures.Machine
		tap  string
		ipm  float64
		mark float64 // 0: none
		word string
		how  procedures.How
	}{
		{"no run-outs", bench(oneToTen), "high", 190, 5.5, "", procedures.Guessed},
		{"no run-outs, no numbers", bench(procedures.Knob{}), "high", 190, 0, "middle third", procedures.Guessed},
		{"curve", bench(oneToTen, five...), "high", 110, 3, "", procedures.OwnCurve},
		{"to the quarter", bench(oneToTen, five...), "high", 111 + 30*1.3, 4.25, "", procedures.OwnCurve},
		{"to the step", bench(procedures.Knob{Min: 1, Max: 10, Step: 0.5}, five...), "high", 111 + 30*1.3, 4.5, "", procedures.OwnCurve},
		{"a paper dial", bench(procedures.Knob{}, five...), "high", 111 + 30*1.3, 4.25, "", procedures.OwnCurve},
		{"any case of letters", bench(oneToTen, five...), "HIGH", 110, 3, "", procedures.OwnCurve},
		{"too fast", bench(oneToTen, five...), "high", 291, 0, "", ""},
		{"too slow", bench(oneToTen, five...), "high", 49, 0, "", ""},
		{"another tap", bench(oneToTen, five...), "low", 110, 3, "", procedures.Guessed},
		{"an earlier state", bench(oneToTen, runOuts("old", "high", 1, 5, 9)...), "high", 110, 3, "", procedures.Guessed},
		{"one mark is no curve", bench(oneToTen, runOuts("now", "high", 5)...), "high", 190, 5.5, "", procedures.Guessed},
		{"two marks are", bench(oneToTen, runOuts("now", "high", 1, 9)...), "high", 110, 3, "", procedures.OwnCurve},
	} {
		mark, word, how := Dial(c.m, c.tap, procedures.InchesPerMin(c.ipm))
		if word != c.word || how != c.how || (mark == nil) != (c.mark == 0) || mark != nil && *mark != c.mark {
			t.Errorf("%s: %v %q %q, want %v %q %q", c.name, mark, word, how, c.mark, c.word, c.how)
		}
		if c.mark == 0 {
			continue
		}
		v, back := SpeedAt(c.m, c.tap, c.mark)
		if back != c.how || math.Abs(v.InchesPerMin()-c.ipm) > 30*0.25 {
			t.Errorf("%s: mark %v gives %v %q back", c.name, c.mark, v.InchesPerMin(), back)
		}
	}
	m := bench(oneToTen, five...)
	if v, how := SpeedAt(m, "high", 9.5); v != 0 || how != "" {
		t.Errorf("beyond the marks: %v %q", v, how)
	}
}

// knobAsk asks for 1/8 in in a flat tee, which the table gives 102 in/min.
func knobAsk(t *testing.T, m procedures.Machine) (s Suggestion, caution, because string) {
	t.Helper()
	r, err := procedures.ReadJob("1/8 mild tee flat 0.035 E71T-11", procedures.US, Lexicon())
	if err == nil {
		err = r.Complete()
	}
	if err != nil {
		t.Fatal(err)
	}
	if s, err = Suggest(Request{Job: r.Job, Machine: m, Units: procedures.US}, nil); err != nil {
		t.Fatal(err)
	}
	for _, c := range s.Cautions {
		if c.Key == "knob" {
			caution += c.Text
		}
	}
	for _, b := range s.Because {
		because += b.Text + "\n"
	}
	return s, caution, because
}

// TestSuggestKnob: what a suggestion says of the knob, by how much of it is measured.
func TestSuggestKnob(t *testing.T) {
	for _, c := range []struct {
		name             string
		m                procedures.Machine
		mark             float64
		how              procedures.How
		caution, because string // "" no caution at all
	}{
		{"not measured", bench(oneToTen), 2.75, procedures.Guessed, "not measured", ""},
		{"calibrated", bench(oneToTen, runOuts("now", "high", 1, 3, 5, 7, 9)...), 2.75, procedures.OwnCurve, "", "knob 2 3/4 by your own run-outs (5 marks from 1 to 9)"},
		{"a paper dial", bench(procedures.Knob{}, runOuts("now", "high", 1, 3, 5)...), 2.75, procedures.OwnCurve, "", "from below"},
		{"one mark", bench(oneToTen, runOuts("now", "high", 5)...), 2.75, procedures.Guessed, "One mark is run out so far (5: 170 in/min); three are wanted", ""},
		{"two marks", bench(oneToTen, runOuts("now", "high", 1, 5)...), 2.75, procedures.OwnCurve, "three are wanted", "2 marks from 1 to 5"},
		{"another tap", bench(oneToTen, runOuts("now", "low", 1, 5, 9)...), 2.75, procedures.Guessed, "run-outs on the LOW tap", ""},
		{"too fast", bench(oneToTen, runOuts("now", "high", 1, 2)...), 0, "", "faster than any mark that was run out (80 in/min at mark 2), so no mark is given. Run out mark 3 on tap high next", "no mark is given"},
		{"too slow", bench(oneToTen, runOuts("now", "high", 5, 7, 9)...), 0, "", "slower than any mark that was run out (170 in/min at mark 5), so no mark is given. Run out mark 3 on tap high next", "no mark is given"},
	} {
		s, caution, because := knobAsk(t, c.m)
		set := s.Settings
		if set.How["knob"] != c.how || (set.Knob == nil) != (c.mark == 0) || set.Knob != nil && *set.Knob != c.mark || set.KnobSaid != "" {
			t.Errorf("%s: knob %v %q, how %v", c.name, set.Knob, set.KnobSaid, set.How["knob"])
		}
		if c.caution == "" && caution != "" || !strings.Contains(caution, c.caution) || !strings.Contains(because, c.because) {
			t.Errorf("%s: caution %q\nbecause %q", c.name, caution, because)
		}
		if k := s.Range.Knob; c.mark != 0 && (k == nil || k[0] > c.mark || k[1] < c.mark || k[0] >= k[1]) || c.mark == 0 && k != nil {
			t.Errorf("%s: range %v about %v", c.name, k, c.mark)
		}
	}
}

// TestThirdOfTheTurn: where the feeder's range is not known either, a third is all there
// is, and a knob that has numbers is not said to have none.
func TestThirdOfTheTurn(t *testing.T) {
	for _, c := range []struct {
		knob procedures.Knob
		says string
	}{
		{procedures.Knob{}, "The knob has no numbers and is not measured"},
		{oneToTen, "how fast the feeder runs is not known"},
	} {
		m := bench(c.knob)
		m.WireMin, m.WireMax = 0, 0
		s, caution, _ := knobAsk(t, m)
		if s.Settings.KnobSaid != "lower third" || !strings.HasPrefix(caution, "The knob ") || !strings.Contains(caution, c.says) || c.knob.Marked() == strings.Contains(caution, "no numbers") {
			t.Errorf("%+v: %q %q", c.knob, s.Settings.KnobSaid, caution)
		}
	}
}

// TestFeederReach: the feeder's ends count as measured only at the knob's own ends.
func TestFeederReach(t *testing.T) {
	// 1/8 in wants 102 in/min; this feeder ends at 80 on mark 2 of 2.
	s, caution, _ := knobAsk(t, bench(procedures.Knob{Min: 1, Max: 2}, runOuts("now", "high", 1, 1.5, 2)...))
	if s.Settings.Knob != nil || s.Verdict != Edge || !strings.Contains(caution, "the feeder goes no faster") {
		t.Errorf("verdict %s, knob %v: %s", s.Verdict, s.Settings.Knob, caution)
	}
	m := bench(oneToTen, runOuts("now", "high", 1, 9)...)
	slowest, fastest := feederReach(m)
	if fastest != float64(m.WireMax) || math.Abs(procedures.MPerMin(slowest).InchesPerMin()-50) > 1e-9 {
		t.Errorf("%v to %v", slowest, fastest)
	}
	m.WireMax = procedures.InchesPerMin(45) // cannot be, with 50 in/min at the slow end
	if _, fastest = feederReach(m); fastest != 0 {
		t.Errorf("fastest %v below the slowest measured", fastest)
	}
}

// TestDialInverts: a mark and its wire speed are one another's, within a quarter mark.
func TestDialInverts(t *testing.T) {
	m := bench(oneToTen, runOuts("now", "high", 1, 3, 5, 7, 9)...)
	for ipm := 50.0; ipm <= 290; ipm += 7 {
		mark, _, _ := Dial(m, "high", procedures.InchesPerMin(ipm))
		if mark == nil || *mark != feeder.Settle(m.Knob, *mark) {
			t.Fatalf("%v in/min: mark %v", ipm, mark)
		}
		if v, _ := SpeedAt(m, "high", *mark); math.Abs(v.InchesPerMin()-ipm) > 30*0.125+1e-6 {
			t.Errorf("%v in/min: mark %v gives %v", ipm, *mark, v.InchesPerMin())
		}
	}
}
