package store_test

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

const notebooks = "../../testdata/notebooks"

// story is the notebook that each released form is kept of: a machine on AC,
// later rebuilt, two spools, a suggestion, beads that get better, a correction
// and a slip withdrawn. Our own invention.
func story(t *testing.T, path string) {
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 4, 11, 9, 0, 0, 0, time.UTC))})
	ctx := t.Context()
	must(n.AddMachine(ctx, procedures.Machine{
		Name: "little red", Output: procedures.AC, Taps: []procedures.Tap{{Name: "min", Open: 21.5}, {Name: "max", Open: 26, Load: 18, How: procedures.Measured}},
		RatedAmps: 70, RatedVolts: 17.5, Duty: 20, MaxAmps: 90, InputVolts: 120, InputAmps: 15, Breaker: 20, Cord: procedures.Cord{AWG: 12, Length: 7620}, Note: "bought used; knob has no numbers",
	}))(t)
	must(n.AddMachine(ctx, procedures.Machine{Name: "neighbor's blue", Output: procedures.DC, Knob: procedures.Knob{Min: 1, Max: 10, Step: 0.5}, Processes: []procedures.Process{procedures.FCAWS, procedures.GMAW}}))(t)
	gs := must(n.AddSpool(ctx, procedures.Spool{Name: "the one it came with", Wire: procedures.Wire{Class: "E71T-GS", Diameter: procedures.Inches(0.030)}, Grams: 454}))(t)
	elevens := must(n.AddSpool(ctx, procedures.Spool{Name: "0.035 E71T-11", Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, Grams: 907, Opened: time.Date(2026, 4, 18, 0, 0, 0, 0, time.UTC)}))(t)

	job := procedures.Job{
		Said: "1/8 mild tee flat", Steel: "mild", SteelGroup: "I", Thickness: procedures.Inches(0.125), ThicknessSaid: "1/8", Form: procedures.Plate,
		Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Wire: gs.Wire, Process: procedures.FCAWS, Machine: "little red",
	}
	log := func(spool, said string, change func(*procedures.Weld)) procedures.Weld {
		w := procedures.Weld{Job: job, Spool: spool, Said: said, Settings: procedures.Settings{Tap: "max", Polarity: procedures.AC, KnobSaid: "middle third", Passes: 1}}
		change(&w)
		return must(n.AddWeld(ctx, w))(t)
	}
	log(gs.ID, "1 cold, bird poop", func(w *procedures.Weld) {
		w.Settings.Tap, w.Settings.KnobSaid = "min", "lower third"
		w.Outcome = procedures.Outcome{Rating: 1, Symptoms: []string{"cold-bead", "lack-of-fusion"}, Tests: []procedures.Test{{Kind: "break", Result: "peeled clean"}}}
	})
	log(gs.ID, "2 spatter everywhere", func(w *procedures.Weld) { w.Outcome = procedures.Outcome{Rating: 2, Symptoms: []string{"spatter"}} })
	log(gs.ID, "3", func(w *procedures.Weld) { w.Outcome = procedures.Outcome{Rating: 3, Note: "dragged slower"} })
	suggestion := must(n.SaveSuggestion(ctx, store.Suggestion{
		Job: job, Verdict: "edge", Settings: procedures.Settings{Tap: "max", WireSpeed: procedures.InchesPerMin(120), Extension: procedures.Inches(0.5), How: map[string]procedures.How{"wire_speed_m_min": procedures.FromTable}},
		Document: json.RawMessage(`{"verdict":"edge","evidence":{"good":0,"failed":1}}`),
	}))(t)
	log(gs.ID, "blew a hole", func(w *procedures.Weld) {
		w.Suggestion = suggestion.ID
		w.Job.Thickness, w.Job.ThicknessSaid, w.Job.Joint, w.Job.Form = 1.5189, "16ga", procedures.Lap, procedures.Sheet
		w.Outcome = procedures.Outcome{Rating: 1, Symptoms: []string{"burn-through"}}
	})
	must(n.ChangeMachine(ctx, "little red", "bridge rectifier and capacitors, gun to negative", procedures.Output, procedures.DCEN, true))(t)
	must(n.UseSpool(ctx, elevens.Name))(t)
	job.Wire = elevens.Wire
	knob := 4.5
	for i, said := range []string{"4 nice", "4 bit of spatter", "5 best yet"} {
		log(elevens.ID, said, func(w *procedures.Weld) {
			w.Settings = procedures.Settings{Tap: "max", Knob: &knob, WireSpeed: procedures.InchesPerMin(110 + 2*float64(i)), Polarity: procedures.DCEN, Extension: 12.7, Travel: procedures.TravelInchesPerMin(10), Passes: 1,
				How: map[string]procedures.How{"wire_speed_m_min": procedures.OwnCurve, "travel_mm_min": procedures.Measured}}
			w.Outcome = procedures.Outcome{Rating: procedures.Count(min(5, 4+i/2)), Leg: 4.5, Photo: "photos/a" + string(rune('5'+i)) + ".jpg"}
			if i == 2 {
				w.Outcome.Tests = []procedures.Test{{Kind: "break", Passed: true, Result: "tore parent"}, {Kind: "bend", Passed: true, Result: "held"}}
			}
		})
	}
	log("", "practice", func(w *procedures.Weld) {
		w.Job.Machine, w.Job.Weld, w.Job.Joint = "neighbor's blue", procedures.BeadOnPlate, ""
	})
	if _, _, err := n.AmendWeld(ctx, "A2", func(w *procedures.Weld) error {
		w.Outcome.Symptoms = append(w.Outcome.Symptoms, "undercut")
		w.Job.OtherThickness, w.Job.OtherSaid = procedures.Inches(3./16), "3/16"
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	must(n.StrikeWeld(ctx, "A3", "wrong plate, it was 3/16"))(t)
	must(n.UseMachine(ctx, "little red"))(t)
	if err := n.SetUnits(ctx, procedures.Metric); err != nil {
		t.Fatal(err)
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

// more is what form 2 can tell as well: the meter, the stopwatch and what broke
// off. It takes the story up a week later.
func more(t *testing.T, path string) {
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 4, 25, 9, 0, 0, 0, time.UTC))})
	ctx := t.Context()
	yes, no, knob, air := true, false, 4.5, 31.0
	if _, _, err := n.SetMachine(ctx, "little red", func(m *procedures.Machine) error {
		m.Knob, m.Taps[0].Open, m.Note = procedures.Knob{Min: 0, Max: 10, Step: 0.5}, 20.5, "bought used; a paper dial is on the knob"
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if _, _, err := n.SetMachine(ctx, "neighbor's blue", func(m *procedures.Machine) error { m.Name = "blue"; return nil }); err != nil {
		t.Fatal(err)
	}
	must(n.SetRebuild(ctx, "", procedures.Rebuild{ACVolts: 23, Farads: 0.06, Capacitors: 6, CapVolts: 50, MainsHz: 60}))(t)
	must(n.SetRebuild(ctx, "", procedures.Rebuild{ACVolts: 23, Farads: 0.06, Capacitors: 6, CapVolts: 50, RippleAmps: 90, BleedOhms: 100, BleedWatts: 25, DiodeVolts: 1.1, RectifierAmps: 150, Fan: &yes, Thermostat: &no, MainsHz: 60, Note: "bleeder added after the first scare"}))(t)
	must(n.AddRunOuts(ctx, "", []procedures.RunOut{
		{Tap: "max", Mark: 2, Length: 620, Seconds: 15, ShortLength: 200, ShortSeconds: 5},
		{Tap: "max", Mark: 5, Length: 1420, Seconds: 15, ShortLength: 470, ShortSeconds: 5},
		{Tap: "max", Mark: 8, Length: 740, Seconds: 10},
	}))(t)
	if err := n.StrikeRunOut(ctx, "", 3, "the clamp was on, it struck an arc"); err != nil {
		t.Fatal(err)
	}
	must(n.AddMeasurements(ctx, "", []procedures.Measurement{
		{Kind: procedures.OpenVolts, Tap: "max", Value: 29}, {Kind: procedures.LoadVolts, Tap: "max", Value: 17.8, Knob: &knob, Spool: "0.035 E71T-11"},
		{Kind: procedures.LineIdleVolts, Value: 121}, {Kind: procedures.LineLoadVolts, Value: 113, Note: "on the long cord"}, {Kind: procedures.ClampAmps, Value: 78},
	}))(t)
	must(n.AddMeasurements(ctx, "", []procedures.Measurement{{Kind: procedures.SpoolWeight, Spool: "0.035 E71T-11", Value: 612}, {Kind: procedures.TipNew}}))(t)
	if err := n.StrikeMeasurement(ctx, "", 5, "round both leads"); err != nil {
		t.Fatal(err)
	}
	must(n.AddCutOut(ctx, "", procedures.CutOut{Used: 105, Current: 80, Tap: "max", Knob: &knob, Ambient: &air, Note: "door shut"}))(t)
	start := time.Date(2026, 4, 25, 10, 0, 0, 0, time.UTC)
	late := open(t, path, store.Options{Now: clock(start.Add(time.Minute))})
	must(late.AddArc(ctx, "", start, start.Add(24*time.Second)))(t)
	must(late.StartArc(ctx, "", start.Add(40*time.Second)))(t)
	must(late.StopArc(ctx, "", start.Add(59500*time.Millisecond)))(t)
	must(late.AddWeld(ctx, procedures.Weld{Said: "5 the cart's shelf", Job: procedures.Job{Machine: "little red", Joint: procedures.Tee, Thickness: procedures.Inches(0.125)},
		Settings: procedures.Settings{Tap: "max", Knob: &knob}, Outcome: procedures.Outcome{Rating: 5}}))(t)
	must(late.ChangeMachine(ctx, "little red", "new liner", procedures.Feed, "", false))(t)
	must(late.StartArc(ctx, "", time.Time{}))(t)
	for _, n := range []*store.Notebook{n, late} {
		if err := n.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// afterwards is what form 3 can tell as well: a bead rated by thirds, pictures
// looked at again, and how parts did in use. It takes the story up in autumn.
func afterwards(t *testing.T, path string) {
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 10, 3, 9, 0, 0, 0, time.UTC))})
	ctx := t.Context()
	if _, _, err := n.AmendWeld(ctx, "A5", func(w *procedures.Weld) error {
		w.Outcome.Thirds, w.Job.For = &procedures.Thirds{3, 4, 0}, "shop cart, lower shelf"
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	must(n.AddWeld(ctx, procedures.Weld{Said: "4 --thirds 2,4,5", Job: procedures.Job{Machine: "little red", Joint: procedures.Lap, Thickness: 1.5}, Outcome: procedures.Outcome{Rating: 4, Thirds: &procedures.Thirds{2, 4, 5}}}))(t)
	must(n.AddRerating(ctx, procedures.Rerating{Weld: "A5", Rating: 3, Blind: true}))(t)
	must(n.AddRerating(ctx, procedures.Rerating{Weld: "A6", Rating: 4, Note: "a toe is rolled over"}))(t)
	must(n.AddRerating(ctx, procedures.Rerating{Weld: "A6", Rating: 1, Blind: true}))(t)
	must(n.StrikeRerating(ctx, "A6", "looked at the wrong picture"))(t)
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A5", Held: true, Note: "carries the vise"}))(t)
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A7", At: time.Date(2026, 9, 12, 0, 0, 0, 0, time.UTC), Note: "cracked along the toe"}))(t)
	must(n.AddFollowUp(ctx, procedures.FollowUp{Weld: "A9"}))(t)
	must(n.StrikeFollowUp(ctx, "A9", "that was the other shelf"))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

// promoted is what form 4 can tell as well: a procedure written from the good
// welds, revised, and another retired. It takes the story up a day later.
func promoted(t *testing.T, path string) {
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 10, 4, 9, 0, 0, 0, time.UTC))})
	ctx := t.Context()
	w, _, err := n.Weld(ctx, "A7")
	if err != nil {
		t.Fatal(err)
	}
	p := procedures.Procedure{
		Name: "eighth tee on the bench", Revision: 1, Job: w.Job, Settings: w.Settings, From: []string{"A6", "A7"}, Tests: []string{"A7"}, Note: "for shelves",
		Ranges: []procedures.ProcedureRange{{Variable: "wire_speed_m_min", Low: 2.7, High: 3, Source: []string{"MEM", "CP"}, Why: "10 % either way, and no good weld beyond"}},
		Passes: []procedures.Pass{{Number: 1, Layer: 1, What: "the only one", Wire: w.Job.Wire, Tap: "max", WireSpeed: w.Settings.WireSpeed, Polarity: procedures.DCEN}},
		Fields: map[string]string{"backing and what it is of": "none"},
	}
	must(n.AddProcedure(ctx, p))(t)
	p.Revision, p.From, p.Why = 2, []string{"A5", "A6", "A7"}, "another good one"
	must(n.AddProcedure(ctx, p))(t)
	p.Name, p.Revision, p.From, p.Tests, p.Why = "thin lap", 1, []string{"A5"}, nil, ""
	must(n.AddProcedure(ctx, p))(t)
	p.Revision, p.Status, p.Why = 2, procedures.Retired, "blew through twice"
	must(n.AddProcedure(ctx, p))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

