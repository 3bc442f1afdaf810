package recommend

import (
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
)

// TestFailureInUse: a weld that failed in use takes the proof away, from itself
// and from like welds at its setting, until a coupon passes after that.
func TestFailureInUse(t *testing.T) {
	day := func(n int) time.Time { return time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC).AddDate(0, 0, n) }
	weld := func(mark string, on int, passed bool) procedures.Weld {
		w := goodWeld("1/16 lap flat", mark, 1, 5)
		w.At, w.Spool = day(on), "one"
		if passed {
			w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}
		}
		return w
	}
	broken := func(w procedures.Weld, on int) procedures.Weld {
		w.Outcome.FailedInUse = day(on)
		return w
	}
	cracked := func(w procedures.Weld) procedures.Weld {
		w.Outcome.Symptoms = []string{"crack"}
		return w
	}
	unfused := func(w procedures.Weld) procedures.Weld {
		w.Outcome.Symptoms = []string{"lack-of-fusion"}
		return w
	}
	faster := func(w procedures.Weld) procedures.Weld {
		w.Settings.WireSpeed *= 1.3
		return w
	}
	for name, c := range map[string]struct {
		history History
		proved  string // mark; "" nothing is proved
		broke   string // mark named; "" none
	}{
		"nothing failed":                                      {History{weld("A1", 0, true), weld("A2", 1, false)}, "A1", ""},
		"the tested weld itself":                              {History{broken(weld("A1", 0, true), 20)}, "", "A1"},
		"a part welded like the tested coupon":                {History{weld("A1", 0, true), broken(weld("A2", 1, false), 20)}, "", "A2"},
		"a part welded before the coupon, found broken after": {History{broken(weld("A1", 0, false), 20), weld("A2", 1, true)}, "", "A1"},
		"a coupon that passed after that":                     {History{broken(weld("A1", 0, true), 20), weld("A2", 21, true)}, "A2", ""},
		"two failed, one coupon between":                      {History{broken(weld("A1", 0, true), 20), weld("A2", 21, true), broken(weld("A3", 22, false), 30)}, "", "A3"},
		"a crack in the tested coupon":                        {History{cracked(weld("A1", 0, true))}, "", ""},
		"a crack since at that setting":                       {History{weld("A1", 0, true), cracked(weld("A2", 1, false))}, "", ""},
		"not fused since at that setting":                     {History{weld("A1", 0, true), unfused(weld("A2", 1, false))}, "", ""},
		"a part at another setting":                           {History{weld("A1", 0, true), broken(faster(weld("A2", 1, false)), 20)}, "A1", "A2"},
	} {
		r := asked(t, "1/16 lap flat")
		r.Now, r.Spool = day(40), "one"
		found, broke := proof(r, c.history)
		if got := markOf(found); got != c.proved {
			t.Errorf("%s: the proof is %q, want %q", name, got, c.proved)
		}
		if got := markOf(broke); got != c.broke {
			t.Errorf("%s: broken is %q, want %q", name, got, c.broke)
		}
		s, err := Suggest(r, c.history)
		if err != nil {
			t.Fatal(err)
		}
		if c.proved == "" && (s.Verdict == Proved || c.broke != "" && s.Evidence.ProofFaded != c.broke+" failed in use") {
			t.Errorf("%s: %s, faded %q", name, s.Verdict, s.Evidence.ProofFaded)
		}
		said := false
		for _, why := range s.Lead {
			said = said || strings.Contains(why.Text, "failed in use")
		}
		if said != (c.broke != "") {
			t.Errorf("%s: told of the failure: %v", name, said)
		}
	}
}

func markOf(w *procedures.Weld) string {
	if w == nil {
		return ""
	}
	return w.Mark
}

// TestFailureInUseIsLearned: whatever it looked like, it counts as a failed test, and
// one that nothing explains as too cold.
func TestFailureInUseIsLearned(t *testing.T) {
	o := procedures.Outcome{Rating: 5, FailedInUse: time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC)}
	if rating, heat, feed := reading(o); rating != 2 || heat != -1 || feed != 0 {
		t.Errorf("read as %d, heat %d, feed %d", rating, heat, feed)
	}
	o.Rating = 1
	if rating, _, _ := reading(o); rating != 1 {
		t.Errorf("a scrap bead became %d", rating)
	}
	if o.Rating = 4; o.Good() || o.Passed() {
		t.Error("it counts as good")
	}
}
