package procedures

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"
)

// How says how a value was got. A number never travels without it.
type How string

// From the best known to the least.
const (
	Measured       How = "measured"
	OwnCurve       How = "own curve"
	FromTable      How = "table"
	CommonPractice How = "common practice"
	Guessed        How = "guessed"
)

// Machine is a welding power source with its feeder, as it stands now.
type Machine struct {
	ID   string `json:"id"` // UUIDv7; "" for the built-in example
	Name string `json:"name"`

	Taps    []Tap   `json:"taps"` // from the coldest to the hottest; empty: stepless or not said
	Knob    Knob    `json:"knob"`
	WireMin MPerMin `json:"wire_min_m_min"` // slowest the feeder runs; zero: not known
	WireMax MPerMin `json:"wire_max_m_min"`

	Output     Polarity  `json:"output"` // ac, dcen, dcep, or dc where the leads can be swapped
	RatedAmps  Amps      `json:"rated_A"`
	RatedVolts Volts     `json:"rated_V"`
	Duty       Percent   `json:"duty_percent"` // at RatedAmps, 10-minute basis; zero: not known
	MaxAmps    Amps      `json:"max_A"`
	Processes  []Process `json:"processes"` // empty: wire, self-shielded only

	InputVolts Volts `json:"input_V"`
	InputAmps  Amps  `json:"input_A"` // at rated output, from the plate
	Breaker    Amps  `json:"breaker_A"`
	Cord       Cord  `json:"cord"`

	Wall   Count  `json:"wall_awg"` // of the copper in the wall; zero: not known
	Outlet string `json:"outlet"`   // such as 5-20R; "" not known
	Plug   string `json:"plug"`     // on the machine's own cord, such as 5-15P; "" not known
	Others []Load `json:"others"`   // what else runs on the circuit

	Rebuilt bool     `json:"rebuilt"` // from AC to DC by hand: holds a charge when unplugged
	Rebuild *Rebuild `json:"rebuild"` // what was fitted, as far as it is written down
	State   State    `json:"state"`
	Note    string   `json:"note"`
	Struck  string   `json:"struck"`  // why it was withdrawn; "": it stands, and can be chosen
	Example bool     `json:"example"` // the built-in example, nobody's real machine

	SameOutput []string `json:"-"` // ids of the states since the output last changed, the present one last
	SameFeeder []string `json:"-"` // ids of the states since anything last touched the feeder, the present one last

	// What was measured on it and what it did, in every state, from the oldest on.
	// Withdrawn records are left out.
	RunOuts      []RunOut      `json:"-"`
	Measurements []Measurement `json:"-"`
	CutOuts      []CutOut      `json:"-"`
}

// Tap is one position of the voltage switch.
type Tap struct {
	Name string `json:"name"`
	Open Volts  `json:"open_V"` // no arc
	Load Volts  `json:"load_V"` // arc on, near rated output; zero: not known
	How  How    `json:"how"`
}

// Knob is the wire-speed control. An unmarked knob has Max zero: it is then
// spoken of in thirds of its turn.
type Knob struct {
	Min  float64 `json:"min"`
	Max  float64 `json:"max"`
	Step float64 `json:"step"` // finest setting a hand can repeat; zero: a quarter mark
}

// Marked reports whether the knob has a scale of numbers.
func (k Knob) Marked() bool { return k.Max > k.Min }

// Cord is an extension cord between the wall and the machine.
type Cord struct {
	AWG    int `json:"awg"` // zero: none
	Length MM  `json:"length_mm"`
}

// Load is something else that runs on the machine's circuit.
type Load struct {
	Name string `json:"name"` // such as fridge; "" not said
	Amps Amps   `json:"current_A"`
}

// Outlets are the household outlets of 120 V that a circuit is judged by, and Plugs
// the plugs that go into them. Both names are NEMA's.
var (
	outlets = []string{"5-15R", "5-20R", "L5-30R", "TT-30R"}
	plugs   = []string{"5-15P", "5-20P", "L5-30P", "TT-30P"}
)

