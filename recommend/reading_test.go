package recommend

import (
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
)

var readingDay = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

func failedTest(kind, result string) []procedures.Test {
	return []procedures.Test{{Kind: kind, Result: result}}
}

// TestReading is what the model is told of an outcome.
func TestReading(t *testing.T) {
	used := readingDay
	for _, c := range []struct {
		name               string
		o                  procedures.Outcome
		rating, heat, feed int
	}{
		{"looks alone", procedures.Outcome{Rating: 4}, 4, 0, 0},
		{"a break that nothing explains", procedures.Outcome{Rating: 4, Tests: failedTest("bend", "broke")}, 2, -1, 0},
		{"nobody rated it", procedures.Outcome{Tests: failedTest("break", "root line")}, 2, -1, 0},
		{"scrap stays scrap", procedures.Outcome{Rating: 1, Tests: failedTest("break", "broke")}, 1, -1, 0},
		{"in use", procedures.Outcome{Rating: 5, FailedInUse: used}, 2, -1, 0},
		{"the bead says too hot", procedures.Outcome{Rating: 3, Symptoms: []string{"burn-through"}, Tests: failedTest("bend", "broke")}, 2, 1, 0},
		{"pores", procedures.Outcome{Rating: 4, Tests: failedTest("break", "holes")}, 0, 0, 0},
		{"pores, then in use", procedures.Outcome{Rating: 4, FailedInUse: used, Tests: failedTest("break", "pores")}, 2, -1, 0},
		{"pores and a cold root", procedures.Outcome{Rating: 4, Tests: append(failedTest("break", "slag"), failedTest("bend", "not fused")...)}, 2, -1, 0},
		{"in use, in words", procedures.Outcome{Rating: 5, FailedInUse: used, InUse: "popped off, root never melted"}, 2, -1, 0},
		{"in use, full of pinholes", procedures.Outcome{Rating: 5, FailedInUse: used, InUse: "broke, pinholes all through it"}, 0, 0, 0},
		{"in use, burned through", procedures.Outcome{Rating: 4, FailedInUse: used, InUse: "tore where it had burned through"}, 2, 1, 0},
		{"a test in words of one's own", procedures.Outcome{Rating: 4, Tests: failedTest("break", "full of bug holes")}, 0, 0, 0},
		{"a crack, whatever the looks", procedures.Outcome{Rating: 5, Symptoms: []string{"crack"}}, 0, 0, 0},
		{"a crack, and too cold", procedures.Outcome{Rating: 4, Symptoms: []string{"crack", "cold-bead"}}, 2, -1, 0},
		{"not fused, whatever the looks", procedures.Outcome{Rating: 5, Symptoms: []string{"lack-of-fusion"}}, 2, -1, 0},
		{"not fused by eye, and a break that held", procedures.Outcome{Rating: 4, Symptoms: []string{"lack-of-fusion"}, Tests: []procedures.Test{{Kind: "break", Passed: true, Result: "held"}}}, 4, -1, 0},
		{"passed", procedures.Outcome{Rating: 3, Tests: []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}}, 3, 0, 0},
	} {
		if rating, heat, feed := reading(c.o); rating != c.rating || heat != c.heat || feed != c.feed {
			t.Errorf("%s: %d, heat %d, feed %d; want %d, %d, %d", c.name, rating, heat, feed, c.rating, c.heat, c.feed)
		}
	}
}

