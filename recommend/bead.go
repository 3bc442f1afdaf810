package recommend

import (
	"fmt"
	"math"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/joint"
	"beadwright/recommend/steel"
)

// How fast a hand moves well with wire: slower piles the bead up and lets slag
// run ahead, faster starves it. Common practice, no source.
var (
	slowestHand = procedures.TravelInchesPerMin(6)
	fastestHand = procedures.TravelInchesPerMin(20)
)

// lay works out leg, passes and pace from the weld metal wanted.
func (s *Suggestion) lay(r Request, first start) {
	j, set := r.Job, &s.Settings
	if set.WireSpeed == 0 || j.Weld == procedures.Plug {
		return // electrodes and plugs: the tables give no bead
	}
	area, source := s.wanted(r, first)
	if area <= 0 {
		return
	}
	if first.travel.Value > 0 {
		set.Travel, set.Passes = procedures.MMPerMin(first.travel.Value), 1
		set.How["travel_mm_min"] = first.travel.How()
		s.because(first.travel.Source, "pace as printed: %s", pace(r, set.Travel))
	} else {
		laid := set.WireSpeed
		if low := procedures.MPerMin(first.wireSpeed.Low); j.Class == "E71T-GS" && low > 0 {
			laid = low
			s.care("pace", "The wire speed of this class rests on a rule for solid wire, so the pace is reckoned from its low end: watch the leg first and the pace second.", first.wireSpeed.Source...)
		}
		n, v, err := handPace(j.Wire, laid, area)
		if err != nil {
			return
		}
		set.Passes, set.Travel = n, v
		set.How["travel_mm_min"] = procedures.CommonPractice
		s.because(arc.Together(source, []string{"CP"}), "pace %s lays that much metal (volume balance and a hand's usual pace; time a bead to check it)", pace(r, set.Travel))
		if n := int(set.Passes); n > 1 {
			s.because(source, "%d passes: one pass would have to crawl below %s", n, pace(r, slowestHand))
		}
	}
	if leg, err := arc.Leg(j.Wire, set.WireSpeed, set.Travel); err == nil {
		s.Expect.Bead = procedures.MM(leg.Value)
	}
	if bead, err := arc.BeadArea(j.Wire, set.WireSpeed, set.Travel); err == nil {
		s.consume(r, arc.MM2(bead.Value*float64(set.Passes)))
	}
	s.heat(r)
}

// handPace is how many passes and what pace lay a cross-section down, with the
// pace kept within what a hand does well. Thin metal gets more than it asks for:
// nobody moves fast enough to lay less.
func handPace(w procedures.Wire, s procedures.MPerMin, area arc.MM2) (procedures.Count, procedures.MMPerMin, error) {
	least, err := arc.BeadArea(w, s, fastestHand)
	if err != nil {
		return 0, 0, err
	}
	if area <= arc.MM2(least.Value) {
		return 1, fastestHand, nil
	}
	most, err := arc.BeadArea(w, s, slowestHand)
	if err != nil {
		return 0, 0, err
	}
	n, err := joint.Passes(area, arc.MM2(most.Value))
	if err != nil {
		return 0, 0, err
	}
	v, err := arc.TravelFor(w, s, max(area/arc.MM2(n), arc.MM2(least.Value)))
	return n, procedures.MMPerMin(math.Min(v.Value, float64(fastestHand))), err
}

