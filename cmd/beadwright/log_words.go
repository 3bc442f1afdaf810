package main

import (
	"maps"
	"slices"

	"beadwright/procedures"
)

// meantSymptoms are the symptoms that the note of a bead seems to mean and that were
// not taken: looser words and slips of the keyboard are asked, since a record takes
// only what was said.
func meantSymptoms(w procedures.Weld) []string {
	meant := []string{}
	if w.Outcome.Note == "" || w.Danger() != "" {
		return meant
	}
	heard := procedures.Hear(w.Outcome.Note)
	if len(heard.Symptoms)+len(heard.Signs)+len(heard.Troubles) == 0 && len(w.Outcome.Symptoms) == 0 {
		heard = procedures.Hear(procedures.Meant(w.Outcome.Note))
	}
	for _, key := range heard.Symptoms {
		if !slices.Contains(w.Outcome.Symptoms, key) {
			meant = append(meant, key)
		}
	}
	return meant
}

// tellDanger asks about the danger that a weld tells of, if it does.
func (a *app) tellDanger(w procedures.Weld) {
	if danger := w.Danger(); danger != "" {
		a.printf("STOP first: what you say sounds like a danger. What to do: beadwright remedy %s\n", danger)
	}
}

// asSuggested is what a bead was welded at that was made as suggested. Where the mark
// of the knob was given and what it runs is not measured, the wire speed of the
// suggestion, and what was reckoned from it, is nobody's.
func asSuggested(set procedures.Settings) procedures.Settings {
	if set.How["knob"] != procedures.Measured || set.How["wire_speed_m_min"] == procedures.Measured {
		return set
	}
	set.WireSpeed, set.Voltage, set.Current = 0, 0, 0
	set.How = maps.Clone(set.How)
	for _, key := range []string{"wire_speed_m_min", "voltage_V", "current_A"} {
		delete(set.How, key)
	}
	return set
}
