package procedures

import (
	"math/bits"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/sahilm/fuzzy"
)

// Match is a text that was found.
type Match struct {
	Index int // in the texts given
	Score int // the greater the better; only for comparing
}

// Rank finds the texts in which every word has its like, the best first; texts
// alike keep their order. No words find all, in the order given.
//
// A word finds the same word, one that begins with it, or one that it is inside
// of. Words of four letters and more forgive one slip (a letter wrong, missing,
// too many, or two changed about), of eight and more two; the letters of a
// shortened word (vrtcl) find it too. Shorter words and all with a digit in
// them do not: 1/8 never means 1/4.
func Rank(words string, texts []string) []Match {
	q := NewQuery(words)
	matches := make([]Match, 0, len(texts))
	for i, text := range texts {
		l := q.Unlike()
		q.Read(l, text)
		if score, ok := q.Score(l); ok {
			matches = append(matches, Match{i, score})
		}
	}
	slices.SortStableFunc(matches, func(a, b Match) int { return b.Score - a.Score })
	return matches
}

// Query is words that are looked for in one text after another, as [Rank] does.
// Texts repeat their words, so how like each is to what is looked for is worked out
// once. A Query is for one goroutine.
type Query struct {
	words []wanted
	asked []asked             // the words, their parts and these joined: what words of a text are compared with
	known map[string]Likeness // by word of a text as it is written
}

// asked is a word that others are compared with.
type asked struct {
	word    string
	letters letters
	missing int // so many of its letters at the most a word like it does without
}

// letters are those that a word has, in any case, one bit each; all of them of a
// word that is more than ASCII. A word can be told so to be like no word asked,
// which nearly all are, without being compared.
type letters uint64

// letterBits has the letter of each byte. Two of one bit are taken for each other,
// which tells less but nothing wrong.
var letterBits = func() (bits [256]letters) {
	for b := range bits {
		switch c := byte(b); {
		case c >= utf8.RuneSelf:
			bits[b] = ^letters(0)
		case 'a' <= c && c <= 'z':
			bits[b] = 1 << (c - 'a')
		case 'A' <= c && c <= 'Z':
			bits[b] = 1 << (c - 'A')
		case '0' <= c && c <= '9':
			bits[b] = 1 << (26 + c - '0')
		default:
			bits[b] = 1 << (36 + c%28)
		}
	}
	bits['.'] = bits['0'] // .035 is read as 0.035
	return bits
}()

// wanted is one word: places of it, its parts and these joined in asked.
type wanted struct {
	word   int
	parts  []int // of a word with hyphens
	joined int
	code   bool // some part has a digit: it is more than its parts
}

// Likeness is how like the nearest words of a text are to each thing asked. That of
// two texts together is the greater of each.
type Likeness []uint8

// Join takes in another text's likeness.
func (l Likeness) Join(other Likeness) {
	for i, v := range other {
		l[i] = max(l[i], v)
	}
}

// NewQuery reads the words to look for.
func NewQuery(words string) *Query {
	q := &Query{known: map[string]Likeness{}}
	ask := func(s string) int {
		a := asked{word: s}
		for i := range len(s) {
			if s[i] < utf8.RuneSelf {
				a.letters |= letterBits[s[i]]
			}
		}
		switch n, loose := looseWord(s); {
		case loose && n >= 8:
			a.missing = 2
		case loose:
			a.missing = 1
		}
		q.asked = append(q.asked, a)
		return len(q.asked) - 1
	}
	for _, t := range terms(words) {
		w := wanted{word: ask(t)}
		if strings.Contains(t, "-") {
			parts := strings.Split(t, "-")
			w.joined = ask(strings.Join(parts, ""))
			for _, part := range parts {
				if part != "" {
					w.parts = append(w.parts, ask(part))
					w.code = w.code || hasDigit(part)
				}
			}
		}
		q.words = append(q.words, w)
	}
	return q
}

// None reports that no word is like any asked.
func (l Likeness) None() bool { return len(l) == 0 || slices.Max(l) == 0 }

// Unlike is the likeness of no text at all.
func (q *Query) Unlike() Likeness { return make(Likeness, len(q.asked)) }

// keptWords is how many words of texts are remembered. A design choice: prose has
// few, marks and dates have no end.
const keptWords = 1 << 14

// Read joins the likeness of a text to l.
func (q *Query) Read(l Likeness, text string) {
	from, has := 0, letters(0)
	for i := range len(text) {
		if text[i] != ' ' {
			has |= letterBits[text[i]]
			continue
		}
		if from < i && q.mayBeLike(has) {
			q.readWord(l, text[from:i])
		}
		from, has = i+1, 0
	}
	if from < len(text) && q.mayBeLike(has) {
		q.readWord(l, text[from:])
	}
}

// mayBeLike reports whether a word of these letters could be like one that is asked.
// Whatever is the same, begins with it, holds it inside or is a longer form of it has
// all its letters; each slip does without one at the most.
func (q *Query) mayBeLike(has letters) bool {
	for i := range q.asked {
		if a := &q.asked[i]; bits.OnesCount64(uint64(a.letters&^has)) <= a.missing {
			return true
		}
	}
	return false
}

func (q *Query) readWord(l Likeness, word string) {
	known, ok := q.known[word]
	if !ok {
		known = q.compare(word)
		if len(q.known) < keptWords {
			q.known[strings.Clone(word)] = known
		}
	}
	l.Join(known)
}

