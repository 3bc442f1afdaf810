package main

import (
	"testing"

	"beadwright/procedures"
)

// Cords as they are said, and as they are printed on the jacket.
func TestParseCord(t *testing.T) {
	for s, want := range map[string]procedures.Cord{
		"12awg 25ft": {AWG: 12, Length: 7620}, "#12 25ft": {AWG: 12, Length: 7620}, "16/3 50ft": {AWG: 16, Length: 15240}, "16 gauge 50'": {AWG: 16, Length: 15240},
		"50 feet 16 gauge": {AWG: 16, Length: 15240}, "50ft orange 16 gauge": {AWG: 16, Length: 15240}, "25 ft, 12 gauge extension cord": {AWG: 12, Length: 7620},
		"12-3, 25 ft": {AWG: 12, Length: 7620}, "14 ga 10m": {AWG: 14, Length: 10000}, "12 25ft": {AWG: 12, Length: 7620}, "12awg25ft": {AWG: 12, Length: 7620}, "none": {},
	} {
		if c, err := parseCord(s, procedures.US); err != nil || c.AWG != want.AWG || c.Length < want.Length-1 || c.Length > want.Length+1 {
			t.Errorf("%q: %+v, %v", s, c, err)
		}
	}
	for _, s := range []string{"0x10", "1225ft", "12awg", "0awg 25ft", "awg 25ft", "12awg 900ft", "12awg 0ft", "heavy", "", "-12 25ft", "12awg 25", "12/3 50", "16 gauge 7.5"} {
		if c, err := parseCord(s, procedures.US); err == nil {
			t.Errorf("%q: %+v", s, c)
		}
	}
}
