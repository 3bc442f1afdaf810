package recommend

import (
	"fmt"
	"math"
	"time"

	"beadwright/procedures"
)

// sameMark is how far apart two marks of a knob may be and still be one setting: half
// a mark of a dial from 0 to 10, as a share of the scale. A design choice.
const sameMark = 0.05

// knobProofs finds, for each tap, the latest weld of this very job (as [proof] has it)
// that stood at a mark of the knob and passed its bend or break test. Where one has
// failed at that mark since, was rated 1 or 2 there, or broke at a mark that nobody
// wrote down, there is none, nor where the test has faded.
func knobProofs(r Request, h History) map[string]*procedures.Weld {
	found := map[string]*procedures.Weld{}
	var alike []*procedures.Weld
	for i := range h {
		if w := &h[i]; thisJob(&r, &w.Job) && !wrongPole(*w) {
			alike = append(alike, w)
		}
	}
	for _, w := range alike {
		tap := w.Settings.Tap
		switch at := found[tap]; {
		case w.Settings.Knob != nil && w.Outcome.Passed():
			found[tap] = w
		case at != nil && speaksAgainst(r.Machine, *w, *at):
			delete(found, tap)
		}
	}
	for _, w := range alike {
		tap := w.Settings.Tap
		at, when := found[tap], w.Outcome.FailedInUse
		if at != nil && !when.IsZero() && !at.At.After(when) && speaksAgainst(r.Machine, *w, *at) {
			delete(found, tap)
		}
	}
	for tap, w := range found {
		if faded(r, *w) != "" {
			delete(found, tap)
		}
	}
	return found
}

// speaksAgainst reports whether a weld came out badly at the mark of another.
func speaksAgainst(m procedures.Machine, w, proved procedures.Weld) bool {
	mark := w.Settings.Knob
	if mark == nil {
		return broke(w.Outcome)
	}
	scale := 10.
	if m.Knob.Marked() {
		scale = m.Knob.Max - m.Knob.Min
	}
	return bad(w.Outcome) && math.Abs(*mark-*proved.Settings.Knob) <= sameMark*scale+1e-9
}

// provedKnob puts in the mark at which a like bead passed its test, where the knob is
// not measured. What wire speed it runs there may not be known: then the mark is what
// is known, and the wire speed stays the one that was found without it.
func (s *Suggestion) provedKnob(r Request, p procedures.Weld) {
	mark := *p.Settings.Knob
	s.Settings.Knob, s.Settings.KnobSaid = &mark, ""
	s.Settings.How["knob"] = procedures.OwnCurve // mark and wire speed go together
	if p.Settings.WireSpeed == 0 {
		s.Settings.How["knob"] = procedures.Measured
	}
	s.Evidence.KnobBy = p.Mark
	where := procedures.FormatKnob(mark) + " on the knob"
	if p.Settings.Tap != "" {
		where += ", tap " + p.Settings.Tap
	}
	text := fmt.Sprintf("%s %s at %s%s: a like joint in the same wire, on the machine as it stands now; come up to the mark from below", p.Mark, testedWell(p), where, ago(r, p.At))
	measure := "The knob is not measured: the mark is that of " + p.Mark + " alone, and holds for this joint, this wire and this tap."
	if p.Settings.WireSpeed == 0 {
		measure += fmt.Sprintf(" What wire speed it runs there nobody has measured: %s, and the amps and the pace that go with it, are not from that bead.", speed(r, s.Settings.WireSpeed))
	}
	s.lead(Reason{Text: text})
	s.care("knob", measure+" Measure it: "+runOut(r), "MATH", "CP")
}

// testedWell says which test a weld passed.
func testedWell(w procedures.Weld) string {
	if passedTest(w) == "bend" {
		return "bent well"
	}
	return "passed its break test"
}

// ago says how long ago something was, where both times are known.
func ago(r Request, at time.Time) string {
	if r.Now.IsZero() || at.IsZero() {
		return ""
	}
	age := r.Now.Sub(at)
	if age < 48*time.Hour {
		return ", less than two days ago"
	}
	return ", " + ageWords(age) + " ago"
}
