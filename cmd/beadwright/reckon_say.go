package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// num writes a number for reading aloud: three or four figures, no exponent.
func num(v float64) string {
	if v == 0 {
		return "0"
	}
	digits := 2 - int(math.Floor(math.Log10(math.Abs(v)))) // three figures
	if digits < 0 {
		digits = 0
	}
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// upward and downward round a bound to what [num] writes, away from the unsafe side: a
// rest is never told shorter than it is, nor an allowance longer.
func upward(v float64) float64 { return -downward(-v) }
func downward(v float64) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, math.Min(0, math.Floor(math.Log10(math.Abs(v)))-2))
	if math.Abs(v) >= 90 {
		unit = 1
	}
	return math.Floor(v/unit+1e-6) * unit // a hair below a figure is that figure
}

// put writes a number that was put into a formula: six figures, no exponent.
func put(v float64) string { return strconv.FormatFloat(procedures.Round(v), 'f', -1, 64) }

// other is the unit beside the stored one, for people who think in inches.
var other = map[string]struct {
	us, metric string
	factor     float64
}{
	"mm2":    {"sq in", "sq mm", 1 / (procedures.MMPerInch * procedures.MMPerInch)},
	"mm/min": {"in/min", "mm/min", 1 / procedures.MMPerInch},
	"m/min":  {"in/min", "m/min", 1000 / procedures.MMPerInch},
	"kJ/mm":  {"kJ/in", "kJ/mm", procedures.MMPerInch},
	"g/m":    {"lb/ft", "g/m", 0.3048 / gramsPerLb},
	"kg/m":   {"lb/ft", "kg/m", 304.8 / gramsPerLb},
	"kg/m2":  {"lb/sq ft", "kg/sq m", 1000 * 0.3048 * 0.3048 / gramsPerLb},
	"kg/h":   {"lb/h", "kg/h", 1000 / gramsPerLb},
	"N/mm":   {"lb per in of weld", "N per mm of weld", procedures.MMPerInch / newtonPerLbf},
	"m":      {"ft", "m", 1 / 0.3048},
	"m3":     {"cu ft", "cu m", 1 / (0.3048 * 0.3048 * 0.3048)},
	"m3/min": {"cu ft/min", "cu m/min", 1 / (0.3048 * 0.3048 * 0.3048)},
	"g":      {"lb", "g", 1 / gramsPerLb},
}

const (
	gramsPerLb   = 453.59237
	newtonPerLbf = 4.4482216152605
)

// sayOne says a quantity with its unit, in both systems where they differ.
func (r *reckoning) sayOne(v float64, unit string) string { return r.saySpan(v, v, unit) }

// saySpan says a quantity from low to high.
func (r *reckoning) saySpan(low, high float64, unit string) string {
	span := func(factor float64, unit string) string {
		text := num(high*factor) + " " + unit
		if num(low*factor) != num(high*factor) {
			text = num(low*factor) + " to " + text
		}
		return strings.TrimSpace(text)
	}
	switch unit {
	case "mm":
		text := procedures.FormatLength(procedures.MM(high), r.units)
		if l := procedures.FormatLength(procedures.MM(low), r.units); l != text {
			text = l + " to " + text
		}
		return text
	case "mm of run":
		if r.units == procedures.US && high >= 5*12*procedures.MMPerInch {
			return fmt.Sprintf("%s ft (%s m)", num(procedures.MM(high).Inches()/12), num(high/1000))
		}
		return r.saySpan(low, high, "mm")
	case "degC":
		return fmt.Sprintf("%.0f C (%.0f F)", high, high*9/5+32)
	case "s":
		if low == high && high >= 90 {
			whole := math.Round(high)
			if whole >= 7200 {
				return fmt.Sprintf("%.0f s (%.1f h)", high, high/3600)
			}
			return fmt.Sprintf("%.0f s (%.0f min %.0f s)", high, math.Floor(whole/60), math.Mod(whole, 60))
		}
	}
	o, ok := other[unit]
	if !ok {
		return span(1, unit)
	}
	if r.units == procedures.Metric {
		return span(1, o.metric) + " (" + span(o.factor, o.us) + ")"
	}
	return span(o.factor, o.us) + " (" + span(1, o.metric) + ")"
}

// say says a value, and its likely range where it has one.
func (r *reckoning) say(v arc.Value) string {
	text := r.sayOne(v.Value, v.Unit)
	if span := r.saySpan(v.Low, v.High, v.Unit); v.Low < v.High && span != text {
		text += ", likely " + span
	}
	return text
}

// The helpers below put a quantity into a formula in the units of the reader.

// in is a length.
func (r *reckoning) in(v procedures.MM) string {
	if r.units == procedures.Metric {
		return put(float64(v)) + " mm"
	}
	return put(v.Inches()) + " in"
}

// area is a cross-section.
func (r *reckoning) area(v arc.MM2) string {
	if r.units == procedures.Metric {
		return put(float64(v)) + " sq mm"
	}
	return put(v.SquareInches()) + " sq in"
}

// quantity is anything of the table above.
func (r *reckoning) quantity(v float64, unit string) string {
	o, ok := other[unit]
	switch {
	case !ok:
		return strings.TrimSpace(put(v) + " " + unit)
	case r.units == procedures.Metric:
		return put(v) + " " + o.metric
	}
	return put(v*o.factor) + " " + o.us
}

// equals writes a formula in words, then with the numbers, then its outcome.
func (r *reckoning) equals(words, numbers string, v float64, unit string) string {
	outcome := strings.TrimSpace(num(v) + " " + unit)
	if o, ok := other[unit]; ok {
		outcome = num(v) + " " + o.metric
		if r.units != procedures.Metric {
			outcome = num(v*o.factor) + " " + o.us
		}
	}
	if unit == "mm" && r.units != procedures.Metric {
		outcome = num(procedures.MM(v).Inches()) + " in"
	}
	return words + " = " + numbers + " = " + outcome
}

// equalsMetric is [reckoning.equals] for a sum that is done in metric units.
func (r *reckoning) equalsMetric(words, numbers string, v float64, unit string) string {
	outcome := strings.TrimSpace(num(v) + " " + unit)
	if o, ok := other[unit]; ok && r.units != procedures.Metric {
		outcome += " = " + num(v*o.factor) + " " + o.us
	}
	return words + " = " + numbers + " = " + outcome
}

// counted says how many of a thing.
func counted(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}
