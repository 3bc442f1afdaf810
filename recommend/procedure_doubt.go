package recommend

import (
	"fmt"
	"slices"
	"time"

	"beadwright/procedures"
)

// Failure is a weld that failed in use. It outweighs every test made before it.
type Failure struct {
	Weld   string    `json:"weld"` // id
	Mark   string    `json:"mark"`
	At     time.Time `json:"at"`
	Said   string    `json:"said"`         // what was seen; "" nothing was said
	Passed string    `json:"passed_since"` // mark of a like coupon welded and tested after it; "" none
}

// FailedInUse lists the welds that failed in use and speak against a procedure: those
// that it was written from, and others of its kind made within its ranges, unless
// a like coupon passed a test after that. The history is every weld that stands; said
// is what was said of each failure, by the id of the weld.
func FailedInUse(p procedures.Procedure, h History, said map[string]string) []Failure {
	list := []Failure{}
	like := likeWelds(procedures.Weld{Mark: p.Name, Job: p.Job, Settings: p.Settings}, h)
	for _, w := range h {
		if w.Outcome.FailedInUse.IsZero() || w.Struck != "" {
			continue
		}
		passed := passedSince(w, like)
		if !slices.Contains(p.From, w.Mark) {
			made := passed == "" && within(p, w.Settings) && slices.ContainsFunc(like, func(o procedures.Weld) bool { return o.ID == w.ID && o.Mark == w.Mark })
			if !made {
				continue
			}
		}
		list = append(list, Failure{w.ID, w.Mark, w.Outcome.FailedInUse, said[w.ID], passed})
	}
	return list
}

// within reports whether a weld was made as a procedure says, as far as it is known:
// what nobody wrote down speaks for it, for a failure counts sooner than not.
func within(p procedures.Procedure, s procedures.Settings) bool {
	if s.WireSpeed > 0 && p.Settings.WireSpeed > 0 {
		r, ok := p.Range("wire_speed_m_min")
		return near(s.WireSpeed, p.Settings.WireSpeed, 0.10) || ok && float64(s.WireSpeed) >= r.Low && float64(s.WireSpeed) <= r.High
	}
	if r, ok := p.Range("knob"); ok && s.Knob != nil {
		return *s.Knob >= r.Low && *s.Knob <= r.High
	}
	return true
}

// spoiled is when a weld was found to be bad: as it failed in use, else as it was made.
func spoiled(w procedures.Weld) time.Time {
	if when := w.Outcome.FailedInUse; !when.IsZero() {
		return when
	}
	return w.At
}

// failedSince is the mark of a like weld that was found bad after a tested one was
// made, within 10 % of its wire speed; "" none. The rule of [proof].
func failedSince(tested procedures.Weld, like []procedures.Weld) string {
	for _, w := range like {
		if bad(w.Outcome) && spoiled(w).After(tested.At) && w.Settings.WireSpeed > 0 && tested.Settings.WireSpeed > 0 && near(w.Settings.WireSpeed, tested.Settings.WireSpeed, 0.10) && passedSince(w, like) == "" {
			return w.Mark
		}
	}
	return ""
}

// passedSince is the mark of a like weld made, at the setting of a failed one, after
// that was found bad, which passed its test; "" none.
func passedSince(failed procedures.Weld, like []procedures.Weld) string {
	for _, w := range like {
		if w.At.After(spoiled(failed)) && w.Outcome.Passed() && w.Settings.WireSpeed > 0 && near(w.Settings.WireSpeed, failed.Settings.WireSpeed, 0.10) {
			return w.Mark
		}
	}
	return ""
}

// Faded says why a weld's passed test proves nothing of what is welded now: "is 7
// months old"; "" where it does, or now is zero. The spool is the one in the machine.
// One rule for all: see [proof].
func Faded(w procedures.Weld, spool string, now time.Time) string {
	return faded(Request{Spool: spool, Now: now}, w)
}

func fadedWords(w procedures.Weld, why string) string {
	return fmt.Sprintf("the test of %s has faded, for it %s: weld one fresh coupon and have it %s", w.Mark, why, again(passedTest(w)))
}

// Stale lists why a procedure does not hold as it did: the machine was changed, or
// a weld behind it was struck, failed a test since, no longer passes or has faded.
// The request has the machine as it stands, the spool, the time and the welds that the
// procedure names. What failed in use is not among it: see [FailedInUse].
func Stale(p procedures.Procedure, r ProcedureRequest) []Reason {
	list := []Reason{}
	say := func(format string, args ...any) {
		list = append(list, Reason{fmt.Sprintf(format, args...), []string{}})
	}
	if p.Job.State != r.Machine.State.ID {
		say("%s has been changed since (%s): weld and break two fresh coupons, then revise it", r.Machine.Name, r.Machine.State.What)
	}
	for _, mark := range p.From {
		i := slices.IndexFunc(r.From, func(w procedures.Weld) bool { return w.Mark == mark })
		if i < 0 {
			say("%s is not in this notebook", mark)
			continue
		}
		w, tested := r.From[i], slices.Contains(p.Tests, mark)
		switch {
		case w.Struck != "":
			say("%s was struck since: %s", mark, w.Struck)
		case slices.ContainsFunc(w.Outcome.Tests, func(t procedures.Test) bool { return !t.Passed }):
			say("%s failed a test since", mark)
		case !w.Outcome.FailedInUse.IsZero() || !tested:
		case w.Outcome.Cracked():
			say("a crack was seen in %s since, and no crack passes", mark)
		case !w.Outcome.Passed():
			say("%s no longer has a passed bend or break test written down", mark)
		case Faded(w, r.Spool, r.Now) != "":
			say("%s", fadedWords(w, Faded(w, r.Spool, r.Now)))
		}
	}
	return list
}
