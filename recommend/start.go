package recommend

import (
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// start is what the tables give for a job, before own welds and machine limits.
type start struct {
	current, wireSpeed, voltage arc.Value // wireSpeed is zero for covered electrodes
	travel                      arc.Value // zero: reckoned from the bead wanted
	tapVolts                    float64   // V that the tap is chosen by
	leg                         procedures.MM
	held                        string // why the current is held at an end of the table
	edge                        bool   // held above what the metal asks for
	doubt                       string // of the volts; "" none
	reasons                     []Reason
	source                      []string
}

// outside says that no table row answers, and what would help.
type outside struct {
	text    string
	instead string
	source  []string
}

func (o *outside) Error() string { return o.text }

// tableStart looks a job up in the published starting points.
func tableStart(r Request) (start, error) {
	switch r.Job.Process {
	case procedures.FCAWS:
		return selfShielded(r)
	case procedures.GMAW:
		return gasShielded(r)
	case procedures.SMAW:
		return covered(r)
	}
	return start{}, &outside{text: fmt.Sprintf("no table here for process %s %s", r.Job.Process, r.Job.Process.Letters()),
		instead: "there are tables for self-shielded wire (114), solid wire with gas (135) and covered electrodes (111)"}
}

// between interpolates linearly in a table of ascending x, and never past it.
func between(x float64, xs []float64, y func(i int) float64) (float64, bool) {
	for i := range xs {
		switch {
		case x == xs[i]:
			return y(i), true
		case i > 0 && x > xs[i-1] && x < xs[i]:
			f := (x - xs[i-1]) / (xs[i] - xs[i-1])
			return y(i-1) + f*(y(i)-y(i-1)), true
		}
	}
	return 0, false
}

// slackIn forgives what rounding to and from millimetres does to an inch.
const slackIn = 1e-6

func snap(x float64, xs []float64) float64 {
	for _, v := range xs {
		if math.Abs(x-v) < slackIn {
			return v
		}
	}
	return x
}

func selfShielded(r Request) (start, error) {
	j := r.Job
	t := j.Thinner()
	if err := wireAllows(r); err != nil {
		return start{}, err
	}
	rows := data.CurrentByThickness()
	xs := make([]float64, len(rows))
	for i, row := range rows {
		xs[i] = row.ThicknessIn
	}
	x := snap(t.Inches(), xs)
	flat, ok := between(x, xs, func(i int) float64 { return rows[i].CurrentA })
	if !ok {
		return start{}, &outside{
			text: fmt.Sprintf("%s is outside the table for self-shielded wire, which runs from %s to %s",
				told(r, t, procedures.Inches(xs[0]), procedures.Inches(xs[len(xs)-1])), say(r, procedures.Inches(xs[0])), say(r, procedures.Inches(xs[len(xs)-1]))),
			instead: tooThickOrThin(r, x > xs[len(xs)-1]),
			source:  []string{"WD-T11"},
		}
	}
	factor, ok := positionFactor("self-shielded", j.Position)
	if !ok {
		return start{}, &outside{text: "no table row for " + string(j.Position) + " with self-shielded wire", instead: "turn the work flat if it can be turned"}
	}
	s := start{source: arc.Together([]string{"WD-T11"}, factor.Source)}
	basis, from := data.Computed, factor.Source // as good as the weaker of the rows that it lies between
	for i, row := range rows {
		if x == xs[i] || i > 0 && x > xs[i-1] && x < xs[i] || i+1 < len(xs) && x > xs[i] && x < xs[i+1] {
			basis, from = arc.Weakest(basis, row.Basis), arc.Together(row.Source, from)
		}
	}
	s.current = arc.Value{Value: flat * factor.Typical, Low: flat * factor.Low, High: flat * factor.High, Unit: "A", Basis: basis, Source: from}
	s.reasons = append(s.reasons, Reason{fmt.Sprintf("%s of mild steel wants about %.0f A flat with self-shielded wire", say(r, t), flat), []string{"WD-T11", "CP"}})
	if j.Position != procedures.Flat && j.Position != procedures.Horizontal {
		text := fmt.Sprintf("%s: %.0f %% of that, so %.0f A", j.Position, 100*factor.Typical, s.current.Value)
		if j.Position == procedures.Overhead {
			text += " (the sources disagree, from 15 % less to 31 % more)"
		}
		s.reasons = append(s.reasons, Reason{text, factor.Source})
	}
	if err := s.hold(j.Wire); err != nil {
		return start{}, err
	}
	return s, s.fill(r, j)
}

// wireAllows checks the limits that come with a wire's class.
func wireAllows(r Request) error {
	j := r.Job
	if l, ok := wireLimit(j.Wire); ok {
		if top := procedures.Inches(l.MaxThicknessIn); top > 0 && j.Thinner().Inches() > l.MaxThicknessIn+slackIn {
			return &outside{text: fmt.Sprintf("%s is for metal up to %s; this is %s", j.Wire, say(r, top), told(r, j.Thinner(), top)), instead: tooThick, source: l.Source}
		}
		return nil
	}
	return &outside{text: fmt.Sprintf("no table here for %s", j.Wire), instead: "there are tables for E71T-11 in 0.030, 0.035 and 0.045 in, and by a rule for E71T-GS; measure your own current curve, or use one of these"}
}

const tooThick = "published tables for solid wire with CO2 use 250-300 A from 6 to 9 mm (1/4 to 3/8 in) and 300-350 A at 12 mm (1/2 in), on an industrial supply: " +
	"take it to a shop that has such a machine, or make the part from thinner metal. A bevel and many small passes on a small machine leave cold roots that cannot be seen"

func tooThickOrThin(r Request, thick bool) string {
	if thick {
		return tooThick
	}
	return "this thin it needs a smaller arc than flux-core gives: solid wire of 0.023 in (0.6 mm) with gas, or rivets, screws, braze or bond"
}

func positionFactor(class string, p procedures.Position) (data.PositionFactor, bool) {
	for _, f := range data.PositionFactors() {
		if f.Class == class && f.Position == string(p) {
			return f, true
		}
	}
	return data.PositionFactor{}, false
}

// hold keeps the current within what the wire's rows cover. Above them more
// passes do the work; a little below, the lowest row serves; far below the wire
// is too thick for the metal.
func (s *start) hold(w procedures.Wire) error {
	reach, err := arc.CurrentRange(w)
	if err != nil {
		return &outside{text: err.Error(), instead: "use a wire with a table, or measure your own current curve"}
	}
	switch c := s.current; {
	case c.Value > reach.High:
		s.held = fmt.Sprintf("held at %.0f A, the highest row for %s", reach.High, w)
		s.current.Value, s.current.High = reach.High, reach.High
		s.current.Low = min(c.Low, reach.High)
	case c.Value < reach.Low && c.High*1.15 < reach.Low:
		return &outside{text: fmt.Sprintf("%s wants at least %.0f A; this job wants %.0f A", w, reach.Low, c.Value), instead: "use a thinner wire", source: reach.Source}
	case c.Value < reach.Low:
		s.held = fmt.Sprintf("held at %.0f A, the lowest row for %s: run short stitches and watch for burn-through", reach.Low, w)
		s.edge = true
		s.current.Value, s.current.Low = reach.Low, reach.Low
		s.current.High = max(c.High, reach.Low)
	}
	s.current.Low, s.current.High = max(s.current.Low, reach.Low), min(s.current.High, reach.High)
	if s.held != "" {
		s.reasons = append(s.reasons, Reason{s.held, reach.Source})
	}
	return nil
}

// fill finds the wire speed and the arc volts that go with the current.
func (s *start) fill(r Request, j procedures.Job) error {
	var err error
	if s.wireSpeed, err = arc.WireSpeed(j.Wire, procedures.Amps(s.current.Value)); err != nil {
		return &outside{text: err.Error(), instead: "use a wire with a table, or measure your own current curve"}
	}
	if s.voltage, err = arc.Voltage(j.Wire, j.Weld, procedures.Amps(s.current.Value)); err != nil {
		return &outside{text: err.Error()}
	}
	s.tapVolts = s.voltage.Value
	// The volts printed for 0.030 in wire end at 15, whatever the current; the tap
	// goes by what the same current wants in 0.035 in wire, whose rows are whole.
	if v, err := arc.Voltage(ExampleWire(), j.Weld, procedures.Amps(s.current.Value)); err == nil && v.Value > s.tapVolts+0.5 {
		s.tapVolts = v.Value
		s.doubt = fmt.Sprintf("Volts are in doubt: the limit printed for this wire is %.1f V, and the same current in 0.035 in wire wants %.1f V. If the wire stubs or the bead sits on top, go a tap up; if it hisses and burns back to the tip, go a tap down.", s.voltage.Value, v.Value)
	}
	s.source = arc.Together(s.source, s.wireSpeed.Source, s.voltage.Source)
	text := fmt.Sprintf("%.0f A takes %s of %s", s.current.Value, speed(r, procedures.MPerMin(s.wireSpeed.Value)), j.Wire)
	if s.wireSpeed.Note != "" {
		text += ": " + s.wireSpeed.Note
	}
	s.reasons = append(s.reasons, Reason{text, s.wireSpeed.Source}, Reason{fmt.Sprintf("arc volts at that current: %.1f V", s.voltage.Value), s.voltage.Source})
	return nil
}

// gasShielded looks up solid wire with CO2 or mixed gas.
func gasShielded(r Request) (start, error) {
	j := r.Job
	var all []data.GasStart
	switch j.Gas {
	case "CO2":
		all = data.CO2Starts()
	case "80Ar/20CO2":
		all = data.MixedGasStarts()
	default:
		return start{}, procedures.Invalid("gas", j.Gas, "which gas has a table?", "say co2 or mixed gas after the wire: 0.035 ER70S-6 co2", "the mixed-gas table is for 80 % argon, 20 % CO2; 75/25 is near it, and a coupon decides")
	}
	rows := gasRows(all, j)
	if len(rows) == 0 {
		return start{}, &outside{text: fmt.Sprintf("no table row for a %s joint, %s, with solid wire and %s", j.Joint, j.Position, j.Gas),
			instead: "there are rows for butt, tee and lap, flat or horizontal; vertical up is taken at 80 % of flat (common practice, no source)"}
	}
	xs := make([]float64, len(rows))
	for i, row := range rows {
		xs[i] = row.ThicknessMM
	}
	x := float64(j.Thinner())
	for _, v := range xs { // a sixteenth is sold and tabled as 1.6 mm, an eighth as 3.2 mm
		if math.Abs(x-v) < 0.03 {
			x = v
		}
	}
	mix := func(lo, hi func(data.GasStart) float64) (v arc.Value, ok bool) {
		v.Low, ok = between(x, xs, func(i int) float64 { return lo(rows[i]) })
		v.High, _ = between(x, xs, func(i int) float64 { return hi(rows[i]) })
		v.Value, v.Basis, v.Source = (v.Low+v.High)/2, data.Printed, rows[0].Source
		return v, ok
	}
	s := start{source: rows[0].Source}
	var ok bool
	s.current, ok = mix(func(g data.GasStart) float64 { return g.CurrentLowA }, func(g data.GasStart) float64 { return g.CurrentHighA })
	if !ok {
		return start{}, &outside{text: fmt.Sprintf("%s is outside the table for solid wire with %s, which runs from %s to %s", say(r, j.Thinner()), j.Gas,
			say(r, procedures.MM(xs[0])), say(r, procedures.MM(xs[len(xs)-1]))), instead: "stay inside the table, or ask a shop that does this thickness", source: rows[0].Source}
	}
	s.voltage, _ = mix(func(g data.GasStart) float64 { return g.VoltageLowV }, func(g data.GasStart) float64 { return g.VoltageHighV })
	s.travel, _ = mix(func(g data.GasStart) float64 { return 10 * g.TravelLowCMPerMin }, func(g data.GasStart) float64 { return 10 * g.TravelHighCMPerMin })
	leg, _ := mix(func(g data.GasStart) float64 { return g.LegLowMM }, func(g data.GasStart) float64 { return g.LegHighMM })
	s.leg = procedures.MM(leg.Value)
	s.current.Unit, s.voltage.Unit, s.travel.Unit = "A", "V", "mm/min"
	s.tapVolts = s.voltage.Value
	s.reasons = append(s.reasons, Reason{fmt.Sprintf("%s %s with solid wire and %s: %.0f to %.0f A, %.1f to %.1f V as printed", say(r, j.Thinner()), j.Joint, j.Gas,
		s.current.Low, s.current.High, s.voltage.Low, s.voltage.High), rows[0].Source})
	// The rows of thin fillets ask for two to three times what the rule of thumb and the
	// butt rows do: both are told. Twice is our own threshold, common practice.
	if rule := 1000 * j.Thinner().Inches(); s.current.Value > 2*rule {
		s.edge, s.held = true, fmt.Sprintf("the printed row asks for more than twice the %.0f A of 1 A for each thousandth of an inch (0.025 mm): begin low, watch for burn-through, and let a coupon decide", rule)
		s.reasons = append(s.reasons, Reason{s.held, []string{"CP"}})
	}
	if j.Position == procedures.VerticalUp {
		f, _ := positionFactor("solid", j.Position)
		s.current.Value, s.current.Low, s.current.High = s.current.Value*f.Typical, s.current.Low*f.Typical, s.current.High*f.Typical
		s.travel = arc.Value{} // the printed pace is for flat
		s.reasons = append(s.reasons, Reason{fmt.Sprintf("vertical up: %.0f %% of flat, so %.0f A (common practice, no source)", 100*f.Typical, s.current.Value), f.Source})
	}
	var err error
	if s.wireSpeed, err = arc.WireSpeed(j.Wire, procedures.Amps(s.current.Value)); err != nil {
		return start{}, &outside{text: err.Error(), instead: "use a wire of 0.023 to 0.045 in"}
	}
	s.source = arc.Together(s.source, s.wireSpeed.Source)
	s.reasons = append(s.reasons, Reason{fmt.Sprintf("%.0f A takes about %s of %s", s.current.Value, speed(r, procedures.MPerMin(s.wireSpeed.Value)), j.Wire), s.wireSpeed.Source})
	return s, nil
}

// gasRows picks the rows of one joint and position whose wire sizes include
// the job's. A flat lap is read from the horizontal rows: laps have no others.
func gasRows(all []data.GasStart, j procedures.Job) []data.GasStart {
	want := string(j.Joint)
	if j.Joint == procedures.Corner {
		want = string(procedures.Tee) // an outside corner is filled as a fillet
	}
	pick := func(position string) (rows []data.GasStart) {
		for _, g := range all {
			if g.Joint == want && (g.Position == position || g.Position == "") &&
				float64(j.Diameter) >= g.DiameterLowMM-0.05 && float64(j.Diameter) <= g.DiameterHighMM+0.05 {
				rows = append(rows, g)
			}
		}
		return rows
	}
	switch j.Position {
	case procedures.Horizontal:
		if rows := pick("horizontal"); len(rows) > 0 {
			return rows
		}
		return pick("flat") // grooves are printed flat only
	case procedures.Flat, procedures.VerticalUp:
		if rows := pick("flat"); len(rows) > 0 {
			return rows
		}
		return pick("horizontal")
	}
	return nil
}

// covered looks up a covered electrode: the middle of its range.
func covered(r Request) (start, error) {
	j := r.Job
	factor, ok := positionFactor("covered", j.Position)
	if !ok {
		return start{}, &outside{text: "no table row for " + string(j.Position) + " with covered electrodes", instead: "turn the work flat, or run uphill"}
	}
	for _, e := range data.Electrodes() {
		if e.Class != j.Class || math.Abs(e.DiameterIn-j.Diameter.Inches()) > 0.008 {
			continue
		}
		mid := (e.CurrentLowA + e.CurrentHighA) / 2 * factor.Typical
		s := start{source: arc.Together(e.Source, factor.Source)}
		s.current = arc.Value{Value: max(mid, e.CurrentLowA), Low: e.CurrentLowA, High: e.CurrentHighA, Unit: "A", Basis: e.Basis, Source: e.Source}
		s.reasons = []Reason{{fmt.Sprintf("%s runs from %.0f to %.0f A; begin in the middle", j.Wire, e.CurrentLowA, e.CurrentHighA), e.Source}}
		if j.Diameter > j.Thinner()*1.1 {
			return start{}, &outside{text: fmt.Sprintf("the electrode (%s) is thicker than the metal (%s): it burns through before it fuses", say(r, j.Diameter), say(r, j.Thinner())),
				instead: "take a thinner electrode, or wire (common practice, no source)", source: []string{"CP"}}
		}
		s.edge, s.held = true, "the table knows the electrode's range, not this joint: begin in the middle and let a coupon decide"
		v, err := arc.LoadVoltage(procedures.SMAW, procedures.Amps(s.current.Value))
		if err != nil {
			return start{}, err
		}
		s.voltage, s.tapVolts = v, v.Value
		return s, nil
	}
	return start{}, &outside{text: fmt.Sprintf("no table row for %s", j.Wire), instead: "there are rows for E6010 to E7024 from 1/16 to 5/16 in"}
}

// say and speed write a length and a wire speed in the units of the request.
func say(r Request, v procedures.MM) string { return procedures.FormatLength(v, r.Units) }

// told writes a length beside its limits: where rounding would make it read like one of
// them, with a digit more.
func told(r Request, v procedures.MM, limits ...procedures.MM) string {
	text := say(r, v)
	for _, l := range limits {
		if text == say(r, l) {
			if r.Units == procedures.Metric {
				return fmt.Sprintf("%.5g mm", float64(v))
			}
			return fmt.Sprintf("%.5g in (%.5g mm)", v.Inches(), float64(v))
		}
	}
	return text
}

func speed(r Request, v procedures.MPerMin) string { return procedures.FormatWireSpeed(v, r.Units) }
