package data

// Wire classes are written as AWS does (E71T-11, E71T-GS); "solid" stands for
// any plain steel wire, "self-shielded" for any self-shielded flux-cored wire and
// "covered" for any covered electrode.

// SelfShieldedStart is a printed setting of self-shielded wire.
type SelfShieldedStart struct {
	Class             string   `csv:"class"`
	DiameterIn        float64  `csv:"diameter_in"`
	Kind              string   `csv:"kind"` // "data": calculation data; "optimum": optimum for fill passes
	ExtensionIn       float64  `csv:"extension_in"`
	Polarity          string   `csv:"polarity"`  // dcen
	Positions         []string `csv:"positions"` // flat, horizontal, vertical-up, vertical-down, overhead; or "any"
	Weld              string   `csv:"weld"`      // fillet, groove, any
	WireSpeedInPerMin float64  `csv:"wire_speed_in_per_min"`
	CurrentA          float64  `csv:"current_A"`
	VoltageV          float64  `csv:"voltage_V"`
	DepositionLbPerH  float64  `csv:"deposition_lb_per_h,optional"` // 0: not given
	ThicknessLowIn    float64  `csv:"thickness_low_in,optional"`    // 0: not given
	ThicknessHighIn   float64  `csv:"thickness_high_in,optional"`   // 0: not given
	Row
}

// CurvePoint ties wire speed to current and arc voltage, at the extension and
// polarity of [SelfShieldedStarts].
type CurvePoint struct {
	Class             string  `csv:"class"`
	DiameterIn        float64 `csv:"diameter_in"`
	WireSpeedInPerMin float64 `csv:"wire_speed_in_per_min"`
	CurrentA          float64 `csv:"current_A"`
	VoltageV          float64 `csv:"voltage_V"`
	Row
}

// WireSpeedRatio is wire speed per ampere.
type WireSpeedRatio struct {
	Class            string  `csv:"class"` // solid, E71T-GS
	DiameterIn       float64 `csv:"diameter_in"`
	LowInPerMinA     float64 `csv:"low_in_per_min_per_A,optional"` // in/min per A; 0: no second figure
	TypicalInPerMinA float64 `csv:"typical_in_per_min_per_A"`
	HighInPerMinA    float64 `csv:"high_in_per_min_per_A,optional"` // 0: no second figure
	Row
}

// WireLimit is what a self-shielded wire may be run at.
type WireLimit struct {
	Class                    string  `csv:"class"`
	DiameterIn               float64 `csv:"diameter_in,optional"`                  // 0: any size
	WireSpeedLowInPerMin     float64 `csv:"wire_speed_low_in_per_min,optional"`    // 0: not given
	WireSpeedHighInPerMin    float64 `csv:"wire_speed_high_in_per_min,optional"`   // 0: not given
	VoltageLowV              float64 `csv:"voltage_low_V,optional"`                // 0: not given
	VoltageHighV             float64 `csv:"voltage_high_V,optional"`               // 0: not given
	SinglePassMaxThicknessIn float64 `csv:"single_pass_max_thickness_in,optional"` // 0: not given
	MaxThicknessIn           float64 `csv:"max_thickness_in,optional"`             // with as many passes as allowed; 0: not given
	Polarity                 string  `csv:"polarity"`                              // dcen; or "maker": as the maker states
	Passes                   string  `csv:"passes"`                                // single, multiple
	Row
}

// ThicknessCurrent is the current wanted for a thickness, flat position.
type ThicknessCurrent struct {
	Class       string  `csv:"class"` // self-shielded
	ThicknessIn float64 `csv:"thickness_in"`
	CurrentA    float64 `csv:"current_A"`
	Row
}

// PositionFactor is what the flat-position current is multiplied by.
type PositionFactor struct {
	Class    string  `csv:"class"` // self-shielded, solid, covered
	Position string  `csv:"position"`
	Low      float64 `csv:"factor_low"`
	Typical  float64 `csv:"factor_typical"`
	High     float64 `csv:"factor_high"`
	Row
}

// Extension is a printed electrode extension or contact-tip-to-work distance.
type Extension struct {
	Process  string  `csv:"process"` // ISO 4063 number
	Use      string  `csv:"use"`
	Measured string  `csv:"measured"`        // extension, tip-to-work
	LowIn    float64 `csv:"low_in,optional"` // 0: only an upper limit is given
	HighIn   float64 `csv:"high_in"`
	LowMM    float64 `csv:"low_mm,optional"` // 0: only an upper limit is given
	HighMM   float64 `csv:"high_mm"`
	Row
}

