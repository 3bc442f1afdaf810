package data

// VisualLimit is a visual acceptance criterion of AWS D1.1, non-tubular.
type VisualLimit struct {
	Item      string  `csv:"item"`
	Loading   string  `csv:"loading"` // static, cyclic
	Limit     string  `csv:"criterion"`
	LimitIn   float64 `csv:"limit_in,optional"`        // the criterion's own length; 0: none
	OverIn    float64 `csv:"size_over_in,optional"`    // of the fillet or the thickness it applies to; 0: any
	ThroughIn float64 `csv:"size_through_in,optional"` // 0: no upper end
	Row
}

// ImperfectionLimit is a limit of ISO 5817 for one quality level: with x the
// size that Of names, the limit is h0 + factor*x, and not over max.
type ImperfectionLimit struct {
	Number    string  `csv:"iso_6520_1"`
	Name      string  `csv:"imperfection"`
	Weld      string  `csv:"weld"`                          // butt, fillet, any
	OverMM    float64 `csv:"thickness_over_mm,optional"`    // 0: from 0.5 mm
	ThroughMM float64 `csv:"thickness_through_mm,optional"` // 0: no upper end
	Level     string  `csv:"level"`                         // B, C, D
	Rule      string  `csv:"rule"`                          // none (not permitted), limit, short (short imperfections only), use (depends on use)
	H0MM      float64 `csv:"h0_mm,optional"`
	Factor    float64 `csv:"factor,optional"`
	Of        string  `csv:"of,optional"`     // t plate thickness, s weld thickness, a throat, b width of bead, face or root
	MaxMM     float64 `csv:"max_mm,optional"` // 0: no cap
	Row
}

// DestructiveLimit is a criterion of a destructive test.
type DestructiveLimit struct {
	Test    string  `csv:"test"` // guided-bend, fillet-break, macro-etch
	Limit   string  `csv:"criterion"`
	LimitIn float64 `csv:"limit_in,optional"` // 0: none
	Row
}

// VariableLimit is how far a variable may move from a qualified procedure.
type VariableLimit struct {
	Variable string  `csv:"variable"`
	LowPct   float64 `csv:"low_pct,optional"` // 0 with High 0: any change
	HighPct  float64 `csv:"high_pct,optional"`
	Change   string  `csv:"requalify_on"`
	Row
}

// HeatInputRule is a rule on the range of heat input around a qualified value.
type HeatInputRule struct {
	Standard string `csv:"standard"`
	Rule     string `csv:"rule"`
	When     string `csv:"applies_when"`
	Row
}

var (
	visualLimits       = table[VisualLimit]("visual_limits.csv")
	imperfectionLimits = table[ImperfectionLimit]("imperfection_limits.csv")
	destructiveLimits  = table[DestructiveLimit]("destructive_limits.csv")
	variableLimits     = table[VariableLimit]("variable_limits.csv")
	heatInputRules     = table[HeatInputRule]("heat_input_rules.csv")
)

// VisualLimits returns the visual acceptance criteria.
func VisualLimits() []VisualLimit { return visualLimits() }

// ImperfectionLimits returns the limits of ISO 5817, three rows an imperfection.
func ImperfectionLimits() []ImperfectionLimit { return imperfectionLimits() }

// DestructiveLimits returns the criteria of bend, break and etch tests.
func DestructiveLimits() []DestructiveLimit { return destructiveLimits() }

// VariableLimits returns how far a procedure's variables may move.
func VariableLimits() []VariableLimit { return variableLimits() }

// HeatInputRules returns rules on heat input ranges.
func HeatInputRules() []HeatInputRule { return heatInputRules() }
