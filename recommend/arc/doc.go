// Package arc holds the arithmetic of the arc: how wire speed, current and
// voltage hang together, what the arc puts into a joint, and what it leaves there.
//
// Everything is a pure function of its arguments and of the printed tables. A
// lookup returns a [Value]: the number with its likely range, its unit, how it
// was got and the ids of its sources. Outside a table the answer is a
// [*RangeError], never a longer line. A number that no welder can mean (zero,
// negative, not a number) is refused with [*procedures.InvalidError].
//
//	Current, WireSpeed, CurrentRange             wire speed <-> current by wire class and size
//	FitCurrent, Fit                              the same from the welder's own clamp readings
//	ElectrodeCurrent                             current range of a covered electrode
//	Voltage, LoadVoltage                         arc volts for a current; the line that ratings are read on
//	Energy, EnergyFromJoules, EnergyFromPower    arc energy (the US codes call it heat input)
//	HeatInput, HeatInputWith, ThermalEfficiency  heat input of EN 1011-1, with its factor k
//	WireMass, DepositionEfficiency, Deposition,
//	PrintedDeposition, DepositionMeasured,
//	EfficiencyMeasured                           what melts and what stays
//	BeadArea, Leg, TravelFor, TravelForLeg       bead size by volume balance; the pace for a wanted size
//	Travel, SayTravel                            pace from a stopwatch, and in words: 4 in in 24 s
//	Within, Weakest, Together                    what the sister packages share
package arc
