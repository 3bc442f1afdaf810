package data

// Steel is a grade of steel, or something sold beside it that this wire cannot join.
// Composition limits are heat analysis in per cent by weight; 0: no limit given.
type Steel struct {
	Key      string   `csv:"key"`     // such as a36, 1018, a572-50
	Name     string   `csv:"name"`    // to show
	Aliases  []string `csv:"aliases"` // lower case, no two steels share one
	Standard string   `csv:"standard,optional"`
	Form     string   `csv:"form,optional"`
	CMin     float64  `csv:"c_min_pct,optional"`
	CMax     float64  `csv:"c_max_pct,optional"`
	MnMin    float64  `csv:"mn_min_pct,optional"`
	MnMax    float64  `csv:"mn_max_pct,optional"`
	SiMax    float64  `csv:"si_max_pct,optional"`
	CrMax    float64  `csv:"cr_max_pct,optional"`
	MoMax    float64  `csv:"mo_max_pct,optional"`
	NiMax    float64  `csv:"ni_max_pct,optional"`
	CuMax    float64  `csv:"cu_max_pct,optional"`
	VMax     float64  `csv:"v_max_pct,optional"`
	PMax     float64  `csv:"p_max_pct,optional"`
	SMax     float64  `csv:"s_max_pct,optional"`
	// CELow and CEHigh bound the carbon equivalent, but only where the standard
	// caps it or its limits leave little room; 0: no honest bound. Limits alone
	// overstate it for many grades, so prefer Group without a mill sheet.
	CELow     float64 `csv:"ce_low,optional"`
	CEHigh    float64 `csv:"ce_high,optional"`
	CEFormula string  `csv:"ce_formula,optional"` // key of [CarbonEquivalents]; "" without bounds
	Group     string  `csv:"group"`               // practical group: I, II, III, OUT, unknown
	InScope   string  `csv:"in_scope"`            // yes, warn, no
	// PreheatLowHydrogen and PreheatOther are the categories of [PreheatMinimums]
	// for low-hydrogen and wire processes and for other covered electrodes;
	// "" when the grade has none there.
	PreheatLowHydrogen string `csv:"preheat_low_hydrogen,optional"`
	PreheatOther       string `csv:"preheat_other,optional"`
	Row
}

// WeldabilityGroup is a band of carbon equivalent, over From through To.
type WeldabilityGroup struct {
	Group     string   `csv:"group"`               // I, II, III, OUT
	CEOver    *float64 `csv:"ce_over,optional"`    // IIW; nil: not a matter of carbon equivalent
	CEThrough float64  `csv:"ce_through,optional"` // 0: no upper end
	Meaning   string   `csv:"meaning"`
	Row
}

// CarbonEquivalent is a formula in weight per cent of the elements.
type CarbonEquivalent struct {
	Key     string  `csv:"key"`
	Formula string  `csv:"formula"`
	Valid   string  `csv:"valid,optional"` // range of composition, in words
	UsedBy  string  `csv:"used_by"`
	Limit   float64 `csv:"limit,optional"` // highest value that the user of the formula accepts; 0: none
	Row
}

// PreheatCategory says which rows of [PreheatMinimums] a steel takes.
type PreheatCategory struct {
	Steel       string   `csv:"steel"`                 // ASTM designation or SAE number
	Grades      []string `csv:"grades,optional"`       // nil: all
	LowHydrogen string   `csv:"low_hydrogen,optional"` // A, B, C, none; "": not seen
	Other       string   `csv:"other,optional"`        // the same for covered electrodes that are not low-hydrogen
	Row
}

// PreheatMinimum is the least preheat and interpass temperature for a band of
// thickness of the thickest part, over Over through Through.
type PreheatMinimum struct {
	Category  string  `csv:"category"`
	Process   string  `csv:"process"`                       // low-hydrogen (and all wire processes), other
	OverIn    float64 `csv:"thickness_over_in"`             // the first band begins at 1/8 in, included
	ThroughIn float64 `csv:"thickness_through_in,optional"` // 0: no upper end
	MinF      float64 `csv:"min_degF"`
	MinC      float64 `csv:"min_degC,optional"` // 0 degC is 32 degF
	Row
}

// RebarPreheat is the least preheat of reinforcing bar, CE over CEOver through CEThrough.
type RebarPreheat struct {
	CEOver    float64 `csv:"ce_over"`
	CEThrough float64 `csv:"ce_through,optional"` // 0: no upper end
	BarLow    int     `csv:"bar_low"`             // US bar number
	BarHigh   int     `csv:"bar_high"`
	MinF      float64 `csv:"min_degF,optional"` // 0: none
	Row
}

// HydrogenScale is a class of diffusible hydrogen, over Over through Through.
type HydrogenScale struct {
	Scale            string  `csv:"scale"` // A..E
	OverMLPer100g    float64 `csv:"over_ml_per_100g"`
	ThroughMLPer100g float64 `csv:"through_ml_per_100g,optional"` // 0: no upper end
	Row
}

var (
	steels            = table[Steel]("steels.csv")
	weldabilityGroups = table[WeldabilityGroup]("weldability_groups.csv")
	carbonEquivalents = table[CarbonEquivalent]("carbon_equivalents.csv")
	preheatCategories = table[PreheatCategory]("preheat_categories.csv")
	preheatMinimums   = table[PreheatMinimum]("preheat_minimums.csv")
	rebarPreheats     = table[RebarPreheat]("rebar_preheats.csv")
	hydrogenScales    = table[HydrogenScale]("hydrogen_scales.csv")
)

// Steels returns the grades, with "mild" and "unknown" among them.
func Steels() []Steel { return steels() }

// WeldabilityGroups returns the practical groups by carbon equivalent.
func WeldabilityGroups() []WeldabilityGroup { return weldabilityGroups() }

// CarbonEquivalents returns the carbon-equivalent formulas.
func CarbonEquivalents() []CarbonEquivalent { return carbonEquivalents() }

// PreheatCategories returns the preheat category of each listed steel.
func PreheatCategories() []PreheatCategory { return preheatCategories() }

// PreheatMinimums returns least preheat by category and thickness.
func PreheatMinimums() []PreheatMinimum { return preheatMinimums() }

// RebarPreheats returns least preheat of reinforcing bar.
func RebarPreheats() []RebarPreheat { return rebarPreheats() }

// HydrogenScales returns the hydrogen classes, most hydrogen first.
func HydrogenScales() []HydrogenScale { return hydrogenScales() }
