package source

import (
	"fmt"

	"beadwright/data"
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

// Limits on what the line may lose beyond what the cord explains: 12 AWG of 100 ft
// loses about 4 V at 20 A, so more is a joint that heats. 8 V are for household volts,
// where they are 160 W at 20 A. Own thresholds, common practice, no source.
const (
	wiringWeak   procedures.Percent = 5
	wiringUnsafe procedures.Percent = 8
	wiringVolts  procedures.Volts   = 8
)

// offPlate is how far the line at rest may lie from what the plate asks for.
// Common practice, no source.
const offPlate = 0.10

// line holds the volts at rest against the plate: a line far off comes from an open
// neutral or the wrong outlet. A plate of 110 to 120 V is for one and the same
// household line, and so is one of 220 to 240 V.
func (c Circuit) line() ([]Finding, error) {
	rest := c.Rest
	if rest == 0 {
		rest = c.Idle
	}
	if rest == 0 || c.Supply == 0 {
		return nil, nil
	}
	low, high := c.Supply, c.Supply
	for _, nominal := range []procedures.Volts{120, 240} {
		if c.Supply > nominal*0.86 && c.Supply < nominal*1.09 {
			low, high = min(low, nominal), max(high, nominal)
		}
	}
	figure := exact(float64(rest), "V", data.Row{Source: []string{"CP"}, Basis: data.Practice})
	if rest < low*(1-offPlate) || rest > high*(1+offPlate) {
		return []Finding{say("line-volts", DoNot, figure, "the line stands at %.4g V with no arc and the plate asks for %.4g V: an open neutral, the wrong outlet or a meter on the wrong range. Unplug the machine and what else is on that circuit, and have a licensed electrician look", float64(rest), float64(c.Supply))}, nil
	}
	return []Finding{say("line-volts", Fine, figure, "the line stands at %.4g V with no arc; the plate asks for %.4g V", float64(rest), float64(c.Supply))}, nil
}

// sag says what the measured line volts mean. With no reading at rest the fall is
// reckoned from the supply's own volts.
func (c Circuit) sag() ([]Finding, error) {
	idle, from := c.Idle, ""
	if idle == 0 && c.Loaded < c.Supply {
		idle, from = c.Supply, ", reckoned from the plate's volts, since none were read with no arc"
	}
	if idle == 0 || c.Loaded == 0 {
		return nil, nil
	}
	drawn := c.Drawn
	if drawn == 0 {
		drawn = c.Draw
	}
	s, err := LineSag(idle, c.Loaded, drawn, c.Arc)
	if err != nil {
		return nil, err
	}
	text := fmt.Sprintf("the line falls from %.4g to %.4g V when the arc is struck: %.1f %%", float64(idle), float64(c.Loaded), float64(s.Share))
	if s.Arc > 0 {
		text += fmt.Sprintf(", about %.1f V at the arc", float64(s.Arc))
	}
	out := []Finding{say("sag", share(s.Share), sum(float64(s.Share), "%"), "%s%s", text, from)}
	wiring, tail := s.Volts, ""
	if c.Cord.AWG != 0 {
		tail = "; how much of it is the cord is not known"
		if loss, err := CordDrop(c.Cord, drawn, max(c.Supply, 90), max(c.Arc, 5)); err == nil {
			wiring = max(0, wiring-procedures.Volts(loss.Drop.Value))
			tail = fmt.Sprintf("; %.1f V of it is the cord", loss.Drop.Value)
		}
	}
	heat := ""
	if drawn > 0 {
		heat = fmt.Sprintf(", %.0f W of heat at %.3g A", float64(wiring)*float64(drawn), float64(drawn))
		out = append(out, say("source-ohms", "", sum(s.Ohms, "ohm"), "%.1f V at %.3g A is %.2f ohm from the street to the plug%s", float64(s.Volts), float64(drawn), s.Ohms, tail))
	}
	figure := exact(float64(wiring), "V", data.Row{Source: []string{"MATH", "CP"}, Basis: data.Practice})
	switch left := procedures.Percent(100 * wiring / idle); {
	case left > wiringUnsafe || wiring > wiringVolts && idle <= household*1.1:
		out = append(out, say("wiring", DoNot, figure, "stop: %.1f V go lost in the house wiring%s, more than good wiring loses, so something in the wall or the outlet heats. Feel nothing by hand, breaker off, a licensed electrician; a tired cord or plug says the same", float64(wiring), heat))
	case left > wiringWeak:
		out = append(out, say("wiring", Marginal, figure, "the house wiring alone loses %.1f V%s: a long run, or a joint that heats. If plug, outlet or switch get warm, stop and have an electrician look", float64(wiring), heat))
	}
	return out, nil
}
