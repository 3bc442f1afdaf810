package source

import (
	"time"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Usual figures of a small transformer machine, for want of a plate. Common
// practice, no source.
const (
	usualEfficiency  = 0.7
	usualPowerFactor = 0.9
)

// DrawOf returns what a machine draws from the line, in A, at an output: its plate in
// proportion to the welding current, for a transformer passes amps on by its turns,
// whatever volts the arc burns at; in proportion to the output power where the arc has
// more volts than the plate, which is more. On a colder tap than the plate's it draws
// less than this. Without the plate's amps it is [PrimaryCurrent] with usual figures.
// Error: [*procedures.InvalidError] where the supply is not known or the output is none.
func DrawOf(m procedures.Machine, i procedures.Amps, load procedures.Volts) (arc.Value, error) {
	if m.InputAmps > 0 && m.RatedAmps > 0 {
		err := checkAmps("current", i)
		share, note := float64(i)/float64(m.RatedAmps), "the plate's input amps in proportion to the welding amps, as a transformer draws them whatever the arc's volts"
		if m.RatedVolts > 0 {
			err = first(err, arc.Within("load voltage", float64(load), 5, 100, "V"))
			if load > m.RatedVolts {
				share, note = share*float64(load)/float64(m.RatedVolts), "the plate's input amps in proportion to the arc's watts"
			}
		}
		if err != nil {
			return arc.Value{}, err
		}
		return exact(float64(m.InputAmps)*share, "A", data.Row{Source: []string{"MATH"}, Basis: data.Computed, Note: note}), nil
	}
	v, err := PrimaryCurrent(i, load, m.InputVolts, usualEfficiency, usualPowerFactor)
	v.Basis, v.Source, v.Note = data.Practice, []string{"MATH", "CP"}, "arc watts through an efficiency of 0.7 and a power factor of 0.9, which are common practice: the plate's input amps are better"
	return v, err
}

// CircuitOf is what the machine's record says of its circuit, for an output: the
// plate, breaker, wall, outlet, plug, cord and other loads, and the line volts last
// measured at its plug. With no output in question the plate's draw stands. Draw
// stays zero where [DrawOf] cannot tell.
func CircuitOf(m procedures.Machine, i procedures.Amps, load procedures.Volts) Circuit {
	c := Circuit{Current: i, Plate: m.InputAmps, Duty: m.Duty, Supply: m.InputVolts, Arc: load, Breaker: m.Breaker, Cord: m.Cord, Wall: int(m.Wall), Outlet: m.Outlet, Plug: m.Plug}
	for _, o := range m.Others {
		c.Others = append(c.Others, o.Amps)
	}
	if v, err := DrawOf(m, i, load); err == nil {
		c.Draw = procedures.Amps(v.Value)
	} else if i == 0 {
		c.Draw = m.InputAmps
	}
	c.Rest, c.Idle, c.Loaded, c.Drawn = lineOf(m)
	return c
}

// LineOf returns the line volts at the machine's plug, idle and with the arc on,
// of the last time that both were measured, in whatever state the machine was: the
// house does not change with it. Zero for none.
func LineOf(m procedures.Machine) (idle, loaded procedures.Volts) {
	for _, a := range m.Measurements {
		if a.Kind != procedures.LineLoadVolts {
			continue
		}
		for _, b := range m.Measurements {
			if b.Kind == procedures.LineIdleVolts && b.At.Equal(a.At) {
				idle, loaded = procedures.Volts(b.Value), procedures.Volts(a.Value)
			}
		}
	}
	return idle, loaded
}

// lineOf is what the line was last read at: at rest, at rest before it was last read
// with the arc on, then, and what the machine drew then: by the clamp meter of that
// time, else at its rated output. Zero: not read. Measurements come oldest first.
func lineOf(m procedures.Machine) (rest, idle, loaded procedures.Volts, drawn procedures.Amps) {
	var at time.Time
	for _, r := range m.Measurements {
		switch r.Kind {
		case procedures.LineIdleVolts:
			rest = procedures.Volts(r.Value)
		case procedures.LineLoadVolts:
			loaded, at = procedures.Volts(r.Value), r.At
		}
	}
	i := m.RatedAmps
	for _, r := range m.Measurements {
		switch {
		case r.Kind == procedures.LineIdleVolts && !r.At.After(at):
			idle = procedures.Volts(r.Value)
		case r.Kind == procedures.ClampAmps && r.At.Equal(at):
			i = procedures.Amps(r.Value)
		}
	}
	if idle > 0 && loaded > idle { // of days on which the line itself stood otherwise
		idle, loaded = LineOf(m)
	}
	if v, err := DrawOf(m, i, m.RatedVolts); err == nil {
		drawn = procedures.Amps(v.Value)
	} else {
		drawn = m.InputAmps
	}
	return rest, idle, loaded, drawn
}

// missing says what could not be judged and where to read it.
func (c Circuit) missing() []Missing {
	return missing([]gap{
		{c.Breaker == 0, "breaker", "breaker", "the number on its handle in the panel"},
		{c.Draw == 0 && c.Plate == 0, "draw", "what the machine draws", "input amps on its plate, I1max or at rated output"},
		{c.Draw != 0 && c.Plate == 0, "draw", "input amps of the plate", "I1max or at rated output, so the figure here is reckoned from output watts"},
		{c.Duty == 0, "duty", "duty cycle", "on the plate, as 20 % or X"},
		{c.Supply == 0, "supply", "supply volts", "on the plate"},
		{c.Wall == 0, "wall", "wire in the wall", "an electrician can tell; mostly 14 AWG behind a 15 A breaker and 12 AWG behind 20 A"},
		{c.Outlet == "", "outlet", "outlet", "two upright slots are 5-15R, one slot shaped like a T is 5-20R"},
		{c.Plug == "", "plug", "plug on the machine's own cord", "two upright blades are 5-15P, one of them turned sideways is 5-20P"},
		{c.Idle == 0 || c.Loaded == 0, "line", "line volts at the machine's plug", "AC range, idle and with the arc on"},
	})
}
