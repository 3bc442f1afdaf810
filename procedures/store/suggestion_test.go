package store_test

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func TestSuggestions(t *testing.T) {
	n := fresh(t)
	_, err := n.LastSuggestion(t.Context())
	wantNotFound(t, err)
	_, err = n.Suggestion(t.Context(), uuid.NewString())
	wantNotFound(t, err)

	knob := 4.25
	first := must(n.SaveSuggestion(t.Context(), store.Suggestion{
		Job:      procedures.Job{Thickness: procedures.Inches(1. / 64), Machine: "the example", State: "none", Joint: procedures.Lap},
		Settings: procedures.Settings{Knob: &knob, How: map[string]procedures.How{"knob": procedures.Guessed}},
		Verdict:  "inside", Document: json.RawMessage(` {"because": [1e400, "é"], "none":null}`),
	}))(t)
	second := must(n.SaveSuggestion(t.Context(), store.Suggestion{Verdict: "refused", At: first.At.Add(-time.Hour)}))(t)
	if diff := same(first, must(n.Suggestion(t.Context(), strings.ToUpper(first.ID)))(t)); diff != "" {
		t.Errorf("(-saved +read):\n%s", diff)
	}
	if diff := same(second, must(n.LastSuggestion(t.Context()))(t)); diff != "" {
		t.Errorf("the last is the one saved last, whatever its time (-want +got):\n%s", diff)
	}
	for _, c := range []struct {
		field string
		s     store.Suggestion
	}{
		{"verdict", store.Suggestion{}},
		{"verdict", store.Suggestion{Verdict: "maybe"}},
		{"document", store.Suggestion{Verdict: "edge", Document: json.RawMessage("{")}},
		{"thickness", store.Suggestion{Verdict: "edge", Job: procedures.Job{Thickness: -1}}},
		{"volts", store.Suggestion{Verdict: "edge", Settings: procedures.Settings{Voltage: 1}}},
		{"id", store.Suggestion{Verdict: "edge", ID: first.ID}},
		{"id", store.Suggestion{Verdict: "edge", ID: "x"}},
	} {
		_, err := n.SaveSuggestion(t.Context(), c.s)
		wantInvalid(t, err, c.field)
	}
}

// TestTrackRecord: the first rated weld of each suggestion counts, and no other.
func TestTrackRecord(t *testing.T) {
	n := open(t, filepath.Join(t.TempDir(), "n.db"), store.Options{})
	job := procedures.Job{Thickness: 3.175, Joint: procedures.Tee}
	weld := func(suggestion string, rating int, tests ...procedures.Test) procedures.Weld {
		return must(n.AddWeld(t.Context(), procedures.Weld{Job: job, Suggestion: suggestion, Outcome: procedures.Outcome{Rating: procedures.Count(rating), Tests: tests}}))(t)
	}
	var ids []string
	for range 8 {
		ids = append(ids, must(n.SaveSuggestion(t.Context(), store.Suggestion{Job: job, Verdict: "inside", Document: []byte("{}")}))(t).ID)
	}
	weld(ids[0], 5)
	weld(ids[0], 1) // a later bead does not count
	weld(ids[1], 2)
	weld(ids[1], 5)
	weld(ids[2], 5, procedures.Test{Kind: "break", Result: "root line"})
	struck := weld(ids[3], 5)
	must(n.StrikeWeld(t.Context(), struck.Mark, "wrong wire"))(t)
	weld("", 5)
	cracked := weld(ids[4], 5)
	if _, _, err := n.AmendWeld(t.Context(), cracked.Mark, func(w *procedures.Weld) error { w.Outcome.Symptoms = []string{"crack"}; return nil }); err != nil {
		t.Fatal(err)
	}
	seen := func(w procedures.Weld) {
		t.Helper()
		if _, _, err := n.AmendWeld(t.Context(), w.Mark, func(w *procedures.Weld) error { w.Outcome.Symptoms = []string{"lack-of-fusion"}; return nil }); err != nil {
			t.Fatal(err)
		}
	}
	seen(weld(ids[6], 5))
	seen(weld(ids[7], 5, procedures.Test{Kind: "bend", Passed: true, Result: "no crack"}))
	must(n.AddFollowUp(t.Context(), procedures.FollowUp{Weld: weld(ids[5], 5).ID, Held: false, Note: "came off"}))(t)
	followed, good, err := n.TrackRecord(t.Context())
	if err != nil || followed != 7 || good != 2 {
		t.Errorf("followed %d, good %d, %v; want 7 and 2", followed, good, err)
	}
}
