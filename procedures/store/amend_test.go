package store_test

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func TestAmendWeld(t *testing.T) {
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: clock(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC))})
	red := must(n.AddMachine(t.Context(), littleRed()))(t)
	blue := littleRed()
	blue.Name = "old blue"
	blue = must(n.AddMachine(t.Context(), blue))(t)
	first := bead()
	first.Job.Machine = red.Name
	first = must(n.AddWeld(t.Context(), first))(t)

	amend := func(change func(*procedures.Weld)) (procedures.Weld, []procedures.Amendment, error) {
		return n.AmendWeld(t.Context(), "a1", func(w *procedures.Weld) error { change(w); return nil })
	}
	fields := func(list []procedures.Amendment) (s []string) {
		for _, a := range list {
			s = append(s, fmt.Sprintf("%s: %s -> %s", a.Field, a.Old, a.New))
		}
		return s
	}

	w, made, err := amend(func(w *procedures.Weld) {
		w.Settings.Tap = "min"
		*w.Settings.Knob = 3
		w.Settings.How["tap"] = procedures.Measured
		w.Job.Gap = 1.5
		w.Outcome.Rating = 0
		w.Outcome.Symptoms = append(w.Outcome.Symptoms[:1], "porosity")
		w.Outcome.Tests[0].Passed = false
		w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: "bend", Passed: true, Result: "held"})
	})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"job.gap_mm:  -> 1.5",
		"settings.tap: max -> min",
		"settings.knob: 4.5 -> 3",
		`settings.how: {"wire_speed_m_min":"own curve"} -> {"tap":"measured","wire_speed_m_min":"own curve"}`,
		"outcome.rating: 4 -> ",
		"outcome.symptoms: spatter, undercut -> spatter, porosity",
		"outcome.tests: break=tore parent (passed) -> break=tore parent (failed), bend=held (passed)",
	}
	if diff := same(want, fields(made)); diff != "" {
		t.Errorf("amendments (-want +got):\n%s", diff)
	}
	read, kept, err := n.Weld(t.Context(), "A1")
	if err != nil {
		t.Fatal(err)
	}
	if diff := same(w, read); diff != "" {
		t.Errorf("(-amended +read):\n%s", diff)
	}
	if diff := same(made, kept); diff != "" {
		t.Errorf("amendments (-made +kept):\n%s", diff)
	}
	if read.ID != first.ID || read.Mark != "A1" || !read.At.Equal(first.At) || !kept[0].At.After(first.At) {
		t.Errorf("amended at %v: %s %s at %v", kept[0].At, read.ID, read.Mark, read.At)
	}

	t.Run("nothing changed", func(t *testing.T) {
		if _, made, err := amend(func(w *procedures.Weld) { w.Job.Machine = "LITTLE RED" }); err != nil || len(made) != 0 {
			t.Errorf("%v, amended %v", err, made)
		}
		if _, made, err := amend(func(w *procedures.Weld) { w.At = w.At.In(time.FixedZone("", 7200)) }); err != nil || len(made) != 0 {
			t.Errorf("%v, amended %v", err, made)
		}
	})
	t.Run("kept and added to", func(t *testing.T) {
		if _, _, err := amend(func(w *procedures.Weld) { w.Settings.Tap = "max" }); err != nil {
			t.Fatal(err)
		}
		_, kept, err := n.Weld(t.Context(), first.ID)
		if err != nil || len(kept) != 8 || kept[7].Field != "settings.tap" || kept[7].Old != "min" || kept[1].Old != "max" {
			t.Errorf("%v %v", err, fields(kept))
		}
	})
	t.Run("another machine", func(t *testing.T) {
		w, made, err := amend(func(w *procedures.Weld) { w.Job.Machine = blue.Name })
		if err != nil || w.Job.State != blue.State.ID || len(made) != 2 {
			t.Errorf("%v, state %s, amended %v", err, w.Job.State, fields(made))
		}
	})
	before, kept, _ := n.Weld(t.Context(), "A1")
	for _, c := range []struct {
		field  string
		change func(*procedures.Weld)
	}{
		{"id", func(w *procedures.Weld) { w.ID = uuid.NewString() }},
		{"mark", func(w *procedures.Weld) { w.Mark = "Z9" }},
		{"struck", func(w *procedures.Weld) { w.Struck = "why" }},
		{"rating", func(w *procedures.Weld) { w.Outcome.Rating = 9 }},
		{"machine", func(w *procedures.Weld) { w.Job.Machine = "big green" }},
		{"spool", func(w *procedures.Weld) { w.Spool = uuid.NewString() }},
		{"outcome.note", func(w *procedures.Weld) { w.Outcome.Note = "\xff" }},
	} {
		t.Run("refused "+c.field, func(t *testing.T) {
			_, _, err := amend(c.change)
			wantInvalid(t, err, c.field)
		})
	}
	t.Run("given up", func(t *testing.T) {
		_, _, err := n.AmendWeld(t.Context(), "A1", func(w *procedures.Weld) error { w.Outcome.Symptoms[0] = "crack"; return fmt.Errorf("given up") })
		if err == nil || err.Error() != "given up" {
			t.Errorf("got %v", err)
		}
	})
	after, kept2, _ := n.Weld(t.Context(), "A1")
	if diff := same(before, after) + same(kept, kept2); diff != "" {
		t.Errorf("a refused change changed the weld:\n%s", diff)
	}
}

