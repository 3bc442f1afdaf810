package joint_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/joint"

	"pgregory.net/rapid"
)

// Metal, wire and time hang together: rate times arc time is the weld metal, and
// wire is never less than weld metal.
func TestMetalProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		area := arc.MM2(rapid.Float64Range(0.5, 400).Draw(t, "area"))
		long := procedures.MM(rapid.Float64Range(10, 50000).Draw(t, "length"))
		rate := rapid.Float64Range(0.1, 5).Draw(t, "kg/h")
		eff := procedures.Percent(rapid.Float64Range(40, 100).Draw(t, "eff"))
		g, err := joint.Mass(area, long)
		if err != nil {
			t.Fatal(err)
		}
		wire, err := joint.WireNeeded(g, eff)
		if err != nil || wire < g*(1-1e-12) {
			t.Errorf("wire %v for %v g, %v", wire, g, err)
		}
		s, err := joint.ArcTime(g, rate)
		if err != nil || math.Abs(rate*1000/3600*float64(s)-g) > 1e-9*g {
			t.Errorf("%v s for %v g, %v", s, g, err)
		}
		perMetre, _ := joint.MassPerMetre(area)
		if math.Abs(perMetre*float64(long)/1000-g) > 1e-9*g {
			t.Errorf("%v g/m, %v g", perMetre, g)
		}
		total, err := joint.TotalTime(s, 25)
		switch {
		case s < 0.1 || s > 3.6e6: // 0.1 s to 1000 h
			if err == nil {
				t.Errorf("%v s of arc accepted: %v", s, total)
			}
		default:
			if err != nil || math.Abs(float64(total-4*s)) > 1e-9*float64(total) {
				t.Errorf("total %v, %v", total, err)
			}
		}
	})
}

func TestSpoolLeft(t *testing.T) {
	s, err := joint.SpoolLeft(900, 200, 3.5, 4) // 700 g of wire at 3.5 g/m and 4 m/min
	if err != nil || s.Grams != 700 || s.Metres != 200 || s.ArcTime != 3000 {
		t.Errorf("%+v, %v", s, err)
	}
	bare, err := joint.SpoolLeft(700, 0, 3.5, 4)
	if err != nil || bare.Grams != 700 {
		t.Errorf("%+v, %v", bare, err)
	}
	refused(t, "empty reel heavier than the whole", second(joint.SpoolLeft(200, 900, 3.5, 4)))
}

func TestCosts(t *testing.T) {
	if v, err := joint.DepositPerHour(2, 45); err != nil || v != 0.9 {
		t.Errorf("%v, %v", v, err)
	}
	if v, err := joint.LabourPerKg(45, 2, 30); err != nil || math.Abs(v-75) > 1e-9 {
		t.Errorf("%v, %v", v, err)
	}
	if v, err := joint.ElectrodePerKg(8, 80); err != nil || v != 10 {
		t.Errorf("%v, %v", v, err)
	}
}

func TestMetalErrors(t *testing.T) {
	for _, v := range bad {
		p := procedures.Percent(v)
		for what, err := range map[string]error{
			"area": second(joint.Mass(arc.MM2(v), 100)), "length": second(joint.Mass(10, procedures.MM(v))), "metal": second(joint.WireNeeded(v, 80)),
			"efficiency": second(joint.WireNeeded(10, p)), "time metal": second(joint.ArcTime(v, 1)), "rate": second(joint.ArcTime(10, v)),
			"arc time": second(joint.TotalTime(procedures.Seconds(v), 25)), "factor": second(joint.TotalTime(100, p)),
			"deposit": second(joint.DepositPerHour(v, 25)), "deposit factor": second(joint.DepositPerHour(1, p)),
			"labour": second(joint.LabourPerKg(v, 1, 25)), "labour rate": second(joint.LabourPerKg(40, v, 25)), "price": second(joint.ElectrodePerKg(v, 80)),
			"spool": second(joint.SpoolLeft(v, 0, 3.5, 4)), "wire mass": second(joint.SpoolLeft(900, 0, v, 4)), "wire speed": second(joint.SpoolLeft(900, 0, 3.5, procedures.MPerMin(v))),
			"sheet": second(joint.SheetWeight(procedures.MM(v))), "pipe": second(joint.PipeWeight(procedures.MM(v), 3)), "wall": second(joint.PipeWeight(60, procedures.MM(v))),
		} {
			refused(t, what, err)
		}
	}
	refused(t, "empty spool", second(joint.SpoolLeft(900, -1, 3.5, 4)))
	refused(t, "wall thicker than the pipe", second(joint.PipeWeight(20, 11)))
}

func TestGauges(t *testing.T) {
	// The traps of the lists: one number, four thicknesses.
	sheet, _ := joint.SheetThickness(16, false)
	zinc, _ := joint.SheetThickness(16, true)
	tube, _ := joint.TubeWall(16)
	for _, c := range []struct {
		what      string
		got, inch float64
	}{{"uncoated", sheet.Value, 0.0598}, {"galvanized", zinc.Value, 0.0635}, {"tube", tube.Value, 0.065}} {
		if math.Abs(c.got-c.inch*25.4) > 1e-9 {
			t.Errorf("16 gauge %s: %v mm, want %v in", c.what, c.got, c.inch)
		}
	}
	// A higher number is thinner, all the way down every list.
	for _, galvanized := range []bool{false, true} {
		last := math.Inf(1)
		for g := 3; g <= 30; g++ {
			v, err := joint.SheetThickness(g, galvanized)
			if galvanized && g < 8 {
				outside(t, "galvanized", err)
				continue
			}
			if err != nil || v.Value >= last {
				t.Errorf("gauge %d: %v after %v, %v", g, v.Value, last, err)
			}
			last = v.Value
			sound(t, "gauge", v)
		}
	}
	for _, g := range []int{-1, 0, 2, 31, 1 << 40} {
		outside(t, "sheet", second(joint.SheetThickness(g, false)))
		outside(t, "tube", second(joint.TubeWall(g)))
	}
	for _, n := range []string{"", "5/8", "40", "4in"} {
		refused(t, "pipe", second(joint.PipeWall(n)))
		refused(t, "pipe", second(joint.PipeOutside(n)))
	}
}

func TestWeights(t *testing.T) {
	// 10 gauge is 5.625 lb/ft2 (41.82 x 0.1345); 4 in schedule 40 is 10.79 lb/ft in print.
	g, err := joint.SheetThickness(10, false)
	if err != nil {
		t.Fatal(err)
	}
	if kg, err := joint.SheetWeight(procedures.MM(g.Value)); err != nil || math.Abs(kg-5.625*4.88243) > 0.003 {
		t.Errorf("%v kg/m2, %v", kg, err)
	}
	wall, err := joint.PipeWall("4")
	od, errOD := joint.PipeOutside("4")
	if err != nil || errOD != nil || wall.Value >= od.Value {
		t.Fatalf("%+v %+v %v %v", wall, od, err, errOD)
	}
	sound(t, "wall", wall)
	if kg, err := joint.PipeWeight(procedures.MM(od.Value), procedures.MM(wall.Value)); err != nil || math.Abs(kg-10.79*1.48816) > 0.03 {
		t.Errorf("%v kg/m, %v", kg, err)
	}
	tube, err := joint.TubeWall(14)
	if err != nil || math.Abs(tube.Value-0.083*25.4) > 1e-9 {
		t.Errorf("%+v, %v", tube, err)
	}
}
