package main

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// brokeElsewhere are words by which what broke or fell was no weld, or not at the weld.
var brokeElsewhere = []string{"tack", "tacks", "parent", "plate", "beside", "held", "holds", "whole", "arc", "tip", "wire", "clamp", "bolt", "slag", "spatter", "bench", "table", "floor", "cart", "not", "didn't", "didnt", "never"}

// brokeInWords writes a failed test with a weld whose words tell that it broke, came
// apart or fell off, where no test says how it went: its looks would count else. It
// returns the kind of the test, "" where nothing of the kind is told.
func brokeInWords(w *procedures.Weld) string {
	told := strings.ToLower(w.Said + ", " + w.Outcome.Note)
	if len(w.Outcome.Tests) > 0 || !slices.Contains(procedures.Hear(told).Troubles, "fell-off") {
		return ""
	}
	words := strings.FieldsFunc(told, func(r rune) bool { return strings.ContainsRune(" \t,.;:!?()", r) })
	if slices.ContainsFunc(words, func(word string) bool { return slices.Contains(brokeElsewhere, word) }) {
		return ""
	}
	kind := "break"
	if slices.Contains(words, "bend") || slices.Contains(words, "bent") || slices.Contains(words, "bending") {
		kind = "bend"
	}
	w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: kind, Result: "broke"})
	return kind
}
