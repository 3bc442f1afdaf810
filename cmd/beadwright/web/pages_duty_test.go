package web

import "testing"

// A clock that forbids an arc says so and why, and counts no seconds down to one.
func TestClockForbids(t *testing.T) {
	c := clock{Do: "do not", Text: "no arc until this is put right", Left: 82}
	if c.Order() != "DO NOT" || c.Meaning() != c.Text || c.Seconds() != 0 {
		t.Errorf("%q, %q, %v", c.Order(), c.Meaning(), c.Seconds())
	}
	for _, do := range []string{"go", "rest", "arc on", "stop", "wait", "forgotten"} {
		if c := (clock{Do: do}); c.Order() == "" || c.Meaning() == "" {
			t.Errorf("%s has no words", do)
		}
	}
}
