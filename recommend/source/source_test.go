package source_test

import (
	"errors"
	"math"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

var bad = []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e12}

func refused(t *testing.T, what string, err error) {
	t.Helper()
	invalid := new(procedures.InvalidError)
	if !errors.As(err, &invalid) {
		t.Errorf("%s: got %v, want an InvalidError", what, err)
		return
	}
	if invalid.Field == "" || len(invalid.Hints) == 0 {
		t.Errorf("%s: %v does not say what would be accepted", what, err)
	}
}

func outside(t *testing.T, what string, err error) {
	t.Helper()
	e := new(arc.RangeError)
	if !errors.As(err, &e) {
		t.Errorf("%s: got %v, want a RangeError", what, err)
	}
}

func noTable(t *testing.T, what string, err error) {
	t.Helper()
	e := new(arc.NoTableError)
	if !errors.As(err, &e) {
		t.Errorf("%s: got %v, want a NoTableError", what, err)
	}
}

func sound(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, v arc.Value) {
	t.Helper()
	if !(v.Low <= v.Value && v.Value <= v.High) || v.Basis == "" || len(v.Source) == 0 {
		t.Errorf("%s: %+v", what, v)
	}
	for _, id := range v.Source {
		if _, ok := data.Sources()[id]; !ok {
			t.Errorf("%s: source %q is not known", what, id)
		}
	}
}

func second[T any](_ T, err error) error { return err }

func feet(v float64) procedures.MM { return procedures.MM(v * 304.8) }

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
