package data

import "strings"

// unitLimits are the physical limits of a column by the unit that ends its name.
var unitLimits = map[string][2]float64{
	"in":                      {0, 12},
	"mm":                      {0, 100},
	"ft":                      {1, 1000},
	"A":                       {1, 1000},
	"V":                       {5, 100},
	"V_per_A":                 {0.001, 1},
	"in_per_min":              {10, 1000},
	"in_per_min_per_A":        {0.1, 10},
	"cm_per_min":              {5, 200},
	"L_per_min":               {1, 50},
	"lb_per_h":                {0.1, 30},
	"lb_per_ft":               {0.001, 5},
	"lb_per_in_per_sixteenth": {100, 3000},
	"in_per_lb":               {100, 10000},
	"m_per_kg":                {5, 1000},
	"pct":                     {0, 100},
	"degF":                    {32, 700},
	"degC":                    {5, 400},
	"deg":                     {1, 90},
	"s":                       {0.1, 3600},
	"ksi":                     {10, 200},
	"ohm_per_kft":             {0.01, 20},
	"circular_mils":           {1000, 500000},
	"mg_per_m3":               {0.001, 1000},
	"ml_per_100g":             {0, 50},
	"log10_mm":                {-5, 5},
}

// unitless are the columns of plain numbers.
var unitless = strings.Fields(`
	gauge awg layers bar_low bar_high parallel_cables current_carrying_conductors
	factor factor_k factor_low factor_typical factor_high multiplier motor_generator_multiplier
	ce_low ce_high ce_over ce_through limit value half_wave full_wave_bridge
	minimum_shade suggested_shade suggested_shade_low number
	diameter_power travel_power current_power voltage_power`)

// limitsOf returns the unit that ends a column's name and its limits; the
// longest unit that fits wins.
func limitsOf(column string) (limits [2]float64, unit string) {
	for u, l := range unitLimits {
		if len(u) > len(unit) && strings.HasSuffix(column, "_"+u) {
			limits, unit = l, u
		}
	}
	return limits, unit
}

const (
	positionWords = "flat horizontal vertical-up vertical-down overhead"
	symptomWords  = "burn-through undercut wide-flat cold-bead lack-of-fusion overlap stubbing popping burn-back long-arc porosity worm-tracks spatter slag-inclusion crater crack narrow too-slow bird-nest bad-feed bad-start arc-blow distortion duty-trip breaker-trip stuck-slag unsteady-arc hot-clamp drift shock"
	processWords  = "111 114 121 125 131 132 133 135 136 138 141 15 311"
)

type words = map[string]string
type limits = map[string][2]float64

