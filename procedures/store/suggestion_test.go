package store_test

import (
	"encoding/json"
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
