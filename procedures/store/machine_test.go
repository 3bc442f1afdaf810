package store_test

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func TestMachines(t *testing.T) {
	now := time.Date(2026, 2, 1, 8, 0, 0, 0, time.UTC)
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: func() time.Time { return now }})
	_, err := n.CurrentMachine(t.Context())
	wantNotFound(t, err)
	_, err = n.Machine(t.Context(), "little red")
	wantNotFound(t, err)
	_, err = n.UseMachine(t.Context(), "little red")
	wantNotFound(t, err)
	_, err = n.ChangeMachine(t.Context(), "little red", "new liner", procedures.Feed, "", false)
	wantNotFound(t, err)
	_, err = n.States(t.Context(), "little red")
	wantNotFound(t, err)

	given := littleRed()
	given.Name = "  little red "
	red := must(n.AddMachine(t.Context(), given))(t)
	want := littleRed()
	want.ID = red.ID
	want.SameOutput, want.SameFeeder = []string{red.State.ID}, []string{red.State.ID}
	want.State = procedures.State{ID: red.State.ID, Number: 1, What: "as first written down", Kind: procedures.Original, Since: now}
	if diff := same(want, red); diff != "" {
		t.Errorf("(-want +added):\n%s", diff)
	}
	for _, name := range []string{"little red", " LITTLE  Red", red.ID} {
		if diff := same(red, must(n.Machine(t.Context(), name))(t)); diff != "" {
			t.Errorf("%q (-added +read):\n%s", name, diff)
		}
	}
	blue := must(n.AddMachine(t.Context(), procedures.Machine{Name: "Old Blue"}))(t)
	if m := must(n.CurrentMachine(t.Context()))(t); m.Name != red.Name {
		t.Errorf("in use: %s, want the first one", m.Name)
	}
	must(n.UseMachine(t.Context(), "old blue"))(t)
	if diff := same(blue, must(n.CurrentMachine(t.Context()))(t)); diff != "" {
		t.Errorf("in use (-want +got):\n%s", diff)
	}
	if diff := same([]procedures.Machine{red, blue}, must(n.Machines(t.Context()))(t)); diff != "" {
		t.Errorf("all (-want +got):\n%s", diff)
	}
	for _, c := range []struct {
		field string
		m     procedures.Machine
	}{
		{"name", procedures.Machine{}},
		{"name", procedures.Machine{Name: "LITTLE  RED"}},
		{"name", procedures.Machine{Name: "another", ID: red.ID}},
		{"id", procedures.Machine{Name: "another", ID: "x"}},
		{"state", procedures.Machine{Name: "another", State: procedures.State{ID: red.State.ID}}},
		{"machine", procedures.Machine{Name: "another", Example: true}},
		{"name", procedures.Machine{Name: "a\xff"}},
		{"note", procedures.Machine{Name: "another", Note: "a\x00"}},
		{"tap", procedures.Machine{Name: "another", Taps: []procedures.Tap{{Name: "\xff"}}}},
		{"output", procedures.Machine{Name: "another", Output: "steam"}},
	} {
		_, err := n.AddMachine(t.Context(), c.m)
		wantInvalid(t, err, c.field)
	}
	if list := must(n.Machines(t.Context()))(t); len(list) != 2 {
		t.Errorf("%d machines, want 2", len(list))
	}
}

