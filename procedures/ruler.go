package procedures

import (
	"fmt"
	"math"
)

// FormatRuler writes a length that is held against a ruler, such as a stick-out: in
// US units the nearest sixteenth of an inch where it lies within 1 mm of it, with the
// millimeters as they are; else as [FormatLength] does.
func FormatRuler(v MM, units Units) string {
	near := Inches(math.Round(v.Inches()*16) / 16)
	if units == Metric || near == 0 || math.Abs(float64(near-v)) > 1 {
		return FormatLength(v, units)
	}
	f, _ := fraction(near)
	return fmt.Sprintf("%s in (%s mm)", f, trimNumber(math.Round(float64(v)*10)/10))
}
