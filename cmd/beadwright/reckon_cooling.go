package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/steel"
)

type coolingOptions struct{ heat, thickness, preheat, bead string }

func newReckonCooling(a *app) *cobra.Command {
	var o coolingOptions
	cmd := &cobra.Command{
		Use:   "cooling",
		Short: "Time from 800 to 500 C (t8/5) after a bead, by EN 1011-2 Annex D",
		Long: `How long the weld takes from 800 to 500 C, by the two formulas of EN 1011-2 Annex D
for thick and for thin plate; the longer one counts. The shorter it is, the harder the
steel beside the bead. From memory: hold the standard against it. Unalloyed steel.`,
		Example: `  beadwright reckon cooling --heat 0.3kJ/mm --thickness 3mm
  beadwright reckon cooling --heat 25kJ/in --thickness 1in --preheat 100C --bead tee`,
	}
	f := cmd.Flags()
	f.StringVar(&o.heat, "heat", "", "heat input with k: 0.5kJ/mm, 12kJ/in, see reckon heat")
	f.StringVar(&o.thickness, "thickness", "", "of the plate: 1/8, 3mm")
	f.StringVar(&o.preheat, "preheat", "", "of the metal before the bead: 20C, 100C, 212F (default 20C)")
	f.StringVar(&o.bead, "bead", "", "plate (a bead on plate, the default), butt, corner or tee")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o coolingOptions) reckon(r *reckoning) error {
	r.need("heat", o.heat, "heat input with k: --heat 0.5kJ/mm, see reckon heat")
	r.need("thickness", o.thickness, "of the plate: --thickness 1/8")
	q := arc.KJPerMM(r.measure("heat", o.heat, energy))
	t := r.thickness("thickness", o.thickness)
	t0 := r.temperature("preheat", o.preheat)
	if r.err != nil {
		return r.err
	}
	if o.preheat == "" {
		t0 = 20
		r.assume("metal at 20 C (68 F)")
	}
	kind := strings.ToLower(o.bead)
	if kind == "" {
		kind = "plate"
		r.assume("a bead on plate")
	}
	bead, err := steel.FindBead(kind)
	if err != nil {
		return err
	}
	if o.bead != "" {
		r.note("bead", "", bead.Key, bead.Name)
	}
	f2 := (bead.Thin[0] + bead.Thin[1]) / 2
	c := steel.Cooling{Preheat: t0, HeatInput: q, Thickness: t, ThinShape: f2, ThickShape: bead.Thick}
	thick, thin, err := steel.CoolingTimes(c)
	if err != nil {
		return err
	}
	whole, err := bead.CoolingTime(c)
	if err != nil {
		return err
	}
	which := "the thick-plate one: the heat goes down as well as sideways, and the thickness does not count"
	if thin.Value > thick.Value {
		which = "the thin-plate one: the heat goes sideways only, and half the thickness is four times the time"
	}
	r.add("cooling time from 800 to 500 C", whole, "the longer of the two below").Note = which
	r.add("by the thick-plate formula", thick, r.equals("(6700 - 5 x T0) x heat x (1 / (500 - T0) - 1 / (800 - T0)) x F3",
		fmt.Sprintf("(6700 - 5 x %[1]s) x %[2]s kJ/mm x (1 / (500 - %[1]s) - 1 / (800 - %[1]s)) x %[3]s", put(t0), put(float64(q)), put(bead.Thick)), thick.Value, "s"))
	r.add("by the thin-plate formula", thin, r.equals("(4300 - 4.3 x T0) x 100000 x (heat / thickness)^2 x (1 / (500 - T0)^2 - 1 / (800 - T0)^2) x F2",
		fmt.Sprintf("(4300 - 4.3 x %[1]s) x 100000 x (%[2]s kJ/mm / %[3]s mm)^2 x (1 / (500 - %[1]s)^2 - 1 / (800 - %[1]s)^2) x %[4]s", put(t0), put(float64(q)), put(float64(t)), put(f2)), thin.Value, "s"))
	r.firstComes()
	r.uncovered("alloyed, stainless and cast metal", "what time a steel wants: its maker's sheet tells", "narrow or short parts, which heat through and cool slower", "several passes in a row without a rest: the metal is hotter then, so say that as --preheat")
	return nil
}

var temperature = procedures.Pattern(`^(-?\d{1,4}(?:\.\d{1,3})?) ?(?:\x{b0} ?|deg ?)?([cf])$`)

// temperature reads 100C or 212F, in degC; nothing given is 0.
func (r *reckoning) temperature(flag, s string) float64 {
	return take(r, flag, "C", s, func() (float64, error) {
		m := temperature().FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
		if m == nil {
			return 0, procedures.Invalid(flag, s, "not a temperature with its unit", "accepted: 20C, 100C, 212F")
		}
		v, err := strconv.ParseFloat(m[1], 64)
		if m[2] == "f" {
			v = (v - 32) * 5 / 9
		}
		return v, err
	}, func(v float64) string { return r.sayOne(v, "degC") })
}
