package main

import (
	"fmt"
	"math"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/feeder"
	"beadwright/recommend/source"
)

// shown is the check as JSON tells it.
func (c check) shown() map[string]any {
	var verdict, text any
	if no, ok := source.Forbidden(c.against); ok {
		verdict, text = no.Verdict, concernText(no)
	}
	words := func(s []string) []string { return append([]string{}, s...) }
	return map[string]any{"machine": c.machine.Name, "state": c.machine.State.Number, "tap": c.reading.Tap, "mark": c.reading.Mark,
		"moved": c.drift.Moved(), "findings": rounded(c.drift.Findings), "missing": c.drift.Missing, "looks": c.drift.Looks,
		"verdict": verdict, "text": text, "like": c.twin.Mark, "assumed": words(c.assumed), "kept": words(c.kept)}
}

func rounded(all []feeder.Finding) []feeder.Finding {
	out := []feeder.Finding{}
	for _, f := range all {
		f.Was, f.Now, f.Noise = procedures.Round(f.Was), procedures.Round(f.Now), procedures.Round(f.Noise)
		out = append(out, f)
	}
	return out
}

func (a *app) printCheck(c check, units procedures.Units) {
	if no, ok := source.Forbidden(c.against); ok {
		a.line("DO NOT", concernText(no))
	}
	a.line("CHECK", c.verdict())
	if len(c.assumed) > 0 {
		a.line("assumed", strings.Join(c.assumed, "; ")+". Say otherwise to change it")
	}
	for _, f := range c.drift.Findings {
		word := "same"
		if f.Moved != 0 {
			word = "MOVED"
		}
		a.line(word, c.say(f, units))
	}
	for _, m := range c.drift.Missing {
		a.line("missing", signNames[m.What]+": "+m.Why+c.first(m.What))
	}
	because := ""
	for i, l := range c.drift.Looks {
		if l.Because != because {
			because = l.Because
			a.printf("\n")
			a.line("look", because+":")
		}
		a.bullet(fmt.Sprintf("%d %s: %s", i+1, l.Where, l.Text), l.Source)
	}
	a.printf("\n")
	if len(c.kept) > 0 {
		a.line("kept", strings.Join(c.kept, "; "))
	}
	if !strings.Contains(strings.Join(c.kept, " "), "part of") {
		a.line("", "nothing of this check is part of the baseline; with --keep it would be")
	}
	if c.reading.Bead != nil {
		a.line("next", "a check bead is a weld too; write it down: "+c.logLine())
	}
	volts := c.reading.Load > 0 || c.reading.LineIdle > 0 || c.reading.LineLoaded > 0
	if volts || c.reading.Run.Length > 0 {
		a.printf("\ncautions\n")
	}
	if volts {
		a.bullet("probe from outside only, case shut; one hand where you can, dry gloves, and a helper to read while you weld. Wall volts at a plug adapter made for it, or leave them to an electrician", []string{"CP"})
	}
	if c.reading.Run.Length > 0 {
		a.bullet("while the wire runs out it is live: clamp off, gun pointed at nothing metal, eyes covered. "+caution.LiveWire(c.machine), []string{"CP"})
	}
	a.storedCharge(c.machine)
}

// verdict is the line to read aloud.
func (c check) verdict() string {
	d := c.drift
	switch {
	case len(d.Findings) == 0:
		return "cannot tell: there is no baseline for what you read. Make one first" + c.first(d.Missing[0].What) + ". If the machine is as it should be, this check can be it: say it again with --keep"
	case len(d.Looks) > 0:
		var where []string
		for _, l := range d.Looks[:min(3, len(d.Looks))] {
			where = append(where, string(l.Where))
		}
		return "something moved. Before you touch a setting, look at the " + strings.Join(where, ", then the ")
	case d.Moved():
		return "it moved, and for the better: nothing to look for"
	}
	return "nothing moved: " + c.machine.Name + " is the machine it was, as far as this was read"
}

var signNames = map[feeder.Sign]string{
	feeder.LineIdleSign: "wall volts, not welding", feeder.LineLoadSign: "wall volts, arc on", feeder.FeedSign: "run-out", feeder.LoadSign: "volts at the arc",
	feeder.StubSign: "stubs at mark", feeder.BeadSign: "check bead", feeder.SymptomSign: "symptom",
}

// say tells one finding: what it is, what it was, and what is only noise.
func (c check) say(f feeder.Finding, units procedures.Units) string {
	if f.What == feeder.SymptomSign {
		return f.Symptom + ": " + f.Against
	}
	value := func(v float64) string {
		switch f.Unit {
		case "m/min":
			return procedures.FormatWireSpeed(procedures.MPerMin(v), units)
		case "V":
			return fmt.Sprintf("%.1f V", v)
		case "mark":
			return procedures.FormatKnob(v)
		}
		return fmt.Sprintf("%.2g", v)
	}
	name := signNames[f.What]
	if f.What == feeder.FeedSign {
		name += " at mark " + procedures.FormatKnob(c.reading.Run.Mark)
	}
	since := ""
	if f.Since != nil {
		since = ", " + f.Since.Local().Format("2006-01-02")
	}
	text := fmt.Sprintf("%s %s, was %s (%s%s)", name, value(f.Now), value(f.Was), f.Against, since)
	off := value(math.Abs(f.Now - f.Was))
	switch {
	case f.Moved < 0:
		return text + fmt.Sprintf(": %s less, and up to %s is noise", off, value(f.Noise))
	case f.Moved > 0:
		return text + fmt.Sprintf(": %s more, and up to %s is noise", off, value(f.Noise))
	}
	return text + fmt.Sprintf(": up to %s either way is noise", value(f.Noise))
}

// first says how to get a baseline of a sign.
func (c check) first(what feeder.Sign) string {
	tap := ""
	if c.reading.Tap != "" {
		tap = " --tap " + c.reading.Tap
	}
	mark := "MARK"
	if c.reading.Mark != nil {
		mark = procedures.FormatKnob(*c.reading.Mark)
		if strings.Contains(mark, " ") {
			mark = fmt.Sprintf("%g", *c.reading.Mark)
		}
	}
	switch what {
	case feeder.FeedSign:
		return ": beadwright machine knob --mark " + mark + tap + " --length INCHES --seconds 10"
	case feeder.LoadSign:
		return ": beadwright machine measure --load VOLTS --knob " + mark + tap
	case feeder.LineIdleSign:
		return ": beadwright machine measure --line VOLTS"
	case feeder.LineLoadSign:
		return ": beadwright machine measure --line-loaded VOLTS"
	case feeder.StubSign:
		return ": beadwright machine measure --stub MARK" + tap
	}
	return ": log a few beads with a rating first, beadwright log 4"
}

// logLine is how the check bead is written down as a weld.
func (c check) logLine() string {
	text := "beadwright log"
	if r := c.reading.Bead.Rating; r > 0 {
		text += fmt.Sprintf(" %d", int(r))
	}
	for _, s := range c.reading.Bead.Symptoms {
		text += " " + s
	}
	if c.twin.Mark != "" {
		text += " --from " + c.twin.Mark
	}
	return text
}
