package store_test

import (
	"errors"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestFaultClock works with a clock that jumps, back as often as forth, by up to a
// year. Everything is recorded at the time that was shown, marks and numbers run on
// and are never given twice, and what cannot be (an arc that ends before it began)
// is refused in words with nothing lost.
func TestFaultClock(t *testing.T) {
	steps := 60
	if *long {
		steps = 2000
	}
	random := rand.New(rand.NewPCG(37, 41))
	now := time.Date(2026, 3, 8, 1, 30, 0, 0, time.UTC)
	back := 0
	jump := func() {
		by := time.Duration(random.Int64N(int64(2*time.Hour))) - time.Hour
		if random.IntN(4) == 0 {
			by *= 365 * 24
		}
		if by < 0 {
			back++
		}
		now = now.Add(by)
	}
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: func() time.Time { return now }})
	must(n.AddMachine(t.Context(), littleRed()))(t)
	type logged struct {
		mark string
		at   time.Time
		note string
	}
	var welds []logged
	runs, arcs, refused, lost := 0, 0, 0, 0
	for i := range steps {
		jump()
		w := must(n.AddWeld(t.Context(), onMachine(bead())))(t)
		if !w.At.Equal(now) {
			t.Errorf("%s was recorded at %v, and the clock showed %v", w.Mark, w.At, now)
		}
		welds = append(welds, logged{w.Mark, now, w.Outcome.Note})
		jump()
		got := must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(1), ran(2)}))(t)
		if runs += 2; got[0].Number != runs-1 || got[1].Number != runs {
			t.Errorf("run-outs %d and %d, want %d and %d", got[0].Number, got[1].Number, runs-1, runs)
		}
		jump()
		var bad *procedures.InvalidError
		a, err := n.StartArc(t.Context(), "", time.Time{})
		if errors.As(err, &bad) { // the clock was set back into an older arc
			refused++
		} else if err != nil {
			t.Fatal(err)
		} else {
			if now = now.Add(30 * time.Second); random.IntN(2) == 0 {
				jump()
			}
			if _, err := n.StopArc(t.Context(), "", time.Time{}); errors.As(err, &bad) {
				refused++
				if len(bad.Hints) == 0 {
					t.Errorf("refused without a hint: %v", err)
				}
				// The right time can still be said, or at least the shortest one.
				_, err = n.StopArc(t.Context(), "", a.Start.Add(time.Second))
				if errors.As(err, &bad) {
					_, err = n.StopArc(t.Context(), "", a.Start.Add(time.Nanosecond))
				}
				if err != nil {
					t.Fatal(err)
				}
			} else if err != nil {
				t.Fatal(err)
			}
			arcs++
		}
		jump()
		if i%3 == 0 {
			w, made, err := n.AmendWeld(t.Context(), w.Mark, func(w *procedures.Weld) error { w.Outcome.Note = "by daylight"; return nil })
			if err != nil || len(made) != 1 || !made[0].At.Equal(now) {
				t.Errorf("%+v %v", made, err)
			}
			welds[i].note = w.Outcome.Note
		}
		if i%7 == 0 {
			if _, err := n.ChangeMachine(t.Context(), "little red", "new tip", procedures.Feed, "", false); err != nil {
				t.Error(err)
			}
		}
	}
	for _, want := range welds {
		w, _, err := n.Weld(t.Context(), want.mark)
		if err != nil || !w.At.Equal(want.at) || w.Outcome.Note != want.note {
			lost++
			t.Errorf("%s: %v %q %v, want %v %q", want.mark, w.At, w.Outcome.Note, err, want.at, want.note)
		}
	}
	list := must(n.Find(t.Context(), procedures.Filter{}))(t)
	for i, w := range list[1:] {
		if w.At.After(list[i].At) {
			t.Errorf("%s of %v comes after %s of %v", w.Mark, w.At, list[i].Mark, list[i].At)
		}
	}
	m := must(n.Machine(t.Context(), "little red"))(t)
	if len(list) != steps || len(m.RunOuts) != runs || len(must(n.Arcs(t.Context(), "", time.Time{}))(t)) != arcs {
		t.Errorf("%d welds, %d run-outs, want %d and %d, and %d arcs", len(list), len(m.RunOuts), steps, runs, arcs)
	}
	if wrong, err := n.Check(t.Context()); err != nil || len(wrong) > 0 {
		t.Errorf("%v %v", wrong, err)
	}
	tell(t, back, "jumps of the clock backwards", len(welds), len(welds)+runs+arcs, lost)
	t.Logf("%d arcs refused in words", refused)
}
