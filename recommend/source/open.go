package source

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// openOf lists the volts with no arc of each tap that has some: as last measured
// since the output last changed, else as written down. A machine without taps has
// one without a name.
func openOf(m procedures.Machine) []procedures.Tap {
	taps := append([]procedures.Tap{}, m.Taps...)
	if len(taps) == 0 {
		taps = []procedures.Tap{{}}
	}
	for _, r := range m.Measurements {
		if r.Kind != procedures.OpenVolts || !m.SinceOutput(r.State) {
			continue
		}
		for i := range taps {
			if len(m.Taps) == 0 || strings.EqualFold(taps[i].Name, r.Tap) {
				taps[i].Open = procedures.Volts(r.Value)
			}
		}
	}
	return slices.DeleteFunc(taps, func(t procedures.Tap) bool { return t.Open == 0 })
}

// HeldOpen holds the volts with no arc against the limits for hand welding, tap by
// tap; the stricter limits of AC where the output is not known. Errors: as of
// [holdOpen].
func HeldOpen(m procedures.Machine) ([]Finding, error) {
	wave := Smooth
	if m.Output == procedures.AC || m.Output == "" {
		wave = Sine
	}
	out := []Finding{}
	for _, t := range openOf(m) {
		f, err := holdOpen(t.Open, wave)
		if err != nil {
			return nil, err
		}
		if t.Name != "" {
			f.Text = strings.ToUpper(t.Name) + ": " + f.Text
		}
		out = append(out, f)
	}
	return out, nil
}
