package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

type heatOptions struct{ volts, amps, travel, joules, watts, seconds, bead, process string }

func newReckonHeat(a *app) *cobra.Command {
	var o heatOptions
	cmd := &cobra.Command{
		Use:   "heat",
		Short: "Arc energy, and the heat input of EN codes beside it",
		Long: `Arc energy of a bead, and the heat input of EN codes beside it. Two numbers go by
the name of heat input: US codes mean volts times amps over travel; EN codes
multiply that by a factor k for the process. Write down which one you mean.

Three ways to say it: volts, amps and travel; the joules that the machine shows
for a bead; or its watts, the arc time and the bead's length.`,
		Example: `  beadwright reckon heat --volts 18 --amps 90 --travel "4in in 24s"
  beadwright reckon heat --joules 90kJ --bead 6in
  beadwright reckon heat --watts 1620 --seconds 60 --bead 10in --process 135`,
	}
	f := cmd.Flags()
	f.StringVar(&o.volts, "volts", "", "at the arc: 18")
	f.StringVar(&o.amps, "amps", "", "at the arc: 90")
	f.StringVar(&o.travel, "travel", "", "10ipm, 250mm/min, or timed: 4in in 24s")
	f.StringVar(&o.joules, "joules", "", "shown by the machine for the bead: 90000")
	f.StringVar(&o.watts, "watts", "", "shown by the machine: 1620")
	f.StringVar(&o.seconds, "seconds", "", "arc time: 60")
	f.StringVar(&o.bead, "bead", "", "length of the bead: 6in")
	f.StringVar(&o.process, "process", "", "114, FCAW-S, stick, mig, tig (default flux-core without gas)")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o heatOptions) reckon(r *reckoning) error {
	e, formula, key, err := o.energy(r)
	if err != nil {
		return err
	}
	p := r.process("process", o.process)
	if r.err != nil {
		return r.err
	}
	r.add("arc energy", exact(float64(e), "kJ/mm", rule(key)), formula).Note = "US codes call this the heat input; EN codes call it arc energy"
	if k, err := arc.ThermalEfficiency(p); err != nil {
		if err = r.none("heat input, EN", &arc.NoTableError{Quantity: "factor k", Of: "process " + processName(p), Have: []string{"111, 114, 121, 131, 135, 136, 138, 141, 15"}}); err != nil {
			return err
		}
	} else {
		q := exact(k.Value*float64(e), "kJ/mm", data.Row{Source: arc.Together(k.Source, rule("heat-input").Source), Basis: k.Basis})
		r.add("heat input, EN", q, r.equals("k x arc energy", put(k.Value)+" x "+r.quantity(float64(e), "kJ/mm"), q.Value, "kJ/mm")).Note =
			fmt.Sprintf("k is %s for process %s; US codes leave it out, so don't hold this number against a US limit", put(k.Value), processName(p))
	}
	r.uncovered("how deep the arc went: two beads of one arc energy can fuse quite differently",
		"a pulsing or wave-shaped arc by volts and amps: average meters mislead there, use the joules or watts that the machine shows")
	return nil
}

