package recommend

import (
	"fmt"
	"math"
	"slices"
	"time"

	"beadwright/procedures"
)

// A test proves what is welded soon after, with the same wire, on the machine as
// it stood. How long that holds is a design choice, no source: wire rusts and
// takes up damp, tips wear, hands forget, and two spools of one class differ.
// A change of the machine ends it at once.
const (
	proofHolds      = 180 * 24 * time.Hour // on the same spool
	proofHoldsSpool = 60 * 24 * time.Hour  // on another spool of the same class and size
)

// sameSpeed is how close a wire speed lies to that of a test which is to prove it, as
// a share of it. A design choice.
const sameSpeed = 0.05

// faded says why a passed test no longer counts as proof; "" where it does. It
// needs the time of asking; without it nothing fades.
func faded(r Request, passed procedures.Weld) string {
	if r.Now.IsZero() || passed.At.IsZero() {
		return ""
	}
	age := r.Now.Sub(passed.At)
	switch {
	case age > proofHolds:
		return "is " + ageWords(age) + " old"
	case passed.Spool != r.Spool && age > proofHoldsSpool:
		return "is " + ageWords(age) + " old and was not made with the spool that is in now"
	}
	return ""
}

// ageWords says an age as people do.
func ageWords(d time.Duration) string {
	days := int(d.Hours() / 24)
	if months := int(math.Round(float64(days) / 30.44)); months >= 2 {
		if months >= 24 {
			return fmt.Sprintf("%d years", months/12)
		}
		return fmt.Sprintf("%d months", months)
	}
	return fmt.Sprintf("%d days", days)
}

// proven is the weld whose test proves a setting today; nil where there is none.
func (o own) proven(r Request) *procedures.Weld {
	if o.passed == nil || faded(r, *o.passed) != "" {
		return nil
	}
	return o.passed
}

// failedAt is the latest weld of this very job that failed a test, or in use, or
// cracked, at a setting, and was not followed by one that passed there; nil where there is none.
func failedAt(r Request, h History, set procedures.Settings) (found *procedures.Weld) {
	for i := range h {
		w := &h[i]
		if w.Settings.Tap != set.Tap || w.Settings.WireSpeed <= 0 || !near(w.Settings.WireSpeed, set.WireSpeed, sameSpeed) || !thisJob(&r, &w.Job) || wrongPole(*w) {
			continue
		}
		switch {
		case broke(w.Outcome) || w.Outcome.Cracked():
			found = w
		case w.Outcome.Passed():
			found = nil
		}
	}
	return found
}

// again is what is done with the coupon.
func again(test string) string {
	if test == "bend" {
		return "bent"
	}
	return "broken"
}

// proof finds the latest weld of this very job (same joint, position, wire and
// state of the machine, thickness within 10 %, the other part within 25 %, as clean
// and as tight) that passed its test and has not failed at that setting since.
// broke is the latest one that failed in use, whatever its coupon did, unless a
// like weld passed its test after that: what was found in use outweighs every test
// before it.
func proof(r Request, h History) (found, broke *procedures.Weld) {
	var alike []*procedures.Weld
	for i := range h {
		w := &h[i]
		if w.Settings.WireSpeed > 0 && thisJob(&r, &w.Job) && !wrongPole(*w) {
			alike = append(alike, w)
		}
	}
	for _, w := range alike {
		switch {
		case w.Outcome.Passed():
			found = w
		case found != nil && bad(w.Outcome) && near(w.Settings.WireSpeed, found.Settings.WireSpeed, 0.10):
			found = nil // it failed at that setting since
		}
	}
	for _, w := range alike {
		when := w.Outcome.FailedInUse
		switch {
		case when.IsZero() || found != nil && found.At.After(when):
		case broke == nil || when.After(broke.Outcome.FailedInUse):
			broke = w
		}
		if found != nil && !when.IsZero() && !found.At.After(when) && near(w.Settings.WireSpeed, found.Settings.WireSpeed, 0.10) {
			found = nil
		}
	}
	return found, broke
}

// thisJob reports whether a past job is this very job on the machine as it stands.
// It is asked of every weld, so what tells most of them apart comes first.
func thisJob(r *Request, j *procedures.Job) bool {
	if j.Joint != r.Job.Joint || j.Position != r.Job.Position || j.Thinner() <= 0 ||
		math.Abs(float64(j.Thinner()/r.Job.Thinner())-1) > 0.10 || math.Abs(float64(j.Thicker()/r.Job.Thicker())-1) > 0.25 {
		return false
	}
	machine, state := machineKey(r.Machine)
	return j.Machine == machine && j.State == state && sameKind(r.Job, *j) && dirt(*j) == dirt(r.Job) && math.Abs(float64(j.Gap-r.Job.Gap)) <= 1
}

// wrongPole reports whether a weld was made on the direct current that its wire is
// not made for: it is kept, and teaches and proves nothing.
func wrongPole(w procedures.Weld) bool {
	best, also, _ := wantedPolarity(w.Job.Class)
	p := w.Settings.Polarity
	return (p == procedures.DCEN || p == procedures.DCEP) && p != best && !slices.Contains(also, p)
}

