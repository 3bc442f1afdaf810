package procedures

import (
	"cmp"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"
)

// Heard is what a welder's words say of a bead and of the machine.
type Heard struct {
	Symptoms []string // keys, in the order said
	Signs    []string // keys of good signs, in the order said
}

// Hear finds symptoms and good signs in anybody's words, more loosely than the
// words of a log entry are read: small words are left out, endings do not count
// ("keeps burning a hole" is "burned a hole"), and where nothing is found so, one
// slip of the keyboard is forgiven. The phrase of most words goes first and uses
// up its words; what is denied ("no spatter") is not heard.
func Hear(text string) Heard {
	words := stems(text)
	found := hear(words, 0)
	if len(found) == 0 && !slices.ContainsFunc(words, func(w stem) bool { return w.text == denial }) {
		found = hear(words, 1)
	}
	slices.SortFunc(found, func(a, b hit) int { return a.at - b.at })
	var h Heard
	for _, f := range found {
		list := &h.Symptoms
		if f.sign {
			list = &h.Signs
		}
		if !slices.Contains(*list, f.key) {
			*list = append(*list, f.key)
		}
	}
	return h
}

// stem is a word without its ending, and where it stood.
type stem struct {
	text string
	at   int
	used bool
}

// denial stands for every word that turns the words after it round.
const denial = "not"

// reach is how many words a denial reaches.
const reach = 3

var (
	denials   = setOf("no not without never zero nor isn't wasn't aren't don't doesn't didn't won't wont can't cannot couldn't wouldn't hardly")
	turns     = setOf("but just only though")
	fillers   = setOf("a an the it its it's i i'm my me you your is are was were be been being am to of and or with while when whenever that this there there's these those some really very so keeps keep kept keeping gets get got getting goes going go just also like looks look looking looked sounds as at for from by onto into then than do does did have has had what why how if about again always still now every each any lot lots kind sort thing stuff right will would should could make makes making made seems seem feels feel")
	irregular = map[string]string{
		"burnt": "burn", "blew": "blow", "blown": "blow", "blowed": "blow", "thru": "through", "stuck": "stick", "froze": "freeze", "frozen": "freeze", "broke": "break", "broken": "break",
		"tore": "tear", "torn": "tear", "fell": "fall", "fallen": "fall", "ate": "eat", "eaten": "eat", "came": "come", "quit": "quit", "dug": "dig", "bent": "bend", "sank": "sink", "sunk": "sink", "spat": "spit",
		"bumps": "lump", "bumpy": "lump", "bump": "lump", "birds": "bird", "bird's": "bird", "birdy": "bird", "poo": "poop", "pooped": "poop", "ground": "clamp", "earth": "clamp", "nozzle": "tip", "rollers": "roll", "roller": "roll", "rolls": "roll",
		"holed": "hole", "lying": "lay", "laying": "lay", "lays": "lay", "lies": "lay", "lie": "lay", "sat": "sit", "shoved": "shove", "droppings": "dropping", "dropping": "dropping", "wire's": "wire", "tips": "tip", "dimes": "dime", "worms": "worms",
	}
)

func setOf(words string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(words) {
		m[w] = true
	}
	return m
}

// stems parts a text into what carries meaning. Where nothing but small words was
// said they are kept, so that "in and out" can be found.
func stems(text string) []stem {
	var out []stem
	for i, t := range tokenize(text) {
		t = strings.Trim(t, ".\"'/*-")
		switch {
		case denials[t]:
			out = append(out, stem{text: denial, at: i})
		case turns[t]:
			out = append(out, stem{text: "but", at: i})
		case t != "" && !fillers[t]:
			out = append(out, stem{text: stemOf(t), at: i})
		}
	}
	return out
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

// phrase is a way to call a symptom or a sign.
type phrase struct {
	key     string
	sign    bool
	stems   []string
	letters int
}

// phrases are all ways to call anything, those of the most words first.
var phrases = sync.OnceValue(func() []phrase {
	var all []phrase
	add := func(key string, sign bool, words []string) {
		for _, w := range append([]string{key}, words...) {
			p := phrase{key: key, sign: sign}
			for _, s := range stems(w) {
				p.stems = append(p.stems, s.text)
				p.letters += utf8.RuneCountInString(s.text)
			}
			if len(p.stems) > 1 || len(p.stems) == 1 && p.stems[0] != denial {
				all = append(all, p)
			}
		}
	}
	for _, s := range signs() {
		add(s.Key, true, s.Words)
	}
	for _, s := range symptoms() {
		add(s.Key, false, s.Words)
	}
	slices.SortStableFunc(all, func(a, b phrase) int {
		return cmp.Or(len(b.stems)-len(a.stems), b.letters-a.letters)
	})
	return all
})

// hit is a phrase that was found, and where.
type hit struct {
	key  string
	sign bool
	at   int
}

// hear takes the phrases that the words hold, the longest first, each word once.
func hear(words []stem, slips int) []hit {
	words = slices.Clone(words)
	var found []hit
	for _, p := range phrases() {
		at, ok := p.in(words, slips)
		if !ok {
			continue
		}
		for _, i := range at {
			words[i].used = true
		}
		found = append(found, hit{p.key, p.sign, words[slices.Min(at)].at})
	}
	return found
}

// in finds the words of a phrase near one another, in any order. A phrase that
// denies nothing is not found where it is denied.
func (p phrase) in(words []stem, slips int) (at []int, ok bool) {
	denies := slices.Contains(p.stems, denial)
	for _, s := range p.stems {
		i := slices.IndexFunc(words, func(w stem) bool { return !w.used && alike(w.text, s, slips) })
		if i < 0 || slices.Contains(at, i) {
			return nil, false
		}
		at = append(at, i)
	}
	if words[slices.Max(at)].at-words[slices.Min(at)].at > 2*len(p.stems)+4 {
		return nil, false
	}
	if denies {
		return at, true
	}
	for i, w := range words {
		if w.text != denial || w.used {
			continue
		}
		for j := i + 1; j <= i+reach && j < len(words) && words[j].text != "but"; j++ {
			if slices.Contains(at, j) {
				return nil, false
			}
		}
	}
	return at, true
}

// alike reports whether two stems are one; from five letters on a slip may be
// forgiven, from eight on two.
func alike(said, known string, slips int) bool {
	if said == known {
		return true
	}
	n := min(utf8.RuneCountInString(said), utf8.RuneCountInString(known))
	return slips > 0 && n >= 5 && Distance(said, known) <= 1+n/8
}
