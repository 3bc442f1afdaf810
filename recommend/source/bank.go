package source

import (
	"math"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

func checkFarads(c float64) error { return arc.Within("capacity", c, 1e-6, 10, "F") }
func checkOhms(r float64) error   { return arc.Within("bleeder", r, 0.1, 1e8, "ohm") }
func checkStart(v procedures.Volts) error {
	return arc.Within("voltage", float64(v), 1, 1000, "V")
}

// Bank is a set of equal capacitors side by side, charged to one voltage.
type Bank struct {
	Farads float64          // of one capacitor, 1 uF to 10 F
	Count  int              // side by side, 1 to 100; 0 counts as 1
	Volts  procedures.Volts // at the start, 1 to 1000
}

func (b Bank) check() error {
	return first(checkFarads(b.Farads), arc.Within("capacitors", float64(b.Count), 0, 100, ""), checkFarads(b.farads()), checkStart(b.Volts))
}

func (b Bank) farads() float64 { return b.Farads * float64(max(b.Count, 1)) }

// chargeWords goes with every stored charge. A low voltage is not a small hazard.
const chargeWords = "still charged when unplugged: let the bleeder work, then measure; a ring or a wrench across the terminals welds itself on"

// Energy returns the stored energy C*V^2/2, in J. Derived here.
func (b Bank) Energy() (float64, error) {
	v := float64(b.Volts)
	return b.farads() * v * v / 2, b.check()
}

// Charge returns the stored charge C*V, in coulomb. Derived here.
func (b Bank) Charge() (float64, error) { return b.farads() * float64(b.Volts), b.check() }

// TimeConstant returns R*C, in s, with a bleeder of so many ohms (0.1 to 1e8).
func (b Bank) TimeConstant(ohms float64) (procedures.Seconds, error) {
	return procedures.Seconds(ohms * b.farads()), first(b.check(), checkOhms(ohms))
}

// VoltageAfter returns what is left after a time: V*exp(-t/(R*C)). Range: 0 to
// 1e7 s. Source: IEC 60204-1 copies, RC discharge.
func (b Bank) VoltageAfter(ohms float64, t procedures.Seconds) (procedures.Volts, error) {
	tau, err := b.TimeConstant(ohms)
	if err := first(err, arc.Within("time", float64(t), 0, 1e7, "s")); err != nil {
		return 0, err
	}
	return b.Volts * procedures.Volts(math.Exp(-float64(t/tau))), nil
}

// BleedTime returns how long a bleeder takes down to a voltage: R*C*ln(V0/V); 0
// where it is there already. Range: to 0.1 to 1000 V. Source: IEC 60204-1 copies.
func (b Bank) BleedTime(ohms float64, to procedures.Volts) (procedures.Seconds, error) {
	tau, err := b.TimeConstant(ohms)
	if err := first(err, checkLeft(to)); err != nil {
		return 0, err
	}
	return tau * procedures.Seconds(max(0, math.Log(float64(b.Volts/to)))), nil
}

// BleedOhms returns the bleeder, in ohm, that reaches a voltage in a time:
// t/(C*ln(V0/V)). Range: to 0.1 V up to below the start, 0.1 s to 1e6 s.
// Source: IEC 60204-1 copies.
func (b Bank) BleedOhms(to procedures.Volts, t procedures.Seconds) (float64, error) {
	if err := first(b.check(), checkLeft(to), arc.Within("time", float64(t), 0.1, 1e6, "s")); err != nil {
		return 0, err
	}
	if to >= b.Volts {
		return 0, arc.Within("voltage to reach", float64(to), 0.1, float64(b.Volts)*0.999, "V")
	}
	return float64(t) / (b.farads() * math.Log(float64(b.Volts/to))), nil
}

func checkLeft(to procedures.Volts) error {
	return arc.Within("voltage to reach", float64(to), 0.1, 1000, "V")
}

// Bleeder is what a resistor across the bank carries all the time the set is on.
type Bleeder struct {
	Amps  float64
	Watts float64
	Note  string
}

// BleederLoad returns the current and heat of a bleeder at the bank's voltage:
// V/R and V^2/R, without a pause. A resistor rated for twice the heat stays
// touchable longer: common practice, no source.
func (b Bank) BleederLoad(ohms float64) (Bleeder, error) {
	if err := first(b.check(), checkOhms(ohms)); err != nil {
		return Bleeder{}, err
	}
	v := float64(b.Volts)
	return Bleeder{Amps: v / ohms, Watts: v * v / ohms, Note: chargeWords}, nil
}
