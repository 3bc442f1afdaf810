package procedures_test

import (
	"testing"

	"beadwright/procedures"
)

// A crack outweighs looks and tests; a lack of fusion outweighs looks, until a coupon
// was bent or broken, which opens the root (AWS D1.1 Table 6.1).
func TestWhatOutweighsLooks(t *testing.T) {
	held := []procedures.Test{{Kind: "break", Passed: true, Result: "held"}}
	etched := []procedures.Test{{Kind: "etch", Passed: true, Result: "fused"}}
	for _, c := range []struct {
		o            procedures.Outcome
		good, passed bool
	}{
		{procedures.Outcome{Rating: 4}, true, false},
		{procedures.Outcome{Rating: 5, Symptoms: []string{"crack"}, Tests: held}, false, false},
		{procedures.Outcome{Rating: 5, Symptoms: []string{"lack-of-fusion"}}, false, false},
		{procedures.Outcome{Rating: 5, Symptoms: []string{"lack-of-fusion"}, Tests: etched}, false, false},
		{procedures.Outcome{Rating: 4, Symptoms: []string{"lack-of-fusion"}, Tests: held}, true, true},
		{procedures.Outcome{Rating: 4, Symptoms: []string{"spatter"}}, true, false},
	} {
		if c.o.Good() != c.good || c.o.Passed() != c.passed {
			t.Errorf("%+v: good %t, passed %t", c.o, c.o.Good(), c.o.Passed())
		}
	}
}
