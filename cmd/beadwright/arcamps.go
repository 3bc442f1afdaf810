package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// arcNow is the arc that the pages of a machine reckon with, one and the same on all
// of them.
type arcNow struct {
	amps  procedures.Amps // zero: not known
	volts procedures.Volts
	from  string // where amps comes from: said, suggestion, plate; "" not known
	job   string // of that suggestion, in words
	usual bool   // volts are the usual ones of a small machine
}

// usualArc is the volts of a small machine's arc, where nothing says them. Common
// practice, no source.
const usualArc procedures.Volts = 18

// arcNow is the current that was said, else that of the last suggestion if it was
// for the machine as it stands, else the plate's.
func (a *app) arcNow(ctx context.Context, m procedures.Machine, said string) (now arcNow, err error) {
	if now.volts = m.RatedVolts; now.volts == 0 {
		now.volts, now.usual = usualArc, true
	}
	if said != "" {
		now.from = "said"
		now.amps, err = procedures.ParseAmps("amps", said)
		return now, err
	}
	last, err := a.nb.LastSuggestion(ctx)
	if err != nil && !errors.Is(err, procedures.ErrNotFound) {
		return now, err
	}
	if i := last.Settings.Current; err == nil && i > 0 && strings.EqualFold(last.Job.Machine, m.Name) && last.Job.State == m.State.ID {
		units, err := a.units(ctx)
		now.amps, now.from, now.job = i, "suggestion", describeJob(last.Job, units)
		if v := last.Settings.Voltage; v > 0 {
			now.volts, now.usual = v, false
		}
		return now, err
	}
	if now.amps = m.RatedAmps; now.amps > 0 {
		now.from = "plate"
	}
	return now, nil
}

// text says which current it is.
func (n arcNow) text() string {
	switch n.from {
	case "said":
		return fmt.Sprintf("%.0f A, as said", float64(n.amps))
	case "suggestion":
		return fmt.Sprintf("%.0f A, of the last suggestion (%s); for another say --amps", float64(n.amps), n.job)
	case "plate":
		return fmt.Sprintf("%.0f A, the plate's rated current; for another say --amps", float64(n.amps))
	}
	return "not known; say --amps"
}

// concerns are what speaks against welding with the machine at that arc.
func (n arcNow) concerns(m procedures.Machine) []source.Concern {
	return source.Concerns(m, n.amps, n.volts)
}

// concernText says a concern and what to do about it.
func concernText(c source.Concern) string {
	return strings.TrimSuffix(c.Text, ".") + ". " + sentenceCase(c.Remedy())
}

// forbiddenElsewhere says, on a page, what forbids an arc on another one.
func (a *app) forbiddenElsewhere(m procedures.Machine, now arcNow, page string) {
	for _, c := range now.concerns(m) {
		if c.Page != page && c.Verdict == source.DoNot {
			a.line("DO NOT", concernText(c))
			return
		}
	}
}
