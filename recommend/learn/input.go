package learn

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"time"
)

// ErrNoTable means that the table holds no wire speed for the job, so nothing can be corrected and nothing is invented.
var ErrNoTable = errors.New("no table wire speed for this job, and none is made up")

// StateKind says what changed on a machine when a state began.
type StateKind string

const (
	Original StateKind = "original" // as first logged: no effect of its own
	Output   StateKind = "output"   // polarity or tap voltage changed: prior sd 0.20
	Feed     StateKind = "feed"     // liner, tip or drive roll changed: prior sd 0.08
)

// State is a machine between two changes.
type State struct {
	ID   string    `json:"id"`
	Kind StateKind `json:"kind"`
}

// Machine is a welding machine with its taps from the coldest to the hottest and its states from the first to the
// newest. Calibrated means that wire speeds come from the user's own measurements of the knob.
type Machine struct {
	ID         string   `json:"id"`
	Calibrated bool     `json:"calibrated"`
	Taps       []string `json:"taps"`
	States     []State  `json:"states"`
}

// Setup is who welds what with what. Names are compared as they stand. Thickness is 0.010 to 2 in, wire diameter 0.015
// to 0.125 in. State may be empty only for a machine that lists no states, Tap only for one that lists no taps.
type Setup struct {
	User           string  `json:"user"`
	Machine        string  `json:"machine"`
	State          string  `json:"state"`
	Spool          string  `json:"spool"`
	ThicknessIn    float64 `json:"thickness_in"`
	Joint          string  `json:"joint"`
	Position       string  `json:"position"`
	WireDiameterIn float64 `json:"wire_diameter_in"`
	Tap            string  `json:"tap"`
}

// Weld is one bead as logged. Speeds are m/min, 0.1 to 50. Rating is 1 (scrap) to 5 (as good as it gets), 4 and 5 count
// as good. Heat is +1 for too hot (burn-through, undercut, wide flat bead), -1 for too cold (ropey bead, lack of
// fusion). Balance is +1 for too much wire for the volts (stubbing, popping), -1 for too little (burnback, long noisy
// arc). A weld with wire speed, table speed or rating 0 (not known) is kept but not learned from. Welds with an empty
// Session share one if they were made on one day.
type Weld struct {
	ID   string    `json:"id"`
	Time time.Time `json:"time"`
	Setup
	Session        string  `json:"session"`
	TableWireSpeed float64 `json:"table_wire_speed"`
	WireSpeed      float64 `json:"wire_speed"`
	Rating         int     `json:"rating"`
	Heat           int     `json:"heat"`
	Balance        int     `json:"balance"`
}

// Query asks for the wire speed of one job. TableWireSpeed is m/min, 0.1 to 50, or 0 when the table has none. Live are
// the welds of today's session on this very job; those that are in the log as well count once, as live.
type Query struct {
	Setup
	TableWireSpeed float64    `json:"table_wire_speed"`
	OtherTaps      []TapTable `json:"other_taps,omitempty"`
	Live           []Weld     `json:"live,omitempty"`
	Limits         Limits     `json:"limits,omitzero"`
}

// TapTable is the table's wire speed in m/min for the same job on another tap.
type TapTable struct {
	Tap            string  `json:"tap"`
	TableWireSpeed float64 `json:"table_wire_speed"`
}

// InputError says which field of which record was not accepted, what was read and what would be.
type InputError struct {
	Record string // as "weld A3"
	Field  string // JSON name of the field
	Got    string
	Want   string
}

func (e *InputError) Error() string {
	return fmt.Sprintf("%s: %s is %s; accepted: %s", e.Record, e.Field, e.Got, e.Want)
}

// learnable reports whether the weld says anything about the best wire speed: settings, table value and rating known.
func (w *Weld) learnable() bool {
	return w.WireSpeed > 0 && w.TableWireSpeed > 0 && w.Rating > 0
}

func (w *Weld) good() bool { return w.Rating >= 4 }

// conflict reports contradictory symptoms, which speak of the tap and not of the wire speed.
func (w *Weld) conflict() bool { return w.Heat*w.Balance < 0 }

// direction is +1 for wire speed too high, -1 for too low, 0 for not known or contradictory.
func (w *Weld) direction() int { return sign(float64(w.Heat + w.Balance)) }

// Bounds of what is taken for a measurement rather than a slip of the pen.
const (
	minThicknessIn, maxThicknessIn = 0.010, 2.0
	minWireIn, maxWireIn           = 0.015, 0.125
	minSpeed, maxSpeed             = 0.1, 50.0 // m/min
)