// Outlets lists the outlets that a machine's record may name.
func Outlets() []string { return slices.Clone(outlets) }

// Plugs lists the plugs that a machine's record may name.
func Plugs() []string { return slices.Clone(plugs) }

// mostLoads is how many other loads a record may name.
const mostLoads = 20

// circuit reports the first thing about wall, outlet, plug and other loads that
// cannot be.
func (m Machine) circuit() error {
	if a := m.Wall; a != 0 && (a < 6 || a > 14 || a%2 != 0) {
		return Invalid("wall", fmt.Sprint(int(a)), "not a size of wire in a wall that I know", "accepted: 14, 12, 10, 8 or 6 AWG copper; an electrician can tell")
	}
	if m.Outlet != "" && !known(m.Outlet, outlets) {
		return Invalid("outlet", m.Outlet, "not an outlet that I know", "accepted: "+strings.Join(outlets, ", "))
	}
	if m.Plug != "" && !known(m.Plug, plugs) {
		return Invalid("plug", m.Plug, "not a plug that I know", "accepted: "+strings.Join(plugs, ", "))
	}
	if len(m.Others) > mostLoads {
		return Invalid("other", fmt.Sprint(len(m.Others)), "more than one circuit carries", fmt.Sprintf("up to %d other loads", mostLoads))
	}
	for _, o := range m.Others {
		if err := plainText("other", o.Name); err != nil {
			return err
		}
		if len(o.Name) > 60 || strings.ContainsAny(o.Name, "=\n\r\t\x00") || strings.TrimSpace(o.Name) != o.Name {
			return Invalid("other", o.Name, "not a short name of a load", "such as fridge=3A")
		}
		if !finite(float64(o.Amps)) || o.Amps < 0.01 || o.Amps > 400 {
			return Invalid("other", fmt.Sprint(float64(o.Amps)), "not the amps of a load", "0.01 to 400 A: fridge=3A, or watts: heater=1500W")
		}
	}
	return nil
}

// State is a machine between two changes: a new liner, new leads, or direct
// current in place of alternating current open a new one.
type State struct {
	ID     string    `json:"id"`
	Number int       `json:"number"` // 1 for the machine as first written down
	What   string    `json:"what"`   // the change that opened it
	Kind   StateKind `json:"kind"`
	Since  time.Time `json:"since"`
}

// MarshalJSON writes null for a knob without marks.
func (k Knob) MarshalJSON() ([]byte, error) {
	if !k.Marked() {
		return []byte("null"), nil
	}
	type plain Knob
	return json.Marshal(struct {
		plain
		Step jsonQuantity `json:"step"` // null: not known
	}{plain(k), jsonQuantity(k.Step)})
}

// MarshalJSON writes null where there is no cord.
func (c Cord) MarshalJSON() ([]byte, error) {
	if c.AWG == 0 {
		return []byte("null"), nil
	}
	type plain Cord
	return json.Marshal(plain(c))
}

// MarshalJSON writes empty lists as lists.
func (m Machine) MarshalJSON() ([]byte, error) {
	type plain Machine
	p := plain(m)
	p.Taps = append([]Tap{}, m.Taps...)
	p.Processes = append([]Process{}, m.Processes...)
	p.Others = append([]Load{}, m.Others...)
	return json.Marshal(p)
}

// StateKind says how much of the past a change puts in doubt.
type StateKind string

const (
	Original StateKind = "original"
	Output   StateKind = "output" // polarity or tap voltage
	Feed     StateKind = "feed"   // liner, tip, drive roll
)

// MeasuredTaps puts in the volts last measured on each tap since the output last
// changed: a new liner does not alter them, new leads do.
func (m *Machine) MeasuredTaps() {
	for _, r := range m.Measurements {
		for i := range m.Taps {
			t := &m.Taps[i]
			if !m.SinceOutput(r.State) || !strings.EqualFold(r.Tap, t.Name) {
				continue
			}
			switch r.Kind {
			case OpenVolts:
				t.Open = Volts(r.Value)
			case LoadVolts:
				t.Load, t.How = Volts(r.Value), Measured
			}
		}
	}
}

