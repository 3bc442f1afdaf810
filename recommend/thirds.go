package recommend

import (
	"beadwright/procedures"
)

// Uneven says what it means that a bead did not come out alike from end to end; ""
// where its thirds or symptoms do not say so. Steel heats up ahead of the arc, and
// a small piece soonest: one setting is then too cold at the start, right in the
// middle and too hot at the end. Practice plates are 1 1/2 to 2 in wide and 3 1/2
// to 4 in long (common practice, no source).
func Uneven(o procedures.Outcome) string {
	const (
		soaks = "the piece heats up under the bead, so the setting may be right and the piece too small. Judge the setting by the middle; let the steel cool to hand-warm between beads, or take a piece 1 1/2 to 2 in wide and 4 in long (common practice, no source)"
		cold  = "the start is the worst of it: the steel is cold there. That is the hand's part before it is the knob's: strike a little ahead, come back over the start and wait for the puddle (common practice, no source)"
	)
	hot, chilled := false, false
	for _, key := range o.Symptoms {
		s, _ := procedures.FindSymptom(key)
		hot, chilled = hot || s.Heat > 0, chilled || s.Heat < 0
	}
	if hot && chilled {
		return "too cold and too hot in one bead: " + soaks
	}
	if o.Thirds == nil {
		return ""
	}
	start, middle, end := o.Thirds[0], o.Thirds[1], o.Thirds[2]
	switch {
	case start > 0 && end > 0 && middle > start && middle > end:
		return "good in the middle, worse at both ends: " + soaks
	case end > 0 && max(start, middle) > end && (start == 0 || start >= end):
		return "it gets worse along the bead: " + soaks
	case start > 0 && end > start && (middle == 0 || middle > start):
		return cold
	}
	return ""
}
