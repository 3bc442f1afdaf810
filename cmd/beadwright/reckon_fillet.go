package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
	"beadwright/recommend/joint"
)

type filletOptions struct{ leg, other, thickness, otherThickness, position, length, loading, strength string }

func newReckonFillet(a *app) *cobra.Command {
	var o filletOptions
	cmd := &cobra.Command{
		Use:   "fillet",
		Short: "Throat, area, weld metal, least and largest leg, passes of a fillet",
		Long: `Throat, cross-section and weld metal of a fillet from its leg; least and largest
leg from the parts' thickness; the most that one pass lays in a position. With a
thickness and no leg, the least leg is taken. With --strength the code's allowable
shear is shown: a figure for its own welders, steel and inspection, which says
nothing of what your weld bears.`,
		Example: `  beadwright reckon fillet --leg 1/4
  beadwright reckon fillet --thickness 1/8 --position flat --length 24in
  beadwright reckon fillet --leg 6mm --other-leg 8mm`,
	}
	f := cmd.Flags()
	f.StringVar(&o.leg, "leg", "", "1/8, 3mm")
	f.StringVar(&o.other, "other-leg", "", "where the legs differ")
	f.StringVar(&o.thickness, "thickness", "", "of the part: 1/8, 3mm, 11ga plain")
	f.StringVar(&o.otherThickness, "other-thickness", "", "of the other part, where it differs")
	f.StringVar(&o.position, "position", "", "flat, horizontal, vertical up ... (default all)")
	f.StringVar(&o.length, "length", "", "weld in all: 24in")
	f.StringVar(&o.loading, "loading", "", "static, or cyclic where the load comes and goes (default static)")
	f.StringVar(&o.strength, "strength", "", "of the electrode in ksi: the 70 in E70, the 7 in E71T: shows the code's allowable shear")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o filletOptions) reckon(r *reckoning) error {
	if o.leg == "" {
		r.need("leg", o.thickness, "the leg: --leg 1/8", "or the thickness, for the least leg: --thickness 1/8")
	}
	r.only("other-leg", o.other, o.leg != "", "the first leg too: --leg 6mm --other-leg 8mm")
	r.only("other-thickness", o.otherThickness, o.thickness != "", "the first thickness too: --thickness 1/8 --other-thickness 1/4")
	r.only("loading", o.loading, o.thickness != "", "loading goes with a thickness: --thickness 1/8")
	leg, other := r.length("leg", o.leg), r.length("other-leg", o.other)
	t, t2 := r.thickness("thickness", o.thickness), r.thickness("other-thickness", o.otherThickness)
	length := r.distance("length", o.length)
	positions := r.positions(o.position)
	strength := r.measure("strength", o.strength, ksi)
	if r.err != nil {
		return r.err
	}
	if t2 == 0 {
		t2 = t
	}
	if t > 0 {
		load := joint.Loading(strings.ToLower(o.loading))
		if load == "" {
			load = joint.Static
			r.assume("a load that stays (static)")
		}
		least, most, err := r.limits(min(t, t2), max(t, t2), load)
		switch {
		case err != nil:
			return err
		case leg == 0:
			leg = least
			r.assume("leg %s, the least for that thickness", r.sayLength(leg))
		case smaller(leg, other) < least-1e-6:
			r.caution(caution.Care, "leg", "The leg is under the least for that thickness: thick metal chills so small a bead.", "FW-AISC", "FW-D11F")
		case max(leg, other) > most+1e-6:
			r.caution(caution.Care, "leg", "The leg is over the largest along that edge: it melts the edge away, and nobody can measure it afterwards.", "FW-AISC")
		}
	}
	if other == 0 {
		other = leg
	}
	if err := r.section(leg, other, length); err != nil {
		return err
	}
	if err := r.onePass(max(leg, other), positions); err != nil {
		return err
	}
	r.uncovered("whether your weld is fused, and what it bears: only a bend or break test of your own coupon tells of the first",
		"an oversized or humped face: real beads take more metal, often a tenth more leg")
	if strength == 0 {
		return nil
	}
	v, err := joint.FilletShear(min(leg, other), strength)
	if err != nil {
		return err
	}
	throat, err := joint.Throat(min(leg, other))
	if err != nil {
		return err
	}
	shear := r.add("allowable shear by the code, information only", v,
		r.equals("0.30 x electrode strength x throat", fmt.Sprintf("0.30 x %s x %s", r.stress(strength), r.in(throat)), v.Value, "N/mm"))
	if leg != other {
		shear.Note = sentence("taken on the smaller leg alone", shear.Note)
	}
	r.uncovered("bending, twist, shock and the plate beside the weld")
	r.caution(caution.Defer, "load", "Never weigh a person, a vehicle or a lift by this figure: what people depend on goes to an engineer and a licensed trade.", "CP")
	return nil
}

// smaller is the lesser leg, where there are two.
func smaller(leg, other procedures.MM) procedures.MM {
	if other == 0 {
		return leg
	}
	return min(leg, other)
}

// stress writes an electrode strength in the reader's units.
func (r *reckoning) stress(strengthKSI float64) string {
	if r.units == procedures.Metric {
		return put(strengthKSI*1000*newtonPerLbf/(procedures.MMPerInch*procedures.MMPerInch)) + " N/sq mm"
	}
	return put(strengthKSI*1000) + " lb/sq in"
}

