package procedures

import (
	"testing"
)

func TestParseThirds(t *testing.T) {
	for in, want := range map[string]Thirds{"3,4,4": {3, 4, 4}, " 3, 4 ,5 ": {3, 4, 5}, "2/4/5": {2, 4, 5}, "1 2 3": {1, 2, 3}, "-,4,-": {0, 4, 0}} {
		got, err := ParseThirds(in)
		if err != nil || got != want {
			t.Errorf("%q: %v, %v, want %v", in, got, err, want)
		}
		if got.Validate() != nil {
			t.Errorf("%q: what was read is not valid", in)
		}
	}
	for _, in := range []string{"", "3,4", "3,4,4,4", "3,6,4", "3,0,4", "3,x,4", "-,-,-", "3.5,4,4", "344"} {
		if got, err := ParseThirds(in); err == nil {
			t.Errorf("%q was read as %v", in, got)
		}
	}
}

func TestMedianOfThirds(t *testing.T) {
	for in, want := range map[Thirds]Count{{2, 5, 4}: 3, {5, 5, 1}: 2, {4, 4, 3}: 4, {1, 1, 5}: 1, {0, 4, 0}: 4, {0, 4, 3}: 3, {5, 0, 2}: 2, {}: 0, {3, 3, 3}: 3} {
		before := in
		if got := in.Median(); got != want || in != before {
			t.Errorf("%v: %d, want %d (left as %v)", before, got, want, in)
		}
	}
	if s := (Thirds{3, 0, 5}).String(); s != "start 3, middle not rated, end 5" {
		t.Error(s)
	}
}
