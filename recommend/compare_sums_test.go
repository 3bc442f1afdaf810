package recommend

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"pgregory.net/rapid"
)

// compared is one line of testdata/compare.json, which compare.py beside it made
// with scipy and numpy.
type compared struct {
	Lots       []sides
	Difference float64
	Freedom    int `json:"degrees_of_freedom"`
	Chance     float64
	Spread     *float64
	Range80    *[2]float64 `json:"range_80"`
	Range95    *[2]float64 `json:"range_95"`
}

func readCompared(t *testing.T) (doc struct {
	Ratings []compared
	Shares  []struct {
		Before, After [2]int
		Range80       [2]float64 `json:"range_80"`
		Range95       [2]float64 `json:"range_95"`
	}
}) {
	t.Helper()
	text, err := os.ReadFile("testdata/compare.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

func near9(a, b float64) bool { return math.Abs(a-b) < 1e-9 }

func sameRange(a, b *[2]float64) bool {
	if a == nil || b == nil {
		return a == nil && b == nil
	}
	return near9(a[0], b[0]) && near9(a[1], b[1])
}

func TestRateDifferenceAgainstScipy(t *testing.T) {
	cases := readCompared(t).Ratings
	if len(cases) < 8 {
		t.Fatalf("only %d cases", len(cases))
	}
	for i, want := range cases {
		got := rateDifference(want.Lots)
		if got.Difference == nil || !near9(*got.Difference, want.Difference) || got.Freedom != want.Freedom {
			t.Errorf("case %d: difference %v on %d degrees of freedom, want %g on %d", i, got.Difference, got.Freedom, want.Difference, want.Freedom)
			continue
		}
		if !near9(*got.Chance, want.Chance) {
			t.Errorf("case %d: chance %g, want %g", i, *got.Chance, want.Chance)
		}
		if !sameRange(got.Range80, want.Range80) || !sameRange(got.Range95, want.Range95) {
			t.Errorf("case %d: ranges %v %v, want %v %v", i, got.Range80, got.Range95, want.Range80, want.Range95)
		}
		if (got.Spread == nil) != (want.Spread == nil) || got.Spread != nil && !near9(*got.Spread, *want.Spread) {
			t.Errorf("case %d: spread %v, want %v", i, got.Spread, want.Spread)
		}
	}
}

// The first pair is the worked example of Newcombe, Statistics in Medicine 17
// (1998), 873-890, Table II: 56/70 against 48/80, method 10, 0.0524 to 0.3339
// (from memory).
func TestShareDifferenceAgainstScipyAndPrint(t *testing.T) {
	cases := readCompared(t).Shares
	if len(cases) < 5 {
		t.Fatalf("only %d cases", len(cases))
	}
	values := func(p [2]int) []float64 {
		v := make([]float64, p[1])
		for i := range p[0] {
			v[i] = 1
		}
		return v
	}
	for i, want := range cases {
		got := shareDifference([]sides{{values(want.Before), values(want.After)}})
		if !sameRange(got.Range80, &want.Range80) || !sameRange(got.Range95, &want.Range95) {
			t.Errorf("case %d: %v %v, want %v %v", i, got.Range80, got.Range95, want.Range80, want.Range95)
		}
	}
	printed := shareDifference([]sides{{values([2]int{48, 80}), values([2]int{56, 70})}}).Range95
	if math.Abs(printed[0]-0.0524) > 5e-5 || math.Abs(printed[1]-0.3339) > 5e-5 {
		t.Errorf("56/70 against 48/80: %v, printed 0.0524 to 0.3339", printed)
	}
}

// Turning the sides round turns the difference round and leaves the chance.
func TestDifferenceTurnsRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(1, 5).Draw(t, "rating")) }), 0, 7)
		var lots, turned []sides
		for range rapid.IntRange(1, 4).Draw(t, "lots") {
			s := sides{values.Draw(t, "before"), values.Draw(t, "after")}
			lots, turned = append(lots, s), append(turned, sides{s[1], s[0]})
		}
		a, b := rateDifference(lots), rateDifference(turned)
		if a.Difference == nil {
			if b.Difference != nil {
				t.Fatal("a difference one way only")
			}
			return
		}
		if !near9(*a.Difference, -*b.Difference) || !near9(*a.Chance, *b.Chance) {
			t.Fatalf("%v and %v", a, b)
		}
		if *a.Chance <= 0 || *a.Chance > 1 {
			t.Fatalf("a chance of %g", *a.Chance)
		}
		if a.Range95 != nil && (a.Range95[0] > a.Range80[0] || a.Range95[1] < a.Range80[1] || a.Range80[0] > *a.Difference || a.Range80[1] < *a.Difference) {
			t.Fatalf("ranges do not nest: %v in %v", a.Range80, a.Range95)
		}
	})
}

