package recommend_test

import (
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/joint"
)

func init() {
	teach(map[string]func(in *inputs) any{
		"flaw": func(in *inputs) any {
			mm := func(name string) procedures.MM { return procedures.MM(in.or(name, 0)) }
			f := joint.Flaw{Undercut: mm("undercut_mm"), Convexity: mm("convexity_mm"), Leg: mm("leg_mm"), Thickness: mm("thickness_mm"), Throat: mm("throat_mm"),
				Face: mm("face_mm"), Asked: mm("asked_mm"), Weld: procedures.Fillet}
			if in.has("loading") {
				f.Loading = joint.Loading(in.s("loading"))
			}
			f.Across = in.has("across") && in.yes("across")
			f.Crack = in.has("crack") && in.yes("crack")
			if in.has("butt") && in.yes("butt") {
				f.Weld = procedures.SquareGroove
			}
			if in.has("pores_mm") {
				for _, v := range in.any("pores_mm").([]any) {
					f.Pores = append(f.Pores, procedures.MM(v.(float64)))
				}
			}
			var said []string
			for _, j := range must[[]joint.Judged](in)(joint.Judge(f)) {
				by := strings.TrimPrefix(strings.TrimPrefix(j.By, "AWS "), "ISO 5817 level ")
				switch {
				case !j.Within:
					said = append(said, by+" over")
				case j.Short:
					said = append(said, by+" short")
				default:
					said = append(said, by+" within")
				}
			}
			return strings.Join(said, ", ")
		},
	})
}
