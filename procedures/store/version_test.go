package store

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"beadwright/procedures"
)

func sample(note string) procedures.Weld {
	return procedures.Weld{
		Job: procedures.Job{Steel: "mild", SteelGroup: "I", Thickness: procedures.Inches(0.125), Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat,
			Process: procedures.FCAWS, Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}},
		Settings: procedures.Settings{WireSpeed: procedures.InchesPerMin(100)},
		Outcome:  procedures.Outcome{Rating: 4, Note: note},
	}
}

// begun is an empty notebook.
func begun(t *testing.T) (path string, nb *Notebook) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "notebook.db")
	nb, err := Open(t.Context(), path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { nb.Close() })
	return path, nb
}

// TestVersion holds the version to what it promises: it stands while nothing
// changes that is learned from, whoever writes, and moves when something does.
func TestVersion(t *testing.T) {
	ctx := t.Context()
	path, nb := begun(t)
	other, err := Open(ctx, path, Options{}) // as another program would
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if _, err := nb.AddMachine(ctx, procedures.Machine{Name: "shed", Taps: []procedures.Tap{{Name: "low"}, {Name: "high"}}}); err != nil {
		t.Fatal(err)
	}
	before, err := nb.Version(ctx)
	if err != nil {
		t.Fatal(err)
	}
	news, err := nb.PastSince(ctx, Version{})
	if err != nil || len(news.Welds) != 0 || !news.Whole || news.Version != before {
		t.Fatalf("an empty notebook: %+v, %v", news, err)
	}
	var mark string
	type moved int
	const (
		nothing   moved = iota
		logged          // a weld more
		corrected       // one weld is another
		gone            // one weld is withdrawn
		all             // everything is to be read again
	)
	steps := []struct {
		what  string
		do    func() error
		moves moved
	}{
		{"a suggestion", func() error {
			_, err := other.SaveSuggestion(ctx, Suggestion{Job: sample("").Job, Verdict: "inside"})
			return err
		}, nothing},
		{"an arc struck", func() error { _, err := other.StartArc(ctx, "shed", time.Time{}); return err }, nothing},
		{"a weld of another program", func() error {
			w, err := other.AddWeld(ctx, sample("one"))
			mark = w.Mark
			return err
		}, logged},
		{"a weld of ours", func() error { _, err := nb.AddWeld(ctx, sample("two")); return err }, logged},
		{"an amendment", func() error {
			_, _, err := other.AmendWeld(ctx, mark, func(w *procedures.Weld) error { w.Outcome.Rating = 2; return nil })
			return err
		}, corrected},
		{"an amendment that changes nothing", func() error {
			_, _, err := other.AmendWeld(ctx, mark, func(w *procedures.Weld) error { w.Outcome.Rating = 2; return nil })
			return err
		}, nothing},
		{"a follow-up", func() error {
			_, err := nb.AddFollowUp(ctx, procedures.FollowUp{Weld: mark, Held: false})
			return err
		}, corrected},
		{"a follow-up withdrawn", func() error { _, err := nb.StrikeFollowUp(ctx, mark, "another gate"); return err }, corrected},
		{"a weld withdrawn", func() error { _, err := other.StrikeWeld(ctx, mark, "wrong coupon"); return err }, gone},
		{"a weld put back", func() error { _, _, err := nb.PutBack(ctx, mark); return err }, corrected},
		{"a run-out", func() error {
			_, err := other.AddRunOuts(ctx, "shed", []procedures.RunOut{{Mark: 5, Length: 500, Seconds: 10}})
			return err
		}, all},
		{"units", func() error { return other.SetUnits(ctx, procedures.Metric) }, all},
		{"a machine called otherwise", func() error {
			_, _, err := other.SetMachine(ctx, "shed", func(m *procedures.Machine) error { m.Name = "barn"; return nil })
			return err
		}, all},
		{"an arc out", func() error { _, err := other.StopArc(ctx, "barn", time.Time{}); return err }, nothing},
		{"a machine withdrawn", func() error { _, _, err := other.StrikeMachine(ctx, "barn", "a slip"); return err }, all},
		{"a machine put back", func() error { _, _, err := other.PutBackMachine(ctx, "barn"); return err }, all},
	}
	known := map[string]procedures.Weld{} // by one who follows the news alone
	for _, s := range steps {
		was, err := nb.Version(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if err := s.do(); err != nil {
			t.Fatalf("%s: %v", s.what, err)
		}
		now, err := nb.Version(ctx)
		if err != nil {
			t.Fatal(err)
		}
		want := was
		switch s.moves {
		case logged:
			want.Welds++
		case corrected, gone:
			want.Corrections++
		case all:
			want.Revision++
		}
		if now != want {
			t.Errorf("%s: from %+v to %+v, wanted %+v", s.what, was, now, want)
		}
		news, err := nb.PastSince(ctx, was)
		if err != nil || news.Version != now {
			t.Fatalf("%s: %+v, %v", s.what, news.Version, err)
		}
		if whole := s.moves == all || was.Welds == 0; news.Whole != whole {
			t.Errorf("%s: whole %v", s.what, news.Whole)
		} else if whole {
			clear(known)
		}
		if got, want := len(news.Gone), 0; s.moves == gone && got != 1 || s.moves != gone && got != want {
			t.Errorf("%s: %d welds are gone", s.what, got)
		}
		for _, w := range news.Welds {
			known[w.ID] = w
		}
		for _, id := range news.Gone {
			delete(known, id)
		}
		past, err := nb.Past(ctx)
		if err != nil || len(past) != len(known) {
			t.Errorf("%s: %d welds, by the news %d, %v", s.what, len(past), len(known), err)
		}
		for _, w := range past {
			if d := cmp.Diff(w, known[w.ID]); d != "" {
				t.Errorf("%s: %s (-past +news):\n%s", s.what, w.Mark, d)
			}
		}
	}
}

// TestTidy: what is tidied is in the file itself, and the next to write begins the log anew.
func TestTidy(t *testing.T) {
	ctx := t.Context()
	path, nb := begun(t)
	var most int64
	for range 600 { // several thousand pages
		if _, err := nb.AddWeld(ctx, sample("a bead")); err != nil {
			t.Fatal(err)
		}
		if err := nb.Tidy(ctx); err != nil {
			t.Fatal(err)
		}
		log, err := os.Stat(path + "-wal")
		if err != nil {
			t.Fatal(err)
		}
		most = max(most, log.Size())
	}
	if most > 100*4096 {
		t.Errorf("the log grew to %d bytes", most)
	}
	file, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	alone := filepath.Join(t.TempDir(), "alone.db") // without the log
	if err := os.WriteFile(alone, file, 0o600); err != nil {
		t.Fatal(err)
	}
	kept, err := Open(ctx, alone, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer kept.Close()
	if list, err := kept.Past(ctx); err != nil || len(list) != 600 {
		t.Errorf("%d welds are in the file, %v", len(list), err)
	}
}

// TestCorrectionsForgotten: who has missed more corrections than are kept reads all.
func TestCorrectionsForgotten(t *testing.T) {
	ctx := t.Context()
	_, nb := begun(t)
	w, err := nb.AddWeld(ctx, sample(""))
	if err != nil {
		t.Fatal(err)
	}
	before, err := nb.Version(ctx)
	if err != nil {
		t.Fatal(err)
	}
	for i := range keptCorrections + 1 {
		news, err := nb.PastSince(ctx, before)
		if err != nil || news.Whole || i > 0 && len(news.Welds) != 1 {
			t.Fatalf("after %d corrections: %d welds, whole %v, %v", i, len(news.Welds), news.Whole, err)
		}
		if err := nb.aside(ctx, func(tx *tx) error { return tx.corrected(w.ID) }); err != nil {
			t.Fatal(err)
		}
	}
	news, err := nb.PastSince(ctx, before)
	if err != nil || !news.Whole || len(news.Welds) != 1 {
		t.Errorf("after more than are kept: %d welds, whole %v, %v", len(news.Welds), news.Whole, err)
	}
}