func (q *Query) compare(word string) Likeness {
	l, all := q.Unlike(), variants(terms(word))
	for i, asked := range q.asked {
		l[i] = uint8(rankWord(asked.word, all)) // at most sameWord
	}
	return l
}

// Score adds up how like a text is; it is no match where one word has no like in it.
func (q *Query) Score(l Likeness) (score int, ok bool) {
	for _, w := range q.words {
		s := int(l[w.word])
		if s == 0 {
			s = w.score(l)
		}
		if s == 0 {
			return 0, false
		}
		score += s
	}
	return score, true
}

// score finds flux-core where "fluxcore" or "flux core" is written. A code such as
// E71T-11 is more than its parts.
func (w wanted) score(l Likeness) int {
	switch {
	case len(w.parts) == 0:
		return 0
	case l[w.joined] == sameWord:
		return sameWord
	case w.code:
		return 0
	}
	least := sameWord
	for _, part := range w.parts {
		least = min(least, int(l[part]))
	}
	return least
}

func hasDigit(s string) bool { return strings.IndexFunc(s, unicode.IsDigit) >= 0 }

// How like two words are, from the same to the letters in order. Between the
// steps there is room for a bonus below ten.
const (
	sameWord  = 100
	startsOff = 80
	isInside  = 60
	oneSlip   = 40
	twoSlips  = 30
	inOrder   = 10
)

// rankWord returns how like the word is to the most like of all; 0: to none.
func rankWord(q string, all []string) int {
	if slices.Contains(all, q) {
		return sameWord
	}
	best := 0
	letters, loose := looseWord(q)
	for _, t := range all {
		s := 0
		switch {
		case strings.HasPrefix(t, q):
			s = startsOff + bonus(q, t)
		case !loose:
		case strings.Contains(t, q):
			s = isInside + bonus(q, t)
		default:
			s = max(slips(q, t, letters), shortened(q, t, letters))
		}
		best = max(best, s)
	}
	return best
}

// looseWord counts the letters of a word, and reports whether slips are forgiven in it.
func looseWord(q string) (letters int, loose bool) {
	letters = utf8.RuneCountInString(q)
	return letters, letters >= 4 && letters <= 40 && !hasDigit(q)
}

// slips finds a word that is not quite spelled so. Two letters more or less are
// not slips but another word: vertical is not "vertical up" run together.
func slips(q, t string, letters int) int {
	if d := utf8.RuneCountInString(t) - letters; d > 1 || d < -1 {
		return 0
	}
	switch {
	case oneApart(q, t):
		return oneSlip
	case letters >= 8 && Distance(q, t) == 2:
		return twoSlips
	}
	return 0
}

// oneApart reports whether [Distance] is one: leave out what two words begin and
// end with alike, and what is left is one letter against one or none, or two
// changed about.
func oneApart(a, b string) bool {
	s, t := []rune(a), []rune(b)
	for len(s) > 0 && len(t) > 0 && s[0] == t[0] {
		s, t = s[1:], t[1:]
	}
	for len(s) > 0 && len(t) > 0 && s[len(s)-1] == t[len(t)-1] {
		s, t = s[:len(s)-1], t[:len(t)-1]
	}
	switch {
	case len(s) == 2 && len(t) == 2:
		return s[0] == t[1] && s[1] == t[0]
	case len(s) > 1 || len(t) > 1:
		return false
	}
	return len(s)+len(t) > 0
}

// shortened finds a word by its letters in order. The fuzzy matcher would also
// take letters strewn over anything, so the word must begin alike and the
// letters take up no more than twice their number.
func shortened(q, t string, letters int) int {
	if letters < 5 || q[0] != t[0] || len(t) > 80 {
		return 0
	}
	m := fuzzy.FindNoSort(q, []string{t})
	if len(m) == 0 {
		return 0
	}
	at := m[0].MatchedIndexes
	if at[0] != 0 || at[len(at)-1] >= 2*len(q) {
		return 0
	}
	return inOrder + min(max(m[0].Score/10, 0), 9)
}

// bonus puts the words that match the closer first: 0 to 9.
func bonus(q, t string) int {
	m := fuzzy.FindNoSort(q, []string{t})
	if len(m) == 0 {
		return 0
	}
	return min(max(m[0].Score/len(q), 0), 5) + 4*len(q)/len(t)
}

// terms splits text into words in lower case, without the punctuation around
// them. A decimal point at the front gets its nought: .035 is 0.035.
func terms(text string) []string {
	fields := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune(`,;()[]{}<>|"“”″`, r)
	})
	list := fields[:0]
	for _, f := range fields {
		f = strings.TrimLeft(strings.TrimRight(f, ".:!?'’-/"), ":!?'‘-/")
		if bare := strings.TrimLeft(f, "."); len(bare) < len(f) {
			f = bare
			if bare != "" && bare[0] >= '0' && bare[0] <= '9' {
				f = "0." + bare
			}
		}
		if f != "" {
			list = append(list, f)
		}
	}
	return list
}

// variants adds hyphened words without their hyphens, and the parts of those
// that are no codes or numbers.
func variants(list []string) []string {
	for _, t := range list {
		if strings.Contains(t, "-") {
			list = append(list, strings.ReplaceAll(t, "-", ""))
			if !hasDigit(t) {
				list = append(list, strings.FieldsFunc(t, func(r rune) bool { return r == '-' })...)
			}
		}
	}
	return list
}

// Distance counts the slips between two words: a letter wrong, missing or too
// many, or two neighbours changed about (optimal string alignment).
func Distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	before, last, row := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(s); i++ {
		row[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(t)]
}
