package caution

import (
	"slices"

	"beadwright/procedures"
)

// Level says how far a caution goes.
type Level string

const (
	Stop  Level = "stop"  // no settings are given
	Defer Level = "defer" // settings are given; the last word is someone else's
	Care  Level = "care"  // settings are given; mind this
)

// Caution is one thing to be told, in plain words.
type Caution struct {
	Level   Level    `json:"level"`
	Key     string   `json:"key"`  // short and stable: container, hitch, galvanized, eyes ...
	Text    string   `json:"text"` // what to do, and why
	Instead string   `json:"instead,omitempty"`
	Source  []string `json:"source"` // ids of the sources table; at least one
}

// Request is what a welder typed and what was understood of it.
type Request struct {
	Words string // everything typed but the stated use: the job's words, notes
	// For is the use as plainly stated, apart from the words. It is read for
	// dangers like any other words, and it alone can make a lesser matter of a
	// hitch, a frame or a hook. What [procedures.Job.For] holds may have been
	// picked out of the words, and makes nothing lesser.
	For string
	Job procedures.Job
}

// Gate returns what stands against giving settings, and what must be told along
// with them; the most serious come first. With any stop there are no settings.
// It takes any text, and time in proportion to its length.
func Gate(r Request) (stops, cares []Caution) {
	j := r.Job
	text := read(r.Words, r.For, j.Said, j.For, j.Steel, j.ThicknessSaid, j.OtherSaid)
	use := useOf(r, text)
	bareCoat := strippedOf(text, j)
	found := map[string]bool{}
	for _, t := range topics() {
		if found[t.settled] || !t.found(text, j) {
			continue
		}
		found[t.key] = true
		c := adviceOn(t.key, t.level)
		switch {
		case t.lift >= coupon && use.coupon:
			c = asCoupon(c)
		case t.lift >= ornament && use.ornament, t.lift >= furniture && use.furniture:
			c = asOrnament(c)
		case t.lift == bare && bareCoat.covers(t.key) && t.level == Care:
			continue
		case t.lift == bare && bareCoat.covers(t.key):
			c = asStripped(c)
		}
		if c.Level == Stop {
			stops = append(stops, c)
		} else {
			cares = append(cares, c)
		}
	}
	if len(stops) == 0 && strange(read(r.For, j.For)) {
		cares = append(cares, unfamiliar)
	}
	slices.SortStableFunc(cares, func(a, b Caution) int { return rank(a.Level) - rank(b.Level) })
	return stops, cares
}

func rank(l Level) int { return slices.Index([]Level{Stop, Defer, Care}, l) }
