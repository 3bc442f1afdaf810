package joint_test

import (
	"math"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/joint"

	"pgregory.net/rapid"
)

func TestThroatAndArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := procedures.MM(rapid.Float64Range(0.5, 90).Draw(t, "a"))
		b := procedures.MM(rapid.Float64Range(0.5, 90).Draw(t, "b"))
		throat, err := joint.ThroatUnequal(a, b)
		if err != nil {
			t.Fatal(err)
		}
		area, err := joint.FilletAreaUnequal(a, b)
		if err != nil {
			t.Fatal(err)
		}
		// Twice the triangle's area is its long side times the height on it.
		if got := float64(throat) * math.Hypot(float64(a), float64(b)); math.Abs(got-2*float64(area)) > 1e-9*got {
			t.Errorf("throat %v and area %v of %v x %v", throat, area, a, b)
		}
		if throat > min(a, b) {
			t.Errorf("throat %v over the shorter of %v and %v", throat, a, b)
		}
		equal, _ := joint.Throat(min(a, 90))
		leg, err := joint.LegForThroat(equal)
		if err == nil && math.Abs(float64(leg-a)) > 1e-9 {
			t.Errorf("leg %v came back as %v", a, leg)
		}
	})
}

func TestVGroove(t *testing.T) {
	// 1/4 in, 60 degrees, 1/8 in gap, flush: rectangle and two triangles.
	v := joint.VGroove{Thickness: in(0.25), Gap: in(0.125), Included: 60}
	area, err := v.Area()
	want := 0.25*0.125 + 0.25*0.25*math.Tan(math.Pi/6)
	if err != nil || math.Abs(area.SquareInches()-want) > 1e-12 {
		t.Errorf("area %v, %v, want %v", area.SquareInches(), err, want)
	}
	width, err := v.Width()
	if err != nil || math.Abs(width.Inches()-(0.125+0.5*math.Tan(math.Pi/6))) > 1e-12 {
		t.Errorf("width %v, %v", width.Inches(), err)
	}
	// A cap as wide as the groove adds two thirds of its rectangle.
	v.CapHeight = in(1.0 / 16)
	capped, err := v.Area()
	if err != nil || math.Abs(float64(capped-area)-float64(width)*float64(in(1.0/16))*2/3) > 1e-9 {
		t.Errorf("cap adds %v, %v", capped-area, err)
	}
	// A root face takes metal away.
	v.RootFace = in(1.0 / 16)
	faced, err := v.Area()
	if err != nil || faced >= capped {
		t.Errorf("with a root face %v, %v", faced, err)
	}
	for what, w := range map[string]joint.VGroove{
		"no thickness": {Included: 60}, "no angle": {Thickness: 6}, "flat angle": {Thickness: 6, Included: 170},
		"gap": {Thickness: 6, Included: 60, Gap: 30}, "not a number": {Thickness: procedures.MM(math.NaN()), Included: 60},
		"root face through": {Thickness: 6, Included: 60, RootFace: 6}, "root face below": {Thickness: 6, Included: 60, RootFace: -1},
		"cap": {Thickness: 6, Included: 60, CapHeight: 30}, "cap width": {Thickness: 6, Included: 60, CapHeight: 1, CapWidth: 900},
	} {
		refused(t, what, second(w.Area()))
	}
	refused(t, "width", second(joint.VGroove{}.Width()))
}

func TestGrooveNeverShrinks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := joint.VGroove{Thickness: procedures.MM(rapid.Float64Range(1, 40).Draw(t, "t")), Gap: procedures.MM(rapid.Float64Range(0, 6).Draw(t, "gap")), Included: rapid.Float64Range(20, 100).Draw(t, "angle")}
		more := rapid.Float64Range(1, 1.4).Draw(t, "more")
		a, err := v.Area()
		if err != nil {
			t.Fatal(err)
		}
		thick, wide, open := v, v, v
		thick.Thickness *= procedures.MM(more)
		wide.Included *= more
		open.Gap *= procedures.MM(more)
		for what, w := range map[string]joint.VGroove{"thicker": thick, "wider": wide, "gappier": open} {
			b, err := w.Area()
			if err != nil || b < a-1e-9 {
				t.Errorf("%s: %v after %v, %v", what, b, a, err)
			}
		}
	})
}

