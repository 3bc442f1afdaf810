package data

// Electrode is the current range of one size of covered electrode.
type Electrode struct {
	Class        string  `csv:"class"` // E6010 ... E7024
	DiameterIn   float64 `csv:"diameter_in"`
	DiameterMM   float64 `csv:"diameter_mm"` // as sold, not converted
	CurrentLowA  float64 `csv:"current_low_A"`
	CurrentHighA float64 `csv:"current_high_A"`
	Row
}

var electrodes = table[Electrode]("electrodes.csv")

// Electrodes returns covered electrodes by class, thin to thick.
func Electrodes() []Electrode { return electrodes() }
