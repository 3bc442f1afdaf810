package recommend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/learn"
)

// set chooses wire speed, current, volts, tap, knob, polarity and extension.
// It returns why there can be no settings, or nil.
func (s *Suggestion) set(r Request, first start, own own) *outside {
	set := &s.Settings
	set.Current, set.Voltage = procedures.Amps(first.current.Value), procedures.Volts(first.voltage.Value)
	s.Range.Current = [2]procedures.Amps{procedures.Amps(first.current.Low), procedures.Amps(first.current.High)}
	s.Range.Voltage = [2]procedures.Volts{procedures.Volts(first.voltage.Low), procedures.Volts(first.voltage.High)}
	s.Range.Probability = 0.8
	set.How["current_A"], set.How["voltage_V"] = first.current.How(), first.voltage.How()
	s.Evidence = own.evidence()

	if first.wireSpeed.Value > 0 {
		v, low, high, stop := s.follow(r, first, own)
		if stop != nil {
			return stop
		}
		moved := v != first.wireSpeed.Value
		if set.How["wire_speed_m_min"] = first.wireSpeed.How(); math.Abs(v/first.wireSpeed.Value-1) > 1e-9 {
			set.How["wire_speed_m_min"] = procedures.OwnCurve
		}
		low, high = s.floor(r, v, low, high)
		set.WireSpeed = procedures.MPerMin(v)
		s.Range.WireSpeed = [2]procedures.MPerMin{procedures.MPerMin(low), procedures.MPerMin(high)}
		if i, ok := s.currentAt(r, set.WireSpeed, moved); ok { // own welds moved the wire speed, or a clamp meter knows better
			set.Current = i
			if u, err := arc.Voltage(r.Job.Wire, r.Job.Weld, set.Current); err == nil {
				set.Voltage = procedures.Volts(u.Value)
			}
			s.Range.Current = s.currentRange(r)
		} else { // where the position's own span is wider, or the wire speeds leave the rows, that stands
			drawn := s.currentRange(r)
			s.Range.Current = [2]procedures.Amps{min(s.Range.Current[0], drawn[0]), max(s.Range.Current[1], drawn[1])}
		}
		s.knob(r, own)
	}
	if stop := s.reach(r); stop != nil {
		return stop
	}
	if stop := s.polarity(r); stop != nil {
		return stop
	}
	s.extension(r)
	return nil
}

// follow moves the table's wire speed, in m/min, as far as own welds speak for it, and
// says why. It returns the range that it is right in too, or why there can be no settings.
// Where there are no own welds it is the table's.
func (s *Suggestion) follow(r Request, first start, own own) (v, low, high float64, stop *outside) {
	table, e := first.wireSpeed.Value, own.estimate
	if own.alone {
		return table, first.wireSpeed.Low, first.wireSpeed.High, nil
	}
	v = e.WireSpeed
	low, high = spread(r, first, e)
	if p := own.proven(r); p != nil && (float64(p.Settings.WireSpeed) < low || float64(p.Settings.WireSpeed) > high) && withinReach(r, p.Settings.WireSpeed) {
		v = float64(p.Settings.WireSpeed)
		low, high = math.Min(low, v), math.Max(high, v)
		s.Evidence.SetBy = p.Mark
		s.lead(Reason{Text: fmt.Sprintf("your own %s passed its %s test at %s, so that is what is set, whatever the rest says", p.Mark, passedTest(*p), speed(r, p.Settings.WireSpeed))})
		if p.Settings.Tap != "" {
			e.Tap = p.Settings.Tap
		}
	} else if stop := s.held(r, first, e); stop != nil {
		return 0, 0, 0, stop
	}
	if own.nearby == 0 && e.LimitHit == "" && s.Evidence.SetBy == "" { // nothing of this thickness was welded: do not follow far
		v = math.Max(table*(1-unlikeShift), math.Min(table*(1+unlikeShift), v))
		low, high = math.Min(math.Min(low, v), table), math.Max(math.Max(high, v), table)
		if math.Abs(v/table-1) > 0.10 {
			s.lower(nil, "moved %+.0f %% from the table by welds on other thicknesses alone", 100*(v/table-1))
		}
	}
	if e.FailedLike >= 3 && e.GoodLike == 0 {
		s.care("connections", fmt.Sprintf("%d beads like this failed and none came out good. Before the next one look at what is not a setting: clamp on bright metal, a new tip, the polarity, the cord, the stick-out, clean metal.", e.FailedLike), "CP", "CP-MAN")
	}
	if own.stuck {
		return 0, 0, 0, &outside{text: strings.TrimSuffix(own.sentences[0], "."), instead: "look at the clamp, the tip of the gun and the polarity first; then another tap, a bevel, a position that wants less, or a machine with more; and break the next coupon before the part"}
	}
	for _, text := range own.sentences {
		s.lead(Reason{Text: text})
	}
	if e.GoodLike+e.FailedLike > 0 {
		s.lead(Reason{Text: "the like welds: " + strings.Join(own.marks, ", ")})
	}
	if e.GoodLike == 0 && (low < e.Low*0.99 || high > e.High*1.01) {
		s.because(first.wireSpeed.Source, "the sources disagree on this wire, so the range shown is wider: %s to %s", speed(r, procedures.MPerMin(low)), speed(r, procedures.MPerMin(high)))
	}
	if own.question != "" {
		s.care("drift", own.question, "CP")
	}
	if set := &s.Settings; e.Tap != "" && e.Tap != set.Tap {
		set.Tap, set.How["tap"] = e.Tap, procedures.OwnCurve
	}
	return v, low, high, nil
}

