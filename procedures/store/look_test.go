package store_test

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// pictured is a bead with a rating and a picture.
func pictured(rating procedures.Count) procedures.Weld {
	w := bead()
	w.Outcome.Rating, w.Outcome.Photo = rating, "bead.jpg"
	return w
}

func TestThirdsAreKept(t *testing.T) {
	n := fresh(t)
	ctx := t.Context()
	for _, c := range []struct{ in, want *procedures.Thirds }{
		{&procedures.Thirds{2, 4, 5}, &procedures.Thirds{2, 4, 5}}, {&procedures.Thirds{0, 4, 0}, &procedures.Thirds{0, 4, 0}}, {&procedures.Thirds{}, nil}, {nil, nil},
	} {
		w := procedures.Weld{Outcome: procedures.Outcome{Thirds: c.in}}
		added := must(n.AddWeld(ctx, w))(t)
		read, _, err := n.Weld(ctx, added.Mark)
		if err != nil {
			t.Fatal(err)
		}
		for _, got := range []*procedures.Thirds{added.Outcome.Thirds, read.Outcome.Thirds} {
			if diff := same(c.want, got); diff != "" {
				t.Errorf("%v (-want +got):\n%s", c.in, diff)
			}
		}
	}
	_, made, err := n.AmendWeld(ctx, "A1", func(w *procedures.Weld) error { w.Outcome.Thirds[2] = 3; return nil })
	if err != nil || len(made) != 1 || made[0].Field != "outcome.thirds" || made[0].Old != "2,4,5" || made[0].New != "2,4,3" {
		t.Errorf("amendments %v, %v", made, err)
	}
	if _, err := n.AddWeld(ctx, procedures.Weld{Outcome: procedures.Outcome{Thirds: &procedures.Thirds{1, 6, 1}}}); err == nil {
		t.Error("a third of 6 was taken")
	}
}

