package recommend

import (
	"math"
	"slices"

	"beadwright/procedures"
)

// Compared is what a comparison comes to.
type Compared string

const (
	Better       Compared = "better"
	Worse        Compared = "worse"
	NoDifference Compared = "no difference seen"       // any difference is less than one mark
	TooFew       Compared = "too few to tell"          // Comparison.More says how many pairs would settle it
	Disagree     Compared = "looks and tests disagree" // one says better, the other worse: go by the tests
)

// Comparison is two states of one machine set against each other at equal wire
// speed. Differences are after minus before.
type Comparison struct {
	Before  procedures.State   `json:"before"`
	After   procedures.State   `json:"after"`
	Within  procedures.Percent `json:"within_percent"` // by which wire speeds of a lot differ at most
	Verdict Compared           `json:"verdict"`
	By      string             `json:"verdict_by"` // ratings, tests or both; "": none was reached
	More    procedures.Count   `json:"more_pairs"` // that would settle it, about 4 times in 5; zero: it is settled
	Rating  RatingDifference   `json:"rating"`
	Good    ShareDifference    `json:"good"`    // rated 4 or 5, and no test failed
	Spatter ShareDifference    `json:"spatter"` // spatter among the symptoms
	Tests   ShareDifference    `json:"tests"`   // bend or break tests passed, of those made
	Lots    []Lot              `json:"lots"`
	LeftOut []LeftOut          `json:"left_out"`
	Weak    []string           `json:"weaknesses"`
	Coupons []PairedCoupons    `json:"coupons"` // that would come nearest to settling it
}

// LeftOut is welds of the two states that could not be compared, and why.
type LeftOut struct {
	Why   string   `json:"why"`
	Marks []string `json:"marks"`
}

// CompareOptions is how equal is equal.
type CompareOptions struct {
	Pictured map[string]bool    // ids of the welds of whose bead the notebook keeps a picture
	Within   procedures.Percent // wire speeds of a lot, highest over lowest; zero: 5 %
	AnyTap   bool               // lots may mix taps
	Guessed  bool               // wire speeds that were only guessed or suggested count too
}

const (
	equalSpeed     = 5    // %; a hand cannot set a small knob finer (common practice, no source)
	equalThickness = 0.10 // of the thinner part, as for a proof
	equalPartner   = 0.25 // of the thicker part, as for a proof
	worthKnowing   = 1.0  // mark: the least difference that is worth calling one (a design choice)
	byLuck         = 0.05 // the chance that is let pass
)

// Compare sets the welds of one state of a machine against those of another. It
// parts them into lots of like jobs: same joint, weld, position, wire class and
// size, gas, steel group, coating and tap, thickness within 10 %, wire speed
// within the percentage given; within a lot only the state differs. Welds of
// other states, of other machines, and struck ones are passed over.
//
// A wire speed counts where it was measured at the weld, or follows from the
// knob's mark and the run-outs of that very state and tap. It may be a guess only
// where the options say so.
//
// Ratings: an additive model, rating = lot + state, solved by least squares; with
// one lot that is Student's t for two samples, with one weld a side in each lot the
// paired t. Its standard deviation is never taken as less than that of a rating
// rounded to whole marks, 1/sqrt(12). Beside it stands an exact permutation test
// within lots. Better or worse is said only where the 95 % interval excludes
// nought and the permutations allow it. Bend and break tests count before looks.
func Compare(m procedures.Machine, welds []procedures.Weld, before, after procedures.State, o CompareOptions) Comparison {
	if o.Within <= 0 {
		o.Within = equalSpeed
	}
	c := Comparison{Before: before, After: after, Within: o.Within, LeftOut: []LeftOut{}, Weak: []string{}, Coupons: []PairedCoupons{}}
	sorted := sortOut(m, welds, before, after, o)
	lots, lonely := intoLots(sorted.usable, float64(o.Within)/100)
	sorted.leave("no like weld at equal wire speed on the other side", lonely...)
	c.LeftOut = append(c.LeftOut, sorted.left...)
	c.Lots = make([]Lot, len(lots))
	for i, l := range lots {
		c.Lots[i] = l.shown()
	}
	c.Rating = rateDifference(columns(lots, func(w procedures.Weld) (float64, bool) {
		return float64(w.Outcome.Rating), w.Outcome.Rating > 0
	}))
	c.Good = shareDifference(columns(lots, func(w procedures.Weld) (float64, bool) {
		return one(w.Outcome.Good()), w.Outcome.Rating > 0
	}))
	c.Spatter = shareDifference(columns(lots, func(w procedures.Weld) (float64, bool) {
		return one(slices.Contains(w.Outcome.Symptoms, "spatter")), w.Outcome.Rating > 0
	}))
	c.Tests = shareDifference(columns(lots, func(w procedures.Weld) (float64, bool) {
		passed, made := tested(w.Outcome)
		return one(passed), made
	}))
	c.judge()
	if c.Verdict == TooFew {
		c.More = morePairs(c.Rating)
		c.Coupons = coupons(lots, lonely, float64(c.More), float64(o.Within)/100)
	}
	c.Weak = append(c.Weak, weaknesses(lots, o)...)
	c.Rating.round()
	for _, s := range []*ShareDifference{&c.Good, &c.Spatter, &c.Tests} {
		s.round()
	}
	return c
}