func TestChangeMachine(t *testing.T) {
	now := time.Date(2026, 2, 1, 8, 0, 0, 0, time.UTC)
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: func() time.Time { return now }})
	red := must(n.AddMachine(t.Context(), littleRed()))(t)
	for _, c := range []struct {
		field, what string
		kind        procedures.StateKind
		output      procedures.Polarity
		rebuilt     bool
	}{
		{"what", " ", procedures.Feed, "", false},
		{"what", strings.Repeat("x", 401), procedures.Feed, "", false},
		{"kind", "new liner", "", "", false},
		{"kind", "new liner", procedures.Original, "", false},
		{"kind", "rectifier", procedures.Feed, procedures.DCEN, false},
		{"kind", "rectifier", procedures.Feed, "", true},
		{"output", "rectifier", procedures.Output, "steam", false},
		{"state.what", "\xff", procedures.Feed, "", false},
	} {
		_, err := n.ChangeMachine(t.Context(), red.Name, c.what, c.kind, c.output, c.rebuilt)
		wantInvalid(t, err, c.field)
	}
	if diff := same(red, must(n.CurrentMachine(t.Context()))(t)); diff != "" {
		t.Errorf("a refused change changed the machine:\n%s", diff)
	}

	early := weldOn(t, n, red.Name, time.Time{})
	now = now.Add(24 * time.Hour)
	dc := must(n.ChangeMachine(t.Context(), "Little Red", "rectifier and capacitor", procedures.Output, procedures.DCEN, true))(t)
	want := red
	want.Output, want.Rebuilt, want.SameOutput, want.SameFeeder = procedures.DCEN, true, []string{dc.State.ID}, []string{dc.State.ID}
	want.State = procedures.State{ID: dc.State.ID, Number: 2, What: "rectifier and capacitor", Kind: procedures.Output, Since: now}
	if diff := same(want, dc) + same(want, must(n.Machine(t.Context(), red.Name))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	now = now.Add(24 * time.Hour)
	liner := must(n.ChangeMachine(t.Context(), red.ID, "new liner", procedures.Feed, "", false))(t)
	if !liner.Rebuilt || liner.Output != procedures.DCEN {
		t.Error("a new liner took the rebuilding back")
	}
	if diff := same([]procedures.State{red.State, dc.State, liner.State}, must(n.States(t.Context(), red.Name))(t)); diff != "" {
		t.Errorf("states (-want +got):\n%s", diff)
	}

	t.Run("a weld belongs to the state of its day", func(t *testing.T) {
		day := 24 * time.Hour
		for _, c := range []struct {
			at   time.Time
			want procedures.State
		}{
			{time.Time{}, liner.State},
			{now, liner.State},
			{now.Add(day), liner.State},
			{now.Add(-time.Nanosecond), dc.State},
			{now.Add(-day), dc.State},
			{now.Add(-day - 1), red.State},
			{now.Add(-100 * day), red.State},
		} {
			if w := weldOn(t, n, red.Name, c.at); w.Job.State != c.want.ID {
				t.Errorf("at %v: not in state %d", c.at, c.want.Number)
			}
		}
		now = now.Add(-1000 * day) // the clock went back: just now is still the present state
		if w := weldOn(t, n, red.Name, time.Time{}); w.Job.State != liner.State.ID {
			t.Error("with the clock gone back, the weld of just now fell into an old state")
		}
	})
	if w, _, _ := n.Weld(t.Context(), early.Mark); w.Job.State != red.State.ID {
		t.Error("the change moved an early weld to a later state")
	}
	t.Run("a state of another machine", func(t *testing.T) {
		must(n.AddMachine(t.Context(), procedures.Machine{Name: "blue"}))(t)
		w := bead()
		w.Job.Machine, w.Job.State = "blue", dc.State.ID
		_, err := n.AddWeld(t.Context(), w)
		wantInvalid(t, err, "state")
	})
}

func weldOn(t *testing.T, n *store.Notebook, machine string, at time.Time) procedures.Weld {
	t.Helper()
	w := bead()
	w.Job.Machine, w.At = machine, at
	return must(n.AddWeld(t.Context(), w))(t)
}

func TestSpools(t *testing.T) {
	n := fresh(t)
	_, err := n.CurrentSpool(t.Context())
	wantNotFound(t, err)
	_, err = n.UseSpool(t.Context(), "x")
	wantNotFound(t, err)

	given := elevens()
	given.Opened, given.Note = time.Date(2026, 1, 2, 3, 4, 5, 6, time.FixedZone("", -7200)), "kept dry"
	first := must(n.AddSpool(t.Context(), given))(t)
	given.ID = first.ID
	if diff := same(given, first) + same(given, must(n.CurrentSpool(t.Context()))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	gs := must(n.AddSpool(t.Context(), procedures.Spool{Name: " small GS ", Wire: procedures.Wire{Class: "E71T-GS", Diameter: procedures.Inches(0.030), Gas: "CO2"}}))(t)
	if gs.Name != "small GS" || !gs.Opened.IsZero() {
		t.Errorf("%q opened %v", gs.Name, gs.Opened)
	}
	must(n.UseSpool(t.Context(), "SMALL gs"))(t)
	if diff := same(gs, must(n.CurrentSpool(t.Context()))(t)) + same(gs, must(n.Spool(t.Context(), gs.ID))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := same([]procedures.Spool{first, gs}, must(n.Spools(t.Context()))(t)); diff != "" {
		t.Errorf("all (-want +got):\n%s", diff)
	}
	wire := elevens().Wire
	for _, c := range []struct {
		field string
		s     procedures.Spool
	}{
		{"name", procedures.Spool{Wire: wire}},
		{"name", procedures.Spool{Name: "Small  gs", Wire: wire}},
		{"name", procedures.Spool{Name: "b", Wire: wire, ID: gs.ID}},
		{"id", procedures.Spool{Name: "b", Wire: wire, ID: uuid.NewString()[1:]}},
		{"wire", procedures.Spool{Name: "b"}},
		{"note", procedures.Spool{Name: "b", Wire: wire, Note: "\xff"}},
		{"opened", procedures.Spool{Name: "b", Wire: wire, Opened: time.Date(12000, 1, 1, 0, 0, 0, 0, time.UTC)}},
	} {
		_, err := n.AddSpool(t.Context(), c.s)
		wantInvalid(t, err, c.field)
	}
}
