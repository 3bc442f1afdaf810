package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

type cordOptions struct{ cord, amps, input, arcVolts string }

func newReckonCord(a *app) *cobra.Command {
	var o cordOptions
	cmd := &cobra.Command{
		Use:     "cord",
		Short:   "What an extension cord takes from the machine and from the arc",
		Example: "  beadwright reckon cord --cord \"12awg 25ft\" --amps 20A --input 120V",
	}
	f := cmd.Flags()
	f.StringVar(&o.cord, "cord", "", "size and length one way: 12awg 25ft")
	f.StringVar(&o.amps, "amps", "", "drawn from the wall with the arc on: 20A")
	f.StringVar(&o.input, "input", "", "wall supply (default 120V)")
	f.StringVar(&o.arcVolts, "arc-volts", "", "volts at the arc (default 18V)")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o cordOptions) reckon(r *reckoning) error {
	r.need("cord", o.cord, "size and length: --cord \"12awg 25ft\"")
	r.need("amps", o.amps, "drawn from the wall, see the plate: --amps 20A")
	if r.err != nil {
		return r.err
	}
	cord, err := parseCord(o.cord, r.units)
	if err != nil {
		return err
	}
	r.note("cord", "awg", cord.AWG, fmt.Sprintf("%d AWG, %s one way", cord.AWG, r.feet(cord.Length)))
	r.Inputs = append(r.Inputs, input{"cord_length_mm", procedures.Round(float64(cord.Length)), ""})
	i, supply, volts := r.amps("amps", o.amps), r.volts("input", o.input), r.volts("arc-volts", o.arcVolts)
	if supply == 0 && r.err == nil {
		supply = 120
		r.assume("120 V supply")
	}
	if volts == 0 && r.err == nil {
		volts = 18
		r.assume("18 V at the arc")
	}
	if r.err != nil {
		return r.err
	}
	loss, err := source.CordDrop(cord, i, supply, volts)
	if err != nil {
		return err
	}
	share := exact(float64(loss.Share), "%", rowOf(loss.Drop))
	loss.Drop.Note = "stranded copper at 75 C (167 F); a cool cord loses less"
	r.add("voltage lost in the cord", loss.Drop, r.equals("2 x length x "+r.ohmsFor()+" / 1000 x amps",
		fmt.Sprintf("2 x %s x %s / 1000 x %s A", r.feet(cord.Length), r.ohms(cord.AWG), put(float64(i))), loss.Drop.Value, "V"))
	r.add("share of the supply", share, r.equals("100 x volts lost / supply", fmt.Sprintf("100 x %s V / %s V", put(loss.Drop.Value), put(float64(supply))), share.Value, "%"))
	r.add("lost at the arc, about", exact(float64(loss.Arc), "V", data.Row{Source: []string{"MATH"}, Basis: data.Computed}),
		r.equals("share of the supply x arc volts", fmt.Sprintf("%s / 100 x %s V", put(share.Value), put(float64(volts))), float64(loss.Arc), "V")).Note = "a plain transformer passes the loss on in proportion"
	if loss.Allowed.Value > 0 {
		r.add("current that the cord may carry all the time", loss.Allowed, "table, two current-carrying conductors: a 120 V cord with earth (ground)")
	} else if _, err := source.CordAmpacity(cord.AWG, 2); err != nil {
		if err := r.none("current that the cord may carry all the time", err); err != nil {
			return err
		}
	}
	if loss.Caution != "" {
		level := caution.Care
		if loss.Stop {
			level = caution.Stop
		}
		r.caution(level, "cord", strings.ToUpper(loss.Caution[:1])+loss.Caution[1:]+".", arc.Together(loss.Allowed.Source, loss.Drop.Source)...)
	}
	r.caution(caution.Care, "coil", "Lay the cord out: coiled it cannot shed its heat. A warm plug is a bad contact: stop and replace it.", "CP")
	r.firstComes()
	r.uncovered("the wire in the wall, which loses volts of its own, and worn plugs and outlets", "the start of an arc, which draws more for a moment")
	return nil
}

// ohmsFor names the resistance in a formula, by the length that it is told for.
func (r *reckoning) ohmsFor() string {
	if r.units == procedures.Metric {
		return "ohms for 1000 m"
	}
	return "ohms for 1000 ft"
}