// withinReach reports whether feeder and wire allow a wire speed.
func withinReach(r Request, v procedures.MPerMin) bool {
	l := limits(r)
	lo, hi := math.Max(l.MachineMin, l.WireMin), l.MachineMax
	if l.WireMax > 0 && (hi == 0 || l.WireMax < hi) {
		hi = l.WireMax
	}
	return float64(v) >= lo && (hi == 0 || float64(v) <= hi)
}

// handWidth is how close a knob is set by hand at best, as a share of the wire speed:
// about what the thumb's timing of one 10 s run-out leaves. Own figure.
const handWidth = 0.03

// floor keeps a range no narrower than a hand can set, within what the feeder runs.
func (s *Suggestion) floor(r Request, v, low, high float64) (float64, float64) {
	low, high = math.Min(low, v*(1-handWidth)), math.Max(high, v*(1+handWidth))
	if top := float64(r.Machine.WireMax); top > 0 {
		high = math.Max(v, math.Min(high, top))
	}
	return math.Min(v, math.Max(low, float64(r.Machine.WireMin))), high
}

// held says what a limit holds the wire speed at. Where the feeder cannot run what
// the job wants, and no own weld came out good, there are no settings.
func (s *Suggestion) held(r Request, first start, e learn.Estimate) *outside {
	if e.LimitHit == "" {
		return nil
	}
	held := speed(r, procedures.MPerMin(e.WireSpeed))
	switch table := first.wireSpeed; {
	case e.LimitHit == learn.LimitMachine && e.GoodLike == 0 && e.WireSpeed < table.Low:
		return &outside{text: fmt.Sprintf("this wants about %s of wire and %s runs at most %s", speed(r, procedures.MPerMin(table.Value)), r.Machine.Name, held),
			instead: "thinner metal, a thicker wire, or a machine that feeds faster; too little wire is too little current, and lies on the steel without melting into it"}
	case e.LimitHit == learn.LimitMachine && e.GoodLike == 0 && e.WireSpeed > table.High:
		return &outside{text: fmt.Sprintf("this wants about %s of wire and %s runs no slower than %s", speed(r, procedures.MPerMin(table.Value)), r.Machine.Name, held),
			instead: "thicker metal, a thinner wire, or a machine that feeds slower; too much wire burns through"}
	case math.Abs(e.F) < 1e-9:
		s.Near = append(s.Near, "the table's wire speed is past a limit ("+e.LimitHit+"), and is held there")
	default:
		s.Near = append(s.Near, "your welds point past a limit ("+e.LimitHit+"), and the wire speed is held there")
	}
	s.Verdict = Edge
	return nil
}

