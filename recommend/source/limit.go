package source

import (
	"fmt"
	"math"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// OpenCircuit is a no-load voltage held against one rule.
type OpenCircuit struct {
	data.OpenCircuitLimit
	Read procedures.Volts // the voltage as the rule measures it
	Over bool             // above the limit
}

// Waveform is what comes out of a machine at no load.
type Waveform string

const (
	Sine   Waveform = "ac" // AC, the voltage given as rms
	Smooth Waveform = "dc" // DC behind a capacitor, the voltage given as mean: peak is the same
)

// OpenCircuitLimits holds a no-load voltage against every printed limit for hand
// welding and returns them all, in table order: OSHA, then IEC with and without
// increased shock hazard. A voltage at the limit is not over it. Range: 1 to 1000 V.
// Source: 29 CFR 1910.254(b)(3), IEC 60974-1 (partly from memory).
func OpenCircuitLimits(v procedures.Volts, w Waveform) ([]OpenCircuit, error) {
	if err := arc.Within("no-load voltage", float64(v), 1, 1000, "V"); err != nil {
		return nil, err
	}
	if w != Sine && w != Smooth {
		return nil, procedures.Invalid("kind of current", string(w), "not a kind of current", "accepted: ac, dc")
	}
	hand := map[string]bool{"manual": true, "increased shock hazard": true, "no increased shock hazard": true}
	var out []OpenCircuit
	for _, r := range data.OpenCircuitLimits() {
		if !hand[r.Use] || r.Current != string(w) {
			continue
		}
		read := v
		if w == Sine && r.Measured == "peak" {
			read = v * math.Sqrt2
		}
		out = append(out, OpenCircuit{r, read, float64(read) > r.LimitV+1e-9})
	}
	return out, nil
}

// holdOpen says in one finding what [OpenCircuitLimits] say of a no-load voltage:
// the first limit that it is over, else the lowest that it keeps under.
func holdOpen(v procedures.Volts, w Waveform) (Finding, error) {
	limits, err := OpenCircuitLimits(v, w)
	if err != nil {
		return Finding{}, err
	}
	unit := "V " + strings.ToUpper(string(w))
	f := Finding{Key: "open-circuit", Verdict: Fine, Figure: sum(float64(v), "V")}
	lowest := math.Inf(1)
	for _, l := range limits {
		f.Source = arc.Together(f.Source, l.Source)
		if l.Over && f.Verdict == Fine {
			f.Verdict, f.Figure.Basis = DoNot, arc.Weakest(data.Computed, l.Basis)
			f.Text = fmt.Sprintf("%.1f %s with no arc is over the %.0f V (%s) of %s, %s: don't strike an arc, have it looked at by a qualified person", float64(v), unit, l.LimitV, l.Measured, l.Standard, l.Use)
		}
		if f.Verdict == Fine && l.LimitV < lowest {
			lowest, f.Figure.Basis = l.LimitV, arc.Weakest(data.Computed, l.Basis)
			f.Text = fmt.Sprintf("%.1f %s with no arc is under the limits for hand welding, the lowest being %.0f V (%s; %s, %s)", float64(v), unit, l.LimitV, l.Measured, l.Standard, l.Use)
		}
	}
	f.Figure.Source = f.Source
	return f, nil
}

// Residual is a charge held against one rule for stored charge.
type Residual struct {
	data.ResidualVoltage
	Already bool               // the voltage is below the rule's from the start: the rule asks for nothing
	At      procedures.Volts   // left after the rule's time, with this bleeder; the start voltage with none
	Kept    bool               // at or below the rule's voltage in time
	Wait    procedures.Seconds // until the rule's voltage is reached; 0 from the start, +Inf with no bleeder
}

// ResidualRules holds a bank of capacitors against every rule for stored charge
// that names a time. A welding machine's DC side mostly lies below all of them from
// the start: its energy is the hazard, see [Bank.Energy]. ohms is the bleeder, 0 for none.
// Errors: [*procedures.InvalidError]. Source: IEC 60204-1, NEC 460.6, California Title 8.
func ResidualRules(b Bank, ohms float64) ([]Residual, error) {
	if err := b.check(); err != nil {
		return nil, err
	}
	if ohms != 0 {
		if err := checkOhms(ohms); err != nil {
			return nil, err
		}
	}
	var out []Residual
	for _, r := range data.ResidualVoltages() {
		if r.TimeS == 0 {
			continue
		}
		one := Residual{ResidualVoltage: r, At: b.Volts, Already: float64(b.Volts) <= r.VoltageV}
		if ohms > 0 {
			one.At = b.Volts * procedures.Volts(math.Exp(-r.TimeS/(ohms*b.farads())))
		}
		one.Kept = float64(one.At) <= r.VoltageV
		switch {
		case one.Already:
		case ohms == 0:
			one.Wait = procedures.Seconds(math.Inf(1))
		default:
			one.Wait = procedures.Seconds(ohms * b.farads() * math.Log(float64(b.Volts)/r.VoltageV))
		}
		out = append(out, one)
	}
	return out, nil
}