// energy picks the one way that was said.
func (o heatOptions) energy(r *reckoning) (arc.KJPerMM, string, string, error) {
	byArc, byJoules, byWatts := o.volts != "" || o.amps != "" || o.travel != "", o.joules != "", o.watts != ""
	if n := count(byArc, byJoules, byWatts); n > 1 {
		return 0, "", "", procedures.Invalid("heat", "", "said in two ways at once", "volts, amps and travel; or joules and bead; or watts, seconds and bead")
	}
	timed := byArc && o.travel == "" && o.bead != ""
	r.only("seconds", o.seconds, byWatts || timed, "the arc time goes with watts and bead, or with volts, amps and bead in place of travel")
	r.only("bead", o.bead, byJoules || byWatts || timed && o.seconds != "", "the bead's length goes with joules, with watts and seconds, or with seconds in place of travel")
	bead := r.distance("bead", o.bead)
	switch {
	case byJoules:
		r.need("bead", o.bead, "the bead's length: --bead 6in")
		j := r.measure("joules", o.joules, joules)
		if r.err != nil {
			return 0, "", "", r.err
		}
		e, err := arc.EnergyFromJoules(j, bead)
		return e, r.equals("joules / bead length / 1000", put(j)+" J / "+r.in(bead)+" / 1000", float64(e), "kJ/mm"), "arc-energy-waveform", err
	case byWatts:
		r.need("seconds", o.seconds, "the arc time: --seconds 60")
		r.need("bead", o.bead, "the bead's length: --bead 10in")
		w, t := r.measure("watts", o.watts, watts), r.measure("seconds", o.seconds, seconds)
		if r.err != nil {
			return 0, "", "", r.err
		}
		e, err := arc.EnergyFromPower(w, procedures.Seconds(t), bead)
		return e, r.equals("watts x seconds / bead length / 1000", put(w)+" W x "+put(t)+" s / "+r.in(bead)+" / 1000", float64(e), "kJ/mm"), "arc-energy-waveform", err
	}
	r.need("volts", o.volts, "volts at the arc: --volts 18", "or the joules that the machine shows: --joules 90000 --bead 6in")
	r.need("amps", o.amps, "amps at the arc: --amps 90")
	v, i, s := r.volts("volts", o.volts), r.amps("amps", o.amps), r.travel("travel", o.travel)
	if o.travel == "" && o.bead != "" && o.seconds != "" {
		t := r.measure("seconds", o.seconds, seconds)
		if r.err == nil {
			s, r.err = arc.Travel(bead, procedures.Seconds(t))
		}
	} else {
		r.need("travel", o.travel, "the pace: --travel 10ipm, or timed: --travel \"4in in 24s\"")
	}
	if r.err != nil {
		return 0, "", "", r.err
	}
	e, err := arc.Energy(v, i, s)
	return e, r.equals("60 x volts x amps / travel / 1000", "60 x "+put(float64(v))+" V x "+put(float64(i))+" A / "+r.quantity(float64(s), "mm/min")+" / 1000", float64(e), "kJ/mm"), "arc-energy", err
}

func count(all ...bool) (n int) {
	for _, b := range all {
		if b {
			n++
		}
	}
	return n
}

func newReckonTravel(a *app) *cobra.Command {
	var length, time string
	cmd := &cobra.Command{
		Use:     "travel [WORDS...]",
		Short:   "Pace from a bead's length and arc time, and how to check it by stopwatch",
		Example: "  beadwright reckon travel 4in in 24s\n  beadwright reckon travel 10ipm\n  beadwright reckon travel --length 100mm --seconds 24",
		Args:    cobra.ArbitraryArgs,
	}
	cmd.Flags().StringVar(&length, "length", "", "of the bead: 4in")
	cmd.Flags().StringVar(&time, "seconds", "", "of arc: 24")
	return a.sum(cmd, func(r *reckoning) error {
		said := strings.Join(r.args, " ")
		r.only("length", length+time, said == "", "say it once: reckon travel 4in in 24s, or --length 4in --seconds 24")
		if said == "" {
			r.need("travel", length+time, "a length in a time: reckon travel 4in in 24s", "or a pace to be told as one: reckon travel 10ipm")
			r.need("length", length, "the bead's length: --length 4in")
			r.need("seconds", time, "the arc time: --seconds 24")
		}
		s := r.travel("travel", said)
		formula := ""
		if said == "" {
			l, t := r.distance("length", length), r.measure("seconds", time, seconds)
			if r.err == nil {
				s, r.err = arc.Travel(l, procedures.Seconds(t))
			}
			formula = r.equals("60 x length / seconds", "60 x "+r.in(l)+" / "+put(t)+" s", float64(s), "mm/min")
		}
		if r.err != nil {
			return r.err
		}
		r.add("travel speed", exact(float64(s), "mm/min", data.Row{Source: []string{"MATH"}, Basis: data.Computed}), formula)
		timed, err := arc.SayTravel(s, r.units)
		if err != nil {
			return err
		}
		r.words("by stopwatch", timed, arc.Value{Source: []string{"MATH"}, Basis: data.Computed}, "").Note = "two chalk marks that far apart; whole seconds, right to within 5 %"
		r.uncovered("whether that pace suits the joint: beadwright suggest, or reckon wire for the leg that it lays")
		return nil
	})
}

type currentOptions struct{ wire, speed, amps, weld string }

