package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type smoothingOptions struct{ acVolts, farads, count, ohms, bleedIn, to, amps, acLoaded, duty, mains string }

const dropIdle, dropLoaded = source.DropIdle, source.DropLoaded

func newReckonSmoothing(a *app) *cobra.Command {
	var o smoothingOptions
	cmd := &cobra.Command{
		Use:   "smoothing",
		Short: "AC made into DC: volts, ripple, bleed time, stored energy, rectifier heat",
		Long: `A full-wave bridge and a bank of capacitors behind a transformer: what they make
of the AC, what they store, and how long a bleeder takes. It is for checking and
understanding what is there. Work inside the case belongs to a qualified person,
and what is stored can burn you and weld a tool fast, though the volts are low.`,
		Example: `  beadwright reckon smoothing --ac-volts 28 --farads 0.1 --ohms 100 --amps 90 --duty 20%
  beadwright reckon smoothing --ac-volts 30 --farads 60000uF --count 2 --bleed-in 60s`,
	}
	f := cmd.Flags()
	f.StringVar(&o.acVolts, "ac-volts", "", "AC of the tap with no load, by meter: 28")
	f.StringVar(&o.farads, "farads", "", "of one capacitor: 0.06F, 60000uF")
	f.StringVar(&o.count, "count", "", "how many alike, side by side (default 1)")
	f.StringVar(&o.ohms, "ohms", "", "of the bleeder: 100")
	f.StringVar(&o.bleedIn, "bleed-in", "", "for the bleeder that bleeds in this time: 60s")
	f.StringVar(&o.to, "to", "", "volts to bleed down to (default 5V)")
	f.StringVar(&o.amps, "amps", "", "welding current, for ripple and heat: 90")
	f.StringVar(&o.acLoaded, "ac-loaded", "", "AC of the tap while that current flows, by meter: 18")
	f.StringVar(&o.duty, "duty", "", "duty cycle, for the mean heat: 20%")
	f.StringVar(&o.mains, "hz", "", "mains (default 60)")
	otherNames(f, map[string]string{"ac": "ac-volts", "capacitors": "farads", "bleeder": "ohms", "mains": "hz"}) // as machine rebuilt calls them
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o smoothingOptions) reckon(r *reckoning) error {
	if n, each, ok := strings.Cut(strings.ToLower(o.farads), "x"); ok && o.count == "" { // 6x10000uF
		o.count, o.farads = strings.TrimSpace(n), strings.TrimSpace(each)
	}
	r.need("ac-volts", o.acVolts, "AC of the tap with no load, by meter: --ac-volts 28")
	if o.farads == "" && o.count+o.ohms+o.bleedIn+o.to != "" {
		r.need("farads", o.farads, "of one capacitor: --farads 0.06F")
	}
	if o.ohms != "" && o.bleedIn != "" && r.err == nil {
		return procedures.Invalid("bleed-in", o.bleedIn, "given together with a bleeder", "give --ohms for its time, or --bleed-in for its ohms")
	}
	r.only("duty", o.duty, o.amps != "", "the welding current too: --amps 90")
	r.only("hz", o.mains, o.amps != "" && o.farads != "", "the mains count for the ripple only: --amps 90 --farads 0.1")
	r.only("ac-loaded", o.acLoaded, o.amps != "" && o.farads != "", "it goes with the current and the capacitors: --amps 90 --farads 0.1")
	r.only("to", o.to, o.ohms+o.bleedIn != "", "a bleeder or a time too: --ohms 100, --bleed-in 60s")
	rms := r.volts("ac-volts", o.acVolts)
	bank := source.Bank{Farads: r.measure("farads", o.farads, farads)}
	n := r.measure("count", o.count, times)
	ohm, in, to := r.measure("ohms", o.ohms, ohms), r.measure("bleed-in", o.bleedIn, seconds), procedures.Volts(r.measure("to", o.to, left))
	i, duty, mains := r.amps("amps", o.amps), r.percent("duty", o.duty), r.measure("hz", o.mains, hertz)
	sagged := r.volts("ac-loaded", o.acLoaded)
	if r.err == nil && sagged > rms {
		return procedures.Invalid("ac-loaded", o.acLoaded, "more than with no load", "the AC of the tap falls when the arc burns: measure it then")
	}
	if r.err == nil && (n != float64(int(n)) || n > 100) {
		return procedures.Invalid("count", o.count, "not a number of capacitors", "accepted: 1 to 100")
	}
	if r.err != nil {
		return r.err
	}
	bank.Count = max(int(n), 1)
	if mains == 0 {
		mains = 60
		if i != 0 && bank.Farads != 0 {
			r.assume("60 Hz mains")
		}
	}
	r.assume("a diode drops 0.6 V with no load and 1.1 V at welding current, two in series")
	noLoad, err := o.volts(r, rms)
	if err != nil {
		return err
	}
	bank.Volts = noLoad
	if bank.Farads != 0 {
		if err := o.stored(r, bank, ohm, procedures.Seconds(in), to); err != nil {
			return err
		}
	}
	if i != 0 {
		if err := o.loaded(r, rms, sagged, bank, i, duty, mains); err != nil {
			return err
		}
	}
	built := procedures.Rebuild{ACVolts: rms, Farads: bank.Farads * float64(bank.Count), BleedOhms: ohm} // waits for this bleeder, not for one unknown
	if c, ok := caution.StoredCharge(procedures.Machine{Rebuilt: true, Rebuild: &built}); ok {
		r.Cautions = append([]caution.Caution{c}, r.Cautions...)
	}
	r.firstComes()
	r.uncovered("the transformer's own sag under load: the tap's AC falls when the arc burns, so measure it then too",
		"heat: bridge and capacitors load the transformer harder, and its thermal cut-out does not watch them")
	return nil
}

