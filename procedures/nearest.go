package procedures

import (
	"sort"
	"strings"
)

// Nearest returns the known words closest to one that was not understood, best
// first, at most three.
func Nearest(word string, lex Lexicon) []string {
	word = strings.ToLower(word)
	type near struct {
		word string
		d    int
	}
	var found []near
	try := func(w string) {
		if strings.Contains(w, " ") || len(w) < 3 || w == word {
			return
		}
		if d := Distance(word, w); d <= 1+len(w)/6 && d < len(word) {
			found = append(found, near{w, d})
		}
	}
	for w, m := range words() {
		if m.field != "filler" && m.field != "to" && m.field != "for" {
			try(w)
		}
	}
	for _, s := range lex.Steels {
		for _, w := range s.Words {
			try(strings.ToLower(w))
		}
	}
	sort.Slice(found, func(a, b int) bool {
		return found[a].d < found[b].d || found[a].d == found[b].d && found[a].word < found[b].word
	})
	var out []string
	for _, f := range found {
		if !known(f.word, out) && len(out) < 3 {
			out = append(out, f.word)
		}
	}
	return out
}
