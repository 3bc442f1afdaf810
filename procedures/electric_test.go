package procedures

import (
	"errors"
	"math"
	"testing"
)

func TestParseElectric(t *testing.T) {
	for s, want := range map[string]float64{"60000uF": 0.06, "60000 \u00b5F": 0.06, "0.06F": 0.06, "0.06 farads": 0.06, "6x10000uF": 0.06, "6 x 10000 uF": 0.06, "6*10000mfd": 0.06, "2\u00d70.05F": 0.1, "1uF": 1e-6, "10F": 10} {
		v, _, err := ParseFarads("capacitors", s)
		if err != nil || math.Abs(v-want) > 1e-12 {
			t.Errorf("%q: %v, %v; want %v", s, v, err, want)
		}
	}
	if _, n, _ := ParseFarads("capacitors", "6x10000uF"); n != 6 {
		t.Errorf("six capacitors read as %v", n)
	}
	if _, n, _ := ParseFarads("capacitors", "60000uF"); n != 0 {
		t.Errorf("an unsaid number of capacitors read as %v", n)
	}
	for s, want := range map[string]float64{"100": 100, "100ohm": 100, "4.7k": 4700, "4.7 kohm": 4700, "100\u03a9": 100, "0.1 ohms": 0.1} {
		if v, err := ParseOhms("bleeder", s); err != nil || math.Abs(v-want) > 1e-9 {
			t.Errorf("%q: %v, %v; want %v", s, v, err, want)
		}
	}
	for s, want := range map[string]float64{"0": 0, "0.4": 0.4, "0.4V": 0.4, "400mV": 0.4, "30 volts": 30} {
		if v, err := ParseDrop("clamp", s); err != nil || math.Abs(v-want) > 1e-12 {
			t.Errorf("%q: %v, %v; want %v", s, v, err, want)
		}
	}
	if v, err := ParseWatts("bleeder-watts", "1.5kW"); err != nil || v != 1500 {
		t.Errorf("1.5kW: %v, %v", v, err)
	}
	if v, err := ParseHertz("mains", "60Hz"); err != nil || v != 60 {
		t.Errorf("60Hz: %v, %v", v, err)
	}
}

// TestElectricRefusals: a slip is asked back, with what would be accepted.
func TestElectricRefusals(t *testing.T) {
	for s, read := range map[string]func(string) error{
		"": farads, "60000": farads, "5mF": farads, "0uF": farads, "0x10000uF": farads, "2.5x10000uF": farads, "101x1uF": farads, "x10000uF": farads, "1/2F": farads, "11F": farads, "-1F": farads, "1e3uF": farads, "2x2x2F": farads,
		"0ohm": ohms, "lots": ohms, "100V": ohms, "200000kohm": ohms,
		"31V": drop, "-1V": drop, "0.4A": drop, "NaN": drop,
		"0W": watts, "25hp": watts,
		"20Hz": hertz, "60rpm": hertz,
	} {
		var bad *InvalidError
		if err := read(s); !errors.As(err, &bad) || bad.Field != "it" || len(bad.Hints) == 0 {
			t.Errorf("%q: %v", s, err)
		}
	}
}

func farads(s string) error { _, _, err := ParseFarads("it", s); return err }
func ohms(s string) error   { _, err := ParseOhms("it", s); return err }
func drop(s string) error   { _, err := ParseDrop("it", s); return err }
func watts(s string) error  { _, err := ParseWatts("it", s); return err }
func hertz(s string) error  { _, err := ParseHertz("it", s); return err }

func FuzzElectric(f *testing.F) {
	for _, s := range []string{"6x10000uF", "0.06F", "100ohm", "4.7k", "400mV", "x", "1x", "1/0", "\u03a9", "99999999x9"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if v, n, err := ParseFarads("capacitors", s); err == nil {
			b := Rebuild{Farads: v, Capacitors: n}
			if err := b.Validate(); err != nil {
				t.Errorf("farads %q: %v, %v: %v", s, v, n, err)
			}
		}
		if v, err := ParseOhms("bleeder", s); err == nil && (Rebuild{BleedOhms: v}).Validate() != nil {
			t.Errorf("ohms %q: %v", s, v)
		}
		if v, err := ParseDrop("clamp", s); err == nil && (Measurement{Kind: ClampVolts, Value: v}).Validate() != nil {
			t.Errorf("drop %q: %v", s, v)
		}
		if v, err := ParseWatts("watts", s); err == nil && (v < 0.1 || v > 1e5) {
			t.Errorf("watts %q: %v", s, v)
		}
		if v, err := ParseHertz("mains", s); err == nil && (Rebuild{MainsHz: v}).Validate() != nil {
			t.Errorf("hertz %q: %v", s, v)
		}
	})
}
