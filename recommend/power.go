package recommend

import (
	"fmt"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/source"
)

// power reckons what the job takes of the machine, the wall and the eyes.
func (s *Suggestion) power(r Request) {
	i := s.Settings.Current
	if i == 0 {
		return
	}
	if eyes, err := source.Shade(r.Job.Process, s.brightest(r)); err == nil {
		s.Expect.ShadeMin, s.Expect.ShadeSuggested = procedures.Count(eyes.Minimum), procedures.Count(eyes.Suggested)
	}
	s.duty(r)
	s.supply(r)
}

// brightest is the highest current that the arc may come to at the settings, for the
// eyes: rows scatter, and a shade is no place for the middle of a range. A covered
// electrode goes by all of its own.
func (s *Suggestion) brightest(r Request) procedures.Amps {
	top := s.Settings.Current
	if s.Settings.How["current_A"] == procedures.OwnCurve || r.Job.Process == procedures.SMAW {
		return max(top, s.Range.Current[1])
	}
	if v, err := arc.Current(r.Job.Wire, s.Settings.WireSpeed); err == nil && top > 0 {
		top = max(top, procedures.Amps(v.High))
	}
	return top
}

// duty says how much arc any 10 min may hold: by the plate, or by what this machine
// did, where that is less.
func (s *Suggestion) duty(r Request) {
	m := r.Machine
	a, err := source.Allow(m, s.Settings.Current, nil)
	if err != nil {
		s.care("no-duty", "By this machine's plate and the cut-outs written down there is no arc left at this current in any 10 minutes. Weld colder, or look the cut-outs through: one that was written down after too little arc is withdrawn.", "CP")
		return
	}
	switch a.By {
	case source.ByPractice:
		s.care("duty", fmt.Sprintf("The duty cycle of this machine is not written down. Until it is, weld %.0f s in any 10 minutes at the most, feel the case, leave the fan running, and stop when it is hot.", float64(a.Arc)), "CP")
	case source.ByCutOuts:
		s.care("own-duty", "Rest longer than the plate says: this machine has cut out sooner. "+sentence(a.Note), a.Source...)
		s.Expect.ArcHow = procedures.Measured
	case source.ByPlate:
		s.Expect.ArcHow = procedures.FromTable
	}
	s.because(a.Source, "arc in any 10 minutes: %s", a.Note)
	if a.By != source.ByPractice {
		s.Expect.ArcSeconds, s.Expect.Rest = a.Arc, source.Period-a.Arc
	}
	if m.Rebuilt {
		s.care("rebuilt-duty", "This machine was rebuilt from AC to DC: rectifier and capacitors heat the transformer harder and the cut-out does not watch them. Rest longer than the plate says.", "CP")
	}
}
