package remedy_test

import (
	"regexp"
	"strings"
	"testing"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/remedy"
)

// Every trouble that is heard is answered, every line names a source that is known,
// and a danger begins with stopping or with calling for help.
func TestEveryTroubleAnswered(t *testing.T) {
	banned := regexp.MustCompile(`(?i)certif|\bsafe|structural|strong enough`)
	for _, tr := range procedures.Troubles() {
		list := remedy.Troubles([]string{tr.Key})
		if len(list) != 1 || len(list[0].Do) < 2 {
			t.Errorf("%s: %+v", tr.Key, list)
			continue
		}
		first := list[0].Do[0].Text
		if tr.Grave && !strings.HasPrefix(first, "Stop") && !strings.HasPrefix(first, "Call 911") {
			t.Errorf("%s begins with %q", tr.Key, first)
		}
		for _, d := range list[0].Do {
			if len(d.Source) == 0 {
				t.Errorf("%s: no source for %q", tr.Key, d.Text)
			}
			for _, id := range d.Source {
				if _, ok := data.Sources()[id]; !ok {
					t.Errorf("%s: source %q is not known", tr.Key, id)
				}
			}
			if m := banned.FindString(d.Text); m != "" {
				t.Errorf("%s says %q", tr.Key, m)
			}
		}
	}
}

// Beside a danger nothing else is told, and the gravest is told first.
func TestDangerAlone(t *testing.T) {
	list := remedy.Troubles(procedures.Hear("lights dim, the knob does nothing and I got a shock, now the plug is on fire").Troubles)
	if len(list) < 2 || list[0].Key != "fire" && list[0].Key != "plug" && list[0].Key != "shock" {
		t.Fatalf("%+v", list)
	}
	for _, tr := range list {
		if !tr.Grave {
			t.Errorf("beside a danger: %s", tr.Key)
		}
	}
}

// What is heard of gas has no switch in it, and what is heard of a charge no tool.
func TestWhatMakesItWorse(t *testing.T) {
	for _, c := range []struct{ said, key, first string }{
		{"smell of gas in the garage", "gas-smell", "Stop. No switch, no plug"},
		{"how do I discharge the capacitors", "charge", "Stop. Leave the case shut"},
		{"welded galvanized by accident", "fumes", "Stop, out into fresh air"},
		{"drywall behind it smoking", "fire", "Stop. Trigger off"},
		{"popped loud and died", "machine-smoke", "Stop. Trigger off, plug out"},
		{"spark in my eye", "eye-grit", "Stop, and don't rub"},
		{"fan won't spin", "fan", "Trigger off and no more arc"},
	} {
		list := remedy.Troubles(procedures.Hear(c.said).Troubles)
		if len(list) == 0 || list[0].Key != c.key || !strings.HasPrefix(list[0].Do[0].Text, c.first) {
			t.Errorf("%s: %+v", c.said, list)
		}
	}
}
