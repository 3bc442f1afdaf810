package main

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// A spool that too many welds stand on is counted no further, and no count of it is said.
func TestSpoolOfTooManyWelds(t *testing.T) {
	at := time.Date(2026, 4, 1, 9, 0, 0, 0, time.UTC)
	s := procedures.Spool{ID: "s", Name: "first", Grams: 907, Opened: at, Wire: procedures.Wire{Class: "E71T-11", Diameter: 0.889}}
	var r feeder.Records
	for i := range feeder.MostWelds {
		r.Uses = append(r.Uses, feeder.Use{ID: fmt.Sprint(i), Spool: "s", Machine: "shed", At: at.Add(time.Duration(i+1) * time.Minute), Length: 100, Timed: true})
	}
	lines := func() []string {
		return supplyLines(s, procedures.Machine{Name: "shed"}, r, 0, at.AddDate(0, 0, 3), procedures.US)
	}
	nearly := func(l string) bool { return strings.HasPrefix(l, "nearly empty") }
	if got := lines(); len(got) != 1 || !nearly(got[0]) { // 200 m of it were fed, and 2 lb are 190 to 220 m
		t.Errorf("of as many as are counted: %q", got)
	}
	r.Uses = append(r.Uses, feeder.Use{ID: "more", Spool: "s", Machine: "shed", At: at.AddDate(0, 0, 2), Length: 100, Timed: true})
	if got := lines(); len(got) != 1 || slices.ContainsFunc(got, nearly) || !strings.Contains(got[0], "weigh it") {
		t.Errorf("of one more: %q", got)
	}
}
