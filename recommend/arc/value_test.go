package arc_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

var (
	nan = math.NaN()
	inf = math.Inf(1)
	bad = []float64{nan, inf, -inf, 0, -1, 1e12}
)

// refused fails unless err teaches: an InvalidError with a hint.
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

func outside(t *testing.T, what string, err error) *arc.RangeError {
	t.Helper()
	e := new(arc.RangeError)
	if !errors.As(err, &e) {
		t.Fatalf("%s: got %v, want a RangeError", what, err)
	}
	return e
}

func noTable(t *testing.T, what string, err error) {
	t.Helper()
	e := new(arc.NoTableError)
	if !errors.As(err, &e) {
		t.Fatalf("%s: got %v, want a NoTableError", what, err)
	}
	if !strings.Contains(err.Error(), "tables for") || len(e.Have) == 0 {
		t.Errorf("%s: %v does not say what there is", what, err)
	}
}

// sound fails unless a value is whole: range in order, unit, known sources.
func sound(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, v arc.Value) {
	t.Helper()
	if !(v.Low <= v.Value && v.Value <= v.High) || math.IsNaN(v.Value) {
		t.Errorf("%s: %v is not within %v to %v", what, v.Value, v.Low, v.High)
	}
	if v.Basis == "" || len(v.Source) == 0 && v.Basis != arc.OwnReadings {
		t.Errorf("%s: no basis or source: %+v", what, v)
	}
	for _, id := range v.Source {
		if _, ok := data.Sources()[id]; !ok {
			t.Errorf("%s: source %q is not known", what, id)
		}
	}
}

func TestRangeErrorSaysWhatIsCovered(t *testing.T) {
	for _, c := range []struct {
		e    arc.RangeError
		want string
	}{
		{arc.RangeError{Quantity: "current", Read: 150, Low: 30, High: 120, Unit: "A", Source: []string{"WD-T11"}}, "current 150 A is outside the table, which covers 30 to 120 A (WD-T11)"},
		{arc.RangeError{Quantity: "thickness", Read: 0.06, Low: 0.125, High: inf, Unit: "in"}, "thickness 0.06 in is outside the table, which begins at 0.125 in"},
	} {
		if got := c.e.Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// TestRangeErrorIn: a metric reader is told millimeters; limits that are printed in
// them stay, whoever reads.
func TestRangeErrorIn(t *testing.T) {
	inches := arc.RangeError{Quantity: "thickness", Read: 0.06, Low: 0.125, High: inf, Unit: "in", Source: []string{"PH-D11-2015"}}
	speed := arc.RangeError{Quantity: "wire speed", Read: 200, Low: 50, High: 110, Unit: "in/min"}
	printed := arc.RangeError{Quantity: "thickness", Read: 3, Low: 10, High: 90, Unit: "mm"}
	for _, c := range []struct {
		e     arc.RangeError
		units procedures.Units
		want  string
	}{
		{inches, procedures.Metric, "thickness 1.524 mm is outside the table, which begins at 3.175 mm (PH-D11-2015)"},
		{inches, procedures.US, inches.Error()},
		{speed, procedures.Metric, "wire speed 5.08 m/min is outside the table, which covers 1.27 to 2.794 m/min"},
		{printed, procedures.US, printed.Error()},
		{printed, procedures.Metric, printed.Error()},
	} {
		if got := c.e.In(c.units).Error(); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestWithin(t *testing.T) {
	for _, v := range []float64{1, 2.5, 5} {
		if err := arc.Within("x", v, 1, 5, "V"); err != nil {
			t.Errorf("%v: %v", v, err)
		}
	}
	for _, v := range []float64{nan, inf, -inf, math.Nextafter(1, 0), math.Nextafter(5, 6)} {
		refused(t, "within", arc.Within("x", v, 1, 5, "V"))
	}
	if got := arc.Within("leg", nan, 1, 5, "mm").Error(); got != `leg: not a usable number (read "NaN mm")` {
		t.Errorf("got %q", got)
	}
}

func TestWeakestAndTogether(t *testing.T) {
	for _, c := range []struct {
		in   []data.Basis
		want data.Basis
	}{
		{nil, data.Computed},
		{[]data.Basis{data.Printed}, data.Printed},
		{[]data.Basis{data.Printed, data.Memory, data.Computed}, data.Memory},
		{[]data.Basis{data.Practice, data.Memory}, data.Practice},
		{[]data.Basis{arc.OwnReadings, data.Printed}, arc.OwnReadings},
	} {
		if got := arc.Weakest(c.in...); got != c.want {
			t.Errorf("weakest of %v is %q, want %q", c.in, got, c.want)
		}
	}
	if got := arc.Together([]string{"A", "B"}, nil, []string{"B", "C"}); !slices.Equal(got, []string{"A", "B", "C"}) {
		t.Errorf("together: %v", got)
	}
	if arc.Together() != nil {
		t.Error("nothing together is something")
	}
}

func TestHow(t *testing.T) {
	for basis, want := range map[data.Basis]procedures.How{
		data.Printed: procedures.FromTable, data.Computed: procedures.FromTable, data.Memory: procedures.FromTable,
		data.Practice: procedures.CommonPractice, arc.OwnReadings: procedures.OwnCurve,
	} {
		if got := (arc.Value{Basis: basis}).How(); got != want {
			t.Errorf("%s is %q, want %q", basis, got, want)
		}
	}
}
