package source_test

import (
	"slices"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

// copper orders the sizes of welding lead, thin to thick.
var copper = []string{"4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0"}

// TestLeadNeverThinner: more current, more length or more duty never take a thinner lead.
func TestLeadNeverThinner(t *testing.T) {
	section := func(l source.Lead) int { return 100*l.Parallel + slices.Index(copper, strings.TrimSpace(l.AWG)) }
	rapid.Check(t, func(t *rapid.T) {
		draw := func(what string, low, high float64) (a, b float64) {
			a, b = rapid.Float64Range(low, high).Draw(t, what), rapid.Float64Range(low, high).Draw(t, "more "+what)
			return min(a, b), max(a, b)
		}
		i, moreI := draw("amps", 5, 300)
		ft, moreFt := draw("ft", 1, 400)
		d, moreD := draw("duty", 1, 100)
		thin, errThin := source.LeadSize(procedures.Amps(i), feet(ft), procedures.Percent(d))
		thick, errThick := source.LeadSize(procedures.Amps(moreI), feet(moreFt), procedures.Percent(moreD))
		if errThin != nil || errThick != nil {
			t.Fatal(errThin, errThick)
		}
		if section(thick) < section(thin) || slices.Index(copper, thin.AWG) < 0 || slices.Index(copper, thick.AWG) < 0 {
			t.Fatalf("%v A, %v ft, %v %%: %+v; %v A, %v ft, %v %%: %+v", i, ft, d, thin, moreI, moreFt, moreD, thick)
		}
	})
}

// TestLessArcForMore: more current or hotter air never allow more arc, a plate of more
// duty never less.
func TestLessArcForMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := procedures.Machine{RatedAmps: procedures.Amps(rapid.Float64Range(50, 250).Draw(t, "rated")), Duty: procedures.Percent(rapid.Float64Range(10, 100).Draw(t, "duty"))}
		i := procedures.Amps(rapid.Float64Range(20, 250).Draw(t, "amps"))
		air := rapid.Float64Range(-10, 55).Draw(t, "air")
		hot, better := air+rapid.Float64Range(0, 5).Draw(t, "hotter"), m
		better.Duty = min(100, m.Duty*1.2)
		at := func(m procedures.Machine, i procedures.Amps, air float64) procedures.Seconds {
			a, err := source.Allow(m, i, &air)
			if err != nil {
				return 0 // so little is left that none is given
			}
			return a.Arc
		}
		base := at(m, i, air)
		if more, hotter, longer := at(m, i*1.1, air), at(m, i, hot), at(better, i, air); more > base || hotter > base || longer < base {
			t.Fatalf("%+v at %v A in %v C: %v; a tenth more amps %v, %v C %v, %v %% duty %v", m, i, air, base, more, hot, hotter, better.Duty, longer)
		}
	})
}

// TestLongerCordNeverBetter: a longer or thinner cord never betters the verdict on a
// circuit, nor what it carries.
func TestLongerCordNeverBetter(t *testing.T) {
	order := []source.Verdict{"", source.Fine, source.Unknown, source.Marginal, source.WillTrip, source.DoNot}
	sizes := []int{18, 16, 14, 12, 10, 8}
	rapid.Check(t, func(t *rapid.T) {
		c := source.Circuit{Current: 90, Draw: procedures.Amps(rapid.Float64Range(8, 40).Draw(t, "draw")), Plate: 20, Duty: 20, Supply: 120, Breaker: 20, Wall: 12, Outlet: "5-20R", Plug: "5-15P", Arc: 17}
		k := rapid.IntRange(1, len(sizes)-1).Draw(t, "size")
		ft := rapid.Float64Range(5, 100).Draw(t, "ft")
		judge := func(awg int, ft float64) (int, procedures.Amps) {
			c := c
			c.Cord = procedures.Cord{AWG: awg, Length: feet(ft)}
			found, _, err := c.Judge()
			if err != nil {
				t.Fatal(err)
			}
			carries, _ := c.Carries()
			return slices.Index(order, c.Verdict(found)), carries
		}
		v, carries := judge(sizes[k], ft)
		for _, worse := range []struct {
			awg int
			ft  float64
		}{{sizes[k], ft * 1.5}, {sizes[k-1], ft}} {
			if v2, carries2 := judge(worse.awg, worse.ft); v2 < v || carries2 > carries {
				t.Fatalf("%d AWG %v ft: %s, carries %v; %d AWG %v ft: %s, carries %v", sizes[k], ft, order[v], carries, worse.awg, worse.ft, order[v2], carries2)
			}
		}
	})
}
