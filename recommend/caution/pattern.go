package caution

import (
	"maps"
	"slices"
	"strings"
	"sync"
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
	tail   map[string]bool // where two words are written as one: the second; words is the first
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
			if name, ok := strings.CutPrefix(f, "@"); ok && !strings.Contains(f, "|") {
				ph = append(ph, element{words: classWords(name)})
				continue
			}
			e := element{words: map[string]bool{}}
			for w := range strings.SplitSeq(f, "|") {
				if name, ok := strings.CutPrefix(w, "@"); ok {
					maps.Copy(e.words, classWords(name))
					continue
				}
				e.words[stem(w)] = true
			}
			ph = append(ph, e)
		}
	}
	return ph
}

// classWords are the stems of a class of words, made once and shared.
func classWords(name string) map[string]bool {
	if words, ok := classes.Load(name); ok {
		return words.(map[string]bool)
	}
	words := map[string]bool{}
	for w := range strings.FieldsSeq(class(name)) {
		words[stem(w)] = true
	}
	classes.Store(name, words)
	return words
}

var classes sync.Map // by name: map[string]bool

// joined is a phrase of two words written as one, or nil.
func (ph phrase) joined() phrase {
	if len(ph) != 2 || ph[0].words == nil || ph[1].words == nil {
		return nil
	}
	return phrase{{words: ph[0].words, tail: ph[1].words}}
}

// takes reports whether the element is this word.
func (e element) takes(word string) bool {
	if e.tail == nil {
		return e.words[word]
	}
	for k := 1; k < len(word); k++ {
		if e.words[word[:k]] && e.tail[word[k:]] {
			return true
		}
	}
	return false
}

// find returns the places of the phrase's own words when it stands at token i,
// or nil. With pauses false it does not reach across a pause.
func (ph phrase) find(text []token, i int, pauses bool) []int {
	if len(ph) == 0 {
		return []int{}
	}
	if e := ph[0]; e.words != nil {
		if i >= len(text) || !e.takes(text[i].word) {
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
	head    map[string][]int // of two words written as one
}

func indexOf(phrases []phrase) index {
	x := index{phrases, map[string][]int{}, map[string][]int{}}
	for id, ph := range phrases {
		first := x.first
		if ph[0].tail != nil {
			first = x.head
		}
		for w := range ph[0].words {
			first[w] = append(first[w], id)
		}
	}
	return x
}

// beginning lists the phrases that may begin with a word, each once.
func (x index) beginning(word string) []int {
	ids := x.first[word]
	for k := 1; k < len(word); k++ {
		for _, id := range x.head[word[:k]] {
			if x.phrases[id][0].tail[word[k:]] && !slices.Contains(ids, id) {
				ids = append(ids[:len(ids):len(ids)], id)
			}
		}
	}
	return ids
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
		for _, id := range m.ordinary.beginning(t.word) {
			if span := m.ordinary.phrases[id].find(text, i, false); span != nil {
				for _, at := range span {
					covers[at] = append(covers[at], span)
				}
			}
		}
	}
	found := map[int][][]int{}
	for i, t := range text {
		for _, id := range m.danger.beginning(t.word) {
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
