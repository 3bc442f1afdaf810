package store_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func TestSetMachine(t *testing.T) {
	n, red, _ := shed(t)
	must(n.AddMeasurements(t.Context(), "", []procedures.Measurement{{Kind: procedures.OpenVolts, Tap: "min", Value: 23}}))(t)
	set := func(name string, change func(*procedures.Machine)) (procedures.Machine, []procedures.Amendment, error) {
		return n.SetMachine(t.Context(), name, func(m *procedures.Machine) error { change(m); return nil })
	}
	m, made, err := set("", func(m *procedures.Machine) {
		if m.Taps[0].Open != 22 || len(m.Measurements) != 1 {
			t.Errorf("change is given %+v, want the volts written down", m.Taps)
		}
		m.Duty, m.Breaker, m.Cord = 0, 15, procedures.Cord{}
		m.Knob.Step, m.WireMin = 0.25, 1.2
		m.Taps[1].Load, m.Taps[1].How = 18, procedures.Measured
		m.Processes = m.Processes[:1]
	})
	if err != nil {
		t.Fatal(err)
	}
	want := must(n.Machine(t.Context(), red.Name))(t)
	if diff := same(want, m); diff != "" {
		t.Errorf("(-read +returned):\n%s", diff)
	}
	if m.Duty != 0 || m.Breaker != 15 || m.Cord != (procedures.Cord{}) || m.Knob != (procedures.Knob{Min: 0, Max: 10, Step: 0.25}) || m.Taps[0].Open != 23 || m.Taps[1].Load != 18 || len(m.Processes) != 1 || m.RatedAmps != red.RatedAmps {
		t.Errorf("%+v", m)
	}
	amended := map[string]string{}
	for _, a := range made {
		amended[a.Field] = a.Old + " -> " + a.New
		if a.At.IsZero() {
			t.Errorf("%s has no time", a.Field)
		}
	}
	if diff := same(map[string]string{
		"duty_percent": "20 -> ", "breaker_A": "20 -> 15", "cord.awg": "12 -> ", "cord.length_mm": "7620 -> ", "knob.step": "0.5 -> 0.25", "wire_min_m_min": "1 -> 1.2", "processes": "114 111 -> 114",
		"taps": "min open 22 V load 15 V (measured), max load 18.5 V (guessed) -> min open 22 V load 15 V (measured), max load 18 V (measured)",
	}, amended); diff != "" {
		t.Errorf("amendments (-want +got):\n%s", diff)
	}
	if diff := same(made, must(n.MachineAmendments(t.Context(), "LITTLE red"))(t)); diff != "" {
		t.Errorf("amendments (-made +read):\n%s", diff)
	}
	_, more, err := set(red.ID, func(m *procedures.Machine) { m.Duty = 0 })
	if err != nil || len(more) != 0 {
		t.Errorf("nothing changed: %v, %v", more, err)
	}
	_, err = n.MachineAmendments(t.Context(), "nobody's")
	wantNotFound(t, err)
	_, _, err = set("nobody's", func(*procedures.Machine) {})
	wantNotFound(t, err)
	mine := errors.New("mine")
	if _, _, err := n.SetMachine(t.Context(), "", func(*procedures.Machine) error { return mine }); err != mine {
		t.Errorf("%v", err)
	}

	must(n.AddMachine(t.Context(), procedures.Machine{Name: "Old Blue", Rebuilt: true}))(t)
	must(n.SetRebuild(t.Context(), "old blue", procedures.Rebuild{Farads: 0.06}))(t)
	w := bead()
	w.Job.Machine, w.Settings.Tap = "little red", "MAX"
	used := must(n.AddWeld(t.Context(), w))(t)
	for _, c := range []struct {
		field, name string
		change      func(*procedures.Machine)
	}{
		{"id", "", func(m *procedures.Machine) { m.ID = "" }},
		{"state", "", func(m *procedures.Machine) { m.State.What = "as I remember it" }},
		{"output", "", func(m *procedures.Machine) { m.Output = procedures.DCEN }},
		{"output", "", func(m *procedures.Machine) { m.Output = "" }},
		{"rebuilt", "", func(m *procedures.Machine) { m.Rebuilt = true }},
		{"rebuild", "", func(m *procedures.Machine) { m.Rebuild = &procedures.Rebuild{} }},
		{"rebuild", "old blue", func(m *procedures.Machine) { m.Rebuild = nil }},
		{"rebuild", "old blue", func(m *procedures.Machine) { m.Rebuild.CapVolts = 63 }},
		{"output", "old blue", func(m *procedures.Machine) { m.Output = "steam" }},
		{"example", "", func(m *procedures.Machine) { m.Example = true }},
		{"name", "", func(m *procedures.Machine) { m.Name = " " }},
		{"name", "", func(m *procedures.Machine) { m.Name = "OLD  blue" }},
		{"rated amps", "", func(m *procedures.Machine) { m.RatedAmps = 1 }},
		{"note", "", func(m *procedures.Machine) { m.Note = "a\xff" }},
		{"tap", "", func(m *procedures.Machine) { m.Taps[0].Name = "\xff" }},
		{"tap", "", func(m *procedures.Machine) { m.Taps = m.Taps[:1] }},             // a weld has max
		{"tap", "", func(m *procedures.Machine) { m.Taps = m.Taps[1:] }},             // a measurement has min
		{"tap", "", func(m *procedures.Machine) { m.Taps[1].Name = "hot" }},          // the same by another way
		{"tap", "", func(m *procedures.Machine) { m.Taps[1].Load = 14 }},             // colder than min
		{"tap", "", func(m *procedures.Machine) { m.Taps[1].Name = m.Taps[0].Name }}, // twice
	} {
		_, _, err := set(c.name, c.change)
		wantInvalid(t, err, c.field)
	}
	if diff := same(want, must(n.Machine(t.Context(), red.Name))(t)); diff != "" {
		t.Errorf("a refused change changed the machine:\n%s", diff)
	}
	if list := must(n.MachineAmendments(t.Context(), ""))(t); len(list) != len(made) {
		t.Errorf("%d amendments, want %d", len(list), len(made))
	}

	must(n.StrikeWeld(t.Context(), used.Mark, "another machine's"))(t)
	if err := n.StrikeMeasurement(t.Context(), "", 1, "another machine's"); err != nil {
		t.Fatal(err)
	}
	m, made, err = set("", func(m *procedures.Machine) {
		m.Taps = []procedures.Tap{{Name: "1"}, {Name: "2", Load: 16}, {Name: "MAX", Load: 18}}
	})
	if err != nil || len(made) != 1 || made[0].New != "1, 2 load 16 V, MAX load 18 V" || len(m.Taps) != 3 || m.Taps[2].Name != "MAX" {
		t.Errorf("%+v, %+v, %v", m.Taps, made, err)
	}
}

