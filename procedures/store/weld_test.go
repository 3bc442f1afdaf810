package store_test

import (
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func TestAddWeld(t *testing.T) {
	now := time.Date(2026, 3, 1, 12, 0, 0, 123456789, time.FixedZone("", 3600))
	path := filepath.Join(t.TempDir(), "notebook.db")
	n := open(t, path, store.Options{Now: func() time.Time { return now }})
	machine := must(n.AddMachine(t.Context(), littleRed()))(t)
	spool := must(n.AddSpool(t.Context(), elevens()))(t)
	suggestion := must(n.SaveSuggestion(t.Context(), store.Suggestion{Verdict: "inside"}))(t)

	t.Run("filled in", func(t *testing.T) {
		given := bead()
		w := must(n.AddWeld(t.Context(), given))(t)
		if id, err := uuid.Parse(w.ID); err != nil || id.Version() != 7 {
			t.Errorf("id %q is not a UUIDv7", w.ID)
		}
		if w.Mark != "A1" || !w.At.Equal(now) {
			t.Errorf("mark %s at %v, want A1 at %v", w.Mark, w.At, now)
		}
		given.ID, given.Mark, given.At = w.ID, w.Mark, w.At
		if diff := same(given, w); diff != "" {
			t.Errorf("(-given +got):\n%s", diff)
		}
		read, amended, err := n.Weld(t.Context(), "a1")
		if err != nil || len(amended) != 0 {
			t.Fatalf("%v, amended %v", err, amended)
		}
		if diff := same(w, read); diff != "" {
			t.Errorf("(-added +read):\n%s", diff)
		}
	})
	t.Run("refers", func(t *testing.T) {
		w := bead()
		w.Job.Machine, w.Spool, w.Suggestion = "  LITTLE   Red", strings.ToUpper(spool.ID), suggestion.ID
		w = must(n.AddWeld(t.Context(), w))(t)
		if w.Job.Machine != machine.Name || w.Job.State != machine.State.ID || w.Spool != spool.ID || w.Suggestion != suggestion.ID {
			t.Errorf("got %q in state %q with spool %q after %q", w.Job.Machine, w.Job.State, w.Spool, w.Suggestion)
		}
		w = bead()
		w.Job.State = machine.State.ID
		if w = must(n.AddWeld(t.Context(), w))(t); w.Job.Machine != machine.Name {
			t.Errorf("machine %q of its state", w.Job.Machine)
		}
	})
	for _, c := range []struct {
		field string
		spoil func(*procedures.Weld)
	}{
		{"machine", func(w *procedures.Weld) { w.Job.Machine = "big blue" }},
		{"state", func(w *procedures.Weld) { w.Job.Machine, w.Job.State = "little red", uuid.NewString() }},
		{"state", func(w *procedures.Weld) { w.Job.State = "x" }},
		{"spool", func(w *procedures.Weld) { w.Spool = uuid.NewString() }},
		{"suggestion", func(w *procedures.Weld) { w.Suggestion = uuid.NewString() }},
		{"id", func(w *procedures.Weld) { w.ID = "17" }},
		{"mark", func(w *procedures.Weld) { w.Mark = "A1" }},
		{"mark", func(w *procedures.Weld) { w.Mark = "A100" }},
		{"mark", func(w *procedures.Weld) { w.Mark = "A0" }},
		{"at", func(w *procedures.Weld) { w.At = time.Date(12026, 1, 1, 0, 0, 0, 0, time.UTC) }},
		{"at", func(w *procedures.Weld) { w.At = time.Date(-5, 1, 1, 0, 0, 0, 0, time.UTC) }},
		{"thickness", func(w *procedures.Weld) { w.Job.Thickness = 1000 }},
		{"rating", func(w *procedures.Weld) { w.Outcome.Rating = 6 }},
		{"symptom", func(w *procedures.Weld) { w.Outcome.Symptoms = []string{"gremlins"} }},
		{"outcome.note", func(w *procedures.Weld) { w.Outcome.Note = "a\xffb" }},
		{"said", func(w *procedures.Weld) { w.Said = "a\x00b" }},
		{"test", func(w *procedures.Weld) { w.Outcome.Tests[0].Result = "\xff" }},
	} {
		t.Run("refused "+c.field, func(t *testing.T) {
			before := len(must(n.History(t.Context()))(t))
			w := bead()
			c.spoil(&w)
			_, err := n.AddWeld(t.Context(), w)
			wantInvalid(t, err, c.field)
			if after := len(must(n.History(t.Context()))(t)); after != before {
				t.Errorf("%d welds were recorded", after-before)
			}
		})
	}
	t.Run("no mark is wasted on what was refused", func(t *testing.T) {
		if w := must(n.AddWeld(t.Context(), bead()))(t); w.Mark != "A4" {
			t.Errorf("mark %s, want A4", w.Mark)
		}
	})
	t.Run("mark given", func(t *testing.T) {
		w := bead()
		w.Mark = "a05"
		_, err := n.AddWeld(t.Context(), w)
		wantInvalid(t, err, "mark")
		w.Mark = " a6 "
		if w = must(n.AddWeld(t.Context(), w))(t); w.Mark != "A6" {
			t.Errorf("mark %s, want A6", w.Mark)
		}
		for _, want := range []string{"A5", "A7"} {
			if w := must(n.AddWeld(t.Context(), bead()))(t); w.Mark != want {
				t.Errorf("mark %s, want %s", w.Mark, want)
			}
		}
	})
}

func TestAddWeldTwice(t *testing.T) {
	n := fresh(t)
	must(n.AddMachine(t.Context(), littleRed()))(t)
	given := bead()
	given.ID, given.Job.Machine = uuid.Must(uuid.NewV7()).String(), "little red"
	first := must(n.AddWeld(t.Context(), given))(t)

	for name, again := range map[string]procedures.Weld{"as given": given, "as recorded": first} {
		w, err := n.AddWeld(t.Context(), again)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if diff := same(first, w); diff != "" {
			t.Errorf("%s (-first +again):\n%s", name, diff)
		}
	}
	other := first
	other.Mark = "Q9" // from another notebook, where it had another mark
	if w := must(n.AddWeld(t.Context(), other))(t); w.Mark != first.Mark {
		t.Errorf("mark %s, want %s", w.Mark, first.Mark)
	}
	for field, change := range map[string]func(*procedures.Weld){
		"rating":   func(w *procedures.Weld) { w.Outcome.Rating = 1 },
		"symptoms": func(w *procedures.Weld) { w.Outcome.Symptoms = nil },
		"time":     func(w *procedures.Weld) { w.At = w.At.Add(time.Nanosecond) },
	} {
		w := first
		change(&w)
		if _, err := n.AddWeld(t.Context(), w); err == nil {
			t.Errorf("another %s was taken for the same weld", field)
		} else {
			wantInvalid(t, err, "id")
		}
	}
	if list := must(n.History(t.Context()))(t); len(list) != 1 {
		t.Errorf("%d welds, want 1", len(list))
	}
}

func TestWeldNotFound(t *testing.T) {
	n := fresh(t)
	must(n.AddWeld(t.Context(), bead()))(t)
	for _, asked := range []string{"A2", "", "A", "1", "A1x", "'; DROP TABLE welds; --", uuid.NewString(), strings.Repeat("A", 1000)} {
		_, _, err := n.Weld(t.Context(), asked)
		wantNotFound(t, err)
		_, err = n.StrikeWeld(t.Context(), asked, "why")
		wantNotFound(t, err)
		_, _, err = n.AmendWeld(t.Context(), asked, func(*procedures.Weld) error { return nil })
		wantNotFound(t, err)
	}
}

func TestMarks(t *testing.T) {
	for number, want := range map[int]string{1: "A1", 99: "A99", 100: "B1", 26 * 99: "Z99", 26*99 + 1: "AA1", 52 * 99: "AZ99", 52*99 + 1: "BA1", 702 * 99: "ZZ99", 702*99 + 1: "AAA1"} {
		if got := store.FormatMark(number); got != want {
			t.Errorf("mark %d is %s, want %s", number, got, want)
		}
	}
	seen := map[string]bool{}
	for number := 1; number <= 80000; number++ {
		mark := store.FormatMark(number)
		if back, ok := store.ParseMark(strings.ToLower(mark)); !ok || back != number || seen[mark] {
			t.Fatalf("mark %d is %s and reads as %d", number, mark, back)
		}
		seen[mark] = true
	}
	for _, bad := range []string{"", "A", "7", "A0", "A07", "A100", "A1B", "Ä1", "A 1", "-A1", "ABCDE1", "A1.0"} {
		if n, ok := store.ParseMark(bad); ok {
			t.Errorf("%q reads as mark %d", bad, n)
		}
	}
}

// TestMarksNeverAgain: not after a strike, nor when the clock goes back.
func TestMarksNeverAgain(t *testing.T) {
	now := time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC)
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: func() time.Time { now = now.Add(-time.Hour); return now }})
	seen := map[string]bool{}
	var order []string
	for i := range 120 {
		w := must(n.AddWeld(t.Context(), bead()))(t)
		if seen[w.Mark] {
			t.Fatalf("mark %s was given again", w.Mark)
		}
		seen[w.Mark] = true
		if i%3 == 0 {
			must(n.StrikeWeld(t.Context(), w.Mark, "practice"))(t)
			continue
		}
		order = append(order, w.Mark)
	}
	if !seen["B21"] {
		t.Error("120 welds do not end at B21")
	}
	history := must(n.History(t.Context()))(t)
	for i, w := range history {
		if w.Mark != order[i] {
			t.Fatalf("history is in the order of the clock: %s in the place of %s", w.Mark, order[i])
		}
	}
}