// Thicker metal never lets a smaller fillet pass, and every band includes its upper end.
func TestMinFilletRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := procedures.MM(rapid.Float64Range(0.1, 300).Draw(t, "a"))
		b := procedures.MM(rapid.Float64Range(0.1, 300).Draw(t, "b"))
		a, b = min(a, b), max(a, b)
		l := rapid.SampledFrom([]joint.Loading{joint.Static, joint.Cyclic}).Draw(t, "load")
		va, errA := joint.MinFillet(a, l)
		vb, errB := joint.MinFillet(b, l)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		sound(t, "min fillet", va)
		if va.Value > vb.Value+1e-9 || va.Value > float64(a)+1e-9 {
			t.Errorf("%v mm: %v, %v mm: %v", a, va.Value, b, vb.Value)
		}
		ma, errA := joint.MaxFilletAlongEdge(a)
		if errA != nil || ma.Value > float64(a)+1e-9 || ma.Value <= 0 {
			t.Errorf("along an edge of %v mm: %v, %v", a, ma.Value, errA)
		}
	})
	// From 6 mm the metric text takes 2 mm off, from 1/4 in (6.35 mm) the inch text 1/16 in (AISC 360 J2.2b).
	for edge, note := range map[procedures.MM]string{5.9: "leg up to the thickness", 6: "6 mm and takes 2 mm off: 4 mm", 6.3: "takes 2 mm off: 4.3 mm", in(0.25): "built out"} {
		if v, err := joint.MaxFilletAlongEdge(edge); err != nil || !strings.Contains(v.Note, note) {
			t.Errorf("along an edge of %v mm: %+v, %v", edge, v, err)
		}
	}
	// One thousandth of an inch past a band's end is the next band (D1.1 Table 7.7).
	for _, c := range []struct{ t, leg float64 }{{0.25, 0.125}, {0.251, 0.1875}, {0.5, 0.1875}, {0.501, 0.25}, {0.75, 0.25}, {0.751, 0.3125}} {
		v, err := joint.MinFillet(in(c.t), joint.Static)
		if err != nil || math.Abs(v.Value-float64(in(c.leg))) > 1e-9 {
			t.Errorf("%v in: %v, %v", c.t, v.Value, err)
		}
	}
}

func TestSizeErrors(t *testing.T) {
	for _, v := range bad {
		mm := procedures.MM(v)
		for what, err := range map[string]error{
			"throat": second(joint.Throat(mm)), "legs": second(joint.ThroatUnequal(5, mm)), "leg for throat": second(joint.LegForThroat(mm)),
			"fillet": second(joint.FilletArea(mm)), "fillets": second(joint.FilletAreaUnequal(mm, 5)), "square": second(joint.SquareArea(mm, 1)),
			"bevel": second(joint.BevelArea(mm, 30)), "bevel angle": second(joint.BevelArea(5, v)), "cap": second(joint.CapArea(mm, 1)),
			"min": second(joint.MinFillet(mm, joint.Static)), "max": second(joint.MaxFilletAlongEdge(mm)), "length": second(joint.MinFilletLength(mm, true)),
			"convexity": second(joint.ConvexityLimit(mm)), "compare": second(joint.CompareThickness(mm, 3)), "compare other": second(joint.CompareThickness(3, mm)),
			"shear": second(joint.FilletShear(mm, 70)), "strength": second(joint.FilletShear(5, v)), "butt stress": second(joint.ButtLoad(v, 5, 100, 80)),
			"butt t": second(joint.ButtLoad(90, mm, 100, 80)), "butt length": second(joint.ButtLoad(90, 5, mm, 80)), "butt efficiency": second(joint.ButtLoad(90, 5, 100, procedures.Percent(v))),
			"groove passes": second(joint.GroovePasses(mm, procedures.Flat)), "passes": second(joint.Passes(arc.MM2(v), 10)), "bead": second(joint.Passes(10, arc.MM2(v))),
			"fillet passes": second(joint.FilletPasses(mm, 5)), "one pass": second(joint.FilletPasses(5, mm)),
		} {
			refused(t, what, err)
		}
		if v != 0 {
			refused(t, "gap", second(joint.SquareArea(5, mm)))
			refused(t, "cap height", second(joint.CapArea(5, mm)))
		}
	}
	refused(t, "loading", second(joint.MinFillet(5, "heavy")))
	for _, f := range []func(procedures.Position) (arc.Value, error){joint.MaxSinglePass, joint.MaxRootPass} {
		refused(t, "position", second(f("sideways")))
	}
	refused(t, "position", second(joint.GroovePasses(5, "")))
	refused(t, "too many passes", second(joint.Passes(1e5, 1)))
}

