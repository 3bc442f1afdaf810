package store_test

import (
	"fmt"
	"testing"

	"beadwright/procedures"
)

// TestPastOrder: welds of another notebook come in with ids older than those that
// are there, some are struck, and hardly two are alike. The list is that of
// History, with each weld's own settings, symptoms and tests, and no words.
func TestPastOrder(t *testing.T) {
	n := fresh(t)
	m := must(n.AddMachine(t.Context(), littleRed()))(t)
	spool := must(n.AddSpool(t.Context(), elevens()))(t)
	keys, joints := procedures.SymptomKeys(), procedures.Joints()
	for i := range 60 {
		w := bead()
		w.ID = fmt.Sprintf("0190%04x-0000-7000-8000-%012d", (i*37)%60, i)
		w.Outcome.Symptoms = keys[i%7 : i%7+i%3]
		w.Outcome.Tests = w.Outcome.Tests[:i%2]
		w.Job.Joint = joints[i%len(joints)]
		w.Job.Weld = w.Job.Joint.DefaultWeld()
		switch i % 4 {
		case 0:
			w.Job.Machine, w.Spool = m.Name, spool.ID
		case 1:
			w.Job.Coating, w.Job.Stripped, w.Job.Gap = procedures.Galvanized, true, 1.5
		case 2:
			w.Settings, w.Job.Wire = procedures.Settings{Voltage: 17, Current: 90, Travel: 250}, procedures.Wire{}
		case 3:
			w.Job.Length, w.ArcTime, w.Job.OtherThickness = 150, 24, procedures.Inches(0.25)
		}
		w = must(n.AddWeld(t.Context(), w))(t)
		if i%5 == 0 {
			must(n.StrikeWeld(t.Context(), w.Mark, "wrong coupon"))(t)
		}
	}
	whole, lean := must(n.History(t.Context()))(t), must(n.Past(t.Context()))(t)
	if len(whole) != 48 || len(lean) != len(whole) {
		t.Fatalf("%d welds and %d, want 48", len(whole), len(lean))
	}
	for i, w := range whole {
		j, s, o := &w.Job, &w.Settings, &w.Outcome
		w.Said, j.Said, j.ThicknessSaid, j.OtherSaid, j.For, s.KnobSaid, s.Technique, o.Note = "", "", "", "", "", "", "", ""
		if s.Knob == nil {
			s.How = nil
		}
		if diff := same(w, lean[i]); diff != "" {
			t.Errorf("weld %d of the list (-whole +lean):\n%s", i, diff)
		}
	}
}
