package source_test

import (
	"math"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

// NEC 630.11(A): the multiplier is the root of the duty cycle, rounded; between
// rows the next higher row counts, so it is never below the root by more than rounding.
func TestMultiplier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := procedures.Percent(rapid.Float64Range(1, 100).Draw(t, "a"))
		b := procedures.Percent(rapid.Float64Range(1, 100).Draw(t, "b"))
		motor := rapid.Bool().Draw(t, "motor")
		ma, errA := source.Multiplier(min(a, b), motor)
		mb, errB := source.Multiplier(max(a, b), motor)
		if errA != nil || errB != nil || ma.Value > mb.Value || ma.Value < math.Sqrt(float64(min(a, b))/100)-0.006 {
			t.Errorf("%v: %v, %v: %v", min(a, b), ma.Value, max(a, b), mb.Value)
		}
		sound(t, "multiplier", ma)
	})
}

func TestSupply(t *testing.T) {
	v, err := source.SupplyConductor(20, 20, false)
	if err != nil || !near(v.Value, 9, 1e-9) || !strings.Contains(v.Note, "licensed electrician") {
		t.Errorf("%+v, %v", v, err)
	}
	e, err := source.EffectiveCurrent(20, 2, 20)
	if err != nil || !near(e.Value, 9.12, 0.005) {
		t.Errorf("%+v, %v", e, err)
	}
	if full, _ := source.EffectiveCurrent(20, 0, 100); full.Value != 20 {
		t.Errorf("at full duty %v A", full.Value)
	}
	o, err := source.Overcurrent(20)
	if err != nil || o.Value != 40 || !strings.Contains(o.Note, "not a size to go and fit") {
		t.Errorf("%+v, %v", o, err)
	}
	// 120 V, 90 A at 18.5 V through 70 % and 0.9: derived.
	p, err := source.PrimaryCurrent(90, 18.5, 120, 0.7, 0.9)
	if err != nil || !near(p.Value, 90*18.5/120/0.63, 1e-9) {
		t.Errorf("%+v, %v", p, err)
	}
	for _, x := range []arc.Value{v, e, o, p} {
		sound(t, "supply", x)
	}
	for a, want := range map[procedures.Amps]float64{0.5: 15, 15: 15, 15.01: 20, 100: 100} {
		if b, err := source.NextBreaker(a); err != nil || b.Value != want {
			t.Errorf("%v A: %v, %v", a, b.Value, err)
		}
	}
	outside(t, "larger than the list", second(source.NextBreaker(101)))
	if r, err := source.ReceptacleLoad("5-15R"); err != nil || r.Value != 12 {
		t.Errorf("%+v, %v", r, err)
	}
	refused(t, "outlet", second(source.ReceptacleLoad("5-99R")))
}

// A group never needs more than its welders one by one, and a further welder
// never makes it need less.
func TestGroup(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var all []source.Welder
		var sum float64
		for range rapid.IntRange(1, 7).Draw(t, "n") {
			w := source.Welder{Primary: procedures.Amps(rapid.IntRange(5, 80).Draw(t, "A")), Duty: procedures.Percent(rapid.IntRange(10, 100).Draw(t, "%")), Count: 1}
			v, err := source.SupplyConductor(w.Primary, w.Duty, false)
			if err != nil {
				t.Fatal(err)
			}
			sum += v.Value
			all = append(all, w)
		}
		g, err := source.Group(all)
		if err != nil || g.Value > sum+1e-9 {
			t.Errorf("%v A for %v, %v", g.Value, sum, err)
		}
		if len(all) > 1 {
			fewer, _ := source.Group(all[1:])
			if fewer.Value > g.Value+1e-9 {
				t.Errorf("%v with fewer, %v with all", fewer.Value, g.Value)
			}
		}
	})
	refused(t, "none", second(source.Group(nil)))
	refused(t, "count", second(source.Group([]source.Welder{{Primary: 20, Duty: 20}})))
	refused(t, "current", second(source.Group([]source.Welder{{Duty: 20, Count: 1}})))
}

