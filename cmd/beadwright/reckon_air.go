package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/source"
)

// smallestRoom is the least that a side of a room is taken to be: less is a bare
// number that was meant as feet or meters, and no place to weld in (common practice).
const smallestRoom procedures.MM = 914.4 // 3 ft

type airOptions struct {
	width, length, height, welders, hood string
	partitions                           bool
}

func newReckonAir(a *app) *cobra.Command {
	var o airOptions
	cmd := &cobra.Command{
		Use:   "air",
		Short: "Whether a room needs a fan for the fume, how much air, and how often that changes it",
		Long: `Whether a room needs mechanical ventilation for welding by 29 CFR 1910.252(c), how
much air that is for so many welders, and how often it changes the air of the room.
With --hood, what a small hood near the arc must draw instead. A workplace rule that
is older than what is known of fume: being outside it is no leave to breathe smoke.`,
		Example: `  beadwright reckon air --width 12ft --length 22ft --height 8ft
  beadwright reckon air --width 6m --length 9m --height 3m --welders 2 --hood 200mm`,
	}
	f := cmd.Flags()
	f.StringVar(&o.width, "width", "", "of the room: 12ft, 3.6m")
	f.StringVar(&o.length, "length", "", "of the room")
	f.StringVar(&o.height, "height", "", "of its ceiling")
	f.StringVar(&o.welders, "welders", "", "how many weld at once (default 1)")
	f.BoolVar(&o.partitions, "partitions", false, "walls or screens stop the draft")
	f.StringVar(&o.hood, "hood", "", "how far a small hood stands from the arc: 8in, 200mm")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o airOptions) reckon(r *reckoning) error {
	r.need("width", o.width, "of the room: --width 12ft --length 22ft --height 8ft")
	r.need("length", o.length, "of the room: --length 22ft")
	r.need("height", o.height, "of its ceiling: --height 8ft")
	w, l, h := r.distance("width", o.width), r.distance("length", o.length), r.distance("height", o.height)
	n := int(r.measure("welders", o.welders, times))
	hood := r.length("hood", o.hood)
	if r.err != nil {
		return r.err
	}
	if n == 0 {
		n = 1
		r.assume("1 welder")
	}
	if o.partitions {
		r.note("partitions", "", true, "that stop the draft")
	}
	for _, side := range []struct {
		name, read string
		v          procedures.MM
	}{{"width", o.width, w}, {"length", o.length, l}, {"height", o.height, h}} {
		if side.v < smallestRoom {
			return procedures.Invalid(side.name, side.read, "no room is as small as "+r.sayLength(side.v), "accepted: from 3 ft (0.9 m); a bare number is "+map[procedures.Units]string{procedures.US: "inches: write 12ft", procedures.Metric: "millimeters: write 3.6m"}[r.units])
		}
	}
	m := func(v procedures.MM) float64 { return float64(v) / 1000 }
	volume := m(w) * m(l) * m(h)
	air, err := source.Ventilation(volume, m(h), n, o.partitions)
	if err != nil {
		return err
	}
	row := data.Row{Source: []string{"MATH"}, Basis: data.Computed}
	r.add("room for each welder", exact(volume/float64(n), "m3", row), r.equals("width x length x height / welders",
		fmt.Sprintf("%s x %s x %s / %d", r.feet(w), r.feet(l), r.feet(h), n), volume/float64(n), "m3"))
	need := "not asked for: "
	if air.Needed {
		need = "needed: "
	}
	r.words("mechanical ventilation", need+air.Why, arc.Value{Source: []string{"SA-252C"}, Basis: data.Printed}, "29 CFR 1910.252(c)(2): less than 10000 cu ft (283 cu m) for each welder, a ceiling under 16 ft (4.9 m), or partitions")
	if air.Needed {
		r.add("air to move, at least", air.Flow, r.equals(r.quantity(air.Flow.Value/float64(n), "m3/min")+" for each welder x welders",
			fmt.Sprintf("%s x %d", r.quantity(air.Flow.Value/float64(n), "m3/min"), n), air.Flow.Value, "m3/min"))
		changes := air.Flow.Value * 60 / volume
		r.add("that changes the air of the room", exact(changes, "times an hour", row), r.equals("air to move x 60 / room",
			fmt.Sprintf("%s x 60 / %s", r.quantity(air.Flow.Value, "m3/min"), r.quantity(volume, "m3")), changes, "times an hour")).Note = "a fan's label is without grille, duct and a shut door: an open door on the other side lets the air in"
	}
	if hood != 0 {
		v, err := source.Hood(hood)
		if _, err := r.try("a hood there must draw", v, err, "table: a flanged opening of 3 in (76 mm) for each distance from the arc"); err != nil {
			return err
		}
	}
	r.caution(caution.Defer, "data-sheet", "Read the safety data sheet of your wire first: what it says of fume, limits and breathing gear goes before this rule.", "CP")
	r.caution(caution.Care, "fume", "Keep your head out of the plume and take it away at the arc: the rule is old, and the newer guideline for manganese is 250 times lower. A respirator for more than a few beads, with a fan or without.", "SA-HSE", "SA-MN")
	r.caution(caution.Stop, "closed", "Never in a pit, a tank or a closed space: that takes supplied air and somebody outside.", "SA-WAC415")
	r.firstComes()
	r.uncovered("galvanized, painted, plated or stainless metal, whose fume wants more than this", "where the fan stands: it draws the fume away from your face, not past it, and does not blow on the arc",
		"what is in the air: only a measurement tells")
	return nil
}
