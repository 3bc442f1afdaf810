package recommend

import (
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// A machine that some page says do not of gets no settings, and is told what to do;
// one that will trip its breaker gets them at the edge, with what the circuit carries.
func TestMachineCheck(t *testing.T) {
	ask := func(m procedures.Machine) Suggestion {
		t.Helper()
		r, err := procedures.ReadJob("1/8 mild tee flat 0.035 E71T-11", procedures.US, Lexicon())
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Complete(); err != nil {
			t.Fatal(err)
		}
		s, err := Suggest(Request{Job: r.Job, Machine: m, Words: "1/8 mild tee flat"}, nil)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	shed := func() procedures.Machine {
		m := ExampleMachine(procedures.FCAWS)
		m.Name, m.Output, m.InputVolts, m.InputAmps, m.Breaker, m.Wall, m.Outlet = "shed", procedures.DCEN, 120, 20, 20, 12, "5-20R"
		return m
	}
	if s := ask(shed()); s.Verdict == Outside || s.Settings.WireSpeed == 0 {
		t.Fatalf("%s: %+v", s.Verdict, s.Because)
	}
	for what, c := range map[string]struct {
		change     func(*procedures.Machine)
		says, then string
	}{
		"open volts": {func(m *procedures.Machine) { m.Taps[len(m.Taps)-1].Open = 124 }, "124.0 V DC with no arc is over", "Measure it again"},
		"no bleeder": {func(m *procedures.Machine) {
			m.Rebuilt, m.Rebuild = true, &procedures.Rebuild{ACVolts: 24, Farads: 0.06}
		}, "no bleeder", "unplugged until a qualified person"},
		"slow bleed": {func(m *procedures.Machine) {
			m.Rebuilt, m.Rebuild = true, &procedures.Rebuild{ACVolts: 24, Farads: 0.06, BleedOhms: 1e5}
		}, "as good as no bleeder", "unplugged"},
		"thin cord":  {func(m *procedures.Machine) { m.Cord = procedures.Cord{AWG: 16, Length: 15000} }, "rated for 13 A", "without the cord"},
		"wrong wire": {func(m *procedures.Machine) { m.Wall = 14 }, "guards 14 AWG wire", "nother circuit"},
		"a hot joint": {func(m *procedures.Machine) {
			m.Measurements = []procedures.Measurement{{Kind: procedures.LineLoadVolts, Value: 90}}
		}, "something in the wall or the outlet heats", "nother circuit"},
	} {
		m := shed()
		c.change(&m)
		s := ask(m)
		if s.Verdict != Outside || s.Settings.WireSpeed != 0 || s.Settings.Tap != "" || s.Expect.Supply != 0 {
			t.Errorf("%s: %s %+v", what, s.Verdict, s.Settings)
		}
		if first := s.Cautions[0]; first.Level != caution.Stop || first.Key != MachineForbidden || !strings.Contains(first.Text, c.says) || !strings.Contains(first.Instead, c.then) {
			t.Errorf("%s: %+v", what, first)
		}
		if charged := slices.ContainsFunc(s.Cautions, func(c caution.Caution) bool { return c.Key == "stored-charge" }); charged != m.Rebuilt {
			t.Errorf("%s: stored charge told: %v", what, charged)
		}
	}
	m := shed()
	m.Breaker, m.Wall = 15, 14
	s := ask(m)
	if s.Verdict != Edge || s.Settings.WireSpeed == 0 || !strings.Contains(strings.Join(s.Near, "; "), "it will trip the breaker") || !strings.Contains(strings.Join(s.Near, "; "), "this circuit carries about") {
		t.Errorf("a breaker that trips: %s %v", s.Verdict, s.Near)
	}
	if s.Cautions[0].Key != "breaker" || !strings.Contains(s.Cautions[0].Text, "never a bigger breaker") {
		t.Errorf("the first caution is %+v", s.Cautions[0])
	}
}