func TestSetOutput(t *testing.T) {
	n := fresh(t)
	must(n.AddMachine(t.Context(), procedures.Machine{Name: "blue"}))(t)
	first := must(n.ChangeMachine(t.Context(), "blue", "new liner", procedures.Feed, "", false))(t)
	m, made, err := n.SetMachine(t.Context(), "", func(m *procedures.Machine) error { m.Output = procedures.DC; return nil })
	if err != nil || m.Output != procedures.DC || m.State != first.State || len(made) != 1 || made[0].Field != "output" || made[0].Old != "" || made[0].New != "dc" {
		t.Errorf("%+v, %+v, %v", m, made, err)
	}
	_, _, err = n.SetMachine(t.Context(), "", func(m *procedures.Machine) error { m.Output = procedures.DCEN; return nil })
	wantInvalid(t, err, "output")
}

// TestRenamed: a new name goes on into every record, and the old one is kept.
func TestRenamed(t *testing.T) {
	n, red, _ := shed(t)
	w := bead()
	w.Job.Machine = red.Name
	must(n.AddWeld(t.Context(), w))(t)
	must(n.SaveSuggestion(t.Context(), store.Suggestion{Verdict: "edge", Job: procedures.Job{Machine: "little red", State: "the example's"}}))(t)
	must(n.SaveSuggestion(t.Context(), store.Suggestion{Verdict: "edge", Job: procedures.Job{Machine: "little red", State: red.State.ID}}))(t)
	must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(1)}))(t)
	must(n.AddMeasurements(t.Context(), "", []procedures.Measurement{{Kind: procedures.TipNew}}))(t)
	must(n.AddCutOut(t.Context(), "", procedures.CutOut{Used: 90}))(t)
	must(n.StartArc(t.Context(), "", time.Time{}))(t)

	m, made, err := n.SetMachine(t.Context(), "", func(m *procedures.Machine) error { m.Name = " the shed's "; return nil })
	if err != nil || m.Name != "the shed's" || m.ID != red.ID || len(made) != 1 || made[0].Old != "little red" || made[0].New != "the shed's" {
		t.Fatalf("%+v, %+v, %v", m, made, err)
	}
	if len(m.RunOuts) != 1 || len(m.Measurements) != 1 || len(m.CutOuts) != 1 || len(must(n.Arcs(t.Context(), "THE shed's", time.Time{}))(t)) != 1 {
		t.Errorf("records were left behind: %+v", m)
	}
	if w, _, err := n.Weld(t.Context(), "A1"); err != nil || w.Job.Machine != m.Name || w.Job.State != red.State.ID {
		t.Errorf("%+v, %v", w.Job, err)
	}
	if s := must(n.LastSuggestion(t.Context()))(t); s.Job.Machine != m.Name {
		t.Errorf("the suggestion to follow is for %q", s.Job.Machine)
	}
	var example int
	if err := raw(t, n.Path()).QueryRow("SELECT count(*) FROM suggestions WHERE machine = 'little red'").Scan(&example); err != nil || example != 1 {
		t.Errorf("%d suggestions for another of that name, %v", example, err)
	}
	_, err = n.Machine(t.Context(), "little red")
	wantNotFound(t, err)
	must(n.AddMachine(t.Context(), littleRed()))(t)
	if _, _, err := n.SetMachine(t.Context(), "THE SHED'S", func(m *procedures.Machine) error { m.Name = strings.ToUpper(m.Name); return nil }); err != nil {
		t.Errorf("the same name in capitals: %v", err)
	}
	marksOf(t, n)
}

