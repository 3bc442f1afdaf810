package source

import (
	"fmt"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Sag is what the line loses when the arc is struck.
type Sag struct {
	Volts procedures.Volts
	Share procedures.Percent
	Ohms  float64 // of everything between the utility and the machine's plug; 0: amps not known
	Arc   procedures.Volts
}

// LineSag works out the sag of the line from its volts at the machine's plug, idle and
// with the arc on. draw and arcVolts may be zero: then ohms, or the loss at the arc
// (a transformer passes the loss on in proportion), are zero. Range: 90 to 700 V
// idle, 60 V up to the idle volts loaded. Derived here.
func LineSag(idle, loaded procedures.Volts, draw procedures.Amps, arcVolts procedures.Volts) (Sag, error) {
	if err := first(arc.Within("line", float64(idle), 90, 700, "V"), arc.Within("line-loaded", float64(loaded), 60, 700, "V")); err != nil {
		return Sag{}, err
	}
	if loaded > idle {
		return Sag{}, procedures.Invalid("line-loaded", fmt.Sprintf("%g V idle, %g V loaded", float64(idle), float64(loaded)), "the line cannot rise when the arc is struck", "swapped, or read at different times: read both within a minute")
	}
	s := Sag{Volts: idle - loaded}
	s.Share = procedures.Percent(100 * s.Volts / idle)
	s.Arc = arcVolts * procedures.Volts(s.Share) / 100
	if draw > 0 {
		s.Ohms = float64(s.Volts) / float64(draw)
	}
	return s, nil
}

// sag says what the measured line volts mean.
func (c Circuit) sag() ([]Finding, error) {
	if c.Idle == 0 || c.Loaded == 0 {
		return nil, nil
	}
	s, err := LineSag(c.Idle, c.Loaded, c.Draw, c.Arc)
	if err != nil {
		return nil, err
	}
	text := fmt.Sprintf("the line falls from %.4g to %.4g V when the arc is struck: %.1f %%", float64(c.Idle), float64(c.Loaded), float64(s.Share))
	if s.Arc > 0 {
		text += fmt.Sprintf(", about %.1f V at the arc", float64(s.Arc))
	}
	out := []Finding{say("sag", share(s.Share), sum(float64(s.Share), "%"), "%s", text)}
	if s.Ohms == 0 {
		return out, nil
	}
	wiring := float64(s.Volts)
	tail := ""
	if c.Cord.AWG != 0 && c.Supply != 0 {
		if loss, err := CordDrop(c.Cord, c.Draw, c.Supply, max(c.Arc, 5)); err == nil {
			wiring -= loss.Drop.Value
			tail = fmt.Sprintf("; %.1f V of it is the cord", loss.Drop.Value)
		}
	}
	out = append(out, say("source-ohms", "", sum(s.Ohms, "ohm"), "%.1f V at %.3g A is %.2f ohm from the street to the plug%s", float64(s.Volts), float64(c.Draw), s.Ohms, tail))
	if left, err := DropPercent(procedures.Volts(max(0, wiring)), c.Idle); err == nil && left > dropWeak {
		out = append(out, say("wiring", Marginal, sum(wiring, "V"), "the house wiring alone loses %.1f V: a long run, or a joint that heats. If plug, outlet or switch get warm, stop and have an electrician look", wiring))
	}
	return out, nil
}
