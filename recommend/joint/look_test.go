package joint_test

import (
	"math"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/joint"

	"pgregory.net/rapid"
)

func pore(at, wide float64) joint.Pore { return joint.Pore{At: in(at), Diameter: in(wide)} }

// The window slides: pores that no fixed inch holds together still count together.
func TestPorosityWindowSlides(t *testing.T) {
	across := []joint.Pore{pore(0.8, 0.2), pore(1.2, 0.2)} // inches 0-1 and 1-2 hold one each
	v, err := joint.Porosity(across, procedures.US)
	if err != nil || v.Pass || !strings.Contains(v.Why, "in 1 in") {
		t.Errorf("%+v, %v", v, err)
	}
	apart := []joint.Pore{pore(0.5, 0.2), pore(1.6, 0.2)}
	if v, err := joint.Porosity(apart, procedures.US); err != nil || !v.Pass {
		t.Errorf("%+v, %v", v, err)
	}
	// Over 12 in: five of 0.16 in, no two within an inch, add to 0.8 in.
	var row []joint.Pore
	for k := range 5 {
		row = append(row, pore(2*float64(k), 0.16))
	}
	if v, _ := joint.Porosity(row, procedures.US); v.Pass || !strings.Contains(v.Why, "in 12 in") {
		t.Errorf("%+v", v)
	}
	row[4].At = in(12.5)
	if v, _ := joint.Porosity(row, procedures.US); !v.Pass {
		t.Errorf("%+v", v)
	}
	if v, err := joint.Porosity(nil, procedures.US); err != nil || !v.Pass {
		t.Errorf("no pores: %+v, %v", v, err)
	}
}

// More pores never turn a failure into a pass, and their order does not matter.
func TestPorosityProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gen := rapid.Custom(func(t *rapid.T) joint.Pore {
			return joint.Pore{At: procedures.MM(rapid.Float64Range(0, 600).Draw(t, "at")), Diameter: procedures.MM(rapid.Float64Range(0.1, 6).Draw(t, "d"))}
		})
		pores := rapid.SliceOfN(gen, 1, 12).Draw(t, "pores")
		units := rapid.SampledFrom([]procedures.Units{procedures.US, procedures.Metric}).Draw(t, "units")
		fewer, err := joint.Porosity(pores[1:], units)
		if err != nil {
			t.Fatal(err)
		}
		all, _ := joint.Porosity(pores, units)
		if !fewer.Pass && all.Pass {
			t.Error("a further pore made it pass")
		}
		turned := append(append([]joint.Pore{}, pores[1:]...), pores[0])
		if again, _ := joint.Porosity(turned, units); again.Pass != all.Pass {
			t.Error("the order matters")
		}
	})
}

func TestVerdictErrors(t *testing.T) {
	for _, v := range bad {
		mm := procedures.MM(v)
		if v != 0 {
			for what, err := range map[string]error{
				"at": second(joint.Porosity([]joint.Pore{{At: mm, Diameter: 1}}, procedures.US)), "largest": second(joint.BendTest(joint.Bend{Largest: mm})),
				"sum": second(joint.BendTest(joint.Bend{Sum: mm})), "corner": second(joint.BendTest(joint.Bend{Corner: mm})),
				"break": second(joint.FilletBreak(joint.Break{Largest: mm})), "break sum": second(joint.FilletBreak(joint.Break{Sum: mm})),
			} {
				refused(t, what, err)
			}
		}
		refused(t, "pore", second(joint.Porosity([]joint.Pore{{At: 1, Diameter: mm}}, procedures.US)))
		refused(t, "undercut", second(joint.UndercutLimit(mm, joint.Static, false)))
		refused(t, "undersize", second(joint.UndersizeAllowed(mm)))
		refused(t, "thickness", second(joint.Imperfection("502", procedures.VGroove, "D", mm, 5)))
		refused(t, "size", second(joint.Imperfection("502", procedures.VGroove, "D", 5, mm)))
	}
	refused(t, "loading", second(joint.UndercutLimit(5, "", false)))
}

// Readings at a limit pass, one step over fail: D1.1 4.8.3.3 and 4.31.4.1.
func TestLimitsAreInclusive(t *testing.T) {
	step := in(0.001)
	for _, c := range []struct {
		bend  joint.Bend
		pass  bool
		again bool
	}{
		{joint.Bend{Largest: in(0.125), Sum: in(0.375), Corner: in(0.25)}, true, false},
		{joint.Bend{Largest: in(0.125) + step}, false, false},
		{joint.Bend{Sum: in(0.375) + step}, false, false},
		{joint.Bend{Corner: in(0.25) + step}, false, true},
		{joint.Bend{Corner: in(0.125), CornerFromFlaw: true}, true, false},
		{joint.Bend{Corner: in(0.125) + step, CornerFromFlaw: true}, false, false},
	} {
		v, err := joint.BendTest(c.bend)
		if err != nil || v.Pass != c.pass || v.Again != c.again || v.Why == "" {
			t.Errorf("%+v: %+v, %v", c.bend, v, err)
		}
	}
	for _, c := range []struct {
		b    joint.Break
		pass bool
	}{
		{joint.Break{}, true},
		{joint.Break{Broke: true, RootFused: true, Largest: in(3.0 / 32), Sum: in(0.375)}, true},
		{joint.Break{Broke: true, RootFused: true, Largest: in(3.0/32) + step}, false},
		{joint.Break{Broke: true, RootFused: true, Sum: in(0.375) + step}, false},
		{joint.Break{Broke: true}, false},
	} {
		v, err := joint.FilletBreak(c.b)
		if err != nil || v.Pass != c.pass || v.Why == "" {
			t.Errorf("%+v: %+v, %v", c.b, v, err)
		}
	}
}

