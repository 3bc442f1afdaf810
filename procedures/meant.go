package procedures

import (
	"cmp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// heardWords are the words of everything that can be heard and names something, as
// they are written.
var heardWords = sync.OnceValue(func() []string {
	var phrases []string
	for _, s := range symptoms() {
		phrases = append(phrases, s.Words...)
	}
	for _, t := range Troubles() {
		phrases = append(phrases, t.Words...)
	}
	m := map[string]bool{}
	for _, p := range phrases {
		for _, w := range plainWords(p) {
			if utf8.RuneCountInString(w) >= 3 {
				m[w] = true
			}
		}
	}
	list := make([]string, 0, len(m))
	for w := range m {
		list = append(list, w)
	}
	slices.Sort(list)
	return list
})

// Limits on guessing, so that no text takes long: words read, guesses a word,
// readings tried.
const meantWords, meantEach, meantTries = 10, 5, 600

// Meant puts right a text of which nothing was heard: words that are in nothing that
// can be heard become the nearest that are, one slip to a word of up to seven letters
// and two to a longer one. It returns the words put right, and "" where they name
// nothing then either. It is a guess, to be asked and never to be acted on.
func Meant(text string) string {
	said := plainWords(text)
	if len(said) == 0 || len(said) > meantWords {
		return ""
	}
	choices := make([][]string, len(said))
	for i, w := range said {
		if choices[i] = nearWords(w); len(choices[i]) == 0 {
			choices[i] = []string{w}
		}
	}
	tried := make([]int, len(said)) // which choice of each word
	for range meantTries {
		words := make([]string, len(said))
		for i, k := range tried {
			words[i] = choices[i][k]
		}
		guess := strings.Join(words, " ")
		if h := Hear(guess); len(h.Symptoms)+len(h.Troubles) > 0 && guess != strings.Join(said, " ") {
			return guess
		}
		i := len(said) - 1
		for ; i >= 0; i-- {
			if tried[i]++; tried[i] < len(choices[i]) {
				break
			}
			tried[i] = 0
		}
		if i < 0 {
			break
		}
	}
	return ""
}

// nearWords are the words that a word may be a slip of, the likeliest first; none
// where it is one itself or a small word.
func nearWords(said string) []string {
	n := utf8.RuneCountInString(said)
	if _, known := slices.BinarySearch(heardWords(), said); known || n < 3 || fillers()[said] || denials()[said] || turns()[said] {
		return nil
	}
	var near []string
	for _, w := range heardWords() {
		if m := utf8.RuneCountInString(w); max(n, m)-min(n, m) <= 2 && Distance(said, w) <= 1+min(n, m)/8 {
			near = append(near, w)
		}
	}
	rank := func(w string) int {
		r := 2 * Distance(said, w)
		if !sameLetters(said, w) && w[0] != said[0] {
			r++
		}
		return r
	}
	slices.SortStableFunc(near, func(a, b string) int { return cmp.Compare(rank(a), rank(b)) })
	return near[:min(len(near), meantEach)]
}
