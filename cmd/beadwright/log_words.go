package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
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
		a.printf("STOP first: what you say sounds like a danger. What to do: beadwright remedy %s\n", unquoted(danger))
	}
}

// unquoted is what was said without the signs that mean something to a shell: can't
// breathe, typed as it is shown, would wait for a second quote.
func unquoted(said string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune("'\"`$&|;<>()!*?\\#~[]{}", r) {
			return -1
		}
		return r
	}, said)
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

// doubts are what speaks against a bead as it is written down, and what keeps it from
// teaching: it is kept, and asked about. A bead that was withdrawn has none.
func (a *app) doubts(w procedures.Weld, m procedures.Machine, units procedures.Units) []string {
	all := []string{}
	if w.Struck != "" {
		return all
	}
	correct := func(flag, pressed string) string {
		return a.todo("beadwright amend "+w.Mark+" --"+flag, pressed)
	}
	if note := recommend.WrongPole(w); note != "" {
		all = append(all, note+", and this bead was on the other pole: it is kept, and neither teaches nor proves anything")
	}
	if table := recommend.TableSpeed(w.Job); table > 0 && w.Settings.WireSpeed > 0 && !recommend.Plausible(w.Settings.WireSpeed, table) {
		all = append(all, fmt.Sprintf("%s is far from the table's %s: kept, but not learned from. A slip? %s", procedures.FormatWireSpeed(w.Settings.WireSpeed, units), procedures.FormatWireSpeed(table, units), correct("wire-speed ...", "Correct it")))
	} else if doubt := recommend.BeyondReach(w.Job, m, w.Settings.WireSpeed, units); doubt != "" {
		all = append(all, doubt+". Was it that? It is kept; if not: "+correct("wire-speed ...", "correct it"))
	}
	if doubt := recommend.BeyondOutput(m, w.Settings); doubt != "" {
		all = append(all, doubt+". Was it that? It is kept; if not: "+correct("amps ...", "correct it"))
	}
	if meant := meantSymptoms(w); len(meant) > 0 {
		said := slices.Clone(meant)
		for i, key := range meant {
			if s, ok := procedures.FindSymptom(key); ok && a.pressed {
				said[i] = s.Plain
			}
		}
		all = append(all, "did you mean "+strings.Join(said, ", ")+"? It is kept as a note; if so: "+correct("symptom "+strings.Join(meant, " --symptom "), "correct it"))
	}
	if missing := uncounted(w, m); missing != "" {
		all = append(all, "no "+missing+" was said, so this bead is kept but moves no suggestion yet: "+correct(strings.ReplaceAll(missing, " ", "-")+" ...", "correct it, if you know it"))
	}
	return all
}
