package recommend

import (
	"fmt"
	"math"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/feeder"
)

// variable is a setting that a procedure gives a range of.
type variable struct {
	key   string // of the setting, with its unit
	limit string // its row of [data.VariableLimits]
	// hand is the share that a hand or a meter in a garage sets or reads no finer.
	// Common practice, no source.
	hand float64
	of   func(*procedures.Settings) *float64
	say  func(v float64, u procedures.Units) string
}

func variables() []variable {
	return []variable{
		{"wire_speed_m_min", "wire speed", equalSpeed / 100., func(s *procedures.Settings) *float64 { return (*float64)(&s.WireSpeed) },
			func(v float64, u procedures.Units) string {
				return procedures.FormatWireSpeed(procedures.MPerMin(v), u)
			}},
		{"voltage_V", "voltage", 0.03, func(s *procedures.Settings) *float64 { return (*float64)(&s.Voltage) },
			func(v float64, _ procedures.Units) string { return fmt.Sprintf("%.1f V", v) }},
		{"current_A", "current", 0.05, func(s *procedures.Settings) *float64 { return (*float64)(&s.Current) },
			func(v float64, _ procedures.Units) string { return fmt.Sprintf("%.0f A", v) }},
		{"travel_mm_min", "travel speed", 0.10, func(s *procedures.Settings) *float64 { return (*float64)(&s.Travel) },
			func(v float64, u procedures.Units) string {
				if u == procedures.Metric {
					return fmt.Sprintf("%.0f mm/min", v)
				}
				return fmt.Sprintf("%.1f in/min", procedures.MMPerMin(v).InchesPerMin())
			}},
	}
}

// sample is the value of a variable on one weld.
type sample struct {
	mark  string
	value float64
}

// ranges fills in the middle of each setting and its range, and returns what
// speaks against them. from are the welds that the procedure is written from, like
// all welds of their kind.
//
// The middle is the mean of the coupons that passed a test (where none did, of all
// that it is written from). Around it, for each essential variable:
//
//  1. No wider than the percentage by which AWS D1.1 lets it move
//     ([data.VariableLimits]).
//  2. No wider than from the lowest to the highest good or tested weld of the kind,
//     and a little more to each side: what a hand cannot set, or a meter read,
//     finer (5 % of wire speed and current, 3 % of volts, 10 % of pace; common
//     practice, no source).
//  3. Cut half way between a weld that failed and the good one next to it.
//
// The current goes with the wire speed, so its range is at least as wide in its share.
// Volts and current that nobody measured get no range.
// What was measured counts before what was only suggested or guessed.
func ranges(p *procedures.Procedure, r ProcedureRequest, from, like []procedures.Weld) []Reason {
	var doubts []Reason
	for _, v := range variables() {
		got, doubt := v.rangeOf(p, r, from, like)
		doubts = append(doubts, doubt...)
		if got.Variable != "" {
			p.Ranges = append(p.Ranges, got)
		}
		if v.key == "wire_speed_m_min" {
			knobRange(p, r, from)
		}
	}
	sizeRanges(p, from)
	return doubts
}

