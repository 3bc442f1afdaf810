package source

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Period is the time that duty cycle is counted over, in s. Source: AWS glossary.
const Period procedures.Seconds = 600

// dutyLimits says what the square-root rule is worth.
const dutyLimits = "rule of thumb for a plain transformer in air up to 40 C: a fan, a thermostat, electronics or a rebuilt DC side need not follow it, and it never raises the current above the plate"

var dutyRow = data.Row{Source: []string{"DC-MAN"}, Basis: data.Printed, Note: dutyLimits}

// Rating is one line of a plate: so many amperes at so much duty.
type Rating struct {
	Current procedures.Amps
	Duty    procedures.Percent // of 10 min
}

func (r Rating) check() error { return first(checkAmps("rated current", r.Current), checkDuty(r.Duty)) }

// DutyAt returns the duty cycle, in per cent, at another current: D2 = D1*(I1/I2)^2,
// at most 100. Above the rated current it is [*arc.RangeError]: the rule is not for
// going past the plate. Range: 0.1 to 2000 A, 1 to 100 %.
// Source: power-source owner manual; the Note gives its limits.
func DutyAt(r Rating, i procedures.Amps) (arc.Value, error) {
	if err := first(r.check(), checkAmps("current", i)); err != nil {
		return arc.Value{}, err
	}
	if i > r.Current {
		return arc.Value{}, &arc.RangeError{Quantity: "current", Read: float64(i), Low: 0, High: float64(r.Current), Unit: "A", Source: dutyRow.Source}
	}
	return exact(min(float64(r.Duty)*math.Pow(float64(r.Current/i), 2), 100), "%", dutyRow), nil
}

// CurrentAt returns the current, in A, that the rule allows at another duty cycle:
// I2 = I1*sqrt(D1/D2). Below the rated duty cycle it answers with the rated
// current and says so: the plate stands. Ranges and source as for [DutyAt].
func CurrentAt(r Rating, d procedures.Percent) (arc.Value, error) {
	if err := first(r.check(), checkDuty(d)); err != nil {
		return arc.Value{}, err
	}
	v := exact(float64(r.Current)*math.Sqrt(float64(r.Duty/d)), "A", dutyRow)
	if d < r.Duty {
		v = exact(float64(r.Current), "A", dutyRow)
		v.Note = "the plate current stands; " + dutyLimits
	}
	return v, nil
}

// ArcSeconds returns the arc time that a duty cycle allows in any 10 min.
// Range: 1 to 100 %. Source: AWS glossary and two owner manuals.
func ArcSeconds(d procedures.Percent) (procedures.Seconds, error) {
	if err := checkDuty(d); err != nil {
		return 0, err
	}
	return Period * procedures.Seconds(d) / 100, nil
}

// RestAfter returns the rest that pays for a spell of arc at a duty cycle:
// t*(1/D - 1). Range: 0.1 to 600 s, 1 to 100 %. Derived here.
func RestAfter(t procedures.Seconds, d procedures.Percent) (procedures.Seconds, error) {
	if err := first(arc.Within("arc time", float64(t), 0.1, float64(Period), "s"), checkDuty(d)); err != nil {
		return 0, err
	}
	return t*100/procedures.Seconds(d) - t, nil
}

// Spell is a stretch of arc, in seconds from any fixed moment.
type Spell struct{ From, To procedures.Seconds }

// Budget is where a welder stands in the rolling 10 min.
type Budget struct {
	Used procedures.Seconds // of arc in the 10 min before now
	Left procedures.Seconds // of arc that the duty cycle still allows now; 0 when spent
	Rest procedures.Seconds // to wait before the next bead; 0 when it may be struck now
}

// Rolling counts the arc of the last 10 min against a duty cycle, and how long to
// rest before a next bead of so many seconds (0.1 s up to the whole allowance).
// See [Spend].
func Rolling(spells []Spell, now procedures.Seconds, d procedures.Percent, next procedures.Seconds) (Budget, error) {
	allowed, err := ArcSeconds(d)
	if err != nil {
		return Budget{}, err
	}
	return Spend(spells, now, allowed, next)
}

// Spend counts the arc of the last 10 min against an allowance (0.1 to 600 s), and
// how long to rest before a next bead of so many seconds (0.1 s up to the whole
// allowance). Spells may come in any order and must not overlap or reach past now.
// Arc that leaves the 10 min while the next bead burns is not counted in its favour.
// Derived here. Errors: [*procedures.InvalidError].
func Spend(spells []Spell, now, allowed, next procedures.Seconds) (Budget, error) {
	if err := first(arc.Within("allowed arc time", float64(allowed), 0.1, float64(Period), "s"), arc.Within("now", float64(now), -1e9, 1e9, "s")); err != nil {
		return Budget{}, err
	}
	if err := arc.Within("next arc time", float64(next), 0.1, float64(allowed), "s"); err != nil {
		return Budget{}, err
	}
	spells = slices.Clone(spells)
	slices.SortFunc(spells, func(a, b Spell) int { return cmp.Compare(a.From, b.From) })
	window := now - Period
	var b Budget
	for k, s := range spells {
		if !(s.From < s.To && s.To <= now) || math.IsInf(float64(s.From), 0) || k > 0 && s.From < spells[k-1].To {
			return Budget{}, procedures.Invalid("arc time", fmt.Sprintf("%g to %g s", float64(s.From), float64(s.To)),
				"a spell of arc must end after it begins, before now, and not overlap another", "give each spell once, in seconds")
		}
		b.Used += max(0, s.To-max(s.From, window))
	}
	b.Left = max(0, allowed-b.Used)
	// The oldest arc leaves the 10 min first: wait until enough of it has left.
	excess := b.Used + next - allowed
	for _, s := range spells {
		from := max(s.From, window)
		inside := s.To - from
		if inside <= 0 || excess <= 0 {
			continue
		}
		b.Rest = from + min(excess, inside) - window
		excess -= inside
	}
	return b, nil
}
