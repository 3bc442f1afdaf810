package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
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

// The same of whole notebooks: the squared residual of every row of the last pass, against a fit of all the others. With
// bounded welds neither the floor on 1 - hat nor the cap on the square is in the way of most.
func TestLeaveOneOutOfNotebook(t *testing.T) {
	rows, capped := 0, 0
	for book := range uint64(60) {
		r := rand.New(rand.NewPCG(book, 5))
		q, welds := wildNotebook(r)
		a, err := mustModel(t, shop(), welds, usual).ask(&q)
		if err != nil {
			t.Fatal(err)
		}
		for i := range a.trials {
			for k := range a.trials[i].rows {
				out := a.trials[i].rows[k]
				if !out.used() {
					continue
				}
				s := newSystem(a.cols.size())
				for j := range a.trials {
					for n := range a.trials[j].rows {
						if i != j || k != n {
							s.add(a.trials[j].terms, a.trials[j].rows[n], 1)
						}
					}
				}
				p, err := s.solve()
				if err != nil {
					t.Fatal(err)
				}
				v, terms := 1/out.precision, a.trials[i].terms
				e := out.sum/out.precision - p.mean(terms)
				square, left := e*e/(v+p.variance(terms)), v/(v+p.variance(terms)) // 1 - hat, in terms of the refit
				rows++
				if square > outlierSquare || left < leverageFloor {
					capped++
					continue
				}
				near(t, fmt.Sprintf("notebook %d, row %d.%d", book, i, k), a.trials[i].counts[k].square, square, 1e-10)
			}
		}
	}
	if rows < 500 || capped > rows/4 {
		t.Errorf("%d rows, %d of them capped", rows, capped)
	}
}
