package procedures

import (
	"math"
	"strconv"
)

// The quantities of the shop floor, each in one SI-friendly unit that its type
// names. Zero means "not known" for every one of them (none can be zero on a
// real job), and JSON shows that as null, never as 0.
type (
	MM       float64 // length, thickness, leg, extension: millimetres
	MPerMin  float64 // wire feed speed: metres per minute
	MMPerMin float64 // travel speed: millimetres per minute
	Volts    float64 // V
	Amps     float64 // A
	Seconds  float64 // s
	Percent  float64 // of a hundred
	Share    float64 // of one: a probability
	Grams    float64 // g
	Count    int     // passes, a rating
)

// Conversions to and from the units printed on a US shop wall. Exact by
// definition of the international inch (25.4 mm).
const (
	MMPerInch        = 25.4
	mPerMinPerIPM    = 0.0254
	absurdMM      MM = 300 // thicker than a foot is a slip of the keyboard
	smallestMM    MM = 0.1
	fastestWire      = MPerMin(40) // 1575 in/min; no small feeder comes near
	slowestWire      = MPerMin(0.3)
	fastestTravel    = MMPerMin(5000)
	slowestTravel    = MMPerMin(10)
)

// Inches converts inches to millimetres.
func Inches(in float64) MM { return MM(in * MMPerInch) }

// Inches returns the length in inches.
func (v MM) Inches() float64 { return float64(v) / MMPerInch }

// InchesPerMin converts in/min of wire to m/min.
func InchesPerMin(ipm float64) MPerMin { return MPerMin(ipm * mPerMinPerIPM) }

// InchesPerMin returns the wire speed in in/min.
func (v MPerMin) InchesPerMin() float64 { return float64(v) / mPerMinPerIPM }

// TravelInchesPerMin converts in/min of travel to mm/min.
func TravelInchesPerMin(ipm float64) MMPerMin { return MMPerMin(ipm * MMPerInch) }

// InchesPerMin returns the travel speed in in/min.
func (v MMPerMin) InchesPerMin() float64 { return float64(v) / MMPerInch }

// jsonNumber writes a quantity, and null where it is not known. Six significant
// digits are beyond any garage instrument and keep 0.035 in = 0.889 mm readable.
func jsonNumber(v float64) ([]byte, error) {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, Round(v), 'f', -1, 64), nil
}

// Round returns v to six significant digits, the precision in which quantities
// are shown and exchanged.
func Round(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil {
		return v
	}
	return r
}

func (v MM) MarshalJSON() ([]byte, error)       { return jsonNumber(float64(v)) }
func (v MPerMin) MarshalJSON() ([]byte, error)  { return jsonNumber(float64(v)) }
func (v MMPerMin) MarshalJSON() ([]byte, error) { return jsonNumber(float64(v)) }
func (v Volts) MarshalJSON() ([]byte, error)    { return jsonNumber(float64(v)) }
func (v Amps) MarshalJSON() ([]byte, error)     { return jsonNumber(float64(v)) }
func (v Seconds) MarshalJSON() ([]byte, error)  { return jsonNumber(float64(v)) }
func (v Percent) MarshalJSON() ([]byte, error)  { return jsonNumber(float64(v)) }
func (v Share) MarshalJSON() ([]byte, error)    { return jsonNumber(float64(v)) }
func (v Grams) MarshalJSON() ([]byte, error)    { return jsonNumber(float64(v)) }
func (v Count) MarshalJSON() ([]byte, error)    { return jsonNumber(float64(v)) }

// finite reports whether v is an ordinary number.
func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
