package recommend

import "beadwright/procedures"

// ExampleWire is what is in the machine when nothing was said: the commonest
// flux-core wire that may be run in more than one pass.
func ExampleWire() procedures.Wire {
	return procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}
}

// ExampleMachine is a made-up machine that answers until the welder has written
// down the real one. Its figures are usual for its kind (common practice, no
// source); they are nobody's name plate.
func ExampleMachine(p procedures.Process) procedures.Machine {
	ipm := procedures.InchesPerMin
	switch p {
	case procedures.GMAW, procedures.FCAWG:
		return procedures.Machine{
			Name: "example 240 V gas machine", Example: true, Output: procedures.DC, Processes: []procedures.Process{procedures.GMAW, procedures.FCAWS},
			WireMin: ipm(60), WireMax: ipm(600), RatedAmps: 180, RatedVolts: 23, Duty: 30, MaxAmps: 210,
			InputVolts: 240, InputAmps: 30, Breaker: 50,
		}
	case procedures.SMAW:
		return procedures.Machine{
			Name: "example 240 V stick machine", Example: true, Output: procedures.DC, Processes: []procedures.Process{procedures.SMAW},
			RatedAmps: 180, RatedVolts: 27.2, Duty: 20, MaxAmps: 225, InputVolts: 240, InputAmps: 40, Breaker: 50,
		}
	}
	return procedures.Machine{
		Name: "example 120 V two-tap machine", Example: true, Output: procedures.DCEN, Processes: []procedures.Process{procedures.FCAWS},
		Taps:    []procedures.Tap{{Name: "low", Load: 14.5, How: procedures.Guessed}, {Name: "high", Load: 17, How: procedures.Guessed}},
		WireMin: ipm(40), WireMax: ipm(340), RatedAmps: 90, RatedVolts: 18.5, Duty: 20, MaxAmps: 130,
		InputVolts: 120, InputAmps: 20, Breaker: 20,
	}
}
