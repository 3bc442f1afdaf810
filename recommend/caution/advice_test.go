package caution

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
)

// all returns every caution that can be shown.
func all() []Caution {
	out := []Caution{unfamiliar}
	for _, t := range topics() {
		c := adviceOn(t.key, t.level)
		out = append(out, c)
		if t.lift >= coupon {
			out = append(out, asCoupon(c))
		}
		if t.lift >= ornament {
			out = append(out, asOrnament(c))
		}
		if t.lift == bare && t.level == Stop {
			out = append(out, asStripped(c))
		}
	}
	for _, m := range machines() {
		for _, p := range append(procedures.Processes(), "", "141", "nonsense") {
			for _, a := range []procedures.Amps{0, 30, 60, 90, 160, 161, 500, 5000, -3, procedures.Amps(math.NaN()), procedures.Amps(math.Inf(1))} {
				out = append(out, Standing(procedures.Job{Process: p, Position: procedures.Overhead}, a, m)...)
			}
		}
	}
	return out
}

func machines() []procedures.Machine {
	return []procedures.Machine{
		{}, {Output: procedures.AC}, {Output: procedures.DCEN}, {Rebuilt: true}, {Rebuilt: true, Output: procedures.DCEN},
		{Output: procedures.AC, Taps: []procedures.Tap{{Name: "high", Open: 81}}},
		{Output: procedures.DCEP, Taps: []procedures.Tap{{Name: "low"}, {Name: "high", Open: 101}}},
	}
}

// TestWords: no text says more than a home shop can promise, and each says it in
// one or two sentences.
func TestWords(t *testing.T) {
	banned := regexp.MustCompile(`(?i)certif|safe|structural|strong enough`)
	ends := regexp.MustCompile(`[.?!](\s|$)`)
	seen := map[string]bool{}
	for _, c := range all() {
		if seen[c.Text] {
			continue
		}
		seen[c.Text] = true
		for _, s := range []string{c.Key, c.Text, c.Instead} {
			if w := banned.FindString(s); w != "" {
				t.Errorf("%s: says %q: %s", c.Key, w, s)
			}
			if n := len(ends.FindAllString(s, -1)); n > 2 {
				t.Errorf("%s: %d sentences: %s", c.Key, n, s)
			}
			if s != strings.TrimSpace(s) || strings.Contains(s, "  ") || strings.Contains(s, "%!") {
				t.Errorf("%s: stray marks: %q", c.Key, s)
			}
		}
		if c.Text == "" || !strings.HasSuffix(c.Text, ".") || c.Instead != "" && !strings.HasSuffix(c.Instead, ".") {
			t.Errorf("%s: not a sentence: %q %q", c.Key, c.Text, c.Instead)
		}
		if len(c.Text) > 400 {
			t.Errorf("%s: %d letters", c.Key, len(c.Text))
		}
	}
	if len(seen) < 40 {
		t.Errorf("only %d texts", len(seen))
	}
}

func TestEveryCautionHasASource(t *testing.T) {
	sources := data.Sources()
	for _, c := range all() {
		if len(c.Source) == 0 {
			t.Errorf("%s: no source", c.Key)
		}
		for _, id := range c.Source {
			if _, ok := sources[id]; !ok {
				t.Errorf("%s: unknown source %q", c.Key, id)
			}
		}
		if rank(c.Level) < 0 {
			t.Errorf("%s: level %q", c.Key, c.Level)
		}
	}
}

func TestEveryTopicHasAdvice(t *testing.T) {
	keys := map[string]bool{}
	for _, topic := range topics() {
		if keys[topic.key] {
			t.Errorf("%s stands twice", topic.key)
		}
		keys[topic.key] = true
		if a := advices()[topic.key]; a.text == "" || a.instead == "" {
			t.Errorf("%s: no advice", topic.key)
		}
		if topic.level == Stop && len(topic.hush.patterns) > 0 {
			t.Errorf("%s: a stop must not be hushed", topic.key)
		}
		if len(topic.meant.patterns) > 0 && topic.key != "which-hss" {
			t.Errorf("%s: only a word of two meanings may mean the harmless one", topic.key)
		}
		if topic.lift == bare && topic.level == Stop && strippedAdvices()[topic.key].text == "" {
			t.Errorf("%s: no advice for bare metal", topic.key)
		}
	}
	for key := range advices() {
		if !keys[key] {
			t.Errorf("advice on %s, which is no topic", key)
		}
	}
}

