package arc_test

import (
	"math"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"

	"pgregory.net/rapid"
)

// Volume balance: what melts in a minute, less what is lost, lies along the
// millimetres travelled. Solid 0.030 in at 150 in/min, 10 in/min, 93 %.
func TestBeadByVolumeBalance(t *testing.T) {
	w := wire("ER70S-6", 0.030, "CO2")
	a, err := arc.BeadArea(w, procedures.InchesPerMin(150), procedures.TravelInchesPerMin(10))
	if err != nil {
		t.Fatal(err)
	}
	want := math.Pi / 4 * 0.030 * 0.030 * 150 / 10 * 0.93 // in2
	if got := arc.MM2(a.Value).SquareInches(); math.Abs(got-want) > 1e-9 {
		t.Errorf("area %v in2, want %v", got, want)
	}
	leg, err := arc.Leg(w, procedures.InchesPerMin(150), procedures.TravelInchesPerMin(10))
	if err != nil || math.Abs(procedures.MM(leg.Value).Inches()-math.Sqrt(2*want)) > 1e-9 {
		t.Errorf("leg %v, %v", leg, err)
	}
	// Half the pace grows the leg by the root of two.
	slow, _ := arc.Leg(w, procedures.InchesPerMin(150), procedures.TravelInchesPerMin(5))
	if math.Abs(slow.Value/leg.Value-math.Sqrt2) > 1e-9 {
		t.Errorf("half the pace: %v", slow.Value/leg.Value)
	}
}

func TestBeadProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWire().Draw(t, "wire")
		s := procedures.MPerMin(rapid.Float64Range(0.5, 12).Draw(t, "m/min"))
		travel := procedures.MMPerMin(rapid.Float64Range(50, 800).Draw(t, "mm/min"))
		more := rapid.Float64Range(1, 2).Draw(t, "more")
		a, err := arc.BeadArea(w, s, travel)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "area", a)
		faster, _ := arc.BeadArea(w, s, travel*procedures.MMPerMin(more))
		fed, _ := arc.BeadArea(w, s*procedures.MPerMin(more), travel)
		if faster.Value > a.Value+1e-12 || fed.Value < a.Value-1e-12 {
			t.Errorf("area %v, faster %v, more wire %v", a.Value, faster.Value, fed.Value)
		}
		leg, err := arc.Leg(w, s, travel)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "leg", leg)
		if a.Value >= 0.5 && a.Value <= 500 {
			back, err := arc.TravelFor(w, s, arc.MM2(a.Value))
			if err != nil || math.Abs(back.Value-float64(travel)) > 1e-6*float64(travel) {
				t.Errorf("travel %v came back as %v, %v", travel, back.Value, err)
			}
			sound(t, "travel", back)
		}
		if leg.Value >= 1 && leg.Value <= 30 {
			back, err := arc.TravelForLeg(w, s, procedures.MM(leg.Value))
			if err != nil || math.Abs(back.Value-float64(travel)) > 1e-6*float64(travel) {
				t.Errorf("travel %v came back as %v for the leg, %v", travel, back.Value, err)
			}
		}
	})
}

func TestDeposition(t *testing.T) {
	// The data sheet prints 1.3 lb/h at 90 in/min; the range must reach to it.
	v, err := arc.Deposition(wire("E71T-11", 0.035, ""), procedures.InchesPerMin(90))
	if err != nil || v.Low > 1.3*0.45359 || v.High < 1.3*0.45359 || v.Basis != data.Memory {
		t.Errorf("%+v, %v", v, err)
	}
	cored, _ := arc.WireMass(wire("E71T-11", 0.035, ""))
	plain, _ := arc.WireMass(wire("ER70S-6", 0.035, "CO2"))
	if cored.High != plain.Value || cored.Value >= plain.Value || cored.Note == "" {
		t.Errorf("a cored wire is lighter: %+v, %+v", cored, plain)
	}
	if p, ok := arc.PrintedDeposition(wire("E71T-11", 0.035, ""), procedures.InchesPerMin(90)); !ok || math.Abs(p.Value-1.3*0.45359237) > 1e-9 { // its data sheet, row of 90 in/min
		t.Errorf("printed deposition %+v, %v", p, ok)
	}
	if p, ok := arc.PrintedDeposition(wire("E71T-GS", 0.030, ""), procedures.InchesPerMin(90)); ok {
		t.Errorf("no sheet prints %+v", p)
	}
	if g, err := arc.DepositionMeasured(95, 60); err != nil || math.Abs(g-5.7) > 1e-9 { // filler-metal handbook
		t.Errorf("measured %v, %v", g, err)
	}
	if e, err := arc.EfficiencyMeasured(3, 4); err != nil || e != 75 { // filler-metal handbook
		t.Errorf("measured %v, %v", e, err)
	}
}

func TestDepositErrors(t *testing.T) {
	w := wires[1]
	for _, v := range bad {
		for what, err := range map[string]error{
			"wire":        second(arc.WireMass(procedures.Wire{Class: "E71T-11", Diameter: procedures.MM(v)})),
			"deposition":  second(arc.Deposition(w, procedures.MPerMin(v))),
			"mass gained": second(arc.DepositionMeasured(v, 60)),
			"arc time":    second(arc.DepositionMeasured(50, procedures.Seconds(v))),
			"used":        second(arc.EfficiencyMeasured(1, v)),
			"weld metal":  second(arc.EfficiencyMeasured(v, 4)),
			"area":        second(arc.BeadArea(w, procedures.MPerMin(v), 250)),
			"travel":      second(arc.BeadArea(w, 3, procedures.MMPerMin(v))),
			"leg":         second(arc.Leg(w, 3, procedures.MMPerMin(v))),
			"wanted":      second(arc.TravelFor(w, 3, arc.MM2(v))),
			"wanted leg":  second(arc.TravelForLeg(w, 3, procedures.MM(v))),
		} {
			refused(t, what, err)
		}
	}
	refused(t, "more weld metal than wire", second(arc.EfficiencyMeasured(5, 4)))
	_, err := arc.DepositionEfficiency(procedures.Wire{Class: "E71T-99"})
	noTable(t, "unknown wire", err)
	_, err = arc.BeadArea(procedures.Wire{Class: "E71T-99", Diameter: 0.9}, 3, 250)
	noTable(t, "unknown wire", err)
	_, err = arc.TravelFor(wires[1], 0.3, 500)
	if e := outside(t, "too slow for a hand", err); e.Unit != "mm/min" {
		t.Errorf("%+v", e)
	}
}

func second[T any](_ T, err error) error { return err }
