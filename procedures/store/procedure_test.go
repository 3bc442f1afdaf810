package store_test

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// promotable is a notebook with a machine and three welds of it, and a procedure
// that could be written from them.
func promotable(t *testing.T) (*store.Notebook, procedures.Procedure) {
	n, red, _ := shed(t)
	for range 3 {
		w := bead()
		w.Job.Machine = red.Name
		must(n.AddWeld(t.Context(), w))(t)
	}
	w := bead()
	w.Job.Machine = red.Name
	knob := 4.5
	w.Settings.Knob, w.Settings.How = &knob, map[string]procedures.How{"knob": procedures.OwnCurve}
	return n, procedures.Procedure{
		Name: "Eighth  tee", Revision: 1, Job: w.Job, Settings: w.Settings, From: []string{"A2", "A1"}, Tests: []string{"A1"}, Note: "clamp\nboth ends",
		Ranges: []procedures.ProcedureRange{{Variable: "wire_speed_m_min", Low: 2.123456789, High: 2.9, Source: []string{"MEM", "CP"}, Why: "half way to A3"}},
		Passes: []procedures.Pass{{Number: 1, Layer: 1, What: "the only one", Wire: w.Job.Wire, Tap: "max", Knob: &knob, WireSpeed: 2.8}, {Number: 2, What: "cap"}},
		Fields: map[string]string{"backing and what it is of": "none", "gun angle": "45"},
	}
}

func TestProcedures(t *testing.T) {
	n, p := promotable(t)
	ctx := t.Context()
	first := must(n.AddProcedure(ctx, p))(t)
	if first.Name != "Eighth tee" || first.ID == "" || first.At.IsZero() || first.Status != procedures.Current || first.Job.State == "" {
		t.Errorf("got %+v", first)
	}
	if diff := same(first, must(n.Procedure(ctx, "eighth TEE", 0))(t)); diff != "" {
		t.Errorf("(-added +read):\n%s", diff)
	}
	if diff := same(first, must(n.Procedure(ctx, strings.ToUpper(first.ID), 1))(t)); diff != "" {
		t.Errorf("by its id (-added +read):\n%s", diff)
	}

	p.Revision, p.Why, p.From, p.Tests = 2, "a third coupon", []string{"A1", "A2", "A3"}, []string{"A1", "A3"}
	p.Name = "EIGHTH TEE"
	second := must(n.AddProcedure(ctx, p))(t)
	if second.Name != "Eighth tee" || second.Draft() {
		t.Errorf("the second is %q, draft %v", second.Name, second.Draft())
	}
	all := must(n.ProcedureRevisions(ctx, "eighth tee"))(t)
	first.Status = procedures.Superseded
	if diff := same([]procedures.Procedure{first, second}, all); diff != "" {
		t.Errorf("revisions (-want +got):\n%s", diff)
	}

	p.Revision, p.Status, p.Why = 3, procedures.Retired, "other wire"
	third := must(n.AddProcedure(ctx, p))(t)
	p.Name, p.Revision, p.Status, p.Why = "a lap", 1, "", ""
	lap := must(n.AddProcedure(ctx, p))(t)
	if diff := same([]procedures.Procedure{lap, third}, must(n.Procedures(ctx))(t)); diff != "" {
		t.Errorf("last ones (-want +got):\n%s", diff)
	}
	// A machine that is renamed keeps its procedures, and a weld that is struck stays behind them.
	if _, _, err := n.SetMachine(ctx, "", func(m *procedures.Machine) error { m.Name = "crimson"; return nil }); err != nil {
		t.Fatal(err)
	}
	must(n.StrikeWeld(ctx, "A1", "a slip"))(t)
	if got := must(n.Procedure(ctx, "a lap", 0))(t); got.Job.Machine != "crimson" || len(got.From) != 3 {
		t.Errorf("machine %q, from %v", got.Job.Machine, got.From)
	}
}

