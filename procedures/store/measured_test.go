package store_test

import (
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// shed opens a notebook with a machine in use, a spool, and a clock that goes
// forward a minute each time it is looked at.
func shed(t *testing.T) (n *store.Notebook, red procedures.Machine, from time.Time) {
	t.Helper()
	from = time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	n = open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: clock(from)})
	red = must(n.AddMachine(t.Context(), littleRed()))(t)
	must(n.AddSpool(t.Context(), elevens()))(t)
	return n, red, from
}

func ran(mark float64) procedures.RunOut {
	return procedures.RunOut{Tap: "max", Mark: mark, Length: 1067, Seconds: 10, ShortLength: 500, ShortSeconds: 5}
}

func TestRunOuts(t *testing.T) {
	n, red, _ := shed(t)
	given := []procedures.RunOut{ran(0), ran(4.5), {Mark: 8, Length: 3000, Seconds: 20}}
	got := must(n.AddRunOuts(t.Context(), "", given))(t)
	want := slices.Clone(given)
	for i := range want {
		want[i].ID, want[i].Number, want[i].At, want[i].Machine, want[i].State = got[i].ID, i+1, got[0].At, red.Name, red.State.ID
		if uuid.Validate(got[i].ID) != nil || got[i].At.IsZero() || given[i].ID != "" {
			t.Errorf("%+v of %+v", got[i], given[i])
		}
	}
	if diff := same(want, got) + same(want, must(n.Machine(t.Context(), "little red"))(t).RunOuts); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}

	t.Run("the same again adds nothing", func(t *testing.T) {
		bare := given[1]
		bare.ID = got[1].ID
		if diff := same([]procedures.RunOut{got[1], got[0]}, must(n.AddRunOuts(t.Context(), red.ID, []procedures.RunOut{bare, got[0]}))(t)); diff != "" {
			t.Errorf("(-recorded +got):\n%s", diff)
		}
		other := got[1]
		other.Mark = 5
		_, err := n.AddRunOuts(t.Context(), "", []procedures.RunOut{other})
		wantInvalid(t, err, "id")
		must(n.AddMachine(t.Context(), procedures.Machine{Name: "blue"}))(t)
		_, err = n.AddRunOuts(t.Context(), "blue", []procedures.RunOut{got[1]})
		wantInvalid(t, err, "id")
	})

	t.Run("struck", func(t *testing.T) {
		wantInvalid(t, n.StrikeRunOut(t.Context(), "", 3, " "), "why")
		wantInvalid(t, n.StrikeRunOut(t.Context(), "", 3, "\xff"), "why")
		wantNotFound(t, n.StrikeRunOut(t.Context(), "", 4, "no such run"))
		wantNotFound(t, n.StrikeRunOut(t.Context(), "nobody's", 3, "no such machine"))
		wantNotFound(t, n.StrikeRunOut(t.Context(), "blue", 3, "run on another machine"))
		if err := n.StrikeRunOut(t.Context(), "LITTLE red", 3, " clamp was on "); err != nil {
			t.Fatal(err)
		}
		wantInvalid(t, n.StrikeRunOut(t.Context(), "", 3, "again"), "number")
		if diff := same(want[:2], must(n.CurrentMachine(t.Context()))(t).RunOuts); diff != "" {
			t.Errorf("standing (-want +got):\n%s", diff)
		}
		next := must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(3)}))(t)[0]
		if next.Number != 4 {
			t.Errorf("number %d after three, one of them struck", next.Number)
		}
		struck := got[2]
		struck.Struck = "clamp was on"
		if diff := same(struck, must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{struck}))(t)[0]); diff != "" {
			t.Errorf("the struck one again (-want +got):\n%s", diff)
		}
	})

	t.Run("refused, all of them", func(t *testing.T) {
		before := must(n.Machine(t.Context(), red.Name))(t)
		_, err := n.AddRunOuts(t.Context(), "nobody's", []procedures.RunOut{ran(1)})
		wantNotFound(t, err)
		for _, c := range []struct {
			field string
			set   func(*procedures.RunOut)
		}{
			{"seconds", func(r *procedures.RunOut) { r.Seconds = 0 }},
			{"id", func(r *procedures.RunOut) { r.ID = "x" }},
			{"number", func(r *procedures.RunOut) { r.Number = 1 }},
			{"number", func(r *procedures.RunOut) { r.Number = 3 }}, // of the struck one
			{"number", func(r *procedures.RunOut) { r.Number = -1 }},
			{"state", func(r *procedures.RunOut) { r.State = uuid.NewString() }},
			{"tap", func(r *procedures.RunOut) { r.Tap = "\xff" }},
			{"at", func(r *procedures.RunOut) { r.At = time.Date(12000, 1, 1, 0, 0, 0, 0, time.UTC) }},
		} {
			bad := ran(2)
			c.set(&bad)
			_, err := n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(2), bad})
			wantInvalid(t, err, c.field)
		}
		if diff := same(before, must(n.Machine(t.Context(), red.Name))(t)); diff != "" {
			t.Errorf("a refused run left something:\n%s", diff)
		}
	})

	t.Run("numbers of two machines, and one that is given", func(t *testing.T) {
		first := must(n.AddRunOuts(t.Context(), "blue", []procedures.RunOut{ran(1), {Number: 7, Mark: 2, Length: 1000, Seconds: 10}, ran(3)}))(t)
		for i, want := range []int{1, 7, 8} {
			if first[i].Number != want {
				t.Errorf("number %d, want %d", first[i].Number, want)
			}
		}
	})
}