func TestPasses(t *testing.T) {
	for _, c := range []struct {
		total, bead arc.MM2
		want        procedures.Count
	}{{10, 10, 1}, {10.000001, 10, 1}, {10.1, 10, 2}, {1, 10, 1}, {30, 10, 3}, {0.01, 500, 1}} {
		if n, err := joint.Passes(c.total, c.bead); err != nil || n != c.want {
			t.Errorf("%v by %v: %v, %v, want %v", c.total, c.bead, n, err, c.want)
		}
	}
	// A large fillet of small beads goes by area: 1/2 in legs from 1/4 in legs is four.
	if n, err := joint.FilletPasses(in(0.5), in(0.25)); err != nil || n != 4 {
		t.Errorf("%v, %v", n, err)
	}
	if n, err := joint.FilletPasses(100, 100); err != nil || n != 1 {
		t.Errorf("%v, %v", n, err)
	}
}

func TestCompareThickness(t *testing.T) {
	for _, c := range []struct {
		a, b, ratio float64
		words       bool
	}{{3, 3, 1, false}, {3, 4.4, 4.4 / 3, false}, {3, 4.5, 1.5, true}, {6, 2, 3, true}} {
		v, err := joint.CompareThickness(procedures.MM(c.a), procedures.MM(c.b))
		if err != nil || math.Abs(v.Ratio-c.ratio) > 1e-12 || v.Thinner > v.Thicker || (v.Caution != "") != c.words {
			t.Errorf("%v and %v: %+v, %v", c.a, c.b, v, err)
		}
	}
	some, _ := joint.CompareThickness(3, 4.5)
	much, _ := joint.CompareThickness(2, 6)
	if some.Caution == much.Caution {
		t.Error("three times as thick is said like one and a half times")
	}
}

func TestLoadsCarryTheirCaution(t *testing.T) {
	shear, err := joint.FilletShear(in(0.125), 70)
	if err != nil || math.Abs(shear.Value*25.4/4.4482216152605-1856) > 1 { // 0.7071*0.125*0.30*70000
		t.Errorf("%+v, %v", shear, err)
	}
	butt, err := joint.ButtLoad(90, 6, 100, 80)
	if err != nil || butt.Value != 43200 {
		t.Errorf("%+v, %v", butt, err)
	}
	for _, v := range []arc.Value{shear, butt} {
		sound(t, "load", v)
		if v.Note == "" {
			t.Error("a load without its caution")
		}
	}
}

func TestConvexityBands(t *testing.T) {
	for _, c := range []struct{ face, limit float64 }{{0.1, 1. / 16}, {5. / 16, 1. / 16}, {0.3126, 1. / 8}, {0.9999, 1. / 8}, {1, 3. / 16}, {6, 3. / 16}} {
		v, err := joint.ConvexityLimit(in(c.face))
		if err != nil || math.Abs(v.Value-float64(in(c.limit))) > 1e-9 {
			t.Errorf("%v in: %v, %v", c.face, v.Value, err)
		}
	}
}

func TestPassLimits(t *testing.T) {
	// Vertical up and down share a row, and every limit names its source (D1.1 Table 5.1).
	up, err := joint.MaxSinglePass(procedures.VerticalUp)
	if err != nil || math.Abs(up.Value-12.7) > 1e-9 {
		t.Errorf("%+v, %v", up, err)
	}
	down, _ := joint.MaxSinglePass(procedures.VerticalDown)
	if down.Value != up.Value {
		t.Errorf("up %v, down %v", up.Value, down.Value)
	}
	for _, p := range procedures.Positions() {
		for _, f := range []func(procedures.Position) (arc.Value, error){joint.MaxSinglePass, joint.MaxRootPass} {
			v, err := f(p)
			if err != nil {
				t.Errorf("%s: %v", p, err)
			}
			sound(t, string(p), v)
		}
	}
	// 3/8 in root, then 1/4 in a layer: 7/8 in flat is a root and two fills, a hair more is three.
	for d, want := range map[float64]procedures.Count{0.0625: 1, 0.375: 1, 0.376: 2, 0.875: 3, 0.876: 4} {
		if n, err := joint.GroovePasses(in(d), procedures.Flat); err != nil || n != want {
			t.Errorf("%v in: %v, %v, want %v", d, n, err, want)
		}
	}
}

func TestMinFilletLength(t *testing.T) {
	for _, c := range []struct {
		leg  procedures.MM
		part bool
		want float64
	}{{5, false, 20}, {5, true, 38}, {12, true, 48}} {
		if v, err := joint.MinFilletLength(c.leg, c.part); err != nil || v.Value != c.want {
			t.Errorf("%+v: %v, %v", c, v.Value, err)
		}
	}
}
