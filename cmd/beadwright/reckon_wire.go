package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/joint"
)

type wireOptions struct{ wire, speed, length, leg, travel, reel, empty string }

func newReckonWire(a *app) *cobra.Command {
	var o wireOptions
	cmd := &cobra.Command{
		Use:   "wire",
		Short: "Deposition, wire needed and arc time of a fillet, and what the spool has left",
		Example: `  beadwright reckon wire --wire "0.030 E71T-GS" --wire-speed 200ipm --leg 1/8 --length 24in
  beadwright reckon wire --wire-speed 90ipm --travel 10ipm
  beadwright reckon wire --wire-speed 90ipm --reel 1.6lb --empty 0.3lb`,
	}
	f := cmd.Flags()
	f.StringVar(&o.wire, "wire", "", "size and class, or the name of a spool (default the spool in use)")
	f.StringVar(&o.speed, "wire-speed", "", "90ipm, 2.3 m/min")
	f.StringVar(&o.leg, "leg", "", "of the fillet: 1/8")
	f.StringVar(&o.length, "length", "", "weld in all: 24in")
	f.StringVar(&o.travel, "travel", "", "for the leg that a pace lays down: 10ipm")
	f.StringVar(&o.reel, "reel", "", "weight of the spool as it is now: 1.6lb")
	f.StringVar(&o.empty, "empty", "", "weight of the empty spool: 0.3lb")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(a.spool(r.ctx, r, o.wire), r) })
}

func (o wireOptions) reckon(w procedures.Wire, r *reckoning) error {
	speed, leg, length, travel := r.wireSpeed("wire-speed", o.speed), r.length("leg", o.leg), r.distance("length", o.length), r.travel("travel", o.travel)
	reel, empty := r.grams("reel", o.reel), r.grams("empty", o.empty)
	rod := r.err == nil && procedures.ProcessOf(w.Class, w.Gas) == procedures.SMAW
	switch {
	case rod && o.speed+o.travel+o.reel != "":
		return procedures.Invalid("wire", w.String(), "a covered electrode has no wire speed and no spool", "for its weight: --leg 1/8 --length 24in")
	case o.leg == "" && o.length != "":
		r.need("leg", o.leg, "the fillet's leg: --leg 1/8")
	case o.speed == "" && !rod && (o.travel != "" || o.reel != "" || o.length == ""):
		r.need("wire-speed", o.speed, "the wire speed: --wire-speed 90ipm", "or a weld alone, for its wire: --leg 1/8 --length 24in")
	case o.length == "" && rod:
		r.need("length", o.length, "the weld: --leg 1/8 --length 24in")
	case o.empty != "":
		r.need("reel", o.reel, "the spool on the scales: --reel 1.6lb")
	}
	if r.err != nil {
		return r.err
	}
	r.uncovered("stubs, run-out, spatter knocked off and beads cut out: buy a tenth more", "your own wire: weigh a meter of it, and weigh a coupon before and after")
	if speed != 0 {
		if err := o.deposition(w, speed, r); err != nil {
			return err
		}
	}
	if length != 0 {
		if err := o.weld(w, speed, leg, length, r); err != nil {
			return err
		}
	}
	if speed != 0 && leg != 0 {
		v, err := arc.TravelForLeg(w, speed, leg)
		if _, err := r.try("pace for that leg in one pass", v, err, "deposition over weld metal for each length, by volume balance"); err != nil {
			return err
		}
	}
	if travel != 0 {
		v, err := arc.Leg(w, speed, travel)
		if _, err := r.try("leg that this pace lays down", v, err, "root of twice the bead's cross-section, by volume balance"); err != nil {
			return err
		}
	}
	if reel != 0 {
		return o.left(w, reel, empty, speed, r)
	}
	return nil
}

// deposition answers what melts and what stays.
func (o wireOptions) deposition(w procedures.Wire, s procedures.MPerMin, r *reckoning) error {
	mass, err := arc.WireMass(w)
	if err != nil {
		return err
	}
	f := r.add("weight of the wire", mass, fmt.Sprintf("pi / 4 x diameter^2 x density, less the flux of a cored wire; diameter %s", r.in(w.Diameter)))
	f.Text = num(mass.Value) + " g/m (" + num(mass.Value*0.3048) + " g per ft)"
	if mass.Low < mass.High {
		f.Text += ", likely " + r.saySpan(mass.Low, mass.High, "g per m")
	}
	eff, err := arc.DepositionEfficiency(w)
	if f, err = r.try("deposition efficiency", eff, err, "table: weld metal for the weight of wire used"); err != nil || !f.given {
		return err
	}
	dep, err := arc.Deposition(w, s)
	if err != nil {
		return err
	}
	if _, err = r.try("deposition while the arc burns", dep, nil, r.equalsMetric("wire speed x weight of the wire x efficiency x 60 / 1000",
		fmt.Sprintf("%s m/min x %s g/m x %s / 100 x 60 / 1000", put(float64(s)), put(mass.Value), put(eff.Value)), dep.Value, "kg/h")); err != nil {
		return err
	}
	if sheet, ok := arc.PrintedDeposition(w, s); ok {
		r.add("deposition as its data sheet prints it", sheet, "table of the wire's data sheet, straight between its rows").Note =
			"the sheet reads like a solid wire, which a cored one is not; so the figure above stays by the wire's weight, and its span reaches to this one. Weigh a coupon before and after, and you know"
	}
	return nil
}

