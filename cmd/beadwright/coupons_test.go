package main

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend"
)

// TestScrap reads pieces at hand the ways that people write them.
func TestScrap(t *testing.T) {
	in := procedures.MMPerInch
	for said, want := range map[string][4]float64{ // count, width, length, thickness in mm
		"6x 2x4 1/8":              {6, 2 * in, 4 * in, in / 8},
		"2x4 1/8":                 {1, 2 * in, 4 * in, in / 8},
		"6 x 2 x 4 1/8":           {6, 2 * in, 4 * in, in / 8},
		"6 of 2x4 eighth":         {6, 2 * in, 4 * in, in / 8},
		"3 pieces 1-1/2x10 3/16":  {3, 1.5 * in, 10 * in, 3 * in / 16},
		"12x24 11ga plain":        {1, 12 * in, 24 * in, 0.1196 * in},
		"4x 50mmx100mm 3mm":       {4, 50, 100, 3},
		"50 mm x 100 mm x 3 mm":   {1, 50, 100, 3},
		"2 x 4 x 1/8":             {1, 2 * in, 4 * in, in / 8},
		"  2X  2.5inX10in  0.125": {2, 2.5 * in, 10 * in, in / 8},
	} {
		all, err := readScrap([]string{said}, procedures.US)
		if err != nil || len(all) != 1 {
			t.Errorf("%q: %v", said, err)
			continue
		}
		s := all[0]
		for i, got := range []float64{float64(s.Count), float64(s.Width), float64(s.Length), float64(s.Thickness)} {
			if math.Abs(got-want[i]) > 0.005 {
				t.Errorf("%q: %+v, want %v", said, s, want)
				break
			}
		}
	}
	for _, said := range []string{"", "x", "1/8", "2x4", "6x 2x4", "6x2x4 1/8", "1 1/2x4 1/8", "0x 2x4 1/8", "999x 2x4 1/8", "2x-4 1/8", "2x4 11ga", "2x4 1/8 galvanized", "2x4 1/8 tee", "2x4 1/8 to 1/4", "NaNx4 1/8",
		"2x4 0", "2x4000 1/8", "0.1x0.1 1/8", "6x 2x4 1/8 off a gas tank", "2 apples x 4 pears 1/8"} {
		if all, err := readScrap([]string{said}, procedures.US); err == nil {
			t.Errorf("%q was read as %+v", said, all)
		}
	}
}

func readComplete(t *testing.T, words string) procedures.Job {
	t.Helper()
	r, err := procedures.ReadJob(words, procedures.US, recommend.Lexicon())
	if err == nil {
		err = r.Complete()
	}
	if err != nil || len(r.Unknown) > 0 {
		t.Fatalf("%q: %v, not understood: %v", words, err, r.Unknown)
	}
	return r.Job
}

// TestPlainJob: what is printed to ask for a job again is read as that job.
func TestPlainJob(t *testing.T) {
	for _, words := range []string{"1/8 mild tee flat", "16ga plain mild lap vertical down", "3/16 a36 butt overhead", "1/4 mild corner horizontal", "1in mild tee flat", "1/8 to 3/16 mild lap vertical up"} {
		first := readComplete(t, words)
		again := readComplete(t, plainJob(first))
		if first.Joint != again.Joint || first.Position != again.Position || first.Steel != again.Steel || math.Abs(float64(first.Thickness-again.Thickness)) > 1e-4 || math.Abs(float64(first.OtherThickness-again.OtherThickness)) > 1e-4 {
			t.Errorf("%q is printed as %q", words, plainJob(first))
		}
	}
}
