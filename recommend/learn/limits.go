package learn

import (
	"fmt"
	"math"
)

// Limits bound a suggestion, in m/min; 0 means no such limit. Besides them a suggestion stays within 60 % to 165 % of the
// table.
type Limits struct {
	TableMin   float64 `json:"table_min,omitempty"` // the table's own, for this wire and tap
	TableMax   float64 `json:"table_max,omitempty"`
	WireMin    float64 `json:"wire_min,omitempty"`
	WireMax    float64 `json:"wire_max,omitempty"`
	MachineMin float64 `json:"machine_min,omitempty"`
	MachineMax float64 `json:"machine_max,omitempty"`
}

// Whose limit holds a suggestion.
const (
	LimitTable   = "table"
	LimitWire    = "wire"
	LimitMachine = "machine"
	LimitRatio   = "60 to 165 % of the table"
)

// LimitsError means that no wire speed is within all limits at once. Speeds are m/min.
type LimitsError struct {
	Min, Max         float64
	MinFrom, MaxFrom string
}

func (e *LimitsError) Error() string {
	return fmt.Sprintf("no wire speed is left: at least %.4g m/min (%s), at most %.4g m/min (%s)", e.Min, e.MinFrom, e.Max, e.MaxFrom)
}

// bounds is the tightest pair of limits and whose they are.
type bounds struct {
	min, max         float64
	minFrom, maxFrom string
}

// bounds are the lowest and the highest wire speed, in m/min, that table, wire and machine
// allow together, and which of them each comes from. Errors: [*InputError].
func (l Limits) bounds(table float64) (bounds, error) {
	b := bounds{minRatio * table, maxRatio * table, LimitRatio, LimitRatio}
	for _, x := range []struct {
		field, from string
		value       float64
		upper       bool
	}{
		{"table_min", LimitTable, l.TableMin, false}, {"table_max", LimitTable, l.TableMax, true},
		{"wire_min", LimitWire, l.WireMin, false}, {"wire_max", LimitWire, l.WireMax, true},
		{"machine_min", LimitMachine, l.MachineMin, false}, {"machine_max", LimitMachine, l.MachineMax, true},
	} {
		switch v := x.value; {
		case !(v >= 0) || math.IsInf(v, 1):
			return b, &InputError{"limits", x.field, fmt.Sprintf("%g", v), "a speed in m/min, or 0 for no limit"}
		case v == 0:
		case x.upper && v < b.max:
			b.max, b.maxFrom = v, x.from
		case !x.upper && v > b.min:
			b.min, b.minFrom = v, x.from
		}
	}
	if b.min > b.max {
		return b, &LimitsError{b.min, b.max, b.minFrom, b.maxFrom}
	}
	return b, nil
}

// hold returns v within the bounds and, if that changed it, whose limit it was.
func (b bounds) hold(v float64) (held float64, from string) {
	switch {
	case v < b.min:
		return b.min, b.minFrom
	case v > b.max:
		return b.max, b.maxFrom
	}
	return v, ""
}
