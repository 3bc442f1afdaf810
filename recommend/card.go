package recommend

import "time"

// Behind is what stands behind one row of a card: welds of this very job (see
// [proof]), and no others however like they are.
type Behind struct {
	Good   int       // good welds on this tap, on the machine as it stands
	Before int       // such welds from before the machine was changed
	Failed string    // mark of the latest that failed in use, with no like coupon passing since; "" none
	Weld   string    // its id
	At     time.Time // when it failed
}

// BehindOf looks up what stands behind settings of a job on a tap.
func BehindOf(r Request, tap string, h History) Behind {
	var b Behind
	machine, state := machineKey(r.Machine)
	for i := range h {
		w := &h[i]
		if w.Job.Machine != machine || w.Settings.Tap != tap || !w.Outcome.Good() || w.Struck != "" {
			continue
		}
		j := w.Job
		j.State = state
		switch {
		case !thisJob(&r, &j):
		case w.Job.State == state:
			b.Good++
		default:
			b.Before++
		}
	}
	if _, broke := proof(r, h); broke != nil {
		b.Failed, b.Weld, b.At = broke.Mark, broke.ID, broke.Outcome.FailedInUse
	}
	return b
}