// currentRange is what the wire speeds of the range draw, with the current set inside.
func (s *Suggestion) currentRange(r Request) [2]procedures.Amps {
	if s.Settings.How["current_A"] == procedures.OwnCurve { // the clamp meter's own range stands there
		return s.Range.Current
	}
	lo, hi := s.Settings.Current, s.Settings.Current
	for _, end := range s.Range.WireSpeed {
		i, err := arc.Current(r.Job.Wire, end)
		if top, reach, ok := lastRow(r.Job.Wire); err != nil && ok { // past the rows the last one is the least that is known
			i.Value = reach.Low
			if float64(end) > top {
				i.Value = reach.High
			}
		} else if err != nil {
			continue
		}
		lo, hi = min(lo, procedures.Amps(i.Value)), max(hi, procedures.Amps(i.Value))
	}
	return [2]procedures.Amps{lo, hi}
}

// unlikeShift is how far welds on other jobs alone may move a suggestion. A design
// choice: what sheet taught must not burn through plate, nor the other way round.
const unlikeShift = 0.25

// currentAt is the current that a wire speed draws: by the welder's own clamp
// readings where they reach it, else by the wire's rows, if the wire speed was moved
// from the table's. Beyond the rows it is the last row's, and the answer says that
// more is to be expected.
func (s *Suggestion) currentAt(r Request, v procedures.MPerMin, moved bool) (procedures.Amps, bool) {
	if i, ok := s.ownCurrent(r, v); ok {
		return i, true
	}
	if !moved {
		return 0, false
	}
	i, err := arc.Current(r.Job.Wire, v)
	if err == nil {
		return procedures.Amps(i.Value), true
	}
	top, reach, ok := lastRow(r.Job.Wire)
	if !ok {
		return 0, false
	}
	if float64(v) > top {
		s.care("amps", fmt.Sprintf("Your wire speed is above the last printed row (%.0f A): expect more amps than are shown, more from the wall, and a shorter spell before the cut-out.", reach.High), reach.Source...)
		return procedures.Amps(reach.High), true
	}
	return procedures.Amps(reach.Low), true
}

// spread is the likely range of the wire speed in m/min. While no like weld has
// been made the disagreement between the tables' sources stays in it.
func spread(r Request, first start, e learn.Estimate) (low, high float64) {
	low, high = e.Low, e.High
	if e.GoodLike == 0 {
		scale := e.WireSpeed / first.wireSpeed.Value
		low = math.Min(low, first.wireSpeed.Low*scale)
		high = math.Max(high, first.wireSpeed.High*scale)
		// Where the sources disagree on the current, the wire speed follows.
		if v, err := arc.WireSpeed(r.Job.Wire, procedures.Amps(first.current.Low)); err == nil {
			low = math.Min(low, v.Low*scale)
		}
		if v, err := arc.WireSpeed(r.Job.Wire, procedures.Amps(first.current.High)); err == nil {
			high = math.Max(high, v.High*scale)
		}
		l := limits(r)
		if l.MachineMax > 0 {
			high = math.Min(high, l.MachineMax)
		}
		low = math.Max(low, l.MachineMin)
	}
	return math.Min(low, e.WireSpeed), math.Max(high, e.WireSpeed)
}

// wireLimit is what a self-shielded wire may be run at, by the size that it is sold as.
func wireLimit(w procedures.Wire) (data.WireLimit, bool) {
	size, _ := arc.TradeSize(w.Diameter)
	for _, l := range data.SelfShieldedLimits() {
		if l.Class == w.Class && (l.DiameterIn == 0 || l.DiameterIn == size) {
			return l, true
		}
	}
	return data.WireLimit{}, false
}

