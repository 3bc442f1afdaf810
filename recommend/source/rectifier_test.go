package source_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

// The classic factors: peak 1.414, half-wave mean 0.318 of it, bridge 0.900 of rms.
func TestRectifier(t *testing.T) {
	pk, err := source.PeakOf(100)
	if err != nil || !near(float64(pk), 141.4, 0.05) {
		t.Errorf("%v, %v", pk, err)
	}
	half, err := source.HalfWave(100)
	if err != nil || !near(float64(half)/float64(pk), 0.318, 0.0005) {
		t.Errorf("%v, %v", half, err)
	}
	b, err := source.Bridge(100, 0)
	if err != nil || !near(float64(b.Mean), 90, 0.05) || b.NoLoad != pk {
		t.Errorf("%+v, %v", b, err)
	}
	refused(t, "two diodes shut", second(source.Bridge(2, 1)))
	for _, v := range bad {
		volts := procedures.Volts(v)
		refused(t, "peak", second(source.PeakOf(volts)))
		refused(t, "half", second(source.HalfWave(volts)))
		refused(t, "bridge", second(source.Bridge(volts, 0.7)))
		if v != 0 {
			refused(t, "drop", second(source.Bridge(30, volts)))
			refused(t, "heat drop", second(source.BridgeHeat(90, volts, 2, 20)))
			refused(t, "rating", second(source.CheckRippleCurrent(90, procedures.Amps(v))))
		}
		for what, err := range map[string]error{
			"load": second(source.Ripple(procedures.Amps(v), 60, 0.1, 38)), "mains": second(source.Ripple(90, v, 0.1, 38)), "farads": second(source.Ripple(90, 60, v, 38)), "peak": second(source.Ripple(90, 60, 0.1, volts)),
			"heat": second(source.BridgeHeat(procedures.Amps(v), 1, 2, 20)), "heat duty": second(source.BridgeHeat(90, 1, 2, procedures.Percent(v))), "ripple load": second(source.CheckRippleCurrent(procedures.Amps(v), 100)),
			"tau": second(source.Body{Steady: 50, Tau: procedures.Seconds(v)}.RiseAfter(0, 10)), "tau in cycle": second(source.Body{Steady: 50, Tau: procedures.Seconds(v)}.PeakInCycle(20)),
			"cycle duty": second(source.Body{Steady: 50, Tau: 600}.PeakInCycle(procedures.Percent(v))),
		} {
			refused(t, what, err)
		}
		if v != 0 {
			refused(t, "rise", second(source.Body{Steady: 50, Tau: 600}.RiseAfter(v, 10)))
			refused(t, "time", second(source.Body{Steady: 50, Tau: 600}.RiseAfter(0, procedures.Seconds(v))))
			refused(t, "steady", second(source.Body{Steady: v, Tau: 600}.RiseAfter(0, 10)))
		}
	}
	refused(t, "no diode", second(source.BridgeHeat(90, 1, 0, 20)))
}

// The formula holds only while the ripple is small, and says so.
func TestRipple(t *testing.T) {
	small, err := source.Ripple(90, 60, 0.12, 41.2) // 6.25 V of 41.2
	if err != nil || !small.Small || !near(small.Ripple.Value, 6.25, 1e-9) || small.Ripple.Note != "" || !near(float64(small.Mean), 41.2-6.25/2, 1e-9) {
		t.Errorf("%+v, %v", small, err)
	}
	large, err := source.Ripple(90, 60, 0.047, 38) // 16 V of 38
	if err != nil || large.Small || large.Ripple.Note == "" || large.Mean != 0 || large.Ripple.Low != 0 {
		t.Errorf("%+v, %v", large, err)
	}
	rapid.Check(t, func(t *rapid.T) {
		i := procedures.Amps(rapid.Float64Range(5, 150).Draw(t, "A"))
		c := rapid.Float64Range(0.01, 1).Draw(t, "C")
		a, err := source.Ripple(i, 60, c, 40)
		if err != nil {
			t.Fatal(err)
		}
		sound(t, "ripple", a.Ripple)
		more, _ := source.Ripple(i, 60, c*1.5, 40)
		if more.Ripple.Value > a.Ripple.Value {
			t.Errorf("more capacity, more ripple: %v then %v", a.Ripple.Value, more.Ripple.Value)
		}
	})
}

func TestRippleCurrent(t *testing.T) {
	for _, c := range []struct {
		load, rated procedures.Amps
		warn        bool
	}{{90, 0, true}, {90, 89, true}, {90, 90, false}, {50, 90, false}} {
		r, err := source.CheckRippleCurrent(c.load, c.rated)
		if err != nil || r.Warn != c.warn || (r.Note != "") != c.warn || r.Amps != c.load {
			t.Errorf("%+v: %+v, %v", c, r, err)
		}
	}
}

func TestBridgeHeat(t *testing.T) {
	h, err := source.BridgeHeat(80, 0.7, 2, 20)
	if err != nil || !near(h.ArcOn, 112, 1e-9) || !near(h.Mean, 22.4, 1e-9) {
		t.Errorf("%+v, %v", h, err)
	}
}

// Warming never overshoots, and a cycle's peak lies between the mean and the steady rise.
func TestBody(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := source.Body{Steady: rapid.Float64Range(1, 200).Draw(t, "K"), Tau: procedures.Seconds(rapid.Float64Range(60, 20000).Draw(t, "tau"))}
		from := rapid.Float64Range(0, 200).Draw(t, "from")
		s := procedures.Seconds(rapid.Float64Range(0, 5000).Draw(t, "s"))
		r, err := b.RiseAfter(from, s)
		if err != nil || r < math.Min(from, b.Steady)-1e-9 || r > math.Max(from, b.Steady)+1e-9 {
			t.Errorf("%+v from %v after %v: %v, %v", b, from, s, r, err)
		}
		d := procedures.Percent(rapid.Float64Range(1, 100).Draw(t, "%"))
		pk, err := b.PeakInCycle(d)
		if err != nil || pk < b.Steady*float64(d)/100-1e-9 || pk > b.Steady+1e-9 {
			t.Errorf("%+v at %v %%: %v, %v", b, d, pk, err)
		}
	})
}
