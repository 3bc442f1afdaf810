package remedy

import (
	"cmp"
	"slices"

	"beadwright/data"
	"beadwright/procedures"
)

// Kind is what sort of thing a cause is.
type Kind string

// Settings come last: a poor clamp or a worn tip acts like a wrong setting, and
// turning the knob against it leaves two faults. (Common practice, no source.)
const (
	Connection Kind = "connection" // clamp, leads, polarity, cord, circuit
	Consumable Kind = "consumable" // tip, wire, liner, roll, tension
	Metal      Kind = "metal"      // what is welded: clean, gap, draft
	Hand       Kind = "hand"       // pace, stick-out, angle, where it is aimed
	Setting    Kind = "setting"    // wire speed, tap
)

// Cause is one thing that may lie behind a symptom, and what to do about it.
type Cause struct {
	Symptom   string     `json:"symptom"` // key
	Kind      Kind       `json:"kind"`
	Cause     string     `json:"cause"`
	Do        string     `json:"do"`
	Change    string     `json:"change"`    // what the cure changes: clamp, tip, pace, wire-speed ...
	Direction string     `json:"direction"` // up, down, check
	Source    []string   `json:"source"`
	Basis     data.Basis `json:"basis"`
	Note      string     `json:"note"`
}

// Causes returns what may lie behind the symptoms with a process, in the order in
// which to look, settings last. Two symptoms at once are looked at in the order
// said; what both have in common stands once.
func Causes(symptoms []string, p procedures.Process) []Cause {
	process := "wire"
	if p == procedures.SMAW {
		process = "covered"
	}
	list := []Cause{}
	seen := map[[2]string]bool{}
	for _, key := range symptoms {
		for _, c := range data.Causes() {
			id := [2]string{c.Change, c.Direction}
			if c.Symptom != key || c.Process != "any" && c.Process != process || seen[id] {
				continue
			}
			seen[id] = true
			list = append(list, Cause{key, Kind(c.Kind), c.Cause, c.Cure, c.Change, c.Direction, c.Source, c.Basis, c.Note})
		}
	}
	slices.SortStableFunc(list, func(a, b Cause) int { return cmp.Compare(late(a), late(b)) })
	return list
}

func late(c Cause) int {
	if c.Kind == Setting {
		return 1
	}
	return 0
}

// FromTests are the symptoms that failed tests show: a break says more than looks.
func FromTests(tests []procedures.Test) []string {
	var keys []string
	for _, t := range tests {
		if t.Passed {
			continue
		}
		found := procedures.Hear(t.Result).Symptoms
		if key := shown[t.Result]; key != "" {
			found = []string{key}
		}
		for _, key := range found {
			if !slices.Contains(keys, key) {
				keys = append(keys, key)
			}
		}
	}
	return keys
}

// shown is what the face of a broken coupon shows, by the words of the test.
var shown = map[string]string{
	"root line": "lack-of-fusion", "straight edge": "lack-of-fusion", "peeled": "lack-of-fusion", "peeled clean": "lack-of-fusion",
	"cold": "lack-of-fusion", "not fused": "lack-of-fusion", "popped off": "lack-of-fusion",
	"holes": "porosity", "pores": "porosity", "slag": "slag-inclusion", "cracked": "crack",
}

// Question is one that tells much, with answers to choose from.
type Question struct {
	About   string   `json:"about"` // look, sound, wire
	Text    string   `json:"text"`
	Answers []string `json:"answers"` // each is heard as a symptom or a good sign
}

// Questions are the three that tell most where nothing was said. Common practice,
// no source.
func Questions() []Question {
	return []Question{
		{"look", "What did it look like?", []string{"tall and ropey", "wide and flat", "groove along the edge", "pinholes", "blew a hole", "balls everywhere"}},
		{"sound", "What did it sound like?", []string{"frying bacon", "popping", "hissing with big drops", "sputters, cuts in and out"}},
		{"wire", "What did the wire do?", []string{"pushes me back", "burns back to the tip", "jerks or stops", "bunched at the rollers"}},
	}
}
