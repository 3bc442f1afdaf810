package procedures

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// TestOneApart: what is found without counting every slip is what counting finds.
func TestOneApart(t *testing.T) {
	random := rand.New(rand.NewPCG(83, 89))
	word := func() string {
		r := make([]rune, random.IntN(6))
		for i := range r {
			r[i] = []rune("abcé")[random.IntN(4)]
		}
		return string(r)
	}
	apart := 0
	for range 200_000 {
		a, b := word(), word()
		want := Distance(a, b) == 1
		if want {
			apart++
		}
		if got := oneApart(a, b); got != want {
			t.Fatalf("%q and %q: %v, and they are %d apart", a, b, got, Distance(a, b))
		}
	}
	if apart < 1000 {
		t.Errorf("only %d pairs were one slip apart", apart)
	}
}

// TestReadSparesNothing: what is read of a text is what comparing each of its words
// finds, though most words are told by their letters to be like none asked.
func TestReadSparesNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(97, 101))
	word := func(letters string, most int) string {
		r := make([]rune, 1+random.IntN(most))
		for i := range r {
			all := []rune(letters)
			r[i] = all[random.IntN(len(all))]
		}
		return string(r)
	}
	like, spared := 0, 0
	for range 3000 {
		q := NewQuery(word("abcdeAgi-.035é ", 24))
		if len(q.asked) == 0 {
			continue
		}
		for range 30 {
			text := word("abcdeABi-.,035é\t\u212a ", 30)
			if random.IntN(3) == 0 { // what was asked, with a slip or two
				r := []rune(q.asked[random.IntN(len(q.asked))].word)
				for range random.IntN(3) {
					switch i := random.IntN(len(r)); random.IntN(3) {
					case 0:
						r[i] = 'x'
					case 1:
						r = slices.Insert(r, i, 'y')
					case 2:
						r[i], r[0] = r[0], r[i]
					}
				}
				text = strings.ToUpper(string(r)) + " " + text
			}
			got, want := q.Unlike(), q.Unlike()
			q.Read(got, text)
			for w := range strings.SplitSeq(text, " ") {
				want.Join(q.compare(w))
				if _, known := q.known[w]; !known {
					spared++
				}
			}
			if !slices.Equal(got, want) {
				t.Fatalf("%+v in %q: %v, want %v", q.asked, text, got, want)
			}
			if !got.None() {
				like++
			}
		}
	}
	if like < 10_000 || spared < 10_000 {
		t.Errorf("%d texts were like what was asked, %d words spared", like, spared)
	}
}
