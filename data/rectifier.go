package data

// RectifierFactor compares half-wave and full-wave bridge rectifiers on a sine wave.
type RectifierFactor struct {
	Quantity string  `csv:"quantity"`
	Of       string  `csv:"of"` // what the factor multiplies: peak, rms, average, mains frequency, count
	HalfWave float64 `csv:"half_wave"`
	Bridge   float64 `csv:"full_wave_bridge"`
	Row
}

// ResidualVoltage is how far a charge must fall after the supply is cut.
type ResidualVoltage struct {
	Standard string  `csv:"standard"`
	Clause   string  `csv:"clause"`
	VoltageV float64 `csv:"residual_V"`
	TimeS    float64 `csv:"time_s,optional"` // 0: not known
	When     string  `csv:"applies_to"`
	Row
}

// OpenCircuitLimit is the highest voltage with no arc.
type OpenCircuitLimit struct {
	Standard string  `csv:"standard"`
	Use      string  `csv:"use"`
	Current  string  `csv:"current"`  // ac, dc
	Measured string  `csv:"measured"` // rms, peak, mean
	LimitV   float64 `csv:"limit_V"`
	Row
}

var (
	rectifierFactors  = table[RectifierFactor]("rectifier_factors.csv")
	residualVoltages  = table[ResidualVoltage]("residual_voltages.csv")
	openCircuitLimits = table[OpenCircuitLimit]("open_circuit_limits.csv")
)

// RectifierFactors returns the factors of half-wave and bridge rectifiers without a filter.
func RectifierFactors() []RectifierFactor { return rectifierFactors() }

// ResidualVoltages returns the rules for stored charge. A 120 V machine's DC
// side stays below all of them from the start: its energy is the hazard.
func ResidualVoltages() []ResidualVoltage { return residualVoltages() }

// OpenCircuitLimits returns the limits of no-load voltage.
func OpenCircuitLimits() []OpenCircuitLimit { return openCircuitLimits() }
