package source_test

import (
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

func finding(t *testing.T, all []source.Finding, key string) source.Finding {
	t.Helper()
	for _, f := range all {
		if f.Key == key {
			return f
		}
	}
	t.Fatalf("no finding %s among %+v", key, all)
	return source.Finding{}
}

func judge(t *testing.T, c source.Circuit) []source.Finding {
	t.Helper()
	found, _, err := c.Judge()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		if f.Figure.Unit != "" {
			sound(t, f.Key, f.Figure)
		}
		if f.Text == "" || len(f.Source) == 0 {
			t.Errorf("%+v", f)
		}
		if strings.Contains(strings.ToLower(f.Text), "fit a bigger breaker") {
			t.Errorf("never a bigger breaker: %s", f.Text)
		}
	}
	return found
}

// The household circuit of the cheapest machine: 20 A on the plate at 20 % duty,
// NEC 630.11(A) multiplier 0.45 and 630.12(A) 200 %.
func TestCircuit(t *testing.T) {
	c := source.Circuit{Draw: 19, Plate: 20, Duty: 20, Supply: 120, Arc: 18, Breaker: 20, Wall: 12, Outlet: "5-20R"}
	found := judge(t, c)
	if source.Worst(found) != source.Fine {
		t.Errorf("%+v", found)
	}
	if f := finding(t, found, "630.11"); !near(f.Figure.Value, 9, 1e-9) || !strings.Contains(f.Text, "x 0.45") {
		t.Errorf("%+v", f)
	}
	for _, f := range found {
		if f.Key == "630.12" || strings.Contains(f.Text, "40 A") {
			t.Errorf("a bigger breaker is named beside one that stands: %s", f.Text)
		}
	}
	if v := c.Verdict(found); v != source.Fine {
		t.Errorf("verdict %s", v)
	}
	if f := finding(t, found, "effective"); !near(f.Figure.Value, 8.497, 0.001) { // 19*sqrt(0.2)
		t.Errorf("%+v", f)
	}
	for what, w := range map[string]struct {
		change  func(*source.Circuit)
		key     string
		verdict source.Verdict
	}{
		"a freezer beside it":      {func(c *source.Circuit) { c.Others = []procedures.Amps{3, 1.5} }, "breaker", source.Marginal},
		"a heater beside it":       {func(c *source.Circuit) { c.Others = []procedures.Amps{12.5} }, "breaker", source.WillTrip},
		"twice its rating":         {func(c *source.Circuit) { c.Others = []procedures.Amps{22} }, "breaker", source.WillTrip},
		"a breaker for 14 AWG":     {func(c *source.Circuit) { c.Wall = 14 }, "wall", source.DoNot},
		"an upsized breaker":       {func(c *source.Circuit) { c.Breaker, c.Wall = 30, 0 }, "breaker-size", source.DoNot},
		"an upsized breaker alone": {func(c *source.Circuit) { c.Breaker = 30 }, "wall", source.DoNot},
		"over 630.12":              {func(c *source.Circuit) { c.Breaker = 50 }, "630.12", source.DoNot},
		"a 15 A outlet":            {func(c *source.Circuit) { c.Outlet = "5-15R" }, "outlet", source.Marginal},
		"a 15 A outlet on 30 A":    {func(c *source.Circuit) { c.Outlet, c.Breaker = "5-15R", 30 }, "outlet-breaker", source.DoNot},
		"too much for the outlet":  {func(c *source.Circuit) { c.Outlet, c.Duty = "5-15R", 60 }, "outlet", source.DoNot},
		"a thin cord":              {func(c *source.Circuit) { c.Cord = procedures.Cord{AWG: 16, Length: feet(50)} }, "cord-amps", source.DoNot},
		"a cord that has to rest":  {func(c *source.Circuit) { c.Cord = procedures.Cord{AWG: 14, Length: feet(50)} }, "cord-amps", source.Marginal},
		"a cord that never rests":  {func(c *source.Circuit) { c.Cord, c.Duty = procedures.Cord{AWG: 14, Length: feet(50)}, 0 }, "cord-amps", source.DoNot},
		"a long cord":              {func(c *source.Circuit) { c.Cord = procedures.Cord{AWG: 12, Length: feet(50)} }, "cord", source.Marginal},
		"a short heavy cord":       {func(c *source.Circuit) { c.Cord = procedures.Cord{AWG: 10, Length: feet(20)} }, "cord", source.Fine},
		"a 30 A breaker on 10 AWG": {func(c *source.Circuit) { c.Breaker, c.Wall, c.Outlet = 30, 10, "" }, "breaker-size", source.DoNot},
		"a 30 A outlet":            {func(c *source.Circuit) { c.Breaker, c.Wall, c.Outlet = 30, 10, "TT-30R" }, "plug", source.DoNot},
		"a 20 A plug, 15 A outlet": {func(c *source.Circuit) { c.Outlet, c.Plug = "5-15R", "5-20P" }, "plug", source.DoNot},
		"no cord, 17 V lost":       {func(c *source.Circuit) { c.Idle, c.Loaded = 121, 104 }, "wiring", source.DoNot},
		"9 V lost":                 {func(c *source.Circuit) { c.Idle, c.Loaded = 121, 112 }, "wiring", source.DoNot},
		"no reading at rest":       {func(c *source.Circuit) { c.Loaded = 95 }, "wiring", source.DoNot},
		"240 V on a 120 V plate":   {func(c *source.Circuit) { c.Rest = 240 }, "line-volts", source.DoNot},
		"100 V on a 120 V plate":   {func(c *source.Circuit) { c.Idle, c.Loaded = 100, 99 }, "line-volts", source.DoNot},
		"126 V on a 120 V plate":   {func(c *source.Circuit) { c.Rest = 126 }, "line-volts", source.Fine},
		"124 V on a 110 V plate":   {func(c *source.Circuit) { c.Supply, c.Rest = 110, 124 }, "line-volts", source.Fine},
		"a line that sags":         {func(c *source.Circuit) { c.Idle, c.Loaded = 121, 114 }, "sag", source.Marginal},
		"wiring that sags":         {func(c *source.Circuit) { c.Idle, c.Loaded = 121, 113 }, "wiring", source.Marginal},
		"a line that holds":        {func(c *source.Circuit) { c.Idle, c.Loaded = 121, 118 }, "sag", source.Fine},
	} {
		changed := c
		w.change(&changed)
		if f := finding(t, judge(t, changed), w.key); f.Verdict != w.verdict {
			t.Errorf("%s: %s: %s", what, f.Verdict, f.Text)
		}
	}
}

