package learn

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"
)

// Random-intercept predictions of R's lme4 (testdata/blup.R): the same normal equations under lme4's own variance
// components must give its effects. Its flat mean is a prior so wide that what is left of it is below the tolerance.
func TestBLUP(t *testing.T) {
	file, err := os.Open("testdata/blup.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	lines, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sd := map[string]float64{}
	effects := map[string]float64{}
	var fixed float64
	var welds [][]string
	for _, l := range lines {
		v, err := strconv.ParseFloat(l[2], 64)
		if err != nil {
			t.Fatal(err)
		}
		switch l[0] {
		case "sd":
			sd[l[1]] = v
		case "fixed":
			fixed = v
		case "effect":
			effects[l[1]] = v
		case "weld":
			welds = append(welds, l)
		}
	}
	if len(welds) != 70 || len(effects) != 11 {
		t.Fatalf("%d welds and %d effects, want 70 and 11", len(welds), len(effects))
	}
	const wide = 1e4
	var c columns
	level := c.number(common, 0)
	s := newSystem(12)
	for _, l := range welds {
		on, by, _ := strings.Cut(l[1], " ")
		y, _ := strconv.ParseFloat(l[2], 64)
		s.add(inOrder([]term{{level, wide}, {c.name(machineOffset, on), sd["machine"]}, {c.name(user, by), sd["user"]}}),
			observed(y, sd["Residual"]*sd["Residual"]), 1)
	}
	p, err := s.solve()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fixed", p.mean([]term{{level, wide}}), fixed, 1e-7)
	for name, want := range effects {
		family, scale := machineOffset, sd["machine"]
		if strings.HasPrefix(name, "u") {
			family, scale = user, sd["user"]
		}
		near(t, name, p.mean([]term{{c.name(family, name), scale}}), want, 1e-7)
	}
}
