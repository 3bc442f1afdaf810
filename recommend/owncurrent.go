package recommend

import (
	"fmt"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/feeder"
)

// AmpReading is one clamp-meter reading with the wire speed that it was taken at.
type AmpReading struct {
	Number    int                `json:"number"` // of the measurement
	At        time.Time          `json:"at"`
	Tap       string             `json:"tap"`
	Mark      *float64           `json:"knob"`
	WireSpeed procedures.MPerMin `json:"wire_speed_m_min"` // by the knob's own curve; zero: not known
	Current   procedures.Amps    `json:"current_A"`
	Why       string             `json:"left_out"` // why it has no wire speed; "" where it has one
}

// AmpReadings lists what a clamp meter read with a spool's wire on the machine as
// it stands, oldest first. The wire speed comes from the knob's curve in this very
// state and tap: a curve from elsewhere would put its own error into the amps.
func AmpReadings(m procedures.Machine, spool string) []AmpReading {
	var out []AmpReading
	for _, r := range m.Measurements {
		if r.Kind != procedures.ClampAmps || r.State != m.State.ID || r.Spool != spool {
			continue
		}
		one := AmpReading{Number: r.Number, At: r.At, Tap: r.Tap, Mark: r.Knob, Current: procedures.Amps(r.Value)}
		c, ok := feeder.CurveOf(m, m.State.ID, r.Tap)
		switch {
		case r.Knob == nil:
			one.Why = "no knob mark was given with it"
		case !ok || len(c.Points) < 2 || c.From != "":
			one.Why = "the knob is not run out on this tap, so its mark is no wire speed yet"
		default:
			v, err := c.SpeedAt(*r.Knob)
			if err != nil {
				one.Why = fmt.Sprintf("mark %s lies outside those run out", procedures.FormatKnob(*r.Knob))
				break
			}
			one.WireSpeed = procedures.MPerMin(v.Value)
		}
		out = append(out, one)
	}
	return out
}

// OwnCurrent is the line through a welder's own clamp readings: current by wire
// speed, for one spool's wire on the machine as it stands. Errors: those of
// [arc.FitCurrent]; fewer than three readings with a wire speed are too few.
func OwnCurrent(m procedures.Machine, spool string) (arc.Fit, error) {
	var readings []arc.Reading
	for _, r := range AmpReadings(m, spool) {
		if r.WireSpeed > 0 {
			readings = append(readings, arc.Reading{WireSpeed: r.WireSpeed, Current: r.Current})
		}
	}
	return arc.FitCurrent(readings)
}

// ownCurrent is the current at a wire speed by the welder's own clamp readings
// with the spool in the machine, and puts their range and the reason down; it
// reports false where they do not reach it.
func (s *Suggestion) ownCurrent(r Request, v procedures.MPerMin) (procedures.Amps, bool) {
	if r.Spool == "" || r.Machine.Example {
		return 0, false
	}
	fit, err := OwnCurrent(r.Machine, r.Spool)
	if err != nil {
		return 0, false
	}
	i, err := fit.Current(v)
	if err != nil || i.Low <= 0 {
		return 0, false
	}
	s.Range.Current = [2]procedures.Amps{procedures.Amps(i.Low), procedures.Amps(i.High)}
	s.Settings.How["current_A"] = procedures.OwnCurve
	table, from := "", []string(nil)
	if t, err := arc.Current(r.Job.Wire, v); err == nil {
		table, from = fmt.Sprintf("; the table says %.0f A", t.Value), t.Source
	}
	s.because(from, "%.0f A at %s by your own clamp meter (%s; another reading would fall between %.0f and %.0f A, 4 times in 5)%s",
		i.Value, speed(r, v), i.Note, i.Low, i.High, table)
	return procedures.Amps(i.Value), true
}

// Bracket is the window of the knob on one tap, between the mark at which the wire
// burns back and the mark at which it stubs. Its stub mark is kept as the
// machine's fingerprint: where it falls, volts are being lost.
type Bracket struct {
	Tap      string    `json:"tap"`
	BurnBack float64   `json:"burn_back"`
	Stub     float64   `json:"stub"`
	Middle   float64   `json:"middle"`
	Width    float64   `json:"width"`
	At       time.Time `json:"at"`         // when the later of the two was found
	Before   *float64  `json:"first_stub"` // the first stub mark of this tap and state, where it was another
}

// Brackets pairs the newest stub and burn-back marks of each tap in the present
// state: middle (K_b + K_s)/2, width K_s - K_b. Plain arithmetic. A pair that lies
// the wrong way round is left out.
func Brackets(m procedures.Machine) []Bracket {
	var taps []string
	type pair struct{ stub, burn, first *procedures.Measurement }
	found := map[string]*pair{}
	for i := range m.Measurements {
		r := &m.Measurements[i]
		if r.State != m.State.ID || r.Kind != procedures.StubMark && r.Kind != procedures.BurnBackMark {
			continue
		}
		p := found[r.Tap]
		if p == nil {
			p = &pair{}
			found[r.Tap], taps = p, append(taps, r.Tap)
		}
		if r.Kind == procedures.BurnBackMark {
			p.burn = r
			continue
		}
		if p.first == nil {
			p.first = r
		}
		p.stub = r
	}
	var out []Bracket
	for _, tap := range taps {
		p := found[tap]
		if p.stub == nil || p.burn == nil || p.stub.Value <= p.burn.Value {
			continue
		}
		b := Bracket{Tap: tap, BurnBack: p.burn.Value, Stub: p.stub.Value, Middle: (p.burn.Value + p.stub.Value) / 2, Width: p.stub.Value - p.burn.Value, At: p.stub.At}
		if p.burn.At.After(b.At) {
			b.At = p.burn.At
		}
		if p.first.Value != p.stub.Value {
			first := p.first.Value
			b.Before = &first
		}
		out = append(out, b)
	}
	return out
}
