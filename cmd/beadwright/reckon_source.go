package main

import (
	"cmp"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type dutyOptions struct{ rated, duty, amps, seconds, machine string }

func newReckonDuty(a *app) *cobra.Command {
	var o dutyOptions
	cmd := &cobra.Command{
		Use:   "duty",
		Short: "Duty cycle at another current: arc seconds and rest in any 10 minutes",
		Long: `Duty cycle at another current than the rated one, and what it means by the clock.
The rule is for currents up to the plate's: above it no figure is given. Without
--rated and --duty the plate of the machine in use is taken, as written down.`,
		Example: `  beadwright reckon duty --rated 90A --duty 20% --amps 70A
  beadwright reckon duty --rated 90A --duty 20% --amps 70A --seconds 45`,
	}
	f := cmd.Flags()
	f.StringVar(&o.rated, "rated", "", "current on the plate: 90A")
	f.StringVar(&o.duty, "duty", "", "duty cycle on the plate: 20%")
	f.StringVar(&o.amps, "amps", "", "current that you weld at: 70A")
	f.StringVar(&o.seconds, "seconds", "", "arc time of one bead, for the rest after it: 45")
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	return a.sum(cmd, func(r *reckoning) error {
		m := procedures.Machine{}
		if o.rated == "" && o.duty == "" || o.machine != "" {
			m = a.plate(r.ctx, r, o.machine)
		}
		return o.reckon(m, r)
	})
}

func (o dutyOptions) reckon(m procedures.Machine, r *reckoning) error {
	plate := source.Rating{Current: r.amps("rated", o.rated), Duty: r.percent("duty", o.duty)}
	plate.Current = fromPlate(r, m, plate.Current, m.RatedAmps, "rated", "A")
	plate.Duty = fromPlate(r, m, plate.Duty, m.Duty, "duty", "%")
	if plate.Current == 0 {
		r.need("rated", o.rated, "from the plate: --rated 90A --duty 20%", "or write the machine down once: beadwright machine add NAME --rated 90A --duty 20")
	}
	if plate.Duty == 0 {
		r.need("duty", o.duty, "from the plate: --duty 20%")
	}
	r.need("amps", o.amps, "the current that you weld at: --amps 70A")
	i := r.amps("amps", o.amps)
	bead := r.measure("seconds", o.seconds, seconds)
	if r.err != nil {
		return r.err
	}
	r.uncovered("the machine's own heat today: a hot shop, a blocked fan or a dusty case cut it short. Let the case tell you, and leave the fan running",
		"one long bead: the allowance is for a machine that began cool")
	if m.Rebuilt {
		r.caution(caution.Care, "rebuilt-duty", "It was rebuilt from AC to DC: rectifier and capacitors heat the transformer harder and the cut-out does not watch them. Rest longer than this says.", "CP")
	}
	r.firstComes()
	d, err := source.DutyAt(plate, i)
	const name = "duty cycle at that current"
	var past *arc.RangeError
	if errors.As(err, &past) {
		if err := r.none(name, err); err != nil {
			return err
		}
		r.Answers[0].Note = "the rule never raises the current above the plate: turn it down, or rest far longer than the plate says"
		return nil
	}
	if err != nil {
		return err
	}
	uncut := float64(plate.Duty) * float64(plate.Current*plate.Current/(i*i))
	formula := r.equals("rated duty x (rated amps / amps)^2", fmt.Sprintf("%s %% x (%s A / %s A)^2", put(float64(plate.Duty)), put(float64(plate.Current)), put(float64(i))), uncut, "%")
	if uncut > 100 {
		formula += ", and more than 100 % there is not"
	}
	r.add(name, d, formula)
	duty := procedures.Percent(d.Value)
	on, err := source.ArcSeconds(duty)
	if err != nil {
		return err
	}
	minutes := rule("duty-minutes")
	minutes.Basis = arc.Weakest(minutes.Basis, data.Computed)
	r.most("arc in any 10 minutes", exact(float64(on), "s", minutes), r.equals("600 s x duty", fmt.Sprintf("600 s x %s / 100", put(d.Value)), float64(on), "s"))
	r.least("rest in any 10 minutes", exact(600-float64(on), "s", minutes), r.equals("600 s - arc", fmt.Sprintf("600 s - %s s", put(float64(on))), 600-float64(on), "s"))
	if bead != 0 {
		rest, err := source.RestAfter(procedures.Seconds(bead), duty)
		if err != nil {
			return err
		}
		f := r.least("rest after that bead", exact(float64(rest), "s", data.Row{Source: []string{"MATH"}, Basis: data.Computed}),
			r.equals("arc / duty - arc", fmt.Sprintf("%s s / (%s / 100) - %s s", put(bead), put(d.Value), put(bead)), float64(rest), "s"))
		if bead > float64(on) {
			f.Note = fmt.Sprintf("the bead alone is longer than the %.0f s that any 10 minutes allow: split it", float64(on))
		}
	}
	full, err := source.CurrentAt(plate, 100)
	if err != nil {
		return err
	}
	r.most("current with no rest at all", full, r.equals("rated amps x sqrt(rated duty / 100)", fmt.Sprintf("%s A x sqrt(%s / 100)", put(float64(plate.Current)), put(float64(plate.Duty))), full.Value, "A"))
	return nil
}

type supplyOptions struct{ inputAmps, idle, duty, breaker, outlet, amps, volts, input, machine string }

func newReckonSupply(a *app) *cobra.Command {
	var o supplyOptions
	cmd := &cobra.Command{
		Use:   "supply",
		Short: "What a welder asks of its circuit, by article 630 of the US electrical code",
		Long: `What one transformer or rectifier welder asks of the circuit that is kept for it:
conductors, breaker, outlet. It is for talking with a licensed electrician, not
for pulling wire: the edition that your town has adopted decides. From the output
alone only the input current is estimated; the code reckons from the plate.`,
		Example: `  beadwright reckon supply --input-amps 20A --duty 20% --breaker 20A
  beadwright reckon supply --amps 70 --volts 17 --input 120V`,
	}
	f := cmd.Flags()
	f.StringVar(&o.inputAmps, "input-amps", "", "rated input current on the plate: 20A")
	f.StringVar(&o.idle, "idle-amps", "", "input current with no arc: 2A")
	f.StringVar(&o.duty, "duty", "", "duty cycle on the plate: 20%")
	f.StringVar(&o.breaker, "breaker", "", "of the circuit: 20A")
	f.StringVar(&o.outlet, "outlet", "", "5-15R, 5-20R, L5-30R, TT-30R")
	f.StringVar(&o.amps, "amps", "", "output current, for an estimate: 70")
	f.StringVar(&o.volts, "volts", "", "output volts, for an estimate: 17")
	f.StringVar(&o.input, "input", "", "wall supply, for an estimate (default 120V)")
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	return a.sum(cmd, func(r *reckoning) error {
		m := procedures.Machine{}
		if o.inputAmps == "" && o.amps == "" || o.machine != "" {
			m = a.plate(r.ctx, r, o.machine)
		}
		return o.reckon(m, r)
	})
}

func (o supplyOptions) reckon(m procedures.Machine, r *reckoning) error {
	estimated := o.inputAmps == "" && o.amps != ""
	const either = "give the plate's --input-amps, or --amps --volts --input for an estimate"
	r.only("amps", o.amps, estimated, either)
	r.only("volts", o.volts, o.inputAmps == "", either)
	r.only("input", o.input, o.inputAmps == "", either)
	r.only("duty", o.duty, !estimated, "an estimate is of the current alone; conductors go by the plate: --input-amps 20A --duty 20%")
	r.only("idle-amps", o.idle, !estimated, "it goes with the plate's --input-amps")
	plate := r.amps("input-amps", o.inputAmps)
	if !estimated {
		plate = fromPlate(r, m, plate, m.InputAmps, "input", "A")
	}
	breaker := fromPlate(r, m, r.amps("breaker", o.breaker), m.Breaker, "breaker", "A")
	var draw, most procedures.Amps // most is the largest breaker; 0: not known
	if plate == 0 {
		draw = o.estimate(r)
		r.uncovered("conductors and breaker: the code reckons them from the rated input current on the plate, not from an estimate")
	} else {
		draw, most = plate, o.circuit(r, m, plate)
	}
	if r.err != nil {
		return r.err
	}
	r.fitted(breaker, draw, most)
	if o.outlet != "" {
		if err := r.outlet(draw, o.outlet); err != nil {
			return err
		}
	}
	r.uncovered("anything else on the circuit, a general-purpose outlet, aluminum wire, an old panel or a long run: voltage drop is another sum, see reckon cord",
		"a motor-generator welder, and several welders on one feeder")
	r.caution(caution.Defer, "electrician", "Ask a licensed electrician before a circuit, a breaker or an outlet is changed; local code governs.", "EL-630", "CP")
	return nil
}

// circuit answers conductors and breaker from the plate's input current. It
// returns the largest breaker.
func (o supplyOptions) circuit(r *reckoning, m procedures.Machine, plate procedures.Amps) procedures.Amps {
	duty := fromPlate(r, m, r.percent("duty", o.duty), m.Duty, "duty", "%")
	if duty == 0 {
		r.need("duty", o.duty, "from the plate: --duty 20%")
	}
	idle := r.amps("idle-amps", o.idle)
	multiplier, err := source.Multiplier(duty, false)
	wire, errWire := source.SupplyConductor(plate, duty, false)
	most, errMost := source.Overcurrent(plate)
	if r.err = cmp.Or(r.err, err, errWire, errMost); r.err != nil {
		return 0
	}
	r.add("multiplier for the duty cycle", multiplier, fmt.Sprintf("table: the row at or above %s %%", num(float64(duty))))
	r.least("supply conductors must carry at least", wire, r.equals("input amps x multiplier", put(float64(plate))+" A x "+put(multiplier.Value), wire.Value, "A"))
	if idle != 0 {
		eff, err := source.EffectiveCurrent(plate, idle, duty)
		if err != nil {
			r.err = err
			return 0
		}
		r.add("effective input current", eff, r.equals("sqrt(input amps^2 x duty + idle amps^2 x (1 - duty))",
			fmt.Sprintf("sqrt((%[1]s A)^2 x %[3]s + (%[2]s A)^2 x (1 - %[3]s))", put(float64(plate)), put(float64(idle)), put(float64(duty)/100)), eff.Value, "A"))
	}
	top := r.add("highest rating of the breaker ahead of it", most, r.equals("2 x input amps", "2 x "+put(float64(plate))+" A", most.Value, "A"))
	top.Note = sentence(top.Note, "and for the wire's sake never over twice what the wire in the wall carries (NEC 630.12(B)): the lower of the two counts")
	top.Source = arc.Together(top.Source, []string{"EL-630"})
	size, err := source.NextBreaker(procedures.Amps(most.Value))
	f, err := r.try("standard size at or above that", size, err, "table of standard sizes")
	if err != nil || !f.given {
		r.err = err
		return procedures.Amps(most.Value)
	}
	f.Note = sentence(f.Note, "allowed where the figure is no standard size; never more")
	return procedures.Amps(size.Value)
}

// estimate is the input current from the output, 0 where it cannot be had.
func (o supplyOptions) estimate(r *reckoning) procedures.Amps {
	if o.amps == "" {
		r.need("input-amps", o.inputAmps, "from the plate: --input-amps 20A --duty 20%", "or an estimate from the output: --amps 70 --volts 17 --input 120V")
	}
	r.need("volts", o.volts, "output volts: --volts 17")
	i, v, line := r.amps("amps", o.amps), r.volts("volts", o.volts), r.volts("input", o.input)
	if line == 0 && r.err == nil {
		line = 120
		r.assume("120 V supply")
	}
	if r.err != nil {
		return 0
	}
	const efficiency, powerFactor = 0.7, 0.9 // common practice, no source
	est, err := source.PrimaryCurrent(i, v, line, efficiency, powerFactor)
	if err != nil {
		r.err = err
		return 0
	}
	r.assume("efficiency 0.7 and power factor 0.9, usual for a plain transformer")
	est.Basis, est.Source = data.Practice, arc.Together(est.Source, []string{"CP"})
	r.add("input current with the arc on, estimated", est, r.equals("output amps x output volts / input volts / efficiency / power factor",
		fmt.Sprintf("%s A x %s V / %s V / 0.7 / 0.9", put(float64(i)), put(float64(v)), put(float64(line))), est.Value, "A"))
	return procedures.Amps(est.Value)
}

// fitted says what to think of the breaker that there is.
func (r *reckoning) fitted(breaker, draw, most procedures.Amps) {
	switch {
	case breaker == 0:
	case most != 0 && breaker > most:
		r.caution(caution.Stop, "breaker", fmt.Sprintf("A %s A breaker is more than the %s A that the rule allows ahead of this machine. Leave it unplugged there until a licensed electrician has looked.", num(float64(breaker)), num(float64(most))), "EL-UPC")
	case draw > breaker:
		r.caution(caution.Care, "breaker", fmt.Sprintf("It draws %s A with the arc on and the breaker is %s A: short beads, nothing else on the circuit. Never a bigger breaker to stop the trips: the breaker is there for the wire in the wall.", num(float64(draw)), num(float64(breaker))), "EL-630", "CP")
	default:
		r.caution(caution.Care, "breaker", fmt.Sprintf("The %s A breaker is there for the wire in the wall. Trips mean less load, never a bigger breaker.", num(float64(breaker))), "EL-630", "CP")
	}
}

// outlet answers what one appliance may draw from an outlet.
func (r *reckoning) outlet(draw procedures.Amps, nema string) error {
	load, err := source.ReceptacleLoad(nema)
	if err != nil {
		return err
	}
	r.note("outlet", "", nema, nema)
	f := r.add("highest load of one appliance on a "+nema+" outlet", load, "table")
	if float64(draw) > load.Value {
		f.Note = sentence(f.Note, fmt.Sprintf("the machine draws %s A with the arc on; an outlet kept for one welder may be judged by the conductor figure above instead (NEC 210.21(B)(1)): the electrician decides", num(float64(draw))))
	}
	return nil
}
