package store

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"beadwright/procedures"
)

// TestPage holds a page of a search to the whole of it, sorted here.
func TestPage(t *testing.T) {
	nb, err := Open(t.Context(), filepath.Join(t.TempDir(), "notebook.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	if _, err := nb.AddMachine(t.Context(), procedures.Machine{Name: "Shed"}); err != nil {
		t.Fatal(err)
	}
	start := time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)
	for i := range 60 {
		w := sample(fmt.Sprint("bead ", i))
		w.At = start.Add(time.Duration(i/2) * time.Hour) // two at a time
		if i%4 == 1 {
			w.Job.Machine = "shed"
		}
		if i%5 == 2 {
			w.Outcome.Symptoms = []string{"spatter"}
		}
		if i%9 == 4 {
			w.Job.Wire, w.Job.OtherThickness, w.Job.Steel = procedures.Wire{}, procedures.Inches(0.125), ""
		}
		w.Job.Thickness = procedures.Inches([]float64{0.0625, 0.125, 0.25}[i%3])
		w.Job.Joint = []procedures.Joint{procedures.Tee, procedures.Lap}[i%2]
		w.Outcome.Rating = procedures.Count(i % 6)
		switch {
		case i%7 == 0:
			w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}}
		case i%11 == 0:
			w.Outcome.Tests = []procedures.Test{{Kind: "bend", Passed: true, Result: "held"}, {Kind: "break", Passed: false, Result: "root line"}}
		case i%13 == 0:
			w.Outcome.Tests = []procedures.Test{{Kind: "etch", Passed: true, Result: "fused"}}
		}
		if w, err = nb.AddWeld(t.Context(), w); err != nil {
			t.Fatal(err)
		}
		if i%14 == 0 {
			if _, err := nb.AddFollowUp(t.Context(), procedures.FollowUp{Weld: w.Mark, Note: "cracked"}); err != nil {
				t.Fatal(err)
			}
		}
		if i%17 == 0 {
			if _, err := nb.StrikeWeld(t.Context(), w.Mark, "wrong coupon"); err != nil {
				t.Fatal(err)
			}
		}
	}
	value := func(o procedures.Outcome) int {
		switch {
		case !o.FailedInUse.IsZero() || slices.ContainsFunc(o.Tests, func(t procedures.Test) bool { return !t.Passed }):
			return -1
		case o.Passed():
			return 10 + int(o.Rating)
		}
		return int(o.Rating)
	}
	rapid.Check(t, func(rt *rapid.T) {
		f := procedures.Filter{Within: 0.1, Limit: rapid.IntRange(0, 70).Draw(rt, "limit"), Struck: rapid.Bool().Draw(rt, "struck")}
		if rapid.Bool().Draw(rt, "joint") {
			f.Joint = procedures.Tee
		}
		if rapid.Bool().Draw(rt, "thick") {
			f.Thickness = procedures.Inches(0.125)
		}
		f.RatingMin, f.RatingMax = rapid.SampledFrom([]int{0, 0, 1, 3, 4, 5}).Draw(rt, "from"), rapid.SampledFrom([]int{0, 0, 5}).Draw(rt, "to")
		f.Machine = rapid.SampledFrom([]string{"", "", "shed", " SHED ", "other"}).Draw(rt, "machine")
		f.Symptom = rapid.SampledFrom([]string{"", "", "", "spatter"}).Draw(rt, "symptom")
		f.WireClass = rapid.SampledFrom([]string{"", "", "e71t-11", "E71T-GS"}).Draw(rt, "class")
		f.WireDiameter = rapid.SampledFrom([]procedures.MM{0, 0, procedures.Inches(0.035), 0.9, procedures.Inches(0.030)}).Draw(rt, "size")
		f.Steels = rapid.SampledFrom([][]string{nil, nil, {"mild"}, {"a36", "mild"}, {"a36"}}).Draw(rt, "steels")
		if rapid.Bool().Draw(rt, "late") {
			f.Since = start.Add(30 * time.Hour)
		}
		if rapid.Bool().Draw(rt, "early") {
			f.Until = start.Add(50 * time.Hour)
		}
		best := rapid.Bool().Draw(rt, "best")
		got, total, err := nb.Page(t.Context(), f, best)
		if err != nil {
			rt.Fatal(err)
		}
		limit := f.Limit
		f.Limit = 0
		all, err := nb.Find(t.Context(), procedures.Filter{Struck: true})
		if err != nil {
			rt.Fatal(err)
		}
		fit := 0
		for i := range all {
			if f.Fits(&all[i]) {
				fit++
			}
		}
		if fit != total {
			rt.Fatalf("%d fit, %d were found: %+v", fit, total, f)
		}
		want, err := nb.Find(t.Context(), f)
		if err != nil {
			rt.Fatal(err)
		}
		if best {
			slices.SortStableFunc(want, func(a, b procedures.Weld) int { return cmp.Compare(value(b.Outcome), value(a.Outcome)) })
		}
		if total != len(want) {
			rt.Fatalf("%d in all, wanted %d", total, len(want))
		}
		if limit > 0 {
			want = want[:min(limit, len(want))]
		}
		if !slices.EqualFunc(got, want, func(a, b procedures.Weld) bool { return a.ID == b.ID && a.Outcome.Note == b.Outcome.Note }) {
			rt.Fatalf("another order or others, best %v", best)
		}
	})
}