// TestFailureNeverCools: after a failure that nothing explains the next suggestion has
// no less wire than that bead had, and a setting that failed is not given without a
// word.
func TestFailureNeverCools(t *testing.T) {
	for name, o := range map[string]procedures.Outcome{
		"in use":        {Rating: 5, FailedInUse: readingDay},
		"bend broke":    {Rating: 3, Tests: failedTest("bend", "broke")},
		"never rated":   {Tests: failedTest("break", "broke")},
		"straight edge": {Rating: 4, Tests: failedTest("break", "straight edge")},
		"holes":         {Rating: 4, Tests: failedTest("break", "holes")},
	} {
		r := asked(t, "1/8 mild tee flat")
		before, err := Suggest(r, nil)
		if err != nil {
			t.Fatal(err)
		}
		w := goodWeld("1/8 mild tee flat", "A1", 1, 4)
		w.At, w.Outcome = readingDay, o
		after, err := Suggest(r, History{w})
		if err != nil {
			t.Fatal(err)
		}
		if after.Settings.WireSpeed < before.Settings.WireSpeed {
			t.Errorf("%s: from %v to %v m/min", name, before.Settings.WireSpeed, after.Settings.WireSpeed)
		}
		again := near(after.Settings.WireSpeed, before.Settings.WireSpeed, 0.05)
		said := slices.ContainsFunc(after.Near, func(s string) bool { return strings.Contains(s, w.Mark+" failed at this setting") })
		if again != said || said && after.Verdict != Edge {
			t.Errorf("%s: the setting that failed is given again: %v, said: %v, %s", name, again, said, after.Verdict)
		}
	}
}

// TestProofSetsTheSpeed: what passed its test on this very job is what is set, where
// the rest of what is known would not even allow for it.
func TestProofSetsTheSpeed(t *testing.T) {
	r := asked(t, "1/8 mild tee flat 0.030 E71T-GS")
	r.Now = readingDay.AddDate(0, 0, 7)
	w := goodWeld("1/8 mild tee flat 0.030 E71T-GS", "A1", 1, 4)
	w.At, w.Outcome.Tests = readingDay, []procedures.Test{{Kind: "break", Passed: true, Result: "tore parent"}}
	w.Settings.WireSpeed = procedures.InchesPerMin(110)
	s, err := Suggest(r, History{w})
	if err != nil {
		t.Fatal(err)
	}
	if s.Settings.WireSpeed != w.Settings.WireSpeed || s.Settings.Tap != w.Settings.Tap || s.Verdict != Proved || s.Evidence.SetBy != w.Mark || s.Evidence.ProvedBy != w.Mark {
		t.Errorf("%v m/min on %s, %s, set by %q, proved by %q; near %q", s.Settings.WireSpeed, s.Settings.Tap, s.Verdict, s.Evidence.SetBy, s.Evidence.ProvedBy, s.Near)
	}
	if !(s.Range.WireSpeed[0] <= w.Settings.WireSpeed && w.Settings.WireSpeed <= s.Range.WireSpeed[1]) {
		t.Errorf("it lies outside the range %v", s.Range.WireSpeed)
	}
	old := r
	old.Now = w.At.Add(proofHolds + 48*time.Hour)
	if s, err = Suggest(old, History{w}); err != nil || s.Evidence.SetBy != "" || s.Verdict == Proved {
		t.Errorf("half a year later: %s, set by %q, %v", s.Verdict, s.Evidence.SetBy, err)
	}
	w.Settings.WireSpeed = procedures.InchesPerMin(30) // slower than the wire is made for
	if s, err = Suggest(r, History{w}); err != nil || s.Evidence.SetBy != "" {
		t.Errorf("below the wire's own range: set by %q, %v", s.Evidence.SetBy, err)
	}
}

// TestRangeHoldsCurrent: whatever welds there are, the current set lies in its range.
func TestRangeHoldsCurrent(t *testing.T) {
	r := asked(t, "1/8 mild tee flat")
	for _, rating := range []procedures.Count{1, 2, 4, 5} {
		for _, ipm := range []float64{70, 90, 125, 150} {
			w := goodWeld("1/8 mild tee flat", "A1", 1, int(rating))
			w.Settings.WireSpeed = procedures.InchesPerMin(ipm)
			s, err := Suggest(r, History{w})
			if err != nil {
				t.Fatal(err)
			}
			if i, in := s.Settings.Current, s.Range.Current; s.Given() && (i < in[0] || i > in[1]) {
				t.Errorf("a %d at %g in/min: %v A in %v", rating, ipm, i, in)
			}
		}
	}
}
