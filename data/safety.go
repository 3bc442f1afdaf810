package data

// EyeShade is the filter for an operation and a band of current. Bands share
// their ends: at a shared end take the darker row.
type EyeShade struct {
	Operation       string  `csv:"operation"`                    // SMAW, GMAW/FCAW, GTAW ...
	ElectrodeLowIn  float64 `csv:"electrode_low_in,optional"`    // SMAW only; 0: no lower end
	ElectrodeHighIn float64 `csv:"electrode_high_in,optional"`   // SMAW only; 0: no upper end
	FromA           float64 `csv:"current_from_A,optional"`      // 0: from zero
	ThroughA        float64 `csv:"current_through_A,optional"`   // 0: not a matter of current
	Minimum         int     `csv:"minimum_shade"`                // 29 CFR 1910.133
	Suggested       int     `csv:"suggested_shade,optional"`     // ANSI Z49.1, the darker end; 0: none given
	SuggestedLow    int     `csv:"suggested_shade_low,optional"` // the lighter end where a span is printed; else 0
	Row
}

// ExposureLimit is an airborne limit.
type ExposureLimit struct {
	Substance    string  `csv:"substance"`
	Body         string  `csv:"body"`              // OSHA PEL, ACGIH TLV, NIOSH REL, NIOSH IDLH
	Fraction     string  `csv:"fraction,optional"` // respirable, inhalable; "": not stated
	LimitMGPerM3 float64 `csv:"limit_mg_per_m3"`
	Kind         string  `csv:"kind"` // twa, stel, ceiling, idlh
	Row
}

// SafetyRule is a rule of shop practice in our own words.
type SafetyRule struct {
	Key   string  `csv:"key"`
	Topic string  `csv:"topic"` // ventilation, fume, fire, shock, eyes, containers, confined-space
	Rule  string  `csv:"rule"`
	Value float64 `csv:"value,optional"` // the rule's own number; 0: none
	Unit  string  `csv:"unit,optional"`
	Row
}

var (
	eyeShades      = table[EyeShade]("eye_shades.csv")
	exposureLimits = table[ExposureLimit]("exposure_limits.csv")
	safetyRules    = table[SafetyRule]("safety_rules.csv")
)

// EyeShades returns filter shades by operation and current, low to high.
func EyeShades() []EyeShade { return eyeShades() }

// ExposureLimits returns limits of fume and its metals.
func ExposureLimits() []ExposureLimit { return exposureLimits() }

// SafetyRules returns rules of ventilation, fire, shock and eyes.
func SafetyRules() []SafetyRule { return safetyRules() }
