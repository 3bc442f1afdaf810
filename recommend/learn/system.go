package learn

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// system is the normal equations A beta = b of the scaled features; without rows A is the identity, the prior.
// Only the upper triangle of A is kept.
type system struct {
	n int
	a []float64
	b []float64
}

func newSystem(n int) *system {
	s := &system{n, make([]float64, n*n), make([]float64, n)}
	for i := range n {
		s.a[i*n+i] = 1
	}
	return s
}

// grown copies the system into one with more columns.
func (s *system) grown(n int) *system {
	out := newSystem(n)
	for i := range s.n {
		copy(out.a[i*n:i*n+s.n], s.a[i*s.n:(i+1)*s.n])
	}
	copy(out.b, s.b)
	return out
}

// add puts a row of features, in order of column, in, times = 1, or takes it out again, times = -1.
func (s *system) add(terms []term, r row, times float64) {
	if !r.used() {
		return
	}
	for i, t := range terms {
		s.b[t.col] += times * t.value * r.sum
		w := times * t.value * r.precision
		line := s.a[t.col*s.n : (t.col+1)*s.n]
		for _, u := range terms[i:] {
			line[u.col] += w * u.value
		}
	}
}

// posterior is the solved system.
type posterior struct {
	n    int
	chol mat.Cholesky
	beta []float64
	inv  []float64 // upper triangle of A^-1, made on first use
}

var errNotPositive = errors.New("learn: normal equations are not positive definite")

func (s *system) solve() (*posterior, error) {
	p := &posterior{n: s.n}
	if !p.chol.Factorize(mat.NewSymDense(s.n, s.a)) {
		return nil, errNotPositive
	}
	var beta mat.VecDense
	if err := p.chol.SolveVecTo(&beta, mat.NewVecDense(s.n, s.b)); err != nil {
		return nil, err
	}
	p.beta = beta.RawVector().Data
	return p, nil
}

// mean is phi' beta.
func (p *posterior) mean(terms []term) (f float64) {
	for _, t := range terms {
		f += t.value * p.beta[t.col]
	}
	return f
}

// variance is phi' A^-1 phi, for features in order of column.
func (p *posterior) variance(terms []term) (v float64) {
	inv := p.inverse()
	if inv == nil {
		return inf
	}
	for i, t := range terms {
		line := inv[t.col*p.n : (t.col+1)*p.n]
		v += t.value * t.value * line[t.col]
		for _, u := range terms[i+1:] {
			v += 2 * t.value * u.value * line[u.col]
		}
	}
	return v
}

// covariance is phi' A^-1 psi. Features may be in any order, and in columns that the system has not: those keep their prior.
func (p *posterior) covariance(a, b []term) (v float64) {
	inv := p.inverse()
	if inv == nil {
		return inf
	}
	for _, t := range a {
		for _, u := range b {
			switch lo, hi := min(t.col, u.col), max(t.col, u.col); {
			case hi < p.n:
				v += t.value * u.value * inv[lo*p.n+hi]
			case lo == hi:
				v += t.value * u.value
			}
		}
	}
	return v
}

// inverse is the upper triangle of A^-1, nil where it is ill-conditioned beyond use. That cannot happen with A >= I and
// bounded rows; an infinite spread says so if it does.
func (p *posterior) inverse() []float64 {
	if p.inv == nil {
		var inv mat.SymDense
		if err := p.chol.InverseTo(&inv); err != nil {
			return nil
		}
		p.inv = inv.RawSymmetric().Data
	}
	return p.inv
}
