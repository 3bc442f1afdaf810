package procedures

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Settings is how a weld was made, or how one is suggested to be made. Zero
// quantities are not known.
type Settings struct {
	Tap       string   `json:"tap"`
	Knob      *float64 `json:"knob"`      // mark on the scale; nil: not known or unmarked
	KnobSaid  string   `json:"knob_text"` // such as "middle third"
	WireSpeed MPerMin  `json:"wire_speed_m_min"`
	Polarity  Polarity `json:"polarity"`
	Extension MM       `json:"extension_mm"` // contact tip to work
	Travel    MMPerMin `json:"travel_mm_min"`
	Voltage   Volts    `json:"voltage_V"`
	Current   Amps     `json:"current_A"`
	Passes    Count    `json:"passes"`
	Leg       MM       `json:"leg_mm"`
	Preheat   *float64 `json:"preheat_C"` // nil: none asked for
	Technique string   `json:"technique"`

	How map[string]How `json:"how,omitempty"` // by JSON key: how each value was got
}

// Test is a destructive test of a coupon.
type Test struct {
	Kind   string `json:"kind"`   // bend, break, etch, peel
	Passed bool   `json:"passed"` // what the result counts as
	Result string `json:"result"` // in the welder's words
}

// Outcome is how a weld turned out. Looks (rating, symptoms) and strength
// (tests) are kept apart: a pretty bead can be lying on cold steel.
type Outcome struct {
	Rating   Count    `json:"rating"` // by sight: 1 scrap .. 5 as good as I can; 0 not rated
	Thirds   *Thirds  `json:"thirds"` // start, middle and end rated apart; nil: not so
	Symptoms []string `json:"symptoms"`
	Tests    []Test   `json:"tests"`
	Leg      MM       `json:"leg_mm"` // measured
	Photo    string   `json:"photo"`
	Note     string   `json:"note"`

	// When it failed in use, as a follow-up says; zero: not heard of. The notebook
	// fills it in. It outweighs looks and tests.
	FailedInUse time.Time `json:"failed_in_use"`
	InUse       string    `json:"-"` // what that follow-up said of it
}

// MarshalJSON writes empty lists as lists, and no failure in use as null.
func (o Outcome) MarshalJSON() ([]byte, error) {
	type plain Outcome
	p := struct {
		plain
		FailedInUse *time.Time `json:"failed_in_use"`
	}{plain: plain(o)}
	if !o.FailedInUse.IsZero() {
		p.FailedInUse = &o.FailedInUse
	}
	p.Symptoms = append([]string{}, o.Symptoms...)
	p.Tests = append([]Test{}, o.Tests...)
	return json.Marshal(p)
}

// Cracked reports whether a crack was seen in it. AWS D1.1 Table 6.1 lets no crack
// pass, whatever its size.
func (o Outcome) Cracked() bool { return slices.Contains(o.Symptoms, "crack") }

// Unfused reports whether a lack of fusion was seen in it, and no bend or break test,
// which opens the root, says otherwise. AWS D1.1 Table 6.1 wants complete fusion.
func (o Outcome) Unfused() bool { return slices.Contains(o.Symptoms, "lack-of-fusion") && !o.Passed() }

// Good reports whether the bead was rated 4 or 5, no crack and no lack of fusion was
// seen, no test failed and nothing is heard of a failure in use.
func (o Outcome) Good() bool {
	if !o.FailedInUse.IsZero() || o.Cracked() || o.Unfused() {
		return false
	}
	for _, t := range o.Tests {
		if !t.Passed {
			return false
		}
	}
	return o.Rating >= 4
}

// Passed reports whether a bend or break test was passed and none was failed, in
// use neither, and no crack was seen.
func (o Outcome) Passed() bool {
	if !o.FailedInUse.IsZero() || o.Cracked() {
		return false
	}
	passed := false
	for _, t := range o.Tests {
		if !t.Passed {
			return false
		}
		if t.Kind == "bend" || t.Kind == "break" {
			passed = true
		}
	}
	return passed
}

// Weld is one bead or joint, as welded.
type Weld struct {
	ID         string    `json:"id"`   // UUIDv7
	Mark       string    `json:"mark"` // painted on the coupon: A1..A99, B1..
	At         time.Time `json:"at"`
	Job        Job       `json:"job"`
	Spool      string    `json:"spool"` // id; "" not known
	Settings   Settings  `json:"settings"`
	ArcTime    Seconds   `json:"arc_seconds"` // the arc burned; zero: not known
	Outcome    Outcome   `json:"outcome"`
	Suggestion string    `json:"suggestion"` // id of the suggestion it followed; "" none
	Said       string    `json:"said"`       // the words of the log entry as typed
	Struck     string    `json:"struck"`     // why it was withdrawn; "" stands
}

// Amendment is one correction of a record. The old value is kept.
type Amendment struct {
	At    time.Time `json:"at"`
	Field string    `json:"field"`
	Old   string    `json:"old"`
	New   string    `json:"new"`
}

// TestKinds lists the destructive tests known.
func TestKinds() []string { return []string{"bend", "break", "etch", "peel"} }

// testResults maps what a welder says of a test to whether it counts as passed.
var testResults = map[string]bool{
	"pass": true, "passed": true, "ok": true, "held": true, "good": true, "bent": true, "folded": true, "flat": true,
	"bent flat": true, "tore parent": true, "tore parent metal": true, "tore the steel": true, "pulled a plug": true, "fused": true, "fused to the root": true,
	"fail": false, "failed": false, "broke": false, "broken": false, "cracked": false, "peeled": false, "peeled clean": false,
	"root line": false, "straight edge": false, "holes": false, "pores": false, "slag": false, "cold": false, "not fused": false, "popped off": false,
}

