package procedures

import (
	"math/rand/v2"
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
