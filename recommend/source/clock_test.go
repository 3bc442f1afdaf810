package source_test

import (
	"math/rand"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

var noon = time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)

func sec(v float64) time.Duration { return time.Duration(v * float64(time.Second)) }

func at(from, to float64) procedures.Arc {
	return procedures.Arc{Start: noon.Add(sec(from)), Stop: noon.Add(sec(to))}
}

func TestSpells(t *testing.T) {
	burning := procedures.Arc{Start: noon.Add(-20 * time.Second)}
	for _, c := range []struct {
		what string
		arcs []procedures.Arc
		want []source.Spell
	}{
		{"none", nil, nil},
		{"one", []procedures.Arc{at(-60, -15)}, []source.Spell{{From: -60, To: -15}}},
		{"burning", []procedures.Arc{burning}, []source.Spell{{From: -20, To: 0}}},
		{"written down twice", []procedures.Arc{at(-60, -15), at(-50, -5)}, []source.Spell{{From: -60, To: -5}}},
		{"one inside another", []procedures.Arc{at(-60, -5), at(-50, -15)}, []source.Spell{{From: -60, To: -5}}},
		{"newest first", []procedures.Arc{at(-30, -5), at(-90, -60)}, []source.Spell{{From: -90, To: -60}, {From: -30, To: -5}}},
		{"no time at all", []procedures.Arc{at(-30, -30)}, nil},
		{"set back by a second", []procedures.Arc{at(-30, 1)}, []source.Spell{{From: -30, To: 0}}},
	} {
		got, err := source.Spells(c.arcs, noon)
		if err != nil || len(got) != len(c.want) {
			t.Errorf("%s: got %v, %v, want %v", c.what, got, err, c.want)
			continue
		}
		for k := range got {
			if got[k] != c.want[k] {
				t.Errorf("%s: got %v, want %v", c.what, got, c.want)
			}
		}
	}
}

