package source

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

const (
	// CutOutWait is how long a machine whose cut-out has opened stays switched on,
	// so that the fan cools it, in s. Source: the manual of a small machine, from
	// memory; it may close sooner and open again as soon.
	CutOutWait procedures.Seconds = 600

	// ratedAir is the hottest air that ratings hold for, in degC.
	// Source: 29 CFR 1910.254(b)(2).
	ratedAir = 40

	// leastRise is the smallest rise, in K, that any class of insulation is allowed
	// above air of 40 degC (class 105, IEC 60974-1; from memory).
	leastRise = 60

	// careful is the arc in any 10 min where nothing is known of a machine's duty:
	// half of what the smallest class of machines is rated for. Common practice, no source.
	careful procedures.Seconds = 60

	// tripShare is what is left of the arc after which a cut-out opened. The rest,
	// 15 %, covers a thumb on a stopwatch (a second or two a bead) and a switch that
	// opens a few degrees sooner another day. A design choice, no source.
	tripShare = 0.85
)

// whole is an allowance in whole seconds, never more than it is.
func whole(t procedures.Seconds) float64 { return math.Floor(float64(t) + 1e-6) }

// Limit names what an allowance of arc is set by.
type Limit string

// From the best known to the least.
const (
	ByCutOuts  Limit = "own cut-outs" // of this machine in its present state
	ByPlate    Limit = "plate"
	ByPractice Limit = "common practice" // nothing is known of its duty
)

// Allowance is how much arc any 10 min may hold on a machine.
type Allowance struct {
	Arc     procedures.Seconds // in any 10 min; never above Plate where that is known
	By      Limit
	Current procedures.Amps    // that it is for; zero: not known
	Plate   procedures.Seconds // by the plate and the square of the currents; zero: not known
	Trip    procedures.CutOut  // where By is [ByCutOuts]: the one that sets it
	Trips   int                // cut-outs since the output last changed
	Other   int                // cut-outs from before: they count as the most it may be
	Note    string             // where Arc comes from, in words
	Source  []string           // ids of data.Sources
}

// Allow returns the arc that any 10 min may hold at a current (5 to 2000 A; zero:
// not known, and the rated one is taken) in air of so many degC (nil: not known).
//
// It begins with the plate, carried to the current by the square rule, above the
// rated current too, where that only shortens. Each cut-out of the machine then
// lowers it to 85 % of the arc that the machine stood, carried to the current by the
// same rule; the least counts. So a cut-out never raises it, and a machine that never
// tripped keeps its plate. A change does not take one back: a tip, a liner or a lead
// cools no transformer, and what rebuilds a machine mostly heats it harder, so that one
// from before a change of output stands as the most. A cut-out whose current is not
// known counts as one at the rated current, and never for more than it stood. Air
// above 40 C takes a sixtieth a degree. Errors: [*procedures.InvalidError], also
// where less than a second is left.
func Allow(m procedures.Machine, i procedures.Amps, air *float64) (Allowance, error) {
	if i != 0 {
		if err := arc.Within("current", float64(i), 5, 2000, "A"); err != nil {
			return Allowance{}, err
		}
	}
	if air != nil {
		if err := arc.Within("air", *air, -40, 60, "C"); err != nil {
			return Allowance{}, err
		}
	}
	if i == 0 {
		i = m.RatedAmps
	}
	a := Allowance{Current: i}
	a.plate(m)
	if share := inHotAir(air); share < 1 {
		a.Arc *= procedures.Seconds(share)
		a.Note += fmt.Sprintf("; air of %.0f C (%.0f F) is hotter than the %d C that ratings presume, and a sixtieth a degree less leaves %.0f s", *air, *air*9/5+32, ratedAir, whole(a.Arc))
		a.Source = arc.Together(a.Source, []string{"DC-1910", "MEM"})
	}
	for _, c := range m.CutOuts {
		switch {
		case c.Struck != "":
		case m.SinceOutput(c.State):
			a.Trips++
			a.lower(m, c, air, "")
		default:
			a.Other++
			a.lower(m, c, air, "; that was before its output was changed, and it stands as the most until this machine shows less: if the transformer is another one now, withdraw it")
		}
	}
	if a.Arc < 1 {
		return Allowance{}, procedures.Invalid("current", fmt.Sprintf("%.3g A", float64(i)), "at that current less than a second of arc is left in any 10 minutes", "turn it down, or look whether the amps are right", "a cut-out that was written down after too little arc forbids every bead: look them through, and withdraw that one")
	}
	return a, nil
}

