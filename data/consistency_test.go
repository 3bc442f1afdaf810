package data

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// Tables that repeat or build on one another must agree.

func TestCurveComesFromPrintedStarts(t *testing.T) {
	for i, p := range SelfShieldedCurve() {
		if !slices.ContainsFunc(SelfShieldedStarts(), func(s SelfShieldedStart) bool {
			return s.Class == p.Class && s.DiameterIn == p.DiameterIn && s.WireSpeedInPerMin == p.WireSpeedInPerMin && s.CurrentA == p.CurrentA && s.VoltageV == p.VoltageV
		}) {
			t.Errorf("no printed setting stands behind %+v", p)
		}
		if i > 0 && SelfShieldedCurve()[i-1].DiameterIn == p.DiameterIn && p.VoltageV < SelfShieldedCurve()[i-1].VoltageV {
			t.Errorf("voltage falls at %+v", p)
		}
	}
}

// curveAt interpolates one coordinate of the E71T-11 curve against another.
func curveAt(t *testing.T, diameter, at float64, x, y func(CurvePoint) float64) float64 {
	t.Helper()
	var prev *CurvePoint
	for _, p := range SelfShieldedCurve() {
		if p.DiameterIn != diameter {
			continue
		}
		if prev != nil && x(*prev) <= at && at <= x(p) {
			return y(*prev) + (y(p)-y(*prev))*(at-x(*prev))/(x(p)-x(*prev))
		}
		prev = &p
	}
	t.Fatalf("%g lies outside the curve of %g in", at, diameter)
	return 0
}

func TestRatioSpansBothSources(t *testing.T) {
	amps := func(p CurvePoint) float64 { return p.CurrentA }
	speed := func(p CurvePoint) float64 { return p.WireSpeedInPerMin }
	for _, r := range WireSpeedPerAmpere() {
		if r.Class != "E71T-GS" || r.LowInPerMinA == 0 {
			continue
		}
		if got := curveAt(t, r.DiameterIn, 120, amps, speed) / 120; math.Abs(got-r.LowInPerMinA) > 0.006 {
			t.Errorf("%g in: E71T-11 takes %g in/min per A at 120 A, the row says %g", r.DiameterIn, got, r.LowInPerMinA)
		}
		solid := find(t, "solid", WireSpeedPerAmpere(), func(s WireSpeedRatio) bool { return s.Class == "solid" && s.DiameterIn == r.DiameterIn })
		equal(t, "typical", r.TypicalInPerMinA, solid.TypicalInPerMinA)
		equal(t, "high", r.HighInPerMinA, solid.TypicalInPerMinA)
	}
}

func TestPositionFactorsComeFromPrintedStarts(t *testing.T) {
	optimum := func(diameter float64, position string) float64 {
		s := SelfShieldedStarts()
		i := slices.IndexFunc(s, func(s SelfShieldedStart) bool {
			return s.Kind == "optimum" && s.DiameterIn == diameter && slices.Contains(s.Positions, position)
		})
		return s[i].CurrentA / s[slices.IndexFunc(s, func(s SelfShieldedStart) bool {
			return s.Kind == "optimum" && s.DiameterIn == diameter && slices.Contains(s.Positions, "flat")
		})].CurrentA
	}
	for _, f := range PositionFactors() {
		if f.Low > f.Typical || f.Typical > f.High {
			t.Errorf("%s %s: typical %g outside %g to %g", f.Class, f.Position, f.Typical, f.Low, f.High)
		}
		if f.Class != "self-shielded" {
			continue
		}
		for _, d := range []float64{0.035, 0.045} {
			if got := optimum(d, f.Position); got < f.Low-0.005 || got > f.High+0.005 {
				t.Errorf("%s at %g in: printed factor %.3f outside %g to %g", f.Position, d, got, f.Low, f.High)
			}
		}
		if got := optimum(0.035, f.Position); f.Position != "overhead" && math.Abs(got-f.Typical) > 0.005 {
			t.Errorf("%s: typical %g, printed %.3f for 0.035 in", f.Position, f.Typical, got)
		}
	}
}

func TestCurrentByThickness(t *testing.T) {
	at := func(thickness float64) float64 {
		rows := CurrentByThickness()
		for i := 1; i < len(rows); i++ {
			a, b := rows[i-1], rows[i]
			if a.ThicknessIn <= thickness && thickness <= b.ThicknessIn {
				return a.CurrentA + (b.CurrentA-a.CurrentA)*(thickness-a.ThicknessIn)/(b.ThicknessIn-a.ThicknessIn)
			}
		}
		t.Fatalf("%g in lies outside the table", thickness)
		return 0
	}
	// Common practice, no source: 20 ga sheet takes 30-50 A, 1/8 in 90-130 A.
	if a := at(0.0359); a < 30 || a > 50 {
		t.Errorf("20 ga: %g A", a)
	}
	if a := at(0.125); a < 90 || a > 130 {
		t.Errorf("1/8 in: %g A", a)
	}
	top := CurrentByThickness()[len(CurrentByThickness())-1]
	limit := find(t, "limit", SelfShieldedLimits(), func(l WireLimit) bool { return l.Class == "E71T-11" && l.DiameterIn == 0.035 })
	equal(t, "thickest row", top.ThicknessIn, limit.MaxThicknessIn)
	for i, r := range CurrentByThickness() {
		if i > 0 && r.CurrentA < CurrentByThickness()[i-1].CurrentA {
			t.Errorf("current falls at %g in", r.ThicknessIn)
		}
	}
}