// ohms is the resistance of a size in a formula; the table prints it for 1000 ft.
func (r *reckoning) ohms(awg int) string {
	if r.units == procedures.Metric {
		return put(resistance(awg)/0.3048) + " ohm/km"
	}
	return put(resistance(awg)) + " ohm/kft"
}

func resistance(awg int) float64 {
	for _, row := range data.CopperResistances() {
		if row.AWG == awg {
			return row.StrandedOhmPerKft
		}
	}
	return 0
}

type leadOptions struct{ awg, length, amps, duty string }

func newReckonLead(a *app) *cobra.Command {
	var o leadOptions
	cmd := &cobra.Command{
		Use:   "lead",
		Short: "Copper for the welding leads, or what leads of a size lose",
		Long: `The size of welding lead for a current and a length, from a table; with --awg what
leads of that size lose. The length is both leads together, out and back.`,
		Example: `  beadwright reckon lead --length 20ft --amps 90 --duty 20%
  beadwright reckon lead --awg 4 --length 20ft --amps 90`,
	}
	f := cmd.Flags()
	f.StringVar(&o.awg, "awg", "", "size of the leads there are, 18 to 4: 4")
	f.StringVar(&o.length, "length", "", "of both leads together: 20ft")
	f.StringVar(&o.amps, "amps", "", "welding current: 90")
	f.StringVar(&o.duty, "duty", "", "duty cycle, for the size (default 100%)")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o leadOptions) reckon(r *reckoning) error {
	r.need("length", o.length, "both leads together: --length 20ft")
	r.need("amps", o.amps, "welding current: --amps 90")
	if r.err == nil {
		r.err = unitOfRun("length", o.length, o.length)
	}
	length, i := r.distance("length", o.length), r.amps("amps", o.amps)
	duty := r.percent("duty", o.duty)
	if duty == 0 && r.err == nil {
		r.assume("duty cycle 100 %%")
		duty = 100
	}
	if r.err != nil {
		return r.err
	}
	r.firstComes()
	r.uncovered("clamp, lugs and worn joints: they often lose more than the cable. Feel them after a bead; hot means bad")
	if o.awg != "" {
		if err := o.loss(r, length, i); err != nil {
			return err
		}
	}
	lead, err := source.LeadSize(i, length, duty)
	if err != nil {
		return r.none("size of lead", err)
	}
	text := lead.AWG + " AWG"
	if lead.Parallel > 1 {
		text = fmt.Sprintf("%d cables of %s side by side", lead.Parallel, text)
	}
	r.words("size of lead", text, arc.Value{Basis: lead.Basis, Source: lead.Source, Note: "a maker's table, copper; heavier never hurts"},
		"table: the row of the next higher current and the next longer circuit")
	return nil
}

// loss answers what leads of a size lose.
func (o leadOptions) loss(r *reckoning, length procedures.MM, i procedures.Amps) error {
	awg, err := strconv.Atoi(strings.TrimSpace(strings.TrimSuffix(strings.ToLower(strings.TrimPrefix(o.awg, "#")), "awg")))
	if err != nil {
		return procedures.Invalid("awg", o.awg, "not a size with a printed resistance", "accepted: 18, 16, 14, 12, 10, 8, 6, 4")
	}
	loss, err := source.LeadDrop(awg, length, i)
	if err != nil {
		return err
	}
	r.Inputs = append(r.Inputs, input{"awg", awg, fmt.Sprintf("leads of %d AWG", awg)})
	r.add("voltage lost in both leads", loss.Drop, r.equals("length x "+r.ohmsFor()+" / 1000 x amps",
		fmt.Sprintf("%s x %s / 1000 x %s A", r.feet(length), r.ohms(awg), put(float64(i))), loss.Drop.Value, "V")).Note = "4 V is the most to lose in both together"
	r.add("copper for each ampere", exact(loss.MilsPerAmp, "circular mils", rowOf(loss.Drop)), r.equals("circular mils / amps",
		fmt.Sprintf("%s / %s A", put(loss.MilsPerAmp*float64(i)), put(float64(i))), loss.MilsPerAmp, "circular mils")).Note = "300 is the least"
	if loss.Caution != "" {
		r.caution(caution.Care, "lead", strings.ToUpper(loss.Caution[:1])+loss.Caution[1:]+".", "CA-AWS39", "CA-TAB2")
	}
	return nil
}