func newReckonCurrent(a *app) *cobra.Command {
	var o currentOptions
	cmd := &cobra.Command{
		Use:   "current",
		Short: "What current a wire speed draws, or what wire speed a current takes",
		Example: `  beadwright reckon current --wire "0.035 E71T-11" --wire-speed 90ipm
  beadwright reckon current --wire "0.030 E71T-GS" --amps 80
  beadwright reckon current --wire "1/8 E6013"`,
	}
	f := cmd.Flags()
	f.StringVar(&o.wire, "wire", "", "size and class, or the name of a spool (default the spool in use)")
	f.StringVar(&o.speed, "wire-speed", "", "90ipm, 2.3 m/min")
	f.StringVar(&o.amps, "amps", "", "wanted: 80")
	f.StringVar(&o.weld, "weld", "fillet", "fillet or square-groove: for the volts of solid wire")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(a.spool(r.ctx, r, o.wire), r) })
}

func (o currentOptions) reckon(w procedures.Wire, r *reckoning) error {
	weld := procedures.WeldType(o.weld)
	if r.err == nil && weld != procedures.Fillet && weld != procedures.SquareGroove {
		return procedures.Invalid("weld", o.weld, "not a weld with volts of its own", "accepted: fillet, square-groove")
	}
	if r.err == nil && o.speed != "" && o.amps != "" {
		return procedures.Invalid("wire-speed", o.speed, "given together with amps", "give one of them: the other is the answer")
	}
	s, i := r.wireSpeed("wire-speed", o.speed), r.amps("amps", o.amps)
	r.firstComes()
	if r.err == nil && procedures.ProcessOf(w.Class, w.Gas) == procedures.SMAW {
		if s != 0 {
			return procedures.Invalid("wire-speed", o.speed, "a covered electrode has none", "leave it out: the printed current comes by size")
		}
		return o.electrode(w, i, r)
	}
	if o.amps == "" {
		r.need("wire-speed", o.speed, "the wire speed: --wire-speed 90ipm", "or the current wanted: --amps 80")
	}
	if r.err != nil {
		return r.err
	}
	const how = "read off the points or the rule printed for the wire, straight between two points"
	if s != 0 {
		v, err := arc.Current(w, s)
		if _, err := r.try("current", v, err, how); err != nil || !r.Answers[0].given {
			return err
		}
		i = procedures.Amps(v.Value)
	} else {
		v, err := arc.WireSpeed(w, i)
		if _, err := r.try("wire speed", v, err, how); err != nil || !r.Answers[0].given {
			return err
		}
	}
	r.uncovered("your machine, tip distance and polarity: a longer stick-out draws less current at the same wire speed",
		"the knob: its number means a wire speed only once you have run wire out and measured it")
	v, err := arc.Voltage(w, weld, i)
	if _, err := r.try("arc voltage to go with it", v, err, ""); err != nil {
		return err
	}
	return o.line(procedures.ProcessOf(w.Class, w.Gas), i, r)
}

// electrode is the printed current of a covered electrode.
func (o currentOptions) electrode(w procedures.Wire, i procedures.Amps, r *reckoning) error {
	v, err := arc.ElectrodeCurrent(w)
	if _, err := r.try("current, flat", v, err, ""); err != nil {
		return err
	}
	if err == nil {
		r.Answers[0].Text = r.saySpan(v.Low, v.High, "A") + ", middle " + num(v.Value) + " A"
		if i != 0 && (float64(i) < v.Low || float64(i) > v.High) {
			r.Answers[0].Note = fmt.Sprintf("%s A lies outside what is printed for this electrode", num(float64(i)))
		}
		if i == 0 {
			i = procedures.Amps(v.Value)
		}
	}
	r.uncovered("vertical and overhead: they run at less, see suggest")
	if i == 0 {
		return nil
	}
	return o.line(procedures.SMAW, i, r)
}

// line is the conventional load voltage at a current.
func (o currentOptions) line(p procedures.Process, i procedures.Amps, r *reckoning) error {
	v, err := arc.LoadVoltage(p, i)
	formula := ""
	for _, row := range data.LoadVoltages() {
		if row.Process == string(p) && row.Use == "conventional" && row.InterceptLowV == row.InterceptHighV {
			formula = r.equals(put(row.InterceptLowV)+" + "+put(row.SlopeVPerA)+" x amps", fmt.Sprintf("%s V + %s V/A x %s A", put(row.InterceptLowV), put(row.SlopeVPerA), put(float64(i))), v.Value, "V")
		}
	}
	_, err = r.try("conventional load voltage", v, err, formula)
	return err
}
