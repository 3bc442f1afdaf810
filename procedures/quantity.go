package procedures

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Units is what a bare number means: "us" (inches, in/min) or "metric" (mm, m/min).
type Units string

const (
	US     Units = "us"
	Metric Units = "metric"
)

// ParseUnits reads "us" or "metric".
func ParseUnits(s string) (Units, error) {
	switch u := Units(strings.ToLower(strings.TrimSpace(s))); u {
	case US, Metric:
		return u, nil
	}
	return "", Invalid("units", s, "not a system of units", "accepted: us, metric")
}

// number is a plain decimal, a fraction, or a whole number with a fraction:
// 3, 0.125, .125, 1/8, 1-1/4, 1 1/4. No exponents, signs, hex, NaN or Inf.
var number = Pattern(`^(?:(\d{1,4})[- ](\d{1,3})/(\d{1,3})|(\d{1,3})/(\d{1,3})|(\d{1,7}(?:\.\d{0,9})?|\.\d{1,9}))`)

// splitNumber reads the number at the front of s and returns what follows it.
// ok is false where there is no number, or a fraction is over nothing.
func splitNumber(s string) (v float64, fraction bool, rest string, ok bool) {
	m := number().FindStringSubmatch(s)
	if m == nil {
		return 0, false, s, false
	}
	num := func(t string) float64 { f, _ := strconv.ParseFloat(t, 64); return f }
	switch {
	case m[1] != "":
		v, fraction = num(m[1])+num(m[2])/num(m[3]), true
	case m[4] != "":
		v, fraction = num(m[4])/num(m[5]), true
	default:
		v = num(m[6])
	}
	if !finite(v) {
		return 0, fraction, s, false
	}
	return v, fraction, strings.TrimSpace(s[len(m[0]):]), true
}

// topHeavy asks about a fraction that is one or more: 8/1 is a slip for 1/8, and an
// inch and a quarter is written 1-1/4. read is what stood there, t the same tidied.
func topHeavy(field, read, t string) error {
	m := number().FindStringSubmatch(t)
	if m == nil || m[4] == "" {
		return nil
	}
	over, _ := strconv.Atoi(m[4])
	under, _ := strconv.Atoi(m[5])
	hints := []string{"an inch or more is written 1in, 1-1/4 or 1.25in"}
	switch {
	case over < under:
		return nil
	case over > under:
		hints = append([]string{fmt.Sprintf("turned round? write %s/%s", m[5], m[4])}, hints...)
	}
	return Invalid(field, read, "a fraction that is an inch or more", hints...)
}

// said maps the words for common thicknesses to inches.
var said = map[string]float64{
	"sixteenth": 1. / 16, "a sixteenth": 1. / 16, "one sixteenth": 1. / 16,
	"eighth": 1. / 8, "an eighth": 1. / 8, "one eighth": 1. / 8, "eigth": 1. / 8, "eight inch": 1. / 8,
	"three sixteenths": 3. / 16, "three sixteenth": 3. / 16,
	"quarter": 1. / 4, "quater": 1. / 4, "quater inch": 1. / 4, "a quarter": 1. / 4, "quarter inch": 1. / 4, "one quarter": 1. / 4,
	"five sixteenths": 5. / 16, "five sixteenth": 5. / 16,
	"three eighths": 3. / 8, "three eighth": 3. / 8,
	"seven sixteenths": 7. / 16, "half inch": 1. / 2, "half an inch": 1. / 2, "one half": 1. / 2,
	"three thirty seconds": 3. / 32, "three quarters": 3. / 4,
}

var (
	commaDecimal = Pattern(`(\d),(\d{1,2})([a-zA-Z ]|$)`) // 3,2mm
	ordinal      = Pattern(`(\d/\d{1,2})ths?\b`)          // 1/8th
)

// tidy lower-cases, straightens typographic quotes and primes, and folds space.
func tidy(s string) string {
	if hasDigit(s) {
		s = commaDecimal().ReplaceAllString(ordinal().ReplaceAllString(s, "$1"), "$1.$2$3")
	}
	return strings.Join(strings.Fields(strings.ToLower(typeset.Replace(s))), " ")
}

