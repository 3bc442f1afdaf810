package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

// procedureState is how a procedure stands today: what is said of it wherever it is
// shown.
type procedureState struct {
	machine procedures.Machine
	welds   []procedures.Weld // that it was written from, in order
	stale   []recommend.Reason
	failed  []recommend.Failure
	faded   map[string]bool // marks of those whose tests have faded
}

func (a *app) procedureState(ctx context.Context, nb *store.Notebook, p procedures.Procedure) (procedureState, error) {
	s := procedureState{failed: []recommend.Failure{}, faded: map[string]bool{}}
	var err error
	if s.machine, err = nb.Machine(ctx, p.Job.Machine); err != nil {
		return s, err
	}
	for _, mark := range p.From {
		w, _, err := nb.Weld(ctx, mark)
		if err != nil {
			return s, err
		}
		s.welds = append(s.welds, w)
	}
	if err := a.derive(ctx, s.welds); err != nil {
		return s, err
	}
	r := recommend.ProcedureRequest{Machine: s.machine, From: s.welds, Spool: spoolOf(ctx, nb), Now: a.now()}
	s.stale = recommend.Stale(p, r)
	if m := s.machine; m.Struck != "" {
		s.stale = append(s.stale, recommend.Reason{Text: fmt.Sprintf("the machine %s was withdrawn: %s", m.Name, m.Struck)})
	}
	for _, w := range s.welds {
		s.faded[w.Mark] = recommend.Faded(w, r.Spool, r.Now) != ""
	}
	said, err := saidOfFailures(ctx, nb)
	if err != nil || len(said) == 0 {
		return s, err
	}
	history, err := nb.History(ctx)
	if err != nil {
		return s, err
	}
	if err := a.derive(ctx, history); err != nil {
		return s, err
	}
	s.failed = recommend.FailedInUse(p, history, said)
	return s, nil
}

// saidOfFailures is what was said of each weld that failed in use, by its id: of the
// first failure, "" where nothing was.
func saidOfFailures(ctx context.Context, nb *store.Notebook) (map[string]string, error) {
	all, err := nb.FollowUps(ctx, "")
	said, first := map[string]string{}, map[string]time.Time{}
	for _, f := range all {
		if when, ok := first[f.Weld]; !f.Held && (!ok || f.At.Before(when)) {
			said[f.Weld], first[f.Weld] = oneLine(f.Note), f.At
		}
	}
	return said, err
}

// failedInUse is what a weld that failed in use is called wherever it is shown.
const failedInUse = "FAILED IN USE"

// inUseWords says that a weld failed in use, when and how; "" where it did not.
func inUseWords(when time.Time, said string) string {
	if when.IsZero() {
		return ""
	}
	return failedInUse + " " + when.Local().Format(time.DateOnly) + after(": ", said)
}

// alert is the first thing to say of a procedure that something failed by.
func (s procedureState) alert() []string {
	var lines []string
	for _, f := range s.failed {
		do := "Do not weld by this sheet until a fresh coupon passes"
		if f.Passed != "" {
			do = fmt.Sprintf("%s passed since: revise this from it and another like it before you weld by it", f.Passed)
		}
		lines = append(lines, fmt.Sprintf("%s (%s). %s.", strings.TrimRight(inUseWords(f.At, f.Said), "."), f.Mark, do))
	}
	return lines
}

// unanswered is the mark of a weld that failed in use with no like coupon passing
// since; "" none.
func (s procedureState) unanswered() string {
	for _, f := range s.failed {
		if f.Passed == "" {
			return f.Mark
		}
	}
	return ""
}

const behindTested = "TESTED"

// behind says how a weld of a procedure stands behind it.
func (s *procedureSheet) behind(w procedures.Weld) string {
	switch {
	case !w.Outcome.FailedInUse.IsZero():
		return failedInUse
	case w.Struck != "":
		return "struck"
	case failedTest(w.Outcome):
		return "FAILED"
	case !slices.Contains(s.Procedure.Tests, w.Mark):
		return "as a good one, not as a test"
	case s.faded[w.Mark]:
		return "tested, faded"
	case s.unanswered() != "":
		return "tested before " + s.unanswered() + " failed"
	}
	return behindTested
}

// procedureStanding is how a procedure stands, as JSON lists it.
type procedureStanding struct {
	Name   string              `json:"name"`
	Failed []recommend.Failure `json:"failed_in_use"`
	Stale  []recommend.Reason  `json:"stale"`
}

func standingOf(all []procedures.Procedure, states []procedureState) []procedureStanding {
	list := []procedureStanding{}
	for i, p := range all {
		list = append(list, procedureStanding{p.Name, states[i].failed, states[i].stale})
	}
	return list
}

// looseMarks takes the marks that a shell left behind --from, as in --from A1 A2, out
// of the end of a name.
func looseMarks(name []string, from string) ([]string, string) {
	for from != "" && len(name) > 1 && markForm().MatchString(name[len(name)-1]) {
		from += "," + name[len(name)-1]
		name = name[:len(name)-1]
	}
	return name, from
}

var markForm = procedures.Pattern(`^[A-Za-z][0-9]{1,2},?$`)

// marksIn are the marks in a list with commas or spaces between.
func marksIn(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(",; ", r) })
}
