package source

import (
	"fmt"
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Forward drop of a silicon diode at no load and at welding current, V. Common
// practice, no source: read off the data sheet where there is one.
const (
	DropIdle   procedures.Volts = 0.6
	DropLoaded procedures.Volts = 1.1
)

// touchable is the voltage across the capacitors below which a hand may go near.
// Own threshold, well under the 50 and 60 V of the rules for stored charge.
const touchable procedures.Volts = 5

// highLine is how far a wall supply may run high, and highCan how far capacitors may
// lie over what is printed on them. Common practice, no source.
const (
	highLine = 1.1
	highCan  = 1.2
)

// How long a bleeder may take, at the worst: past the first it is to be looked at,
// past the second it is as good as none, for nobody waits that long. Own thresholds,
// common practice, no source.
const (
	slowBleed procedures.Seconds = 60
	noBleed   procedures.Seconds = 300
)

// RebuiltOf is what the machine's record says of its direct-current side, for an
// output; the open volts are the highest of its taps.
func RebuiltOf(m procedures.Machine, i procedures.Amps) Rebuilt {
	r := Rebuilt{Current: i, Duty: m.Duty}
	if m.Rebuild != nil {
		r.Rebuild = *m.Rebuild
	}
	for _, t := range openOf(m) {
		r.Open = max(r.Open, t.Open)
	}
	return r
}

// Rebuilt is what is asked of a machine's direct-current side. Zero is not known.
type Rebuilt struct {
	procedures.Rebuild
	Current procedures.Amps    // to reckon ripple and heat at
	Duty    procedures.Percent // at that current
	Open    procedures.Volts   // measured at the gun with no arc
}

// Judge reckons the page of a rebuilt machine: volts with no load and
// on the mean, ripple, stored charge, bleeder, rectifier and ratings. It judges what
// is there and never says how to build it. Figures that cannot be reckoned are left
// out, and what they need is in Missing. Errors: [*procedures.InvalidError].
func (r Rebuilt) Judge() ([]Finding, []Missing, error) {
	if err := r.Validate(); err != nil {
		return nil, nil, err
	}
	var out []Finding
	for _, judge := range []func() ([]Finding, error){r.volts, r.open, r.capacitors, r.stored, r.ripple, r.rectifier} {
		found, err := judge()
		if err != nil {
			return nil, nil, err
		}
		out = append(out, found...)
	}
	return append(out, r.watch()...), r.missing(), nil
}

// Verdict is the worst of what was found. Where too little is written down to hold
// anything against its rating, nothing is called fine.
func (r Rebuilt) Verdict(found []Finding) Verdict {
	v := Worst(found)
	if v == Fine && (r.ACVolts == 0 || r.Farads == 0 || r.CapVolts == 0 || r.BleedOhms == 0 || r.RectifierAmps == 0 || r.Current == 0) {
		return Unknown
	}
	return v
}

func (r Rebuilt) drop() procedures.Volts {
	if r.DiodeVolts != 0 {
		return r.DiodeVolts
	}
	return DropLoaded
}

// noLoad is the peak behind the bridge with no load, the highest that the
// capacitors see at nominal line volts; zero: not known.
func (r Rebuilt) noLoad() procedures.Volts {
	if r.ACVolts == 0 {
		return r.Open
	}
	b, err := Bridge(r.ACVolts, DropIdle)
	if err != nil {
		return 0
	}
	return b.NoLoad
}

func (r Rebuilt) mains() float64 {
	if r.MainsHz != 0 {
		return r.MainsHz
	}
	return 60
}

func computed(v float64, unit string, source ...string) arc.Value {
	return exact(v, unit, data.Row{Source: source, Basis: data.Computed})
}

func (r Rebuilt) volts() ([]Finding, error) {
	if r.ACVolts == 0 {
		return nil, nil
	}
	idle, err := Bridge(r.ACVolts, DropIdle)
	if err != nil {
		return nil, err
	}
	loaded, err := Bridge(r.ACVolts, r.drop())
	if err != nil {
		return nil, err
	}
	return []Finding{
		say("no-load", "", computed(float64(idle.NoLoad), "V", rectifierMaths...), "DC with no load: 1.414 x %.3g V AC - 2 x %.1f V = %.1f V", float64(r.ACVolts), float64(DropIdle), float64(idle.NoLoad)),
		say("mean", "", computed(float64(loaded.Mean), "V", rectifierMaths...), "mean without smoothing, at welding current: 0.900 x %.3g V AC - 2 x %.2g V = %.1f V, less what the transformer sags", float64(r.ACVolts), float64(r.drop()), float64(loaded.Mean)),
	}, nil
}

// open holds the no-load volts against the limits for hand welding: the higher of
// what was reckoned and what was measured.
func (r Rebuilt) open() ([]Finding, error) {
	v := max(r.noLoad(), r.Open)
	if v == 0 {
		return nil, nil
	}
	f, err := holdOpen(v, Smooth)
	return []Finding{f}, err
}

// capacitors holds their voltage rating against the peak, the line 10 % high.
func (r Rebuilt) capacitors() ([]Finding, error) {
	if r.ACVolts == 0 || r.CapVolts == 0 {
		return nil, nil
	}
	peak, err := PeakOf(r.ACVolts)
	if err != nil {
		return nil, err
	}
	high := float64(peak) * highLine
	figure := computed(high, "V", "RC-MATH", "CP")
	text := fmt.Sprintf("capacitors of %.3g V see up to %.1f V (the peak of %.3g V AC with the line 10 %% high)", float64(r.CapVolts), high, float64(r.ACVolts))
	switch {
	case r.CapVolts < peak:
		return []Finding{say("capacitor-volts", DoNot, figure, "%s: over their rating on any day, and they may burst. Keep it unplugged", text)}, nil
	case float64(r.CapVolts) < high:
		return []Finding{say("capacitor-volts", Marginal, figure, "%s: over their rating when the line runs high", text)}, nil
	}
	return []Finding{say("capacitor-volts", Fine, figure, "%s", text)}, nil
}

// bank is the capacitors charged as high as was reckoned or measured.
func (r Rebuilt) bank() (Bank, bool) {
	b := Bank{Farads: r.Farads, Volts: max(r.noLoad(), r.Open)}
	return b, b.Farads > 0 && b.Volts > 0
}

// stored says what the capacitors hold, how long it takes to leave, and the rules.
func (r Rebuilt) stored() ([]Finding, error) {
	var out []Finding
	if r.Farads > 0 && r.BleedOhms == 0 {
		out = append(out, Finding{"bleeder", DoNot, arc.Value{}, "no bleeder is written down: without one the capacitors stay charged for days after the plug is out. Is there one, write it down", []string{"MATH", "CP"}})
	}
	b, ok := r.bank()
	if !ok {
		return out, nil
	}
	energy, err := b.Energy()
	if err != nil {
		return nil, err
	}
	out = append(out, say("energy", "", computed(energy, "J", rectifierMaths...), "stored when full: %.3g F x (%.1f V)^2 / 2 = %.0f J, enough to burn you and to weld a tool fast", b.farads(), float64(b.Volts), energy))
	if r.BleedOhms != 0 {
		found, err := r.bleeder(b)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	rules, err := r.rules(b)
	return append(out, rules...), err
}

// bled is how long the bleeder takes down to [touchable]: as printed, and at the
// worst, with the capacitors over their print and the line high.
func (r Rebuilt) bled() (printed, worst procedures.Seconds, err error) {
	b, ok := r.bank()
	if !ok || r.BleedOhms == 0 {
		return 0, 0, nil
	}
	if printed, err = b.BleedTime(r.BleedOhms, touchable); err != nil {
		return 0, 0, err
	}
	b.Farads, b.Volts = min(10, b.Farads*highCan), min(1000, b.Volts*highLine)
	worst, err = b.BleedTime(r.BleedOhms, touchable)
	return printed, worst, err
}

// Bled returns how long to wait after the plug is out until the bleeder of a rebuilt
// machine has taken the capacitors below [touchable], at the worst, in whole 5 s; 0
// where what is written down does not tell.
func Bled(m procedures.Machine) procedures.Seconds {
	_, worst, err := RebuiltOf(m, 0).bled()
	if err != nil || !m.Rebuilt {
		return 0
	}
	return procedures.Seconds(5 * math.Ceil(float64(worst)/5))
}

// Lasting says a time in words: 45 s, 2 min 40 s, 3 h 8 min.
func Lasting(t procedures.Seconds) string {
	switch s := int(math.Ceil(float64(t) - 1e-9)); {
	case s <= 120:
		return fmt.Sprintf("%d s", s)
	case s < 5400 && s%60 == 0:
		return fmt.Sprintf("%d min", s/60)
	case s < 5400:
		return fmt.Sprintf("%d min %d s", s/60, s%60)
	default:
		m := (s + 59) / 60
		return fmt.Sprintf("%d h %d min", m/60, m%60)
	}
}

// Ohms writes a resistance: 100 ohm, 4.7 kohm.
func Ohms(r float64) string {
	switch {
	case r >= 1e6:
		return fmt.Sprintf("%.4g Mohm", r/1e6)
	case r >= 1e4:
		return fmt.Sprintf("%.4g kohm", r/1e3)
	}
	return fmt.Sprintf("%.4g ohm", r)
}

func (r Rebuilt) bleeder(b Bank) ([]Finding, error) {
	printed, worst, err := r.bled()
	if err != nil {
		return nil, err
	}
	load, err := b.BleederLoad(r.BleedOhms)
	if err != nil {
		return nil, err
	}
	figure := arc.Value{Value: float64(printed), Low: float64(printed), High: float64(worst), Unit: "s", Basis: data.Practice, Source: []string{"RC-60204", "RC-MATH", "CP"}}
	v, wait, tail := Fine, ": wait that long", "Never trust a bleeder: it may be burnt open, so measure"
	switch {
	case worst > noBleed:
		v, wait, tail = DoNot, "", fmt.Sprintf("Over %s is as good as no bleeder (own threshold): nobody waits that long", Lasting(noBleed))
	case worst > slowBleed:
		v, tail = Marginal, fmt.Sprintf("Over %s is slow (own threshold), and hands come sooner: write the time on the case, and measure", Lasting(slowBleed))
	}
	out := []Finding{say("bleed-time", v, figure, "unplugged, it takes %s down to %.0f V by what is printed: %s x %.3g F x ln(%.1f / %.0f). With capacitors 20 %% over their print and the line 10 %% high it is %s%s. %s",
		Lasting(printed), float64(touchable), Ohms(r.BleedOhms), b.farads(), float64(b.Volts), float64(touchable), Lasting(worst), wait, tail)}
	figure = computed(load.Watts, "W", "RC-MATH", "CP")
	text := fmt.Sprintf("the bleeder makes (%.1f V)^2 / %s = %.1f W of heat all the time the set is on", float64(b.Volts), Ohms(r.BleedOhms), load.Watts)
	switch {
	case r.BleedWatts == 0:
		return append(out, say("bleeder-heat", Unknown, figure, "%s; its rating is not written down", text)), nil
	case load.Watts > r.BleedWatts:
		return append(out, say("bleeder-heat", DoNot, figure, "%s, over its %.3g W: it burns open, and then nothing bleeds the capacitors", text, r.BleedWatts)), nil
	case load.Watts > r.BleedWatts/2:
		return append(out, say("bleeder-heat", Marginal, figure, "%s, of %.3g W: it runs hot; twice the heat is the common rating", text, r.BleedWatts)), nil
	}
	return append(out, say("bleeder-heat", Fine, figure, "%s, of %.3g W", text, r.BleedWatts)), nil
}

// rules holds the stored charge against the rules that name a time.
func (r Rebuilt) rules(b Bank) ([]Finding, error) {
	rules, err := ResidualRules(b, r.BleedOhms)
	if err != nil {
		return nil, err
	}
	var out []Finding
	lowest, below := 0.0, Finding{"stored-rules", "", arc.Value{}, "", nil}
	for _, l := range rules {
		if l.Already {
			below.Source = arc.Together(below.Source, l.Source)
			if lowest == 0 || l.VoltageV < lowest {
				lowest = l.VoltageV
			}
			continue
		}
		v, text := Fine, fmt.Sprintf("%.1f V are left by then", float64(l.At))
		if !l.Kept {
			v = DoNot
			if r.BleedOhms == 0 {
				text = "no bleeder is written down"
			}
		}
		out = append(out, say("stored-rules", v, exact(l.VoltageV, "V", l.Row), "%s, %s asks for %.0f V or less after %.0f s: %s", l.Standard, l.Clause, l.VoltageV, l.TimeS, text))
	}
	if lowest > 0 {
		below.Text = fmt.Sprintf("the rules for stored charge begin at %.0f V and this is below from the start: it is the energy that bites, not the volts", lowest)
		out = append(out, below)
	}
	return out, nil
}

// ripple says what the capacitors leave of it and what runs through them.
func (r Rebuilt) ripple() ([]Finding, error) {
	if r.Current == 0 || r.Farads == 0 || r.ACVolts == 0 {
		return nil, nil
	}
	loaded, err := Bridge(r.ACVolts, r.drop())
	if err != nil {
		return nil, err
	}
	s, err := Ripple(r.Current, r.mains(), r.Farads, loaded.NoLoad)
	if err != nil {
		return nil, err
	}
	text := fmt.Sprintf("ripple at %.0f A: %.0f A / (2 x %.0f Hz x %.3g F) = %.1f V peak to peak", float64(r.Current), float64(r.Current), r.mains(), r.Farads, s.Ripple.Value)
	if !s.Small {
		text += " at the most: too large against the peak for this formula, so they smooth little at welding current; measure it"
	}
	out := []Finding{say("ripple", "", s.Ripple, "%s", text)}
	current, err := CheckRippleCurrent(r.Current, r.RippleAmps)
	if err != nil {
		return nil, err
	}
	v := Fine
	note := fmt.Sprintf("rated for %.3g A together", float64(r.RippleAmps))
	switch {
	case current.Rated == 0:
		v, note = Unknown, current.Note
	case current.Warn:
		v, note = DoNot, fmt.Sprintf("they are rated for %.3g A together: %s", float64(r.RippleAmps), current.Note)
	}
	return append(out, say("ripple-current", v, exact(float64(current.Amps), "A", data.Row{Source: []string{"CP"}, Basis: data.Practice}),
		"reckon with %.0f A or more of ripple current in the capacitors while the arc burns; %s", float64(current.Amps), note)), nil
}

func (r Rebuilt) rectifier() ([]Finding, error) {
	if r.Current == 0 {
		return nil, nil
	}
	duty := r.Duty
	if duty == 0 {
		duty = 100
	}
	heat, err := BridgeHeat(r.Current, r.drop(), 2, duty)
	if err != nil {
		return nil, err
	}
	text := fmt.Sprintf("the rectifier makes 2 x %.2g V x %.0f A = %.0f W while the arc burns", float64(r.drop()), float64(r.Current), heat.ArcOn)
	if r.Duty != 0 {
		text += fmt.Sprintf(", %.0f W on the mean at %.0f %% duty", heat.Mean, float64(r.Duty))
	}
	from := append([]string{}, rectifierMaths...)
	if r.DiodeVolts == 0 {
		from = append(from, "CP") // the drop was assumed
	}
	out := []Finding{say("rectifier-heat", "", computed(heat.ArcOn, "W", from...), "%s", text)}
	figure := exact(float64(r.RectifierAmps), "A", data.Row{Source: []string{"MATH"}, Basis: data.Computed})
	switch {
	case r.RectifierAmps == 0:
		return out, nil
	case r.Current > r.RectifierAmps:
		return append(out, say("rectifier-amps", DoNot, figure, "%.0f A is over the rectifier's %.0f A", float64(r.Current), float64(r.RectifierAmps))), nil
	}
	return append(out, say("rectifier-amps", Fine, figure, "rated %.0f A for %.0f A; a rating holds only as long as the rectifier is kept as cool as its data sheet asks", float64(r.RectifierAmps), float64(r.Current))), nil
}

// watch says what nobody watches.
func (r Rebuilt) watch() []Finding {
	cp := []string{"CP"}
	out := []Finding{{"cut-out", "", arc.Value{}, "the thermal cut-out sits in the transformer: it does not see rectifier, capacitors, bleeder or leads, and capacitors make the transformer's current peaky, so rest longer than the plate says", cp}}
	if r.Thermostat != nil && !*r.Thermostat {
		out = append(out, Finding{"rectifier-watch", Marginal, arc.Value{}, "nothing watches the rectifier's heat: short beads and long rests, and let a qualified person look at it", cp})
	}
	if r.Fan != nil && !*r.Fan {
		out = append(out, Finding{"rectifier-fan", Marginal, arc.Value{}, "no air is blown on the rectifier: its heat stays long after the bead, so rest by that and not by the transformer", cp})
	}
	return out
}

func (r Rebuilt) missing() []Missing {
	inside := "by whoever built it; work inside is for a qualified person"
	return missing([]gap{
		{r.ACVolts == 0, "ac-volts", "AC volts of the tap with no load", "from whoever measured it"},
		{r.Farads == 0, "capacitance", "capacitance", "printed on the cans, " + inside},
		{r.Farads != 0 && r.CapVolts == 0, "capacitor-volts", "voltage rating of the capacitors", "printed on the cans"},
		{r.Farads != 0 && r.RippleAmps == 0, "ripple-amps", "ripple-current rating of the capacitors", "their data sheet, all together"},
		{r.Farads != 0 && r.BleedOhms == 0, "bleeder", "bleeder", inside},
		{r.BleedOhms != 0 && r.BleedWatts == 0, "bleeder-watts", "watts of the bleeder", "printed on it"},
		{r.RectifierAmps == 0, "rectifier", "rating of the rectifier", "printed on it"},
		{r.DiodeVolts == 0, "diode", "drop of a diode at welding current", "its data sheet; 1.1 V is taken (common practice)"},
		{r.Thermostat == nil, "thermostat", "a thermal switch on the rectifier", inside},
		{r.Fan == nil, "fan", "a fan on the rectifier", inside},
		{r.MainsHz == 0, "mains", "mains", "60 Hz is taken"},
		{r.Current == 0, "amps", "welding current", "the plate"},
		{r.Duty == 0, "duty", "duty cycle", "on the plate"},
	})
}
