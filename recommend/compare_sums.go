package recommend

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"beadwright/procedures"
)

// RatingDifference is how far the ratings of two states part, in marks. What is
// not known is nil.
type RatingDifference struct {
	Before     *float64    `json:"before"` // mean rating, each lot by its weight
	After      *float64    `json:"after"`
	Difference *float64    `json:"difference"` // After - Before
	Range80    *[2]float64 `json:"range_80"`   // of the difference, at most 4 either way
	Range95    *[2]float64 `json:"range_95"`
	Chance     *float64    `json:"chance"` // that luck alone parts them as far
	Spread     *float64    `json:"spread"` // standard deviation of one weld's rating, lot and state allowed for
	Pairs      float64     `json:"pairs"`  // what the welds are worth, in pairs of one weld a side
	Freedom    int         `json:"degrees_of_freedom"`
	Welds      [2]int      `json:"welds"` // before, after
}

// ShareDifference is how far the share of welds with some outcome parts. Shares
// are over all lots together.
type ShareDifference struct {
	Before     Proportion  `json:"before"`
	After      Proportion  `json:"after"`
	Difference *float64    `json:"difference"`
	Range80    *[2]float64 `json:"range_80"`
	Range95    *[2]float64 `json:"range_95"`
	Chance     *float64    `json:"chance"` // that luck alone parts them as far, dealt within lots
}

// Proportion is so many of so many.
type Proportion struct {
	Count   int         `json:"count"`
	Of      int         `json:"of"`
	Range95 *[2]float64 `json:"range_95"` // Wilson's interval of the true share
}

// round leaves six significant digits, the precision in which numbers are shown.
func (r *RatingDifference) round() {
	roundAll([]*float64{r.Before, r.After, r.Difference, r.Chance, r.Spread, &r.Pairs}, r.Range80, r.Range95)
}

func (s *ShareDifference) round() {
	roundAll([]*float64{s.Difference, s.Chance}, s.Range80, s.Range95, s.Before.Range95, s.After.Range95)
}

func roundAll(values []*float64, ranges ...*[2]float64) {
	for _, r := range ranges {
		if r != nil {
			values = append(values, &r[0], &r[1])
		}
	}
	for _, v := range values {
		if v != nil {
			*v = procedures.Round(*v)
		}
	}
}

// sides is the values of one lot: before and after.
type sides [2][]float64

// weight is what a lot tells of a difference: nb*na/(nb+na), half a pair's worth
// being one half.
func (s sides) weight() float64 {
	b, a := float64(len(s[0])), float64(len(s[1]))
	if b+a == 0 {
		return 0
	}
	return b * a / (b + a)
}

func sum(values []float64) float64 {
	t := 0.0
	for _, v := range values {
		t += v
	}
	return t
}

func mean(values []float64) float64 { return sum(values) / float64(len(values)) }

// twoSided keeps the lots that have a value on both sides.
func twoSided(lots []sides) []sides {
	var full []sides
	for _, l := range lots {
		if l.weight() > 0 {
			full = append(full, l)
		}
	}
	return full
}

// roughest is the variance of rounding to whole marks, 1/12: no scatter of
// ratings is taken as less.
const roughest = 1. / 12

// rateDifference fits rating = lot + state by least squares. The estimate is
// sum(w*d)/sum(w) with w = nb*na/(nb+na) and d the difference of a lot's means;
// its variance s*s/sum(w), with s from the residuals on N - lots - 1 degrees of
// freedom.
func rateDifference(all []sides) RatingDifference {
	var r RatingDifference
	lots := twoSided(all)
	if len(lots) == 0 {
		return r
	}
	var weight, before, after float64
	for _, l := range lots {
		w := l.weight()
		weight += w
		before += w * mean(l[0])
		after += w * mean(l[1])
		r.Welds[0] += len(l[0])
		r.Welds[1] += len(l[1])
	}
	before, after = before/weight, after/weight
	d := after - before
	r.Before, r.After, r.Difference, r.Pairs = &before, &after, &d, 2*weight
	r.Chance = known(chance(lots))
	r.Freedom = r.Welds[0] + r.Welds[1] - len(lots) - 1
	if r.Freedom < 1 {
		return r
	}
	rest := 0.0
	for _, l := range lots {
		n := float64(len(l[0]) + len(l[1]))
		base := (sum(l[0]) + sum(l[1]) - d*float64(len(l[1]))) / n // the lot's own level
		for side, values := range l {
			for _, v := range values {
				off := v - base - d*float64(side)
				rest += off * off
			}
		}
	}
	s := math.Sqrt(math.Max(rest/float64(r.Freedom), roughest))
	r.Spread = &s
	interval := func(p float64) *[2]float64 {
		half := student(p, r.Freedom) * s / math.Sqrt(weight)
		return &[2]float64{math.Max(d-half, -4), math.Min(d+half, 4)}
	}
	r.Range80, r.Range95 = interval(0.9), interval(0.975)
	return r
}