// rangeOf is the range of one variable, by the rule of [ranges]; its Variable is
// "" where nothing is known of it. It puts the middle into the procedure.
func (v variable) rangeOf(p *procedures.Procedure, r ProcedureRequest, from, like []procedures.Weld) (procedures.ProcedureRange, []Reason) {
	core, how, measured := v.core(p, r, from)
	if len(core) == 0 {
		return procedures.ProcedureRange{}, nil
	}
	middle := 0.0
	for _, c := range core {
		middle += c.value / float64(len(core))
	}
	*v.of(&p.Settings) = procedures.Round(middle)
	p.Settings.How[v.key] = how
	limit, ok := limitOf(v.limit)
	if !ok || !measured && (v.key == "voltage_V" || v.key == "current_A") {
		return procedures.ProcedureRange{}, nil // a range around a guess would be dressed as a measurement
	}
	out := procedures.ProcedureRange{Variable: v.key, Low: middle * (1 + limit.LowPct/100), High: middle * (1 + limit.HighPct/100), Source: append([]string{}, limit.Source...)}
	outer := [2]float64{out.Low, out.High}
	say := func(x float64) string { return v.say(x, r.Units) }
	why := fmt.Sprintf("middle %s%s; AWS D1.1 lets a qualified procedure move %g %% from it", say(middle), marksOf(core), limit.HighPct)
	if !measured && v.limit != "wire speed" {
		out.Why = why + "; nothing narrows it, for it was not measured on any of the coupons"
		return rounded(out), nil
	}
	if !measured {
		why += "; it is as suggested or guessed, not measured"
	}
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, g := range append(v.readings(like, measured, func(w procedures.Weld) bool { return w.Outcome.Good() || w.Outcome.Passed() }), core...) {
		if g.value >= outer[0] && g.value <= outer[1] {
			lowest, highest = math.Min(lowest, g.value), math.Max(highest, g.value)
		}
	}
	out.Low, out.High = math.Max(outer[0], lowest*(1-v.hand)), math.Min(outer[1], highest*(1+v.hand))
	out.Source = append(out.Source, "CP")
	if say(lowest) == say(highest) {
		why += fmt.Sprintf("; every good weld was at %s", say(lowest))
	} else {
		why += fmt.Sprintf("; good welds reach from %s to %s", say(lowest), say(highest))
	}
	why += fmt.Sprintf(", and %.0f %% is as fine as a hand sets or a meter reads", 100*v.hand)
	if speeds, ok := p.Range("wire_speed_m_min"); ok && v.key == "current_A" {
		low, high := middle*speeds.Low/float64(p.Settings.WireSpeed), middle*speeds.High/float64(p.Settings.WireSpeed)
		if low < out.Low || high > out.High {
			out.Low, out.High = math.Max(outer[0], math.Min(out.Low, low)), math.Min(outer[1], math.Max(out.High, high))
			why += "; over the wire speed's range the current goes with it"
		}
	}
	var doubts []Reason
	for _, f := range v.readings(like, measured, func(w procedures.Weld) bool { return bad(w.Outcome) }) {
		switch {
		case f.value < outer[0] || f.value > outer[1]:
		case f.value >= lowest && f.value <= highest:
			doubts = append(doubts, Reason{fmt.Sprintf("%s failed at %s, among settings that came out good: something else spoiled it, or the range is narrower than it looks. One more coupon there tells", f.mark, say(f.value)), []string{}})
		case f.value < lowest && (f.value+lowest)/2 > out.Low:
			out.Low = (f.value + lowest) / 2
			why += fmt.Sprintf("; %s failed at %s, so the lower end lies half way to it", f.mark, say(f.value))
		case f.value > highest && (f.value+highest)/2 < out.High:
			out.High = (f.value + highest) / 2
			why += fmt.Sprintf("; %s failed at %s, so the upper end lies half way to it", f.mark, say(f.value))
		}
	}
	out.Why = why
	return rounded(out), doubts
}

// core is what the middle is taken of: measured values of tested coupons, else of
// all that the procedure is written from, else what was suggested for them; for
// current and volts at last what the tables give at the middle wire speed.
func (v variable) core(p *procedures.Procedure, r ProcedureRequest, from []procedures.Weld) (core []sample, how procedures.How, measured bool) {
	all := func(procedures.Weld) bool { return true }
	for _, measured := range []bool{true, false} {
		for _, which := range []func(procedures.Weld) bool{func(w procedures.Weld) bool { return w.Outcome.Passed() }, all} {
			got := v.readings(from, measured, which)
			if len(got) == 0 {
				continue
			}
			if measured {
				return got, procedures.Measured, true
			}
			return got, procedures.Guessed, false
		}
	}
	var at arc.Value
	var err error
	switch v.key {
	case "current_A":
		at, err = arc.Current(p.Job.Wire, p.Settings.WireSpeed)
	case "voltage_V":
		var i arc.Value
		if i, err = arc.Current(p.Job.Wire, p.Settings.WireSpeed); err == nil {
			at, err = arc.Voltage(p.Job.Wire, p.Job.Weld, procedures.Amps(i.Value))
		}
	default:
		return nil, "", false
	}
	if err != nil || at.Value <= 0 {
		return nil, "", false
	}
	return []sample{{"by the tables", at.Value}}, procedures.FromTable, false
}

