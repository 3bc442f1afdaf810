package recommend

import (
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"beadwright/procedures"
)

var askedWords = []string{"1/8 mild tee flat", "1/16 lap flat", "3/16 mild butt flat", "1/8 mild tee flat 0.030 E71T-GS", "3/32 lap horizontal"}

// drawWelds draws rated welds whose ids begin at a number.
func drawWelds(t *rapid.T, from, most int) (list []procedures.Weld) {
	for i := range rapid.IntRange(0, most).Draw(t, "welds") {
		w := goodWeld(rapid.SampledFrom(askedWords).Draw(t, "job"), fmt.Sprintf("A%d", from+i), rapid.Float64Range(0.6, 1.7).Draw(t, "factor"), rapid.IntRange(1, 5).Draw(t, "rating"))
		w.ID = fmt.Sprintf("%08d-0000-7000-8000-000000000000", from+i)
		w.At = time.Date(2026, 1, 1+i, 12, 0, 0, 0, time.UTC)
		if rapid.IntRange(0, 9).Draw(t, "bent") == 0 {
			w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}
		}
		list = append(list, w)
	}
	return list
}

// TestAskerIsSuggest: what is remembered and grown weld by weld answers as one
// who reads the whole history anew, in whatever order the welds come in, and the
// one it grew out of still answers as before.
func TestAskerIsSuggest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		questions := make([]Request, len(askedWords))
		for i, words := range askedWords {
			questions[i] = asked(t, words)
		}
		h := History(drawWelds(rt, 100, 12))
		a := NewAsker(nil, slices.Clone(h))
		check := func(a *Asker, h History) {
			for _, r := range questions {
				got, err := a.Suggest(r)
				if err != nil {
					rt.Fatal(err)
				}
				want, err := Suggest(r, h)
				if err != nil {
					rt.Fatal(err)
				}
				if d := cmp.Diff(want, got); d != "" {
					rt.Fatalf("%s with %d welds (-anew +remembered):\n%s", r.Words, len(h), d)
				}
			}
		}
		check(a, h)
		for i := range rapid.IntRange(1, 4).Draw(rt, "rounds") {
			from := 200 + 100*i
			if rapid.IntRange(0, 4).Draw(rt, "early") == 0 {
				from = 10 + 20*i // a phone whose clock is slow
			}
			more := drawWelds(rt, from, 3)
			before, known := a, h
			var gone []string
			h = slices.DeleteFunc(slices.Clone(h), func(w procedures.Weld) bool {
				switch rapid.IntRange(0, 9).Draw(rt, "then") {
				case 0:
					gone = append(gone, w.ID)
				case 1:
					w.Outcome.Rating = procedures.Count(1 + w.Outcome.Rating%5)
					more = append(more, w)
				case 2: // of another kind than it was
					w.Job = asked(t, rapid.SampledFrom(askedWords).Draw(rt, "another job")).Job
					more = append(more, w)
				default:
					return false
				}
				return true
			})
			slices.SortFunc(more, byID)
			a = a.With(more, gone...)
			h = slices.SortedStableFunc(slices.Values(append(h, more...)), byID)
			check(a, h)
			if rapid.Bool().Draw(rt, "look back") {
				check(before, known)
			}
		}
	})
}

// TestAskersTogether lets many ask one Asker while it grows.
func TestAskersTogether(t *testing.T) {
	var h History
	for i := range 60 {
		w := goodWeld(askedWords[i%len(askedWords)], fmt.Sprintf("A%d", i+1), 0.9+0.01*float64(i%20), 1+i%5)
		w.ID = fmt.Sprintf("%08d-0000-7000-8000-000000000000", i)
		h = append(h, w)
	}
	a := NewAsker(nil, h[:20:20])
	want := map[string]Suggestion{}
	for _, words := range askedWords {
		s, err := Suggest(asked(t, words), h[:20])
		if err != nil {
			t.Fatal(err)
		}
		want[words] = s
	}
	requests := map[string]Request{}
	for _, words := range askedWords {
		requests[words] = asked(t, words)
	}
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			for range 5 {
				for words, r := range requests {
					if s, err := a.Suggest(r); err != nil || !cmp.Equal(want[words], s) {
						t.Errorf("%s: %v %s", words, err, cmp.Diff(want[words], s))
					}
				}
			}
		})
	}
	grown := a
	for i := 20; i < len(h); i += 10 {
		grown = grown.With(h[i : i+10])
	}
	group.Wait()
	for words, r := range requests {
		s, err := grown.Suggest(r)
		all, _ := Suggest(r, h)
		if err != nil || !cmp.Equal(all, s) {
			t.Errorf("%s, grown: %v %s", words, err, cmp.Diff(all, s))
		}
	}
}

// BenchmarkAsker is a question about a kind of job asked before, and one after a
// weld more, with 100,000 welds of 60 jobs.
func BenchmarkAsker(b *testing.B) {
	var jobs []procedures.Weld
	for _, joint := range []string{"tee", "lap", "butt"} {
		for _, position := range []string{"flat", "horizontal", "vertical up", "overhead"} {
			for _, thickness := range []string{"1/16", "3/32", "1/8", "5/32", "3/16"} {
				jobs = append(jobs, goodWeld(thickness+" mild "+joint+" "+position, "", 1, 4))
			}
		}
	}
	h := make(History, 100_001)
	for i := range h {
		w := jobs[i/4%len(jobs)]
		w.Settings.WireSpeed *= procedures.MPerMin(0.9 + 0.01*float64(i%20))
		w.Outcome.Rating = procedures.Count(1 + i%5)
		w.ID, w.Mark = fmt.Sprintf("%08d-0000-7000-8000-000000000000", i), fmt.Sprintf("A%d", i+1)
		w.At = time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC).Add(time.Duration(i) * time.Hour)
		h[i] = w
	}
	last := len(h) - 1
	r := asked(b, askedWords[0])
	a := NewAsker(nil, h[:last])
	if _, err := a.Suggest(r); err != nil {
		b.Fatal(err)
	}
	b.Run("again", func(b *testing.B) {
		for b.Loop() {
			if _, err := a.Suggest(r); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("after a weld", func(b *testing.B) {
		for b.Loop() {
			next := h[last]
			next.ID = fmt.Sprintf("%08d-0000-7000-8000-000000000000", len(a.History()))
			a = a.With([]procedures.Weld{next})
			if _, err := a.Suggest(r); err != nil {
				b.Fatal(err)
			}
		}
	})
}