// The checks below return an error that does not name its record yet, or nil.

func inRange(field string, v, lo, hi float64, unit string, zeroUnknown bool) *InputError {
	if v >= lo && v <= hi || zeroUnknown && v == 0 {
		return nil
	}
	want := fmt.Sprintf("%g to %g %s", lo, hi, unit)
	if zeroUnknown {
		want += ", or 0 when not known"
	}
	return &InputError{Field: field, Got: fmt.Sprintf("%g", v), Want: want}
}

func oneOf(field string, v, lo, hi int, want string) *InputError {
	if v < lo || v > hi {
		return &InputError{Field: field, Got: fmt.Sprint(v), Want: want}
	}
	return nil
}

// of names the record; nil stays nil.
func (e *InputError) of(record string) error {
	if e == nil {
		return nil
	}
	e.Record = record
	return e
}

// settle returns v rounded to 1e-7 in, so that 3.175 mm and 1/8 in are one thickness.
func settle(v float64) float64 { return math.Round(v*1e7) / 1e7 }

func (s *Setup) fault(fleet map[string]*rig) *InputError {
	r := fleet[s.Machine]
	if r == nil {
		return &InputError{Field: "machine", Got: fmt.Sprintf("%q", s.Machine), Want: "the id of a listed machine"}
	}
	if _, ok := r.state[s.State]; !ok {
		return &InputError{Field: "state", Got: fmt.Sprintf("%q", s.State), Want: "a state of machine " + s.Machine}
	}
	if _, ok := r.tap[s.Tap]; !ok {
		return &InputError{Field: "tap", Got: fmt.Sprintf("%q", s.Tap), Want: fmt.Sprintf("a tap of machine %s: %q", s.Machine, r.Taps)}
	}
	return cmp.Or(
		inRange("thickness_in", s.ThicknessIn, minThicknessIn, maxThicknessIn, "in", false),
		inRange("wire_diameter_in", s.WireDiameterIn, minWireIn, maxWireIn, "in", false))
}

func tableFault(speed float64) *InputError {
	return inRange("table_wire_speed", speed, minSpeed, maxSpeed, "m/min", true)
}

// fault skips the setup if it is known to be right.
func (w *Weld) fault(fleet map[string]*rig, setupChecked bool) *InputError {
	if !setupChecked {
		if e := w.Setup.fault(fleet); e != nil {
			return e
		}
	}
	return cmp.Or(
		tableFault(w.TableWireSpeed),
		inRange("wire_speed", w.WireSpeed, minSpeed, maxSpeed, "m/min", true),
		oneOf("rating", w.Rating, 0, 5, "1 to 5, or 0 when not rated"),
		oneOf("heat", w.Heat, -1, 1, "-1 too cold, 0 not said, 1 too hot"),
		oneOf("balance", w.Balance, -1, 1, "-1 too little wire, 0 not said, 1 too much wire"))
}

func (w *Weld) check(fleet map[string]*rig, setupChecked bool) error {
	if w.ID == "" {
		return &InputError{"a weld", "id", "empty", "an id of its own for every weld"}
	}
	if e := w.fault(fleet, setupChecked); e != nil {
		return e.of("weld " + w.ID)
	}
	return nil
}

// check also asks that the live welds are beads of this job on this machine.
func (q *Query) check(fleet map[string]*rig) error {
	if e := cmp.Or(q.Setup.fault(fleet), tableFault(q.TableWireSpeed)); e != nil {
		return e.of("query")
	}
	for _, t := range q.OtherTaps {
		other := q.Setup
		other.Tap = t.Tap
		if e := cmp.Or(other.fault(fleet), tableFault(t.TableWireSpeed)); e != nil {
			return e.of("query other_taps")
		}
	}
	seen := make(map[string]bool, len(q.Live))
	for i := range q.Live {
		w := &q.Live[i]
		if err := w.check(fleet, false); err != nil {
			return err
		}
		if seen[w.ID] {
			return &InputError{"weld " + w.ID, "id", "used twice", "an id of its own for every live weld"}
		}
		seen[w.ID] = true
		if w.Machine != q.Machine || w.cell() != q.cell() {
			return &InputError{"weld " + w.ID, "live", "a weld of another job or machine",
				"welds with the query's machine, thickness, joint, position, wire and tap"}
		}
	}
	if q.TableWireSpeed == 0 {
		return ErrNoTable
	}
	return nil
}
