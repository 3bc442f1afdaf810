package learn

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Residuals of each row against the fit with it, scaled, must equal those against a fit without it (where the floor on
// 1 - hat does not bite).
func TestLeaveOneOut(t *testing.T) {
	check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "rows")
		rows := make([]row, n)
		terms := make([][]term, n)
		for i := range rows {
			rows[i] = observed(rapid.Float64Range(-1, 1).Draw(t, "m"), rapid.Float64Range(0.1, 1).Draw(t, "v"))
			for c := range 4 {
				terms[i] = append(terms[i], term{c, rapid.Float64Range(-0.3, 0.3).Draw(t, fmt.Sprint("phi", c))})
			}
		}
		fitted := func(skip int) *posterior {
			s := newSystem(4)
			for i := range rows {
				if i != skip {
					s.add(terms[i], rows[i], 1)
				}
			}
			p, err := s.solve()
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		all := fitted(-1)
		for i := range rows {
			x := trial{terms: terms[i], rows: rows[i : i+1], counts: make([]count, 1)}
			x.leaveOut(all)
			p := fitted(i)
			e := rows[i].sum/rows[i].precision - p.mean(terms[i])
			if want := min(outlierSquare, e*e/(1/rows[i].precision+p.variance(terms[i]))); math.Abs(x.counts[0].square-want) > 1e-10 {
				t.Fatalf("row %d: %g, refitted without it %g", i, x.counts[0].square, want)
			}
		}
	})
}
