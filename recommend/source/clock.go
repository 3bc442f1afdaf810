package source

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// slack is by how much a clock may be set back without a word: computers set
// theirs right by a second or so. A design choice.
const slack = 2 * time.Second

// Spells puts the arcs of a machine on one scale, in seconds from now on: what was
// is negative, and an arc that burns ends at 0. They come oldest first; arcs that
// overlap, because one bead was written down twice, are one. Errors: an arc that
// begins or ends after now is [*procedures.InvalidError]: the clock went backwards.
func Spells(arcs []procedures.Arc, now time.Time) ([]Spell, error) {
	var all []Spell
	for _, a := range arcs {
		last := a.Stop
		if a.Burning() {
			last = a.Start
		}
		if last.Sub(now) > slack || a.Start.Sub(now) > slack {
			return nil, procedures.Invalid("clock", now.Format(time.RFC3339), fmt.Sprintf("the notebook holds an arc at %s, which is later than now: the clock of this computer went backwards", last.In(now.Location()).Format(time.RFC3339)),
				"set the computer's clock right and ask again")
		}
		s := Spell{From: procedures.Seconds(min(a.Start.Sub(now), 0).Seconds())}
		if !a.Burning() {
			s.To = procedures.Seconds(min(a.Stop.Sub(now), 0).Seconds())
		}
		if s.From < s.To {
			all = append(all, s)
		}
	}
	return joined(all), nil
}

// WithCutOuts adds to spells, as [Spells] gives them, the arc that the clock did not
// see and cut-outs tell of: each names all the arc of the 10 min before it opened, and
// what is missing there is put in as late as it fits, which makes the rest longest.
// Cut-outs after now, struck ones and those of more than 20 min ago tell nothing.
func WithCutOuts(spells []Spell, trips []procedures.CutOut, now time.Time) []Spell {
	out := slices.Clone(spells)
	for _, c := range trips {
		opened := procedures.Seconds(c.At.Sub(now).Seconds())
		if c.Struck != "" || opened > 0 || opened < -2*Period {
			continue
		}
		missing := c.Used
		for _, s := range out {
			missing -= max(0, min(s.To, opened)-max(s.From, opened-Period))
		}
		var put []Spell
		for to, k := opened, len(out)-1; missing > 1e-9 && to > opened-Period; k-- {
			from := opened - Period
			for k >= 0 && out[k].From >= to { // later ones
				k--
			}
			if k >= 0 {
				from = max(from, min(out[k].To, to))
			}
			if gap := min(missing, to-from); gap > 0 {
				put = append(put, Spell{From: to - gap, To: to})
				missing -= gap
			}
			if k < 0 {
				break
			}
			to = min(to, out[k].From)
		}
		out = joined(append(out, put...))
	}
	return out
}

// joined puts spells in order and makes those one that touch or overlap.
func joined(all []Spell) (apart []Spell) {
	slices.SortFunc(all, func(a, b Spell) int { return cmp.Compare(a.From, b.From) })
	for _, s := range all {
		if k := len(apart) - 1; k >= 0 && s.From <= apart[k].To {
			apart[k].To = max(apart[k].To, s.To)
			continue
		}
		apart = append(apart, s)
	}
	return apart
}

// PaidAfter returns how long from now until no arc of the last 10 min is left, for
// spells as [Spells] gives them; 0 where none is. Derived here.
func PaidAfter(spells []Spell) procedures.Seconds {
	if len(spells) == 0 {
		return 0
	}
	return max(0, spells[len(spells)-1].To+Period)
}

// Warmth is how warm the simplest picture takes a machine to be now, in per cent
// of the hottest that resting by the allowance would ever make it: one [Body] with
// a time constant of tau (60 s to 24 h), cold before the first spell, in air that
// stays the same, all arcs at one current. It is for looking at only: no source
// gives the time constant. Spells are as [Spells] gives them; allowed is the arc
// in any 10 min, 6 to 600 s.
func Warmth(spells []Spell, allowed, tau procedures.Seconds) (procedures.Percent, error) {
	if err := first(arc.Within("allowed arc time", float64(allowed), 6, float64(Period), "s"), arc.Within("time constant", float64(tau), 60, 86400, "s")); err != nil {
		return 0, err
	}
	warm, cool := Body{Steady: 100, Tau: tau}, Body{Tau: tau}
	peak, err := warm.PeakInCycle(procedures.Percent(100 * allowed / Period))
	if err != nil {
		return 0, err
	}
	rise := 0.0
	for k, s := range spells {
		until := procedures.Seconds(0) // it cools until the next spell, or until now
		if k+1 < len(spells) {
			until = spells[k+1].From
		}
		if rise, err = warm.RiseAfter(rise, s.To-s.From); err != nil {
			return 0, err
		}
		if rise, err = cool.RiseAfter(rise, until-s.To); err != nil {
			return 0, err
		}
	}
	return procedures.Percent(100 * rise / peak), nil
}