func TestStanding(t *testing.T) {
	text := func(list []Caution, key string) string {
		for _, c := range list {
			if c.Key == key {
				return c.Text
			}
		}
		return ""
	}
	plain := Standing(procedures.Job{Process: procedures.FCAWS}, 90, procedures.Machine{Output: procedures.DCEN})
	if got := keys(plain); !slices.Equal(got, []string{"first", "eyes", "fumes", "shock", "fire", "implant"}) {
		t.Errorf("lines %v", got)
	}
	for key, want := range map[string]string{
		"first": "Local codes, the machine's manual and licensed trades come first",
		"fire":  "60 minutes",  // NFPA 51B from 2019, from memory; OSHA asks 30
		"fumes": "250 times",   // 5 mg/m3 against 0.02 mg/m3
		"eyes":  "shade 10 at", // 29 CFR 1910.133(a)(5), 60 to 160 A
	} {
		if got := text(plain, key); !strings.Contains(got, want) {
			t.Errorf("%s: %q lacks %q", key, got, want)
		}
	}
	for _, c := range []struct {
		process procedures.Process
		amps    procedures.Amps
		want    string
	}{
		{procedures.FCAWS, 40, "at the least"},
		{procedures.FCAWS, 40, "shade 7"},
		{procedures.FCAWS, 90, "11 is the usual"},
		{procedures.GMAW, 160, "12 is the usual"}, // two rows meet: the darker
		{procedures.FCAWS, 0, "60 A up and 7 below"},
		{"", 90, "shade 10"},
		{"nonsense", 90, "60 A up and 7 below"},
	} {
		if got := text(Standing(procedures.Job{Process: c.process}, c.amps, procedures.Machine{}), "eyes"); !strings.Contains(got, c.want) {
			t.Errorf("%s at %g A: %q lacks %q", c.process, float64(c.amps), got, c.want)
		}
	}
	if text(Standing(procedures.Job{}, 0, procedures.Machine{}), "polarity") == "" {
		t.Error("nothing said of a polarity that nobody knows")
	}
	if text(Standing(procedures.Job{Position: procedures.Overhead}, 0, procedures.Machine{}), "overhead") == "" {
		t.Error("nothing said of overhead")
	}
}

// TestOpenVoltage: 29 CFR 1910.254(b)(3), manual welding: 80 V AC, 100 V DC.
func TestOpenVoltage(t *testing.T) {
	for _, c := range []struct {
		output procedures.Polarity
		open   procedures.Volts
		warned bool
	}{
		{procedures.AC, 80, false}, {procedures.AC, 80.1, true}, {procedures.DCEN, 80.1, false},
		{procedures.DCEN, 100, false}, {procedures.DCEP, 100.1, true}, {procedures.AC, 0, false}, {procedures.AC, procedures.Volts(math.NaN()), false},
	} {
		list := Standing(procedures.Job{}, 0, procedures.Machine{Output: c.output, Taps: []procedures.Tap{{Name: "low", Open: 20}, {Name: "high", Open: c.open}}})
		if got := slices.Contains(keys(list), "open-voltage"); got != c.warned {
			t.Errorf("%s %g V: warned %v", c.output, float64(c.open), got)
		}
	}
}

func TestStoredCharge(t *testing.T) {
	if _, ok := StoredCharge(procedures.Machine{Output: procedures.DCEN}); ok {
		t.Error("a machine as it left its maker")
	}
	rebuilt := procedures.Machine{Rebuilt: true, Output: procedures.DCEN}
	c, ok := StoredCharge(rebuilt)
	if !ok {
		t.Fatal("no caution on a rebuilt machine")
	}
	for _, want := range []string{"Unplug", "bleed time (not known", "measure below 5 V between gun and clamp", "low voltage doesn't mean harmless"} {
		if !strings.Contains(c.Text, want) {
			t.Errorf("%q lacks %q", c.Text, want)
		}
	}
	if !strings.Contains(c.Instead, "qualified person") {
		t.Errorf("%q lacks the qualified person", c.Instead)
	}
	// The seconds of its bleeder: 100 ohm x 0.072 F x ln(36 V / 5 V) = 14.2 s at the worst.
	rebuilt.Rebuild = &procedures.Rebuild{ACVolts: 24, Farads: 0.06, BleedOhms: 100}
	if c, _ = StoredCharge(rebuilt); !strings.Contains(c.Text, "wait 15 s (the bleed time at the worst)") {
		t.Error(c.Text)
	}
	if live := LiveWire(rebuilt); !strings.Contains(live, "Switch off, plug out, wait 15 s") || !strings.Contains(live, "stays live until it is bled") {
		t.Error(live)
	}
	if live := LiveWire(procedures.Machine{}); !strings.Contains(live, "Switch the machine off before you cut") {
		t.Error(live)
	}
	if got := keys(Standing(procedures.Job{}, 0, rebuilt)); !slices.Contains(got, "stored-charge") {
		t.Errorf("not among %v", got)
	}
}
