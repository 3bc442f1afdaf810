package source_test

import (
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// connected is a machine of which all is known and nothing is wrong.
func connected() procedures.Machine {
	yes := true
	return procedures.Machine{Name: "shed", Output: procedures.DCEN, Taps: []procedures.Tap{{Name: "low", Open: 21}, {Name: "high", Open: 26}}, State: procedures.State{ID: "now"},
		RatedAmps: 90, RatedVolts: 18, Duty: 20, InputVolts: 120, InputAmps: 20, Breaker: 20, Wall: 12, Outlet: "5-20R", Plug: "5-15P", Rebuilt: true,
		Rebuild: &procedures.Rebuild{ACVolts: 24, Farads: 0.06, Capacitors: 6, CapVolts: 63, RippleAmps: 120, BleedOhms: 100, BleedWatts: 25, DiodeVolts: 1.1, RectifierAmps: 200, Fan: &yes, Thermostat: &yes, MainsHz: 60}}
}

// Each page's worst is everybody's worst, and says what to do.
func TestConcerns(t *testing.T) {
	if all := source.Concerns(connected(), 90, 18); len(all) != 0 {
		t.Errorf("%+v", all)
	}
	read := func(kind procedures.MeasurementKind, tap string, v float64) func(*procedures.Machine) {
		return func(m *procedures.Machine) {
			m.Measurements = []procedures.Measurement{{Kind: kind, Tap: tap, Value: v, State: "now", At: time.Date(2026, 5, 1, 10, 0, 0, 0, time.UTC)}}
		}
	}
	for what, w := range map[string]struct {
		change            func(*procedures.Machine)
		verdict           source.Verdict
		key, page, remedy string
	}{
		"a bleeder of hours":        {func(m *procedures.Machine) { m.Rebuild.BleedOhms = 1e5 }, source.DoNot, "bleed-time", "machine rebuilt", "unplugged until a qualified person"},
		"no bleeder":                {func(m *procedures.Machine) { m.Rebuild.BleedOhms = 0 }, source.DoNot, "bleeder", "machine rebuilt", "unplugged"},
		"a bleeder of two minutes":  {func(m *procedures.Machine) { m.Rebuild.BleedOhms = 900 }, source.Marginal, "bleed-time", "machine rebuilt", ""},
		"a bleeder that burns open": {func(m *procedures.Machine) { m.Rebuild.BleedWatts = 10 }, source.DoNot, "bleeder-heat", "machine rebuilt", ""},
		"124 V with no arc":         {read(procedures.OpenVolts, "high", 124), source.DoNot, "open-circuit", "machine rebuilt", ""},
		"124 V, not rebuilt":        {func(m *procedures.Machine) { m.Rebuilt = false; read(procedures.OpenVolts, "high", 124)(m) }, source.DoNot, "open-circuit", "machine measure", "measure it again"},
		"124 V as written down":     {func(m *procedures.Machine) { m.Rebuilt = false; m.Taps[1].Open = 124 }, source.DoNot, "open-circuit", "machine measure", ""},
		"124 V before a new liner": {func(m *procedures.Machine) {
			m.Rebuilt = false
			read(procedures.OpenVolts, "high", 124)(m)
			m.State.ID, m.SameOutput = "later", []string{"now", "later"}
		}, source.DoNot, "open-circuit", "machine measure", ""},
		"90 V":               {read(procedures.LineIdleVolts, "", 90), source.DoNot, "line-volts", "machine circuit", "another circuit"},
		"a sag":              {read(procedures.LineLoadVolts, "", 95), source.DoNot, "wiring", "machine circuit", "another circuit"},
		"a thin cord":        {func(m *procedures.Machine) { m.Cord = procedures.Cord{AWG: 16, Length: feet(50)} }, source.DoNot, "cord-amps", "machine circuit", "without the cord"},
		"a heater beside it": {func(m *procedures.Machine) { m.Others = []procedures.Load{{Name: "heater", Amps: 12.5}} }, source.WillTrip, "breaker", "machine circuit", ""},
	} {
		m := connected()
		w.change(&m)
		all := source.Concerns(m, 90, 18)
		if len(all) == 0 {
			t.Errorf("%s: nothing", what)
			continue
		}
		c := all[0]
		_, no := source.Forbidden(all)
		if c.Verdict != w.verdict || c.Key != w.key || c.Page != w.page || no != (w.verdict == source.DoNot) || !strings.Contains(c.Remedy(), w.remedy) || !strings.Contains(c.Remedy(), "stands under "+w.page) {
			t.Errorf("%s: %s %s %s: %s; %s", what, c.Verdict, c.Key, c.Page, c.Text, c.Remedy())
		}
	}
}

// The bleed time at the worst, by hand: 100 ohm x 0.072 F x ln(1.1 x 32.74 V / 5 V) =
// 7.2 s x ln(7.203) = 14.2 s, so 15 s; and 100 kohm take more than 3 h by print alone.
func TestBled(t *testing.T) {
	m := connected()
	if v := source.Bled(m); v != 15 {
		t.Errorf("%v", v)
	}
	m.Rebuild.BleedOhms = 1e5
	for _, f := range source.Concerns(m, 90, 18) {
		if f.Key == "bleed-time" && (!strings.Contains(f.Text, "3 h 8 min down to 5 V") || !strings.Contains(f.Text, "100 kohm x 0.06 F")) {
			t.Error(f.Text)
		}
	}
	m.Rebuild.BleedOhms = 0
	if v := source.Bled(m); v != 0 {
		t.Errorf("%v without a bleeder", v)
	}
	m = connected()
	if m.Rebuilt = false; source.Bled(m) != 0 {
		t.Error("a machine that was not rebuilt")
	}
	m = connected()
	m.Rebuild = nil
	if source.Bled(m) != 0 {
		t.Error("nothing is written down")
	}
}

func TestLasting(t *testing.T) {
	for v, want := range map[procedures.Seconds]string{11.3: "12 s", 120: "120 s", 160: "2 min 40 s", 300: "5 min", 11275.6: "3 h 8 min", 3599.5: "60 min", 5400: "1 h 30 min"} {
		if got := source.Lasting(v); got != want {
			t.Errorf("%v: %s, want %s", v, got, want)
		}
	}
}