// TestAmendRoundTrip turns one weld into any other, step by step.
func TestAmendRoundTrip(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	n := fresh(t)
	must(n.AddWeld(t.Context(), bead()))(t)
	rapid.Check(t, func(t *rapid.T) {
		before, _, err := n.Weld(t.Context(), "A1")
		if err != nil {
			t.Fatal(err)
		}
		want := anyWeld(t)
		want.ID, want.Mark, want.Struck = before.ID, before.Mark, ""
		after, made, err := n.AmendWeld(t.Context(), "A1", func(w *procedures.Weld) error { *w = want; return nil })
		if err != nil {
			t.Fatal(err)
		}
		read, kept, err := n.Weld(t.Context(), "A1")
		if err != nil {
			t.Fatal(err)
		}
		if diff := same(want, read) + same(after, read); diff != "" {
			t.Fatalf("(-want +read):\n%s", diff)
		}
		if len(made) == 0 != (same(before, read) == "") {
			t.Fatalf("amended %v", made)
		}
		if len(kept) < len(made) || same(made, kept[len(kept)-len(made):]) != "" {
			t.Fatalf("made %v, kept %v", made, kept)
		}
	})
}

func TestStrikeWeld(t *testing.T) {
	n := fresh(t)
	must(n.AddWeld(t.Context(), bead()))(t)
	must(n.AddWeld(t.Context(), bead()))(t)
	for _, why := range []string{"", "  ", strings.Repeat("x", 401), "\xff"} {
		_, err := n.StrikeWeld(t.Context(), "A1", why)
		wantInvalid(t, err, "why")
	}
	w := must(n.StrikeWeld(t.Context(), "a1", " wrong coupon "))(t)
	if w.Struck != "wrong coupon" || w.Mark != "A1" {
		t.Errorf("struck %q", w.Struck)
	}
	_, err := n.StrikeWeld(t.Context(), "A1", "again")
	wantInvalid(t, err, "mark")

	read, _, err := n.Weld(t.Context(), "A1")
	if diff := same(w, read); err != nil || diff != "" {
		t.Errorf("%v (-struck +read):\n%s", err, diff)
	}
	marks := func(list []procedures.Weld) string {
		var s []string
		for _, w := range list {
			s = append(s, w.Mark)
		}
		return strings.Join(s, " ")
	}
	for _, c := range []struct{ name, got, want string }{
		{"history", marks(must(n.History(t.Context()))(t)), "A2"},
		{"find", marks(must(n.Find(t.Context(), procedures.Filter{}))(t)), "A2"},
		{"find by words", marks(must(n.Find(t.Context(), procedures.Filter{Words: "tee"}))(t)), "A2"},
		{"find struck too", marks(must(n.Find(t.Context(), procedures.Filter{Struck: true}))(t)), "A2 A1"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %s, want %s", c.name, c.got, c.want)
		}
	}
}

// TestPutBack: a weld struck by a slip counts again, and its history tells of both.
func TestPutBack(t *testing.T) {
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: clock(time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC))})
	first := must(n.AddWeld(t.Context(), bead()))(t)
	_, _, err := n.PutBack(t.Context(), "A1")
	wantInvalid(t, err, "mark")
	for _, why := range []string{"wrong coupon", "and once more"} {
		must(n.StrikeWeld(t.Context(), "A1", why))(t)
		w, made, err := n.PutBack(t.Context(), "a1")
		if diff := same(first, w); err != nil || diff != "" {
			t.Fatalf("%v: (-as it was +put back):\n%s", err, diff)
		}
		if len(made) != 2 || made[0].New != why || made[1].Old != why || made[1].New != "" || !made[1].At.After(made[0].At) {
			t.Errorf("%s: the history tells %+v", why, made)
		}
	}
	read, kept, err := n.Weld(t.Context(), "A1")
	if diff := same(first, read); err != nil || diff != "" || len(kept) != 4 {
		t.Errorf("%v, %d amendments (-as it was +read):\n%s", err, len(kept), diff)
	}
	if list := must(n.History(t.Context()))(t); len(list) != 1 {
		t.Errorf("%d welds count, want the one put back", len(list))
	}
	if _, _, err := n.AmendWeld(t.Context(), "A1", func(w *procedures.Weld) error { w.Outcome.Rating = 1; return nil }); err != nil {
		t.Error("put back, and not to be corrected:", err)
	}
	other := fresh(t)
	imported(t, other, exported(t, n))
	if diff := same(strings.Split(exported(t, n), "\n"), strings.Split(exported(t, other), "\n")); diff != "" {
		t.Errorf("it does not travel (-here +there):\n%s", diff)
	}
	_, _, err = n.PutBack(t.Context(), "Z9")
	if !errors.Is(err, procedures.ErrNotFound) {
		t.Errorf("no such weld: %v", err)
	}
}
