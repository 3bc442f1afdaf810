package procedures

import (
	"math"
	"strings"
)

// ParseDrop reads volts lost on the way, such as 0.4V or 400mV. Nothing lost is a
// reading too. Range 0 to 30 V.
func ParseDrop(field, s string) (float64, error) {
	return parseRate(field, s, map[string]float64{"v": 1, "volt": 1, "volts": 1, "vdc": 1, "mv": 0.001}, 1, 0, 30, "0.4V or 400mV, up to 30V")
}

// ParseFarads reads the capacitance of a capacitor or of a bank of them side by
// side: 60000uF, 0.06F, 6x10000uF. It returns all of it together, and how many
// there are; zero where it was not said. Millifarads are refused: on old parts mF
// means microfarads. Range 1 uF to 10 F together, 1 to 100 pieces.
func ParseFarads(field, s string) (farads float64, pieces Count, err error) {
	const hint = "accepted: 60000uF, 0.06F, or 6x10000uF for six alike side by side; 1 uF to 10 F together"
	t := tidy(s)
	each, times := t, 1.0
	if count, rest, ok := strings.Cut(strings.ReplaceAll(t, "*", "x"), "x"); ok {
		n, _, left, ok := splitNumber(strings.TrimSpace(count))
		if !ok || left != "" || n != math.Trunc(n) || n < 1 || n > 100 {
			return 0, 0, unread(field, s, "not a number of capacitors", hint)
		}
		each, times, pieces = strings.TrimSpace(rest), n, Count(n)
	}
	v, fraction, unit, ok := splitNumber(each)
	per, known := map[string]float64{"f": 1, "farad": 1, "farads": 1, "uf": 1e-6, "\u00b5f": 1e-6, "\u03bcf": 1e-6, "mfd": 1e-6}[unit]
	switch {
	case !ok || fraction:
		return 0, 0, unread(field, s, "not a capacitance", hint)
	case unit == "mf":
		return 0, 0, Invalid(field, s, "mF is read as microfarads on old parts and as millifarads on new ones", "write the number in uF or F", hint)
	case unit == "":
		return 0, 0, Invalid(field, s, "microfarads or farads?", hint)
	case !known:
		return 0, 0, Invalid(field, s, "not in a unit of capacitance", hint)
	}
	v *= per * times
	if v < 1e-6*(1-1e-9) || v > 10*(1+1e-9) {
		return 0, 0, Invalid(field, s, "out of reach", hint)
	}
	return min(max(v, 1e-6), 10), pieces, nil // a product may end a last digit past the limit
}

// ParseOhms reads a resistance: 100ohm, 4.7kohm, 1k. A bare number is in ohms.
// Range 0.1 ohm to 100 Mohm.
func ParseOhms(field, s string) (float64, error) {
	return parseRate(field, s, map[string]float64{"ohm": 1, "ohms": 1, "\u03c9": 1, "r": 1, "k": 1e3, "kohm": 1e3, "kohms": 1e3, "k\u03c9": 1e3},
		1, 0.1, 1e8, "100ohm, 4.7kohm; from 0.1 ohm to 100 Mohm")
}

// ParseWatts reads 25W or 1.5kW. A bare number is in watts. Range 0.1 W to 100 kW.
func ParseWatts(field, s string) (float64, error) {
	return parseRate(field, s, map[string]float64{"w": 1, "watt": 1, "watts": 1, "kw": 1000}, 1, 0.1, 1e5, "25W, 1.5kW")
}

// ParseHertz reads a mains frequency, 50 or 60Hz. Range 40 to 400 Hz.
func ParseHertz(field, s string) (float64, error) {
	return parseRate(field, s, map[string]float64{"hz": 1}, 1, 40, 400, "60 or 50Hz")
}