// rules holds what each table keeps.
var rules = map[string]rule{
	"sources.csv": {key: "id", words: words{"trust": "A B C exact memory none"}},

	"self_shielded_starts.csv": {key: "class diameter_in kind positions weld wire_speed_in_per_min",
		words:  words{"class": "E71T-11", "kind": "data optimum", "polarity": "dcen", "positions": positionWords + " any", "weld": "fillet groove any"},
		limits: limits{"diameter_in": {0.02, 0.1}, "voltage_V": {12, 35}, "extension_in": {0.25, 1}}},
	"current_curve.csv": {key: "class diameter_in wire_speed_in_per_min", group: "class diameter_in", rising: "wire_speed_in_per_min current_A",
		words: words{"class": "E71T-11"}, limits: limits{"diameter_in": {0.02, 0.1}, "voltage_V": {12, 35}}},
	"self_shielded_limits.csv": {key: "class diameter_in",
		words:  words{"class": "E71T-11 E71T-GS E71T-14", "polarity": "dcen maker", "passes": "single multiple"},
		limits: limits{"diameter_in": {0.02, 0.1}, "max_thickness_in": {0.03, 1}, "single_pass_max_thickness_in": {0.03, 1}}},
	"wire_speed_per_ampere.csv": {key: "class diameter_in", group: "class", rising: "diameter_in",
		words: words{"class": "solid E71T-GS"}, limits: limits{"diameter_in": {0.02, 0.1}}},
	"current_by_thickness.csv": {key: "class thickness_in", group: "class", rising: "thickness_in",
		words: words{"class": "self-shielded"}, limits: limits{"current_A": {20, 300}, "thickness_in": {0.02, 0.5}}},
	"position_factors.csv": {key: "class position",
		words:  words{"class": "self-shielded solid covered", "position": positionWords},
		limits: limits{"factor_low": {0.5, 1.5}, "factor_typical": {0.5, 1.5}, "factor_high": {0.5, 1.5}}},
	"extensions.csv":    {key: "process use measured", words: words{"process": processWords, "measured": "extension tip-to-work"}},
	"load_voltages.csv": {key: "process use", words: words{"process": processWords}},
	"deposition_efficiencies.csv": {key: "process use", words: words{"process": processWords},
		limits: limits{"low_pct": {40, 100}, "typical_pct": {40, 100}, "high_pct": {40, 100}}},
	"arc_efficiencies.csv": {key: "process", words: words{"process": processWords + " any"}, limits: limits{"factor_k": {0.2, 1}}},
	"wire_lengths.csv":     {key: "material diameter_in", group: "material", rising: "diameter_in", falling: "length_in_per_lb length_m_per_kg"},

	"co2_starts.csv": {key: "joint position thickness_mm", group: "joint position", rising: "thickness_mm",
		words:  words{"gas": "CO2", "joint": "butt tee lap", "weld": "square-groove fillet", "position": positionWords},
		limits: limits{"voltage_low_V": {12, 40}, "voltage_high_V": {12, 40}, "diameter_low_mm": {0.3, 2}, "diameter_high_mm": {0.3, 2}, "layers": {1, 4}}},
	"mixed_gas_starts.csv": {key: "joint position thickness_mm", group: "joint position", rising: "thickness_mm",
		words:  words{"gas": "80Ar/20CO2", "joint": "butt tee lap", "weld": "square-groove fillet", "position": positionWords},
		limits: limits{"voltage_low_V": {12, 40}, "voltage_high_V": {12, 40}, "diameter_low_mm": {0.3, 2}, "diameter_high_mm": {0.3, 2}}},
	"electrodes.csv": {key: "class diameter_in", group: "class", rising: "diameter_in diameter_mm current_low_A current_high_A",
		words: words{"class": "E6010 E6011 E6012 E6013 E7014 E7018 E7024"}},

	"steels.csv": {key: "key",
		words:  words{"group": "I II III OUT unknown", "in_scope": "yes warn no", "ce_formula": "IIW A706", "preheat_low_hydrogen": "A B C", "preheat_other": "A B C"},
		limits: limits{"ce_low": {0.02, 1.5}, "ce_high": {0.02, 1.5}, "c_max_pct": {0.01, 5}, "mn_max_pct": {0.1, 3}, "p_max_pct": {0.01, 0.1}, "s_max_pct": {0.01, 0.1}}},
	"weldability_groups.csv": {key: "group", words: words{"group": "I II III OUT"}},
	"carbon_equivalents.csv": {key: "key"},
	"preheat_categories.csv": {key: "steel grades", words: words{"low_hydrogen": "A B C none", "other": "A B C none"}},
	"preheat_minimums.csv": {key: "category process thickness_over_in", group: "category process", rising: "min_degF min_degC",
		band: "thickness_over_in thickness_through_in", words: words{"category": "A B C", "process": "low-hydrogen other"}},
	"rebar_preheats.csv": {key: "ce_over bar_low", group: "ce_over", rising: "bar_low bar_high", band: "bar_low bar_high",
		limits: limits{"bar_low": {3, 18}, "bar_high": {3, 18}, "ce_over": {0, 1}, "ce_through": {0, 1}}},
	"hydrogen_scales.csv": {key: "scale", falling: "over_ml_per_100g", words: words{"scale": "A B C D E"}},

	// Sheet and tube between 0.1 and 10 mm.
	"sheet_gauges.csv": {key: "gauge", rising: "gauge", falling: "uncoated_in",
		limits: limits{"gauge": {3, 30}, "uncoated_in": {0.004, 0.394}, "galvanized_in": {0.004, 0.394}}},
	"tube_walls.csv":   {key: "gauge", rising: "gauge", falling: "wall_in", limits: limits{"wall_in": {0.004, 0.394}}},
	"square_tubes.csv": {key: "outside_in wall_in", group: "outside_in", rising: "wall_in", limits: limits{"wall_in": {0.004, 0.394}}},
	"pipes.csv":        {key: "nominal", rising: "outside_in wall_in", limits: limits{"wall_in": {0.004, 0.394}}},

	"min_fillets.csv": {key: "thickness_over_in", band: "thickness_over_in thickness_through_in", rising: "min_leg_in min_leg_mm"},
	"max_fillets.csv": {key: "edge_from_in", band: "edge_from_in edge_below_in"},
	"pass_limits.csv": {key: "variable position weld",
		words:  words{"variable": "electrode-diameter root-pass fill-pass single-pass-fillet layer-width root-opening", "position": "flat horizontal vertical overhead any", "weld": "fillet groove any"},
		limits: limits{"limit_in": {0.05, 1}, "limit_mm": {1, 26}}},
	"fillet_metal.csv":     {key: "leg_in", rising: "leg_in weld_metal_lb_per_ft"},
	"groove_metal.csv":     {key: "part depth_in gap_in bevel_deg cap_width_in cap_height_in", words: words{"part": "gap bevel cap"}},
	"convexity_limits.csv": {key: "weld face_width_over_in", group: "weld", band: "face_width_over_in face_width_through_in", rising: "limit_in", words: words{"weld": "fillet groove"}},
	"fillet_shears.csv":    {key: "electrode_strength_ksi", rising: "electrode_strength_ksi allowable_shear_ksi"},
	"bead_shapes.csv": {key: "response", words: words{"response": "width height penetration"},
		limits: limits{"current_low_A": {180, 360}, "current_high_A": {180, 360}, "diameter_low_mm": {1.2, 1.6}, "diameter_high_mm": {1.2, 1.6}}},

	"duty_facts.csv":         {key: "key"},
	"supply_multipliers.csv": {key: "duty_pct", falling: "duty_pct multiplier motor_generator_multiplier", limits: limits{"multiplier": {0.4, 1}, "motor_generator_multiplier": {0.4, 1}}},
	"supply_rules.csv":       {key: "clause", limits: limits{"limit_pct": {0, 200}}},
	"breaker_sizes.csv":      {key: "rating_A", rising: "rating_A"},
	"copper_resistances.csv": {key: "awg", falling: "awg stranded_ohm_per_kft coated_stranded_ohm_per_kft", rising: "area_circular_mils"},
	"cord_ampacities.csv":    {key: "awg current_carrying_conductors", group: "current_carrying_conductors", falling: "awg", rising: "ampacity_A"},
	"receptacles.csv":        {key: "nema", limits: limits{"voltage_V": {125, 125}, "rating_A": {15, 30}, "cord_and_plug_load_A": {12, 24}}},
	"lead_sizes.csv":         {key: "current_A total_length_through_ft duty_from_pct", limits: limits{"parallel_cables": {1, 2}}},
	"lead_rules.csv":         {key: "key"},

	"rectifier_factors.csv":   {key: "quantity of", limits: limits{"half_wave": {0.3, 2}, "full_wave_bridge": {0.3, 2}}},
	"residual_voltages.csv":   {key: "standard clause"},
	"open_circuit_limits.csv": {key: "standard use current measured", words: words{"current": "ac dc", "measured": "rms peak mean"}, limits: limits{"limit_V": {40, 141}}},

	"eye_shades.csv": {key: "operation current_from_A", group: "operation", band: "current_from_A current_through_A",
		limits: limits{"minimum_shade": {2, 14}, "suggested_shade": {2, 14}, "suggested_shade_low": {2, 14}}},
	"exposure_limits.csv": {key: "substance body fraction kind", words: words{"kind": "twa stel ceiling idlh", "fraction": "respirable inhalable"}},
	"safety_rules.csv":    {key: "key", words: words{"topic": "ventilation fume fire shock eyes containers confined-space"}},

	"visual_limits.csv": {key: "item loading size_over_in", group: "item loading", band: "size_over_in size_through_in",
		words: words{"loading": "static cyclic"}, limits: limits{"limit_in": {0.01, 0.75}}},
	"imperfection_limits.csv": {key: "iso_6520_1 weld thickness_over_mm level", group: "iso_6520_1 weld level", band: "thickness_over_mm thickness_through_mm",
		words:  words{"level": "B C D", "rule": "none limit short use", "of": "t s a b", "weld": "butt fillet any"},
		limits: limits{"factor": {0.01, 1}, "h0_mm": {0.1, 2}, "max_mm": {0.5, 10}}},
	"destructive_limits.csv": {key: "test criterion", words: words{"test": "guided-bend fillet-break macro-etch"}, limits: limits{"limit_in": {0.05, 0.5}}},
	"variable_limits.csv":    {key: "variable", limits: limits{"low_pct": {-25, 0}, "high_pct": {0, 25}}},
	"heat_input_rules.csv":   {key: "standard"},

	"positions.csv":        {key: "iso", words: words{"weld": "fillet groove any", "position": positionWords + " pipe-up pipe-down inclined-pipe-up"}},
	"processes.csv":        {key: "number", words: words{"number": processWords}},
	"procedure_fields.csv": {key: "field"},
	"formulas.csv":         {key: "key"},
	"remedies.csv":         {key: "symptoms process seen cause", words: words{"symptoms": symptomWords, "process": "wire covered any"}},
	"causes.csv": {key: "symptom process kind change direction cause", words: words{"symptom": symptomWords, "process": "wire covered any",
		"kind": "connection consumable metal hand setting", "direction": "up down check"}},
	"bead_signs.csv": {key: "sense good", words: words{"sense": "look sound", "good": "yes no"}},
}
