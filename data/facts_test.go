package data

import (
	"math"
	"slices"
	"testing"
)

// find returns the one row that ok accepts.
func find[T any](t *testing.T, what string, rows []T, ok func(T) bool) T {
	t.Helper()
	i := slices.IndexFunc(rows, ok)
	if i < 0 {
		t.Fatalf("no row for %s", what)
	}
	if slices.ContainsFunc(rows[i+1:], ok) {
		t.Fatalf("more than one row for %s", what)
	}
	return rows[i]
}

func equal(t *testing.T, what string, got, want float64) {
	t.Helper()
	if got != want {
		t.Errorf("%s is %g, want %g", what, got, want)
	}
}

// Manufacturers' Standard Gauge and galvanized list; Birmingham gauge for tube;
// ASME B36.10 for pipe.
func TestGauges(t *testing.T) {
	for gauge, want := range map[int][2]float64{
		10: {0.1345, 0.1382}, 11: {0.1196, 0.1233}, 12: {0.1046, 0.1084}, 14: {0.0747, 0.0785},
		16: {0.0598, 0.0635}, 18: {0.0478, 0.0516}, 20: {0.0359, 0.0396}, 22: {0.0299, 0.0336}, 7: {0.1793, 0},
	} {
		g := find(t, "gauge", SheetGauges(), func(g SheetGauge) bool { return g.Gauge == gauge })
		equal(t, "uncoated", g.UncoatedIn, want[0])
		equal(t, "galvanized", g.GalvanizedIn, want[1])
	}
	for gauge, want := range map[int]float64{11: 0.120, 14: 0.083, 16: 0.065, 18: 0.049} {
		w := find(t, "tube gauge", TubeWalls(), func(w TubeWall) bool { return w.Gauge == gauge })
		equal(t, "wall", w.WallIn, want)
	}
	p := find(t, "4 in pipe", Pipes(), func(p Pipe) bool { return p.Nominal == "4" })
	equal(t, "outside", p.OutsideIn, 4.5)
	equal(t, "wall", p.WallIn, 0.237)
	// ASME B36.10 prints 10.79 lb/ft for it.
	if w := 10.69 * (p.OutsideIn - p.WallIn) * p.WallIn; math.Abs(w-10.79) > 0.02 {
		t.Errorf("4 in schedule 40 weighs %g lb/ft", w)
	}
}

// 29 CFR 1910.133(a)(5) and ANSI Z49.1.
func TestEyeShades(t *testing.T) {
	for _, c := range []struct {
		operation      string
		from           float64
		min, suggested int
	}{
		{"GMAW/FCAW", 0, 7, 0}, {"GMAW/FCAW", 60, 10, 11}, {"GMAW/FCAW", 160, 10, 12}, {"GMAW/FCAW", 250, 10, 14},
		{"SMAW", 60, 8, 10}, {"SMAW", 160, 10, 12}, {"GTAW", 50, 8, 12},
	} {
		s := find(t, c.operation, EyeShades(), func(s EyeShade) bool { return s.Operation == c.operation && s.FromA == c.from })
		if s.Minimum != c.min || s.Suggested != c.suggested {
			t.Errorf("%s from %g A: shade %d, suggested %d, want %d and %d", c.operation, c.from, s.Minimum, s.Suggested, c.min, c.suggested)
		}
	}
}

// AISC 360 Table J2.4, AWS D1.1 Table 7.7; bands are "over ... through".
func TestMinFillets(t *testing.T) {
	for thickness, leg := range map[float64]float64{0.0598: 0.125, 0.125: 0.125, 0.25: 0.125, 0.251: 0.1875, 0.5: 0.1875, 0.625: 0.25, 0.75: 0.25, 1: 0.3125} {
		m := find(t, "thickness", MinFillets(), func(m MinFillet) bool {
			return thickness > m.OverIn && (m.ThroughIn == 0 || thickness <= m.ThroughIn)
		})
		equal(t, "leg", m.LegIn, leg)
	}
}

// AWS D1.1:2020 Table 5.1, column of the wire processes.
func TestPassLimits(t *testing.T) {
	for position, leg := range map[string]float64{"flat": 0.5, "horizontal": 0.375, "vertical": 0.5, "overhead": 0.3125} {
		p := find(t, position, PassLimits(), func(p PassLimit) bool { return p.Variable == "single-pass-fillet" && p.Position == position })
		equal(t, position, p.LimitIn, leg)
	}
}

// AWS D1.1:2015 Table 3.3; bands are "over ... through".
func TestPreheat(t *testing.T) {
	for _, c := range []struct {
		category     string
		thickness, f float64
	}{
		{"A", 1, 150}, {"A", 2, 225}, {"A", 3, 300}, {"B", 0.5, 32}, {"B", 0.76, 50}, {"B", 1, 50}, {"B", 1.5, 50}, {"B", 2, 150}, {"B", 2.5, 150},
	} {
		p := find(t, c.category, PreheatMinimums(), func(p PreheatMinimum) bool {
			return p.Category == c.category && c.thickness > p.OverIn && (p.ThroughIn == 0 || c.thickness <= p.ThroughIn)
		})
		equal(t, c.category, p.MinF, c.f)
	}
}

