package procedures

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestWords: a line never ends within a mixed number.
func TestWords(t *testing.T) {
	for text, want := range map[string][]string{
		"":                       nil,
		"knob 4 1/2, gun":        {"knob", "4 1/2,", "gun"},
		"1 1/2 in  long":         {"1 1/2", "in", "long"},
		"11 1/2lb":               {"11 1/2lb"},
		"steel, 1/8 in":          {"steel,", "1/8", "in"},
		"16 ga to 1/8":           {"16", "ga", "to", "1/8"},
		"of 5 in/min":            {"of", "5", "in/min"},
		"3 1/4 1/2":              {"3 1/4", "1/2"},
		"A4 1/2":                 {"A4", "1/2"},
		"4 1/":                   {"4", "1/"},
		"4\u00a01/2 and 2\n3/16": {"4 1/2", "and", "2 3/16"},
	} {
		if got := Words(text); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.SampledFrom([]rune("41/ a,\n"))).Draw(t, "text")
		if got, want := strings.Join(Words(text), " "), strings.Join(strings.Fields(text), " "); got != want {
			t.Fatalf("%q: %q, want %q", text, got, want)
		}
	})
}
