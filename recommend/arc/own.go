package arc

import (
	"fmt"
	"math"

	"beadwright/procedures"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Reading is one pair of measurements: current by clamp meter at a wire speed.
type Reading struct {
	WireSpeed procedures.MPerMin
	Current   procedures.Amps
}

// Fit is the straight line current = Intercept + Slope * wire speed through a
// welder's own readings. It speaks only for the wire, extension and machine that
// they were taken with.
type Fit struct {
	Intercept float64 // A
	Slope     float64 // A per m/min, above 0
	Count     int     // readings, 3 or more
	R2        float64 // share of the scatter explained, 0 to 1
	Scatter   float64 // standard deviation about the line, A

	low, high, mean, spread float64 // wire speeds read: least, most, mean (m/min), and sum of squares about the mean
}

// FitCurrent fits a line to three or more readings by least squares.
// Errors: [*procedures.InvalidError] for fewer than three, for readings that no
// welder has, for wire speeds that are all the same, and for current that does
// not rise with wire speed.
func FitCurrent(readings []Reading) (Fit, error) {
	const hint = "take three or more clamp readings at different wire speeds, slow to fast"
	if len(readings) < 3 {
		return Fit{}, procedures.Invalid("readings", fmt.Sprint(len(readings)), "too few for a line", hint)
	}
	x, y := make([]float64, len(readings)), make([]float64, len(readings))
	f := Fit{Count: len(readings), low: math.Inf(1), high: math.Inf(-1)}
	for k, r := range readings {
		if err := first(checkWireSpeed(r.WireSpeed), checkAmps(r.Current)); err != nil {
			return Fit{}, err
		}
		x[k], y[k] = float64(r.WireSpeed), float64(r.Current)
		f.low, f.high = min(f.low, x[k]), max(f.high, x[k])
	}
	if f.high-f.low < 0.05*f.high {
		return Fit{}, procedures.Invalid("readings", "", "the wire speeds are all the same", hint)
	}
	f.Intercept, f.Slope = stat.LinearRegression(x, y, nil, false)
	if f.Slope <= 0 {
		return Fit{}, procedures.Invalid("readings", fmt.Sprintf("%.3g A per m/min", f.Slope), "current must rise with wire speed", "look for a swapped pair; measure average amperes on one lead only")
	}
	f.R2 = stat.RSquared(x, y, nil, f.Intercept, f.Slope)
	f.mean = stat.Mean(x, nil)
	var left float64
	for k := range x {
		left += math.Pow(y[k]-f.Intercept-f.Slope*x[k], 2)
		f.spread += math.Pow(x[k]-f.mean, 2)
	}
	f.Scatter = math.Sqrt(left / float64(len(x)-2))
	return f, nil
}

// doubt returns the half width, in A, of the 80 % interval for one more reading
// at a wire speed.
func (f Fit) doubt(s float64) float64 {
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(f.Count - 2)}.Quantile(0.9)
	return t * f.Scatter * math.Sqrt(1+1/float64(f.Count)+(s-f.mean)*(s-f.mean)/f.spread)
}

// Current returns the current, in A, at a wire speed between the slowest and the
// fastest reading, with the 80 % range for one more reading. Error: [*RangeError] beyond them.
func (f Fit) Current(s procedures.MPerMin) (Value, error) {
	x := float64(s)
	if !(x >= f.low && x <= f.high) {
		return Value{}, &RangeError{Quantity: "wire speed", Read: x, Low: f.low, High: f.high, Unit: "m/min"}
	}
	y, d := f.Intercept+f.Slope*x, f.doubt(x)
	return Value{Value: y, Low: y - d, High: y + d, Unit: "A", Basis: OwnReadings, Note: f.note()}, nil
}

// WireSpeed returns the wire speed, in m/min, for a current that the readings
// reach: the inverse of [Fit.Current]. Error: [*RangeError] beyond them.
func (f Fit) WireSpeed(i procedures.Amps) (Value, error) {
	y, low, high := float64(i), f.Intercept+f.Slope*f.low, f.Intercept+f.Slope*f.high
	if !(y >= low && y <= high) {
		return Value{}, &RangeError{Quantity: "current", Read: y, Low: low, High: high, Unit: "A"}
	}
	x := (y - f.Intercept) / f.Slope
	d := f.doubt(x) / f.Slope
	return Value{Value: x, Low: max(x-d, f.low), High: min(x+d, f.high), Unit: "m/min", Basis: OwnReadings, Note: f.note()}, nil
}

func (f Fit) note() string {
	return fmt.Sprintf("line through %d own readings, scatter %.1f A", f.Count, f.Scatter)
}
