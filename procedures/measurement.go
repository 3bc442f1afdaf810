package procedures

import (
	"encoding/json"
	"fmt"
	"strings"
	"time"
)

// Measurement is one thing measured on a machine, or one event that starts a count
// anew. What was measured at one time carries one At.
type Measurement struct {
	ID      string          `json:"id"`     // UUIDv7
	Number  int             `json:"number"` // of this machine, from 1: how a person names it
	At      time.Time       `json:"at"`
	Machine string          `json:"machine"` // name
	State   string          `json:"state"`   // id of the machine's state
	Spool   string          `json:"spool"`   // id of the spool it speaks of or was made with; "" not known
	Kind    MeasurementKind `json:"kind"`
	Tap     string          `json:"tap"`  // it was measured on; "" none or not said
	Knob    *float64        `json:"knob"` // mark it was measured at
	Value   float64         `json:"value"`
	Note    string          `json:"note"`
	Struck  string          `json:"struck"` // why it was withdrawn; "" stands
}

// MeasurementKind names a measurement; its ending names the unit.
type MeasurementKind string

// What garage instruments read.
const (
	OpenVolts     MeasurementKind = "open_V"        // trigger pulled, no arc
	LoadVolts     MeasurementKind = "load_V"        // at the arc, arc on
	TerminalVolts MeasurementKind = "terminals_V"   // at the machine's posts, arc on
	GunLeadVolts  MeasurementKind = "gun_lead_V"    // lost from the post to the contact tip, arc on
	WorkLeadVolts MeasurementKind = "work_lead_V"   // lost from the post to the clamp, arc on
	ClampVolts    MeasurementKind = "clamp_V"       // lost from the clamp to the work, arc on
	LineIdleVolts MeasurementKind = "line_idle_V"   // at the machine's plug, not welding
	LineLoadVolts MeasurementKind = "line_loaded_V" // at the machine's plug, arc on
	ClampAmps     MeasurementKind = "current_A"     // clamp meter round one welding lead, arc on
	StubMark      MeasurementKind = "stub"          // mark at which the wire begins to stub
	BurnBackMark  MeasurementKind = "burn_back"     // mark at which it burns back to the tip
	TipNew        MeasurementKind = "tip"           // a new contact tip was put in; no value
	WireFed       MeasurementKind = "fed_mm"        // wire fed that no weld and no run-out accounts for
	SpoolWeight   MeasurementKind = "wire_left_g"   // wire left on the spool, weighed
)

type measurementBand struct {
	kind   MeasurementKind
	lo, hi float64
	hint   string
}

var measurementBands = []measurementBand{
	{OpenVolts, 5, 200, "volts between gun and work with no arc, 5 to 200 V"},
	{LoadVolts, 5, 100, "arc volts, 5 to 100 V"},
	{TerminalVolts, 5, 100, "volts at the machine's posts while welding, 5 to 100 V"},
	{GunLeadVolts, 0, 30, "volts lost, 0 to 30 V"},
	{WorkLeadVolts, 0, 30, "volts lost, 0 to 30 V"},
	{ClampVolts, 0, 30, "volts lost, 0 to 30 V"},
	{LineIdleVolts, 90, 700, "wall volts, 90 to 700 V"},
	{LineLoadVolts, 60, 700, "wall volts while welding, 60 to 700 V"},
	{ClampAmps, 5, 1000, "amps of the arc, 5 to 1000 A"},
	{StubMark, 0, 1000, "a mark on the knob"},
	{BurnBackMark, 0, 1000, "a mark on the knob"},
	{TipNew, 0, 0, "no value"},
	{WireFed, 10, 1e6, "10 mm to 1 km of wire"},
	{SpoolWeight, 0, 50000, "0 to 50 kg of wire, without the spool"},
}