// The lines that the notes call "from the middles of the rows" are worked out anew.
func TestLoadVoltagesFitTheStarts(t *testing.T) {
	for use, rows := range map[string][]GasStart{
		"CO2, all joints":    CO2Starts(),
		"80Ar/20CO2, butt":   slices.DeleteFunc(slices.Clone(MixedGasStarts()), func(g GasStart) bool { return g.Joint != "butt" }),
		"80Ar/20CO2, fillet": slices.DeleteFunc(slices.Clone(MixedGasStarts()), func(g GasStart) bool { return g.Weld != "fillet" }),
	} {
		l := find(t, use, LoadVoltages(), func(l LoadVoltage) bool { return l.Use == use })
		low, high := math.Inf(1), math.Inf(-1)
		for _, g := range rows {
			amps := (g.CurrentLowA + g.CurrentHighA) / 2
			if amps >= l.CurrentLowA && amps <= l.CurrentHighA {
				v := (g.VoltageLowV+g.VoltageHighV)/2 - l.SlopeVPerA*amps
				low, high = min(low, v), max(high, v)
			}
		}
		if math.Abs(low-l.InterceptLowV) > 0.05 || math.Abs(high-l.InterceptHighV) > 0.05 {
			t.Errorf("%s: rows give %.2f to %.2f V, the line %g to %g", use, low, high, l.InterceptLowV, l.InterceptHighV)
		}
	}
	line := find(t, "E71T-11", LoadVoltages(), func(l LoadVoltage) bool { return strings.HasPrefix(l.Use, "E71T-11 0.035") })
	for _, p := range SelfShieldedCurve() {
		if p.DiameterIn == 0.035 && math.Abs(line.InterceptLowV+line.SlopeVPerA*p.CurrentA-p.VoltageV) > 0.3 {
			t.Errorf("line misses %+v", p)
		}
	}
}

func TestSteels(t *testing.T) {
	owner := map[string]string{}
	plainWords := regexp.MustCompile(`^[a-z0-9][a-z0-9 ]*$`)
	// These say what shape the piece has, and with it which gauge list it is sold by.
	shape := regexp.MustCompile(`\b(tube|tubing|pipe|sheet|plate|galvani[sz]ed)\b`)
	for _, s := range Steels() {
		if !slices.ContainsFunc(s.Aliases, func(a string) bool { return strings.ReplaceAll(a, " ", "-") == s.Key }) {
			t.Errorf("%s is not among its own aliases", s.Key)
		}
		for _, a := range s.Aliases {
			if !plainWords.MatchString(a) || shape.MatchString(a) && a != "a36 plate" {
				t.Errorf("%s: alias %q", s.Key, a)
			}
			if other, ok := owner[a]; ok {
				t.Errorf("%s and %s share the alias %q", other, s.Key, a)
			}
			owner[a] = s.Key
		}
		if (s.Group == "OUT" || s.Key == "unknown") != (s.InScope == "no") {
			t.Errorf("%s: group %s, in scope %s", s.Key, s.Group, s.InScope)
		}
		if (s.CEHigh > 0) != (s.CEFormula != "") || s.CELow > 0 && s.CEHigh == 0 {
			t.Errorf("%s: CE %g to %g by %q", s.Key, s.CELow, s.CEHigh, s.CEFormula)
		}
		if s.CELow > 0 && s.Key != "4130" {
			// Printed limits of C and Mn alone, rounded outward.
			low, high := s.CMin+s.MnMin/6, s.CMax+s.MnMax/6
			if d := low - s.CELow; d < -1e-9 || d > 0.01 {
				t.Errorf("%s: CE from %.4f, row says %g", s.Key, low, s.CELow)
			}
			if d := s.CEHigh - high; d < -1e-9 || d > 0.01 {
				t.Errorf("%s: CE to %.4f, row says %g", s.Key, high, s.CEHigh)
			}
		}
		if s.CEFormula == "IIW" {
			g := find(t, "group", WeldabilityGroups(), func(g WeldabilityGroup) bool {
				return g.CEOver != nil && s.CEHigh > *g.CEOver && (g.CEThrough == 0 || s.CEHigh <= g.CEThrough)
			})
			if g.Group != s.Group {
				t.Errorf("%s: CE to %g is group %s, row says %s", s.Key, s.CEHigh, g.Group, s.Group)
			}
		}
	}
	for key, group := range map[string]string{"mild": "I", "a36": "I", "1018": "I", "unknown": "unknown", "304": "OUT", "aluminium": "OUT", "cast-iron": "OUT", "5160": "OUT", "1095": "OUT", "a572-50": "II", "1045": "III"} {
		if s := find(t, key, Steels(), func(s Steel) bool { return s.Key == key }); s.Group != group {
			t.Errorf("%s is in group %s", key, s.Group)
		}
	}
}