// 121 V idle and 114 V with the arc on at 20 A is 5.8 %, 0.35 ohm, and 5 % of the
// line is 1 V in 20 V: own arithmetic.
func TestLineSag(t *testing.T) {
	s, err := source.LineSag(121, 114, 20, 20)
	if err != nil || s.Volts != 7 || !near(float64(s.Share), 700./121, 1e-9) || !near(s.Ohms, 0.35, 1e-9) || !near(float64(s.Arc), 20*7./121, 1e-9) {
		t.Errorf("%+v, %v", s, err)
	}
	if s, err = source.LineSag(120, 114, 0, 20); err != nil || s.Ohms != 0 || !near(float64(s.Arc), 1, 1e-9) {
		t.Errorf("%+v, %v", s, err)
	}
	refused(t, "rises", second(source.LineSag(114, 121, 20, 20)))
	refused(t, "no line", second(source.LineSag(12, 11, 20, 20)))
}

// The cord's own loss is not laid at the house wiring's door.
func TestCordIsNotTheWall(t *testing.T) {
	c := source.Circuit{Draw: 20, Plate: 20, Duty: 20, Supply: 120, Breaker: 20, Cord: procedures.Cord{AWG: 12, Length: feet(50)}, Idle: 121, Loaded: 113}
	for _, f := range judge(t, c) {
		if f.Key == "wiring" {
			t.Errorf("%s", f.Text)
		}
	}
	c.Cord = procedures.Cord{}
	finding(t, judge(t, c), "wiring")
}

// Every verdict on the breaker says what not to do about it.
func TestNeverABiggerBreaker(t *testing.T) {
	for _, other := range []procedures.Amps{3, 12, 25} {
		found := judge(t, source.Circuit{Draw: 19, Breaker: 20, Others: []procedures.Amps{other}})
		if f := finding(t, found, "breaker"); !strings.Contains(f.Text, "never a bigger breaker") || !strings.Contains(f.Text, "licensed electrician") {
			t.Errorf("%s", f.Text)
		}
	}
}

