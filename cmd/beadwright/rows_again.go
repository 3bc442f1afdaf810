package main

import (
	"context"
	"fmt"
	"math"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// earlier are the welds of a notebook that rows may repeat, by day and joint.
type earlier struct {
	nb    *store.Notebook // nil: there is none yet
	welds map[string][]procedures.Weld
}

// repeated refuses a row that is like a weld which stands: of the same day, job,
// settings and rating. A sheet that is typed in twice would else make two coupons
// out of one, and two passed tests. A row with a mark of its own is a coupon of its
// own.
func (s *earlier) repeated(ctx context.Context, w procedures.Weld) error {
	if s.nb == nil || w.Mark != "" {
		return nil
	}
	y, m, d := w.At.Date()
	day := time.Date(y, m, d, 0, 0, 0, 0, w.At.Location())
	key := fmt.Sprint(day.Unix(), w.Job.Joint, float64(w.Job.Thickness))
	there, ok := s.welds[key]
	if !ok {
		var err error
		there, err = s.nb.Find(ctx, procedures.Filter{Joint: w.Job.Joint, Thickness: w.Job.Thickness, Within: 0.01, Since: day, Until: day.AddDate(0, 0, 1).Add(-1)})
		if err != nil {
			return err
		}
		s.welds[key] = there
	}
	for _, old := range there {
		if repeats(w, old) {
			return procedures.Invalid("row", "", fmt.Sprintf("it repeats %s of %s: same job, settings and rating", old.Mark, day.Format("2006-01-02")),
				fmt.Sprintf("typed in before? take it out; more to say of %s: beadwright amend %s; another bead just like it: --again, or a mark of its own", old.Mark, old.Mark))
		}
	}
	return nil
}

// repeats reports whether a row says nothing that a weld does not say already of
// job, settings and rating.
func repeats(row, old procedures.Weld) bool {
	a, b := row.Job, old.Job
	for _, same := range []bool{a.Weld == b.Weld, a.Position == b.Position, a.Steel == b.Steel, a.Coating == b.Coating, a.Wire == b.Wire, a.Machine == b.Machine,
		row.Outcome.Rating == old.Outcome.Rating, row.Settings.Tap == "" || row.Settings.Tap == old.Settings.Tap, row.Settings.Polarity == "" || row.Settings.Polarity == old.Settings.Polarity,
		row.Settings.KnobSaid == "" || row.Settings.KnobSaid == old.Settings.KnobSaid} {
		if !same {
			return false
		}
	}
	p, q := row.Settings, old.Settings
	for _, v := range [][2]float64{{float64(a.Thickness), float64(b.Thickness)}, {float64(a.OtherThickness), float64(b.OtherThickness)}, {float64(a.Gap), float64(b.Gap)}} {
		if !near(v[0], v[1]) {
			return false
		}
	}
	for _, v := range [][2]float64{{float64(p.WireSpeed), float64(q.WireSpeed)}, {float64(p.Extension), float64(q.Extension)}, {float64(p.Travel), float64(q.Travel)},
		{float64(p.Voltage), float64(q.Voltage)}, {float64(p.Current), float64(q.Current)}} {
		if v[0] != 0 && !near(v[0], v[1]) {
			return false
		}
	}
	return p.Knob == nil || q.Knob != nil && near(*p.Knob, *q.Knob)
}

// near reports whether two numbers are one, but for rounding.
func near(a, b float64) bool { return math.Abs(a-b) <= 1e-4*math.Max(math.Abs(a), math.Abs(b)) }