// SinceOutput reports whether a state is one since the output last changed: what the
// volts were in it they are now.
func (m Machine) SinceOutput(state string) bool {
	return state == m.State.ID || known(state, m.SameOutput)
}

// SameFeed reports whether the feeder ran alike in two states: nothing between them
// touched it, as a new tip, clamp or lead does not.
func (m Machine) SameFeed(a, b string) bool {
	return a == b || known(a, m.SameFeeder) && known(b, m.SameFeeder)
}

// Tap returns the tap of that name, in any case of letters.
func (m Machine) Tap(name string) (Tap, bool) {
	for _, t := range m.Taps {
		if strings.EqualFold(t.Name, name) {
			return t, true
		}
	}
	return Tap{}, false
}

// TapNames lists the taps from the coldest to the hottest.
func (m Machine) TapNames() []string {
	names := make([]string, len(m.Taps))
	for i, t := range m.Taps {
		names[i] = t.Name
	}
	return names
}

// Runs reports whether the machine can run a process.
func (m Machine) Runs(p Process) bool {
	if len(m.Processes) == 0 {
		return p == FCAWS
	}
	return known(p, m.Processes)
}

// Gives reports whether the machine can give a polarity as it stands.
func (m Machine) Gives(p Polarity) bool {
	switch m.Output {
	case "":
		return true // not known; the caller says so
	case DC:
		return p == DCEN || p == DCEP
	}
	return p == m.Output
}