func TestUndercutLimit(t *testing.T) {
	for _, c := range []struct {
		t      float64
		l      joint.Loading
		across bool
		want   float64
	}{{0.125, joint.Static, false, 1. / 32}, {0.999, joint.Static, true, 1. / 32}, {1, joint.Static, false, 1. / 16}, {1.5, joint.Cyclic, true, 0.01}, {0.5, joint.Cyclic, false, 1. / 32}} {
		v, err := joint.UndercutLimit(in(c.t), c.l, c.across)
		if err != nil || math.Abs(v.Value-float64(in(c.want))) > 1e-9 {
			t.Errorf("%+v: %v, %v", c, v.Value, err)
		}
		sound(t, "undercut", v)
	}
}

func TestImperfection(t *testing.T) {
	// The cap holds, the thickness band flips just over 3 mm, and a better level
	// never lets more pass.
	wide, err := joint.Imperfection("502", procedures.VGroove, "D", 6, 300)
	if err != nil || wide.Value.Value != 10 {
		t.Errorf("%+v, %v", wide, err)
	}
	thin, _ := joint.Imperfection("5011", procedures.Fillet, "D", 3, 0)
	over, _ := joint.Imperfection("5011", procedures.Fillet, "D", 3.0001, 0)
	if thin.Rule != "short" || over.Rule != "limit" {
		t.Errorf("%q at 3 mm, %q over it", thin.Rule, over.Rule)
	}
	for _, number := range []string{"502", "504", "5012", "2017"} {
		var last float64
		for _, level := range []string{"B", "C", "D"} {
			l, err := joint.Imperfection(number, procedures.VGroove, level, 8, 8)
			if err != nil || l.Value.Value < last || l.Name == "" {
				t.Errorf("%s level %s: %+v, %v", number, level, l, err)
			}
			last = l.Value.Value
			sound(t, number, l.Value)
		}
	}
	outside(t, "foil", second(joint.Imperfection("502", procedures.VGroove, "D", 0.4, 5)))
	for _, c := range [][2]string{{"999", "D"}, {"502", "A"}, {"", ""}, {"501", "D"}} {
		refused(t, "row", second(joint.Imperfection(c[0], procedures.VGroove, c[1], 6, 5)))
	}
	refused(t, "butt rule on a fillet", second(joint.Imperfection("502", procedures.Fillet, "D", 6, 5)))
}

// A printed range never claims more than the percentages allow.
func TestRangeRoundsInward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(1, 1000).Draw(t, "v")
		pct := rapid.Float64Range(1, 30).Draw(t, "pct")
		step := rapid.SampledFrom([]float64{0, 0.1, 0.5, 1, 5}).Draw(t, "step")
		low, high, err := joint.RangeAround(v, -pct, pct, step)
		if err != nil {
			t.Fatal(err)
		}
		if low < v*(1-pct/100)-1e-6 || high > v*(1+pct/100)+1e-6 || low > high {
			t.Errorf("%v +-%v %% by %v: %v to %v", v, pct, step, low, high)
		}
	})
	if low, high, err := joint.RangeAround(7.3, -1, 1, 5); err != nil || low != 7.3 || high != 7.3 {
		t.Errorf("nothing between the steps: %v to %v, %v", low, high, err)
	}
	for _, v := range bad {
		_, _, err := joint.RangeAround(v, -10, 10, 1)
		refused(t, "value", err)
		refused(t, "value", second(joint.ProcedureRange("current", v, 1)))
		if v != 0 {
			_, _, err = joint.RangeAround(100, -10, 10, v)
			refused(t, "step", err)
		}
	}
	for _, p := range []float64{1, -100, math.NaN()} {
		_, _, err := joint.RangeAround(100, p, 10, 1)
		refused(t, "lower", err)
	}
	_, _, err := joint.RangeAround(100, -10, -1, 1)
	refused(t, "upper", err)
	for _, name := range []string{"", "polarity", "temperature"} {
		refused(t, name, second(joint.ProcedureRange(name, 100, 1)))
	}
}

// Undersize allowances go with the legs that D1.1 Table 6.1 names; a leg between
// two of them takes the smaller.
func TestUndersizeAllowed(t *testing.T) {
	for _, c := range []struct{ leg, want float64 }{{0.125, 1. / 16}, {0.1875, 1. / 16}, {0.24, 1. / 16}, {0.25, 3. / 32}, {0.3, 3. / 32}, {0.3125, 1. / 8}, {0.5, 1. / 8}} {
		v, err := joint.UndersizeAllowed(in(c.leg))
		if err != nil || math.Abs(v.Value-float64(in(c.want))) > 1e-9 {
			t.Errorf("%v in: %v, %v", c.leg, v.Value, err)
		}
		sound(t, "undersize", v)
	}
}

// D1.1:2015 Table 4.5: current and wire speed 10 %, voltage 7 %, travel 25 %.
func TestProcedureRange(t *testing.T) {
	for _, c := range []struct {
		variable              string
		value, step, low, top float64
	}{{"current", 234.8, 1, 212, 258}, {"voltage", 27.9, 0.1, 26, 29.8}, {"wire speed", 150, 1, 135, 165}, {"travel speed", 10, 0.5, 7.5, 12.5}} {
		v, err := joint.ProcedureRange(c.variable, c.value, c.step)
		if err != nil || math.Abs(v.Low-c.low) > 1e-9 || math.Abs(v.High-c.top) > 1e-9 || v.Note == "" {
			t.Errorf("%s: %+v, %v", c.variable, v, err)
		}
		sound(t, c.variable, v)
	}
}