// knob sets where to turn the knob for the wire speed: by what was run out on that tap,
// else by an own weld whose test it passed, else in thirds of its turn or as a guess.
func (s *Suggestion) knob(r Request, own own) {
	tap := s.Settings.Tap
	if c, ok := knobCurve(r.Machine, tap); ok {
		s.measuredKnob(r, c)
		return
	}
	if p := own.dials[tap]; p != nil && (p.Settings.WireSpeed == 0 || near(p.Settings.WireSpeed, s.Settings.WireSpeed, sameSpeed)) {
		s.provedKnob(r, *p)
		return
	}
	mark, words, how := Dial(r.Machine, tap, s.Settings.WireSpeed)
	s.Settings.Knob, s.Settings.KnobSaid = mark, words
	switch measured := oneMark(r, tap); {
	case mark != nil:
		s.Settings.How["knob"] = how
		low, _, _ := Dial(r.Machine, tap, s.Range.WireSpeed[0])
		high, _, _ := Dial(r.Machine, tap, s.Range.WireSpeed[1])
		if low != nil && high != nil {
			s.Range.Knob = &[2]float64{*low, *high}
		}
		s.care("knob", "The knob is not measured: the mark is a guess from the feeder's range."+measured+" Measure it: "+runOut(r), "MATH", "CP")
	case words != "":
		s.Settings.How["knob_text"] = how
		what, first := "The knob has no numbers and is not measured", "Stick a paper dial from 0 to 10 on it and measure it: "
		if r.Machine.Knob.Marked() {
			what, first = "The knob is not measured, and how fast the feeder runs is not known", "Measure it: "
		}
		s.care("knob", what+", so take the third of its turn as a rough guess."+measured+" "+first+runOut(r), "MATH", "CP")
	default:
		s.care("knob", "Nothing is known of this machine's knob."+measured+" Measure it: "+runOut(r), "MATH", "CP")
	}
}

// reach compares the current wanted with what the machine gives.
func (s *Suggestion) reach(r Request) *outside {
	m, i := r.Machine, s.Settings.Current
	top := m.MaxAmps
	switch {
	case top == 0 && m.RatedAmps > 0 && i > m.RatedAmps*1.35:
		return &outside{text: fmt.Sprintf("this wants about %.0f A, far above the %.0f A that %s is rated for", float64(i), float64(m.RatedAmps), m.Name),
			instead: "if its plate gives a highest output, write it down; else thinner metal, or a shop with a larger machine"}
	case top == 0 && m.RatedAmps > 0:
		if i > m.RatedAmps {
			s.lower(nil, "%.0f A is above the rated %.0f A, and the highest output of %s is not written down: run a coupon and break it first", float64(i), float64(m.RatedAmps), m.Name)
		}
	case top == 0:
		s.lower(nil, "the plate of %s is not written down, so nobody knows whether it reaches %.0f A", m.Name, float64(i))
	case i > top*1.05:
		return &outside{text: fmt.Sprintf("this wants about %.0f A and %s gives at most %.0f A", float64(i), m.Name, float64(top)),
			instead: "thinner metal, a position that wants less current, or a shop with a larger machine; too little current lies on the steel without melting into it"}
	case i > top*0.95:
		s.lower(nil, "%.0f A is about all that %s gives (%.0f A): run a coupon and break it first", float64(i), m.Name, float64(top))
	}
	return nil
}

// tap takes the tap whose volts under load are nearest to the arc's, and returns
// its name; "" for a machine without taps.
func (s *Suggestion) tap(r Request, first start) string {
	m, want := r.Machine, procedures.Volts(first.tapVolts)
	s.Settings.How = map[string]procedures.How{}
	if len(m.Taps) == 0 {
		return ""
	}
	if first.doubt != "" {
		s.care("volts", first.doubt, first.voltage.Source...)
	}
	best, known := m.Taps[0], false
	for _, t := range m.Taps {
		if t.Load > 0 && (!known || math.Abs(float64(t.Load-want)) < math.Abs(float64(best.Load-want))) {
			best, known = t, true
		}
	}
	if !known {
		// Without volts, the arc volts at the middle of the wire's rows part low from high.
		if mid := 15.5; len(m.Taps) > 1 && float64(want) > mid {
			best = m.Taps[len(m.Taps)-1]
		}
		s.Settings.Tap = best.Name
		s.Settings.How["tap"] = procedures.Guessed
		s.because([]string{"CP"}, "tap %s: the taps' volts are not known, so this is a guess from the arc volts wanted; if it is cold with the wire stubbing, go one tap up", best.Name)
		return best.Name
	}
	s.Settings.Tap = best.Name
	s.Settings.How["tap"] = best.How
	if best.How == "" {
		s.Settings.How["tap"] = procedures.Guessed
	}
	s.because(nil, "tap %s: its %.1f V under load is nearest to the %.1f V wanted", best.Name, float64(best.Load), float64(want))
	for i, t := range m.Taps {
		if t.Load > 0 && t.Name != best.Name && math.Abs(float64(t.Load-want))-math.Abs(float64(best.Load-want)) < 0.5 {
			hotter := m.Taps[max(i, slices.Index(m.Taps, best))]
			s.care("taps", fmt.Sprintf("%.1f V lies between the taps %s and %s: begin on %s, and if the wire stubs or the bead sits on top, go to %s.", float64(want), best.Name, t.Name, best.Name, hotter.Name), "CP")
			break
		}
	}
	if off := math.Abs(float64(best.Load - want)); off > 2 {
		s.lower(nil, "that is %.1f V off: expect to trade wire speed for it", off)
	}
	return best.Name
}