// plate begins the allowance with what is printed on the machine.
func (a *Allowance) plate(m procedures.Machine) {
	duty, rated, i := float64(m.Duty), float64(m.RatedAmps), float64(a.Current)
	if duty == 0 || rated == 0 {
		a.By, a.Arc, a.Source = ByPractice, careful, []string{"CP"}
		if duty > 0 {
			a.Arc = min(careful, Period*procedures.Seconds(duty)/100)
		}
		lacking := "duty cycle is"
		if duty > 0 {
			lacking = "rated amps, which its duty cycle is for, are"
		}
		a.Note = fmt.Sprintf("the plate's "+lacking+" not written down, so this is a careful %.0f s, whatever the current; the plate tells the real figure, as amps at per cent", whole(a.Arc))
		return
	}
	d := min(100, duty*math.Pow(rated/i, 2))
	a.By, a.Arc, a.Source = ByPlate, Period*procedures.Seconds(d)/100, []string{"DC-AWS", "DC-MAN"}
	a.Plate = a.Arc
	switch {
	case i > rated:
		a.Note = fmt.Sprintf("%.0f A is above the rated %.0f A, where the plate's %.0f %% does not hold and no rule is made for it: %.0f s (%.1f %%, the square of the currents) is a guess, and the cut-out decides", i, rated, duty, whole(a.Arc), d)
		a.Source = append(a.Source, "CP")
	case i < rated:
		a.Note = fmt.Sprintf("the plate's %.0f %% at %.0f A is about %.0f %% at %.0f A by the square of the currents, a rule of thumb: %.0f s", duty, rated, d, i, whole(a.Arc))
	default:
		a.Note, a.Source = fmt.Sprintf("the plate's %.0f %% at %.0f A: %.0f s", duty, rated, whole(a.Arc)), []string{"DC-AWS"}
	}
}

// lower takes the allowance down to what a cut-out says, if that is less. before is
// what to say of one from before a change.
func (a *Allowance) lower(m procedures.Machine, c procedures.CutOut, air *float64, before string) {
	scale := 1.0
	switch {
	case a.Current == 0:
	case c.Current != 0:
		scale = math.Pow(float64(c.Current/a.Current), 2)
	case m.RatedAmps != 0:
		scale = min(1, math.Pow(float64(m.RatedAmps/a.Current), 2))
	}
	stood := procedures.Seconds(min(float64(c.Used)*scale, float64(Period)) * min(1, inHotAir(air)/inHotAir(c.Ambient)))
	if stood*tripShare >= a.Arc {
		return
	}
	a.Arc, a.By, a.Trip, a.Source = stood*tripShare, ByCutOuts, c, []string{"CP"}
	a.Note = fmt.Sprintf("measured on this machine: cut-out %d opened after %.0f s of arc in 10 minutes", c.Number, float64(c.Used))
	if c.Current != 0 {
		a.Note += fmt.Sprintf(" at %.0f A", float64(c.Current))
	} else {
		a.Note += ", its current not known"
	}
	if c.Ambient != nil {
		a.Note += fmt.Sprintf(", in air of %.0f C (%.0f F)", *c.Ambient, *c.Ambient*9/5+32)
	}
	if math.Abs(float64(stood-c.Used)) >= 0.5 {
		var ways []string
		if scale != 1 {
			ways, a.Source = append(ways, "the square of the currents"), append(a.Source, "DC-MAN")
		}
		if inHotAir(air) < inHotAir(c.Ambient) {
			ways = append(ways, fmt.Sprintf("a sixtieth a degree of air above %d C", ratedAir))
			a.Source = append(a.Source, "DC-1910", "MEM")
		}
		a.Note += fmt.Sprintf(", which is %.0f s here and now by %s", whole(stood), strings.Join(ways, " and "))
	}
	a.Note += fmt.Sprintf("; less 15 %% that is %.0f s", whole(a.Arc))
	if a.Plate > 0 {
		a.Note += fmt.Sprintf(", and the plate alone would say %.0f s", whole(a.Plate))
	}
	a.Note += before
	slices.Sort(a.Source)
}

// inHotAir is the share of an allowance that air leaves: 1 up to 40 degC or where
// it is not known. Windings may grow as hot as ever, so each degree of hotter air is
// one degree less of rise, and rise goes with the heat put in; a rise of 60 K, the
// least that any insulation is allowed, makes the most of it. Derived here.
func inHotAir(air *float64) float64 {
	if air == nil {
		return 1
	}
	return 1 - max(0, *air-ratedAir)/leastRise
}