// volts answers peak, no-load volts and the mean without capacitors; it returns
// the no-load volts.
func (o smoothingOptions) volts(r *reckoning, rms procedures.Volts) (procedures.Volts, error) {
	peak, err := source.PeakOf(rms)
	if err != nil {
		return 0, err
	}
	idle, err := source.Bridge(rms, dropIdle)
	if err != nil {
		return 0, err
	}
	loaded, err := source.Bridge(rms, dropLoaded)
	if err != nil {
		return 0, err
	}
	r.add("peak of the AC", exact(float64(peak), "V", rule("sine-peak")), r.equals("1.414 x AC volts", "1.414 x "+put(float64(rms))+" V", float64(peak), "V"))
	f := r.add("DC with no load, capacitors full", exact(float64(idle.NoLoad), "V", rule("bridge-no-load")),
		r.equals("peak - 2 x diode drop", put(float64(peak))+" V - 2 x "+put(float64(dropIdle))+" V", float64(idle.NoLoad), "V"))
	f.Note = "capacitors are rated above this, with room for a wall supply that runs high (common practice, no source)"
	limits, err := source.OpenCircuitLimits(idle.NoLoad, source.Smooth)
	if err != nil {
		return 0, err
	}
	for _, l := range limits {
		if l.Over {
			r.caution(caution.Stop, "open-voltage", fmt.Sprintf("Don't strike an arc: %s V DC with no load is over the %s V of %s, %s.", num(float64(l.Read)), num(l.LimitV), l.Standard, l.Use), l.Source...)
		} else if strings.HasPrefix(l.Standard, "OSHA") {
			f.Note += fmt.Sprintf("; the workplace rule stops at %s V DC", num(l.LimitV))
			f.Source = arc.Together(f.Source, l.Source)
		}
	}
	r.add("mean DC without capacitors, at welding current", exact(float64(loaded.Mean), "V", rule("bridge-average")),
		r.equals("2 x peak / pi - 2 x diode drop", fmt.Sprintf("2 x %s V / pi - 2 x %s V", put(float64(peak)), put(float64(dropLoaded))), float64(loaded.Mean), "V")).Note = "from the AC that you gave: with the arc burning the tap's AC is far lower, and so is this"
	return idle.NoLoad, nil
}

// stored answers what the capacitors hold and how long it takes to leave.
func (o smoothingOptions) stored(r *reckoning, b source.Bank, ohm float64, in procedures.Seconds, to procedures.Volts) error {
	energy, err := b.Energy()
	if err != nil {
		return err
	}
	c, v0 := b.Farads*float64(b.Count), float64(b.Volts)
	r.add("stored energy", exact(energy, "J", rule("stored-energy")), r.equals("farads x volts^2 / 2", fmt.Sprintf("%s F x (%s V)^2 / 2", put(c), put(v0)), energy, "J"))
	if err := r.residual(b, ohm); err != nil {
		return err
	}
	if to == 0 {
		to = 5
		if ohm != 0 || in != 0 {
			r.assume("bled when 5 V are left")
		}
	}
	discharge, bleeder := rule("discharge"), rule("bleeder")
	byDefinition := data.Row{Source: []string{"RC-MATH"}, Basis: data.Computed}
	switch {
	case ohm != 0:
		t, err := b.BleedTime(ohm, to)
		if err != nil {
			return err
		}
		r.least("time to bleed to "+num(float64(to))+" V", exact(float64(t), "s", discharge), r.equals("ohms x farads x ln(volts / volts left)",
			fmt.Sprintf("%s ohm x %s F x ln(%s V / %s V)", put(ohm), put(c), put(v0), put(float64(to))), float64(t), "s")).Note = "by the resistor's own value: a burnt-out bleeder never bleeds, so measure"
	case in != 0:
		if ohm, err = b.BleedOhms(to, in); err != nil {
			return err
		}
		r.most("bleeder for that time", exact(ohm, "ohm", bleeder), r.equals("seconds / (farads x ln(volts / volts left))",
			fmt.Sprintf("%s s / (%s F x ln(%s V / %s V))", put(float64(in)), put(c), put(v0), put(float64(to))), ohm, "ohm")).Note = "or less: the next standard size down bleeds sooner and runs hotter"
	default:
		r.caution(caution.Stop, "bleeder", "Without a bleeder the capacitors stay charged for days after the plug is out.", "MATH", "CP")
		return nil
	}
	load, err := b.BleederLoad(ohm)
	if err != nil {
		return err
	}
	r.add("current through the bleeder", exact(load.Amps, "A", byDefinition), r.equals("volts / ohms", fmt.Sprintf("%s V / %s ohm", put(v0), put(ohm)), load.Amps, "A"))
	r.add("heat of the bleeder, all the time", exact(load.Watts, "W", byDefinition), r.equals("volts^2 / ohms", fmt.Sprintf("(%s V)^2 / %s ohm", put(v0), put(ohm)), load.Watts, "W")).Note =
		"a resistor rated for twice that runs cooler (common practice, no source)"
	return nil
}