// wantedPolarity is what the class is made for.
// Source: AWS A5.20, A5.18 and A5.1 usability designators, from memory.
func wantedPolarity(class string) (best procedures.Polarity, also []procedures.Polarity, note string) {
	switch class {
	case "E71T-11":
		return procedures.DCEN, nil, "E71T-11 is made for DCEN, gun on the minus"
	case "E71T-GS":
		return procedures.DCEN, []procedures.Polarity{procedures.AC}, "E71T-GS goes by its maker: read the spool label; mostly DCEN, AC on the simplest machines"
	case "ER70S-6":
		return procedures.DCEP, nil, "solid wire with gas is run DCEP, gun on the plus"
	case "E6010":
		return procedures.DCEP, nil, "E6010 is made for DCEP"
	case "E6012":
		return procedures.DCEN, []procedures.Polarity{procedures.AC}, "E6012 is made for DCEN or AC"
	}
	return procedures.DCEP, []procedures.Polarity{procedures.AC}, class + " is mostly run DCEP, and on AC where the box says so"
}

// polarity sets what the wire class wants. It returns why there can be no settings where
// the machine gives nothing that the wire runs on.
func (s *Suggestion) polarity(r Request) *outside {
	best, also, note := wantedPolarity(r.Job.Class)
	m := r.Machine
	s.Settings.Polarity = best
	s.Settings.How["polarity"] = procedures.FromTable
	source := []string{"MEM"}
	if r.Job.Class == "E71T-11" {
		source = []string{"WD-T11", "MEM"}
	}
	switch {
	case m.Output == "":
		s.because(source, "%s; what %s gives is not written down: check the posts with a meter", note, m.Name)
	case m.Gives(best):
		s.because(source, "%s", note)
	case len(also) > 0 && m.Gives(also[0]):
		s.Settings.Polarity = also[0]
		s.because(source, "%s; %s gives %s", note, m.Name, m.Output)
	case m.Output == procedures.AC:
		s.Settings.Polarity = procedures.AC
		s.lower(source, "%s, and %s gives AC: expect spatter, poor starts and shallow fusion; E71T-GS marked for AC suits it better", note, m.Name)
		s.care("polarity", "This wire is made for direct current and the machine gives alternating current. Run a coupon and break it before you trust a single bead.", source...)
	default:
		return &outside{text: fmt.Sprintf("%s, and %s gives %s", note, m.Name, m.Output), instead: "swap the leads if the machine allows it (and write it down as dc), or use another wire", source: source}
	}
	return nil
}

// extension is the contact tip to work distance that goes with the wire.
func (s *Suggestion) extension(r Request) {
	var best data.Extension
	size, _ := arc.TradeSize(r.Job.Diameter)
	for _, e := range data.Extensions() {
		if e.Process != string(r.Job.Process) || e.LowMM == 0 {
			continue
		}
		switch {
		case e.Use == fmt.Sprintf("%s %.3f in", r.Job.Class, size):
			best = e
		case best.Use == "" && e.Use == "small machines":
			best = e
		}
	}
	if best.Use == "" {
		return
	}
	s.Settings.Extension = procedures.MM((best.LowMM + best.HighMM) / 2)
	if in := (best.LowIn + best.HighIn) / 2; math.Abs(in*procedures.MMPerInch-float64(s.Settings.Extension)) < 0.06 {
		s.Settings.Extension = procedures.Inches(in) // printed in inches and rounded to mm
	}
	s.Settings.How["extension_mm"] = procedures.FromTable
	s.because(best.Source, "stick-out %s from contact tip to work", say(r, s.Settings.Extension))
	if r.Job.Process == procedures.FCAWS {
		s.because([]string{"CP-MAN"}, "manuals for gasless wire disagree on stick-out, from 10 to 20 mm (3/8 to 3/4 in): keep it the same from bead to bead, and that is the one that counts")
	}
}
