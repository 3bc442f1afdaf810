package source

import (
	"fmt"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// LeadLoss is what the welding leads take from the arc.
type LeadLoss struct {
	Drop       arc.Value // V over both leads
	MilsPerAmp float64   // circular mils of copper for each ampere
	Caution    string    // "" where both rules are kept
}

// LeadDrop returns the voltage lost in stranded copper welding leads of one size.
// total is both leads together, 100 mm to 1 km; 18 to 4 AWG; 0.1 to 2000 A.
// Rules: at most 4 V, at least 300 circular mils an ampere.
// Source: AWS Fact Sheet 39, NEC Chapter 9 Table 8 at 75 degC.
func LeadDrop(awg int, total procedures.MM, i procedures.Amps) (LeadLoss, error) {
	r, err := copper(awg)
	if err != nil {
		return LeadLoss{}, err
	}
	v, err := Drop(total, r.StrandedOhmPerKft, i)
	if err != nil {
		return LeadLoss{}, err
	}
	out := LeadLoss{Drop: exact(float64(v)/2, "V", r.Row), MilsPerAmp: r.CircularMils / float64(i)}
	drop, mils := leadRule("drop"), leadRule("area")
	out.Drop.Source = arc.Together(out.Drop.Source, drop.Source)
	switch {
	case out.Drop.Value > drop.Value:
		out.Caution = fmt.Sprintf("the leads take %.1f V; %.0f V is the most to lose in both together", out.Drop.Value, drop.Value)
	case out.MilsPerAmp < mils.Value:
		out.Caution = fmt.Sprintf("the leads have %.0f circular mils an ampere; %.0f is the least", out.MilsPerAmp, mils.Value)
	}
	return out, nil
}

// leadRule returns a rule for welding leads; a key that is not there has no limit.
func leadRule(key string) data.LeadRule {
	for _, r := range data.LeadRules() {
		if r.Key == key {
			return r
		}
	}
	return data.LeadRule{}
}

// Lead is a size of welding lead.
type Lead struct {
	AWG      string // 4 ... 1, 1/0 ... 4/0
	Parallel int    // cables side by side
	Source   []string
	Basis    data.Basis
}

// LeadSize returns the copper for a welding circuit from a maker's table: the row
// of the next higher current and the next longer circuit, by duty cycle.
// total is both leads together. Range: up to 300 A and 400 ft (122 m), duty from
// 10 %. Errors: [*arc.RangeError] past the table.
func LeadSize(i procedures.Amps, total procedures.MM, d procedures.Percent) (Lead, error) {
	if err := first(checkAmps("current", i), arc.Within("length", float64(total), 100, 1e6, "mm"), checkDuty(d)); err != nil {
		return Lead{}, err
	}
	ft, duty := float64(total)*feetPerMM, max(float64(d), 10) // less duty needs no more than 10 % does
	var topA, topFt float64
	var from []string
	for _, r := range data.LeadSizes() { // by current, then by length
		topA, topFt, from = max(topA, r.CurrentA), max(topFt, r.ThroughFt), r.Source
		if r.CurrentA >= float64(i)-1e-9 && r.ThroughFt >= ft-1e-6 && duty >= r.DutyFromPct && (r.DutyBelowPct == 0 || duty < r.DutyBelowPct) {
			return Lead{AWG: r.AWG, Parallel: r.Parallel, Source: r.Source, Basis: r.Basis}, nil
		}
	}
	if float64(i) > topA {
		return Lead{}, &arc.RangeError{Quantity: "current", Read: float64(i), High: topA, Unit: "A", Source: from}
	}
	return Lead{}, &arc.RangeError{Quantity: "length of both leads", Read: ft, High: topFt, Unit: "ft", Source: from}
}