// LoadVoltage is a straight line, arc voltage = intercept + slope * current.
type LoadVoltage struct {
	Process        string  `csv:"process"` // ISO 4063 number
	Use            string  `csv:"use"`     // "conventional": the line that ratings are read on
	InterceptLowV  float64 `csv:"intercept_low_V"`
	InterceptHighV float64 `csv:"intercept_high_V"`
	SlopeVPerA     float64 `csv:"slope_V_per_A"`
	CurrentLowA    float64 `csv:"current_low_A,optional"` // 0: from zero
	CurrentHighA   float64 `csv:"current_high_A"`
	Row
}

// DepositionEfficiency is weld metal per weight of electrode used.
type DepositionEfficiency struct {
	Process    string  `csv:"process"` // ISO 4063 number
	Use        string  `csv:"use"`
	LowPct     float64 `csv:"low_pct,optional"`     // 0: not given
	TypicalPct float64 `csv:"typical_pct,optional"` // 0: not given
	HighPct    float64 `csv:"high_pct,optional"`    // 0: not given
	Row
}

// ArcEfficiency is the share of arc energy that counts as heat input.
type ArcEfficiency struct {
	Process string  `csv:"process"` // ISO 4063 number; "any" for the US rule
	Letters string  `csv:"letters"`
	K       float64 `csv:"factor_k"`
	Row
}

// WireLength is how far a weight of solid wire reaches.
type WireLength struct {
	Material   string  `csv:"material"`
	DiameterIn float64 `csv:"diameter_in"`
	InPerLb    float64 `csv:"length_in_per_lb"`
	MPerKg     float64 `csv:"length_m_per_kg"`
	Row
}

var (
	selfShieldedStarts     = table[SelfShieldedStart]("self_shielded_starts.csv")
	selfShieldedCurve      = table[CurvePoint]("current_curve.csv")
	selfShieldedLimits     = table[WireLimit]("self_shielded_limits.csv")
	wireSpeedPerAmpere     = table[WireSpeedRatio]("wire_speed_per_ampere.csv")
	currentByThickness     = table[ThicknessCurrent]("current_by_thickness.csv")
	positionFactors        = table[PositionFactor]("position_factors.csv")
	extensions             = table[Extension]("extensions.csv")
	loadVoltages           = table[LoadVoltage]("load_voltages.csv")
	depositionEfficiencies = table[DepositionEfficiency]("deposition_efficiencies.csv")
	arcEfficiencies        = table[ArcEfficiency]("arc_efficiencies.csv")
	wireLengths            = table[WireLength]("wire_lengths.csv")
)

// SelfShieldedStarts returns the printed settings of self-shielded wire.
func SelfShieldedStarts() []SelfShieldedStart { return selfShieldedStarts() }

// SelfShieldedCurve returns wire speed, current and voltage by class and
// diameter. Within one wire both wire speed and current rise strictly.
func SelfShieldedCurve() []CurvePoint { return selfShieldedCurve() }

// SelfShieldedLimits returns the limits of self-shielded wires.
func SelfShieldedLimits() []WireLimit { return selfShieldedLimits() }

// WireSpeedPerAmpere returns in/min of wire for each ampere.
func WireSpeedPerAmpere() []WireSpeedRatio { return wireSpeedPerAmpere() }

// CurrentByThickness returns the current wanted against thickness, thin to
// thick; between two rows the current runs straight.
func CurrentByThickness() []ThicknessCurrent { return currentByThickness() }

// PositionFactors returns the factors on the flat current. A class and position
// without a row has no source.
func PositionFactors() []PositionFactor { return positionFactors() }

// Extensions returns electrode extensions and tip-to-work distances by process.
func Extensions() []Extension { return extensions() }

// LoadVoltages returns arc voltage against current.
func LoadVoltages() []LoadVoltage { return loadVoltages() }

// DepositionEfficiencies returns weld metal per electrode, in per cent.
func DepositionEfficiencies() []DepositionEfficiency { return depositionEfficiencies() }

// ArcEfficiencies returns the factor k of EN 1011-1 by process, and the US rule of 1.
func ArcEfficiencies() []ArcEfficiency { return arcEfficiencies() }

// WireLengths returns the length of solid wire in a weight of it.
func WireLengths() []WireLength { return wireLengths() }