// residual holds the charge against the rules that name a time. A small machine
// mostly lies below them from the start.
func (r *reckoning) residual(b source.Bank, ohm float64) error {
	rules, err := source.ResidualRules(b, ohm)
	if err != nil {
		return err
	}
	for _, l := range rules {
		if l.Already || l.Kept || l.TimeS == 0 {
			continue
		}
		left := num(float64(l.At)) + " V would be left"
		if ohm == 0 {
			left = "nothing bleeds it"
		}
		r.caution(caution.Stop, "residual", fmt.Sprintf("%s, %s, asks for %s V or less after %s s: %s.", l.Standard, l.Clause, num(l.VoltageV), num(l.TimeS), left), l.Source...)
	}
	return nil
}

// loaded answers ripple, volts and heat at welding current.
func (o smoothingOptions) loaded(r *reckoning, rms, sagged procedures.Volts, b source.Bank, i procedures.Amps, duty procedures.Percent, mains float64) error {
	if b.Farads != 0 {
		if err := o.ripple(r, rms, sagged, b, i, mains); err != nil {
			return err
		}
	}
	full := duty
	if full == 0 {
		full = 100
	}
	heat, err := source.BridgeHeat(i, dropLoaded, 2, full)
	if err != nil {
		return err
	}
	r.add("heat of the rectifier while the arc burns", exact(heat.ArcOn, "W", rule("rectifier-heat")),
		r.equals("2 x diode drop x amps", fmt.Sprintf("2 x %s V x %s A", put(float64(dropLoaded)), put(float64(i))), heat.ArcOn, "W"))
	if duty != 0 {
		r.add("heat of the rectifier on the mean", exact(heat.Mean, "W", rule("rectifier-heat")),
			r.equals("heat while the arc burns x duty", fmt.Sprintf("%s W x %s / 100", put(heat.ArcOn), put(float64(duty))), heat.Mean, "W"))
	}
	return nil
}

// ripple answers the ripple, and the mean volts where the AC under load was measured:
// a tap falls by a third and more when the arc burns, so that its no-load volts would
// be volts that no arc ever sees.
func (o smoothingOptions) ripple(r *reckoning, rms, sagged procedures.Volts, b source.Bank, i procedures.Amps, mains float64) error {
	of := rms
	if sagged != 0 {
		of = sagged
	}
	loaded, err := source.Bridge(of, dropLoaded)
	if err != nil {
		return err
	}
	c := b.Farads * float64(b.Count)
	s, err := source.Ripple(i, mains, c, loaded.NoLoad)
	if err != nil {
		return err
	}
	f := r.add("ripple at that current, peak to peak", s.Ripple, r.equals("amps / (2 x mains x farads)", fmt.Sprintf("%s A / (2 x %s Hz x %s F)", put(float64(i)), put(mains), put(c)), s.Ripple.Value, "V"))
	const mean = "mean DC at that current"
	if s.Small {
		f.Note = sentence(f.Note, "the true ripple is somewhat less: the capacitors are charged for part of each half wave")
	} else {
		f.Text = "at most " + r.sayOne(s.Ripple.Value, "V")
	}
	switch {
	case !s.Small:
		r.words(mean, "none given: the ripple is too large against the peak for this formula; measure it", arc.Value{}, "").given = false
	case sagged == 0:
		r.words(mean, "none given: the AC of the tap falls far when the arc burns, by a third and more on a small machine. Measure it then: --ac-loaded 18", arc.Value{}, "").given = false
	default:
		r.add(mean, exact(float64(s.Mean), "V", rule("ripple")),
			r.equals("peak - 2 x diode drop - ripple / 2", fmt.Sprintf("%s V - 2 x %s V - %s V / 2", put(float64(loaded.NoLoad+2*dropLoaded)), put(float64(dropLoaded)), put(s.Ripple.Value)), float64(s.Mean), "V")).Note = "from the AC that you measured under load, by ideal charging: the true mean is somewhat less"
	}
	current, err := source.CheckRippleCurrent(i, 0)
	if err != nil {
		return err
	}
	r.caution(caution.Care, "ripple", fmt.Sprintf("Reckon with %s A or more of ripple current in the capacitors: %s.", num(float64(current.Amps)), current.Note), "CP")
	return nil
}
