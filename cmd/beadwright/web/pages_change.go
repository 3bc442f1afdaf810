package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// group is a choice by press, under its legend.
type group struct {
	Name, Legend string
	Picks        []pick
	Bad          bool // what was pressed was not taken
}

// benchForm is a form about one machine.
type benchForm struct {
	Of, Heading, Button string
	Action              string   // the end of its address
	Done                string   // what was just written down
	Numbers             []string // of it, for Undo; none: it cannot be undone
	Forbidden           string   // why no arc is to be struck on it; "" nothing says so
	Say                 []string // what it is for, and how
	Mind                []caution.Caution
	Stands              []string // what is written down of the kind
	Hidden              []blank
	Groups              []group
	Blanks, More        []blank
	Trouble             *failure
}

// chosen marks what was pressed in the groups, and the one that was not taken.
func chosen(all []group, said url.Values, trouble *failure) []group {
	for i := range all {
		all[i].Picks = picked(said.Get(all[i].Name), all[i].Picks)
		all[i].Bad = trouble.Of(all[i].Name)
	}
	return all
}

// flagSaid is a flag as a message of a command names it.
var flagSaid = procedures.Pattern(`--([a-z][a-z-]*)`)

// labeled is called for a form of groups and blanks; where the failure speaks of the
// flag of another blank, it speaks of its label.
func labeled(f failure, groups []group, blanks ...[]blank) failure {
	all := slices.Concat(blanks...)
	name := func(said string) string {
		i := slices.IndexFunc(all, func(b blank) bool { return b.Name == said[2:] })
		if i < 0 {
			return said
		}
		return "“" + all[i].Label + "”"
	}
	f.Message, f.Hint = flagSaid().ReplaceAllStringFunc(f.Message, name), flagSaid().ReplaceAllStringFunc(f.Hint, name)
	for _, g := range groups {
		all = append(all, blank{Name: g.Name, Label: g.Legend})
	}
	return called(f, all...)
}

// shownMachine is the machine of the address, and its cautions of stored charge. ok is
// false where there is none; then that was said.
func (s *Server) shownMachine(w http.ResponseWriter, r *http.Request) (m procedures.Machine, charges []caution.Caution, ok bool) {
	var shown struct{ Machine procedures.Machine }
	f, status, ok := s.do(r, "machine", "show", "--", r.PathValue("name")).read(&shown)
	if !ok {
		s.fail(w, r, status, f, "bench")
		return m, nil, false
	}
	m = shown.Machine
	return m, machines{Machines: []procedures.Machine{m}}.charges(m.Name), true
}

// What is written down where no words are given for a machine that is rebuilt.
const (
	rebuiltNow    = "rebuilt by hand from AC to DC"
	rebuiltBefore = "was rebuilt by hand from AC to DC before it was written down"
)

// changeForm opens a new state of a machine.
func changeForm(m procedures.Machine, said url.Values, trouble *failure) benchForm {
	f := benchForm{
		Of: m.Name, Heading: "What was changed on " + m.Name + "?", Action: "change", Button: "Write the change down", Trouble: trouble,
		Say:    []string{"The machine is another one from then on. Beads from before still count, with less say, and nothing proved before is proved now. A slip in what stands here is no change: go back, and fill in or correct."},
		Hidden: []blank{{Name: "state", Value: m.State.ID}},
		Blanks: fill([]blank{{Name: "what", Label: "What was changed, in a few words", Example: "new liner and tip"}}, said, trouble),
	}
	if !m.Rebuilt {
		f.Groups = append(f.Groups, group{Name: "rebuilt", Legend: remade, Picks: []pick{{"false", "No", "something else was changed", "", false}, {"now", "Yes", "since it was written down here", "", false},
			{"before", "Yes, before that", "and it was not said here", "", false}}})
	}
	now := "as it was"
	if m.Output != "" {
		now = "as it was: " + strings.ToUpper(string(m.Output))
	}
	f.Groups = chosen(append(f.Groups, group{Name: "output", Legend: gives + ", from now on", Picks: []pick{{"dcen", "Gun on minus", "DCEN", "", false}, {"dcep", "Gun on plus", "DCEP", "", false},
		{"dc", "Either", "leads can be swapped", "", false}, {"ac", "AC", "as the cheapest come", "", false}, {"", "The same", now, "", false}}}), said, trouble)
	return f
}

