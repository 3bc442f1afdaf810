package recommend_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
)

// failedOn has a weld fail in use so many days after the first of March.
func failedOn(day int) func(*procedures.Weld) {
	return func(w *procedures.Weld) { w.Outcome.FailedInUse = time.Date(2026, 3, 1+day, 12, 0, 0, 0, time.UTC) }
}

// TestFailedInUse: what failed in use outweighs every test, of the coupons of a
// procedure and of what was made by it, until a like coupon passes after it.
func TestFailedInUse(t *testing.T) {
	type bead struct {
		ipm    float64
		change []func(*procedures.Weld)
	}
	passed := broke(true)
	lap := func(w *procedures.Weld) { w.Job.Joint = procedures.Lap }
	for _, c := range []struct {
		name   string
		later  []bead // after two coupons at 100 in/min that passed
		own    int    // day on which the first of them failed; 0: it did not
		marks  string // of the failures
		passed string // since the first of them
	}{
		{"none", []bead{{100, nil}}, 0, "", ""},
		{"a coupon of its own", nil, 20, "A1", ""},
		{"one of its own, and a fresh pass: still to be revised", []bead{{100, []func(*procedures.Weld){passed, func(w *procedures.Weld) { w.At = w.At.AddDate(0, 1, 0) }}}}, 10, "A1", "A3"},
		{"a pass before it failed lifts nothing", []bead{{100, []func(*procedures.Weld){passed}}}, 20, "A1", ""},
		{"what was made by it", []bead{{103, []func(*procedures.Weld){failedOn(20)}}}, 0, "A3", ""},
		{"made by it, and a fresh pass", []bead{{103, []func(*procedures.Weld){failedOn(3)}}, {101, []func(*procedures.Weld){passed}}}, 0, "", ""},
		{"at quite another wire speed", []bead{{130, []func(*procedures.Weld){failedOn(20)}}}, 0, "", ""},
		{"another joint", []bead{{100, []func(*procedures.Weld){failedOn(20), lap}}}, 0, "", ""},
		{"nobody knows at what wire speed", []bead{{0, []func(*procedures.Weld){failedOn(20)}}}, 0, "A3", ""},
	} {
		b := &bench{}
		b.weld(stateDC, 100, 4, passed)
		b.weld(stateDC, 100, 4, passed)
		got, err := b.write(nil, "A1", "A2")
		if err != nil {
			t.Fatal(err)
		}
		if c.own > 0 {
			failedOn(c.own)(&b.welds[0])
		}
		for _, l := range c.later {
			b.weld(stateDC, l.ipm, 4, l.change...)
		}
		for i := range b.welds {
			b.welds[i].ID = "id-" + b.welds[i].Mark
		}
		var marks []string
		since := ""
		for i, f := range recommend.FailedInUse(got.Procedure, b.welds, map[string]string{"id-A1": "popped off"}) {
			if marks = append(marks, f.Mark); i == 0 {
				since = f.Passed
			}
			if f.Mark == "A1" && f.Said != "popped off" {
				t.Errorf("%s: said %q", c.name, f.Said)
			}
		}
		if strings.Join(marks, " ") != c.marks || since != c.passed {
			t.Errorf("%s: failed %v, passed since %q; want %q, %q", c.name, marks, since, c.marks, c.passed)
		}
	}
}

// TestFailedInUseIsRefused: no procedure is written from it, and no hint says to
// write a pass down for it.
func TestFailedInUseIsRefused(t *testing.T) {
	b := &bench{}
	b.weld(stateDC, 100, 5, broke(true), failedOn(20))
	b.welds[0].ID = "id"
	_, err := b.write(func(r *recommend.ProcedureRequest) { r.Said = map[string]string{"id": "popped off"} }, "A1")
	var invalid *procedures.InvalidError
	if !errors.As(err, &invalid) || !strings.Contains(invalid.Problem, "A1 failed in use 2026-03-21 (popped off)") {
		t.Fatalf("%v", err)
	}
	for _, h := range append(invalid.Hints, invalid.Problem) {
		if strings.Contains(h, "pass ") || strings.Contains(h, "=pass") || strings.Contains(h, "neither") {
			t.Errorf("says %q", h)
		}
	}
}

// TestTestFadesForAProcedure: a test that suggest calls faded makes a draft, and a
// procedure written in time says so once it has faded.
func TestTestFadesForAProcedure(t *testing.T) {
	b := &bench{}
	b.weld(stateDC, 100, 4, broke(true))
	b.weld(stateDC, 100, 4, broke(true))
	at := func(months int) func(*recommend.ProcedureRequest) {
		return func(r *recommend.ProcedureRequest) { r.Now = b.welds[1].At.AddDate(0, months, 0) }
	}
	fresh, err := b.write(at(1), "A1", "A2")
	if err != nil || fresh.Procedure.Draft() {
		t.Fatalf("after a month: %v, %v", fresh.Doubts, err)
	}
	old, err := b.write(at(7), "A1", "A2")
	if err != nil || len(old.Procedure.Tests) != 0 || !old.Procedure.Draft() || len(old.Doubts) != 2 || !strings.Contains(old.Doubts[0].Text, "has faded, for it is 7 months old") {
		t.Errorf("after 7 months: tests %v, doubts %v, %v", old.Procedure.Tests, old.Doubts, err)
	}
	r := recommend.ProcedureRequest{Machine: proving(), From: b.welds}
	at(1)(&r)
	if stale := recommend.Stale(fresh.Procedure, r); len(stale) != 0 {
		t.Errorf("stale after a month: %v", stale)
	}
	at(7)(&r)
	if stale := recommend.Stale(fresh.Procedure, r); len(stale) != 2 || !strings.Contains(stale[0].Text, "faded") {
		t.Errorf("not stale after 7 months: %v", stale)
	}
}
