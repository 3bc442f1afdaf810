package feeder

import (
	"slices"
	"time"

	"beadwright/procedures"
)

// Tip is the contact tip in a machine's gun, and what became of those before it.
type Tip struct {
	Since time.Time // when it was put in; zero: not written down
	Fed   Fed       // through it since then; without a time, in all that is written down
	Lives []float64 // mm of wire that each of the tips before it lasted, oldest first, as far as known
}

// tipsCounted is how many tips before the present one tell how long one lasts: the
// feeder, the wire and the hand of the last ones are those of today. A design choice.
const tipsCounted = 5

// tipNearEnd is the part of its usual life from which on a tip is worth a look. A
// design choice.
const tipNearEnd = 0.8

// TipOf counts the wire through the tip of one machine. A tip before it tells how
// long it lasted only where both its ends are written down and the wire of at
// least half the welds made with it is known. No more than the last few are looked at.
func TipOf(r Records, machine string) Tip {
	own := OnMachine(r, machine)
	changes := tipChanges(own.Measurements)
	var tip Tip
	for i, at := range changes {
		if i+1 == len(changes) {
			tip.Since = at
			break
		}
		f := Feed(own, at, changes[i+1])
		if f.Length > 0 && 2*f.Unknown() <= f.Welds {
			tip.Lives = append(tip.Lives, f.Length)
		}
	}
	tip.Fed = Feed(own, tip.Since, time.Time{})
	return tip
}

// tipChanges are the times at which the tips that count were put in, oldest first.
func tipChanges(ms []procedures.Measurement) (at []time.Time) {
	for _, m := range ms {
		if m.Kind == procedures.TipNew && m.Struck == "" {
			at = append(at, m.At)
		}
	}
	slices.SortFunc(at, time.Time.Compare)
	return at[max(0, len(at)-1-tipsCounted):]
}

// TipsSince is when the first of the tips was put in that tell how long one lasts on
// the machine of these measurements. ok is false where fewer than two were put in:
// no tip has an end that is known then, and none has a usual life.
func TipsSince(ms []procedures.Measurement) (at time.Time, ok bool) {
	changes := tipChanges(ms)
	if len(changes) < 2 {
		return at, false
	}
	return changes[0], true
}

// Usual is the median life of the tips before it, in mm of wire. ok is false
// where there is none: nothing is printed about how long a tip lasts.
func (t Tip) Usual() (mm float64, ok bool) {
	n := len(t.Lives)
	if n == 0 {
		return 0, false
	}
	lives := slices.Sorted(slices.Values(t.Lives))
	return (lives[(n-1)/2] + lives[n/2]) / 2, true
}

// Worn reports whether the tip is near the end of its usual life, or past it.
func (t Tip) Worn() bool {
	usual, ok := t.Usual()
	return ok && !t.Since.IsZero() && t.Fed.Length >= tipNearEnd*usual
}