// wanted is the cross-section of weld metal that the joint asks for, in mm2.
func (s *Suggestion) wanted(r Request, first start) (arc.MM2, []string) {
	j := r.Job
	t := j.Thinner()
	switch j.Weld {
	case procedures.SquareGroove:
		square, _ := joint.SquareArea(t, max(j.Gap, 0.01))
		lid, _ := joint.CapArea(max(2*t+j.Gap, 4), min(t/3, 1.5))
		s.because([]string{"CP"}, "a square butt with a low cap: about twice the thickness wide and a third of it high (common practice, no source)")
		if j.Gap == 0 && t > 2 {
			s.care("gap", fmt.Sprintf("No gap was said, so the seam is reckoned closed. From about %s up leave a gap of a third of the thickness (%s here) so that the bead reaches the back.", say(r, 2), say(r, t/3)), "PS-CO2")
		}
		return square + lid, []string{"CP"}
	case procedures.VGroove:
		v := joint.VGroove{Thickness: t, Gap: j.Gap, Included: 60, CapHeight: min(t/4, 1.5)}
		area, err := v.Area()
		if err != nil {
			return 0, nil
		}
		s.because([]string{"CP"}, "a V groove of 60 degrees in all (common practice, no source)")
		return area, []string{"CP"}
	case procedures.BeadOnPlate:
		area, _ := joint.FilletArea(max(t, 3))
		return area, []string{"CP"}
	}
	leg, why, how, source := filletLeg(r, first)
	s.Settings.Leg = leg
	s.Settings.How["leg_mm"] = how
	s.because(source, "%s", why)
	if j.Gap > procedures.Inches(1.0/16) {
		leg += j.Gap
		s.Settings.Leg = leg
		s.because([]string{"MEM"}, "the leg grows by the gap, which is over %s (AWS D1.1, from memory)", say(r, procedures.Inches(1.0/16)))
	}
	area, err := joint.FilletArea(leg)
	if err != nil {
		return 0, nil
	}
	return area, source
}

// filletLeg is the leg aimed at and how it was got: as the table prints it, else the
// thinner part's thickness (common practice), at least the least fillet that the part
// can take.
func filletLeg(r Request, first start) (procedures.MM, string, procedures.How, []string) {
	t := r.Job.Thinner()
	if first.leg > 0 {
		return first.leg, fmt.Sprintf("leg %s as printed", say(r, first.leg)), procedures.FromTable, first.source
	}
	least, err := joint.MinFillet(t, joint.Static)
	if err != nil {
		least.Value = 0
	}
	top := procedures.Inches(0.25) // as big as a small machine lays with sense
	switch {
	case t <= top:
		return t, fmt.Sprintf("leg about %s, the thickness of the thinner part (common practice, no source)", say(r, t)), procedures.CommonPractice, arc.Together(least.Source, []string{"CP"})
	case procedures.MM(least.Value) > top:
		return procedures.MM(least.Value), fmt.Sprintf("leg %s, the least fillet for this thickness", say(r, procedures.MM(least.Value))), procedures.FromTable, least.Source
	}
	return top, fmt.Sprintf("leg %s: the least fillet for this thickness is %s", say(r, top), say(r, procedures.MM(least.Value))), procedures.CommonPractice, arc.Together(least.Source, []string{"CP"})
}

// consume reckons wire for a metre of weld and for the length wanted.
func (s *Suggestion) consume(r Request, area arc.MM2) {
	j := r.Job
	metal, err := joint.MassPerMetre(area)
	if err != nil {
		return
	}
	eff, err := arc.DepositionEfficiency(j.Wire)
	if err != nil {
		return
	}
	wire, err := joint.WireNeeded(metal, procedures.Percent(eff.Value))
	if err != nil {
		return
	}
	s.Expect.WirePerMetre = grams(wire)
	if d, err := arc.Deposition(j.Wire, s.Settings.WireSpeed); err == nil {
		s.Expect.Deposition = kgPerHour(d.Value)
		s.because(d.Source, "about %.2f kg/h of weld metal, between %.2f and %.2f: a data sheet prints as much as solid wire of that size gives, a handbook takes 78 %% of the wire", d.Value, d.Low, d.High)
	}
	if j.Length > 0 && s.Settings.Travel > 0 {
		s.Expect.JobArc = procedures.Seconds(float64(j.Length) / float64(s.Settings.Travel) * 60 * float64(s.Settings.Passes))
		s.Expect.JobWire = grams(wire * float64(j.Length) / 1000)
	}
}

