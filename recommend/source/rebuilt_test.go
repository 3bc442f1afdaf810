package source_test

import (
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

func whole() source.Rebuilt {
	yes := true
	return source.Rebuilt{Current: 80, Duty: 20, Rebuild: procedures.Rebuild{ACVolts: 24, Farads: 0.06, Capacitors: 6, CapVolts: 63, RippleAmps: 120,
		BleedOhms: 100, BleedWatts: 25, DiodeVolts: 1.1, RectifierAmps: 200, Fan: &yes, Thermostat: &yes, MainsHz: 60}}
}

func page(t *testing.T, r source.Rebuilt) []source.Finding {
	t.Helper()
	found, _, err := r.Judge()
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
	}
	return found
}

// 24 V AC, 0.06 F, 100 ohm, 80 A at 20 %: every figure by hand.
func TestRebuilt(t *testing.T) {
	found := page(t, whole())
	for key, want := range map[string]float64{
		"no-load":         32.7411, // 24*sqrt(2) - 1.2
		"mean":            19.4076, // 24*2*sqrt(2)/pi - 2.2
		"open-circuit":    32.7411,
		"capacitor-volts": 37.3352, // 24*sqrt(2)*1.1
		"energy":          32.1594, // 0.06*32.7411^2/2
		"bleed-time":      11.2749, // 100*0.06*ln(32.7411/5)
		"bleeder-heat":    10.7198, // 32.7411^2/100
		"ripple":          11.1111, // 80/(120*0.06)
		"ripple-current":  80,
		"rectifier-heat":  176, // 2*1.1*80
		"rectifier-amps":  200,
	} {
		if f := finding(t, found, key); !near(f.Figure.Value, want, 1e-3*want/32) {
			t.Errorf("%s: %v, want %v", key, f.Figure.Value, want)
		}
	}
	if v := whole().Verdict(found); v != source.Fine {
		t.Errorf("%s", v)
	}
	if f := finding(t, found, "rectifier-heat"); !strings.Contains(f.Text, "35 W on the mean") {
		t.Errorf("%s", f.Text)
	}
	if f := finding(t, found, "stored-rules"); !strings.Contains(f.Text, "begin at 50 V") {
		t.Errorf("%s", f.Text)
	}
	_, missing, _ := whole().Judge()
	if len(missing) != 0 {
		t.Errorf("%+v", missing)
	}
}

func TestRebuiltVerdicts(t *testing.T) {
	no := false
	for what, w := range map[string]struct {
		change  func(*source.Rebuilt)
		key     string
		verdict source.Verdict
	}{
		"weak cans":              {func(r *source.Rebuilt) { r.CapVolts = 30 }, "capacitor-volts", source.DoNot},
		"cans with no room":      {func(r *source.Rebuilt) { r.CapVolts = 35 }, "capacitor-volts", source.Marginal},
		"a small bleeder":        {func(r *source.Rebuilt) { r.BleedWatts = 5 }, "bleeder-heat", source.DoNot},
		"a hot bleeder":          {func(r *source.Rebuilt) { r.BleedWatts = 12 }, "bleeder-heat", source.Marginal},
		"a bleeder of no rating": {func(r *source.Rebuilt) { r.BleedWatts = 0 }, "bleeder-heat", source.Unknown},
		"no bleeder":             {func(r *source.Rebuilt) { r.BleedOhms = 0 }, "bleeder", source.DoNot},
		"ripple over the rating": {func(r *source.Rebuilt) { r.RippleAmps = 60 }, "ripple-current", source.DoNot},
		"no ripple rating":       {func(r *source.Rebuilt) { r.RippleAmps = 0 }, "ripple-current", source.Unknown},
		"a small rectifier":      {func(r *source.Rebuilt) { r.RectifierAmps = 50 }, "rectifier-amps", source.DoNot},
		"no thermostat":          {func(r *source.Rebuilt) { r.Thermostat = &no }, "rectifier-watch", source.Marginal},
		"no fan":                 {func(r *source.Rebuilt) { r.Fan = &no }, "rectifier-fan", source.Marginal},
		"too many open volts":    {func(r *source.Rebuilt) { r.Open = 120 }, "open-circuit", source.DoNot},
		"a slow bleeder":         {func(r *source.Rebuilt) { r.ACVolts, r.CapVolts, r.BleedOhms, r.BleedWatts = 60, 160, 10000, 25 }, "stored-rules", source.DoNot},
	} {
		r := whole()
		w.change(&r)
		if f := finding(t, page(t, r), w.key); f.Verdict != w.verdict {
			t.Errorf("%s: %s: %s", what, f.Verdict, f.Text)
		}
	}
}

// A page with nothing on it names what is missing, and reckons nothing.
func TestRebuiltEmpty(t *testing.T) {
	found, missing, err := source.Rebuilt{}.Judge()
	if err != nil || len(found) != 1 || found[0].Key != "cut-out" || len(missing) != 9 {
		t.Errorf("%+v, %+v, %v", found, missing, err)
	}
	if v := (source.Rebuilt{}).Verdict(found); v != source.Unknown {
		t.Errorf("an empty page is %s", v)
	}
	_, _, err = source.Rebuilt{Rebuild: procedures.Rebuild{BleedOhms: -1}}.Judge()
	refused(t, "less than no bleeder", err)
	_, _, err = source.Rebuilt{Rebuild: procedures.Rebuild{ACVolts: 5, DiodeVolts: 3}}.Judge()
	refused(t, "too little to open two diodes", err)
}

// Whatever is written down, no figure is left that is not a number.
func TestRebuiltSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		of := func(name string, lo, hi float64) float64 {
			if rapid.Bool().Draw(t, name+" known") {
				return rapid.Float64Range(lo, hi).Draw(t, name)
			}
			return 0
		}
		r := source.Rebuilt{Current: procedures.Amps(of("amps", 5, 300)), Duty: procedures.Percent(of("duty", 1, 100)), Open: procedures.Volts(of("open", 10, 120)),
			Rebuild: procedures.Rebuild{ACVolts: procedures.Volts(of("ac", 10, 200)), Farads: of("farads", 1e-6, 10), CapVolts: procedures.Volts(of("cap", 5, 1000)),
				BleedOhms: of("ohms", 0.1, 1e6), BleedWatts: of("watts", 0.1, 1000), RectifierAmps: procedures.Amps(of("rectifier", 1, 500))}}
		found, _, err := r.Judge()
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			if f.Figure.Unit != "" {
				sound(t, f.Key, f.Figure)
			}
			if strings.Contains(f.Text, "NaN") || strings.Contains(f.Text, "Inf") || strings.Contains(f.Text, "%!") {
				t.Errorf("%s", f.Text)
			}
		}
	})
}