// MeasurementKinds lists the kinds of measurement.
func MeasurementKinds() []MeasurementKind {
	kinds := make([]MeasurementKind, len(measurementBands))
	for i, b := range measurementBands {
		kinds[i] = b.kind
	}
	return kinds
}

// Validate reports the first thing about the measurement that cannot be.
func (r Measurement) Validate() error {
	if err := firstOf(plainText("tap", r.Tap), plainText("note", r.Note), plainText("why", r.Struck)); err != nil {
		return err
	}
	for _, b := range measurementBands {
		if b.kind != r.Kind {
			continue
		}
		if r.Knob != nil && (!finite(*r.Knob) || *r.Knob < 0 || *r.Knob > 1000) {
			return Invalid("knob", fmt.Sprint(*r.Knob), "not a mark on a knob", "accepted: a number on the scale, such as 4.5")
		}
		if r.Kind == SpoolWeight && r.Spool == "" {
			return Invalid("spool", "", "which spool was weighed?", "name it: beadwright wire weigh NAME 1.4lb")
		}
		return within(strings.ReplaceAll(string(r.Kind), "_", " "), r.Value, b.lo, b.hi, b.hint)
	}
	return Invalid("kind", string(r.Kind), "not a measurement this notebook knows")
}

// CutOut is one time that the thermal cut-out opened.
type CutOut struct {
	ID      string    `json:"id"`     // UUIDv7
	Number  int       `json:"number"` // of this machine, from 1: how a person names it
	At      time.Time `json:"at"`
	Machine string    `json:"machine"`
	State   string    `json:"state"`
	Used    Seconds   `json:"arc_seconds"` // of arc in the 10 min before it opened
	Current Amps      `json:"current_A"`   // of the arc; zero: not known
	Tap     string    `json:"tap"`
	Knob    *float64  `json:"knob"`
	Ambient *float64  `json:"ambient_C"` // of the air; nil: not known
	Note    string    `json:"note"`
	Struck  string    `json:"struck"`
}

// Validate reports the first thing about the cut-out that cannot be.
func (c CutOut) Validate() error {
	if err := firstOf(plainText("tap", c.Tap), plainText("note", c.Note), plainText("why", c.Struck),
		within("arc", float64(c.Used), 1, 600, "1 to 600 s of arc in the 10 minutes before it opened")); err != nil {
		return err
	}
	if c.Current != 0 {
		if err := within("amps", float64(c.Current), 5, 1000, "5 to 1000 A"); err != nil {
			return err
		}
	}
	if c.Knob != nil {
		if err := within("knob", *c.Knob, 0, 1000, "a number on the scale, such as 4.5"); err != nil {
			return err
		}
	}
	if c.Ambient != nil {
		return within("ambient", *c.Ambient, -40, 60, "-40 to 60 C (-40 to 140 F)")
	}
	return nil
}

// Arc is one stretch of arc time on a machine's duty clock.
type Arc struct {
	ID      string    `json:"id"` // UUIDv7
	Machine string    `json:"machine"`
	State   string    `json:"state"`
	Start   time.Time `json:"start"`
	Stop    time.Time `json:"stop"`   // zero: it burns
	Weld    string    `json:"weld"`   // id of the weld it was counted to; "" none yet
	Struck  string    `json:"struck"` // why it was withdrawn; "" stands

	Number int `json:"-"` // how a person names it, where a log of them was asked for
}

// Burning reports whether the arc was not stopped yet.
func (a Arc) Burning() bool { return a.Stop.IsZero() }

// MarshalJSON writes null for the end of an arc that burns.
func (a Arc) MarshalJSON() ([]byte, error) {
	type plain Arc
	p := struct {
		plain
		Stop *time.Time `json:"stop"`
	}{plain: plain(a)}
	if !a.Burning() {
		p.Stop = &a.Stop
	}
	return json.Marshal(p)
}

// LongestArc is longer than any hand holds one bead: a clock that ran on was
// forgotten. A design choice.
const LongestArc Seconds = 600