// readings are the values of the welds that are wanted; measured ones alone, or all.
func (v variable) readings(welds []procedures.Weld, measured bool, want func(procedures.Weld) bool) []sample {
	var list []sample
	for _, w := range welds {
		x := *v.of(&w.Settings)
		how := w.Settings.How[v.key]
		known := how == procedures.Measured || how == procedures.OwnCurve && v.key == "wire_speed_m_min"
		if x > 0 && (known || !measured) && want(w) {
			list = append(list, sample{w.Mark, x})
		}
	}
	return list
}

// limitOf is the row of an essential variable.
func limitOf(name string) (data.VariableLimit, bool) {
	for _, l := range data.VariableLimits() {
		if l.Variable == name {
			return l, true
		}
	}
	return data.VariableLimit{}, false
}

func marksOf(all []sample) string {
	var marks []string
	for _, r := range all {
		marks = append(marks, r.mark)
	}
	return " (" + strings.Join(marks, ", ") + ")"
}

// rounded keeps six digits of the ends.
func rounded(r procedures.ProcedureRange) procedures.ProcedureRange {
	r.Low, r.High = procedures.Round(r.Low), procedures.Round(r.High)
	return r
}

// knobRange puts in the marks of the knob: where it was run out on this tap, the
// marks between which the wire speed stays in its range; else the marks that the
// coupons were welded at, and no more.
func knobRange(p *procedures.Procedure, r ProcedureRequest, from []procedures.Weld) {
	speeds, known := p.Range("wire_speed_m_min")
	c, ok := feeder.CurveOf(r.Machine, r.Machine.State.ID, p.Settings.Tap)
	if known && ok && len(c.Points) > 1 && c.From == "" {
		_, reach := c.Reach()
		low, high := math.Max(speeds.Low, float64(reach[0])), math.Min(speeds.High, float64(reach[1]))
		a, errA := c.MarkAt(procedures.MPerMin(low))
		b, errB := c.MarkAt(procedures.MPerMin(high))
		if low <= high && errA == nil && errB == nil {
			step := r.Machine.Knob.Step
			if step <= 0 {
				step = 0.25
			}
			// Inward to marks that a hand can set, so that both ends lie in the range.
			first, last := math.Ceil(a.Value/step-1e-6)*step, math.Floor(b.Value/step+1e-6)*step
			if first > last {
				first, last = a.Value, b.Value
			}
			why := "between these marks the wire speed stays in its range, by your own run-outs; come up to a mark from below"
			if low > speeds.Low || high < speeds.High {
				why += "; beyond the marks measured nothing is said"
			}
			p.Ranges = append(p.Ranges, rounded(procedures.ProcedureRange{Variable: "knob", Low: first, High: last, Source: []string{"MATH"}, Why: why}))
			if mark, _, how := Dial(r.Machine, p.Settings.Tap, p.Settings.WireSpeed); mark != nil {
				p.Settings.Knob, p.Settings.How["knob"] = mark, how
			}
			return
		}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, w := range from {
		if k := w.Settings.Knob; k != nil {
			low, high = math.Min(low, *k), math.Max(high, *k)
		}
	}
	if low > high {
		return // a guessed third of the knob's turn repeats nothing
	}
	p.Ranges = append(p.Ranges, procedures.ProcedureRange{Variable: "knob", Low: low, High: high, Source: []string{"MATH"},
		Why: "the marks that the coupons were welded at; the knob is not measured on this tap, so no other mark is known; run out " + markOn(p.Settings.Tap, low)})
	middle := feeder.Settle(r.Machine.Knob, (low+high)/2)
	p.Settings.Knob, p.Settings.How["knob"] = &middle, from[0].Settings.How["knob"]
}

// sizeRanges puts in thickness, stick-out and leg.
func sizeRanges(p *procedures.Procedure, from []procedures.Weld) {
	thin, thick := math.Inf(1), 0.0
	var out, leg span
	for _, w := range from {
		thin, thick = math.Min(thin, float64(w.Job.Thinner())), math.Max(thick, float64(w.Job.Thinner()))
		out.take(float64(w.Settings.Extension))
		leg.take(float64(w.Outcome.Leg))
		if p.Settings.Leg == 0 {
			p.Settings.Leg = w.Settings.Leg
			p.Settings.How["leg_mm"] = w.Settings.How["leg_mm"]
		}
		if p.Settings.How["extension_mm"] != procedures.Measured {
			p.Settings.How["extension_mm"] = w.Settings.How["extension_mm"]
		}
	}
	p.Ranges = append(p.Ranges, rounded(procedures.ProcedureRange{Variable: "thickness_mm", Low: thin * 0.9, High: thick * 1.1, Source: []string{"CP"},
		Why: "of the thinner part: 10 % either way of what was welded, as near as this notebook takes a job for a like one (a rule of its own, no standard's)"}))
	if out.known() {
		p.Settings.Extension = procedures.MM(procedures.Round((out.low + out.high) / 2))
		why := "what the coupons were welded with and 1/16 in (1.6 mm) either way, as steady as a hand holds it (common practice, no source)"
		if p.Settings.How["extension_mm"] != procedures.Measured {
			why += "; as suggested, not measured"
		}
		p.Ranges = append(p.Ranges, rounded(procedures.ProcedureRange{Variable: "extension_mm", Low: math.Max(out.low-steady, 2), High: out.high + steady, Source: []string{"CP"}, Why: why}))
	}
	if leg.known() {
		// The least of them: the leg on a weld symbol is a least one.
		p.Settings.Leg, p.Settings.How["leg_mm"] = procedures.MM(leg.low), procedures.Measured
		p.Ranges = append(p.Ranges, rounded(procedures.ProcedureRange{Variable: "leg_mm", Low: leg.low, High: leg.high, Source: []string{"MATH"}, Why: "the legs measured on the coupons"}))
	}
	for _, key := range []string{"leg_mm", "extension_mm"} {
		if p.Settings.How[key] == "" {
			delete(p.Settings.How, key)
		}
	}
}

// steady is how far a hand lets the stick-out wander: 1/16 in. Common practice, no source.
const steady = procedures.MMPerInch / 16

// span is the lowest and the highest of values that are known.
type span struct{ low, high float64 }

func (s *span) take(v float64) {
	switch {
	case v <= 0:
	case s.low == 0:
		s.low, s.high = v, v
	default:
		s.low, s.high = math.Min(s.low, v), math.Max(s.high, v)
	}
}

func (s span) known() bool { return s.low > 0 }

// ProcedureEnergy is the arc energy that a procedure's ranges of volts, current and
// pace span, in kJ/mm: the lowest volts and current at the quickest pace to the
// highest at the slowest. It reports false where one of the ranges is missing.
func ProcedureEnergy(p procedures.Procedure) (low, high arc.KJPerMM, ok bool) {
	v, okV := p.Range("voltage_V")
	i, okI := p.Range("current_A")
	s, okS := p.Range("travel_mm_min")
	if !okV || !okI || !okS {
		return 0, 0, false
	}
	low, errLow := arc.Energy(procedures.Volts(v.Low), procedures.Amps(i.Low), procedures.MMPerMin(s.High))
	high, errHigh := arc.Energy(procedures.Volts(v.High), procedures.Amps(i.High), procedures.MMPerMin(s.Low))
	return low, high, errLow == nil && errHigh == nil
}
