package main

import (
	"slices"
	"testing"
)

// TestInOrder: marks stand as they are given out, also past the first alphabet of series.
func TestInOrder(t *testing.T) {
	want := []string{"A1", "A2", "A11", "A99", "B1", "Z99", "AA1", "AA2", "AB1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, inOrder)
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}