// TestRoundTrip: every weld that is valid comes back as it was given.
func TestRoundTrip(t *testing.T) {
	n := fresh(t)
	machine := must(n.AddMachine(t.Context(), littleRed()))(t)
	spool := must(n.AddSpool(t.Context(), elevens()))(t)
	suggestion := must(n.SaveSuggestion(t.Context(), store.Suggestion{Verdict: "edge"}))(t)
	rapid.Check(t, func(t *rapid.T) {
		given := anyWeld(t)
		if rapid.Bool().Draw(t, "refers") {
			given.Job.Machine, given.Job.State, given.Spool, given.Suggestion = machine.Name, machine.State.ID, spool.ID, suggestion.ID
		}
		if err := given.Validate(); err != nil {
			t.Fatalf("the test made a weld that is not valid: %v", err)
		}
		added, err := n.AddWeld(t.Context(), given)
		if err != nil {
			t.Fatal(err)
		}
		given.ID, given.Mark = added.ID, added.Mark
		read, _, err := n.Weld(t.Context(), added.ID)
		if err != nil {
			t.Fatal(err)
		}
		if diff := same(given, read); diff != "" {
			t.Fatalf("(-given +read):\n%s", diff)
		}
		again, err := n.AddWeld(t.Context(), read)
		if err != nil || again.Mark != added.Mark {
			t.Fatalf("recorded again as %s: %v", again.Mark, err)
		}
	})
	if wrong := must(n.Check(t.Context()))(t); len(wrong) > 0 {
		t.Errorf("check: %v", wrong)
	}
}

