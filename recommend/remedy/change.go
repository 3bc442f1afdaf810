package remedy

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"beadwright/procedures"
)

// How far apart two records must be to count as a change. All are common practice,
// no source: below them a hand, a knob or a ruler does not repeat.
const (
	speedChanged     = 0.03 // of the wire speed
	knobChanged      = 0.1  // marks
	extensionChanged = 1.5  // mm, a sixteenth of an inch
	travelChanged    = 0.10 // of the pace
	thicknessChanged = 0.03 // of the thickness
	diameterChanged  = 0.06 // mm: 0.030 and 0.035 in are two wires
	gapChanged       = 0.5  // mm
	preheatChanged   = 15   // K
)

// Value is one side of a change: a word, or a number in the unit that ends the
// change's key.
type Value struct {
	Word   string
	Number float64
}

// MarshalJSON writes the word, else the number to six significant digits, else null.
func (v Value) MarshalJSON() ([]byte, error) {
	switch {
	case v.Word != "":
		return json.Marshal(v.Word)
	case v.Number != 0:
		return json.Marshal(procedures.Round(v.Number))
	}
	return []byte("null"), nil
}

// Change is one thing that is different between two welds.
type Change struct {
	What    string             `json:"what"` // the key of the value in a weld, with its unit: wire_speed_m_min, tap, spool ...
	From    Value              `json:"from"`
	To      Value              `json:"to"`
	Percent procedures.Percent `json:"percent"` // by which a speed, pace or thickness moved, of a knob the wire speed; 0 for the rest
}

// Changes returns what was done differently in b than in a: one entry a factor, in
// the order of a machine card. What is not known of both is no change, and neither
// is what follows from another change (the volts of another tap, the polarity of a
// machine in another state) or what was only reckoned and not measured.
//
// Thresholds: wire speed 3 %, knob 0.1 mark, stick-out 1.5 mm, pace 10 %,
// thickness 3 %, wire 0.06 mm, gap 0.5 mm, preheat 15 K (common practice, no
// source). Where both knob marks are known they decide, not the wire speeds: two
// speeds on one mark are one setting. A mark against a third of the turn is a change
// unless both wire speeds are known and alike.
func Changes(a, b procedures.Weld) []Change {
	list := []Change{}
	word := func(what, from, to string) bool {
		if from == "" || to == "" || strings.EqualFold(from, to) {
			return false
		}
		list = append(list, Change{What: what, From: Value{Word: from}, To: Value{Word: to}})
		return true
	}
	number := func(what string, from, to, least float64, share bool) bool {
		if from <= 0 || to <= 0 {
			return false
		}
		off := math.Abs(to - from)
		if share { // alike whichever comes first
			off, least = math.Abs(math.Log(to/from)), math.Log1p(least)
		}
		if off < least-1e-9 {
			return false
		}
		c := Change{What: what, From: Value{Number: from}, To: Value{Number: to}}
		if share {
			c.Percent = percent(from, to)
		}
		list = append(list, c)
		return true
	}
	s, t := a.Settings, b.Settings
	machine := word("machine", a.Job.Machine, b.Job.Machine)
	state := !machine && word("state", a.Job.State, b.Job.State)
	word("tap", s.Tap, t.Tap)
	knob := Change{What: "knob", From: dial(s), To: dial(t), Percent: percent(float64(s.WireSpeed), float64(t.WireSpeed))}
	both := knob.From != Value{} && knob.To != Value{} && !machine
	switch {
	case both && s.Knob != nil && t.Knob != nil:
		if math.Abs(*t.Knob-*s.Knob) >= knobChanged-1e-9 {
			list = append(list, knob)
		}
	case number("wire_speed_m_min", float64(s.WireSpeed), float64(t.WireSpeed), speedChanged, true), s.WireSpeed > 0 && t.WireSpeed > 0:
	case both && knob.From != knob.To: // a mark against a third of the turn, and no speeds that tell more
		list = append(list, knob)
	}
	if !machine && !state {
		word("polarity", string(s.Polarity), string(t.Polarity))
	}
	if s.How["extension_mm"] == procedures.Measured || t.How["extension_mm"] == procedures.Measured {
		number("extension_mm", float64(s.Extension), float64(t.Extension), extensionChanged, false)
	}
	if s.How["travel_mm_min"] == procedures.Measured && t.How["travel_mm_min"] == procedures.Measured {
		number("travel_mm_min", float64(s.Travel), float64(t.Travel), travelChanged, true)
	}
	wire := word("wire_class", strings.TrimSpace(a.Job.Class+" "+a.Job.Gas), strings.TrimSpace(b.Job.Class+" "+b.Job.Gas))
	wire = number("wire_diameter_mm", float64(a.Job.Diameter), float64(b.Job.Diameter), diameterChanged, false) || wire
	if !wire {
		word("spool", a.Spool, b.Spool)
	}
	thickness := number("thickness_mm", float64(a.Job.Thickness), float64(b.Job.Thickness), thicknessChanged, true)
	number("other_thickness_mm", float64(other(a.Job)), float64(other(b.Job)), thicknessChanged, true)
	if last := len(list) - 1; thickness && list[last].What == "other_thickness_mm" && a.Job.OtherThickness == 0 && b.Job.OtherThickness == 0 {
		list = list[:last] // both parts are of one thickness: one change
	}
	steel := word("steel", a.Job.Steel, b.Job.Steel)
	word("joint", string(a.Job.Joint), string(b.Job.Joint))
	word("position", string(a.Job.Position), string(b.Job.Position))
	word("coating", skin(a.Job), skin(b.Job))
	if math.Abs(float64(a.Job.Gap-b.Job.Gap)) >= gapChanged {
		list = append(list, Change{What: "gap_mm", From: Value{Number: float64(a.Job.Gap)}, To: Value{Number: float64(b.Job.Gap)}})
	}
	if p, q := heated(s), heated(t); !steel && !thickness && math.Abs(p-q) >= preheatChanged {
		list = append(list, Change{What: "preheat_C", From: Value{Number: p}, To: Value{Number: q}})
	}
	return list
}

