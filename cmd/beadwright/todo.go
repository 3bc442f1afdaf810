package main

import (
	"slices"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// todo is what to do, as whoever is spoken to does it: typed in a terminal, or on the
// page. Sentences of package recommend hold neither.
func (a *app) todo(typed, pressed string) string {
	way := procedures.Way(typed, pressed)
	if a.pressed {
		return procedures.Pressed(way)
	}
	return procedures.Typed(way)
}

// ways picks of hints those that are of use to whoever is spoken to.
func (a *app) ways(hints []string) (list []string) {
	for _, h := range hints {
		if a.pressed {
			h = procedures.Pressed(h)
		} else {
			h = procedures.Typed(h)
		}
		if h != "" {
			list = append(list, h)
		}
	}
	return list
}

// ofUse says in a purpose what a part is for, which some refusals ask.
const ofUse = "Say it so: --for 'a toy cart that tows nothing'."

// cautionTyped is what is typed about a caution, by its key, in a terminal: the page
// has a link or a field there.
var cautionTyped = map[string]string{
	recommend.DangerBefore: "What to do: beadwright remedy shock, or smoke.",
	recommend.TripBefore:   "What to do: beadwright remedy tripped.",
	"knob":                 "A run-out is written down with: beadwright machine knob --mark MARK --length INCHES --seconds 10.",
	"polarity":             "Such as: beadwright machine change --what measured --output dcen.",
	"stored-charge":        "All of it: beadwright machine rebuilt.",
	"no-duty":              "See: beadwright duty trips.",
	"duty":                 "Such as: beadwright machine set --rated AMPS --duty PERCENT.",
	"unknown-use":          ofUse,
	"frame":                ofUse,
	"hitch":                ofUse,
	"wheel":                ofUse,
	"lifting":              ofUse,
	"which-frame":          ofUse,
	"which-gate":           ofUse,
}

// whole is a caution in one paragraph for a terminal.
func whole(c caution.Caution) string {
	text := c.Text
	for _, more := range []string{c.Instead, cautionTyped[c.Key]} {
		if more != "" {
			text += " " + more
		}
	}
	return text
}

// missingTyped is what is typed to write down what is missing, by its key.
var missingTyped = map[string]string{
	"ac-volts":        "--ac VOLTS",
	"capacitance":     "--capacitors NUMBERxMICROFARADS",
	"capacitor-volts": "--cap-volts VOLTS",
	"ripple-amps":     "--ripple-amps AMPS",
	"bleeder":         "--bleeder OHMS --bleeder-watts WATTS",
	"bleeder-watts":   "--bleeder-watts WATTS",
	"rectifier":       "--rectifier AMPS",
	"diode":           "--diode VOLTS",
	"thermostat":      "--thermostat yes or no",
	"fan":             "--fan yes or no",
	"mains":           "--mains HERTZ",
	"amps":            "--amps AMPS",
	"duty":            "beadwright machine set --duty PERCENT",
	"work-lead":       "--lead 'SIZE LENGTH', such as 8awg 8ft",
	"gun-lead":        "--gun 'SIZE LENGTH', such as 10awg 10ft",
	"terminals":       "beadwright machine measure --tap NAME --terminals VOLTS --load VOLTS",
	"arc":             "beadwright machine measure --tap NAME --terminals VOLTS --load VOLTS",
	"clamp-volts":     "beadwright machine measure --clamp VOLTS",
	"work-lead-volts": "beadwright machine measure --work-lead VOLTS",
	"gun-lead-volts":  "beadwright machine measure --gun-lead VOLTS",
	"breaker":         "--breaker AMPS",
	"draw":            "beadwright machine set --input-amps AMPS",
	"supply":          "beadwright machine set --input VOLTS",
	"wall":            "--wall SIZE",
	"outlet":          "--outlet NAME",
	"plug":            "--plug NAME",
	"line":            "beadwright machine measure --line VOLTS --line-loaded VOLTS",
}

// missing says of what is not known where to read it, and how to write it down.
func (a *app) missing(list []source.Missing) []source.Missing {
	list = append([]source.Missing{}, slices.Clone(list)...)
	for i, m := range list {
		if typed := a.todo(missingTyped[m.Key], ""); typed != "" {
			list[i].Where += ": " + typed
		}
	}
	return list
}

// sightTyped is the sum that settles what was seen on a bead, by its key.
var sightTyped = map[string]string{
	"undercut": "beadwright reckon flaw --undercut 0.5mm --thickness 1/8",
	"holes":    "beadwright reckon flaw --pore 1/16",
	"rope":     "beadwright reckon flaw --convexity 1/16 --face 1/4",
	"skin":     "beadwright reckon flaw --leg 1/8 --asked-leg 3/16",
}