func TestCircuitOf(t *testing.T) {
	at := time.Date(2026, 5, 1, 10, 0, 0, 0, time.UTC)
	line := func(kind procedures.MeasurementKind, v float64, minute int, state string) procedures.Measurement {
		return procedures.Measurement{Kind: kind, Value: v, State: state, At: at.Add(time.Duration(minute) * time.Minute)}
	}
	m := procedures.Machine{State: procedures.State{ID: "now"}, RatedAmps: 90, RatedVolts: 18, InputVolts: 120, InputAmps: 20, Breaker: 20, Duty: 20, Cord: procedures.Cord{AWG: 12, Length: feet(25)},
		Measurements: []procedures.Measurement{line(procedures.LineIdleVolts, 125, 0, "before"), line(procedures.LineLoadVolts, 100, 0, "before"),
			line(procedures.LineIdleVolts, 121, 1, "now"), line(procedures.LineLoadVolts, 114, 1, "now"), line(procedures.LineLoadVolts, 112, 2, "now")}}
	c := source.CircuitOf(m, 45, 16)
	// Half the amps through the same turns: 20 A x 45 / 90 = 10 A, whatever the arc's volts.
	if !near(float64(c.Draw), 10, 1e-9) || c.Plate != 20 || c.Rest != 121 || c.Idle != 121 || c.Loaded != 112 || c.Drawn != 20 || c.Cord != m.Cord {
		t.Errorf("%+v", c)
	}
	// Only the rated volts are missing: 20 A x 120 / 90 = 26.7 A.
	m.RatedVolts = 0
	if v, err := source.DrawOf(m, 120, 16); err != nil || !near(v.Value, 80./3, 1e-9) {
		t.Errorf("%+v, %v", v, err)
	}
	m.RatedVolts = 18
	// More volts than the plate's: 20 A x 45 x 20 / (90 x 18) = 11.1 A.
	if v, err := source.DrawOf(m, 45, 20); err != nil || !near(v.Value, 100./9, 1e-9) {
		t.Errorf("%+v, %v", v, err)
	}
	m.InputAmps = 0
	v, err := source.DrawOf(m, 90, 18.5)
	if err != nil || !near(v.Value, 90*18.5/120/0.63, 1e-9) || v.How() != procedures.CommonPractice {
		t.Errorf("%+v, %v", v, err)
	}
	m.InputVolts = 0
	refused(t, "no supply", second(source.DrawOf(m, 90, 18.5)))
	m.InputAmps = 20
	refused(t, "no arc", second(source.DrawOf(m, 90, 0)))
}

func TestCircuitMissing(t *testing.T) {
	found, missing, err := source.Circuit{}.Judge()
	if err != nil || len(found) != 0 || len(missing) != 8 {
		t.Errorf("%+v, %+v, %v", found, missing, err)
	}
	_, missing, _ = source.Circuit{Draw: 19, Plate: 20, Duty: 20, Supply: 120, Breaker: 20, Wall: 12, Outlet: "5-20R", Plug: "5-15P", Idle: 121, Loaded: 118}.Judge()
	if len(missing) != 0 {
		t.Errorf("%+v", missing)
	}
	for what, c := range map[string]source.Circuit{
		"breaker": {Breaker: 1000}, "draw": {Draw: 1e5, Breaker: 20}, "negative": {Draw: -5, Breaker: 20}, "wall": {Wall: 13}, "outlet": {Outlet: "wall"},
		"others": {Draw: 20, Breaker: 20, Others: []procedures.Amps{-3}}, "line": {Idle: 114, Loaded: 121}, "cord": {Draw: 20, Supply: 120, Cord: procedures.Cord{AWG: 13, Length: feet(10)}},
	} {
		_, _, err := c.Judge()
		refused(t, what, err)
	}
}

// More beside it never makes the verdict better.
func TestCircuitOrder(t *testing.T) {
	order := map[source.Verdict]int{source.Fine: 0, source.Marginal: 1, source.WillTrip: 2, source.DoNot: 3}
	rapid.Check(t, func(t *rapid.T) {
		c := source.Circuit{Draw: procedures.Amps(rapid.Float64Range(5, 40).Draw(t, "draw")), Breaker: procedures.Amps(rapid.SampledFrom([]float64{15, 20}).Draw(t, "breaker"))}
		before, _, err := c.Judge()
		c.Others = []procedures.Amps{procedures.Amps(rapid.Float64Range(0, 30).Draw(t, "other"))}
		after, _, err2 := c.Judge()
		if err != nil || err2 != nil || order[source.Worst(after)] < order[source.Worst(before)] {
			t.Errorf("%v to %v, %v, %v", source.Worst(before), source.Worst(after), err, err2)
		}
	})
}

// A circuit that nobody has looked at whole is never called fine.
func TestCircuitNotLookedAt(t *testing.T) {
	c := source.Circuit{Draw: 19, Plate: 20, Duty: 20, Supply: 120, Breaker: 20}
	for _, change := range []func(*source.Circuit){func(*source.Circuit) {}, func(c *source.Circuit) { c.Wall = 12 }, func(c *source.Circuit) { c.Outlet = "5-20R" }} {
		half := c
		change(&half)
		if v := half.Verdict(judge(t, half)); v != source.Unknown {
			t.Errorf("%+v: %s", half, v)
		}
	}
}