// NEC Article 630 (2008), Chapter 9 Table 8, 400.5, 210.21(B)(2).
func TestSupply(t *testing.T) {
	for duty, want := range map[float64]float64{20: 0.45, 30: 0.55, 50: 0.71, 60: 0.78, 100: 1} {
		m := find(t, "duty", SupplyMultipliers(), func(m SupplyMultiplier) bool { return m.DutyPct == duty })
		equal(t, "multiplier", m.Multiplier, want)
	}
	for awg, want := range map[int]float64{16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 4: 0.308} {
		c := find(t, "copper", CopperResistances(), func(c CopperResistance) bool { return c.AWG == awg })
		equal(t, "resistance", c.StrandedOhmPerKft, want)
	}
	for awg, want := range map[int]float64{16: 13, 14: 18, 12: 25} {
		c := find(t, "cord", CordAmpacities(), func(c CordAmpacity) bool { return c.AWG == awg && c.Conductors == 2 })
		equal(t, "ampacity", c.AmpacityA, want)
	}
	equal(t, "5-15R load", find(t, "5-15R", Receptacles(), func(r Receptacle) bool { return r.NEMA == "5-15R" }).LoadA, 12)
}

// A manufacturer's cable table; total length is both leads together.
func TestLeads(t *testing.T) {
	for _, c := range []struct {
		amps, feet, duty float64
		parallel         int
		awg              string
	}{
		{100, 200, 20, 1, "3"}, {150, 100, 20, 1, "3"}, {200, 100, 20, 1, "3"}, {200, 100, 60, 1, "2"}, {200, 150, 100, 1, "1"}, {250, 400, 60, 2, "2/0"},
	} {
		l := find(t, c.awg, LeadSizes(), func(l LeadSize) bool {
			return l.CurrentA == c.amps && l.ThroughFt == c.feet && c.duty >= l.DutyFromPct && (l.DutyBelowPct == 0 || c.duty < l.DutyBelowPct)
		})
		if l.AWG != c.awg || l.Parallel != c.parallel {
			t.Errorf("%g A over %g ft at %g %%: %d x AWG %s, want %d x AWG %s", c.amps, c.feet, c.duty, l.Parallel, l.AWG, c.parallel, c.awg)
		}
	}
}

// 29 CFR 1910.254(b)(3): 80 V AC and 100 V DC by hand.
func TestOpenCircuit(t *testing.T) {
	for current, want := range map[string]float64{"ac": 80, "dc": 100} {
		l := find(t, current, OpenCircuitLimits(), func(l OpenCircuitLimit) bool {
			return l.Standard == "OSHA 1910.254(b)(3)" && l.Use == "manual" && l.Current == current
		})
		equal(t, current, l.LimitV, want)
	}
}

// ISO 5817 limits at a size: no. 502, 503 and 5011.
func TestImperfections(t *testing.T) {
	for _, c := range []struct {
		number, level   string
		thickness, size float64
		want            float64
	}{
		{"502", "D", 5, 10, 3.5}, {"502", "C", 5, 10, 2.5}, {"503", "C", 5, 8, 2.2}, {"503", "B", 5, 8, 1.8},
		{"5011/5012", "D", 4, 4, 0.8}, {"5011/5012", "B", 4, 4, 0.2}, {"502", "B", 5, 60, 5},
	} {
		l := find(t, c.number, ImperfectionLimits(), func(l ImperfectionLimit) bool {
			return l.Number == c.number && l.Level == c.level && c.thickness > l.OverMM && (l.ThroughMM == 0 || c.thickness <= l.ThroughMM)
		})
		if got := limitAt(l, c.size); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("no. %s level %s at %g mm: %g mm, want %g", c.number, c.level, c.size, got, c.want)
		}
	}
}

// limitAt is the limit of an imperfection in mm for a size in mm.
func limitAt(l ImperfectionLimit, size float64) float64 {
	v := l.H0MM + l.Factor*size
	if l.MaxMM > 0 {
		v = min(v, l.MaxMM)
	}
	return v
}

func TestReference(t *testing.T) {
	// ISO 4063 and ISO 6947.
	p := find(t, "114", Processes(), func(p WeldProcess) bool { return p.Number == "114" })
	if p.Letters != "FCAW-S" {
		t.Errorf("114 is %s", p.Letters)
	}
	if w := find(t, "2F", Positions(), func(p WeldPosition) bool { return slices.Contains(p.AWS, "2F") }); w.ISO != "PB" {
		t.Errorf("2F is %s", w.ISO)
	}
	// EN 1011-1 Table 1.
	k := find(t, "k of 114", ArcEfficiencies(), func(a ArcEfficiency) bool { return a.Process == "114" })
	equal(t, "k", k.K, 0.8)
	// A filler-metal handbook's average.
	d := find(t, "efficiency", DepositionEfficiencies(), func(d DepositionEfficiency) bool { return d.Process == "114" && d.Use == "average" })
	equal(t, "efficiency", d.TypicalPct, 78)
	// Owner manual: 170 A at 26.8 V for covered electrodes.
	v := find(t, "load voltage", LoadVoltages(), func(l LoadVoltage) bool { return l.Process == "111" })
	if got := v.InterceptLowV + v.SlopeVPerA*170; math.Abs(got-26.8) > 1e-9 {
		t.Errorf("170 A at %g V", got)
	}
	// Machinery's Handbook, 31st ed., Table 14.
	e := find(t, "E7018", Electrodes(), func(e Electrode) bool { return e.Class == "E7018" && e.DiameterIn == 0.125 })
	equal(t, "low", e.CurrentLowA, 110)
	equal(t, "high", e.CurrentHighA, 160)
	// Condition tables of two makers: 1.6 mm square butt with CO2.
	g := find(t, "CO2 butt", CO2Starts(), func(g GasStart) bool { return g.Joint == "butt" && g.ThicknessMM == 1.6 })
	if g.CurrentLowA != 80 || g.CurrentHighA != 100 || g.VoltageLowV != 18 || *g.GapHighMM != 0 {
		t.Errorf("CO2 butt, 1.6 mm: %+v", g)
	}
}