// heat reckons arc energy and heat input at the pace suggested.
func (s *Suggestion) heat(r Request) {
	set := s.Settings
	if set.Travel == 0 || set.Voltage == 0 || set.Current == 0 {
		return
	}
	if e, err := arc.Energy(set.Voltage, set.Current, set.Travel); err == nil {
		s.Expect.ArcEnergy = kJPerMM(e)
	}
	if q, err := arc.HeatInput(r.Job.Process, set.Voltage, set.Current, set.Travel); err == nil {
		s.Expect.HeatInput = kJPerMM(q.Value)
	}
}

// pass refuses what the wire's class may not do and marks what is near a limit.
func (s *Suggestion) pass(r Request) *outside {
	j := r.Job
	if j.Class == "E71T-GS" && s.Settings.Passes > 1 {
		return &outside{text: fmt.Sprintf("this wants %d passes and E71T-GS is a single-pass wire: a second bead over the first can crack", s.Settings.Passes),
			instead: "use E71T-11, or thinner metal", source: []string{"MEM"}}
	}
	if s.Settings.Passes > 1 {
		s.lower(nil, "more than one pass: chip and brush off all slag between them, and break a coupon first")
	}
	if j.Process == procedures.FCAWS && j.Thinner() > procedures.Inches(0.1875)+0.01 {
		s.lower([]string{"WD-T11"}, "thicker than %s, the last printed row with its own current: bevel it, and coupon first", say(r, procedures.Inches(3.0/16)))
	}
	return nil
}

// joint speaks of what the geometry and the steel ask for.
func (s *Suggestion) joint(r Request) {
	j, eighth := r.Job, say(r, procedures.Inches(1.0/8))
	s.Settings.Technique = technique(j)
	if c, err := joint.CompareThickness(j.Thinner(), j.Thicker()); err == nil && c.Caution != "" {
		s.care("unequal", c.Caution, "CP")
	}
	if ratio := j.Thicker() / j.Thinner(); ratio >= unlike {
		s.lower([]string{"CP"}, "one part is %.1f times as thick as the other: what melts the thick one blows through the thin one (common practice, no source)", float64(ratio))
	}
	switch j.Coating {
	case procedures.Rust:
		s.care("rust", "Grind to bright metal an inch (25 mm) each side of the joint and measure what is left: rust hides thin spots that blow through, and the settings are for the metal, not for the rust.", "CP")
	case procedures.MillScale:
		s.care("scale", "Grind the mill scale off where the bead and the clamp go: it makes pores and a poor contact.", "CP")
	}
	if j.Position == procedures.Overhead && j.Process == procedures.FCAWS {
		s.lower([]string{"WD-T11", "CP"}, "overhead: the sources disagree, from 15 %% less than flat to 31 %% more; these are settings between the two, so break a coupon and go by it")
	}
	if j.Class == "E71T-GS" && s.Evidence.SetBy == "" {
		s.ruled(r)
	}
	if j.Class == "E71T-GS" && j.Thinner() > procedures.Inches(0.125)+0.01 {
		s.lower([]string{"MEM"}, "this is thick for a single-pass wire whose wire speed rests on a rule for another wire")
	}
	if j.Position == procedures.VerticalDown && j.Thinner() > procedures.Inches(0.125)-0.01 {
		s.lower([]string{"CP"}, "downhill on %s and thicker: the puddle runs ahead and laps over without melting in (common practice, no source)", eighth)
		s.care("downhill", "Run it uphill instead, or turn it flat. Downhill is for thin sheet; on this thickness a bead can look good and come off in one piece, so break one before you trust it.", "CP")
	}
	if j.Gap > j.Thinner()/2 {
		s.lower([]string{"CP"}, "the gap is over half the metal's thickness (common practice, no source)")
		s.care("gap", "Close the gap, or back it with a copper bar; begin a little colder and quicker than shown, and expect to blow through.", "CP")
	}
	if j.Process == procedures.FCAWS && j.Weld == procedures.SquareGroove && j.Thinner() > procedures.Inches(0.125)+0.01 {
		s.lower([]string{"CP"}, "a square butt thicker than %s rarely melts through from one side (common practice, no source)", eighth)
		s.care("butt", "Bevel it, or leave a gap of "+say(r, procedures.Inches(1.0/16))+" and weld both sides; two beads on a closed seam only look like a joint.", "CP")
	}
	g, ok := grade(j.Steel)
	if !ok {
		return
	}
	if g.Group == "III" {
		s.lower(g.Source, "%s hardens beside the weld (group III): preheat and slow cooling decide, not the settings", g.Name)
	}
	category, err := steel.D11Category(g, steel.LowHydrogen(j.Wire))
	if err != nil {
		return
	}
	p, err := steel.D11Preheat(category, j.Thicker())
	switch {
	case err != nil:
	case p.None():
		s.because(p.Source, "no preheat at this thickness by AWS D1.1; if the metal is below freezing, warm it to 70 F (20 C) first")
	default:
		c := p.C
		s.Settings.Preheat = &c
		s.because(p.Source, "preheat to at least %.0f F (%.0f C) by AWS D1.1, category %s", p.F, p.C, p.Category)
	}
}

