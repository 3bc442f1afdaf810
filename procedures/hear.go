package procedures

import (
	"cmp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// Heard is what a welder's words say of a bead, of the machine and of himself.
type Heard struct {
	Symptoms []string // keys, in the order said
	Signs    []string // keys of good signs, in the order said
	Troubles []string // keys of [Troubles], the gravest first
}

// Hear finds troubles, symptoms and good signs in anybody's words, more loosely
// than the words of a log entry are read: small words are left out, endings do not
// count ("keeps burning a hole" is "burned a hole"), and where nothing is found so,
// one slip of the keyboard is forgiven. Grave troubles go first, then the phrase of
// most words; each uses up its words. What is denied ("no spatter") is not heard.
func Hear(text string) Heard {
	words := speechOf(text)
	denied := len(words.byText[denial]) > 0
	hear := func(grave bool) []hit {
		found := words.hear(grave, 0)
		if len(found) == 0 && !denied {
			found = words.hear(grave, 1)
		}
		return found
	}
	found := hear(true)
	other := straysOf(text, words, found)
	more := hear(false)
	if len(found) == 0 || len(more) > 0 && more[0].slips == 0 { // what is told of a danger is not guessed further
		found = append(found, more...)
	}
	slices.SortStableFunc(found, func(a, b hit) int { return a.at - b.at })
	var h Heard
	for _, f := range found {
		if f.kind != ofSymptom || other.of(words.at(f.places)) != ofOther {
			h.add(f.phrase)
		}
	}
	slices.SortStableFunc(h.Troubles, func(a, b string) int { return troubleRank(a) - troubleRank(b) })
	return h
}

func (h *Heard) add(p phrase) {
	list := &h.Symptoms
	switch p.kind {
	case ofSign:
		list = &h.Signs
	case ofTrouble:
		list = &h.Troubles
		if t, _ := FindTrouble(p.key); t.Symptom != "" && !slices.Contains(h.Symptoms, t.Symptom) {
			h.Symptoms = append(h.Symptoms, t.Symptom)
		}
	}
	if !slices.Contains(*list, p.key) {
		*list = append(*list, p.key)
	}
}

func troubleRank(key string) int {
	return slices.IndexFunc(troubles(), func(t Trouble) bool { return t.Key == key })
}

// Grave reports whether a danger was heard.
func (h Heard) Grave() bool {
	return slices.ContainsFunc(h.Troubles, func(key string) bool { t, _ := FindTrouble(key); return t.Grave })
}

// Danger is what a weld's words, its note and its symptoms tell of a danger; "" where
// they tell of none. It goes before anything that is said of the bead.
func (w Weld) Danger() string {
	told := []string{w.Said, w.Outcome.Note}
	for _, key := range w.Outcome.Symptoms {
		if s, ok := FindSymptom(key); ok {
			told = append(told, s.Words[0])
		}
	}
	var grave []string
	for _, text := range told {
		if Hear(text).Grave() && !slices.ContainsFunc(grave, func(had string) bool { return strings.Contains(had, text) }) {
			grave = append(grave, text)
		}
	}
	return strings.Join(grave, ", ")
}

// stem is a word without its ending, and where it stood. A small word has no text.
type stem struct {
	text string
	said string
	at   int
	used bool
}

// denial stands for every word that turns the words after it round.
const denial = "not"

// reach is how many words a denial reaches.
const reach = 3

var (
	denials   = setOf("no not without never zero nor isn't wasn't aren't don't doesn't didn't won't can't cannot couldn't wouldn't isnt wasnt arent dont doesnt didnt wont cant couldnt wouldnt hardly")
	turns     = setOf("but just only though")
	fillers   = setOf("a an the it its it's i i'm my me you your is are was were be been being am to of and or with while when whenever that this there there's these those some really very so keeps keep kept keeping gets get got getting goes going go just also like looks look looking looked sounds as at for from by onto into then than do does did have has had what why how if about again always still now every each any lot lots kind sort thing stuff right will would should could make makes making made seems seem feels feel")
	irregular = map[string]string{
		"burnt": "burn", "blew": "blow", "blown": "blow", "blowed": "blow", "thru": "through", "stuck": "stick", "froze": "freeze", "frozen": "freeze", "broke": "break", "broken": "break",
		"tore": "tear", "torn": "tear", "fell": "fall", "fallen": "fall", "ate": "eat", "eaten": "eat", "came": "come", "quit": "quit", "dug": "dig", "bent": "bend", "sank": "sink", "sunk": "sink", "spat": "spit",
		"bumps": "lump", "bumpy": "lump", "bump": "lump", "birds": "bird", "bird's": "bird", "birdy": "bird", "poo": "poop", "pooped": "poop", "ground": "clamp", "earth": "clamp", "nozzle": "tip", "rollers": "roll", "roller": "roll", "rolls": "roll",
		"holed": "hole", "lying": "lay", "laying": "lay", "lays": "lay", "lies": "lay", "lie": "lay", "sat": "sit", "shoved": "shove", "droppings": "dropping", "dropping": "dropping", "wire's": "wire", "tips": "tip", "dimes": "dime", "worms": "worms", "eyes": "eye",
	}
)

// setOf is a set of words, made when it is first asked for.
func setOf(words string) func() map[string]bool {
	return sync.OnceValue(func() map[string]bool {
		m := map[string]bool{}
		for _, w := range strings.Fields(words) {
			m[w] = true
		}
		return m
	})
}

// stems parts a text into what carries meaning.
func stems(text string) []stem {
	var out []stem
	for i, t := range plainWords(text) {
		switch {
		case denials()[t]:
			out = append(out, stem{text: denial, said: t, at: i})
		case turns()[t]:
			out = append(out, stem{text: "but", said: t, at: i})
		case t == "":
		case fillers()[t]:
			out = append(out, stem{said: t, at: i})
		default:
			out = append(out, stem{text: stemOf(t), said: t, at: i})
		}
	}
	return out
}

// plainWords are the words of a text without the signs about them.
func plainWords(text string) []string {
	list := tokenize(text)
	for i, t := range list {
		list[i] = strings.Trim(t, ".\"'/*-")
	}
	return list
}

// stemOf takes the endings -s, -es, -ed, -ing and -y off a word of four letters
// and more, and a doubled letter before them.
func stemOf(w string) string {
	if s, ok := irregular[w]; ok {
		return s
	}
	w = strings.TrimSuffix(w, "'s")
	for _, end := range []string{"ing", "ed", "es", "s", "y", "e"} {
		s, ok := strings.CutSuffix(w, end)
		if !ok || len(s) < 3 || end == "s" && strings.HasSuffix(s, "s") {
			continue
		}
		if n := len(s); n > 3 && s[n-1] == s[n-2] && !strings.ContainsRune("sl", rune(s[n-1])) {
			s = s[:n-1]
		}
		if again, ok := irregular[s]; ok {
			return again
		}
		return strings.TrimSuffix(s, "e")
	}
	return w
}

// kind is what a phrase names.
type kind int

const (
	ofSymptom kind = iota
	ofSign
	ofTrouble
)

// phrase is a way to call a symptom, a sign or a trouble. A phrase of no key names
// nothing and takes its words away.
type phrase struct {
	key     string
	kind    kind
	grave   bool
	stems   []string
	exact   bool // heard word for word, small words and all
	letters int
}

// phrases are all ways to call anything: grave troubles first, what names nothing
// before what does, then those of the most words.
var phrases = sync.OnceValue(func() []phrase {
	var all []phrase
	add := func(p phrase, words []string) {
		for _, w := range words {
			p := p
			p.exact = strings.HasPrefix(w, `"`)
			for _, s := range stems(w) {
				switch {
				case p.exact:
					p.stems = append(p.stems, s.said)
				case s.text != "":
					p.stems = append(p.stems, s.text)
				}
			}
			p.letters = utf8.RuneCountInString(strings.Join(p.stems, ""))
			if len(p.stems) > 1 || len(p.stems) == 1 && p.stems[0] != denial {
				all = append(all, p)
			}
		}
	}
	for _, t := range troubles() {
		add(phrase{key: t.Key, kind: ofTrouble, grave: t.Grave}, t.Words)
	}
	for _, s := range signs() {
		add(phrase{key: s.Key, kind: ofSign}, append([]string{s.Key}, s.Words...))
	}
	for _, s := range symptoms() {
		add(phrase{key: s.Key}, append([]string{s.Key}, s.Words...))
	}
	slices.SortStableFunc(all, func(a, b phrase) int {
		return cmp.Or(first(b.grave, a.grave), first(b.key == "", a.key == ""), len(b.stems)-len(a.stems), b.letters-a.letters)
	})
	return all
})

// first orders what is true before what is not.
func first(b, a bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

// hit is a phrase that was found, where, and by how many slips.
type hit struct {
	phrase
	at, slips int
	places    []int // of its words in the speech
}

// speech is what was said, with an index: a long text is asked for many phrases.
type speech struct {
	words          []stem
	byText, bySaid map[string][]int // where each stands, in order
	odd            []string         // the stems that may be slips of others
	slipped        map[string][]int // where each stem asked for stands, slips forgiven
}

func speechOf(text string) *speech {
	s := &speech{words: stems(text), byText: map[string][]int{}, bySaid: map[string][]int{}, slipped: map[string][]int{}}
	for i, w := range s.words {
		s.bySaid[w.said] = append(s.bySaid[w.said], i)
		if w.text == "" {
			continue
		}
		if s.byText[w.text] == nil && utf8.RuneCountInString(w.text) >= leastSlip && !realWords()[w.text] {
			s.odd = append(s.odd, w.text)
		}
		s.byText[w.text] = append(s.byText[w.text], i)
	}
	return s
}

// at lists where some of its words stand in the text.
func (s *speech) at(words []int) []int {
	list := make([]int, len(words))
	for i, w := range words {
		list[i] = s.words[w].at
	}
	return list
}

// places lists where a stem was said, in order.
func (s *speech) places(known string, slips int) []int {
	if slips == 0 || len(s.odd) == 0 {
		return s.byText[known]
	}
	at, ok := s.slipped[known]
	if !ok {
		at = slices.Clone(s.byText[known])
		for _, said := range s.odd {
			if said != known && slip(said, known) {
				at = append(at, s.byText[said]...)
			}
		}
		slices.Sort(at)
		s.slipped[known] = at
	}
	return at
}

// hear takes the phrases that were said, in their order, each word once.
func (s *speech) hear(grave bool, slips int) []hit {
	var found []hit
	for _, p := range phrases() {
		if p.grave != grave {
			continue
		}
		at := p.in(s, slips)
		if at == nil {
			continue
		}
		for _, i := range at {
			s.words[i].used = true
		}
		if p.key != "" {
			found = append(found, hit{p, s.words[slices.Min(at)].at, slips, at})
		}
	}
	return found
}

// in finds the words of a phrase near one another, in any order, or nil. A phrase
// that denies nothing is not found where it is denied.
func (p phrase) in(said *speech, slips int) []int {
	at, words := p.places(said, slips), said.words
	if at == nil || slices.ContainsFunc(p.stems, func(s string) bool { return s == denial || denials()[s] }) {
		return at
	}
	for _, i := range said.byText[denial] {
		if words[i].used {
			continue
		}
		reaches := reach
		for j := i + 1; j < len(words) && reaches > 0 && words[j].text != "but"; j++ {
			if slices.Contains(at, j) {
				return nil
			}
			if words[j].text != "" {
				reaches--
			}
		}
	}
	return at
}

func (p phrase) places(said *speech, slips int) []int {
	if p.exact {
		return p.run(said)
	}
	words := said.words
	var at []int
	for _, s := range p.stems {
		list := said.places(s, slips)
		first := slices.IndexFunc(list, func(i int) bool { return !words[i].used })
		if first < 0 || slices.Contains(at, list[first]) {
			return nil
		}
		at = append(at, list[first])
	}
	room := 2*len(p.stems) + 4
	if p.kind == ofTrouble {
		room = len(p.stems) + 3
	}
	if words[slices.Max(at)].at-words[slices.Min(at)].at > room {
		return nil
	}
	return at
}

// run finds a phrase that is heard word for word.
func (p phrase) run(said *speech) []int {
	words := said.words
	for _, i := range said.bySaid[p.stems[0]] {
		if i+len(p.stems) > len(words) {
			break
		}
		at := make([]int, 0, len(p.stems))
		for j, s := range p.stems {
			if words[i+j].said != s || words[i+j].used {
				break
			}
			at = append(at, i+j)
		}
		if len(at) == len(p.stems) {
			return at
		}
	}
	return nil
}

const leastSlip = 5 // letters

// slip reports whether one stem was meant for another: from five letters on a slip may
// be forgiven, from eight on two: a letter too many, one too few, two in the wrong
// order, from seven on a wrong one. A word that is another word already is no slip.
func slip(said, known string) bool {
	n, m := utf8.RuneCountInString(said), utf8.RuneCountInString(known)
	most := 1 + min(n, m)/8
	if min(n, m) < leastSlip || max(n, m)-min(n, m) > most || realWords()[said] {
		return false
	}
	return (min(n, m) >= 7 || n != m || sameLetters(said, known)) && Distance(said, known) <= most
}

func sameLetters(a, b string) bool {
	r, s := []rune(a), []rune(b)
	slices.Sort(r)
	slices.Sort(s)
	return slices.Equal(r, s)
}

// realWords are the stems of words that are never taken for a slip of another: all
// that stand in a phrase, and everyday ones that lie near them.
var realWords = sync.OnceValue(func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(everyday) {
		m[stemOf(w)] = true
	}
	for _, p := range phrases() {
		for _, s := range p.stems {
			m[s] = true
			if p.exact {
				m[stemOf(s)] = true
			}
		}
	}
	return m
})