// WrongPole says in words what wire was run on the wrong pole; "" where none was.
func WrongPole(w procedures.Weld) string {
	if !wrongPole(w) {
		return ""
	}
	_, _, note := wantedPolarity(w.Job.Class)
	return note
}

// broken lists the welds of this very job on the machine as it stands that failed a
// test, or failed in use.
func broken(r Request, h History) []string {
	marks := []string{}
	for i := range h {
		w := &h[i]
		if broke(w.Outcome) && thisJob(&r, &w.Job) {
			marks = append(marks, w.Mark)
		}
	}
	return marks
}

// dirt is the coating that the arc meets; bare metal and what was not said are one.
func dirt(j procedures.Job) procedures.Coating {
	if j.Stripped || j.Coating == procedures.Bare {
		return ""
	}
	return j.Coating
}

// bad reports whether an outcome speaks against its settings.
func bad(o procedures.Outcome) bool {
	return broke(o) || o.Cracked() || o.Unfused() || o.Rating == 1 || o.Rating == 2
}

// broke reports whether a weld failed a test, or in use.
func broke(o procedures.Outcome) bool {
	return !o.FailedInUse.IsZero() || slices.ContainsFunc(o.Tests, func(t procedures.Test) bool { return !t.Passed })
}

func near(a, b procedures.MPerMin, within float64) bool {
	return math.Abs(float64(a/b)-1) <= within
}

// judge turns "inside" into "proved" where a test of a like weld says so, at
// settings close to those suggested.
func (s *Suggestion) judge(r Request, own own) {
	if b := own.broke; b != nil {
		if own.passed == nil {
			s.Evidence.ProofFaded = b.Mark + " failed in use"
		}
		s.lead(Reason{Text: fmt.Sprintf("your own %s, a like job, failed in use (%s) at tap %s, %s: look at the break before you weld another, and break a fresh coupon first",
			b.Mark, b.Outcome.FailedInUse.Format(time.DateOnly), b.Settings.Tap, speed(r, b.Settings.WireSpeed))})
	}
	if own.passed == nil || s.Verdict == Edge && own.alone {
		return
	}
	if !near(s.Settings.WireSpeed, own.passed.Settings.WireSpeed, sameSpeed) || s.Settings.Tap != own.passed.Settings.Tap {
		p := own.passed
		s.lead(Reason{Text: fmt.Sprintf("your own %s passed its %s test at another setting: tap %s, %s", p.Mark, passedTest(*p), p.Settings.Tap, speed(r, p.Settings.WireSpeed))})
		return
	}
	if why := faded(r, *own.passed); why != "" {
		s.Evidence.ProofFaded = own.passed.Mark + " " + why
		s.lead(Reason{Text: fmt.Sprintf("your own %s passed its %s test at this setting, but it %s: one fresh coupon, %s, proves it again", own.passed.Mark, passedTest(*own.passed), why, again(passedTest(*own.passed)))})
		return
	}
	if s.Verdict == Inside {
		s.Verdict = Proved
		s.Evidence.ProvedBy = own.passed.Mark
	}
	s.because(nil, "%s, a like job in this state of the machine, passed its %s test", own.passed.Mark, passedTest(*own.passed))
}

// failure says what failed of a weld.
func failure(w procedures.Weld) string {
	if !w.Outcome.FailedInUse.IsZero() {
		return "in use, " + w.Outcome.FailedInUse.Format(time.DateOnly)
	}
	for _, t := range w.Outcome.Tests {
		if !t.Passed {
			return t.Kind + ": " + t.Result
		}
	}
	if w.Outcome.Cracked() {
		return "a crack was seen"
	}
	if w.Outcome.Unfused() {
		return "a lack of fusion was seen"
	}
	return ""
}

func passedTest(w procedures.Weld) string {
	for _, t := range w.Outcome.Tests {
		if t.Passed && (t.Kind == "bend" || t.Kind == "break") {
			return t.Kind
		}
	}
	return ""
}

// ownStart builds a start from an own tested weld alone, where no table answers.
func ownStart(passed procedures.Weld, past *outside) start {
	p := passed.Settings
	s := start{reasons: []Reason{{past.text, past.source},
		{"no table answers; these are the settings of your own " + passed.Mark + ", which passed its " + passedTest(passed) + " test", nil}}}
	exactly := func(to *float64, lo, hi *float64, v float64) { *to, *lo, *hi = v, v, v }
	exactly(&s.wireSpeed.Value, &s.wireSpeed.Low, &s.wireSpeed.High, float64(p.WireSpeed))
	exactly(&s.current.Value, &s.current.Low, &s.current.High, float64(p.Current))
	exactly(&s.voltage.Value, &s.voltage.Low, &s.voltage.High, float64(p.Voltage))
	s.tapVolts = s.voltage.Value
	return s
}
