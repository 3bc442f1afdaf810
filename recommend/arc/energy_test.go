package arc_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"

	"pgregory.net/rapid"
)

// 18 V, 90 A at 10 in/min is 9.72 kJ/in: 60*18*90/(1000*10), NAVSEA S9074-AQ-GIB-010/248.
func TestEnergyForms(t *testing.T) {
	e, err := arc.Energy(18, 90, procedures.TravelInchesPerMin(10))
	if err != nil || math.Abs(e.PerInch()-9.72) > 1e-9 {
		t.Errorf("energy %v, %v", e.PerInch(), err)
	}
	// The three forms of ASME IX QW-409.1 agree on a steady arc: 1620 W for 60 s over 10 in.
	p, err := arc.EnergyFromPower(18*90, 60, procedures.Inches(10))
	if err != nil || math.Abs(float64(p-e)) > 1e-12 {
		t.Errorf("by power %v, %v", p, err)
	}
	j, err := arc.EnergyFromJoules(18*90*60, procedures.Inches(10))
	if err != nil || math.Abs(float64(j-e)) > 1e-12 {
		t.Errorf("by energy %v, %v", j, err)
	}
	q, err := arc.HeatInput(procedures.FCAWS, 18, 90, procedures.TravelInchesPerMin(10))
	if err != nil || math.Abs(q.Value-0.8*float64(e)) > 1e-12 {
		t.Errorf("heat input %v, %v", q, err)
	}
	sound(t, "heat input", q)
	if tig, err := arc.ThermalEfficiency("141"); err != nil || tig.Value != 0.6 {
		t.Errorf("TIG %v, %v", tig, err)
	}
}

func TestEnergyRefuses(t *testing.T) {
	for _, v := range bad {
		_, err := arc.Energy(procedures.Volts(v), 90, 250)
		refused(t, "volts", err)
		_, err = arc.Energy(18, procedures.Amps(v), 250)
		refused(t, "amps", err)
		_, err = arc.Energy(18, 90, procedures.MMPerMin(v))
		refused(t, "travel", err)
		_, err = arc.EnergyFromJoules(v, 100)
		refused(t, "joules", err)
		_, err = arc.EnergyFromJoules(9000, procedures.MM(v))
		refused(t, "bead", err)
		_, err = arc.EnergyFromPower(v, 10, 100)
		refused(t, "power", err)
		_, err = arc.EnergyFromPower(1000, procedures.Seconds(v), 100)
		refused(t, "time", err)
		_, err = arc.HeatInput(procedures.FCAWS, procedures.Volts(v), 90, 250)
		refused(t, "heat input", err)
		_, err = arc.HeatInputWith(v, 18, 90, 250)
		refused(t, "k", err)
	}
	_, err := arc.HeatInput("", 18, 90, 250)
	refused(t, "no process", err)
}

// More volts or amps never make less heat, more travel never makes more, and
// heat input never exceeds arc energy.
func TestEnergyProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(5, 50).Draw(t, "V")
		i := rapid.Float64Range(1, 500).Draw(t, "A")
		s := rapid.Float64Range(10, 2500).Draw(t, "mm/min")
		more := rapid.Float64Range(1, 2).Draw(t, "more")
		at := func(v, i, s float64) float64 {
			e, err := arc.Energy(procedures.Volts(v), procedures.Amps(i), procedures.MMPerMin(s))
			if err != nil {
				t.Fatal(err)
			}
			return float64(e)
		}
		e := at(v, i, s)
		if at(v*more, i, s) < e || at(v, i*more, s) < e || at(v, i, s*more) > e {
			t.Errorf("not monotone at %v V %v A %v mm/min", v, i, s)
		}
		q, err := arc.HeatInput(procedures.GMAW, procedures.Volts(v), procedures.Amps(i), procedures.MMPerMin(s))
		if err != nil || q.Value > e {
			t.Errorf("heat input %v over arc energy %v, %v", q.Value, e, err)
		}
	})
}