// The handbook's table against geometry at 0.283 lb/in3; it prints three decimals.
func TestWeldMetalFollowsGeometry(t *testing.T) {
	const perFoot = 12 * 0.283
	for _, f := range FilletMetals() {
		want := f.LegIn * f.LegIn / 2 * perFoot
		if off, noted := math.Abs(f.LbPerFt-want) > 0.0008, strings.HasPrefix(f.Note, "formula gives"); off != noted {
			t.Errorf("%+v: geometry gives %.4f", f, want)
		}
	}
	for _, g := range GrooveMetals() {
		var area float64
		switch g.Part {
		case "gap":
			area = g.DepthIn * g.GapIn
		case "bevel":
			area = g.DepthIn * g.DepthIn / 2 * math.Tan(g.BevelDeg*math.Pi/180)
		case "cap":
			area = 2.0 / 3 * g.CapWidthIn * g.CapHeightIn
		}
		if off, noted := math.Abs(g.LbPerFt-area*perFoot) > 0.0008, strings.HasPrefix(g.Note, "formula gives"); off != noted {
			t.Errorf("%+v: geometry gives %.4f", g, area*perFoot)
		}
	}
	for _, f := range FilletShears() {
		equal(t, "allowable", f.AllowableKSI, math.Round(0.30*f.StrengthKSI*10)/10)
		if want := math.Sqrt2 / 2 / 16 * 0.30 * f.StrengthKSI * 1000; math.Abs(f.LbPerInPerSixteenth-want) > 0.1 {
			t.Errorf("%g ksi: %g lb/in, geometry %g", f.StrengthKSI, f.LbPerInPerSixteenth, want)
		}
	}
}

func TestUnitsAgree(t *testing.T) {
	for _, e := range Extensions() {
		if math.Abs(e.LowIn*25.4-e.LowMM) > 0.5 || math.Abs(e.HighIn*25.4-e.HighMM) > 0.6 {
			t.Errorf("extension %+v", e)
		}
	}
	for _, w := range WireLengths() {
		if got := w.InPerLb * 0.0254 / 0.45359237; math.Abs(got/w.MPerKg-1) > 0.01 {
			t.Errorf("%g in wire: %g in/lb is %.1f m/kg, row says %g", w.DiameterIn, w.InPerLb, got, w.MPerKg)
		}
	}
	for _, p := range PreheatMinimums() {
		if math.Abs((p.MinF-32)/1.8-p.MinC) > 3.5 {
			t.Errorf("preheat %g F, %g C", p.MinF, p.MinC)
		}
	}
	for _, p := range PassLimits() {
		if math.Abs(p.LimitIn*25.4-p.LimitMM) > 0.75 {
			t.Errorf("pass limit %+v", p)
		}
	}
	// Copper has 12.9 ohm-circular mils a foot at 75 degC: NEC Chapter 9 Table 8, stranded.
	for _, c := range CopperResistances() {
		if rho := c.StrandedOhmPerKft * c.CircularMils / 1000; math.Abs(rho-12.9) > 0.1 {
			t.Errorf("AWG %d: %.2f ohm-circular mils a foot", c.AWG, rho)
		}
	}
	for _, m := range SupplyMultipliers() {
		if want := math.Sqrt(m.DutyPct / 100); math.Abs(m.Multiplier-want) > 0.0055 {
			t.Errorf("%g %%: multiplier %g, square root %.3f", m.DutyPct, m.Multiplier, want)
		}
	}
}

// A stricter quality level never allows more, at any size.
func TestStricterLevelsAllowLess(t *testing.T) {
	rank := map[string]float64{"none": 0, "short": 1, "limit": 1, "use": 2}
	byLevel := map[string]map[string]ImperfectionLimit{}
	for _, l := range ImperfectionLimits() {
		key := strings.Join([]string{l.Number, l.Weld, l.Name}, " ")
		if l.OverMM > 0 {
			key += " thick"
		}
		if byLevel[key] == nil {
			byLevel[key] = map[string]ImperfectionLimit{}
		}
		byLevel[key][l.Level] = l
	}
	for key, l := range byLevel {
		if len(l) != 3 {
			t.Errorf("%s has %d levels", key, len(l))
		}
		for _, pair := range [][2]string{{"B", "C"}, {"C", "D"}} {
			strict, loose := l[pair[0]], l[pair[1]]
			if rank[strict.Rule] > rank[loose.Rule] {
				t.Errorf("%s: level %s %s, level %s %s", key, pair[0], strict.Rule, pair[1], loose.Rule)
			}
			for _, size := range []float64{0.5, 1, 3, 6, 12, 25} {
				if rank[loose.Rule] < 2 && limitAt(strict, size) > limitAt(loose, size) {
					t.Errorf("%s at %g mm: level %s allows more than %s", key, size, pair[0], pair[1])
				}
			}
		}
	}
}