// 90 A draw 20 A: a 15 A breaker carries 67.5 A, and 54 A beside a fridge of 3 A. A
// cord for 13 A carries 58.5 A. In whole amps, rounded down.
func TestCarries(t *testing.T) {
	c := source.Circuit{Current: 90, Draw: 20, Breaker: 15}
	for _, w := range []struct {
		others []procedures.Amps
		cord   procedures.Cord
		want   float64
	}{{nil, procedures.Cord{}, 67}, {[]procedures.Amps{3}, procedures.Cord{}, 54}, {nil, procedures.Cord{AWG: 16, Length: feet(50)}, 58}} {
		c.Others, c.Cord = w.others, w.cord
		if i, ok := c.Carries(); !ok || !near(float64(i), w.want, 1e-9) {
			t.Errorf("%+v: %v", w, i)
		}
	}
	c.Others = []procedures.Amps{16}
	if _, ok := c.Carries(); ok {
		t.Error("nothing is left")
	}
	f := finding(t, judge(t, source.Circuit{Current: 109, Draw: 25.6, Breaker: 15, Supply: 120}), "carries")
	if !strings.Contains(f.Text, "about 63 A at the arc") || !strings.Contains(f.Text, "0.06 in (1.6 mm)") {
		t.Error(f.Text)
	}
	// 20 A of 20 at 98 A: by 1 A for each 0.001 in metal of 0.098 in (2.49 mm) at the most.
	f = finding(t, judge(t, source.Circuit{Current: 100, Draw: 20.4, Breaker: 20, Supply: 120}), "carries")
	if !strings.Contains(f.Text, "about 98 A at the arc") || !strings.Contains(f.Text, "0.09 in (2.4 mm)") {
		t.Error(f.Text)
	}
}

// A reading with the arc on counts against what the line stood at before it.
func TestLineInOrder(t *testing.T) {
	at := time.Date(2026, 5, 1, 10, 0, 0, 0, time.UTC)
	m := procedures.Machine{InputVolts: 120, InputAmps: 20, RatedAmps: 90}
	read := func(minute int, kind procedures.MeasurementKind, v float64) {
		m.Measurements = append(m.Measurements, procedures.Measurement{Kind: kind, Value: v, At: at.Add(time.Duration(minute) * time.Minute)})
	}
	read(0, procedures.LineIdleVolts, 118)
	read(0, procedures.LineLoadVolts, 113)
	read(0, procedures.ClampAmps, 45)
	read(9, procedures.LineIdleVolts, 125) // a better day
	if c := source.CircuitOf(m, 90, 18); c.Rest != 125 || c.Idle != 118 || c.Loaded != 113 || c.Drawn != 10 {
		t.Errorf("%+v", c)
	}
	read(10, procedures.LineLoadVolts, 104)
	if c := source.CircuitOf(m, 90, 18); c.Rest != 125 || c.Idle != 125 || c.Loaded != 104 || c.Drawn != 20 {
		t.Errorf("%+v", c)
	}
}

// TestDrawRises: more amps at the arc never draw less from the wall, and never less
// than the plate's own share of them; what the circuit carries at its breaker draws
// no more than the breaker.
func TestDrawRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range
		m := procedures.Machine{RatedAmps: procedures.Amps(number(40, 250).Draw(t, "rated")), RatedVolts: procedures.Volts(number(14, 30).Draw(t, "volts")),
			InputVolts: 120, InputAmps: procedures.Amps(number(8, 60).Draw(t, "input")), Breaker: procedures.Amps(rapid.IntRange(15, 60).Draw(t, "breaker")), Duty: 20}
		i, load := procedures.Amps(number(30, 250).Draw(t, "amps")), procedures.Volts(number(12, 32).Draw(t, "arc"))
		v, err := source.DrawOf(m, i, load)
		more, errMore := source.DrawOf(m, i+1, load)
		if err != nil || errMore != nil || more.Value <= v.Value {
			t.Fatalf("%v A draws %v, %v A draws %v (%v, %v)", i, v.Value, i+1, more.Value, err, errMore)
		}
		if least := float64(m.InputAmps * i / m.RatedAmps); v.Value < least-1e-9 {
			t.Fatalf("%v A draws %v, less than the plate's share %v", i, v.Value, least)
		}
		if carries, ok := source.CircuitOf(m, i, load).Carries(); ok && carries > 0 {
			if v, err := source.DrawOf(m, carries, load); err != nil || v.Value > float64(m.Breaker)+1e-6 {
				t.Fatalf("%v A that a %v A breaker is said to carry draws %v (%v)", carries, m.Breaker, v.Value, err)
			}
		}
	})
}
