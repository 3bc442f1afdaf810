package procedures_test

import (
	"encoding/csv"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
)

// golden reads a table of testdata, headings first.
func golden(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestHear holds what people say against what it is called.
func TestHear(t *testing.T) {
	rows := golden(t, "phrases.csv")
	listed := map[string]bool{}
	for _, s := range procedures.Symptoms() {
		for _, w := range s.Words {
			listed[w] = true
		}
	}
	heard, ownWords := 0, 0
	for _, row := range rows[1:] {
		said, want, term := row[0], row[1], row[2]
		got := procedures.Hear(said)
		keys := append(slices.Clone(got.Symptoms), got.Signs...)
		if strings.Join(keys, ";") != want {
			t.Errorf("%q: heard %q, want %q", said, keys, want)
			continue
		}
		if want == "" {
			continue
		}
		heard++
		if !listed[strings.ToLower(said)] {
			ownWords++
		}
		name := ""
		if s, ok := procedures.FindSymptom(keys[0]); ok {
			name = s.Term
		} else if s, ok := procedures.FindSign(keys[0]); ok {
			name = s.Term
		}
		if !strings.Contains(name, term) {
			t.Errorf("%q: called %q, want %q in it", said, name, term)
		}
	}
	if heard < 60 || ownWords < 30 {
		t.Errorf("%d phrases heard, %d of them in words that no list holds; 60 and 30 are promised", heard, ownWords)
	}
}

// Every listed way to call a symptom is heard as that symptom first, and every key.
func TestHearListed(t *testing.T) {
	for _, s := range procedures.Symptoms() {
		for _, w := range append([]string{s.Key}, s.Words...) {
			if got := procedures.Hear(w).Symptoms; !slices.Contains(got, s.Key) {
				t.Errorf("%s: %q is heard as %q", s.Key, w, got)
			}
		}
	}
}

// No two symptoms are called the same.
func TestWordsApart(t *testing.T) {
	by := map[string]string{}
	for _, s := range procedures.Symptoms() {
		for _, w := range s.Words {
			if other, ok := by[w]; ok {
				t.Errorf("%q calls both %s and %s", w, other, s.Key)
			}
			by[w] = s.Key
		}
	}
}

// A note of a log entry is read more strictly: good signs are no symptoms.
func TestNotesOfGoodSigns(t *testing.T) {
	for _, note := range []string{"slag popped off by itself", "it bites in", "no spatter", "looks like a stack of dimes"} {
		said, err := procedures.ReadOutcome([]string{"4", note})
		if err != nil || len(said.Symptoms) != 0 {
			t.Errorf("%q: symptoms %q, error %v", note, said.Symptoms, err)
		}
	}
}

// Beside a job only the words of a symptom that is named count as words of one.
func TestSymptomWords(t *testing.T) {
	for text, want := range map[string]string{
		"1/8 mild tee flat popping":          "popping",
		"1/8 mild tee flat popped right off": "popped right off",
		"1/8 mild tee flat no spatter":       "no spatter",
		"1/8 mild tee right back hand me":    "",
	} {
		if got := strings.Join(procedures.SymptomWords(text), " "); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func FuzzHear(f *testing.F) {
	f.Add("it pushes me back, no spatter")
	f.Add("'' not not not")
	f.Fuzz(func(t *testing.T, text string) {
		for _, key := range procedures.Hear(text).Symptoms {
			if _, ok := procedures.FindSymptom(key); !ok {
				t.Errorf("%q: %q is no symptom", text, key)
			}
		}
	})
}

// BenchmarkHear hears a text of a thousand words that mean nothing: each may be a slip
// of any that does.
func BenchmarkHear(b *testing.B) {
	random := rand.New(rand.NewPCG(83, 89))
	var words []string
	for range 1000 {
		word := make([]byte, 5+random.IntN(6))
		for i := range word {
			word[i] = byte('a' + random.IntN(26))
		}
		words = append(words, string(word))
	}
	text := strings.Join(words, " ")
	for b.Loop() {
		procedures.Hear(text)
	}
}
