package data

// LeadSize is the copper needed for a welding circuit, both leads together.
type LeadSize struct {
	CurrentA     float64 `csv:"current_A"`
	ThroughFt    float64 `csv:"total_length_through_ft"` // out and back
	DutyFromPct  float64 `csv:"duty_from_pct"`           // included
	DutyBelowPct float64 `csv:"duty_below_pct,optional"` // not included; 0: no upper end
	Parallel     int     `csv:"parallel_cables"`
	AWG          string  `csv:"awg"` // of each cable: 4 ... 1, 1/0 ... 4/0
	Row
}

// LeadRule is a rule for welding leads.
type LeadRule struct {
	Key   string  `csv:"key"`
	Rule  string  `csv:"rule"`
	Value float64 `csv:"value,optional"` // 0: a rule without a number
	Unit  string  `csv:"unit,optional"`
	Row
}

var (
	leadSizes = table[LeadSize]("lead_sizes.csv")
	leadRules = table[LeadRule]("lead_rules.csv")
)

// LeadSizes returns cable sizes by current and total length.
func LeadSizes() []LeadSize { return leadSizes() }

// LeadRules returns the rules for welding leads.
func LeadRules() []LeadRule { return leadRules() }
