package procedures

import (
	"slices"
	"strings"
	"sync"
)

// Said is an outcome read from the words of a log entry.
type Said struct {
	Rating   Count
	Symptoms []string // keys, in the order said
	Rest     []string // arguments that are not the rating, as typed
}

// ratingWords are ratings said in words. The marks 1 to 5 are those of [Outcome].
var ratingWords = map[string]Count{"scrap": 1, "ugly": 2, "doubt": 2, "would do": 3, "ok": 3, "good": 4, "great": 5, "perfect": 5, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "1/5": 1, "2/5": 2, "3/5": 3, "4/5": 4, "5/5": 5}

// turned are words that may turn a rating said in words round: "not good".
var turned = []string{"not", "no", "but", "broke", "if", "would", "wasn't", "isn't", "didn't", "wasnt", "isnt", "didnt", "except", "until", "never", "hardly", "too"}

// symptomPhrases are the ways to call a symptom. The signs of more than one word
// are in it under no key, and what names nothing: "slag popped off" is not "popped
// off", and hot rolled steel is not hot.
var symptomPhrases = sync.OnceValue(func() map[string]string {
	m := map[string]string{}
	for _, s := range signs() {
		for _, w := range s.Words {
			if strings.Contains(w, " ") {
				m[phraseKey(w)] = ""
			}
		}
	}
	for _, t := range troubles() {
		if t.Key == "" && !t.Grave {
			for _, w := range t.Words {
				m[phraseKey(strings.Trim(w, `"`))] = ""
			}
		}
	}
	for _, s := range Symptoms() {
		m[phraseKey(s.Key)] = s.Key
		for _, w := range s.Words {
			m[phraseKey(w)] = s.Key
		}
	}
	return m
})

// ReadOutcome reads a rating and symptoms from the arguments of a log entry:
// 4 "bit of spatter". A bare 1 to 5 is the rating, the first one said. A symptom
// that is denied ("no spatter") is not one. Errors: [InvalidError] for two ratings.
func ReadOutcome(args []string) (Said, error) {
	var s Said
	args = outOfFive(args)
	all := tokenize(strings.Join(args, " "))
	straight := !slices.ContainsFunc(turned, func(w string) bool { return slices.Contains(all, w) })
	for i, arg := range args {
		key := strings.Join(tokenize(arg), " ")
		r, ok := ratingWords[key]
		if ok && !strings.Contains(key, "/") && (i > 0 || !straight) {
			ok = false // "not good", "would be good": words of a note
		}
		if lead := ratingLead().FindStringSubmatch(arg); !ok && s.Rating == 0 && lead != nil {
			s.Rating = Count(lead[1][0] - '0') // 4+, "4 but it popped": the words stay in the note
			s.Rest = append(s.Rest, arg)
			continue
		}
		if v, _, rest, number := splitNumber(strings.TrimPrefix(key, "-")); !ok && number && rest == "" && len(args) == 1 && (v > 9 || v != float64(int(v)) || strings.HasPrefix(key, "-")) {
			return s, Invalid("rating", arg, "a rating is a whole number from 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
		}
		if !ok && len(key) == 1 && key[0] >= '0' && key[0] <= '9' {
			r, ok = Count(key[0]-'0'), true
		}
		if !ok {
			s.Rest = append(s.Rest, arg)
			continue
		}
		if s.Rating != 0 && s.Rating != r {
			return s, Invalid("rating", arg, "two ratings were said", "one number from 1 (scrap) to 5; put other numbers into a note in quotes")
		}
		if r < 1 || r > 5 {
			return s, Invalid("rating", arg, "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
		}
		s.Rating = r
	}
	for _, text := range sayings(s.Rest) {
		found, _ := symptomsIn(text)
		for _, key := range found {
			if !slices.Contains(s.Symptoms, key) {
				s.Symptoms = append(s.Symptoms, key)
			}
		}
	}
	return s, nil
}

// ratingLead is a rating with more behind it, such as 4+ or "4 but it popped"; "2
// passes" is none.
var ratingLead = Pattern(`(?i)^([1-5])(?:[+-]$|\s*[,;:]\s|\s+(?:but|though|because)\s)`)

// outOfFive writes 4 of 5 and 4 out of 5 as 4.
func outOfFive(args []string) []string {
	for i, arg := range args {
		if len(arg) != 1 || arg < "1" || arg > "5" {
			continue
		}
		for _, tail := range []string{"of 5", "of five", "out of 5", "out of five"} {
			n := len(strings.Fields(tail))
			if rest := args[i+1:]; len(rest) >= n && strings.EqualFold(strings.Join(rest[:n], " "), tail) {
				return append(slices.Clone(args[:i+1]), rest[n:]...)
			}
		}
	}
	return args
}

// sayings parts what was said in quotes from the bare words about it, which are read
// together: flat "bead popped off" names no flat bead.
func sayings(args []string) []string {
	var all, bare []string
	flush := func() {
		if len(bare) > 0 {
			all = append(all, strings.Join(bare, " "))
		}
		bare = nil
	}
	for _, arg := range args {
		if !strings.ContainsAny(arg, " \t") {
			bare = append(bare, arg)
			continue
		}
		flush()
		all = append(all, arg)
	}
	flush()
	return all
}

// symptomsIn finds the symptoms named in a text, and the words that name or deny one.
func symptomsIn(text string) (found, words []string) {
	tokens, said := tokenize(text), speechOf(text)
	other := straysOf(text, said, said.hear(true, 0))
	denied := 0 // how many more words a denial reaches
	for i := 0; i < len(tokens); {
		n, key := longestSymptom(tokens[i:])
		switch {
		case n == 0:
			denied = max(0, denied-1)
			if denials()[tokens[i]] {
				denied = 3
				words = append(words, tokens[i])
			}
			i++
			continue
		case denied == 0 && key != "" && !slices.Contains(found, key) && other.of(run(i, n)) == ofBead:
			found = append(found, key)
		}
		words = append(words, tokens[i:i+n]...)
		i += n
	}
	return found, words
}

// run lists n places in a row.
func run(from, n int) []int {
	at := make([]int, n)
	for i := range at {
		at[i] = from + i
	}
	return at
}

func longestSymptom(tokens []string) (int, string) {
	for n := min(7, len(tokens)); n > 0; n-- {
		if key, ok := symptomPhrases()[strings.Join(tokens[:n], " ")]; ok {
			return n, key
		}
	}
	return 0, ""
}

// ParseSymptom reads one symptom in anybody's words: "bird poop", "popping".
func ParseSymptom(s string) (string, error) {
	if key := symptomPhrases()[phraseKey(s)]; key != "" {
		return key, nil
	}
	if found, _ := symptomsIn(s); len(found) == 1 {
		return found[0], nil
	}
	heard := Hear(s)
	if len(heard.Symptoms) == 1 {
		return heard.Symptoms[0], nil
	}
	if heard.Grave() {
		return "", Invalid("symptom", s, "that is a danger, not the look of a bead: stop first, and have it found", Way("it is kept with the bead in your own words, as a note: --note", "it is kept with the bead in your own words, as a note"))
	}
	return "", Invalid("symptom", s, "not a symptom this notebook knows", "accepted: "+strings.Join(SymptomKeys(), ", "), Way("or keep it in your own words: --note", "or keep it in your own words, as a note"))
}

// SymptomWords returns the words of a text that name or deny a symptom there, as
// [ReadOutcome] finds it: "right" is one in "popped right off" and nowhere else.
func SymptomWords(text string) []string {
	_, words := symptomsIn(text)
	return words
}
