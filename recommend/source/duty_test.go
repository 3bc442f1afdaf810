package source_test

import (
	"math"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/source"

	"pgregory.net/rapid"
)

// 20 % at 90 A: less current, more duty, never more current than the plate.
func TestDutyRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := source.Rating{Current: procedures.Amps(rapid.Float64Range(40, 300).Draw(t, "A")), Duty: procedures.Percent(rapid.Float64Range(10, 100).Draw(t, "%"))}
		i := procedures.Amps(rapid.Float64Range(1, float64(r.Current)).Draw(t, "I"))
		d, err := source.DutyAt(r, i)
		if err != nil || d.Value < float64(r.Duty)-1e-9 || d.Value > 100 {
			t.Errorf("%+v at %v: %v, %v", r, i, d.Value, err)
		}
		sound(t, "duty", d)
		back, err := source.CurrentAt(r, procedures.Percent(d.Value))
		if err != nil || back.Value < float64(i)-1e-9 || d.Value < 100 && !near(back.Value, float64(i), 1e-6) {
			t.Errorf("%v A came back as %v, %v", i, back.Value, err)
		}
		more, err := source.CurrentAt(r, procedures.Percent(rapid.Float64Range(1, 100).Draw(t, "D")))
		if err != nil || more.Value > float64(r.Current)+1e-9 {
			t.Errorf("%+v allows %v A, %v", r, more.Value, err)
		}
	})
	r := source.Rating{Current: 90, Duty: 20}
	outside(t, "past the plate", second(source.DutyAt(r, 90.01)))
	if v, err := source.CurrentAt(r, 10); err != nil || v.Value != 90 || v.Note == "" {
		t.Errorf("below the rated duty: %+v, %v", v, err)
	}
	for _, v := range bad {
		refused(t, "rated", second(source.DutyAt(source.Rating{Current: procedures.Amps(v), Duty: 20}, 50)))
		refused(t, "duty", second(source.DutyAt(source.Rating{Current: 90, Duty: procedures.Percent(v)}, 50)))
		refused(t, "current", second(source.DutyAt(r, procedures.Amps(v))))
		refused(t, "new duty", second(source.CurrentAt(r, procedures.Percent(v))))
		refused(t, "arc", second(source.ArcSeconds(procedures.Percent(v))))
		refused(t, "rest", second(source.RestAfter(procedures.Seconds(v), 20)))
		refused(t, "rest duty", second(source.RestAfter(45, procedures.Percent(v))))
	}
}

func TestRest(t *testing.T) {
	if s, err := source.ArcSeconds(20); err != nil || s != 120 {
		t.Errorf("%v, %v", s, err)
	}
	if s, err := source.RestAfter(45, 20); err != nil || s != 180 {
		t.Errorf("%v, %v", s, err)
	}
	if s, err := source.RestAfter(600, 100); err != nil || s != 0 {
		t.Errorf("%v, %v", s, err)
	}
}

func TestRolling(t *testing.T) {
	for _, c := range []struct {
		what   string
		spells []source.Spell
		now    procedures.Seconds
		next   procedures.Seconds
		want   source.Budget
	}{
		{"cold", nil, 0, 30, source.Budget{Left: 120}},
		{"some used", []source.Spell{{0, 45}}, 60, 30, source.Budget{Used: 45, Left: 75}},
		{"just fits", []source.Spell{{0, 90}}, 100, 30, source.Budget{Used: 90, Left: 30}},
		// 120 s used from 0 to 120: at 130, 30 s may follow when 30 s have left the window, at 630.
		{"spent", []source.Spell{{0, 120}}, 130, 30, source.Budget{Used: 120, Rest: 500}},
		{"overspent", []source.Spell{{0, 150}}, 150, 30, source.Budget{Used: 150, Rest: 510}},
		{"half gone", []source.Spell{{0, 120}}, 660, 30, source.Budget{Used: 60, Left: 60}},
		{"all gone", []source.Spell{{0, 120}}, 720, 120, source.Budget{Left: 120}},
		// Two beads in the wrong order: the older leaves first, then a gap, then part of the newer.
		{"two beads", []source.Spell{{300, 370}, {0, 50}}, 400, 60, source.Budget{Used: 120, Rest: 510}},
		{"before zero", []source.Spell{{-50, 0}}, 0, 100, source.Budget{Used: 50, Left: 70, Rest: 580}},
	} {
		got, err := source.Rolling(c.spells, c.now, 20, c.next)
		if err != nil || got != c.want {
			t.Errorf("%s: got %+v, %v, want %+v", c.what, got, err, c.want)
		}
	}
	nan, inf := procedures.Seconds(math.NaN()), procedures.Seconds(math.Inf(1))
	for what, s := range map[string][]source.Spell{"backward": {{10, 5}}, "nothing": {{5, 5}}, "future": {{90, 110}}, "overlap": {{0, 20}, {10, 30}}, "nan": {{nan, 5}}, "nan end": {{0, nan}}, "ever": {{-inf, 5}}} {
		refused(t, what, second(source.Rolling(s, 100, 20, 30)))
	}
	refused(t, "now", second(source.Rolling(nil, nan, 20, 30)))
	refused(t, "duty", second(source.Rolling(nil, 0, 0, 30)))
	for _, next := range []procedures.Seconds{0, -1, 121, nan} {
		refused(t, "next", second(source.Rolling(nil, 0, 20, next)))
	}
}

// After the rest that was named, the next bead keeps the rolling count within the
// allowance, and a moment earlier it would not.
func TestRollingRestIsEnoughAndNoMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		duty := procedures.Percent(rapid.IntRange(10, 60).Draw(t, "duty"))
		allowed, _ := source.ArcSeconds(duty)
		var spells []source.Spell
		at := procedures.Seconds(0)
		for range rapid.IntRange(1, 8).Draw(t, "beads") {
			on := procedures.Seconds(rapid.IntRange(5, 90).Draw(t, "on"))
			spells = append(spells, source.Spell{From: at, To: at + on})
			at += on + procedures.Seconds(rapid.IntRange(1, 120).Draw(t, "off"))
		}
		next := procedures.Seconds(rapid.IntRange(1, int(allowed)).Draw(t, "next"))
		b, err := source.Rolling(spells, at, duty, next)
		if err != nil {
			t.Fatal(err)
		}
		used := func(now procedures.Seconds) procedures.Seconds {
			var sum procedures.Seconds
			for _, s := range spells {
				sum += max(0, s.To-max(s.From, now-source.Period))
			}
			return sum
		}
		if got := used(at + b.Rest); got+next > allowed+1e-9 {
			t.Errorf("after %v s of rest %v s are still counted", b.Rest, got)
		}
		if b.Rest > 0.5 && used(at+b.Rest-0.5)+next <= allowed+1e-9 {
			t.Errorf("%v s of rest is more than is owed", b.Rest)
		}
		if b.Left > 0 && b.Left+b.Used != allowed {
			t.Errorf("%+v of %v", b, allowed)
		}
	})
}