// A clock that goes backwards is refused, and says so.
func TestClockGoesBackwards(t *testing.T) {
	for what, a := range map[string]procedures.Arc{"ended later than now": at(-30, 60), "begun later than now": at(60, 90), "burning from later": {Start: noon.Add(time.Hour)}} {
		_, err := source.Spells([]procedures.Arc{a}, noon)
		refused(t, what, err)
		if err != nil && !strings.Contains(err.Error(), "went backwards") {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// What was used lies between nothing and the whole 10 min however arcs overlap, the
// order of the records does not matter, and after 10 min without arc all is paid.
func TestClock(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var arcs []procedures.Arc
		for range rapid.IntRange(0, 12).Draw(t, "arcs") {
			from := rapid.Float64Range(-2000, -1).Draw(t, "from")
			arcs = append(arcs, at(from, rapid.Float64Range(from, 0).Draw(t, "to")))
		}
		if rapid.Bool().Draw(t, "burning") {
			arcs = append(arcs, procedures.Arc{Start: noon.Add(sec(rapid.Float64Range(-1000, 0).Draw(t, "begun")))})
		}
		allowed := procedures.Seconds(rapid.Float64Range(1, 600).Draw(t, "allowed"))
		spells, err := source.Spells(arcs, noon)
		if err != nil {
			t.Fatal(err)
		}
		b, err := source.Spend(spells, 0, allowed, allowed)
		if err != nil || b.Used < 0 || b.Used > source.Period+1e-9 || b.Left < 0 || b.Left > allowed || b.Rest < 0 || b.Rest > source.Period {
			t.Fatalf("%+v, %v", b, err)
		}
		rand.New(rand.NewSource(int64(rapid.IntRange(0, 1000).Draw(t, "order")))).Shuffle(len(arcs), func(i, j int) { arcs[i], arcs[j] = arcs[j], arcs[i] })
		again, err := source.Spells(arcs, noon)
		if err != nil {
			t.Fatal(err)
		}
		if other, err := source.Spend(again, 0, allowed, allowed); err != nil || other != b {
			t.Errorf("in another order %+v, not %+v, %v", other, b, err)
		}
		paid := source.PaidAfter(spells)
		if paid < 0 || paid > source.Period || (paid > 0) != (b.Used > 0) {
			t.Errorf("paid after %v s, with %v s used", paid, b.Used)
		}
		for k := range arcs {
			if arcs[k].Burning() {
				arcs[k].Stop = noon
			}
		}
		later, err := source.Spells(arcs, noon.Add(sec(600)))
		if err != nil {
			t.Fatal(err)
		}
		if b, err := source.Spend(later, 0, allowed, allowed); err != nil || b != (source.Budget{Left: allowed}) || source.PaidAfter(later) != 0 {
			t.Errorf("after 10 min of rest: %+v, %v", b, err)
		}
	})
}

// Resting by the allowance for long ends every arc at 100 % of the picture, which
// is what the sum of all cycles says by itself; a cold machine is at 0.
func TestWarmth(t *testing.T) {
	for _, tau := range []procedures.Seconds{600, 1200, 2400} {
		var spells []source.Spell
		for k := procedures.Seconds(400); k >= 0; k-- {
			spells = append(spells, source.Spell{From: -600*k - 120, To: -600 * k})
		}
		if w, err := source.Warmth(spells, 120, tau); err != nil || !near(float64(w), 100, 0.01) {
			t.Errorf("time constant %v s: %v %%, %v", tau, w, err)
		}
		if w, err := source.Warmth(nil, 120, tau); err != nil || w != 0 {
			t.Errorf("cold: %v %%, %v", w, err)
		}
		one, err := source.Warmth(spells[len(spells)-1:], 120, tau)
		if err != nil || one <= 0 || one >= 100 {
			t.Errorf("one bead: %v %%, %v", one, err)
		}
	}
	for _, v := range bad {
		refused(t, "allowance", second(source.Warmth(nil, procedures.Seconds(v), 1200)))
		refused(t, "time constant", second(source.Warmth(nil, 120, procedures.Seconds(v))))
		refused(t, "spend", second(source.Spend(nil, 0, procedures.Seconds(v), 1)))
	}
}

// The arc that a cut-out tells of is counted once, whatever of it the clock saw.
func TestWithCutOuts(t *testing.T) {
	now := time.Date(2026, 5, 1, 10, 0, 0, 0, time.UTC)
	ago := func(s int) time.Time { return now.Add(-time.Duration(s) * time.Second) }
	for what, c := range map[string]struct {
		spells []source.Spell
		trip   procedures.CutOut
		want   []source.Spell
	}{
		"nothing seen":            {nil, procedures.CutOut{At: now, Used: 95}, []source.Spell{{From: -95, To: 0}}},
		"all of it seen":          {[]source.Spell{{From: -200, To: -105}}, procedures.CutOut{At: ago(100), Used: 95}, []source.Spell{{From: -200, To: -105}}},
		"some of it seen":         {[]source.Spell{{From: -60, To: -30}}, procedures.CutOut{At: now, Used: 95}, []source.Spell{{From: -95, To: 0}}},
		"it opened in the middle": {[]source.Spell{{From: -300, To: -270}, {From: -50, To: -20}}, procedures.CutOut{At: ago(200), Used: 40}, []source.Spell{{From: -300, To: -270}, {From: -210, To: -200}, {From: -50, To: -20}}},
		"longer than the room":    {[]source.Spell{{From: -590, To: -10}}, procedures.CutOut{At: now, Used: 600}, []source.Spell{{From: -600, To: 0}}},
		"struck":                  {nil, procedures.CutOut{At: now, Used: 95, Struck: "the breaker"}, nil},
		"long ago":                {nil, procedures.CutOut{At: ago(3600), Used: 95}, nil},
		"still to come":           {nil, procedures.CutOut{At: now.Add(time.Minute), Used: 95}, nil},
	} {
		got := source.WithCutOuts(c.spells, []procedures.CutOut{c.trip}, now)
		same := len(got) == len(c.want)
		for k := range c.want {
			same = same && near(float64(got[k].From), float64(c.want[k].From), 1e-6) && near(float64(got[k].To), float64(c.want[k].To), 1e-6)
		}
		if !same {
			t.Errorf("%s: %+v, want %+v", what, got, c.want)
		}
	}
}