// judge reaches the verdict from ratings and tests.
func (c *Comparison) judge() {
	looks := direction(c.Rating.Range95, c.Rating.Chance)
	tests := direction(c.Tests.Range95, c.Tests.Chance)
	said := map[int]Compared{1: Better, -1: Worse}
	switch {
	case looks*tests < 0:
		c.Verdict = Disagree
	case looks != 0 && tests != 0:
		c.Verdict, c.By = said[looks], "both"
	case tests != 0:
		c.Verdict, c.By = said[tests], "tests"
	case looks != 0:
		c.Verdict, c.By = said[looks], "ratings"
	case c.Rating.Range95 != nil && c.Rating.Range95[0] > -worthKnowing && c.Rating.Range95[1] < worthKnowing:
		c.Verdict, c.By = NoDifference, "ratings"
	default:
		c.Verdict = TooFew
	}
}

// direction is the sign of a difference that both its 95 % interval and the
// permutations hold apart from nought; else 0.
func direction(interval *[2]float64, chance *float64) int {
	switch {
	case interval == nil || chance == nil || *chance > byLuck:
		return 0
	case interval[0] > 0:
		return 1
	case interval[1] < 0:
		return -1
	}
	return 0
}

// morePairs is how many more pairs, one weld a side, would part the two sides (if
// the difference stays what it is) or hold any difference below one mark (if it
// stays that small), about 4 times in 5: the least n with
//
//	(t(0.975) + t(0.8)) * s * sqrt(2/n) <= max(|d|, 1 - |d|)
//
// with n - 1 degrees of freedom, less the pairs there are. Six pairs are the
// fewest whose signs alone can be called no luck (2/2^6 < 5 %). Where nothing is
// known yet, s and d are taken as one mark.
func morePairs(r RatingDifference) procedures.Count {
	s, d := 1.0, worthKnowing
	if r.Spread != nil {
		s = *r.Spread
	}
	if r.Difference != nil {
		d = math.Abs(*r.Difference)
	}
	const fewest, most = 6, 1000
	n := fewest
	for ; n < most; n++ {
		if (student(0.975, n-1)+student(0.8, n-1))*s*math.Sqrt(2/float64(n)) <= math.Max(d, worthKnowing-d) {
			break
		}
	}
	return procedures.Count(max(1, n-int(r.Pairs)))
}

// tested reports how the bend and break tests of a weld went, and whether any was
// made. A failure in use outweighs them.
func tested(o procedures.Outcome) (passed, made bool) {
	passed = o.FailedInUse.IsZero()
	for _, t := range o.Tests {
		if t.Kind == "bend" || t.Kind == "break" {
			made = true
			passed = passed && t.Passed
		}
	}
	return passed && made, made
}

func one(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}
