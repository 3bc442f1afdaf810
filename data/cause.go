package data

// Cause is one thing that may lie behind a symptom, and what cures it, in the
// order in which to look: what is checked without touching a setting comes before
// the settings. The facts are those of [Remedies]; the order is common practice.
type Cause struct {
	Symptom   string `csv:"symptom"`   // key: burn-through, porosity ...
	Process   string `csv:"process"`   // wire, covered, any
	Kind      string `csv:"kind"`      // connection, consumable, metal, hand, setting
	Cause     string `csv:"cause"`     // a clause
	Cure      string `csv:"cure"`      // what to do
	Change    string `csv:"change"`    // what the cure changes: clamp, tip, pace, wire-speed ...
	Direction string `csv:"direction"` // up, down, or check
	Row
}

var causes = table[Cause]("causes.csv")

// Causes returns the causes of symptoms, those of one symptom in the order in
// which to look.
func Causes() []Cause { return causes() }