// ParseTest reads "bend=pass" or "break=peeled clean".
func ParseTest(s string) (Test, error) {
	hint := "write KIND=RESULT: bend=held, break=pass, break=root line, peel=tore parent, etch=fused"
	kind, result, ok := strings.Cut(s, "=")
	kind, result = strings.ToLower(strings.TrimSpace(kind)), strings.ToLower(strings.Join(strings.Fields(result), " "))
	if !ok || !known(kind, TestKinds()) {
		return Test{}, Invalid("test", s, "not a test this notebook knows", hint)
	}
	passed, ok := testResults[result]
	if !ok {
		return Test{}, Invalid("test", s, "cannot tell whether that passed", hint,
			"if you can see the straight edge of the upright plate in the break, it failed: break=root line")
	}
	return Test{Kind: kind, Passed: passed, Result: result}, nil
}

// Validate reports the first thing about the weld that cannot be.
func (w Weld) Validate() error {
	if err := w.Job.Validate(); err != nil {
		return err
	}
	if err := w.Settings.Validate(); err != nil {
		return err
	}
	err := firstOf(plainText("said", w.Said, w.Job.Said), plainText("for", w.Job.For), plainText("tap", w.Settings.Tap),
		plainText("note", w.Outcome.Note), plainText("photo", w.Outcome.Photo))
	if err != nil {
		return err
	}
	if w.ArcTime != 0 {
		if err := within("arc", float64(w.ArcTime), 0.5, 36000, "half a second to 10 hours of arc"); err != nil {
			return err
		}
	}
	return w.Outcome.Validate()
}

// Validate reports the first setting that cannot be.
func (s Settings) Validate() error {
	for _, q := range []struct {
		field  string
		v      float64
		lo, hi float64
		hint   string
	}{
		{"wire speed", float64(s.WireSpeed), float64(slowestWire), float64(fastestWire), "0.3 to 40 m/min (12 to 1575 in/min): 110ipm or 2.8 m/min"},
		{"extension", float64(s.Extension), 2, 100, "2 to 100 mm (1/16 to 4 in) from contact tip to work"},
		{"travel", float64(s.Travel), float64(slowestTravel), float64(fastestTravel), "10 to 5000 mm/min (0.4 to 200 in/min): 10ipm, or 4in in 24s"},
		{"volts", float64(s.Voltage), 5, 100, "arc volts, 5 to 100 V"},
		{"amps", float64(s.Current), 5, 1000, "arc amps, 5 to 1000 A"},
		{"leg", float64(s.Leg), 0.5, 100, "0.5 to 100 mm (1/32 to 4 in)"},
		{"passes", float64(s.Passes), 1, 100, "1 to 100 passes"},
	} {
		if q.v != 0 && (!finite(q.v) || q.v < q.lo || q.v > q.hi) {
			return Invalid(q.field, fmt.Sprint(q.v), "out of reach", "accepted: "+q.hint)
		}
	}
	if s.Knob != nil && (!finite(*s.Knob) || *s.Knob < 0 || *s.Knob > 1000) {
		return Invalid("knob", fmt.Sprint(*s.Knob), "not a mark on a knob", "accepted: a number on the scale such as 4.5 or 4 1/2, or: lower third, middle third, upper third")
	}
	if s.Preheat != nil && (!finite(*s.Preheat) || *s.Preheat < 0 || *s.Preheat > 700) {
		return Invalid("preheat", fmt.Sprint(*s.Preheat), "not a preheat of steel", "accepted: 0 to 700 C (32 to 1292 F)")
	}
	if s.Polarity != "" && !known(s.Polarity, Polarities()) {
		return Invalid("polarity", string(s.Polarity), "not a polarity", "accepted: dcen (gun negative), dcep (gun positive), ac")
	}
	if len(s.Tap) > 20 {
		return Invalid("tap", s.Tap, "not the name of a tap", "low, high, or the name on the switch")
	}
	return nil
}

// Validate reports the first thing about the outcome that cannot be.
func (o Outcome) Validate() error {
	if o.Rating < 0 || o.Rating > 5 {
		return Invalid("rating", fmt.Sprint(o.Rating), "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
	}
	if o.Thirds != nil {
		if err := o.Thirds.Validate(); err != nil {
			return err
		}
	}
	for _, s := range o.Symptoms {
		if _, ok := FindSymptom(s); !ok {
			return Invalid("symptom", s, "not a symptom this notebook knows", "accepted: "+strings.Join(SymptomKeys(), ", "))
		}
	}
	for _, t := range o.Tests {
		if !known(t.Kind, TestKinds()) {
			return Invalid("test", t.Kind, "not a test this notebook knows", "accepted: "+strings.Join(TestKinds(), ", "))
		}
	}
	if o.Leg != 0 && (!finite(float64(o.Leg)) || o.Leg < 0.5 || o.Leg > 100) {
		return Invalid("leg", fmt.Sprint(float64(o.Leg)), "out of reach", "accepted: 0.5 to 100 mm (1/32 to 4 in)")
	}
	if len(o.Note) > 4000 {
		return Invalid("note", o.Note[:50], "longer than 4000 letters", "keep the note short; longer things belong on paper")
	}
	return nil
}