// TestStatesOfRecords: a record belongs to the state of its day, and all states
// of a machine are read.
func TestStatesOfRecords(t *testing.T) {
	n, red, from := shed(t)
	must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(1)}))(t)
	now := must(n.ChangeMachine(t.Context(), red.Name, "new liner", procedures.Feed, "", false))(t)
	if len(now.RunOuts) != 1 {
		t.Errorf("the change returned %d run-outs", len(now.RunOuts))
	}
	early := ran(2)
	early.At = from.Add(90 * time.Second)
	got := must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(3), early}))(t)
	if got[0].State != now.State.ID || got[1].State != red.State.ID {
		t.Errorf("states %s and %s, want %s and %s", got[0].State, got[1].State, now.State.ID, red.State.ID)
	}
	var marks []float64
	for _, r := range must(n.Machine(t.Context(), red.Name))(t).RunOuts {
		marks = append(marks, r.Mark)
	}
	if !slices.Equal(marks, []float64{2, 1, 3}) {
		t.Errorf("marks %v, want the oldest first", marks)
	}
}

func TestMeasurements(t *testing.T) {
	n, red, from := shed(t)
	knob := 4.5
	given := []procedures.Measurement{
		{Kind: procedures.OpenVolts, Tap: "MAX", Value: 27.5},
		{Kind: procedures.LoadVolts, Tap: "max", Value: 17.2, Knob: &knob, Spool: "0.035 E71T-11", Note: "quiet arc"},
		{Kind: procedures.ClampVolts, Value: 0},
		{Kind: procedures.TipNew},
	}
	got := must(n.AddMeasurements(t.Context(), "", given))(t)
	spool := must(n.CurrentSpool(t.Context()))(t)
	want := slices.Clone(given)
	want[1].Spool = spool.ID
	for i := range want {
		want[i].ID, want[i].Number, want[i].At, want[i].Machine, want[i].State = got[i].ID, i+1, got[0].At, red.Name, red.State.ID
	}
	m := must(n.Machine(t.Context(), red.Name))(t)
	if diff := same(want, got) + same(want, m.Measurements); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	taps := []procedures.Tap{{Name: "min", Open: 22, Load: 15, How: procedures.Measured}, {Name: "max", Open: 27.5, Load: 17.2, How: procedures.Measured}}
	if diff := same(taps, m.Taps); diff != "" {
		t.Errorf("taps as measured (-want +got):\n%s", diff)
	}
	if diff := same(got[1:2], must(n.SpoolMeasurements(t.Context(), spool.Name))(t)); diff != "" {
		t.Errorf("of the spool (-want +got):\n%s", diff)
	}
	_, err := n.SpoolMeasurements(t.Context(), "nobody's")
	wantNotFound(t, err)

	again := given[1]
	again.ID = got[1].ID
	if diff := same(got[1:2], must(n.AddMeasurements(t.Context(), "", []procedures.Measurement{again}))(t)); diff != "" {
		t.Errorf("again (-want +got):\n%s", diff)
	}
	weighed := must(n.AddMeasurements(t.Context(), "", []procedures.Measurement{
		{Kind: procedures.SpoolWeight, Spool: spool.ID, Value: 640, At: from.Add(-time.Hour)},
		{Kind: procedures.SpoolWeight, Spool: spool.ID, Value: 600},
	}))(t)
	if diff := same([]procedures.Measurement{weighed[0], got[1], weighed[1]}, must(n.SpoolMeasurements(t.Context(), spool.ID))(t)); diff != "" {
		t.Errorf("of the spool, the oldest first (-want +got):\n%s", diff)
	}

	if err := n.StrikeMeasurement(t.Context(), "", 2, "meter on the wrong post"); err != nil {
		t.Fatal(err)
	}
	wantInvalid(t, n.StrikeMeasurement(t.Context(), "", 2, "again"), "number")
	wantNotFound(t, n.StrikeMeasurement(t.Context(), "", 99, "no such"))
	if m := must(n.Machine(t.Context(), red.Name))(t); len(m.Measurements) != 5 || m.Taps[1].Load != 18.5 || m.Taps[1].How != procedures.Guessed {
		t.Errorf("after striking: %d measurements, tap %+v", len(m.Measurements), m.Taps[1])
	}
	if list := must(n.SpoolMeasurements(t.Context(), spool.ID))(t); len(list) != 2 {
		t.Errorf("%d measurements of the spool, want 2", len(list))
	}

	for _, c := range []struct {
		field string
		m     procedures.Measurement
	}{
		{"kind", procedures.Measurement{Kind: "smell", Value: 1}},
		{"spool", procedures.Measurement{Kind: procedures.SpoolWeight, Value: 100}},
		{"spool", procedures.Measurement{Kind: procedures.SpoolWeight, Value: 100, Spool: "nobody's"}},
		{"load V", procedures.Measurement{Kind: procedures.LoadVolts, Value: 3}},
		{"note", procedures.Measurement{Kind: procedures.LoadVolts, Value: 17, Note: "a\xff"}},
	} {
		_, err := n.AddMeasurements(t.Context(), "", []procedures.Measurement{given[0], c.m})
		wantInvalid(t, err, c.field)
	}
	if m := must(n.Machine(t.Context(), red.Name))(t); len(m.Measurements) != 5 {
		t.Errorf("a refused measurement left something: %d", len(m.Measurements))
	}
}

