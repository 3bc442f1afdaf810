package main

import (
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/joint"
)

type flawOptions struct {
	undercut, convexity, face, leg, asked, throat, thickness, loading string
	pores                                                             []string
	crack, butt, across                                               bool
}

func newReckonFlaw(a *app) *cobra.Command {
	var o flawOptions
	cmd := &cobra.Command{
		Use:   "flaw",
		Short: "A measured flaw against the limits of AWS D1.1 and ISO 5817",
		Long: `Hold what you measured against the visual limits of AWS D1.1 and the three levels
of ISO 5817 (D moderate, C intermediate, B strict), each with its edition. A fillet
unless --butt is said. A limit of looks says nothing of what the weld will bear.`,
		Example: `  beadwright reckon flaw --undercut 0.5mm --thickness 1/8
  beadwright reckon flaw --pore 1/16 --pore 1/32 --thickness 3/16 --asked-leg 3/16
  beadwright reckon flaw --convexity 1/16 --face 1/4`,
	}
	f := cmd.Flags()
	f.StringVar(&o.undercut, "undercut", "", "depth of the groove along the toe: 0.5mm")
	f.StringArrayVar(&o.pores, "pore", nil, "width of a pore in the worst inch; may be repeated")
	f.StringVar(&o.convexity, "convexity", "", "how far the face stands over the line from toe to toe")
	f.StringVar(&o.leg, "leg", "", "the smallest measured leg")
	f.BoolVar(&o.crack, "crack", false, "a crack, of any length")
	f.StringVar(&o.thickness, "thickness", "", "of the thinner part, for undercut and pores: 1/8")
	f.StringVar(&o.face, "face", "", "width of the face, toe to toe, for convexity")
	f.StringVar(&o.asked, "asked-leg", "", "leg asked for, for --leg; and for pores of a fillet, whose throat it gives")
	f.StringVar(&o.throat, "throat", "", "throat of the fillet, for pores")
	f.StringVar(&o.loading, "loading", "", "static, or cyclic where the load comes and goes (default static)")
	f.BoolVar(&o.across, "across", false, "the weld lies across the pull (with --loading cyclic)")
	f.BoolVar(&o.butt, "butt", false, "a butt weld, not a fillet")
	return a.sum(cmd, func(r *reckoning) error { return o.reckon(r) })
}

func (o flawOptions) reckon(r *reckoning) error {
	flaw := joint.Flaw{Crack: o.crack, Across: o.across, Loading: joint.Loading(strings.ToLower(o.loading)), Weld: procedures.Fillet}
	if o.butt {
		flaw.Weld = procedures.SquareGroove
	}
	if o.undercut == "" && len(o.pores) == 0 && o.convexity == "" && o.leg == "" && !o.crack {
		r.need("undercut", "", "what did you measure? --undercut 0.5mm, --pore 1/16, --convexity 1/16, --leg 1/8 or --crack")
	}
	if o.undercut != "" || len(o.pores) > 0 {
		r.need("thickness", o.thickness, "the thickness of the thinner part: --thickness 1/8")
	}
	if o.convexity != "" {
		r.need("face", o.face, "the width of the face, toe to toe: --face 1/4")
	}
	if o.leg != "" {
		r.need("asked-leg", o.asked, "the leg that was asked for: --asked-leg 1/8")
	}
	if len(o.pores) > 0 && !o.butt && o.throat == "" {
		r.need("asked-leg", o.asked, "the leg of the fillet, or its throat: --asked-leg 1/8", "or say --butt")
	}
	r.only("face", o.face, o.convexity != "", "it goes with --convexity 1/16")
	r.only("asked-leg", o.asked, o.leg != "" || len(o.pores) > 0, "it goes with --leg 1/8 or --pore 1/16")
	r.only("throat", o.throat, len(o.pores) > 0 && !o.butt, "it goes with --pore 1/16")
	r.only("loading", o.loading, o.undercut != "" || len(o.pores) > 0, "it goes with --undercut 0.5mm or --pore 1/16")
	flaw.Undercut, flaw.Convexity, flaw.Leg = r.length("undercut", o.undercut), r.length("convexity", o.convexity), r.length("leg", o.leg)
	flaw.Thickness, flaw.Face, flaw.Asked, flaw.Throat = r.thickness("thickness", o.thickness), r.length("face", o.face), r.length("asked-leg", o.asked), r.length("throat", o.throat)
	said := make([]string, len(o.pores))
	for i, p := range o.pores {
		d, err := procedures.ParseLength("pore", p, r.units)
		if err != nil {
			return err
		}
		flaw.Pores, said[i] = append(flaw.Pores, d), r.sayLength(d)
	}
	if r.err != nil {
		return r.err
	}
	if len(flaw.Pores) > 0 {
		r.note("pores", "mm", flaw.Pores, strings.Join(said, ", "))
	}
	if flaw.Crack {
		r.note("crack", "", true, "of any length")
	}
	if (flaw.Undercut > 0 || len(flaw.Pores) > 0) && o.loading == "" {
		r.assume("a load that stays (static)")
	}
	judged, err := joint.Judge(flaw)
	if err != nil {
		return err
	}
	for _, j := range judged {
		r.judge(j)
	}
	r.uncovered(flaw.LeftOut()...)
	r.uncovered("whether it is fused inside: only a bend or break test of your own coupon tells", "what the weld will bear: these limits are of looks",
		"cracks and pores that do not reach the surface")
	r.caution(caution.Defer, "limits", "These are limits for inspectors with the whole standard in hand. Check a copy before you use one as a limit, and what people depend on goes to an engineer and a licensed trade.", "CP")
	if flaw.Crack {
		r.caution(caution.Care, "crack", "Grind a crack out to its end before you weld there again: welded over, it runs on underneath.", "CP")
	}
	return nil
}

// judge puts down one flaw against one limit, edition named.
func (r *reckoning) judge(j joint.Judged) {
	limit := r.sayLength(procedures.MM(j.Limit.Value))
	text := "over the limit of " + limit
	switch {
	case j.Since != "":
		text = j.Since
	case j.Limit.Value == 0:
		text = "not permitted"
	case j.Within && j.Short:
		text = "within " + limit + ", over short lengths only"
	case j.Within:
		text = "within the limit of " + limit
	}
	v := j.Limit
	v.Note = j.Why
	if strings.HasPrefix(j.By, "ISO") && j.Why != "" && j.Limit.Value > 0 {
		text += "; " + j.Why
	}
	f := r.words(j.Flaw+" by "+j.By+" ("+edition(j.Limit.Source)+")", text, v, "")
	f.Value, f.Within = limitValue(j), &j.Within
}

func limitValue(j joint.Judged) *float64 {
	if j.Limit.Value == 0 {
		return nil
	}
	v := procedures.Round(j.Limit.Value)
	return &v
}

// edition names the editions behind a limit; for a row from memory that it is so.
func edition(ids []string) string {
	var parts []string
	for _, id := range ids {
		if s := data.Sources()[id]; s.Edition != "" {
			parts = append(parts, s.Edition)
		} else {
			parts = append(parts, "from memory")
		}
	}
	return strings.Join(parts, "; ")
}