func TestSupplyErrors(t *testing.T) {
	for _, v := range bad {
		a, d, volts := procedures.Amps(v), procedures.Percent(v), procedures.Volts(v)
		for what, err := range map[string]error{
			"multiplier": second(source.Multiplier(d, false)), "conductor": second(source.SupplyConductor(a, 20, false)), "duty": second(source.SupplyConductor(20, d, true)),
			"effective": second(source.EffectiveCurrent(a, 0, 20)), "effective duty": second(source.EffectiveCurrent(20, 2, d)), "overcurrent": second(source.Overcurrent(a)), "breaker": second(source.NextBreaker(a)),
			"out": second(source.PrimaryCurrent(a, 18, 120, 0.7, 0.9)), "load": second(source.PrimaryCurrent(90, volts, 120, 0.7, 0.9)), "line": second(source.PrimaryCurrent(90, 18, volts, 0.7, 0.9)),
			"efficiency": second(source.PrimaryCurrent(90, 18, 120, v, 0.9)), "power factor": second(source.PrimaryCurrent(90, 18, 120, 0.7, v)),
			"length": second(source.Drop(procedures.MM(v), 2, 20)), "ohm": second(source.Drop(feet(25), v, 20)), "amps": second(source.Drop(feet(25), 2, a)),
			"supply": second(source.DropPercent(1, volts)), "cord length": second(source.CordDrop(procedures.Cord{AWG: 12, Length: procedures.MM(v)}, 20, 120, 18)),
			"cord amps": second(source.CordDrop(procedures.Cord{AWG: 12, Length: feet(25)}, a, 120, 18)), "cord supply": second(source.CordDrop(procedures.Cord{AWG: 12, Length: feet(25)}, 20, volts, 18)),
			"cord arc": second(source.CordDrop(procedures.Cord{AWG: 12, Length: feet(25)}, 20, 120, volts)), "lead length": second(source.LeadDrop(4, procedures.MM(v), 90)), "lead amps": second(source.LeadDrop(4, feet(20), a)),
			"size amps": second(source.LeadSize(a, feet(20), 20)), "size length": second(source.LeadSize(90, procedures.MM(v), 20)), "size duty": second(source.LeadSize(90, feet(20), d)),
			"shade": second(source.Shade(procedures.FCAWS, a)), "room": second(source.Ventilation(v, 3, 1, false)), "ceiling": second(source.Ventilation(100, v, 1, false)),
		} {
			refused(t, what, err)
		}
		if v != 0 {
			refused(t, "idle", second(source.EffectiveCurrent(20, a, 20)))
			refused(t, "drop", second(source.DropPercent(volts, 120)))
		}
	}
	refused(t, "welders", second(source.Ventilation(100, 3, 0, false)))
	refused(t, "cord size", second(source.CordDrop(procedures.Cord{AWG: 13, Length: feet(25)}, 20, 120, 18)))
	refused(t, "lead size", second(source.LeadDrop(5, feet(20), 90)))
}

func TestCord(t *testing.T) {
	for _, c := range []struct {
		awg    int
		ft     float64
		amps   procedures.Amps
		words  string
		silent bool
		stop   bool
	}{
		{10, 20, 20, "", true, false},                             // 1 % of 120 V
		{12, 50, 20, "more than the 3 % suggested", false, false}, // 3.3 %
		{14, 50, 18, "more than the 3 % suggested", false, false}, // 4.7 %
		{14, 50, 20, "feel it after each bead", false, false},     // 18 A cord: a ninth over
		{16, 50, 20, "heavier cord", false, true},                 // 13 A cord: half over, as the page of the circuit says
		{6, 300, 30, "of the supply", false, false},               // heavier than the cord table
	} {
		l, err := source.CordDrop(procedures.Cord{AWG: c.awg, Length: feet(c.ft)}, c.amps, 120, 18)
		if err != nil || (l.Caution == "") != c.silent || l.Stop != c.stop {
			t.Errorf("%+v: %+v, %v", c, l, err)
			continue
		}
		if !strings.Contains(l.Caution, c.words) {
			t.Errorf("%+v: %q", c, l.Caution)
		}
		sound(t, "drop", l.Drop)
		// The arc loses the same share as the supply.
		if !near(float64(l.Arc), 18*l.Drop.Value/120, 1e-9) || !near(float64(l.Share), 100*l.Drop.Value/120, 1e-9) {
			t.Errorf("%+v", l)
		}
	}
	weak, _ := source.CordDrop(procedures.Cord{AWG: 14, Length: feet(100)}, 15, 120, 18)
	if !strings.Contains(weak.Caution, "less at the arc") {
		t.Errorf("7.9 %% of the supply: %q", weak.Caution)
	}
	noTable(t, "cord", second(source.CordAmpacity(6, 2)))
	noTable(t, "conductors", second(source.CordAmpacity(12, 4)))
}