// TestMeasuredTapsStayOut: what was measured is laid over the taps when they are
// read, and never written in their place.
func TestMeasuredTapsStayOut(t *testing.T) {
	n, red, _ := shed(t)
	// Measured, the colder tap gives more than the plate says of the hotter one.
	must(n.AddMeasurements(t.Context(), "", []procedures.Measurement{{Kind: procedures.LoadVolts, Tap: "min", Value: 19}}))(t)
	m, _, err := n.SetMachine(t.Context(), "", func(m *procedures.Machine) error { m.Duty = 30; return nil })
	if err != nil || m.Taps[0].Load != 19 {
		t.Fatalf("%+v, %v", m.Taps, err)
	}
	m = must(n.ChangeMachine(t.Context(), red.Name, "new liner", procedures.Feed, "", false))(t)
	if m.Taps[0].Load != 19 || len(m.SameOutput) != 2 {
		t.Errorf("a new liner made the volts measured before forgotten: %+v", m.Taps)
	}
	m = must(n.ChangeMachine(t.Context(), red.Name, "new leads", procedures.Output, "", false))(t)
	if diff := same(red.Taps, m.Taps) + same(m, must(n.Machine(t.Context(), red.Name))(t)); diff != "" {
		t.Errorf("after the change (-want +got):\n%s", diff)
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}
