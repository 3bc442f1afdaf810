package source

import (
	"math"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

var rectifierMaths = []string{"RC-MATH"}

func checkRMS(v procedures.Volts) error {
	return arc.Within("AC voltage", float64(v), 1, 700, "V rms")
}

func checkDrop(v procedures.Volts) error {
	return arc.Within("diode drop", float64(v), 0, 3, "V")
}

// PeakOf returns the peak, in V, of a sine of so many V rms. Range: 1 to 700 V.
// Source: US Army TC 9-62.
func PeakOf(rms procedures.Volts) (procedures.Volts, error) {
	return rms * math.Sqrt2, checkRMS(rms)
}

// HalfWave returns the mean, in V, of a half-wave rectified sine with an ideal
// diode: the peak over pi. Range: 1 to 700 V. Source: US Army TC 9-62.
func HalfWave(rms procedures.Volts) (procedures.Volts, error) {
	return rms * math.Sqrt2 / math.Pi, checkRMS(rms)
}

// Rectified is what a full-wave bridge makes of a tap.
type Rectified struct {
	Mean   procedures.Volts // unsmoothed: 2*peak/pi less two diodes, first order
	NoLoad procedures.Volts // behind a capacitor with no load: peak less two diodes
}

// Bridge returns what a full-wave bridge makes of a tap. drop is one diode's: about
// 0.6 V at no load, 1.1 V at welding current. Range: 1 to 700 V rms, drop 0 to
// 3 V; a tap that does not open two diodes is refused. Derived here.
func Bridge(rms, drop procedures.Volts) (Rectified, error) {
	if err := first(checkRMS(rms), checkDrop(drop)); err != nil {
		return Rectified{}, err
	}
	r := Rectified{Mean: rms*2*math.Sqrt2/math.Pi - 2*drop, NoLoad: rms*math.Sqrt2 - 2*drop}
	if r.Mean <= 0 {
		return Rectified{}, procedures.Invalid("AC voltage", "", "too little to open two diodes", "more than twice the diode drop")
	}
	return r, nil
}

// Smoothing is what a capacitor leaves of the ripple at welding current.
type Smoothing struct {
	Ripple arc.Value        // V peak to peak
	Mean   procedures.Volts // at that current, with ideal charging: peak less two diodes and half the ripple
	Small  bool             // the ripple is small against the peak, so the figures hold
}

// smallRipple is the share of the peak from which I/(2fC) is only an upper bound:
// the capacitor then recharges for too much of each half wave. Own threshold.
const smallRipple = 0.25

// Ripple returns the ripple behind a bridge and a bank of capacitors: I/(2*f*C),
// good only while it is small against the peak; past a quarter of it the figure is
// an upper bound and Small is false. load 0.1 to 2000 A, mains 40 to 400 Hz,
// capacity 1 uF to 10 F, peak (after the diodes) 1 to 1000 V. Derived here.
func Ripple(load procedures.Amps, mainsHz, farads float64, peak procedures.Volts) (Smoothing, error) {
	err := first(checkAmps("current", load), arc.Within("mains", mainsHz, 40, 400, "Hz"), checkFarads(farads), checkStart(peak))
	if err != nil {
		return Smoothing{}, err
	}
	dv := float64(load) / (2 * mainsHz * farads)
	out := Smoothing{Small: dv <= smallRipple*float64(peak)}
	out.Ripple = arc.Value{Value: dv, Low: 0, High: dv, Unit: "V", Basis: data.Computed, Source: rectifierMaths}
	if out.Small {
		// The capacitor falls only while the diodes are shut; they open again where
		// the sine has climbed to what is left.
		out.Ripple.Low = dv * (1 - math.Acos(1-dv/float64(peak))/math.Pi)
	} else {
		out.Ripple.Note = "too large against the peak for this formula: an upper bound; measure it"
	}
	out.Mean = peak - procedures.Volts(dv/2)
	if !out.Small {
		out.Mean = 0 // not known
	}
	return out, nil
}

// RippleCurrent warns about the current that runs in and out of the capacitors.
type RippleCurrent struct {
	Amps  procedures.Amps // least to expect, rms, all capacitors together
	Rated procedures.Amps // what the bank is rated for; 0: not known
	Warn  bool            // over the rating, or no rating known
	Note  string
}

// CheckRippleCurrent compares the ripple current of a bank with its rating. Behind
// a bridge a smoothing capacitor carries about as much ripple, rms, as the load
// current, and more with a stiff transformer: the load current is the least to
// reckon with (common practice, no source). rated is the sum over the bank, 0 if not
// known. Range: load 0.1 to 2000 A, rating 0 to 10000 A.
func CheckRippleCurrent(load, rated procedures.Amps) (RippleCurrent, error) {
	if err := first(checkAmps("current", load), arc.Within("ripple rating", float64(rated), 0, 10000, "A")); err != nil {
		return RippleCurrent{}, err
	}
	out := RippleCurrent{Amps: load, Rated: rated}
	switch {
	case rated == 0:
		out.Warn, out.Note = true, "the capacitors' ripple rating is not known: read it in their data sheet before trusting them; overloaded ones overheat and burst"
	case load > rated:
		out.Warn, out.Note = true, "the ripple current is over what the capacitors are rated for: they overheat and may burst"
	}
	return out, nil
}

// Heat is what a bridge turns into heat, in W.
type Heat struct{ ArcOn, Mean float64 }

// BridgeHeat returns the heat of a rectifier: current times drop times diodes in
// series while the arc is on, and that times the duty cycle on the mean.
// Range: 0.1 to 2000 A, drop 0 to 3 V a diode, 1 to 4 diodes, 1 to 100 %. Derived here.
func BridgeHeat(i procedures.Amps, drop procedures.Volts, inSeries int, d procedures.Percent) (Heat, error) {
	if err := first(checkAmps("current", i), checkDrop(drop), arc.Within("diodes in series", float64(inSeries), 1, 4, ""), checkDuty(d)); err != nil {
		return Heat{}, err
	}
	on := float64(i) * float64(drop) * float64(inSeries)
	return Heat{ArcOn: on, Mean: on * float64(d) / 100}, nil
}