// TestNoMachine: a spool can be weighed before any machine is written down.
func TestNoMachine(t *testing.T) {
	n := fresh(t)
	must(n.AddSpool(t.Context(), elevens()))(t)
	weight := []procedures.Measurement{{Kind: procedures.SpoolWeight, Spool: "0.035 e71t-11", Value: 900}}
	first, second := must(n.AddMeasurements(t.Context(), "", weight))(t)[0], must(n.AddMeasurements(t.Context(), "", weight))(t)[0]
	if first.Machine != "" || first.State != "" || first.Number != 1 || second.Number != 2 {
		t.Errorf("%+v, %+v", first, second)
	}
	_, err := n.AddMeasurements(t.Context(), "nobody's", weight)
	wantNotFound(t, err)
	_, err = n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(1)})
	wantNotFound(t, err)
	_, err = n.AddCutOut(t.Context(), "", procedures.CutOut{Used: 100})
	wantNotFound(t, err)
	wantNotFound(t, n.StrikeRunOut(t.Context(), "", 1, "why"))

	red := must(n.AddMachine(t.Context(), littleRed()))(t)
	third := must(n.AddMeasurements(t.Context(), "", weight))(t)[0]
	if third.Number != 3 || third.Machine != red.Name {
		t.Errorf("%+v: its number must not be one of those of no machine", third)
	}
	if err := n.StrikeMeasurement(t.Context(), "", 1, "still in its box"); err != nil {
		t.Fatal(err)
	}
	if diff := same([]procedures.Measurement{second, third}, must(n.SpoolMeasurements(t.Context(), first.Spool))(t)); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := same([]procedures.Measurement{third}, must(n.Machine(t.Context(), red.Name))(t).Measurements); diff != "" {
		t.Errorf("of the machine (-want +got):\n%s", diff)
	}
}

