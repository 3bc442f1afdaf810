package data

import (
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// tables reads each file through its own exported function and says how many
// rows came out.
var tables = map[string]func() int{
	"sources.csv":                 func() int { return len(Sources()) },
	"self_shielded_starts.csv":    func() int { return len(SelfShieldedStarts()) },
	"current_curve.csv":           func() int { return len(SelfShieldedCurve()) },
	"self_shielded_limits.csv":    func() int { return len(SelfShieldedLimits()) },
	"wire_speed_per_ampere.csv":   func() int { return len(WireSpeedPerAmpere()) },
	"current_by_thickness.csv":    func() int { return len(CurrentByThickness()) },
	"position_factors.csv":        func() int { return len(PositionFactors()) },
	"extensions.csv":              func() int { return len(Extensions()) },
	"load_voltages.csv":           func() int { return len(LoadVoltages()) },
	"deposition_efficiencies.csv": func() int { return len(DepositionEfficiencies()) },
	"arc_efficiencies.csv":        func() int { return len(ArcEfficiencies()) },
	"wire_lengths.csv":            func() int { return len(WireLengths()) },
	"co2_starts.csv":              func() int { return len(CO2Starts()) },
	"mixed_gas_starts.csv":        func() int { return len(MixedGasStarts()) },
	"electrodes.csv":              func() int { return len(Electrodes()) },
	"steels.csv":                  func() int { return len(Steels()) },
	"weldability_groups.csv":      func() int { return len(WeldabilityGroups()) },
	"carbon_equivalents.csv":      func() int { return len(CarbonEquivalents()) },
	"preheat_categories.csv":      func() int { return len(PreheatCategories()) },
	"preheat_minimums.csv":        func() int { return len(PreheatMinimums()) },
	"rebar_preheats.csv":          func() int { return len(RebarPreheats()) },
	"hydrogen_scales.csv":         func() int { return len(HydrogenScales()) },
	"sheet_gauges.csv":            func() int { return len(SheetGauges()) },
	"tube_walls.csv":              func() int { return len(TubeWalls()) },
	"square_tubes.csv":            func() int { return len(SquareTubes()) },
	"pipes.csv":                   func() int { return len(Pipes()) },
	"min_fillets.csv":             func() int { return len(MinFillets()) },
	"max_fillets.csv":             func() int { return len(MaxFillets()) },
	"pass_limits.csv":             func() int { return len(PassLimits()) },
	"fillet_metal.csv":            func() int { return len(FilletMetals()) },
	"groove_metal.csv":            func() int { return len(GrooveMetals()) },
	"convexity_limits.csv":        func() int { return len(ConvexityLimits()) },
	"fillet_shears.csv":           func() int { return len(FilletShears()) },
	"bead_shapes.csv":             func() int { return len(BeadShapes()) },
	"duty_facts.csv":              func() int { return len(DutyFacts()) },
	"supply_multipliers.csv":      func() int { return len(SupplyMultipliers()) },
	"supply_rules.csv":            func() int { return len(SupplyRules()) },
	"breaker_sizes.csv":           func() int { return len(BreakerSizes()) },
	"copper_resistances.csv":      func() int { return len(CopperResistances()) },
	"cord_ampacities.csv":         func() int { return len(CordAmpacities()) },
	"receptacles.csv":             func() int { return len(Receptacles()) },
	"lead_sizes.csv":              func() int { return len(LeadSizes()) },
	"lead_rules.csv":              func() int { return len(LeadRules()) },
	"rectifier_factors.csv":       func() int { return len(RectifierFactors()) },
	"residual_voltages.csv":       func() int { return len(ResidualVoltages()) },
	"open_circuit_limits.csv":     func() int { return len(OpenCircuitLimits()) },
	"eye_shades.csv":              func() int { return len(EyeShades()) },
	"exposure_limits.csv":         func() int { return len(ExposureLimits()) },
	"safety_rules.csv":            func() int { return len(SafetyRules()) },
	"visual_limits.csv":           func() int { return len(VisualLimits()) },
	"imperfection_limits.csv":     func() int { return len(ImperfectionLimits()) },
	"destructive_limits.csv":      func() int { return len(DestructiveLimits()) },
	"variable_limits.csv":         func() int { return len(VariableLimits()) },
	"heat_input_rules.csv":        func() int { return len(HeatInputRules()) },
	"positions.csv":               func() int { return len(Positions()) },
	"processes.csv":               func() int { return len(Processes()) },
	"procedure_fields.csv":        func() int { return len(ProcedureFields()) },
	"formulas.csv":                func() int { return len(Formulas()) },
	"remedies.csv":                func() int { return len(Remedies()) },
	"bead_signs.csv":              func() int { return len(BeadSigns()) },
	"causes.csv":                  func() int { return len(Causes()) },
}

func TestEveryTableIsRead(t *testing.T) {
	for name := range rules {
		rows := len(openSheet(t, name).rows)
		if read, ok := tables[name]; !ok {
			t.Errorf("%s: no function listed", name)
		} else if got := read(); got != rows {
			t.Errorf("%s: %d rows read of %d", name, got, rows)
		}
	}
}

func TestEverySourceIsUsed(t *testing.T) {
	unused := map[string]bool{}
	for id := range Sources() {
		unused[id] = true
	}
	for name := range rules {
		s := openSheet(t, name)
		for i := range s.rows {
			for id := range strings.SplitSeq(s.cell(i, "source"), ";") {
				delete(unused, id)
			}
		}
	}
	for id := range unused {
		t.Errorf("sources.csv: no row uses %s", id)
	}
}

func TestRowsAreReadOnce(t *testing.T) {
	if a, b := Steels(), Steels(); &a[0] != &b[0] {
		t.Error("two calls decoded the table twice")
	}
}

func TestCite(t *testing.T) {
	got := Cite("SH-133", "FW-AISC", "nobody")
	want := []string{"29 CFR 1910.133(a)(5)", "AISC 360, 2005, Tables J2.4 and J2.2b", `unknown source "nobody"`}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if got := Cite(); len(got) != 0 {
		t.Errorf("no ids gave %q", got)
	}
}

// TestFieldsNameTheirUnits holds the Go names to the columns: a column whose
// name ends in a unit belongs to a number, and the doc of Row is kept last.
func TestFieldsNameTheirUnits(t *testing.T) {
	for _, row := range []any{SelfShieldedStart{}, CurvePoint{}, WireSpeedRatio{}, WireLimit{}, ThicknessCurrent{}, PositionFactor{}, Extension{}, LoadVoltage{},
		DepositionEfficiency{}, ArcEfficiency{}, WireLength{}, GasStart{}, Electrode{}, Steel{}, WeldabilityGroup{}, CarbonEquivalent{}, PreheatCategory{}, PreheatMinimum{},
		RebarPreheat{}, HydrogenScale{}, SheetGauge{}, TubeWall{}, SquareTube{}, Pipe{}, MinFillet{}, MaxFillet{}, PassLimit{}, FilletMetal{}, GrooveMetal{}, ConvexityLimit{},
		FilletShear{}, BeadShape{}, DutyFact{}, SupplyMultiplier{}, SupplyRule{}, BreakerSize{}, CopperResistance{}, CordAmpacity{}, Receptacle{}, LeadSize{}, LeadRule{},
		RectifierFactor{}, ResidualVoltage{}, OpenCircuitLimit{}, EyeShade{}, ExposureLimit{}, SafetyRule{}, VisualLimit{}, ImperfectionLimit{}, DestructiveLimit{},
		VariableLimit{}, HeatInputRule{}, WeldPosition{}, WeldProcess{}, ProcedureField{}, Formula{}, Remedy{}, BeadSign{}, Cause{}} {
		typ := reflect.TypeOf(row)
		if last := typ.Field(typ.NumField() - 1); last.Name != "Row" || !last.Anonymous {
			t.Errorf("%s does not end in Row", typ.Name())
		}
		for i := range typ.NumField() - 1 {
			f := typ.Field(i)
			column, _, _ := strings.Cut(f.Tag.Get("csv"), ",")
			_, unit := limitsOf(column)
			number := f.Type.Kind() == reflect.Float64 || f.Type.Kind() == reflect.Pointer
			switch {
			case column == "":
				t.Errorf("%s.%s has no column", typ.Name(), f.Name)
			case unit != "" && !number:
				t.Errorf("%s.%s is a %s, its column %s a number with a unit", typ.Name(), f.Name, f.Type, column)
			}
		}
	}
}

// BenchmarkFirstUse decodes what the first suggestion of a run needs.
func BenchmarkFirstUse(b *testing.B) {
	for b.Loop() {
		_, err := load[CurvePoint](files, "current_curve.csv")
		if err == nil {
			_, err = load[Steel](files, "steels.csv")
		}
		if err == nil {
			_, err = load[Source](files, "sources.csv")
		}
		if err != nil {
			b.Fatal(err)
		}
	}
}
