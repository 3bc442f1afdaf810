package source

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// Concern is a finding that speaks against welding, and the command that shows the
// page it stands on.
type Concern struct {
	Finding
	Page string // such as: machine circuit
}

// The pages that concerns stand on.
const (
	RebuiltPage = "machine rebuilt"
	MeasurePage = "machine measure"
	CircuitPage = "machine circuit"
)

// Concerns gathers what speaks against welding with a machine as it is written down,
// for an output: from its side rebuilt to direct current, its volts with no arc, its
// line and its circuit. The worst come first; nothing fine or not known is among
// them. It is what every command goes by, so that none gives settings or says go
// where another says do not. An output of zero is not known: what needs it is
// left out. A record that cannot be judged, which its own page refuses, concerns
// nothing here.
func Concerns(m procedures.Machine, i procedures.Amps, load procedures.Volts) []Concern {
	var all []Concern
	add := func(page string, found []Finding, err error) {
		for _, f := range found {
			if err == nil && slices.Index(verdicts, f.Verdict) >= slices.Index(verdicts, Marginal) {
				all = append(all, Concern{f, page})
			}
		}
	}
	if m.Rebuilt {
		found, _, err := RebuiltOf(m, i).Judge()
		add(RebuiltPage, found, err)
	}
	held, err := HeldOpen(m)
	add(MeasurePage, held, err)
	found, _, err := CircuitOf(m, i, load).Judge()
	add(CircuitPage, found, err)
	slices.SortStableFunc(all, func(a, b Concern) int {
		return slices.Index(verdicts, b.Verdict) - slices.Index(verdicts, a.Verdict)
	})
	return all
}

// Forbidden is the first concern that says do not; false where none does.
func Forbidden(all []Concern) (Concern, bool) {
	if len(all) > 0 && all[0].Verdict == DoNot {
		return all[0], true
	}
	return Concern{}, false
}

// Remedy says what to do about a concern that says do not, by its page.
func (c Concern) Remedy() string {
	what := "have it put right by a licensed electrician, or use another circuit"
	switch {
	case c.Page == CircuitPage && strings.Contains(c.Text, "licensed electrician"):
		what = "another circuit does until that is done"
	case c.Page == RebuiltPage:
		what = "leave the machine unplugged until a qualified person has put that right"
	case c.Page == MeasurePage:
		what = "measure it again; if it is so, leave the machine unplugged until a qualified person has looked at it"
	case c.Key == "cord" || c.Key == "cord-amps":
		what = "plug the machine in without the cord, or with a shorter and heavier one"
	}
	return what + ". Then write down what is so now: all of it stands under " + c.Page
}