// A longer or thinner cord never loses less.
func TestCordProperties(t *testing.T) {
	sizes := []int{4, 6, 8, 10, 12, 14, 16, 18}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, len(sizes)-2).Draw(t, "size")
		ft := rapid.Float64Range(5, 200).Draw(t, "ft")
		i := procedures.Amps(rapid.Float64Range(5, 30).Draw(t, "A"))
		at := func(awg int, ft float64) float64 {
			l, err := source.CordDrop(procedures.Cord{AWG: awg, Length: feet(ft)}, i, 120, 18)
			if err != nil {
				t.Fatal(err)
			}
			return l.Drop.Value
		}
		if at(sizes[k+1], ft) < at(sizes[k], ft) || at(sizes[k], ft*1.2) < at(sizes[k], ft) {
			t.Errorf("%d AWG %v ft %v A", sizes[k], ft, i)
		}
	})
}

func TestLeads(t *testing.T) {
	l, err := source.LeadDrop(4, feet(20), 90)
	if err != nil || !near(l.Drop.Value, 0.5544, 1e-9) || l.Caution != "" {
		t.Errorf("%+v, %v", l, err)
	}
	sound(t, "lead", l.Drop)
	long, _ := source.LeadDrop(4, feet(160), 90)
	if !strings.Contains(long.Caution, "most to lose") { // 4.4 V
		t.Errorf("%+v", long)
	}
	thin, _ := source.LeadDrop(10, feet(10), 90)
	if !strings.Contains(thin.Caution, "circular mils") { // 115 an ampere
		t.Errorf("%+v", thin)
	}
	for _, c := range []struct {
		a    procedures.Amps
		ft   float64
		d    procedures.Percent
		want string
	}{{90, 20, 20, "4"}, {100, 150, 100, "4"}, {101, 100, 20, "3"}, {200, 100, 59, "3"}, {200, 100, 60, "2"}, {200, 100, 2, "3"}, {300, 400, 20, "3/0"}} {
		s, err := source.LeadSize(c.a, feet(c.ft), c.d)
		if err != nil || s.AWG != c.want || len(s.Source) == 0 {
			t.Errorf("%+v: %+v, %v", c, s, err)
		}
	}
	outside(t, "current", second(source.LeadSize(301, feet(20), 20)))
	outside(t, "length", second(source.LeadSize(90, feet(401), 20)))
}

func TestShade(t *testing.T) {
	for _, c := range []struct {
		p              procedures.Process
		i              procedures.Amps
		least, suggest int
	}{{procedures.FCAWS, 59.9, 7, 9}, {procedures.SMAW, 40, 7, 9}, {procedures.FCAWS, 60, 10, 11}, {procedures.GMAW, 160, 10, 12}, {procedures.SMAW, 60, 8, 10}, {procedures.SMAW, 250, 11, 14}, {"141", 50, 8, 12}} {
		e, err := source.Shade(c.p, c.i)
		if err != nil || e.Minimum != c.least || e.Suggested != c.suggest || e.Practice != (c.least == 7) || e.Note == "" || len(e.Source) == 0 {
			t.Errorf("%+v: %+v, %v", c, e, err)
		}
	}
	rapid.Check(t, func(t *rapid.T) { // never lighter for more current
		p := rapid.SampledFrom([]procedures.Process{procedures.FCAWS, procedures.FCAWG, procedures.GMAW, procedures.SMAW, "141"}).Draw(t, "process")
		a, b := rapid.Float64Range(1, 500).Draw(t, "a"), rapid.Float64Range(1, 500).Draw(t, "b")
		ea, errA := source.Shade(p, procedures.Amps(min(a, b)))
		eb, errB := source.Shade(p, procedures.Amps(max(a, b)))
		if errA != nil || errB != nil || ea.Minimum > eb.Minimum || ea.Suggested > eb.Suggested || ea.Suggested < ea.Minimum {
			t.Errorf("%s: %+v then %+v", p, ea, eb)
		}
	})
	outside(t, "over the list", second(source.Shade(procedures.FCAWS, 501)))
	noTable(t, "process", second(source.Shade("311", 100)))
}

func TestVentilation(t *testing.T) {
	const ft3 = 0.3048 * 0.3048 * 0.3048
	for _, c := range []struct {
		ft3, ft    float64
		welders    int
		partitions bool
		needed     bool
	}{{3000, 8, 1, false, true}, {10001, 16.1, 1, false, false}, {9999, 20, 1, false, true}, {20001, 20, 2, false, false}, {20001, 20, 3, false, true}, {20000, 15, 1, false, true}, {20000, 20, 1, true, true}} {
		a, err := source.Ventilation(c.ft3*ft3, c.ft*0.3048, c.welders, c.partitions)
		if err != nil || a.Needed != c.needed || a.Why == "" {
			t.Errorf("%+v: %+v, %v", c, a, err)
		}
		if c.needed && !near(a.Flow.Value, 2000*float64(c.welders)*ft3, 1e-6) {
			t.Errorf("%+v: %v m3/min", c, a.Flow.Value)
		}
	}
}