func TestProcedureRefused(t *testing.T) {
	n, p := promotable(t)
	ctx := t.Context()
	must(n.AddProcedure(ctx, p))(t)
	for field, spoil := range map[string]func(*procedures.Procedure){
		"name":     func(p *procedures.Procedure) { p.Revision = 1 },
		"revision": func(p *procedures.Procedure) { p.Revision = 3 },
		"machine":  func(p *procedures.Procedure) { p.Job.Machine, p.Job.State = "nobody's", "" },
		"gap":      func(p *procedures.Procedure) { p.Job.Gap = -1 },
		"passes":   func(p *procedures.Procedure) { p.Passes = make([]procedures.Pass, 101) },
	} {
		q := p
		q.Revision = 2
		spoil(&q)
		_, err := n.AddProcedure(ctx, q)
		wantInvalid(t, err, field)
	}
	p.Revision, p.From = 2, []string{"A9"}
	_, err := n.AddProcedure(ctx, p)
	wantNotFound(t, err)
	if all := must(n.ProcedureRevisions(ctx, p.Name))(t); len(all) != 1 {
		t.Errorf("%d revisions after refusals", len(all))
	}
	_, err = n.Procedure(ctx, p.Name, 2)
	wantNotFound(t, err)
	_, err = n.Procedure(ctx, "none such", 0)
	wantNotFound(t, err)
}

// TestRevisedAtOnce lets many hands write the next revision: one does, the others
// are told.
func TestRevisedAtOnce(t *testing.T) {
	n, p := promotable(t)
	must(n.AddProcedure(t.Context(), p))(t)
	p.Revision = 2
	var wait sync.WaitGroup
	written := make([]error, 8)
	for i := range written {
		wait.Go(func() {
			q := p
			q.Why = fmt.Sprint(i)
			_, written[i] = n.AddProcedure(t.Context(), q)
		})
	}
	wait.Wait()
	done := 0
	for _, err := range written {
		if err == nil {
			done++
		} else {
			wantInvalid(t, err, "revision")
		}
	}
	if all := must(n.ProcedureRevisions(t.Context(), p.Name))(t); done != 1 || len(all) != 2 {
		t.Errorf("%d hands wrote it, %d revisions", done, len(all))
	}
}

// TestAddWelds adds a sheet whole or not at all.
func TestAddWelds(t *testing.T) {
	n := fresh(t)
	ctx := t.Context()
	marked := bead()
	marked.Mark = "A7"
	if next := must(n.NextMarks(ctx, 3))(t); strings.Join(next, " ") != "A1 A2 A3" {
		t.Errorf("next marks %v", next)
	}
	added := must(n.AddWelds(ctx, []procedures.Weld{bead(), marked, bead()}))(t)
	if len(added) != 3 || added[0].Mark != "A1" || added[1].Mark != "A7" || added[2].Mark != "A2" {
		t.Errorf("added %+v", added)
	}
	if next := must(n.NextMarks(ctx, 6))(t); strings.Join(next, " ") != "A3 A4 A5 A6 A8 A9" {
		t.Errorf("next marks %v", next)
	}
	third := bead()
	third.Mark = "a3"
	if added := must(n.AddWelds(ctx, []procedures.Weld{bead(), third}))(t); added[0].Mark != "A4" || added[1].Mark != "A3" {
		t.Errorf("a mark of the sheet was given to another of its rows: %s, %s", added[0].Mark, added[1].Mark)
	}
	before := must(n.History(ctx))(t)
	if tried := must(n.TryWelds(ctx, []procedures.Weld{bead()}))(t); tried[0].Mark != "A5" || tried[0].ID == "" {
		t.Errorf("tried %+v", tried)
	}
	if diff := same(before, must(n.History(ctx))(t)); diff != "" {
		t.Errorf("what was only tried was written:\n%s", diff)
	}
	wrong := bead()
	wrong.Outcome.Rating = 9
	for _, last := range []procedures.Weld{marked, wrong} {
		_, err := n.AddWelds(ctx, []procedures.Weld{bead(), bead(), last})
		var place *store.PlaceError
		if !errors.As(err, &place) || place.Place != 2 {
			t.Errorf("got %v", err)
		}
		if diff := same(before, must(n.History(ctx))(t)); diff != "" {
			t.Errorf("part of the sheet was written:\n%s", diff)
		}
	}
	if next := must(n.NextMarks(ctx, 1))(t); next[0] != "A5" {
		t.Errorf("a mark was lost on a sheet that was not written: next is %v", next)
	}
}
