package caution

import (
	"slices"
	"strings"
)

// A pattern is written as the words that it matches:
//
//	tow hook           these words, one after the other; also towhook
//	gas|fuel tank      one of several words
//	@vehicle frame     one of a class of words
//	bigger .. breaker  up to three other words between, without a pause
//	frame for ~ table  up to three words such as "a", "my", "old" between
//	frame + @vehicle   both, anywhere in what was typed
type pattern []phrase // all of them must be found

type phrase []element

// element is one place of a phrase: one of these words, or a gap.
type element struct {
	words  map[string]bool // nil for a gap
	filler bool            // a gap that takes nothing but filler words
}

const gap = 3 // most words that a gap takes

// compile reads patterns that are parted by commas or lines. The tables are
// part of this package, and its tests read every one of them.
func compile(text string) []pattern {
	var list []pattern
	for _, line := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '\n' }) {
		var p, joined pattern
		for part := range strings.SplitSeq(line, " + ") {
			ph := phraseOf(part)
			if len(ph) == 0 {
				continue
			}
			p = append(p, ph)
			joined = append(joined, ph.joined())
		}
		if len(p) == 0 {
			continue
		}
		list = append(list, p)
		if len(joined) == 1 && joined[0] != nil {
			list = append(list, joined)
		}
	}
	return list
}

func phraseOf(text string) phrase {
	var ph phrase
	for f := range strings.FieldsSeq(text) {
		switch f {
		case "..":
			ph = append(ph, element{})
		case "~":
			ph = append(ph, element{filler: true})
		default:
			e := element{words: map[string]bool{}}
			for w := range strings.SplitSeq(f, "|") {
				if name, ok := strings.CutPrefix(w, "@"); ok {
					for c := range strings.FieldsSeq(class(name)) {
						e.words[stem(c)] = true
					}
					continue
				}
				e.words[stem(w)] = true
			}
			ph = append(ph, e)
		}
	}
	return ph
}

// joined is a phrase of two words written as one, or nil.
func (ph phrase) joined() phrase {
	if len(ph) != 2 || ph[0].words == nil || ph[1].words == nil {
		return nil
	}
	e := element{words: map[string]bool{}}
	for a := range ph[0].words {
		for b := range ph[1].words {
			e.words[a+b] = true
		}
	}
	return phrase{e}
}

// find returns the places of the phrase's own words when it stands at token i,
// or nil. With pauses false it does not reach across a pause.
func (ph phrase) find(text []token, i int, pauses bool) []int {
	if len(ph) == 0 {
		return []int{}
	}
	if e := ph[0]; e.words != nil {
		if i >= len(text) || !e.words[text[i].word] {
			return nil
		}
		rest := ph[1:]
		if len(rest) > 0 && !pauses && i+1 < len(text) && text[i+1].pause {
			return nil
		}
		if after := rest.find(text, i+1, pauses); after != nil {
			return append([]int{i}, after...)
		}
		return nil
	}
	for n := 0; n <= gap && i+n < len(text); n++ {
		if text[i+n].pause || text[i+n].word == wall {
			return nil
		}
		if after := ph[1:].find(text, i+n, pauses); after != nil {
			return after
		}
		if ph[0].filler && !filler()[text[i+n].word] {
			return nil
		}
	}
	return nil
}

// index finds the phrases that may begin with a word.
type index struct {
	phrases []phrase
	first   map[string][]int
}

func indexOf(phrases []phrase) index {
	x := index{phrases, map[string][]int{}}
	for id, ph := range phrases {
		for w := range ph[0].words {
			x.first[w] = append(x.first[w], id)
		}
	}
	return x
}

// matcher finds patterns, and leaves out words that an everyday phrase uses.
type matcher struct {
	patterns [][]int // ids of phrases
	danger   index
	ordinary index
}

func newMatcher(dangers, ordinaries string) matcher {
	var (
		m                 matcher
		phrases, harmless []phrase
	)
	for _, p := range compile(dangers) {
		var ids []int
		for _, ph := range p {
			ids = append(ids, len(phrases))
			phrases = append(phrases, ph)
		}
		m.patterns = append(m.patterns, ids)
	}
	for _, p := range compile(ordinaries) {
		harmless = append(harmless, p[0])
	}
	m.danger, m.ordinary = indexOf(phrases), indexOf(harmless)
	return m
}

// in reports whether a pattern stands in the text. An everyday phrase takes its
// words away from every reading that does not hold the whole phrase and more:
// "bed frame" is no vehicle's, "truck bed frame" is.
func (m matcher) in(text []token) bool {
	return len(m.places(text, true)) > 0
}

// places returns where the patterns stand: for each the places of its words.
// With first it stops at the first pattern found.
func (m matcher) places(text []token, first bool) [][]int {
	covers := map[int][][]int{}
	for i, t := range text {
		for _, id := range m.ordinary.first[t.word] {
			if span := m.ordinary.phrases[id].find(text, i, false); span != nil {
				for _, at := range span {
					covers[at] = append(covers[at], span)
				}
			}
		}
	}
	found := map[int][][]int{}
	for i, t := range text {
		for _, id := range m.danger.first[t.word] {
			if first && len(found[id]) > 0 {
				continue
			}
			if span := m.danger.phrases[id].find(text, i, true); span != nil && !covered(span, covers) {
				found[id] = append(found[id], span)
			}
		}
	}
	var out [][]int
	for _, ids := range m.patterns {
		if slices.ContainsFunc(ids, func(id int) bool { return len(found[id]) == 0 }) {
			continue
		}
		for _, id := range ids {
			out = append(out, found[id]...)
		}
		if first {
			break
		}
	}
	return out
}

func covered(span []int, covers map[int][][]int) bool {
	for _, at := range span {
		for _, c := range covers[at] {
			if len(c) >= len(span) || !within(c, span) {
				return true
			}
		}
	}
	return false
}

// within reports whether every place of the short list is in the long one.
func within(short, long []int) bool {
	for _, at := range short {
		if !slices.Contains(long, at) {
			return false
		}
	}
	return true
}
