package source_test

import (
	"math"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

// Down to a voltage and back: the time that a bleeder takes gives the voltage, and
// the bleeder for that time is the bleeder.
func TestBleedRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := source.Bank{Farads: rapid.Float64Range(1e-3, 0.5).Draw(t, "C"), Count: rapid.IntRange(0, 6).Draw(t, "n"), Volts: procedures.Volts(rapid.Float64Range(10, 170).Draw(t, "V0"))}
		ohms := rapid.Float64Range(5, 5000).Draw(t, "R")
		to := b.Volts * procedures.Volts(rapid.Float64Range(0.05, 0.95).Draw(t, "share"))
		s, err := b.BleedTime(ohms, to)
		if err != nil {
			t.Fatal(err)
		}
		v, err := b.VoltageAfter(ohms, s)
		if err != nil || !near(float64(v), float64(to), 1e-9*float64(b.Volts)) {
			t.Errorf("%v V came back as %v, %v", to, v, err)
		}
		if s >= 0.1 {
			r, err := b.BleedOhms(to, s)
			if err != nil || !near(r, ohms, 1e-6*ohms) {
				t.Errorf("%v ohm came back as %v, %v", ohms, r, err)
			}
		}
		// Twice the capacitors take twice the time and hold twice the energy.
		two := b
		two.Count = 2 * max(b.Count, 1)
		s2, err := two.BleedTime(ohms, to)
		if err != nil || !near(float64(s2), 2*float64(s), 1e-9*float64(s2)) {
			t.Errorf("%v s, two of them %v s, %v", s, s2, err)
		}
		e, _ := b.Energy()
		e2, err := two.Energy()
		if err != nil || !near(e2, 2*e, 1e-9*e2) {
			t.Errorf("%v J, two of them %v J, %v", e, e2, err)
		}
		q, err := b.Charge()
		if err != nil || !near(q*float64(b.Volts)/2, e, 1e-9*e) {
			t.Errorf("%v C, %v J, %v", q, e, err)
		}
	})
}

// 47 mF through 50 ohm from 38 V: 4.8 s to 5 V, two of them 9.5 s, 0.76 A and 29 W.
// Common practice, no source; the arithmetic is V = V0*exp(-t/RC).
func TestExampleBank(t *testing.T) {
	one := source.Bank{Farads: 0.047, Volts: 38}
	s, err := one.BleedTime(50, 5)
	if err != nil || !near(float64(s), 4.8, 0.05) {
		t.Errorf("%v, %v", s, err)
	}
	l, err := one.BleederLoad(50)
	if err != nil || !near(l.Amps, 0.76, 1e-9) || !near(l.Watts, 28.88, 1e-9) || !strings.Contains(l.Note, "measure") {
		t.Errorf("%+v, %v", l, err)
	}
	if s, err := one.BleedTime(50, 40); err != nil || s != 0 {
		t.Errorf("there already: %v, %v", s, err)
	}
}

func TestBankErrors(t *testing.T) {
	good := source.Bank{Farads: 0.047, Count: 2, Volts: 38}
	for _, v := range bad {
		volts, s := procedures.Volts(v), procedures.Seconds(v)
		for _, b := range []source.Bank{{Farads: v, Volts: 38}, {Farads: 0.047, Volts: volts}} {
			refused(t, "energy", second(b.Energy()))
			refused(t, "charge", second(b.Charge()))
			refused(t, "constant", second(b.TimeConstant(50)))
			refused(t, "after", second(b.VoltageAfter(50, 1)))
			refused(t, "time", second(b.BleedTime(50, 5)))
			refused(t, "ohms", second(b.BleedOhms(5, 10)))
			refused(t, "load", second(b.BleederLoad(50)))
			refused(t, "rules", second(source.ResidualRules(b, 50)))
		}
		for what, err := range map[string]error{
			"bleeder": second(good.BleedTime(v, 5)), "constant": second(good.TimeConstant(v)), "load": second(good.BleederLoad(v)), "to": second(good.BleedTime(50, volts)),
			"ohms to": second(good.BleedOhms(volts, 10)), "ohms time": second(good.BleedOhms(5, s)),
		} {
			refused(t, what, err)
		}
		if v != 0 {
			refused(t, "time", second(good.VoltageAfter(50, s)))
			refused(t, "rules", second(source.ResidualRules(good, v)))
		}
	}
	refused(t, "above the start", second(good.BleedOhms(38, 10)))
	refused(t, "count", second(source.Bank{Farads: 0.047, Count: -1, Volts: 38}.Energy()))
	refused(t, "too much in all", second(source.Bank{Farads: 5, Count: 50, Volts: 38}.Energy()))
}

func TestResidualRules(t *testing.T) {
	find := func(b source.Bank, ohms float64, clause string) source.Residual {
		t.Helper()
		all, err := source.ResidualRules(b, ohms)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range all {
			if r.Clause == clause {
				return r
			}
		}
		t.Fatalf("no rule %s", clause)
		return source.Residual{}
	}
	// A rebuilt 120 V machine lies below every rule: no rule asks for anything.
	dc := source.Bank{Farads: 0.047, Count: 2, Volts: 38}
	all, err := source.ResidualRules(dc, 0)
	if err != nil || len(all) < 4 {
		t.Fatalf("%d rules, %v", len(all), err)
	}
	for _, r := range all {
		if !r.Already || !r.Kept || r.Wait != 0 {
			t.Errorf("%+v", r)
		}
	}
	// 160 V through 10 kohm and 1 mF: 50 V after 11.6 s, in time for NEC 460.6.
	mains := source.Bank{Farads: 0.001, Volts: 160}
	if r := find(mains, 10000, "460.6(A)"); r.Already || !r.Kept || !near(float64(r.Wait), 10*math.Log(3.2), 1e-9) {
		t.Errorf("%+v", r)
	}
	if r := find(mains, 0, "460.6(A)"); r.Kept || !math.IsInf(float64(r.Wait), 1) || r.At != 160 {
		t.Errorf("no bleeder: %+v", r)
	}
	if r := find(mains, 10000, "6.2.4"); r.Kept { // 97 V after 5 s
		t.Errorf("%+v", r)
	}
}

func TestOpenCircuitLimits(t *testing.T) {
	over := func(v procedures.Volts, w source.Waveform) (n int) {
		t.Helper()
		all, err := source.OpenCircuitLimits(v, w)
		if err != nil || len(all) == 0 {
			t.Fatal(len(all), err)
		}
		for _, l := range all {
			if l.Over {
				n++
			}
		}
		return n
	}
	// 30 V rms through a bridge: 42.4 V DC, under all limits; 80 V AC is at OSHA's
	// and over the three that IEC has for increased hazard by rms and by peak.
	if n := over(42.4, source.Smooth); n != 0 {
		t.Errorf("42.4 V DC is over %d limits", n)
	}
	if n := over(48, source.Sine); n != 0 {
		t.Errorf("48 V AC is over %d limits", n)
	}
	if n := over(49, source.Sine); n != 2 { // 48 V rms and 68 V peak
		t.Errorf("49 V AC is over %d limits", n)
	}
	if n := over(100, source.Smooth); n != 0 {
		t.Errorf("100 V DC is over %d limits", n)
	}
	if n := over(114, source.Smooth); n != 3 {
		t.Errorf("114 V DC is over %d limits", n)
	}
	for _, v := range bad {
		refused(t, "volts", second(source.OpenCircuitLimits(procedures.Volts(v), source.Sine)))
	}
	refused(t, "kind", second(source.OpenCircuitLimits(40, "pulsed")))
}
