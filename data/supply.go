package data

// DutyFact is a figure that belongs to duty-cycle ratings.
type DutyFact struct {
	Key   string  `csv:"key"` // such as period_min
	What  string  `csv:"what"`
	Value float64 `csv:"value,optional"` // 0: said in words only
	Unit  string  `csv:"unit,optional"`
	Row
}

// SupplyMultiplier turns rated primary current into the current that the supply
// conductors must carry, by duty cycle.
type SupplyMultiplier struct {
	DutyPct        float64 `csv:"duty_pct"`   // the 20 % row also covers less
	Multiplier     float64 `csv:"multiplier"` // transformer and rectifier welders
	MotorGenerator float64 `csv:"motor_generator_multiplier"`
	Row
}

// SupplyRule is a rule of the US electrical code in our own words.
type SupplyRule struct {
	Clause string  `csv:"clause"`
	Rule   string  `csv:"rule"`
	Pct    float64 `csv:"limit_pct,optional"` // 0: the rule is not a percentage
	Row
}

// BreakerSize is a standard size of overcurrent device.
type BreakerSize struct {
	RatingA float64 `csv:"rating_A"`
	Row
}

// CopperResistance is the DC resistance of uncoated and coated copper at 75 degC.
type CopperResistance struct {
	AWG                     int     `csv:"awg"`
	CircularMils            float64 `csv:"area_circular_mils"`
	SolidOhmPerKft          float64 `csv:"solid_ohm_per_kft,optional"` // 0: not given
	StrandedOhmPerKft       float64 `csv:"stranded_ohm_per_kft"`
	CoatedStrandedOhmPerKft float64 `csv:"coated_stranded_ohm_per_kft"`
	Row
}

// CordAmpacity is the current that a flexible cord may carry.
type CordAmpacity struct {
	AWG        int     `csv:"awg"`
	Conductors int     `csv:"current_carrying_conductors"` // 2: a 120 V cord with earth; 3
	AmpacityA  float64 `csv:"ampacity_A"`
	Row
}

// Receptacle is an outlet on a 120 V circuit.
type Receptacle struct {
	NEMA     string  `csv:"nema"`
	VoltageV float64 `csv:"voltage_V"`
	RatingA  float64 `csv:"rating_A"`
	LoadA    float64 `csv:"cord_and_plug_load_A"` // highest load of one cord-and-plug appliance
	Row
}

var (
	dutyFacts         = table[DutyFact]("duty_facts.csv")
	supplyMultipliers = table[SupplyMultiplier]("supply_multipliers.csv")
	supplyRules       = table[SupplyRule]("supply_rules.csv")
	breakerSizes      = table[BreakerSize]("breaker_sizes.csv")
	copperResistances = table[CopperResistance]("copper_resistances.csv")
	cordAmpacities    = table[CordAmpacity]("cord_ampacities.csv")
	receptacles       = table[Receptacle]("receptacles.csv")
)

// DutyFacts returns the figures behind duty-cycle ratings.
func DutyFacts() []DutyFact { return dutyFacts() }

// SupplyMultipliers returns multipliers by duty cycle, high to low.
func SupplyMultipliers() []SupplyMultiplier { return supplyMultipliers() }

// SupplyRules returns the rules for welder supply circuits.
func SupplyRules() []SupplyRule { return supplyRules() }

// BreakerSizes returns standard sizes, small to large.
func BreakerSizes() []BreakerSize { return breakerSizes() }

// CopperResistances returns conductor resistance, thin to thick.
func CopperResistances() []CopperResistance { return copperResistances() }

// CordAmpacities returns what flexible cords carry.
func CordAmpacities() []CordAmpacity { return cordAmpacities() }

// Receptacles returns 120 V outlets, small to large.
func Receptacles() []Receptacle { return receptacles() }
