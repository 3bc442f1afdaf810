package procedures_test

import (
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
)

// TestDangersApart holds that words of a danger, of a glove or of a garage are no
// symptoms of the bead, that words of the bead are, and that a danger is heard.
func TestDangersApart(t *testing.T) {
	rows := golden(t, "dangers.csv")
	kinds := map[bool]int{}
	for _, row := range rows[1:] {
		said, want, danger := row[0], row[1], row[2] == "yes"
		kinds[danger]++
		got, err := procedures.ReadOutcome([]string{"4", said})
		if err != nil || strings.Join(got.Symptoms, ";") != want {
			t.Errorf("%q: read as %q, want %q (error %v)", said, got.Symptoms, want, err)
		}
		w := procedures.Weld{Said: "4 " + said, Outcome: procedures.Outcome{Note: said, Symptoms: got.Symptoms}}
		if (w.Danger() != "") != danger {
			t.Errorf("%q: the danger told is %q, want one: %v", said, w.Danger(), danger)
		}
	}
	if kinds[true] < 30 || kinds[false] < 30 {
		t.Errorf("%d phrases with a danger and %d without: 30 of each are promised", kinds[true], kinds[false])
	}
}

// A danger given as a symptom of its own is refused, unless it names a symptom.
func TestDangerIsNoSymptom(t *testing.T) {
	for _, said := range []string{"smells hot", "plug melted through", "cord got hot", "burned through my glove"} {
		key, err := procedures.ParseSymptom(said)
		if err == nil || !strings.Contains(err.Error(), "danger") {
			t.Errorf("%q: %q, %v", said, key, err)
		}
	}
	for said, want := range map[string]string{"got a shock": "shock", "hot": "wide-flat", "popped the breaker": "breaker-trip", "hot machine": "duty-trip"} {
		if key, err := procedures.ParseSymptom(said); err != nil || key != want {
			t.Errorf("%q: %q, %v; want %s", said, key, err, want)
		}
	}
}

// What is heard of a danger says nothing of the bead, wherever words are heard.
func TestHeardDangerIsNoSymptom(t *testing.T) {
	for _, said := range []string{"smells hot", "plug smells hot", "cord melted through", "burned through my boot", "cold garage", "holes in my glove"} {
		if heat, feed := procedures.Direction(procedures.Hear(said).Symptoms); heat != 0 || feed != 0 {
			t.Errorf("%q: heard as %q, which moves the setting", said, procedures.Hear(said).Symptoms)
		}
	}
	if got := procedures.Hear("ran hot and flat").Symptoms; !slices.Equal(got, []string{"wide-flat"}) {
		t.Errorf("ran hot and flat: %q", got)
	}
}
