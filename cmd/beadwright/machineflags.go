package main

import (
	"strconv"
	"strings"

	"beadwright/procedures"
)

type machineFlags struct {
	taps, knob, output, rated, ratedVolts, duty, top, input, inputAmps, breaker, cord, wireRange, process, note string
	rebuilt                                                                                                     bool
}

// machine reads the flags into a machine.
func (f machineFlags) machine(name string, units procedures.Units) (m procedures.Machine, err error) {
	m = procedures.Machine{Name: strings.TrimSpace(name), Output: procedures.Polarity(strings.ToLower(f.output)), Rebuilt: f.rebuilt, Note: f.note}
	if m.Name == "" {
		return m, procedures.Invalid("name", "", "a machine needs a name", "any short name: beadwright machine add shed")
	}
	if m.Taps, err = parseTaps(f.taps); err != nil {
		return m, err
	}
	if f.knob != "" {
		lo, hi, ok := strings.Cut(strings.ReplaceAll(f.knob, "-", ".."), "..")
		a, errA := strconv.ParseFloat(strings.TrimSpace(lo), 64)
		b, errB := strconv.ParseFloat(strings.TrimSpace(hi), 64)
		if !ok || errA != nil || errB != nil || b <= a {
			return m, procedures.Invalid("knob", f.knob, "not a knob scale", "accepted: 1..10, 0-10; leave it out for a knob without numbers")
		}
		m.Knob = procedures.Knob{Min: a, Max: b}
	}
	if f.wireRange != "" {
		lo, hi, ok := strings.Cut(f.wireRange, "..")
		if !ok {
			return m, procedures.Invalid("wire-range", f.wireRange, "not a range of wire speeds", "accepted: 40..340ipm, 1..8 m/min")
		}
		unit := strings.TrimLeft(strings.TrimSpace(hi), "0123456789. ")
		if strings.TrimLeft(strings.TrimSpace(lo), "0123456789. ") == "" {
			lo += unit
		}
		if m.WireMin, err = procedures.ParseWireSpeed(lo, units); err != nil {
			return m, err
		}
		if m.WireMax, err = procedures.ParseWireSpeed(hi, units); err != nil {
			return m, err
		}
		if m.WireMin >= m.WireMax {
			return m, procedures.Invalid("wire-range", f.wireRange, "the slowest comes first", "accepted: 40..340ipm, 1..8 m/min")
		}
	}
	for _, q := range []struct {
		field, s string
		set      func(string) error
	}{
		{"rated", f.rated, amps("rated", &m.RatedAmps)},
		{"max", f.top, amps("max", &m.MaxAmps)},
		{"input-amps", f.inputAmps, amps("input-amps", &m.InputAmps)},
		{"breaker", f.breaker, amps("breaker", &m.Breaker)},
		{"rated-volts", f.ratedVolts, volts("rated-volts", &m.RatedVolts)},
		{"input", f.input, volts("input", &m.InputVolts)},
		{"duty", f.duty, func(s string) (err error) { m.Duty, err = procedures.ParsePercent("duty", s); return err }},
		{"cord", f.cord, func(s string) (err error) { m.Cord, err = parseCord(s, units); return err }},
	} {
		if q.s == "" {
			continue
		}
		if err := q.set(q.s); err != nil {
			return m, err
		}
	}
	for _, p := range strings.FieldsFunc(f.process, func(r rune) bool { return r == ',' || r == ' ' }) {
		process := procedures.Process("")
		for _, k := range procedures.Processes() {
			if p == string(k) || strings.EqualFold(p, k.Letters()) {
				process = k
			}
		}
		if process == "" {
			return m, procedures.Invalid("process", p, "not a process this notebook knows", "accepted: 114 (FCAW-S), 136 (FCAW-G), 135 (GMAW), 111 (SMAW)")
		}
		m.Processes = append(m.Processes, process)
	}
	if err := direct(f.output, m.Rebuilt && m.Output == procedures.AC); err != nil {
		return m, err
	}
	return m, m.Validate()
}

// direct refuses a machine that is said to be rebuilt to DC and to give AC.
func direct(output string, both bool) error {
	if !both {
		return nil
	}
	return procedures.Invalid("output", output, "a machine rebuilt from AC to DC gives direct current", "say which post the gun is on: --output dcen (minus) or dcep (plus), or dc where the leads can be swapped")
}

func amps(field string, to *procedures.Amps) func(string) error {
	return func(s string) (err error) { *to, err = procedures.ParseAmps(field, s); return err }
}

func volts(field string, to *procedures.Volts) func(string) error {
	return func(s string) (err error) { *to, err = procedures.ParseVolts(field, s); return err }
}

// parseTaps reads low,high or low=14.5V,high=17V.
func parseTaps(s string) ([]procedures.Tap, error) {
	var taps []procedures.Tap
	for part := range strings.SplitSeq(s, ",") {
		name, v, given := strings.Cut(part, "=")
		t := procedures.Tap{Name: strings.TrimSpace(name)}
		if t.Name == "" {
			if s == "" {
				return nil, nil
			}
			return nil, procedures.Invalid("taps", s, "a tap has no name", "accepted: low,high or low=14.5V,high=17V, the coldest first")
		}
		if given {
			load, err := procedures.ParseVolts("taps", v)
			if err != nil {
				return nil, err
			}
			t.Load, t.How = load, procedures.Measured
		}
		taps = append(taps, t)
	}
	return taps, nil
}

// parseCord reads "12awg 25ft".
func parseCord(s string, units procedures.Units) (c procedures.Cord, err error) {
	hint := "accepted: size and length, such as: 12awg 25ft"
	low := strings.ToLower(strings.TrimSpace(s))
	size, length, ok := strings.Cut(strings.ReplaceAll(low, "awg", " awg "), "awg")
	n, err := strconv.Atoi(strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(size), "#")))
	if !ok || err != nil {
		return c, procedures.Invalid("cord", s, "not understood as a cord", hint)
	}
	l, err := procedures.ParseDistance("cord", strings.TrimSpace(length), units)
	if err != nil {
		return c, procedures.Invalid("cord", s, "how long is it?", hint)
	}
	return procedures.Cord{AWG: n, Length: l}, nil
}
