package recommend

import (
	"strings"
	"testing"

	"beadwright/procedures"
)

// Arc and rest go by the plate until this machine has cut out sooner; a cut-out from
// before its output was changed stands as the most.
func TestDutyByOwnCutOuts(t *testing.T) {
	suggest := func(m procedures.Machine) Suggestion {
		t.Helper()
		r, err := procedures.ReadJob("1/8 mild tee flat 0.035 E71T-11", procedures.US, Lexicon())
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Complete(); err != nil {
			t.Fatal(err)
		}
		s, err := Suggest(Request{Job: r.Job, Machine: m, Words: "1/8 mild tee flat"}, nil)
		if err != nil || !s.Given() {
			t.Fatalf("%v, %v", s.Verdict, err)
		}
		return s
	}
	cautioned := func(s Suggestion, key string) bool {
		for _, c := range s.Cautions {
			if c.Key == key {
				return true
			}
		}
		return false
	}
	m := ExampleMachine(procedures.FCAWS)
	m.State = procedures.State{ID: "now"}
	plate := suggest(m)
	// 600 s x 20 % x (90 A / current)^2
	i := float64(plate.Settings.Current)
	if want := 120 * 90 * 90 / (i * i); i <= 90 || plate.Expect.ArcHow != procedures.FromTable || float64(plate.Expect.ArcSeconds) < want-0.1 || float64(plate.Expect.ArcSeconds) > want+0.1 {
		t.Errorf("by the plate: %v s at %v A, %s, want %v", plate.Expect.ArcSeconds, i, plate.Expect.ArcHow, want)
	}
	if plate.Expect.Rest != 600-plate.Expect.ArcSeconds || cautioned(plate, "own-duty") {
		t.Errorf("%v s of rest after %v s", plate.Expect.Rest, plate.Expect.ArcSeconds)
	}
	m.CutOuts = []procedures.CutOut{{Number: 1, State: "before", Used: 30, Current: plate.Settings.Current}}
	if s := suggest(m); s.Expect.ArcSeconds != 25.5 || !cautioned(s, "own-duty") {
		t.Errorf("a cut-out from before its output was changed is the most it may be: %v s", s.Expect.ArcSeconds)
	}
	m.CutOuts[0].Used = 60
	m.CutOuts = append(m.CutOuts, procedures.CutOut{Number: 2, State: "now", Used: 40, Current: plate.Settings.Current})
	own := suggest(m)
	if own.Expect.ArcSeconds != 34 || own.Expect.Rest != 566 || own.Expect.ArcHow != procedures.Measured || !cautioned(own, "own-duty") {
		t.Errorf("%v s, %s; want 85 %% of 40 s, measured", own.Expect.ArcSeconds, own.Expect.ArcHow)
	}
	said := false
	for _, r := range own.Because {
		said = said || strings.Contains(r.Text, "cut-out 2 opened after 40 s")
	}
	if !said {
		t.Errorf("nothing says where it comes from: %v", own.Because)
	}
	slip := m
	slip.CutOuts = []procedures.CutOut{{Number: 1, State: "now", Used: 1, Current: plate.Settings.Current}}
	if s := suggest(slip); s.Expect.ArcSeconds != 0 || !cautioned(s, "no-duty") {
		t.Errorf("no second left, and nothing said: %v s", s.Expect.ArcSeconds)
	}
	m.Duty = 0
	if s := suggest(m); s.Expect.ArcSeconds != 34 || cautioned(s, "duty") {
		t.Errorf("no plate, but a cut-out: %v s, %v", s.Expect.ArcSeconds, s.Cautions)
	}
	m.CutOuts = nil
	if s := suggest(m); !cautioned(s, "duty") || s.Expect.ArcSeconds != 0 || s.Expect.ArcHow != "" {
		t.Errorf("no plate: %v s, %v", s.Expect.ArcSeconds, s.Cautions)
	}
}
