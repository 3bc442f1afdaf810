package store_test

import (
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// Fed reads what Find reads, less what does not tell of wire.
func TestFed(t *testing.T) {
	n := fresh(t)
	one := must(n.AddSpool(t.Context(), elevens()))(t)
	at := time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC)
	for i, spool := range []string{one.ID, "", one.ID, one.ID} {
		w := bead()
		w.Spool, w.At = spool, at.AddDate(0, 0, i)
		w.ArcTime = procedures.Seconds(30 * i)
		w.Job.Length, w.Settings.Travel, w.Settings.Passes = 300, 250, procedures.Count(i)
		w.Settings.How = map[string]procedures.How{"wire_speed_m_min": procedures.Guessed}
		w.Outcome.Note = "kept out"
		must(n.AddWeld(t.Context(), w))(t)
	}
	must(n.StrikeWeld(t.Context(), "A4", "slip"))(t)
	for _, f := range []procedures.Filter{{}, {Spool: one.ID}, {Since: at.AddDate(0, 0, 1)}, {Spool: one.ID, Since: at.AddDate(0, 0, 1)}} {
		whole, lean := must(n.Find(t.Context(), f))(t), fed(t, n, f)
		if len(whole) == 0 || len(whole) != len(lean) {
			t.Fatalf("%+v: %d welds of %d", f, len(lean), len(whole))
		}
		byID := map[string]procedures.Weld{}
		for _, w := range lean {
			byID[w.ID] = w
		}
		for _, w := range whole {
			got := byID[w.ID]
			want := procedures.Weld{ID: w.ID, At: w.At, Spool: w.Spool, ArcTime: w.ArcTime, Job: procedures.Job{Length: w.Job.Length, Machine: w.Job.Machine, State: w.Job.State},
				Settings: procedures.Settings{Tap: w.Settings.Tap, Knob: w.Settings.Knob, WireSpeed: w.Settings.WireSpeed, Travel: w.Settings.Travel, Passes: w.Settings.Passes, How: w.Settings.How}}
			if diff := same(want, got); diff != "" {
				t.Errorf("%s (-want +got):\n%s", w.Mark, diff)
			}
		}
	}
	if got := fed(t, n, procedures.Filter{Spool: one.ID, Limit: 1}); len(got) != 1 || !got[0].At.Equal(at.AddDate(0, 0, 2)) {
		t.Errorf("the weld written down last that stands: %+v", got)
	}
	if err := n.Fed(t.Context(), procedures.Filter{RatingMin: 9}, func(*procedures.Weld) {}); err == nil {
		t.Error("a rating of 9 is looked for")
	}
}

func fed(t *testing.T, n *store.Notebook, f procedures.Filter) (list []procedures.Weld) {
	t.Helper()
	if err := n.Fed(t.Context(), f, func(w *procedures.Weld) { list = append(list, *w) }); err != nil {
		t.Fatal(err)
	}
	return list
}