// positions reads a position, or all of them with printed limits.
func (r *reckoning) positions(s string) []procedures.Position {
	if s == "" || r.err != nil {
		return []procedures.Position{procedures.Flat, procedures.Horizontal, procedures.VerticalUp, procedures.Overhead}
	}
	p, err := readPosition(s, r.units)
	if err != nil {
		r.err = err
		return nil
	}
	r.note("position", "", string(p), string(p))
	return []procedures.Position{p}
}

// limits answers least and largest leg, and returns them.
func (r *reckoning) limits(thinner, thicker procedures.MM, l joint.Loading) (procedures.MM, procedures.MM, error) {
	least, err := joint.MinFillet(thinner, l)
	if err != nil {
		return 0, 0, err
	}
	f := r.add("least leg", least, "table, by the thinner part: "+r.sayLength(thinner))
	f.Note = sentence("so that thick metal does not chill it; for wire and low-hydrogen electrodes", f.Note)
	most, err := joint.MaxFilletAlongEdge(thinner)
	if err != nil {
		return 0, 0, err
	}
	words := "along the edge of the thinner part: the whole edge, which is under " + r.sayLength(procedures.Inches(1.0/4))
	if most.Value < float64(thinner)-1e-6 {
		words = "along the edge of the thinner part: " + r.sayLength(thinner) + " less " + r.sayLength(thinner-procedures.MM(most.Value))
	}
	r.add("largest leg along an edge", most, words)
	if parts, err := joint.CompareThickness(thinner, thicker); err == nil && parts.Caution != "" {
		r.caution(caution.Care, "unequal", parts.Caution, "CP")
	}
	return procedures.MM(least.Value), procedures.MM(most.Value), nil
}

// section answers throat, cross-section and weld metal.
func (r *reckoning) section(leg, other, length procedures.MM) error {
	throat, err := joint.ThroatUnequal(leg, other)
	if err != nil {
		return err
	}
	area, err := joint.FilletAreaUnequal(leg, other)
	if err != nil {
		return err
	}
	words, numbers := "0.7071 x leg", "0.7071 x "+r.in(leg)
	half, halves := "leg x leg / 2", r.in(leg)+" x "+r.in(leg)+" / 2"
	if leg != other {
		words = "leg x other leg / sqrt(leg^2 + other leg^2)"
		numbers = fmt.Sprintf("%[1]s x %[2]s / sqrt((%[1]s)^2 + (%[2]s)^2)", r.in(leg), r.in(other))
		half, halves = "leg x other leg / 2", r.in(leg)+" x "+r.in(other)+" / 2"
	}
	r.add("throat", exact(float64(throat), "mm", rule("throat")), r.equals(words, numbers, float64(throat), "mm")).Note = "flat face, square corner"
	r.add("cross-section", exact(float64(area), "mm2", rule("fillet-area")), r.equals(half, halves, float64(area), "mm2"))
	return r.metal(area, length)
}

// metal answers the weld metal of a cross-section, by length where one is given.
func (r *reckoning) metal(area arc.MM2, length procedures.MM) error {
	perMetre, err := joint.MassPerMetre(area)
	if err != nil {
		return err
	}
	formula := r.equals("12 x 0.283 lb/cu in x cross-section", "12 in x 0.283 lb/cu in x "+r.area(area), perMetre, "g/m")
	if r.units == procedures.Metric {
		formula = r.equals("1000 mm x density x cross-section", "1000 mm x "+put(joint.Density)+" g/cu mm x "+r.area(area), perMetre, "g/m")
	}
	r.add("weld metal for each length", exact(perMetre, "g/m", rule("weld-weight")), formula)
	if length == 0 {
		return nil
	}
	mass, err := joint.Mass(area, length)
	if err != nil {
		return err
	}
	r.add("weld metal in all", exact(mass, "g", rule("weld-weight")), r.equals("weld metal for each length x length",
		r.quantity(perMetre, "g/m")+" x "+r.feet(length), mass, "g"))
	return nil
}

// feet is a run of weld in feet or metres.
func (r *reckoning) feet(l procedures.MM) string {
	if r.units == procedures.Metric {
		return put(float64(l)/1000) + " m"
	}
	return put(l.Inches()/12) + " ft"
}

// onePass answers the largest fillet of one pass, and the passes that it makes.
func (r *reckoning) onePass(leg procedures.MM, positions []procedures.Position) error {
	for _, p := range positions {
		most, err := joint.MaxSinglePass(p)
		if err != nil {
			return err
		}
		n, err := joint.FilletPasses(leg, procedures.MM(most.Value))
		if err != nil {
			return err
		}
		name := strings.Split(string(p), "-")[0]
		f := r.add("largest one-pass leg, "+name, most, "table, wire processes")
		f.Note = sentence(fmt.Sprintf("this leg then takes %s at the least", passes(n)), f.Note)
	}
	r.uncovered("your machine, which reaches its own limit long before the code's largest one-pass leg")
	return nil
}

// readPosition reads a position in anybody's words.
func readPosition(s string, units procedures.Units) (procedures.Position, error) {
	j := jobFlags{position: s}
	words, err := j.words(nil, units)
	if err != nil {
		return "", err
	}
	job, err := procedures.ReadJob(words, units, recommend.Lexicon())
	return job.Job.Position, err
}
