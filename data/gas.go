package data

// GasStart is a printed setting of solid wire with a gas.
type GasStart struct {
	Gas                    string   `csv:"gas"`               // CO2, 80Ar/20CO2
	Joint                  string   `csv:"joint"`             // butt, tee, lap
	Weld                   string   `csv:"weld"`              // square-groove, fillet
	Position               string   `csv:"position,optional"` // "": not stated
	ThicknessMM            float64  `csv:"thickness_mm"`
	LegLowMM               float64  `csv:"leg_low_mm,optional"`  // 0: not given
	LegHighMM              float64  `csv:"leg_high_mm,optional"` // 0: not given
	GapLowMM               *float64 `csv:"gap_low_mm,optional"`  // nil: not given
	GapHighMM              *float64 `csv:"gap_high_mm,optional"` // nil: not given
	DiameterLowMM          float64  `csv:"diameter_low_mm"`
	DiameterHighMM         float64  `csv:"diameter_high_mm"`
	CurrentLowA            float64  `csv:"current_low_A"`
	CurrentHighA           float64  `csv:"current_high_A"`
	VoltageLowV            float64  `csv:"voltage_low_V"`
	VoltageHighV           float64  `csv:"voltage_high_V"`
	TravelLowCMPerMin      float64  `csv:"travel_low_cm_per_min"`
	TravelHighCMPerMin     float64  `csv:"travel_high_cm_per_min"`
	TipToWorkMM            float64  `csv:"tip_to_work_mm,optional"` // 0: not given
	GasFlowLowLitrePerMin  float64  `csv:"gas_flow_low_L_per_min"`
	GasFlowHighLitrePerMin float64  `csv:"gas_flow_high_L_per_min"`
	Layers                 int      `csv:"layers,optional"` // 0: not stated
	Row
}

var (
	co2Starts      = table[GasStart]("co2_starts.csv")
	mixedGasStarts = table[GasStart]("mixed_gas_starts.csv")
)

// CO2Starts returns settings of solid wire with carbon dioxide, thin to thick
// within one joint and position.
func CO2Starts() []GasStart { return co2Starts() }

// MixedGasStarts returns settings of solid wire with 80 % argon and 20 % carbon dioxide.
func MixedGasStarts() []GasStart { return mixedGasStarts() }
