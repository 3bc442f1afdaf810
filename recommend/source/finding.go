package source

import (
	"fmt"
	"slices"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// Verdict says in a word what a figure means for the one who is about to weld.
type Verdict string

// From the least to the worst.
const (
	Fine     Verdict = "fine"
	Unknown  Verdict = "not known"
	Marginal Verdict = "marginal"
	WillTrip Verdict = "will trip"
	DoNot    Verdict = "do not"
)

var verdicts = []Verdict{Fine, Unknown, Marginal, WillTrip, DoNot}

// Finding is one thing to know about a circuit, the leads or a rebuilt machine: a
// figure, and in words what it means. Verdict "" is a figure to know and no more.
type Finding struct {
	Key     string
	Verdict Verdict
	Figure  arc.Value // Unit "": words only
	Text    string
	Source  []string
}

// Missing is what is not known, and where it can be read.
type Missing struct {
	Key   string `json:"-"` // short and stable
	What  string `json:"what"`
	Where string `json:"where"`
}

// gap is something that may be missing.
type gap struct {
	open             bool // it is
	key, what, where string
}

func missing(gaps []gap) (list []Missing) {
	for _, g := range gaps {
		if g.open {
			list = append(list, Missing{g.key, g.what, g.where})
		}
	}
	return list
}

// Worst is the worst verdict among findings; [Fine] for none.
func Worst(all []Finding) Verdict {
	worst := 0
	for _, f := range all {
		worst = max(worst, slices.Index(verdicts, f.Verdict))
	}
	return verdicts[worst]
}

// say makes a finding of a value, which brings its sources.
func say(key string, v Verdict, figure arc.Value, format string, args ...any) Finding {
	return Finding{key, v, figure, fmt.Sprintf(format, args...), figure.Source}
}

// sum is a figure of plain arithmetic.
func sum(v float64, unit string) arc.Value {
	return exact(v, unit, data.Row{Source: []string{"MATH"}, Basis: data.Computed})
}

// share is how much of a supply is lost, as a word.
func share(p procedures.Percent) Verdict {
	if p > dropSuggested {
		return Marginal
	}
	return Fine
}