// anyWeld draws a valid weld without references.
func anyWeld(t *rapid.T) procedures.Weld {
	word := func(name string) string {
		plain := func(r rune) rune { // as Validate asks
			if unicode.IsControl(r) && r != '\n' && r != '\t' {
				return -1
			}
			return r
		}
		return strings.Map(plain, rapid.OneOf(rapid.Just(""), rapid.String(), rapid.SampledFrom([]string{"1/8", " ", "'quoted\"", "NULL", "é\n溶接"})).Draw(t, name))
	}
	// quantity is not known, a plain one, or one at or next to a limit.
	quantity := func(name string, lo, hi float64) float64 {
		return rapid.OneOf(rapid.Just(0.), rapid.Float64Range(lo, hi), rapid.SampledFrom([]float64{lo, math.Nextafter(lo, hi), math.Nextafter(hi, lo), hi})).Draw(t, name)
	}
	optional := func(name string, lo, hi float64) *float64 {
		if rapid.Bool().Draw(t, name+" known") {
			v := rapid.OneOf(rapid.Just(lo), rapid.Just(0.), rapid.Float64Range(lo, hi)).Draw(t, name)
			return &v
		}
		return nil
	}
	w := procedures.Weld{
		At:   time.Unix(rapid.Int64Range(-2e9, 2e11).Draw(t, "at"), rapid.Int64Range(0, 999999999).Draw(t, "ns")).In(time.FixedZone("", rapid.IntRange(-12, 12).Draw(t, "zone")*3600)),
		Said: word("said"), Struck: rapid.SampledFrom([]string{"", "", "", "wrong coupon"}).Draw(t, "struck"),
		Job: procedures.Job{
			Said: word("job said"), Steel: word("steel"), SteelGroup: word("group"),
			Thickness: procedures.MM(quantity("thickness", 0.1, 300)), OtherThickness: procedures.MM(quantity("other", 0.1, 300)),
			ThicknessSaid: word("thickness said"), OtherSaid: word("other said"), Form: procedures.Form(word("form")), OtherForm: procedures.Form(word("other form")),
			Joint: draw(t, "joint", procedures.Joints()), Weld: draw(t, "weld", procedures.WeldTypes()), Position: draw(t, "position", procedures.Positions()),
			Gap: procedures.MM(quantity("gap", 1e-300, 25)), Coating: draw(t, "coating", procedures.Coatings()), Stripped: rapid.Bool().Draw(t, "stripped"),
			Length: procedures.MM(quantity("length", 1e-9, 1e6)), For: word("for"),
			Wire:    procedures.Wire{Class: word("class"), Diameter: procedures.MM(quantity("diameter", 0.3, 8)), Gas: word("gas")},
			Process: draw(t, "process", procedures.Processes()),
		},
		Settings: procedures.Settings{
			Tap: rapid.SampledFrom([]string{"", "min", "B-2", "twenty letters long.", "ä"}).Draw(t, "tap"), Knob: optional("knob", 0, 1000), KnobSaid: word("knob said"),
			WireSpeed: procedures.MPerMin(quantity("wire speed", 0.3, 40)), Polarity: draw(t, "polarity", procedures.Polarities()),
			Extension: procedures.MM(quantity("extension", 2, 100)), Travel: procedures.MMPerMin(quantity("travel", 10, 5000)),
			Voltage: procedures.Volts(quantity("volts", 5, 100)), Current: procedures.Amps(quantity("amps", 5, 1000)),
			Passes: procedures.Count(rapid.IntRange(0, 100).Draw(t, "passes")), Leg: procedures.MM(quantity("leg", 0.5, 100)),
			Preheat: optional("preheat", 0, 400), Technique: word("technique"),
		},
		Outcome: procedures.Outcome{
			Rating: procedures.Count(rapid.IntRange(0, 5).Draw(t, "rating")), Symptoms: rapid.SliceOfN(rapid.SampledFrom(procedures.SymptomKeys()), 0, 4).Draw(t, "symptoms"),
			Leg: procedures.MM(quantity("measured", 0.5, 100)), Photo: word("photo"), Note: word("note"),
		},
	}
	for range rapid.IntRange(0, 3).Draw(t, "tests") {
		w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: rapid.SampledFrom(procedures.TestKinds()).Draw(t, "kind"), Passed: rapid.Bool().Draw(t, "passed"), Result: word("result")})
	}
	for range rapid.IntRange(0, 3).Draw(t, "how") {
		if w.Settings.How == nil {
			w.Settings.How = map[string]procedures.How{}
		}
		w.Settings.How[word("key")] = procedures.How(word("how"))
	}
	return w
}

// draw takes one of the keys, or none.
func draw[T ~string](t *rapid.T, name string, keys []T) T {
	return rapid.SampledFrom(append([]T{""}, keys...)).Draw(t, name)
}

func TestFullNotebook(t *testing.T) {
	n := fresh(t)
	must(n.AddWeld(t.Context(), bead()))(t)
	must(n.LimitPages(t.Context(), 0))(t)
	w := bead()
	w.Said = strings.Repeat("words ", 4000)
	_, err := n.AddWeld(t.Context(), w)
	wantKind(t, err, n.Path(), store.Full)
	must(n.LimitPages(t.Context(), 1000000))(t)
	if w := must(n.AddWeld(t.Context(), w))(t); w.Mark != "A2" {
		t.Errorf("mark %s, want A2", w.Mark)
	}
	if marks := marksOf(t, n); len(marks) != 2 {
		t.Errorf("marks %v", marks)
	}
}