// weld answers the weld metal, wire and arc time of a fillet.
func (o wireOptions) weld(w procedures.Wire, s procedures.MPerMin, leg, length procedures.MM, r *reckoning) error {
	area, err := joint.FilletArea(leg)
	if err != nil {
		return err
	}
	metal, err := joint.Mass(area, length)
	if err != nil {
		return err
	}
	r.add("weld metal", exact(metal, "g", rule("weld-weight")), r.equalsMetric("leg x leg / 2 x length x density",
		fmt.Sprintf("%[1]s mm x %[1]s mm / 2 x %[2]s mm x %[3]s g/cu mm", put(float64(leg)), put(float64(length)), put(joint.Density)), metal, "g"))
	eff, err := arc.DepositionEfficiency(w)
	if err != nil {
		return r.none("wire needed", err)
	}
	needed := arc.Value{Unit: "g", Basis: arc.Weakest(eff.Basis, rule("wire-needed").Basis), Source: arc.Together(rule("wire-needed").Source, eff.Source), Note: eff.Note}
	for _, q := range []struct {
		to  *float64
		eff float64
	}{{&needed.Value, eff.Value}, {&needed.Low, eff.High}, {&needed.High, eff.Low}} {
		if *q.to, err = joint.WireNeeded(metal, procedures.Percent(q.eff)); err != nil {
			return err
		}
	}
	r.add("wire needed", needed, r.equals("weld metal / efficiency", fmt.Sprintf("%s / %s x 100", r.quantity(metal, "g"), put(eff.Value)), needed.Value, "g"))
	if mass, err := arc.WireMass(w); err == nil && s != 0 {
		l := needed
		l.Value, l.Low, l.High, l.Unit = needed.Value/mass.Value, needed.Low/mass.High, needed.High/mass.Low, "m"
		l.Basis, l.Source = arc.Weakest(needed.Basis, mass.Basis), arc.Together(needed.Source, mass.Source)
		r.add("wire needed, as a length", l, r.equalsMetric("wire needed / weight of the wire", fmt.Sprintf("%s g / %s g/m", put(needed.Value), put(mass.Value)), l.Value, "m"))
	}
	if s == 0 {
		return nil
	}
	dep, err := arc.Deposition(w, s)
	if err != nil {
		return r.none("arc time", err)
	}
	t := arc.Value{Unit: "s", Basis: dep.Basis, Source: arc.Together(rule("arc-time").Source, dep.Source)}
	for _, q := range []struct {
		to   *float64
		rate float64
	}{{&t.Value, dep.Value}, {&t.Low, dep.High}, {&t.High, dep.Low}} {
		on, err := joint.ArcTime(metal, q.rate)
		if err != nil {
			return err
		}
		*q.to = float64(on)
	}
	r.add("arc time", t, r.equals("3.6 x weld metal / deposition", fmt.Sprintf("3.6 x %s g / %s kg/h", put(metal), put(dep.Value)), t.Value, "s")).Note = "arc only; rests for the duty cycle come on top, see reckon duty"
	return nil
}

// left answers what the spool has on it.
func (o wireOptions) left(w procedures.Wire, reel, empty float64, s procedures.MPerMin, r *reckoning) error {
	if empty == 0 {
		r.assume("the spool itself weighs nothing, so this is the most there can be")
	}
	mass, err := arc.WireMass(w)
	if err != nil {
		return err
	}
	left, err := joint.SpoolLeft(reel, empty, mass.Value, s)
	if err != nil {
		return err
	}
	if left.Grams == 0 {
		return procedures.Invalid("reel", o.reel, "no wire is left on it", "the spool as it is now weighs more than empty")
	}
	row := data.Row{Source: []string{"MATH"}, Basis: data.Computed}
	r.add("wire left", exact(left.Grams, "g", row), r.equals("spool now - empty spool", r.quantity(reel, "g")+" - "+r.quantity(empty, "g"), left.Grams, "g"))
	span := func(v float64, unit string) arc.Value {
		return arc.Value{Value: v, Low: v * mass.Value / mass.High, High: v * mass.Value / mass.Low, Unit: unit, Basis: mass.Basis, Source: mass.Source, Note: mass.Note}
	}
	r.add("wire left, as a length", span(left.Metres, "m"), r.equalsMetric("wire left / weight of the wire", fmt.Sprintf("%s g / %s g/m", put(left.Grams), put(mass.Value)), left.Metres, "m"))
	r.add("arc time left at that wire speed", span(float64(left.ArcTime), "s"), r.equals("60 x length / wire speed", fmt.Sprintf("60 x %s m / %s m/min", put(left.Metres), put(float64(s))), float64(left.ArcTime), "s"))
	return nil
}
