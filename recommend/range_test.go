package recommend

import (
	"fmt"
	"strings"
	"testing"

	"beadwright/procedures"
)

// The range that is explained is the range that is given: where two sources disagree
// the second is wider than the model's own.
func TestRangeExplained(t *testing.T) {
	for _, words := range []string{"1/8 mild tee flat 0.030 E71T-GS", "1/16 mild lap flat 0.030 E71T-GS", "1/8 mild tee flat 0.035 E71T-11"} {
		s, err := Suggest(asked(t, words), nil)
		if err != nil || !s.Given() {
			t.Fatal(words, s.Verdict, err)
		}
		want := fmt.Sprintf("likely range %.0f to %.0f in/min", inchesPerMin(s.Range.WireSpeed[0]), inchesPerMin(s.Range.WireSpeed[1]))
		found := false
		for _, b := range s.Because {
			found = found || strings.Contains(b.Text, want)
		}
		if !found {
			t.Errorf("%s: no %q in %v", words, want, s.Because)
		}
	}
}

func inchesPerMin(v procedures.MPerMin) float64 { return float64(v) * 1000 / procedures.MMPerInch }