// dial is where the knob stood: a mark, or a part of its turn in words.
func dial(s procedures.Settings) Value {
	if s.Knob != nil {
		return mark(*s.Knob)
	}
	return Value{Word: s.KnobSaid}
}

// mark keeps the nought of a knob, which is a mark like any other.
func mark(m float64) Value {
	if m == 0 {
		return Value{Word: "0"}
	}
	return Value{Number: m}
}

// percent is by how much to is more than from, to a tenth; 0 where one is not known.
func percent(from, to float64) procedures.Percent {
	if from <= 0 || to <= 0 {
		return 0
	}
	return procedures.Percent(math.Round(1000*(to/from-1)) / 10)
}

// other is the thickness of the second part.
func other(j procedures.Job) procedures.MM {
	if j.OtherThickness > 0 {
		return j.OtherThickness
	}
	return j.Thickness
}

// skin is what the arc meets.
func skin(j procedures.Job) string {
	if j.Stripped || j.Coating == "" {
		return string(procedures.Bare)
	}
	return string(j.Coating)
}

func heated(s procedures.Settings) float64 {
	if s.Preheat == nil || s.How["preheat_C"] != procedures.Measured {
		return 0
	}
	return *s.Preheat
}

// names are the things that change, as a welder calls them.
var names = map[string]string{
	"machine": "the machine", "state": "the machine's state", "tap": "the tap", "knob": "the knob", "wire_speed_m_min": "the wire speed", "polarity": "the polarity",
	"extension_mm": "the stick-out", "travel_mm_min": "the pace", "wire_class": "the wire", "wire_diameter_mm": "the wire's size", "spool": "the spool",
	"thickness_mm": "the thickness", "other_thickness_mm": "the other part's thickness", "steel": "the steel", "joint": "the joint", "position": "the position",
	"coating": "the surface", "gap_mm": "the gap", "preheat_C": "the preheat",
}

// Name is what changed, as a welder calls it.
func (c Change) Name() string { return names[c.What] }

// Say is the change in words and the reader's units: "the wire speed (102 to 115
// in/min, 13 % up)". Ids, of spools and states, are left out.
func (c Change) Say(units procedures.Units) string {
	if c.What == "spool" || c.What == "state" {
		return c.Name()
	}
	text := fmt.Sprintf("%s to %s", c.side(c.From, units), c.side(c.To, units))
	switch {
	case c.What == "knob" && c.Percent > 0:
		text += fmt.Sprintf(", %.0f %% more wire", float64(c.Percent))
	case c.What == "knob" && c.Percent < 0:
		text += fmt.Sprintf(", %.0f %% less wire", float64(-c.Percent))
	case c.Percent > 0:
		text += fmt.Sprintf(", %.0f %% up", float64(c.Percent))
	case c.Percent < 0:
		text += fmt.Sprintf(", %.0f %% down", float64(-c.Percent))
	}
	return c.Name() + " (" + text + ")"
}

func (c Change) side(v Value, units procedures.Units) string {
	switch {
	case v.Word != "":
		return v.Word
	case c.What == "knob":
		return procedures.FormatKnob(v.Number)
	case c.What == "wire_speed_m_min":
		return procedures.FormatWireSpeed(procedures.MPerMin(v.Number), units)
	case c.What == "travel_mm_min" && units == procedures.Metric:
		return fmt.Sprintf("%.0f mm/min", v.Number)
	case c.What == "travel_mm_min":
		return fmt.Sprintf("%.0f in/min", procedures.MMPerMin(v.Number).InchesPerMin())
	case strings.HasSuffix(c.What, "_mm") && v.Number > 0:
		return procedures.FormatLength(procedures.MM(v.Number), units)
	case c.What == "preheat_C" && v.Number > 0:
		return fmt.Sprintf("%.0f C", v.Number)
	}
	return "none"
}