// Validate reports the first thing about the machine that cannot be.
func (m Machine) Validate() error {
	if name := strings.TrimSpace(m.Name); name == "" || len(name) > 60 || strings.ContainsAny(name, "\n\r\t\x00") {
		return Invalid("name", m.Name, "a machine needs a short name", "any words up to 60 plain letters, such as: little red")
	}
	if err := firstOf(plainText("name", m.Name), plainText("note", m.Note)); err != nil {
		return err
	}
	if m.Output != "" && !known(m.Output, []Polarity{AC, DCEN, DCEP, DC}) {
		return Invalid("output", string(m.Output), "not an output this notebook knows", "accepted: ac, dcen, dcep, dc (leads can be swapped)")
	}
	if len(m.Taps) > 24 {
		return Invalid("tap", fmt.Sprint(len(m.Taps)), "more taps than any switch has", "up to 24 taps")
	}
	var below Volts
	for i, t := range m.Taps {
		if err := plainText("tap", t.Name); err != nil {
			return err
		}
		if strings.TrimSpace(t.Name) == "" || len(t.Name) > 20 {
			return Invalid("tap", t.Name, "a tap needs a short name", "write low=15V or min, max")
		}
		for _, o := range m.Taps[:i] {
			if strings.EqualFold(o.Name, t.Name) {
				return Invalid("tap", t.Name, "two taps have the same name", "give each switch position its own name")
			}
		}
		for _, v := range []Volts{t.Open, t.Load} {
			if v != 0 && (!finite(float64(v)) || v < 1 || v > 200) {
				return Invalid("tap", fmt.Sprintf("%s=%gV", t.Name, float64(v)), "not the volts of a tap", "1 to 200 V, measured between the work clamp and the contact tip")
			}
		}
		if t.Load != 0 && t.Load <= below {
			return Invalid("tap", t.Name, "taps go from the coldest to the hottest, so volts must rise", "put the lowest tap first")
		}
		if t.Load != 0 {
			below = t.Load
		}
	}
	for _, q := range []struct {
		field  string
		v      float64
		lo, hi float64
		hint   string
	}{
		{"duty", float64(m.Duty), 1, 100, "a duty cycle is 1 to 100 %, such as 20"},
		{"rated amps", float64(m.RatedAmps), 5, 1000, "5 to 1000 A, from the plate"},
		{"max amps", float64(m.MaxAmps), 5, 1000, "5 to 1000 A, from the plate"},
		{"rated volts", float64(m.RatedVolts), 5, 100, "arc volts at the rated output, 5 to 100 V"},
		{"input volts", float64(m.InputVolts), 90, 700, "the wall supply, 90 to 700 V"},
		{"input amps", float64(m.InputAmps), 1, 400, "1 to 400 A, from the plate"},
		{"breaker", float64(m.Breaker), 5, 400, "5 to 400 A, printed on the breaker"},
		{"wire min", float64(m.WireMin), float64(slowestWire), float64(fastestWire), "0.3 to 40 m/min (12 to 1575 in/min)"},
		{"wire max", float64(m.WireMax), float64(slowestWire), float64(fastestWire), "0.3 to 40 m/min (12 to 1575 in/min)"},
		{"cord length", float64(m.Cord.Length), 100, 100000, "0.1 to 100 m (up to 328 ft)"},
	} {
		if q.v != 0 && (!finite(q.v) || q.v < q.lo || q.v > q.hi) {
			return Invalid(q.field, fmt.Sprint(q.v), "out of reach", q.hint)
		}
	}
	if m.WireMin > 0 && m.WireMax > 0 && m.WireMin >= m.WireMax {
		return Invalid("wire min", fmt.Sprint(float64(m.WireMin)), "the slowest wire speed must be below the fastest", "swap the two")
	}
	if m.MaxAmps > 0 && m.RatedAmps > m.MaxAmps {
		return Invalid("max amps", fmt.Sprint(float64(m.MaxAmps)), "below the rated amps", "the highest output on the plate")
	}
	if !finite(m.Knob.Min) || !finite(m.Knob.Max) || !finite(m.Knob.Step) || m.Knob.Min < 0 || m.Knob.Max < m.Knob.Min || m.Knob.Max > 1000 || m.Knob.Step < 0 || m.Knob.Step > m.Knob.Max {
		return Invalid("knob", fmt.Sprintf("%g..%g", m.Knob.Min, m.Knob.Max), "not a knob scale", "write 1..10 or 0-10, or leave it out for an unmarked knob")
	}
	if a := m.Cord.AWG; a != 0 && (a < 2 || a > 18 || a%2 != 0) {
		return Invalid("cord", fmt.Sprint(a), "not a cord size", "copper size 18, 16, 14, 12, 10, 8, 6, 4 or 2 AWG, then its length: 12awg 25ft")
	}
	return m.circuit()
}

// Spool is a reel of wire or a box of electrodes in the shop.
type Spool struct {
	ID     string    `json:"id"` // UUIDv7
	Name   string    `json:"name"`
	Wire   Wire      `json:"wire"`
	Grams  Grams     `json:"grams"` // of wire when opened; zero: not known
	Opened time.Time `json:"opened"`
	Note   string    `json:"note"`
	Struck string    `json:"struck"` // why it was withdrawn; "": it stands, and can be chosen
}

// Validate reports the first thing about the spool that cannot be.
func (s Spool) Validate() error {
	if strings.TrimSpace(s.Name) == "" || len(s.Name) > 60 {
		return Invalid("name", s.Name, "a spool needs a short name", "any words up to 60 plain letters, such as: 0.035 E71T-11")
	}
	if err := firstOf(plainText("name", s.Name), plainText("note", s.Note)); err != nil {
		return err
	}
	if s.Wire.Class == "" || s.Wire.Diameter == 0 {
		return Invalid("wire", s.Wire.String(), "a spool needs its class and its size, both printed on the label", "write: 0.035 E71T-11, or 0.030 E71T-GS")
	}
	if s.Grams != 0 && (!finite(float64(s.Grams)) || s.Grams < 10 || s.Grams > 50000) {
		return Invalid("weight", fmt.Sprint(float64(s.Grams)), "not the weight of a spool", "10 g to 50 kg: 2lb, 10lb, 1kg")
	}
	return Job{Wire: s.Wire}.Validate()
}
