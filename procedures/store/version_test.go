package store

import (
	"path/filepath"
	"testing"
	"time"

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

// TestVersion holds the version to what it promises: it stands while nothing
// changes that is learned from, whoever writes, and moves when something does.
func TestVersion(t *testing.T) {
	ctx := t.Context()
	path := filepath.Join(t.TempDir(), "notebook.db")
	nb, err := Open(ctx, path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
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
	list, _, at, whole, err := nb.PastTexts(ctx, Version{})
	if err != nil || len(list) != 0 || !whole || at != before {
		t.Fatalf("an empty notebook: %d welds, %+v, whole %v, %v", len(list), at, whole, err)
	}
	var mark string
	steps := []struct {
		what  string
		do    func() error
		moves bool // of the revision
		welds int  // more of them
	}{
		{"a suggestion", func() error {
			_, err := other.SaveSuggestion(ctx, Suggestion{Job: sample("").Job, Verdict: "inside"})
			return err
		}, false, 0},
		{"an arc struck", func() error { _, err := other.StartArc(ctx, "shed", time.Time{}); return err }, false, 0},
		{"a weld of another program", func() error {
			w, err := other.AddWeld(ctx, sample("one"))
			mark = w.Mark
			return err
		}, false, 1},
		{"a weld of ours", func() error { _, err := nb.AddWeld(ctx, sample("two")); return err }, false, 1},
		{"an amendment", func() error {
			_, _, err := other.AmendWeld(ctx, mark, func(w *procedures.Weld) error { w.Outcome.Rating = 2; return nil })
			return err
		}, true, 0},
		{"a follow-up", func() error {
			_, err := nb.AddFollowUp(ctx, procedures.FollowUp{Weld: mark, Held: false})
			return err
		}, true, 0},
		{"a weld withdrawn", func() error { _, err := other.StrikeWeld(ctx, mark, "wrong coupon"); return err }, true, 0},
		{"a run-out", func() error {
			_, err := other.AddRunOuts(ctx, "shed", []procedures.RunOut{{Mark: 5, Length: 500, Seconds: 10}})
			return err
		}, true, 0},
		{"units", func() error { return other.SetUnits(ctx, procedures.Metric) }, true, 0},
	}
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
		if moved := now.Revision != was.Revision; moved != s.moves {
			t.Errorf("%s: the revision moved: %v", s.what, moved)
		}
		if more := int(now.Welds - was.Welds); more != s.welds {
			t.Errorf("%s: %d welds more, wanted %d", s.what, more, s.welds)
		}
		list, _, at, whole, err := nb.PastTexts(ctx, was)
		if err != nil || at != now {
			t.Errorf("%s: %+v, %v", s.what, at, err)
		}
		switch {
		case was.Welds == 0 || s.moves:
			all, err := nb.Past(ctx)
			if err != nil || !whole || len(list) != len(all) {
				t.Errorf("%s: %d of %d welds, whole %v, %v", s.what, len(list), len(all), whole, err)
			}
		case whole || len(list) != s.welds:
			t.Errorf("%s: %d welds, whole %v", s.what, len(list), whole)
		}
	}
}