// photographed is what form 5 can tell as well: pictures, one of them withdrawn. It
// takes the story up a day later.
func photographed(t *testing.T, path string) {
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 10, 5, 9, 0, 0, 0, time.UTC))})
	ctx := t.Context()
	must(n.AddPhoto(ctx, "A7", procedures.BeadPhoto, shot(t, 48, 36, 1)))(t)
	must(n.AddPhoto(ctx, "A7", procedures.FracturePhoto, drawing(t)))(t)
	wrong := must(n.AddPhoto(ctx, "A5", procedures.BackPhoto, shot(t, 48, 36, 2)))(t)
	must(n.StrikePhoto(ctx, wrong.ID, "that is the front"))(t)
	must(n.AddPhoto(ctx, "A5", procedures.BeadPhoto, shot(t, 48, 36, 2)))(t)
	must(n.AddRerating(ctx, procedures.Rerating{Weld: "A5", Rating: 4, Blind: true}))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

// wired is what form 6 can tell as well: the circuit that a machine hangs on, and
// an arc that was withdrawn. It takes the story up two days later.
func wired(t *testing.T, path string) {
	at := time.Date(2026, 10, 6, 18, 0, 0, 0, time.UTC)
	n := open(t, path, store.Options{Now: clock(at)})
	ctx := t.Context()
	if _, _, err := n.SetMachine(ctx, "little red", func(m *procedures.Machine) error {
		m.Wall, m.Outlet, m.Plug = 12, "5-20R", "5-15P"
		m.Others = []procedures.Load{{Name: "fridge", Amps: 3}, {Amps: 0.8}}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	must(n.AddArc(ctx, "blue", at.Add(-450*time.Second), at))(t)
	must(n.StrikeArc(ctx, "blue", 1, "45 s, not 450"))(t)
	must(n.AddArc(ctx, "blue", at.Add(-45*time.Second), at))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

// mistaken is what form 9 can tell as well: a machine and a spool that were withdrawn,
// others put back, and names that were corrected. It takes the story up a week later.
func mistaken(t *testing.T, path string) {
	n := open(t, path, store.Options{Now: clock(time.Date(2026, 10, 14, 18, 0, 0, 0, time.UTC))})
	ctx := t.Context()
	must(n.AddMachine(ctx, procedures.Machine{Name: "litle red", Output: procedures.DCEN}))(t)
	must(n.AddSpool(ctx, procedures.Spool{Name: "0.30 E71T-GS", Wire: procedures.Wire{Class: "E71T-GS", Diameter: procedures.Inches(0.030)}}))(t)
	must(n.AddWeld(ctx, procedures.Weld{Said: "3 on the wrong name", Spool: "0.30 E71T-GS", Job: procedures.Job{Machine: "litle red", Joint: procedures.Lap, Thickness: 3}, Outcome: procedures.Outcome{Rating: 3}}))(t)
	for _, err := range []error{
		second(n.StrikeMachine(ctx, "litle red", "written down twice")), second(n.StrikeSpool(ctx, "0.30 E71T-GS", "the label was misread")),
		second(n.StrikeMachine(ctx, "blue", "went back to the neighbor")), second(n.PutBackMachine(ctx, "blue")),
		second(n.StrikeSpool(ctx, "0.035 E71T-11", "a slip")), second(n.PutBackSpool(ctx, "0.035 E71T-11")),
		second(n.RenameSpool(ctx, "the one it came with", "small spool")),
		second(n.SetMachine(ctx, "blue", func(m *procedures.Machine) error { m.Name = "blue, borrowed"; return nil })),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
}

func second[A, B any](_ A, _ B, err error) error { return err }

// everything is all that can be read from a notebook. What an older form had no
// room for is left out where there is none of it.
type everything struct {
	Units          procedures.Units
	Machine, Spool string // in use
	Machines       []procedures.Machine
	States         map[string][]procedures.State
	Spools         []procedures.Spool
	LastSuggestion store.Suggestion
	Welds          []amendedWeld

	RunOuts           map[string][]procedures.RunOut      `json:",omitempty"` // by machine
	Measurements      map[string][]procedures.Measurement `json:",omitempty"`
	CutOuts           map[string][]procedures.CutOut      `json:",omitempty"`
	Arcs              map[string][]procedures.Arc         `json:",omitempty"`
	MachineAmendments map[string][]procedures.Amendment   `json:",omitempty"`
	OfSpool           map[string][]procedures.Measurement `json:",omitempty"`

	SpoolAmendments map[string][]procedures.Amendment `json:",omitempty"`

	Reratings []procedures.Rerating `json:",omitempty"`
	FollowUps []procedures.FollowUp `json:",omitempty"`

	Procedures map[string][]procedures.Procedure `json:",omitempty"`

	Photos []procedures.Photo `json:",omitempty"`
}

// put adds a list that is not empty.
func put[T any](lists *map[string][]T, name string, list []T) {
	if len(list) == 0 {
		return
	}
	if *lists == nil {
		*lists = map[string][]T{}
	}
	(*lists)[name] = list
}

type amendedWeld struct {
	procedures.Weld
	Amended []procedures.Amendment
}

func readAll(t *testing.T, n *store.Notebook) everything {
	t.Helper()
	ctx := context.Background()
	all := everything{
		Units: must(n.Units(ctx))(t), Machine: must(n.CurrentMachine(ctx))(t).Name, Spool: must(n.CurrentSpool(ctx))(t).Name,
		Machines: must(n.Machines(ctx))(t), States: map[string][]procedures.State{}, Spools: must(n.Spools(ctx))(t), LastSuggestion: must(n.LastSuggestion(ctx))(t),
	}
	for _, m := range all.Machines {
		all.States[m.Name] = must(n.States(ctx, m.Name))(t)
		put(&all.RunOuts, m.Name, m.RunOuts)
		put(&all.Measurements, m.Name, m.Measurements)
		put(&all.CutOuts, m.Name, m.CutOuts)
		put(&all.Arcs, m.Name, must(n.Arcs(ctx, m.Name, time.Time{}))(t))
		put(&all.MachineAmendments, m.Name, must(n.MachineAmendments(ctx, m.Name))(t))
	}
	for _, s := range all.Spools {
		put(&all.OfSpool, s.Name, must(n.SpoolMeasurements(ctx, s.ID))(t))
		put(&all.SpoolAmendments, s.Name, must(n.SpoolAmendments(ctx, s.ID))(t))
	}
	all.Reratings, all.FollowUps = must(n.Reratings(ctx, ""))(t), must(n.FollowUps(ctx, ""))(t)
	all.Photos = must(n.Photos(ctx, ""))(t)
	for _, p := range must(n.Procedures(ctx))(t) {
		put(&all.Procedures, p.Name, must(n.ProcedureRevisions(ctx, p.Name))(t))
	}
	for _, w := range must(n.Find(ctx, procedures.Filter{Struck: true}))(t) {
		w, amended, err := n.Weld(ctx, w.ID)
		if err != nil {
			t.Fatal(err)
		}
		all.Welds = append(all.Welds, amendedWeld{w, amended})
	}
	return all
}

// TestReleased opens a notebook of each released form with today's code: it
// says what it said, can be written, and has the tables of a new one. Run with
// -update to write the notebook of a new form; those of old forms stay.
func TestReleased(t *testing.T) {
	if *update {
		const newest = "v9"
		path := filepath.Join(t.TempDir(), newest+".db")
		story(t, path)
		more(t, path)
		afterwards(t, path)
		promoted(t, path)
		photographed(t, path)
		wired(t, path)
		mistaken(t, path)
		if err := os.MkdirAll(notebooks, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(notebooks, newest+".db"), must(os.ReadFile(path))(t), 0o644); err != nil {
			t.Fatal(err)
		}
		said := must(json.MarshalIndent(readAll(t, open(t, path, store.Options{})), "", " "))(t)
		if err := os.WriteFile(filepath.Join(notebooks, newest+".json"), append(said, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept := must(filepath.Glob(filepath.Join(notebooks, "*.db")))(t)
	if forms := must(filepath.Glob("migrations/*.sql"))(t); len(kept) != len(forms) {
		t.Fatalf("notebooks of %d forms are kept, and there are %d forms", len(kept), len(forms))
	}
	for _, name := range kept {
		t.Run(filepath.Base(name), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "notebook.db")
			if err := os.WriteFile(path, must(os.ReadFile(name))(t), 0o600); err != nil {
				t.Fatal(err)
			}
			n := open(t, path, store.Options{})
			want := string(must(os.ReadFile(name[:len(name)-len(".db")] + ".json"))(t))
			got := string(must(json.MarshalIndent(readAll(t, n), "", " "))(t)) + "\n"
			if diff := same(want, got); diff != "" {
				t.Errorf("it says something else than when it was written (-then +now):\n%s", diff)
			}
			marks := marksOf(t, n)
			if w := must(n.AddWeld(t.Context(), bead()))(t); marks[w.Mark] {
				t.Errorf("mark %s was given again", w.Mark)
			}
			highest := 0
			if err := raw(t, path).QueryRow("SELECT coalesce(max(number), 0) FROM runouts").Scan(&highest); err != nil {
				t.Fatal(err)
			}
			if r := must(n.AddRunOuts(t.Context(), "little red", []procedures.RunOut{ran(1)}))(t)[0]; r.Number != highest+1 {
				t.Errorf("run-out %d was added after %d", r.Number, highest)
			}
			if err := n.Close(); err != nil {
				t.Fatal(err)
			}
			if diff := same(tables(t, written(t)), tables(t, path)); diff != "" {
				t.Errorf("its tables are not those of a new notebook (-new +old):\n%s", diff)
			}
		})
	}
}

// tables is the text of the tables and indexes of a notebook, by name.
func tables(t *testing.T, path string) map[string]string {
	t.Helper()
	rows := must(raw(t, path).Query("SELECT name, coalesce(sql, '') FROM sqlite_schema"))(t)
	defer rows.Close()
	all := map[string]string{}
	for rows.Next() {
		var name, text string
		if err := rows.Scan(&name, &text); err != nil {
			t.Fatal(err)
		}
		all[name] = text
	}
	return all
}