// student is the quantile of Student's t.
func student(p float64, freedom int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile(p)
}

// chance deals the values of each lot out to its two sides in every possible way,
// and returns the share of ways that part the sides at least as far as they were
// found. Values are whole numbers from 0 to 5. It is exact for any number of welds:
// sum(w*d) is the sum of the after-values less what is expected of it, and the
// sums of all ways are counted without making one of them.
func chance(lots []sides) float64 {
	ways := []float64{1} // share of the ways, by the sum of the after-values
	var found, expected float64
	for _, l := range lots {
		all := append(append([]float64{}, l[0]...), l[1]...)
		found += sum(l[1])
		expected += mean(all) * float64(len(l[1]))
		ways = convolve(ways, sums(all, len(l[1])))
	}
	far := math.Abs(found-expected) - 1e-9
	p := 0.0
	for s, share := range ways {
		if math.Abs(float64(s)-expected) >= far {
			p += share
		}
	}
	return math.Min(p, 1)
}

// sums returns, by sum, the share of all choices of k of the values.
func sums(values []float64, k int) []float64 {
	top := int(sum(values)) + 1
	ways := make([][]float64, k+1)
	for i := range ways {
		ways[i] = make([]float64, top)
	}
	ways[0][0] = 1
	reached := 0
	for n, v := range values {
		// Each value in turn: of the choices of i among n+1 values, the last is in
		// one of (n+1)/i. Shares instead of counts, so that nothing overflows.
		whole := int(v)
		reached += whole
		for i := min(n+1, k); i >= 0; i-- {
			in := float64(i) / float64(n+1)
			for s := reached; s >= 0; s-- {
				with := 0.0
				if i > 0 && s >= whole {
					with = ways[i-1][s-whole]
				}
				ways[i][s] = in*with + (1-in)*ways[i][s]
			}
		}
	}
	return ways[k]
}

func convolve(a, b []float64) []float64 {
	out := make([]float64, len(a)+len(b)-1)
	for i, x := range a {
		if x == 0 {
			continue
		}
		for j, y := range b {
			out[i+j] += x * y
		}
	}
	return out
}

// shareDifference counts values that are 0 or 1 and sets the shares against each
// other by Newcombe's method 10 (Statistics in Medicine 17, 1998, 873-890): the
// ends of the two Wilson intervals, squared and added.
func shareDifference(all []sides) ShareDifference {
	var out ShareDifference
	lots := twoSided(all)
	for _, l := range lots {
		out.Before.add(l[0])
		out.After.add(l[1])
	}
	if len(lots) == 0 {
		return out
	}
	out.Before.Range95, out.After.Range95 = known(wilson(out.Before, 0.975)), known(wilson(out.After, 0.975))
	out.Difference = known(out.After.share() - out.Before.share())
	out.Range80, out.Range95 = known(newcombe(out.Before, out.After, 0.9)), known(newcombe(out.Before, out.After, 0.975))
	out.Chance = known(chance(lots))
	return out
}

func (p *Proportion) add(values []float64) {
	p.Count += int(sum(values))
	p.Of += len(values)
}

func (p Proportion) share() float64 { return float64(p.Count) / float64(p.Of) }

// wilson is Wilson's score interval without continuity correction; q is the upper
// quantile, 0.975 for 95 %.
func wilson(p Proportion, q float64) [2]float64 {
	z, n, x := distuv.UnitNormal.Quantile(q), float64(p.Of), p.share()
	middle := (x + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(x*(1-x)/n+z*z/(4*n*n))
	return [2]float64{math.Max(0, middle-half), math.Min(1, middle+half)}
}

func newcombe(before, after Proportion, q float64) [2]float64 {
	b, a := wilson(before, q), wilson(after, q)
	x, y := before.share(), after.share()
	return [2]float64{y - x - math.Hypot(y-a[0], b[1]-x), y - x + math.Hypot(a[1]-y, x-b[0])}
}

// known is a number that is known, beside those that are nil.
func known[T any](v T) *T { return &v }