// typeset are signs that a phone or a word processor puts in.
var typeset = strings.NewReplacer("\u201d", `"`, "\u201c", `"`, "\u2033", `"`, "\u2019", "'", "\u2018", "'", "''", `"`,
	"\u2013", "-", "\u2014", "-", "\u00d7", "x", "\u00bc", "1/4", "\u00bd", "1/2", "\u00be", "3/4", "\u215b", "1/8", "\u215c", "3/8", "\u00a0", " ")

var lengthUnits = map[string]float64{
	`"`: MMPerInch, "in": MMPerInch, "in.": MMPerInch, "inch": MMPerInch, "inches": MMPerInch,
	"mm": 1, "millimetre": 1, "millimetres": 1, "millimeter": 1, "millimeters": 1, "cm": 10, "m": 1000, "ft": 12 * MMPerInch, "feet": 12 * MMPerInch, "foot": 12 * MMPerInch, "'": 12 * MMPerInch,
	"thou": MMPerInch / 1000, "mil": MMPerInch / 1000, "mils": MMPerInch / 1000,
}

// WhichUnit is the question that a bare number above one inch raises.
const WhichUnit = "is that millimeters or inches?"

const lengthHint = `accepted: 1/8, 1/8", 0.125in, 3mm, eighth, 3/16, 1-1/4`

// ParseLength reads a length such as 1/8, 0.125in, 3mm or "three sixteenths".
// A bare number follows the units, save that a whole number of bare inches
// above 1 is asked back: "3" on a shop floor is as often 3 mm.
// Errors: [InvalidError] naming the field, with what would be accepted.
func ParseLength(field, s string, units Units) (MM, error) {
	t := tidy(s)
	if t == "" {
		return 0, Invalid(field, s, "nothing given", lengthHint)
	}
	if in, ok := said[strings.ReplaceAll(t, "-", " ")]; ok {
		return Inches(in), nil
	}
	if strings.HasPrefix(t, "-") {
		return 0, Invalid(field, s, "a length cannot be negative", lengthHint)
	}
	v, fraction, unit, ok := splitNumber(t)
	if !ok {
		return 0, unread(field, s, "not a length", lengthHint)
	}
	if fraction {
		if err := topHeavy(field, s, t); err != nil {
			return 0, err
		}
	}
	per, known := lengthUnits[unit]
	switch {
	case unit == "" && fraction:
		per = MMPerInch // nobody writes eighths of a millimetre
	case unit == "" && units == Metric:
		per = 1
	case unit == "" && v > 1:
		return 0, Invalid(field, s, WhichUnit,
			fmt.Sprintf("write %smm or %sin", trimNumber(v), trimNumber(v)))
	case unit == "":
		per = MMPerInch
	case !known:
		return 0, Invalid(field, s, fmt.Sprintf("%q is not a unit of length", shorten(unit)), lengthHint)
	}
	if v == 0 {
		return 0, Invalid(field, s, "zero is not a length", lengthHint)
	}
	return MM(v * per), nil
}

// ParseDistance reads a longer length, such as a run of weld or a cord, where
// a bare number is an ordinary count of inches (us) or millimetres (metric).
func ParseDistance(field, s string, units Units) (MM, error) {
	t := tidy(s)
	if v, _, unit, ok := splitNumber(t); ok && unit == "" && v > 0 {
		if units == Metric {
			return MM(v), nil
		}
		return Inches(v), nil
	}
	return ParseLength(field, s, units)
}

// thicknessInRange refuses what no plate or wall can be.
func thicknessInRange(field, read string, t MM) error {
	if t < smallestMM || t > absurdMM {
		return Invalid(field, read, "not a thickness of metal", "from 0.1 mm (0.004 in) to 300 mm (12 in)", lengthHint)
	}
	return nil
}