// ruled says what the wire speed of E71T-GS rests on: no figure for it is in print. The
// rule of the small-machine manuals is for solid wire, and the sheet of E71T-11, which
// is gasless too, asks for so much less that the two are both told. Where between them
// a wire burns best, its own ends tell: common practice.
func (s *Suggestion) ruled(r Request) {
	v, err := arc.WireSpeed(r.Job.Wire, s.Table.Current)
	if err != nil {
		s.lower([]string{"CP-MAN"}, "no table of wire speeds for E71T-GS is in print, and a rule for another wire stands in: run a coupon and break it before the piece")
		return
	}
	low := speed(r, procedures.MPerMin(v.Low))
	s.lower(v.Source, "no table of wire speeds for E71T-GS is in print: %s is by a rule for solid wire, and the sheet of E71T-11, gasless too, points to about %s for these amps; run a coupon and break it before the piece", speed(r, procedures.MPerMin(v.Value)), low)
	if s.Evidence.Good == 0 {
		s.care("bracket", fmt.Sprintf("Let the wire tell before the piece: on scrap of this thickness begin at %s and turn it up a little at a time. Where it stops burning back to the tip is the low end, where it stubs and pushes the gun is the high end: set it midway, and log that.", low), "CP")
	}
}

// unlike is how many times thicker one part may be before no setting suits both.
// Common practice, no source.
const unlike = 3

// technique is how the gun is held and moved. Common practice, no source.
func technique(j procedures.Job) string {
	switch {
	case j.Process == procedures.FCAWS && j.Position == procedures.VerticalDown:
		return "drag, straight down, ahead of the slag"
	case j.Process == procedures.FCAWS && j.Position == procedures.VerticalUp:
		return "uphill, small steps, pause at the sides"
	case j.Process == procedures.FCAWS:
		return "drag, straight bead"
	case j.Process == procedures.SMAW:
		return "drag, short arc"
	}
	return "push or drag, straight bead"
}

// pace says a travel speed as a hand can time it.
func pace(r Request, v procedures.MMPerMin) string {
	text, err := arc.SayTravel(v, r.Units)
	if err != nil {
		return fmt.Sprintf("%.0f mm/min", float64(v))
	}
	if r.Units == procedures.Metric {
		return fmt.Sprintf("%.0f mm/min (%s)", float64(v), text)
	}
	return fmt.Sprintf("%.0f in/min (%s)", v.InchesPerMin(), text)
}
