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

// everything is all that can be read from a notebook.
type everything struct {
	Units          procedures.Units
	Machine, Spool string // in use
	Machines       []procedures.Machine
	States         map[string][]procedures.State
	Spools         []procedures.Spool
	LastSuggestion store.Suggestion
	Welds          []amendedWeld
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
		path := filepath.Join(t.TempDir(), "v1.db")
		story(t, path)
		if err := os.MkdirAll(notebooks, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(notebooks, "v1.db"), must(os.ReadFile(path))(t), 0o644); err != nil {
			t.Fatal(err)
		}
		said := must(json.MarshalIndent(readAll(t, open(t, path, store.Options{})), "", " "))(t)
		if err := os.WriteFile(filepath.Join(notebooks, "v1.json"), append(said, '\n'), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	kept := must(filepath.Glob(filepath.Join(notebooks, "*.db")))(t)
	if len(kept) == 0 {
		t.Fatal("no notebook of a released form is kept")
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