// parseRate reads a speed. per maps each unit to the stored unit; bare is used
// where none is given.
func parseRate(field, s string, per map[string]float64, bare float64, lo, hi float64, hint string) (float64, error) {
	t := tidy(s)
	v, _, unit, ok := splitNumber(t)
	if !ok {
		return 0, unread(field, s, "cannot be read as "+field, "accepted: "+hint)
	}
	f, known := per[strings.ReplaceAll(unit, " ", "")]
	if unit == "" {
		f = bare
	} else if !known {
		return 0, Invalid(field, s, fmt.Sprintf("%q is not a unit of %s", shorten(unit), field), "accepted: "+hint)
	}
	v *= f
	if v < lo || v > hi {
		return 0, Invalid(field, s, "out of reach", "accepted: "+hint)
	}
	return v, nil
}

// ParseWireSpeed reads a wire feed speed: 250ipm, 250 in/min, 6.4 m/min. A bare
// number is in/min (us) or m/min (metric). Range 0.3 to 40 m/min.
func ParseWireSpeed(s string, units Units) (MPerMin, error) {
	bare := mPerMinPerIPM
	if units == Metric {
		bare = 1
	}
	v, err := parseRate("wire speed", s, map[string]float64{"ipm": mPerMinPerIPM, "in/min": mPerMinPerIPM, "inpermin": mPerMinPerIPM, "m/min": 1, "mpm": 1, "mm/s": 0.06, "mm/min": 0.001},
		bare, float64(slowestWire), float64(fastestWire), "250ipm, 250 in/min, 6.4 m/min; from 12 to 1575 in/min")
	return MPerMin(v), err
}

var timed = Pattern(`^(.+?) in (\d+(?:\.\d+)?) ?(?:s|sec|secs|seconds)$`)

// ParseTravel reads a travel speed: 10ipm, 250 mm/min, 25cm/min, or timed as
// "4in in 24s". A bare number is in/min (us) or mm/min (metric). Range 10 to 5000 mm/min.
func ParseTravel(s string, units Units) (MMPerMin, error) {
	const hint = "10ipm, 250 mm/min, 25 cm/min, or timed: 4in in 24s; from 0.4 to 200 in/min"
	if m := timed().FindStringSubmatch(tidy(s)); m != nil {
		d, err := ParseLength("travel", m[1], units)
		if err != nil {
			return 0, Invalid("travel", s, "not a length in a time", "accepted: "+hint)
		}
		sec, _ := strconv.ParseFloat(m[2], 64)
		v := float64(d) * 60 / sec
		if !finite(v) || v < float64(slowestTravel) || v > float64(fastestTravel) {
			return 0, Invalid("travel", s, "out of reach", "accepted: "+hint)
		}
		return MMPerMin(v), nil
	}
	bare := MMPerInch
	if units == Metric {
		bare = 1
	}
	v, err := parseRate("travel speed", s, map[string]float64{"ipm": MMPerInch, "in/min": MMPerInch, "mm/min": 1, "cm/min": 10, "m/min": 1000, "mm/s": 60, "cpm": 10},
		bare, float64(slowestTravel), float64(fastestTravel), hint)
	return MMPerMin(v), err
}

// ParseVolts reads arc or supply volts, such as 18 or 18.5V. Range 5 to 700 V.
func ParseVolts(field, s string) (Volts, error) {
	v, err := parseRate(field, s, map[string]float64{"v": 1, "volt": 1, "volts": 1, "vdc": 1, "vac": 1}, 1, 5, 700, "18 or 18.5V; from 5 to 700 V")
	return Volts(v), err
}

// ParseAmps reads amperes, such as 90 or 90A. Range 1 to 1000 A.
func ParseAmps(field, s string) (Amps, error) {
	v, err := parseRate(field, s, map[string]float64{"a": 1, "amp": 1, "amps": 1}, 1, 1, 1000, "90 or 90A; from 1 to 1000 A")
	return Amps(v), err
}

// ParsePercent reads 20 or 20%. Range above 0 to 100.
func ParsePercent(field, s string) (Percent, error) {
	v, err := parseRate(field, s, map[string]float64{"%": 1, "percent": 1, "pct": 1}, 1, 0.1, 100, "20 or 20%, up to 100")
	return Percent(v), err
}