// With s = d = 1 the least n is the first with (t(0.975)+t(0.8))*sqrt(2/n) <= 1:
// scipy.stats.t gives 1.0237 at 17 pairs and 0.9910 at 18. With d = 0.5 the bound is 0.5:
// 0.5031 at 64, 0.4990 at 65.
func TestMorePairs(t *testing.T) {
	for _, c := range []struct {
		name      string
		r         RatingDifference
		low, high int
	}{
		{"nothing known", RatingDifference{}, 18, 18},
		{"two of them there", RatingDifference{Pairs: 2}, 16, 16},
		{"plain to see, but too few signs", RatingDifference{Pairs: 3, Spread: known(math.Sqrt(roughest)), Difference: known(2.0)}, 3, 3},
		{"half a mark, the hardest to settle", RatingDifference{Spread: known(1.0), Difference: known(0.5)}, 65, 65},
		{"never nought", RatingDifference{Pairs: 900, Spread: known(0.5), Difference: known(1.0)}, 1, 1},
	} {
		if got := int(morePairs(c.r)); got < c.low || got > c.high {
			t.Errorf("%s: %d more pairs, want %d to %d", c.name, got, c.low, c.high)
		}
	}
}

// rated draws a rating about a mean with a scatter of one mark, rounded and held
// to the scale.
func rated(r *rand.Rand, mean float64) float64 {
	return math.Max(1, math.Min(5, math.Round(mean+r.NormFloat64())))
}

// Where the change did nothing, better or worse is said at most once in 20; where
// it is worth a mark, the pairs asked for settle it about 4 times in 5.
func TestVerdictsOnSimulatedBeads(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	tell := func(lots, pairs int, better float64) int {
		var all []sides
		for range lots {
			level := 2 + r.Float64()
			var s sides
			for range pairs {
				s[0], s[1] = append(s[0], rated(r, level)), append(s[1], rated(r, level+better))
			}
			all = append(all, s)
		}
		d := rateDifference(all)
		return direction(d.Range95, d.Chance)
	}
	const trials = 2000
	for _, c := range []struct{ lots, pairs int }{{1, 3}, {1, 6}, {8, 1}, {3, 3}, {1, 15}} {
		wrong := 0
		for range trials {
			if tell(c.lots, c.pairs, 0) != 0 {
				wrong++
			}
		}
		t.Logf("%d lots of %d pairs: %.1f %% told a difference that is none", c.lots, c.pairs, 100*float64(wrong)/trials)
		if wrong > trials*6/100 { // 5 % and two standard deviations of the count
			t.Errorf("%d lots of %d pairs: told a difference that is none %d times of %d", c.lots, c.pairs, wrong, trials)
		}
	}
	right, pairs := 0, int(morePairs(RatingDifference{}))
	for range trials {
		if tell(1, pairs, 1) > 0 {
			right++
		}
	}
	t.Logf("%d pairs tell a mark's difference %.0f %% of the time", pairs, 100*float64(right)/trials)
	if right < trials*70/100 {
		t.Errorf("%d pairs told a mark's difference %d times of %d only", pairs, right, trials)
	}
}