func (s *Server) changeFormPage(w http.ResponseWriter, r *http.Request) {
	if m, charges, ok := s.shownMachine(w, r); ok {
		s.showBench(w, r, http.StatusOK, changeForm(m, url.Values{}, nil), charges)
	}
}

func (s *Server) showBench(w http.ResponseWriter, r *http.Request, status int, f benchForm, charges []caution.Caution) {
	s.show(w, r, status, "bench", page{Title: f.Heading, Here: "bench", Charges: charges, Body: f})
}

// changeMachine opens a new state of a machine. A machine rebuilt by hand can say so
// here at any time, and carries its stored charge from then on. Sent twice it is one
// change.
func (s *Server) changeMachine(w http.ResponseWriter, r *http.Request) {
	m, charges, ok := s.shownMachine(w, r)
	if !ok {
		return
	}
	said := r.PostForm
	again := func(status int, f failure) {
		form := changeForm(m, said, nil)
		f = labeled(f, form.Groups, form.Blanks)
		if c, ok := caution.StoredCharge(procedures.Machine{Rebuilt: true}); ok && (f.Field == "rebuilt" || said.Get("rebuilt") == "now" || said.Get("rebuilt") == "before") && len(charges) == 0 {
			charges = []caution.Caution{c}
		}
		s.showBench(w, r, status, changeForm(m, said, &f), charges)
	}
	what, rebuilt := strings.TrimSpace(said.Get("what")), said.Get("rebuilt")
	switch {
	case m.Rebuilt:
		rebuilt = "" // and stays so
	case what == "" && rebuilt == "now":
		what = rebuiltNow
	case what == "" && rebuilt == "before":
		what = rebuiltBefore
	}
	if state := said.Get("state"); state != "" && state != m.State.ID {
		if what == m.State.What {
			s.changed(w, r)
			return
		}
		again(http.StatusUnprocessableEntity, failure{Field: "state", Message: fmt.Sprintf("Since this page was shown, another change was written down: %s. Is this one more? Then press again.", m.State.What)})
		return
	}
	if what == "" {
		again(http.StatusUnprocessableEntity, failure{Field: "what", Message: "what: say it in a few words", Hint: "new liner and tip"})
		return
	}
	flags := append(flag("what", what), flag("output", said.Get("output"))...)
	switch direct := said.Get("output") != "" && said.Get("output") != string(procedures.AC); {
	case rebuilt == "now" || rebuilt == "before":
		flags = append(flags, "--rebuilt=true")
	case rebuilt != "":
		flags = append(flags, flag("rebuilt", rebuilt)...)
	case !m.Rebuilt && (procedures.Rebuilds(what) || direct && m.Output == procedures.AC):
		// The mark stays with a machine, so it is asked for and not guessed.
		again(http.StatusUnprocessableEntity, failure{Field: "rebuilt", Message: "That sounds like a machine rebuilt by hand from AC to DC, which may hold a charge with the plug out. Was it? Until you know, take it that it holds one.", Hint: "press Yes or No under " + remade})
		return
	}
	var done struct{}
	f, status, ok := s.do(r, append(append([]string{"machine", "change"}, flags...), "--", m.Name)...).read(&done)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		again(status, f)
	case !ok:
		s.fail(w, r, status, f, "bench")
	default:
		s.changed(w, r)
	}
}

func (s *Server) changed(w http.ResponseWriter, r *http.Request) {
	http.Redirect(w, r, machinePath(r.PathValue("name"))+"?changed=1", http.StatusSeeOther)
}
