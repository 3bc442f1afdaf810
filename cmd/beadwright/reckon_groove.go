package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/joint"
)

type grooveOptions struct{ thickness, gap, angle, rootFace, capHeight, capWidth, position, length string }

func newReckonGroove(a *app) *cobra.Command {
	var o grooveOptions
	cmd := &cobra.Command{
		Use:   "groove",
		Short: "Cross-section, weld metal and layers of a square or single-V groove",
		Example: `  beadwright reckon groove --thickness 1/8 --gap 1/16
  beadwright reckon groove --thickness 1/4 --gap 1/8 --angle 60 --cap 1/16 --length 24in`,
	}
	f := cmd.Flags()
	f.StringVar(&o.thickness, "thickness", "", "of the parts: 1/4, 6mm, 11ga plain")
	f.StringVar(&o.gap, "gap", "", "root opening: 1/16 (default tight)")
	f.StringVar(&o.angle, "angle", "", "between the two bevels, in degrees: 60 (default a square groove)")
	f.StringVar(&o.rootFace, "root-face", "", "square edge left at the root of a V")
	f.StringVar(&o.capHeight, "cap", "", "height of the reinforcement: 1/16 (default flush)")
	f.StringVar(&o.capWidth, "cap-width", "", "of the reinforcement (default the groove's width at the top)")
	f.StringVar(&o.position, "position", "", "flat, horizontal, vertical up ... (default flat)")
	f.StringVar(&o.length, "length", "", "weld in all: 24in")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o grooveOptions) reckon(r *reckoning) error {
	r.need("thickness", o.thickness, "of the parts: --thickness 1/4")
	r.only("cap-width", o.capWidth, o.capHeight != "", "the cap's height too: --cap 1/16")
	t := r.thickness("thickness", o.thickness)
	v := joint.VGroove{Thickness: t, Gap: r.length("gap", o.gap), Included: r.measure("angle", o.angle, degrees), RootFace: r.length("root-face", o.rootFace),
		CapHeight: r.length("cap", o.capHeight), CapWidth: r.length("cap-width", o.capWidth)}
	length := r.distance("length", o.length)
	position := procedures.Flat
	if o.position == "" {
		r.assume("flat position")
	} else if p := r.positions(o.position); r.err == nil {
		position = p[0]
	}
	if r.err != nil {
		return r.err
	}
	area, err := o.area(r, v)
	if err != nil {
		return err
	}
	if err := r.metal(area, length); err != nil {
		return err
	}
	n, err := joint.GroovePasses(t, position)
	if err != nil {
		return err
	}
	root, err := joint.MaxRootPass(position)
	if err != nil {
		return err
	}
	fill, err := joint.MaxFillPass()
	if err != nil {
		return err
	}
	layers := exact(float64(n), "layers", data.Row{Source: arc.Together(root.Source, fill.Source), Basis: arc.Weakest(root.Basis, fill.Basis)})
	layers.Note = "the least by the code's thickest layers; a small machine lays thinner ones and needs more"
	f := r.add("layers", layers, fmt.Sprintf("a root of at most %s, then layers of at most %s", r.sayLength(procedures.MM(root.Value)), r.sayLength(procedures.MM(fill.Value))))
	f.Text = counted(int(n), "layer")
	r.uncovered("whether the root is fused through: bend a coupon of the same groove", "shrinkage, which closes the gap ahead of the arc: tack first")
	r.firstComes()
	return nil
}

// area answers the cross-section and the width at the top.
func (o grooveOptions) area(r *reckoning, v joint.VGroove) (arc.MM2, error) {
	if v.Included == 0 {
		if v.RootFace != 0 {
			return 0, procedures.Invalid("root-face", o.rootFace, "a square groove has none", "for a V, give the angle: --angle 60")
		}
		return o.square(r, v)
	}
	width, err := v.Width()
	if err != nil {
		return 0, err
	}
	area, err := v.Area()
	if err != nil {
		return 0, err
	}
	deep := v.Thickness - v.RootFace
	words := "thickness x gap + depth^2 x tan(angle / 2)"
	numbers := fmt.Sprintf("%s x %s + (%s)^2 x tan(%s / 2)", r.in(v.Thickness), r.in(v.Gap), r.in(deep), put(v.Included))
	if v.CapHeight != 0 {
		top := v.CapWidth
		if top == 0 {
			top = width
		}
		words += " + 2/3 x cap width x cap height"
		numbers += fmt.Sprintf(" + 2 / 3 x %s x %s", r.in(top), r.in(v.CapHeight))
	}
	r.add("width at the top", exact(float64(width), "mm", data.Row{Source: []string{"MATH"}, Basis: data.Computed}),
		r.equals("gap + 2 x depth x tan(angle / 2)", fmt.Sprintf("%s + 2 x %s x tan(%s / 2)", r.in(v.Gap), r.in(deep), put(v.Included)), float64(width), "mm"))
	r.add("cross-section", exact(float64(area), "mm2", rule("v-groove-area")), r.equals(words, numbers, float64(area), "mm2"))
	return area, nil
}

func (o grooveOptions) square(r *reckoning, v joint.VGroove) (arc.MM2, error) {
	area, err := joint.SquareArea(v.Thickness, v.Gap)
	if err != nil {
		return 0, err
	}
	words, numbers := "thickness x gap", r.in(v.Thickness)+" x "+r.in(v.Gap)
	if v.CapHeight != 0 {
		if v.CapWidth == 0 {
			return 0, procedures.Invalid("cap-width", "", "how wide is the cap of a square groove?", "measure it across the bead: --cap-width 1/4")
		}
		top, err := joint.CapArea(v.CapWidth, v.CapHeight)
		if err != nil {
			return 0, err
		}
		area += top
		words, numbers = words+" + 2/3 x cap width x cap height", numbers+fmt.Sprintf(" + 2 / 3 x %s x %s", r.in(v.CapWidth), r.in(v.CapHeight))
	}
	if area == 0 {
		return 0, procedures.Invalid("gap", o.gap, "a tight square groove without a cap has no room for weld metal", "give a gap or a cap: --gap 1/16, --cap 1/16 --cap-width 1/4")
	}
	r.add("cross-section", exact(float64(area), "mm2", rule("v-groove-area")), r.equals(words, numbers, float64(area), "mm2"))
	return area, nil
}
