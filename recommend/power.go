package recommend

import (
	"fmt"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// power reckons what the job takes of the machine, the wall and the eyes.
func (s *Suggestion) power(r Request) {
	i := s.Settings.Current
	if i == 0 {
		return
	}
	if eyes, err := source.Shade(r.Job.Process, i); err == nil {
		s.Expect.ShadeMin, s.Expect.ShadeSuggested = procedures.Count(eyes.Minimum), procedures.Count(eyes.Suggested)
	}
	s.duty(r)
	s.supply(r)
}

// duty says how much arc any 10 min may hold: by the plate, or by what this machine
// did, where that is less.
func (s *Suggestion) duty(r Request) {
	m := r.Machine
	a, err := source.Allow(m, s.Settings.Current, nil)
	if err != nil {
		return // so far above the plate that no second is left; the limits say so
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

func (s *Suggestion) supply(r Request) {
	m, i := r.Machine, s.Settings.Current
	if m.InputVolts == 0 || s.Settings.Voltage == 0 {
		return
	}
	var draw float64
	if m.InputAmps > 0 && m.RatedAmps > 0 && m.RatedVolts > 0 {
		draw = float64(m.InputAmps) * float64(i*procedures.Amps(s.Settings.Voltage)) / float64(m.RatedAmps*procedures.Amps(m.RatedVolts))
	} else if v, err := source.PrimaryCurrent(i, s.Settings.Voltage, m.InputVolts, 0.7, 0.9); err == nil {
		draw = v.Value
	} else {
		return
	}
	s.Expect.Supply = procedures.Amps(draw)
	if m.Breaker > 20 && m.InputVolts <= 130 {
		s.care("breaker-size", fmt.Sprintf("A %.0f A breaker on a %.0f V outlet: household outlets and their wire are mostly made for 15 or 20 A. If it was put in to stop trips, have a licensed electrician put it right before you weld.", float64(m.Breaker), float64(m.InputVolts)), "EL-RECP", "CP")
	}
	if m.Breaker > 0 && draw > float64(m.Breaker) {
		s.care("breaker", fmt.Sprintf("It draws about %.0f A while the arc burns and the breaker is %.0f A: short beads, nothing else on the circuit, and never a bigger breaker to stop the trips; ask a licensed electrician.", draw, float64(m.Breaker)), "EL-630", "CP")
	}
	if m.InputAmps > 0 && m.Duty > 0 {
		if wire, err := source.SupplyConductor(m.InputAmps, m.Duty, false); err == nil {
			s.because(wire.Source, "for an electrician who sizes the wire in the wall: NEC 630.11(A) asks for at least %.1f A for a %.0f A machine at %.0f %% duty, since it welds only so long; local code has the last word", wire.Value, float64(m.InputAmps), float64(m.Duty))
		}
	}
	if m.Cord.AWG != 0 {
		if loss, err := source.CordDrop(m.Cord, procedures.Amps(draw), m.InputVolts, s.Settings.Voltage); err == nil {
			s.because(loss.Drop.Source, "the %d AWG cord loses %.1f V of the supply, about %.1f V at the arc", m.Cord.AWG, loss.Drop.Value, float64(loss.Arc))
			if loss.Caution != "" {
				s.care("cord", loss.Caution, loss.Drop.Source...)
			}
		}
	}
}
