package caution

import (
	"strings"
	"unicode"
)

// token is one word of what was typed, in its plain form: lower case, singular,
// spelled right. A wall stands between two things that were typed apart.
type token struct {
	word  string
	pause bool // punctuation stands before it
}

// wall is the word of a token that no pattern matches or reaches across.
const wall = ""

// read turns the fields that were typed into tokens. It takes time in
// proportion to their length.
func read(fields ...string) []token {
	var list []token
	seen := map[string]bool{"": true}
	fixed := map[string]string{}
	for _, f := range fields {
		if seen[f] {
			continue
		}
		seen[f] = true
		list = append(list, token{word: wall})
		for _, t := range split(f) {
			plain, ok := fixed[t.word]
			if !ok {
				plain = spell(t.word)
				fixed[t.word] = plain
			}
			t.word = plain
			list = append(list, t)
		}
	}
	return join(list)
}

// split parts text into words. Hyphens, slashes and spaces part words; other
// punctuation also makes a pause, which an everyday phrase cannot reach across.
// A point inside a number stays. Marks that do not show are left out.
func split(text string) []token {
	var (
		list  []token
		b     strings.Builder
		pause bool
	)
	flush := func() {
		if b.Len() > 0 {
			list = append(list, token{possessive(b.String()), pause})
			b.Reset()
			pause = false
		}
	}
	runes := []rune(text)
	at := func(i int) rune {
		if i < 0 || i >= len(runes) {
			return ' '
		}
		return runes[i]
	}
	for i, r := range runes {
		r = fold(r)
		switch {
		case unicode.Is(unicode.Cf, r), unicode.Is(unicode.Mn, r):
		case unicode.IsLetter(r), unicode.IsDigit(r):
			b.WriteRune(r)
		case apostrophe(r) && wordlike(at(i-1)) && wordlike(at(i+1)):
			b.WriteByte('\'')
		case r == '.' && unicode.IsDigit(at(i-1)) && unicode.IsDigit(at(i+1)):
			b.WriteByte('.')
		default:
			flush()
			pause = pause || pausing(r, wordlike(at(i-1)) && wordlike(at(i+1)))
		}
	}
	flush()
	return list
}

func wordlike(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

func apostrophe(r rune) bool { return r == '\'' || r == '’' || r == '‘' || r == 'ʼ' || r == '`' }

// pausing reports whether a mark parts phrases and not only words.
func pausing(r rune, within bool) bool {
	switch {
	case r == '\n' || r == '\r' || r == '—':
		return true
	case r == '/' || r == '_' || r == '"' || r == '“' || r == '”' || r == '&' || apostrophe(r):
		return false
	case unicode.Is(unicode.Pd, r):
		return !within
	}
	return unicode.IsPunct(r)
}

// possessive drops the 's of an owner and every other apostrophe.
func possessive(w string) string {
	return strings.ReplaceAll(strings.TrimSuffix(w, "'s"), "'", "")
}

// fold gives the plain lower-case letter: wide forms and accents are typed by
// phones that mean well.
func fold(r rune) rune {
	if r >= '！' && r <= '～' {
		r -= '！' - '!'
	}
	r = unicode.ToLower(r)
	if r < 0x80 {
		return r
	}
	for plain, accented := range accents {
		if strings.ContainsRune(accented, r) {
			return rune(plain)
		}
	}
	return r
}

var accents = map[byte]string{'a': "àáâãäå", 'c': "ç", 'e': "èéêë", 'i': "ìíîïı", 'n': "ñ", 'o': "òóôõö", 'u': "ùúûü", 'y': "ýÿ"}

// stem takes the plural off a word. Words and patterns go through the same
// stem, so it need not be good English.
func stem(w string) string {
	n := len(w)
	switch {
	case n < 4 || w[n-1] != 's':
		return w
	case strings.HasSuffix(w, "ss"), strings.HasSuffix(w, "us"), strings.HasSuffix(w, "is"):
		return w
	case n > 4 && strings.HasSuffix(w, "ies"):
		return w[:n-3] + "y"
	case strings.HasSuffix(w, "ches"), strings.HasSuffix(w, "shes"), strings.HasSuffix(w, "sses"),
		strings.HasSuffix(w, "xes"), strings.HasSuffix(w, "zes"):
		return w[:n-2]
	}
	return w[:n-1]
}

// join makes one word of pairs that are one thing, such as go kart.
func join(list []token) []token {
	out := list[:0]
	for i := 0; i < len(list); i++ {
		t := list[i]
		if i+1 < len(list) && t.word != wall {
			if one, ok := pairs()[t.word+" "+list[i+1].word]; ok {
				t.word = one
				i++
			}
		}
		out = append(out, t)
	}
	return out
}
