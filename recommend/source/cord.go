package source

import (
	"fmt"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

const feetPerMM = 1 / (12 * procedures.MMPerInch)

// Drop returns the voltage lost, in V, over both conductors of a two-wire run:
// 2*length*R*I. Length is one way, 100 mm to 1 km; ohmPerKft above 0 to 100 ohm
// for 1000 ft; 0.1 to 2000 A. Source: inspection course, NEC Chapter 9 Table 8.
func Drop(oneWay procedures.MM, ohmPerKft float64, i procedures.Amps) (procedures.Volts, error) {
	err := first(arc.Within("length", float64(oneWay), 100, 1e6, "mm"), arc.Within("resistance", ohmPerKft, 0.001, 100, "ohm/kft"), checkAmps("current", i))
	if err != nil {
		return 0, err
	}
	return procedures.Volts(2 * float64(oneWay) * feetPerMM * ohmPerKft / 1000 * float64(i)), nil
}

// DropPercent returns a drop as a share of the supply. Range: drop 0 to the
// supply, supply 1 to 700 V. Source: inspection course.
func DropPercent(drop, supply procedures.Volts) (procedures.Percent, error) {
	err := first(arc.Within("supply voltage", float64(supply), 1, 700, "V"), arc.Within("voltage drop", float64(drop), 0, float64(supply), "V"))
	if err != nil {
		return 0, err
	}
	return procedures.Percent(100 * drop / supply), nil
}

func copper(awg int) (data.CopperResistance, error) {
	for _, r := range data.CopperResistances() {
		if r.AWG == awg {
			return r, nil
		}
	}
	return data.CopperResistance{}, procedures.Invalid("wire size", fmt.Sprint(awg), "not in the copper table", "accepted: 18, 16, 14, 12, 10, 8, 6, 4 AWG")
}

// CordLoss is what an extension cord takes from the machine.
type CordLoss struct {
	Drop    arc.Value          // V at the machine's plug, against no cord
	Share   procedures.Percent // of the supply
	Arc     procedures.Volts   // about what the arc loses: the same share of the arc volts
	Allowed arc.Value          // A that the cord may carry all the time
	Caution string             // "" where nothing is wrong
	Stop    bool               // more than rests between beads make good: not with this cord
}

// Limits on the cord's share of the supply: 3 % is the NEC's suggestion for a
// branch circuit, from memory; at 5 % the arc is a volt short, own arithmetic.
const (
	dropSuggested procedures.Percent = 3
	dropWeak      procedures.Percent = 5
)

// CordDrop returns what a cord of stranded copper does to a machine: the voltage
// it loses at a primary current, and what that takes from the arc (a transformer
// passes the loss on in proportion). Cord of 18 to 4 AWG, 0.1 to 1000 m one way;
// 0.1 to 2000 A; supply 90 to 700 V; arc 5 to 100 V.
// Source: NEC Chapter 9 Table 8, at 75 degC.
func CordDrop(cord procedures.Cord, primary procedures.Amps, supply, arcVolts procedures.Volts) (CordLoss, error) {
	r, err := copper(cord.AWG)
	if err := first(err, arc.Within("supply voltage", float64(supply), 90, 700, "V"), arc.Within("arc voltage", float64(arcVolts), 5, 100, "V")); err != nil {
		return CordLoss{}, err
	}
	v, err := Drop(cord.Length, r.StrandedOhmPerKft, primary)
	if err != nil {
		return CordLoss{}, err
	}
	share, err := DropPercent(v, supply)
	if err != nil {
		return CordLoss{}, err
	}
	out := CordLoss{Drop: exact(float64(v), "V", r.Row), Share: share, Arc: arcVolts * procedures.Volts(share) / 100}
	if out.Allowed, err = CordAmpacity(cord.AWG, 2); err != nil {
		out.Allowed = arc.Value{} // heavier than the cord table: nothing to compare with
	}
	over := 0.0
	if out.Allowed.Value > 0 {
		over = float64(primary) / out.Allowed.Value
	}
	rated := fmt.Sprintf("the cord is rated for %.0f A all the time and the machine draws %.3g A with the arc on", out.Allowed.Value, float64(primary))
	switch {
	case over > cordRests:
		out.Stop, out.Caution = true, "do not weld through this cord: "+rated+", which rests do not make good. A heavier cord, or none"
	case over > 1:
		out.Caution = rated + ": only with more rest than arc. Unroll it, feel it after each bead, and stop when it is warm; a heavier cord is better"
	case share > dropWeak:
		out.Caution = fmt.Sprintf("the cord takes %.1f %% of the supply: about %.1f V less at the arc; shorter or heavier", float64(share), float64(out.Arc))
	case share > dropSuggested:
		out.Caution = fmt.Sprintf("the cord takes %.1f %% of the supply, more than the 3 %% suggested for a branch circuit", float64(share))
	}
	return out, nil
}

// CordAmpacity returns the current, in A, that a flexible cord may carry all the
// time, with 2 current-carrying conductors (a 120 V cord with earth) or 3.
// Source: NEC 400.5(A), some cells from memory. Error: [*arc.NoTableError].
func CordAmpacity(awg, conductors int) (arc.Value, error) {
	for _, r := range data.CordAmpacities() {
		if r.AWG == awg && r.Conductors == conductors {
			return exact(r.AmpacityA, "A", r.Row), nil
		}
	}
	return arc.Value{}, &arc.NoTableError{Quantity: "ampacity", Of: fmt.Sprintf("%d AWG cord with %d current-carrying conductors", awg, conductors), Have: []string{"18 to 8 AWG with 2 or 3"}}
}
