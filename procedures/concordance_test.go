package procedures

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestConcordance holds it to Rank: the same texts are found, in the same order.
func TestConcordance(t *testing.T) {
	bits := []string{"1/8", "tee", "tee,", "gate", "Gate-hinge", "hinge", "flux-core", "fluxcore", "E71T-11", "spatter", "vertical-up", "A12", "0.035", ".035", "shed\ncart", "überlappt", "", "  ", "porosity:", "caster", "1/4"}
	asked := append(slices.Clone(bits), "gat", "hinje", "vrtcl", "flux", "e71t", "spater", "uberlappt", "up", "8")
	rapid.Check(t, func(t *rapid.T) {
		texts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) string {
			return strings.Join(rapid.SliceOfN(rapid.SampledFrom(bits), 0, 6).Draw(t, "words"), " ")
		}), 0, 12).Draw(t, "texts")
		words := strings.Join(rapid.SliceOfN(rapid.SampledFrom(asked), 0, 3).Draw(t, "asked"), " ")
		var c Concordance
		for _, text := range texts {
			c.Add(text)
		}
		var got []Match
		for i, score := range c.Scores(words) {
			if score >= 0 {
				got = append(got, Match{i, score})
			}
		}
		slices.SortStableFunc(got, func(a, b Match) int { return b.Score - a.Score })
		if want := Rank(words, texts); !slices.Equal(got, want) && len(got)+len(want) > 0 {
			t.Errorf("%q in %q: %v, want %v", words, texts, got, want)
		}
		if c.Len() != len(texts) {
			t.Errorf("%d texts, want %d", c.Len(), len(texts))
		}
	})
}
