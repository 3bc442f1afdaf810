package arc

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
)

// OwnReadings is the basis of a value fitted to the welder's own measurements.
const OwnReadings data.Basis = "own readings"

// Value is one answer of a lookup.
type Value struct {
	Value  float64    // the typical or required number, in Unit
	Low    float64    // lower end of the likely range, in Unit; equal to Value for an exact rule
	High   float64    // upper end, in Unit
	Unit   string     // such as A, V, mm, in/min; "" for a pure number
	Basis  data.Basis // how it was got, by its weakest part
	Source []string   // ids of data.Sources, without repeats
	Note   string     // what to say beside it; may be ""
}

// How tells how the value was got in the words of the notebook.
func (v Value) How() procedures.How {
	switch v.Basis {
	case OwnReadings:
		return procedures.OwnCurve
	case data.Practice:
		return procedures.CommonPractice
	}
	return procedures.FromTable
}

// RangeError says that a question lies outside the table or the rule that would
// answer it. Nothing is extrapolated.
type RangeError struct {
	Quantity  string   // what was asked about: current, wire speed, thickness ...
	Read      float64  // what was asked, in Unit
	Low, High float64  // what the table covers, in Unit; High may be +Inf
	Unit      string   // such as A
	Source    []string // ids of data.Sources
}

// In is the same error in the units of the reader: a metric one is not told the inches
// that a table prints. What a table prints in millimeters stays so.
func (e *RangeError) In(units procedures.Units) *RangeError {
	told := *e
	metric := map[string]struct {
		unit   string
		factor float64
	}{"in": {"mm", procedures.MMPerInch}, "ft": {"m", 12 * procedures.MMPerInch / 1000}, "in/min": {"m/min", procedures.MMPerInch / 1000}}
	if to, ok := metric[e.Unit]; ok && units == procedures.Metric {
		told.Unit, told.Read, told.Low, told.High = to.unit, e.Read*to.factor, e.Low*to.factor, e.High*to.factor
	}
	return &told
}

func (e *RangeError) Error() string {
	s := fmt.Sprintf("%s %s is outside the table, which covers %s to %s", e.Quantity, say(e.Read, e.Unit), say(e.Low, ""), say(e.High, e.Unit))
	if math.IsInf(e.High, 1) {
		s = fmt.Sprintf("%s %s is outside the table, which begins at %s", e.Quantity, say(e.Read, e.Unit), say(e.Low, e.Unit))
	}
	if len(e.Source) > 0 {
		s += " (" + strings.Join(e.Source, ", ") + ")"
	}
	return s
}

// NoTableError says that nothing is printed about a wire, gas or process at all.
type NoTableError struct {
	Quantity string   // what was asked for: current, arc voltage ...
	Of       string   // what it was asked of, such as "0.052 E71T-GS"
	Have     []string // what there are tables for
}

func (e *NoTableError) Error() string {
	return fmt.Sprintf("no table gives the %s of %s; there are tables for %s", e.Quantity, e.Of, strings.Join(e.Have, ", "))
}

// say writes a number for a message, with its unit where one is given.
func say(v float64, unit string) string {
	return strings.TrimSpace(strconv.FormatFloat(v, 'g', 4, 64) + " " + unit)
}

// Within refuses a number outside low through high (both in unit), and every
// NaN. It guards against slips of the keyboard; the limits of a table are a
// [*RangeError]. The error is a [*procedures.InvalidError] that names the field.
func Within(field string, v, low, high float64, unit string) error {
	if v >= low && v <= high {
		return nil
	}
	return procedures.Invalid(field, strings.TrimSpace(fmt.Sprintf("%g %s", v, unit)), "not a usable number",
		fmt.Sprintf("accepted: %s to %s", say(low, ""), say(high, unit)))
}

// first returns the first error that is not nil.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// The limits of what any hand-held arc does; wider than every table.
func checkVolts(v procedures.Volts) error { return Within("voltage", float64(v), 5, 100, "V") }
func checkAmps(i procedures.Amps) error   { return Within("current", float64(i), 1, 1000, "A") }
func checkTravel(s procedures.MMPerMin) error {
	return Within("travel", float64(s), 10, 5000, "mm/min")
}
func checkWireSpeed(s procedures.MPerMin) error {
	return Within("wire speed", float64(s), 0.3, 40, "m/min")
}
func checkLength(l procedures.MM) error { return Within("length", float64(l), 1, 1e6, "mm") }

// strength orders bases from the best founded to the least.
var strength = []data.Basis{data.Printed, OwnReadings, data.Computed, data.Memory, data.Practice}

// Weakest returns the least founded of the bases: an answer is as good as its
// weakest part. With none it is computed.
func Weakest(bases ...data.Basis) data.Basis {
	weakest := -1
	for _, b := range bases {
		weakest = max(weakest, slices.Index(strength, b))
	}
	if weakest < 0 {
		return data.Computed
	}
	return strength[weakest]
}

// Together joins lists of source ids without repeats, in order.
func Together(lists ...[]string) []string {
	var out []string
	for _, list := range lists {
		for _, id := range list {
			if !slices.Contains(out, id) {
				out = append(out, id)
			}
		}
	}
	return out
}