// Thirds of an unmarked knob, as they are said and stored.
var thirds = map[string]string{
	"lower third": "lower third", "low third": "lower third", "bottom third": "lower third", "first third": "lower third",
	"middle third": "middle third", "mid third": "middle third", "middle": "middle third", "half": "middle third", "halfway": "middle third",
	"upper third": "upper third", "top third": "upper third", "last third": "upper third", "high third": "upper third",
}

// ParseKnob reads a knob setting: 4.5, 4 1/2, or a third of an unmarked knob's
// turn. Exactly one of mark and words is set.
func ParseKnob(s string) (mark *float64, words string, err error) {
	t := tidy(s)
	if w, ok := thirds[strings.TrimPrefix(t, "the ")]; ok {
		return nil, w, nil
	}
	v, _, rest, ok := splitNumber(t)
	if !ok || rest != "" || v > 1000 {
		return nil, "", unread("knob", s, "not a setting of a knob", "accepted: a number on its scale such as 4.5 or 4 1/2",
			"for an unmarked knob: lower third, middle third, upper third")
	}
	return &v, "", nil
}

// trimNumber prints a number with no trailing zeros.
func trimNumber(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// FormatLength writes a length for people: us as a fraction where it is one,
// else as decimal inches, with mm beside it; metric as mm.
func FormatLength(v MM, units Units) string {
	if v == 0 {
		return "not known"
	}
	if units == Metric {
		if v >= 5 {
			return fmt.Sprintf("%s mm", trimNumber(math.Round(float64(v)*10)/10))
		}
		return fmt.Sprintf("%s mm", trimNumber(math.Round(float64(v)*100)/100))
	}
	if f, ok := fraction(v); ok {
		return fmt.Sprintf("%s in (%s mm)", f, trimNumber(math.Round(float64(v)*10)/10))
	}
	return fmt.Sprintf("%.3f in (%s mm)", v.Inches(), trimNumber(math.Round(float64(v)*100)/100))
}

// fraction names a length as a fraction of an inch if it is one to within a
// thousandth of an inch, in sixty-fourths at the finest.
func fraction(v MM) (string, bool) {
	in := v.Inches()
	for _, d := range []int{2, 4, 8, 16, 32, 64} {
		n := int(math.Round(in * float64(d)))
		if n == 0 || math.Abs(in-float64(n)/float64(d)) > 0.0006 {
			continue
		}
		whole, part := n/d, n%d
		switch {
		case part == 0:
			return strconv.Itoa(whole), true
		case whole == 0:
			return fmt.Sprintf("%d/%d", part, d), true
		default:
			return fmt.Sprintf("%d-%d/%d", whole, part, d), true
		}
	}
	return "", false
}

// FormatWireSpeed writes a wire speed in the units asked for.
func FormatWireSpeed(v MPerMin, units Units) string {
	if units == Metric {
		return fmt.Sprintf("%.1f m/min", float64(v))
	}
	return fmt.Sprintf("%.0f in/min", v.InchesPerMin())
}

// FormatKnob writes a mark as people say it: 4 1/2 rather than 4.5.
func FormatKnob(mark float64) string {
	whole := math.Floor(mark)
	switch math.Round((mark - whole) * 4) {
	case 0:
		return trimNumber(whole)
	case 4:
		return trimNumber(whole + 1)
	}
	part := map[float64]string{1: "1/4", 2: "1/2", 3: "3/4"}[math.Round((mark-whole)*4)]
	if whole == 0 {
		return part
	}
	return trimNumber(whole) + " " + part
}

// ParseGrams reads a weight of wire: 2lb, 900g, 1kg, 8oz. A bare number is
// refused: pounds and kilograms are both sold. Range above 0 to 50 kg.
func ParseGrams(field, s string) (Grams, error) {
	v, err := parseRate(field, s, map[string]float64{"g": 1, "gram": 1, "grams": 1, "kg": 1000, "lb": 453.59237, "lbs": 453.59237, "pound": 453.59237, "pounds": 453.59237, "oz": 28.349523125},
		0, 1, 50000, "2lb, 10lb, 900g, 1kg")
	return Grams(v), err
}