func TestReratings(t *testing.T) {
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	n := open(t, filepath.Join(t.TempDir(), "n.db"), store.Options{Now: clock(at)})
	ctx := t.Context()
	first := must(n.AddWeld(ctx, pictured(4)))(t)
	must(n.AddWeld(ctx, pictured(3)))(t)
	must(n.AddWeld(ctx, procedures.Weld{Outcome: procedures.Outcome{Rating: 5}}))(t) // without a picture
	must(n.AddWeld(ctx, pictured(0)))(t)                                             // never rated

	r := must(n.AddRerating(ctx, procedures.Rerating{Weld: "a1", Rating: 3, Blind: true, Note: "flatter than I thought"}))(t)
	if r.ID == "" || r.Weld != first.ID || r.At.IsZero() {
		t.Errorf("recorded as %+v", r)
	}
	if again := must(n.AddRerating(ctx, r))(t); again != r {
		t.Errorf("the same again became %+v", again)
	}
	if diff := same([]procedures.Rerating{r}, must(n.Reratings(ctx, "A1"))(t)); diff != "" {
		t.Error(diff)
	}
	other := r
	other.Rating = 1
	for name, bad := range map[string]procedures.Rerating{
		"the id with another rating": other, "no such rating": {Weld: "A1", Rating: 6}, "no picture": {Weld: "A3", Rating: 3},
		"before it was welded": {Weld: "A1", Rating: 3, At: at.AddDate(-1, 0, 0)},
	} {
		var invalid *procedures.InvalidError
		if _, err := n.AddRerating(ctx, bad); !errors.As(err, &invalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := n.AddRerating(ctx, procedures.Rerating{Weld: "B1", Rating: 3}); !errors.Is(err, procedures.ErrNotFound) {
		t.Errorf("of no weld: %v", err)
	}

	if w, _, _ := n.Weld(ctx, "A1"); w.Outcome.Rating != 4 {
		t.Errorf("the first rating became %d", w.Outcome.Rating)
	}
	marks := func(then time.Time) string {
		s := ""
		for _, w := range must(n.ToRerate(ctx, then))(t) {
			s += w.Mark + " "
		}
		return s
	}
	// The clock of the test moves a minute with each look: A1 was rated last.
	if got := marks(at.AddDate(0, 0, 1)); got != "A2 A1 " {
		t.Errorf("to look at again: %s", got)
	}
	if got := marks(at); got != "" {
		t.Errorf("to look at again, before anything was welded: %s", got)
	}
	must(n.StrikeRerating(ctx, "A1", "wrong picture"))(t)
	if got := marks(at.AddDate(0, 0, 1)); got != "A1 A2 " {
		t.Errorf("once the look is withdrawn: %s", got)
	}
	if _, err := n.StrikeRerating(ctx, "A1", "again"); !errors.Is(err, procedures.ErrNotFound) {
		t.Errorf("struck twice: %v", err)
	}
	must(n.StrikeWeld(ctx, "A2", "wrong plate"))(t)
	if _, err := n.AddRerating(ctx, procedures.Rerating{Weld: "A2", Rating: 3}); err == nil {
		t.Error("a struck weld was rated again")
	}
	if got := marks(at.AddDate(0, 0, 1)); got != "A1 " {
		t.Errorf("once A2 is struck: %s", got)
	}
}

func TestFollowUps(t *testing.T) {
	at := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	n := open(t, filepath.Join(t.TempDir(), "n.db"), store.Options{Now: clock(at)})
	ctx := t.Context()
	made := func(use string, when time.Time) string {
		w := pictured(4)
		w.Job.For, w.At = use, when
		w.Outcome.Tests = []procedures.Test{{Kind: "break", Passed: true, Result: "folded"}}
		return must(n.AddWeld(ctx, w))(t).Mark
	}
	made("shop cart", at.AddDate(0, 0, -100))
	made("", at.AddDate(0, 0, -100))
	made("gate latch", at.AddDate(0, 0, -50))
	made("bench", at.AddDate(0, 0, -200))

	due := func() string {
		s := ""
		for _, w := range must(n.ToFollowUp(ctx, at.Add(-procedures.FollowUpAfter)))(t) {
			s += w.Mark + " "
		}
		return s
	}
	if got := due(); got != "A4 A1 " {
		t.Errorf("due: %s", got)
	}
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A4", Held: true}))(t)
	broke := at.AddDate(0, 0, -10)
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A1", Note: "cracked at the toe", At: broke}))(t)
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A1", Held: true, Note: "welded over"}))(t)
	if got := due(); got != "" {
		t.Errorf("still due: %s", got)
	}

	failed := map[string]func() ([]procedures.Weld, error){
		"History": func() ([]procedures.Weld, error) { return n.History(ctx) }, "Past": func() ([]procedures.Weld, error) { return n.Past(ctx) },
		"Find": func() ([]procedures.Weld, error) { return n.Find(ctx, procedures.Filter{}) },
	}
	check := func(want string) {
		t.Helper()
		for name, read := range failed {
			got := ""
			for _, w := range must(read())(t) {
				if !w.Outcome.FailedInUse.IsZero() {
					got += w.Mark + " " + w.Outcome.FailedInUse.Format(time.DateOnly)
				}
				if w.Outcome.Passed() != w.Outcome.FailedInUse.IsZero() {
					t.Errorf("%s: %s passed: %v", name, w.Mark, w.Outcome.Passed())
				}
			}
			if got != want {
				t.Errorf("%s: failed in use %q, want %q", name, got, want)
			}
		}
	}
	check("A1 2026-02-19")
	if w, changes, err := n.AmendWeld(ctx, "A1", func(w *procedures.Weld) error { w.Outcome.FailedInUse = time.Time{}; return nil }); err != nil || len(changes) > 0 || w.Outcome.FailedInUse.IsZero() {
		t.Errorf("an amendment took the failure away: %v %v %v", w.Outcome.FailedInUse, changes, err)
	}
	if w := must(n.AddWeld(ctx, procedures.Weld{Outcome: procedures.Outcome{Rating: 4, FailedInUse: at, Tests: []procedures.Test{{Kind: "bend", Passed: true}}}}))(t); !w.Outcome.FailedInUse.IsZero() {
		t.Error("a weld is logged as failed with no follow-up that says so")
	}
	must(n.StrikeFollowUp(ctx, "A1", "welded over: that says nothing"))(t)
	check("A1 2026-02-19")
	must(n.StrikeFollowUp(ctx, "A1", "it was another weld"))(t)
	check("")
	if list := must(n.FollowUps(ctx, ""))(t); len(list) != 1 || !list[0].Held {
		t.Errorf("what stands: %+v", list)
	}
}

// TestLimitsOfLooks holds the tables of looks to the limits of Validate.
func TestLimitsOfLooks(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n.db")
	n := open(t, path, store.Options{})
	must(n.AddWeld(t.Context(), pictured(4)))(t)
	must(n.AddRerating(t.Context(), procedures.Rerating{Weld: "A1", Rating: 4}))(t)
	must(n.AddFollowUp(t.Context(), procedures.FollowUp{Weld: "A1", Held: true}))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	db := raw(t, path)
	for r := procedures.Count(-1); r <= 7; r++ {
		if says, is := (procedures.Rerating{Rating: r}).Validate(), trial(db, "reratings", "rating", int(r)); (says == nil) != (is == nil) {
			t.Errorf("rating %d: Validate says %v, the table %v", r, says, is)
		}
		third := procedures.Thirds{r, 3, 3}
		if says, is := third.Validate(), trial(db, "welds", "thirds", fmt.Sprintf("%d,3,3", r)); (says == nil) != (is == nil) {
			t.Errorf("third %d: Validate says %v, the table %v", r, says, is)
		}
	}
	for _, length := range []int{1, 4000, 4001} {
		note := strings.Repeat("x", length)
		says := (procedures.FollowUp{Note: note}).Validate()
		for _, table := range []string{"reratings", "followups"} {
			if is := trial(db, table, "note", note); (says == nil) != (is == nil) {
				t.Errorf("%s: a note of %d: Validate says %v, the table %v", table, length, says, is)
			}
		}
	}
	for _, c := range []struct {
		table, column string
		bad           []any
	}{
		{"welds", "thirds", []any{"", "0,0,0", "3,4", "3, 4, 4", "3,4,4,4", 344}},
		{"reratings", "blind", []any{2, nil, "yes"}}, {"reratings", "weld", []any{"A1", nil}}, {"reratings", "struck", []any{"why, and not when"}},
		{"followups", "held", []any{2, nil, "yes"}}, {"followups", "weld", []any{"A1", nil}}, {"followups", "at", []any{nil, "2026-01-01"}},
	} {
		for _, v := range c.bad {
			if err := trial(db, c.table, c.column, v); err == nil {
				t.Errorf("%s.%s takes %v", c.table, c.column, v)
			}
		}
	}
}
