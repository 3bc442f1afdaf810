package steel

import (
	"fmt"
	"math"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Preheat is a least preheat and interpass temperature as a table prints it; the
// two scales are rounded apart from each other there.
type Preheat struct {
	F        float64 // degF; 32 means none, as long as the metal is not frozen
	C        float64 // degC
	Category string  // of AWS D1.1; "" elsewhere
	Basis    data.Basis
	Source   []string
	Note     string
}

// Fahrenheit is the degF that AWS D1.1 prints beside a preheat in degC, since the table
// rounds the two apart from each other: 65 C is 150 F there and 149 F by the formula. A
// temperature that it does not print goes by the formula.
func Fahrenheit(c float64) float64 {
	for _, r := range data.PreheatMinimums() {
		if r.MinC == c && r.MinC > 0 {
			return r.MinF
		}
	}
	return c*9/5 + 32
}

// None reports whether the table asks for no more than metal above freezing.
func (p Preheat) None() bool { return p.F <= 32 }

// LowHydrogen reports whether a wire or electrode counts as low-hydrogen in AWS
// D1.1: all wire processes, and covered electrodes ending in 15, 16, 18, 28 or 48.
// Source: D1.1 Table 3.3 for the processes; electrode endings from memory (AWS A5.1).
func LowHydrogen(w procedures.Wire) bool {
	switch procedures.ProcessOf(w.Class, w.Gas) {
	case procedures.FCAWS, procedures.FCAWG, procedures.GMAW:
		return true
	}
	class, _, _ := strings.Cut(strings.ReplaceAll(w.Class, "-", " "), " ") // E7018-1, E7018 H4R
	for _, end := range []string{"15", "16", "18", "28", "48"} {
		if strings.HasPrefix(class, "E") && strings.HasSuffix(class, end) {
			return true
		}
	}
	return false
}

// D11Category returns the preheat category of AWS D1.1 (A, B or C) of a grade.
// Error: [*arc.NoTableError] for a steel or process that the table does not list.
func D11Category(s data.Steel, lowHydrogen bool) (string, error) {
	category := s.PreheatOther
	if lowHydrogen {
		category = s.PreheatLowHydrogen
	}
	if category == "" || category == "none" {
		return "", &arc.NoTableError{Quantity: "D1.1 preheat", Of: nameOf(s), Have: []string{"A36, A53 B, A500", "A572, A588 and A992 with wire or low-hydrogen electrodes"}}
	}
	return category, nil
}

// D11Preheat returns the least preheat and interpass temperature of AWS D1.1 for
// a category and the thickness of the thickest part. Bands run "over ... through".
// Range: from 1/8 in (3.2 mm) up; below it [*arc.RangeError].
// Source: AWS D1.1:2015 Table 3.3 (category C from memory).
func D11Preheat(category string, thickest procedures.MM) (Preheat, error) {
	if err := arc.Within("thickness", float64(thickest), 0.1, 300, "mm"); err != nil {
		return Preheat{}, err
	}
	in, first, seen := thickest.Inches(), math.Inf(1), false
	for _, r := range data.PreheatMinimums() {
		if r.Category != category {
			continue
		}
		over := r.OverIn
		if !seen { // the first band takes its lower end in
			over, first, seen = r.OverIn-2*slack, r.OverIn, true
		}
		if in > over+slack && (r.ThroughIn == 0 || in <= r.ThroughIn+slack) {
			return Preheat{F: r.MinF, C: r.MinC, Category: category, Basis: r.Basis, Source: r.Source, Note: preheatNote(r)}, nil
		}
	}
	if !seen {
		return Preheat{}, procedures.Invalid("category", category, "not a preheat category of the table", "accepted: A, B, C")
	}
	return Preheat{}, &arc.RangeError{Quantity: "thickness", Read: in, Low: first, High: math.Inf(1), Unit: "in", Source: []string{"PH-D11-2015"}}
}

const slack = 1e-6 // in: the last digit of a conversion from mm

func preheatNote(r data.PreheatMinimum) string {
	if r.MinF <= 32 {
		return "base metal below 32 F (0 C): warm it to at least 70 F (20 C) first and keep it there"
	}
	return r.Note
}

// RebarPreheat returns the least preheat, in degF, of a reinforcing bar by its
// carbon equivalent and US bar number (3 to 11, 14, 18: there are no others); 0 is
// none. Range: CE 0.01 to 2 %. Errors: [*procedures.InvalidError], [*arc.RangeError] below 3 and above 18.
// Source: AWS D1.4 Table 5.2, from memory; bar numbers of ASTM A615, from memory.
func RebarPreheat(ce float64, bar int) (arc.Value, error) {
	if err := arc.Within("carbon equivalent", ce, 0.01, 2, "%"); err != nil {
		return arc.Value{}, err
	}
	if bar == 12 || bar == 13 || bar > 14 && bar < 18 {
		return arc.Value{}, procedures.Invalid("bar", fmt.Sprint(bar), "no bar is sold by that number", "accepted: 3 to 11, 14 and 18, the eighths of an inch that it is thick")
	}
	for _, r := range data.RebarPreheats() {
		if ce > r.CEOver+fine && (r.CEThrough == 0 || ce <= r.CEThrough+fine) && bar >= r.BarLow && bar <= r.BarHigh {
			return arc.Value{Value: r.MinF, Low: r.MinF, High: r.MinF, Unit: "degF", Basis: r.Basis, Source: r.Source, Note: r.Note}, nil
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "bar number", Read: float64(bar), Low: 3, High: 18, Source: []string{"MEM"}}
}
