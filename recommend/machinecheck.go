package recommend

import (
	"fmt"
	"slices"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// forbidden says why no arc may be struck with the machine as it is written down, at
// what the job wants of it; nil where nothing forbids it. Every command that says do
// not goes by the same findings: [source.Concerns].
func (s *Suggestion) forbidden(r Request) *outside {
	c, no := source.Forbidden(source.Concerns(r.Machine, s.Settings.Current, s.Settings.Voltage))
	if !no {
		return nil
	}
	at := ""
	if s.Settings.Current > 0 {
		at = fmt.Sprintf(" at %.0f A", float64(s.Settings.Current))
	}
	return &outside{text: fmt.Sprintf("no arc with %s%s until this is put right: %s", r.Machine.Name, at, c.Text), instead: c.Remedy(), source: c.Source}
}

// forbid is refuse for what speaks against the machine and not against the job.
func (s Suggestion) forbid(o *outside, cares []caution.Caution, m procedures.Machine) Suggestion {
	if c, ok := caution.StoredCharge(m); ok {
		cares = append(cares, c)
	}
	s = s.refuse(o, cares)
	s.Cautions[0].Key = MachineForbidden
	return s
}

// MachineForbidden is the key of the stop that speaks against the machine.
const MachineForbidden = "machine"

// supply says what the job takes of the wall, the breaker and the cord, and what
// the line volts measured at the machine's plug mean for it.
func (s *Suggestion) supply(r Request) {
	i, load := s.Settings.Current, s.Settings.Voltage
	c := source.CircuitOf(r.Machine, i, load)
	found, _, err := c.Judge()
	if err != nil {
		return // the machine's record cannot be; its own page says why
	}
	s.Expect.Supply = c.Draw
	told := false
	for _, f := range source.Concerns(r.Machine, i, load) {
		switch {
		case f.Verdict == source.WillTrip:
			s.trips(c, f.Finding)
		case f.Page != source.RebuiltPage:
			s.care(f.Key, sentence(f.Text), f.Source...)
		case !told: // its page has the rest
			told = true
			s.care(f.Key, sentence(f.Text)+" All of it stands under "+f.Page+".", f.Source...)
		}
	}
	for _, f := range found {
		switch f.Key {
		case "630.11", "cord", "sag":
			if f.Verdict == source.Fine || f.Verdict == "" {
				s.because(f.Source, "%s", f.Text)
			}
		case "carries":
			s.because(f.Source, "%s", f.Text)
		}
	}
}

// trips puts a breaker that will trip first, with what the circuit carries instead.
func (s *Suggestion) trips(c source.Circuit, f source.Finding) {
	carries := ""
	if i, ok := c.Carries(); ok {
		carries = fmt.Sprintf("; this circuit carries about %.0f A at the arc", float64(i))
	}
	s.Verdict = Edge
	s.because(f.Source, "it will trip the breaker: %.3g A on %.3g A%s", f.Figure.Value, float64(c.Breaker), carries)
	s.Near = slices.Insert(s.Near, 0, s.Because[len(s.Because)-1].Text)
	s.Cautions = slices.Insert(s.Cautions, 0, caution.Caution{Level: caution.Care, Key: f.Key, Text: sentence(f.Text), Source: f.Source,
		Instead: "Less current on thinner metal, a thinner leg, or another circuit."})
}