func TestCutOuts(t *testing.T) {
	n, red, _ := shed(t)
	knob, air := 0.0, -4.0
	full := procedures.CutOut{Used: 130, Current: 88, Tap: "max", Knob: &knob, Ambient: &air, Note: "fan was blocked"}
	first, second := must(n.AddCutOut(t.Context(), "", full))(t), must(n.AddCutOut(t.Context(), red.ID, procedures.CutOut{Used: 90}))(t)
	full.ID, full.Number, full.At, full.Machine, full.State = first.ID, 1, first.At, red.Name, red.State.ID
	if diff := same(full, first) + same([]procedures.CutOut{first, second}, must(n.Machine(t.Context(), red.Name))(t).CutOuts); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	if diff := same(first, must(n.AddCutOut(t.Context(), "", first))(t)); diff != "" {
		t.Errorf("again (-want +got):\n%s", diff)
	}
	if err := n.StrikeCutOut(t.Context(), "", 1, "the breaker, not the cut-out"); err != nil {
		t.Fatal(err)
	}
	wantInvalid(t, n.StrikeCutOut(t.Context(), "", 1, "again"), "number")
	wantInvalid(t, n.StrikeCutOut(t.Context(), "", 2, ""), "why")
	if diff := same([]procedures.CutOut{second}, must(n.CurrentMachine(t.Context()))(t).CutOuts); diff != "" {
		t.Errorf("standing (-want +got):\n%s", diff)
	}
	_, err := n.AddCutOut(t.Context(), "", procedures.CutOut{})
	wantInvalid(t, err, "arc")
	far := 2000.0
	_, err = n.AddCutOut(t.Context(), "", procedures.CutOut{Used: 90, Knob: &far})
	wantInvalid(t, err, "knob")
	_, err = n.AddCutOut(t.Context(), "nobody's", procedures.CutOut{Used: 90})
	wantNotFound(t, err)
}

func TestRebuild(t *testing.T) {
	n, red, _ := shed(t)
	yes := true
	first := procedures.Rebuild{ACVolts: 24, Farads: 0.06, Capacitors: 6, CapVolts: 63, Fan: &yes, MainsHz: 60, Note: "salvaged"}
	_, err := n.SetRebuild(t.Context(), "", first)
	wantInvalid(t, err, "rebuild")
	_, err = n.SetRebuild(t.Context(), "nobody's", first)
	wantNotFound(t, err)
	dc := must(n.ChangeMachine(t.Context(), red.Name, "rectifier and capacitors", procedures.Output, procedures.DCEN, true))(t)
	if dc.Rebuild != nil {
		t.Errorf("%+v", dc.Rebuild)
	}
	check := func(want procedures.Rebuild, got procedures.Machine) {
		t.Helper()
		if diff := same(&want, got.Rebuild) + same(got, must(n.Machine(t.Context(), red.Name))(t)); diff != "" {
			t.Errorf("(-want +got):\n%s", diff)
		}
	}
	check(first, must(n.SetRebuild(t.Context(), "", first))(t))
	second, no := first, false
	second.BleedOhms, second.BleedWatts, second.Thermostat, second.Fan = 100, 25, &no, nil
	for range 2 { // the second time it adds no version
		check(second, must(n.SetRebuild(t.Context(), red.ID, second))(t))
	}
	liner := must(n.ChangeMachine(t.Context(), red.Name, "new liner", procedures.Feed, "", false))(t)
	check(second, liner)
	must(n.AddMachine(t.Context(), procedures.Machine{Name: "blue"}))(t)
	if m := must(n.Machine(t.Context(), "blue"))(t); m.Rebuild != nil {
		t.Errorf("another machine was rebuilt too: %+v", m.Rebuild)
	}
	third := second
	third.DiodeVolts = 1.1
	check(third, must(n.SetRebuild(t.Context(), "", third))(t))

	_, err = n.SetRebuild(t.Context(), "", procedures.Rebuild{CapVolts: 5000})
	wantInvalid(t, err, "capacitor volts")
	_, err = n.SetRebuild(t.Context(), "", procedures.Rebuild{Note: "\xff"})
	wantInvalid(t, err, "rebuild.note")
	check(third, must(n.Machine(t.Context(), red.Name))(t))

	rows := must(raw(t, n.Path()).Query("SELECT state, version FROM rebuilds ORDER BY at"))(t)
	defer rows.Close()
	var kept []string
	for rows.Next() {
		var state, version string
		if err := rows.Scan(&state, &version); err != nil {
			t.Fatal(err)
		}
		kept = append(kept, state+" "+version)
	}
	if diff := same([]string{dc.State.ID + " 1", dc.State.ID + " 2", liner.State.ID + " 1"}, kept); diff != "" {
		t.Errorf("versions kept (-want +got):\n%s", diff)
	}
}
