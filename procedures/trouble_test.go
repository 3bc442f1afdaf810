package procedures

import (
	"maps"
	"slices"
	"strings"
	"testing"
)

// Every way to call a trouble is heard as a trouble as grave, and every unquoted
// one keeps all its words: a small word in it would be lost.
func TestTroublesHeard(t *testing.T) {
	for _, tr := range Troubles() {
		for _, w := range tr.Words {
			h := Hear(w)
			if len(h.Troubles) == 0 || h.Grave() != tr.Grave {
				t.Errorf("%s: %s is heard as %q %q %q", tr.Key, w, h.Troubles, h.Symptoms, h.Signs)
			}
			if strings.HasPrefix(w, `"`) {
				continue
			}
			for _, s := range stems(w) {
				if s.text == "" {
					t.Errorf("%s: %q: %q is a small word, put the phrase in quotes", tr.Key, w, s.said)
				}
			}
		}
	}
}

// A danger that is a symptom as well is heard as both, and a denied one as neither.
func TestTroubleAndSymptom(t *testing.T) {
	h := Hear("I got shocked and it popped")
	if !h.Grave() || !slices.Contains(h.Symptoms, "shock") || !slices.Contains(h.Symptoms, "popping") {
		t.Errorf("heard %+v", h)
	}
	if h := Hear("no smoke, no smell, just pinholes"); len(h.Troubles) > 0 || !slices.Equal(h.Symptoms, []string{"porosity"}) {
		t.Errorf("denied: heard %+v", h)
	}
	if h := Hear("capasitor popped"); !h.Grave() || len(h.Symptoms) > 0 {
		t.Errorf("with a slip: heard %+v", h)
	}
}

// No real word is taken for a slip of another: words of the phrases among
// themselves, and everyday words beside them.
func TestNoSlipBetweenWords(t *testing.T) {
	known := map[string]bool{}
	for _, p := range phrases() {
		if !p.exact {
			for _, s := range p.stems {
				known[s] = true
			}
		}
	}
	said := slices.Collect(maps.Keys(known))
	for _, w := range strings.Fields("strong overhead shoulder solder weight electrode scatter stringer instead powder through " + everyday) {
		said = append(said, stemOf(w))
	}
	for _, w := range said {
		for k := range known {
			if w != k && slip(w, k) {
				t.Errorf("%q is taken for %q", w, k)
			}
		}
	}
	for said, want := range map[string]string{"porositty": "porosity", "undrecut": "undercut", "overlpa": "overlap", "porisity": "porosity"} {
		if got := Hear(said).Symptoms; !slices.Equal(got, []string{want}) {
			t.Errorf("%q is heard as %q, want %s", said, got, want)
		}
	}
}
