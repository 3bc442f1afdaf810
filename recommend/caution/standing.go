package caution

import (
	"fmt"
	"math"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// Standing returns the lines that go with every answer, the order being that of
// a careful start: what comes first, the machine, then eyes, lungs, skin, fire.
// Amps is the current expected; zero or anything that is no current counts as
// not known, and so does a process of none.
func Standing(job procedures.Job, amps procedures.Amps, machine procedures.Machine) []Caution {
	list := []Caution{{Care, "first",
		"Local codes, the machine's manual and licensed trades come first. This is a practice aid for mild-steel shop projects, and a result holds for the coupon it was logged on.",
		"", []string{"CP"}}}
	if c, ok := StoredCharge(machine); ok {
		list = append(list, c)
	}
	list = append(list, openVoltage(machine)...)
	list = append(list, polarity(machine)...)
	smoke := "flux-core wire makes plenty"
	if job.Process == procedures.GMAW {
		smoke = "solid wire smokes less but not harmlessly"
		list = append(list, Caution{Care, "gas",
			"Chain the bottle upright and shut its valve when you stop: shielding gas pushes the air out of a small closed room without a smell, and any draft on the puddle makes pores.",
			"Door open, draft off the work.", []string{"CP"}})
	}
	list = append(list, eyes(job.Process, amps),
		Caution{Care, "fumes",
			"Keep your head out of the plume, with a door open and a fan from your side: welding fume can cause cancer, and " + smoke + ". Don't lean on the old workplace limit, which for manganese is 250 times the newer guideline (5 against 0.02 mg/m3).",
			"A respirator for anything longer than a few beads, even outdoors; never a pit or a closed space.", []string{"SA-HSE", "SA-252C", "SA-MN"}},
		Caution{Care, "shock",
			"Dry gloves without holes, dry boots, no lead coiled round you, and don't lean on the work: sweat and water carry current.",
			"A tingle means stop, unplug, and find out why.", []string{"RC-WAC", "RC-SLIDES"}})
	if job.Position == procedures.Overhead {
		list = append(list, Caution{Care, "overhead",
			"Overhead, the sparks come down on you: button the collar, cover your ears and hair, and stand to the side of the bead.",
			"Turn the work flat if it can be turned.", []string{"CP"}})
	}
	return append(list,
		Caution{Care, "fire",
			"Clear or cover what can burn for 35 ft (11 m) around and look at the far side of the panel, then watch for 60 minutes after the last arc. The old workplace rule asks for 30 minutes, the newer fire standard for 60, and smolder takes its time.",
			"Extinguisher in reach; unplug before you leave.", []string{"SA-252A", "MEM"}},
		Caution{Care, "implant",
			"With a pacemaker or any other implant, ask your doctor before you weld: the current's field can upset it.",
			"", []string{"CP"}})
}

// openVoltage warns of a no-load voltage over the workplace limit for hand
// welding: 80 V AC or 100 V DC, 29 CFR 1910.254(b)(3).
func openVoltage(m procedures.Machine) []Caution {
	kind := source.Smooth
	if m.Output == procedures.AC {
		kind = source.Sine
	}
	for _, t := range m.Taps {
		limits, err := source.OpenCircuitLimits(t.Open, kind)
		if err != nil {
			continue // not known
		}
		for _, l := range limits {
			if l.Over && strings.HasPrefix(l.Standard, "OSHA") {
				return []Caution{{Care, "open-voltage",
					fmt.Sprintf("Don't strike an arc yet: with no arc a tap of this machine gives %g V, and the workplace rule allows %g V of %s by hand. More than that can hold you to it.", float64(t.Open), l.LimitV, strings.ToUpper(l.Current)),
					"Measure it again, and have a qualified person look if it's true.", l.Source}}
			}
		}
	}
	return nil
}

// polarity asks for the lead polarity where nobody has written it down.
func polarity(m procedures.Machine) []Caution {
	if m.Output != "" {
		return nil
	}
	return []Caution{{Care, "polarity",
		"Find out what comes out of the gun before you trust any number: nobody has written down whether this machine gives AC, or DC with the gun negative or positive. Self-shielded wire wants the gun negative, and the wrong way round spatters and fuses poorly.",
		"Read the plate or the inside of the door, or put a meter on it with the wire clear of everything, then write down which it is.", []string{"CP"}}}
}

// eyes is the line of the filter shade for a current, the highest to be expected. Without a current or a process it says
// the rule for wire.
func eyes(p procedures.Process, amps procedures.Amps) Caution {
	c := Caution{Care, "eyes",
		"Hood down before the arc: for wire the rule asks for shade 10 at the least from 60 A up and 7 below. Start too dark to see the pool and come down, never below the rule.",
		"Glasses with side shields stay on under the hood, because slag and spatter fly.", []string{"SH-133", "SH-Z49"}}
	if p == "" {
		p = procedures.FCAWS
	}
	if math.IsNaN(float64(amps)) || amps <= 0 {
		return c
	}
	e, err := source.Shade(p, amps)
	if err != nil {
		return c
	}
	begin := ""
	switch {
	case e.Practice:
		begin = fmt.Sprintf(" and none is suggested in print; %d or 10 is where people begin", e.Suggested)
		c.Source = append(c.Source, "CP")
	case e.Suggested > e.Minimum:
		begin = fmt.Sprintf(", and %d is the usual place to begin", e.Suggested)
	}
	c.Text = fmt.Sprintf("Hood down before the arc: for up to about %.0f A the rule asks for shade %d at the least%s. Start too dark to see the pool and come down, never below the rule.",
		float64(amps), e.Minimum, begin)
	return c
}
