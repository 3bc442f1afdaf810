package main

import (
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"
)

// Whatever can be missing has its way to be written down, and no way stands here for
// what is never missing.
func TestEveryMissingIsTyped(t *testing.T) {
	asked := map[string]bool{}
	note := func(list []source.Missing, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range list {
			asked[m.Key] = true
			if missingTyped[m.Key] == "" {
				t.Errorf("%s (%q): nothing is typed to write it down", m.What, m.Key)
			}
		}
	}
	for _, r := range []procedures.Rebuild{{}, {Farads: 0.1}, {Farads: 0.1, BleedOhms: 100}} {
		_, list, err := source.Rebuilt{Rebuild: r}.Judge()
		note(list, err)
	}
	for _, c := range []source.Circuit{{}, {Draw: 20}} {
		_, list, err := c.Judge()
		note(list, err)
	}
	for _, p := range []source.Probes{{Clamp: source.Lost{Read: true, Volts: 1}}, {Work: source.Lost{Read: true, Volts: 1}}} {
		l, err := source.FindLosses(p)
		note(l.Missing, err)
	}
	for key := range missingTyped {
		if !asked[key] {
			t.Errorf("%q is never missing", key)
		}
	}
}
