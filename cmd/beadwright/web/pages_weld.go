package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// weldView is one weld, whole.
type weldView struct {
	procedures.Weld
	Amendments []procedures.Amendment
	Photos     []procedures.Photo
	Reratings  []procedures.Rerating
	FollowUps  []procedures.FollowUp
	Means      string                 // what its failure in use does to what was proved
	Same       []string               // marks of welds made the same way and in use, where it failed
	Broken     []caution.Caution      // of a part that failed
	Withdrawn  []string               // of its machine and spool, in words
	Roles      []procedures.PhotoRole // none: no pictures are kept here
	Stops      []caution.Caution
	Common     []symptom
	Rare       []symptom
	TestKinds  []string
	Changes    []blank // what may be corrected
	Rated      int     // as it is to be rated
	Note       string
	Symptom    string // seen as well
	Test       string // made since, as it was said
	TestResult string
	Trouble    *failure
}

// changes are the fields of a weld that may be corrected.
func changes(w procedures.Weld, all machines, m measures, said url.Values, trouble *failure) []blank {
	tap := blank{Name: "tap", Label: "Tap (heat switch)", Example: "as it was"}
	var names []string
	for _, machine := range all.Machines {
		names = append(names, machine.Name)
	}
	if len(names) < 2 { // of another machine it may be a tap that this one has not
		tap.Choices = all.named(w.Job.Machine).TapNames()
	}
	var list []blank
	if len(names) > 1 || len(names) == 1 && w.Job.Machine == "" {
		list = append(list, blank{Name: "machine", Label: "Machine", Choices: names})
	}
	list = append(list, tap, blank{Name: "knob", Label: "Knob", Example: "as it was"}, blank{Name: "wire-speed", Label: "Wire speed, measured", Example: m.example("102ipm", "2.6 m/min")},
		blank{Name: "thickness", Label: "Thickness", Example: m.example("1/8", "3mm")}, blank{Name: "joint", Label: "Joint", Choices: texts(procedures.Joints())},
		blank{Name: "position", Label: "Lying how", Choices: texts(procedures.Positions())}, blank{Name: "leg", Label: "Leg, measured", Example: m.example("1/8", "3mm")},
		blank{Name: "travel", Label: "Pace", Example: m.example("4in in 27s", "100mm in 27s")}, blank{Name: "for", Label: "What it is for", Example: "as it was"})
	return fill(list, said, trouble)
}

// texts are words of a kind as plain words.
func texts[T ~string](all []T) []string {
	list := make([]string, len(all))
	for i, s := range all {
		list[i] = string(s)
	}
	return list
}

// Rateable reports whether there is a picture to rate again by.
func (v weldView) Rateable() bool {
	return v.Outcome.Rating > 0 && (v.Outcome.Photo != "" || slices.ContainsFunc(v.Photos, func(p procedures.Photo) bool { return p.Role == procedures.BeadPhoto }))
}

// Outweighed reports whether something is known of it that outweighs its looks: a
// failed test, a failure in use, a crack.
func (v weldView) Outweighed() bool {
	return v.Outcome.Cracked() || !v.Outcome.FailedInUse.IsZero() || slices.ContainsFunc(v.Outcome.Tests, func(t procedures.Test) bool { return !t.Passed })
}

// FailedHow is what was seen when it first failed in use; "" nothing was said.
func (v weldView) FailedHow() string {
	i := slices.IndexFunc(v.FollowUps, func(f procedures.FollowUp) bool { return !f.Held })
	if i < 0 {
		return ""
	}
	return v.FollowUps[i].Note
}

func (s *Server) weldPage(w http.ResponseWriter, r *http.Request) {
	s.showWeld(w, r, http.StatusOK, nil)
}

func (s *Server) showWeld(w http.ResponseWriter, r *http.Request, status int, trouble *failure) {
	var shown struct {
		Weld       procedures.Weld
		Amendments []procedures.Amendment
		Photos     []procedures.Photo
		Reratings  []procedures.Rerating
		FollowUps  []procedures.FollowUp
		Means      string
		Same       []string
		Cautions   []caution.Caution
		Withdrawn  []string
	}
	f, st, ok := s.do(r, "show", "--", r.PathValue("mark")).read(&shown)
	if !ok {
		s.fail(w, r, st, f, "find")
		return
	}
	v := weldView{Weld: shown.Weld, Amendments: shown.Amendments, Photos: shown.Photos, Reratings: shown.Reratings, FollowUps: shown.FollowUps, Means: shown.Means, Same: shown.Same, Broken: shown.Cautions,
		Stops: stopsOf(shown.Weld), Withdrawn: shown.Withdrawn, TestKinds: procedures.TestKinds(), Trouble: trouble}
	for _, k := range procedures.SymptomKeys() {
		v.Rare = append(v.Rare, choices([]string{k})...)
	}
	if _, ok := s.bench.(Album); ok {
		v.Roles = procedures.PhotoRoles()
	}
	said := url.Values{"rating": {fmt.Sprint(int(v.Outcome.Rating))}, "note": {v.Outcome.Note}}
	if r.Method == http.MethodPost && r.URL.Path == "/weld/"+r.PathValue("mark") { // not taken: as it was typed
		said = r.PostForm
	}
	all, m := s.machines(r), s.measures(r)
	v.Changes, v.Note, v.Symptom = changes(v.Weld, all, m, said, trouble), said.Get("note"), said.Get("symptom")
	v.Test, v.TestResult = said.Get("test"), said.Get("result")
	v.Rated, _ = strconv.Atoi(said.Get("rating"))
	if trouble != nil {
		*trouble = called(*trouble, v.Changes...)
	}
	s.show(w, r, status, "weld", page{Title: "Weld " + v.Mark, Here: "find", Charges: all.charges(v.Job.Machine), Body: v})
}

// change carries out a command about a weld for a form of its page, and goes back there.
func (s *Server) change(w http.ResponseWriter, r *http.Request, args ...string) {
	var done struct{}
	f, status, ok := s.do(r, args...).read(&done)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		s.showWeld(w, r, status, &f)
	case !ok:
		s.fail(w, r, status, f, "find")
	default:
		http.Redirect(w, r, "/weld/"+url.PathEscape(r.PathValue("mark")), http.StatusSeeOther)
	}
}

// undone is why a record is withdrawn by a press.
const undone = "--strike=undone on the page"

// followUp writes down how a part did in use, or takes the last such back.
func (s *Server) followUp(w http.ResponseWriter, r *http.Request) {
	mark, how := r.PathValue("mark"), r.FormValue("do")
	switch how {
	case "undo":
		s.change(w, r, "followup", undone, "--", mark)
	case "held", "failed":
		args := []string{"followup", "--", mark, how}
		if note := strings.TrimSpace(r.FormValue("note")); note != "" {
			args = append(args, note)
		}
		s.change(w, r, args...)
	default:
		s.trouble(w, r, http.StatusBadRequest, "It held, or it failed; nothing else.")
	}
}

// rateAgain keeps what somebody thinks of a bead later, or takes the last such back.
func (s *Server) rateAgain(w http.ResponseWriter, r *http.Request) {
	mark, rating := r.PathValue("mark"), r.FormValue("rating")
	if rating == "" && r.FormValue("do") == "undo" {
		s.change(w, r, "rate", undone, "--", mark)
		return
	}
	s.change(w, r, append(append([]string{"rate"}, flag("note", r.FormValue("note"))...), "--", mark, rating)...)
}

// amendWeld corrects a weld; the old value is kept.
func (s *Server) amendWeld(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.trouble(w, r, http.StatusBadRequest, "The form did not come through whole. Nothing was changed; send it again.")
		return
	}
	v := r.PostForm
	if untold := testUntold(v); untold != nil {
		s.showWeld(w, r, http.StatusUnprocessableEntity, untold)
		return
	}
	args := []string{"amend"}
	for _, name := range []string{"machine", "rating", "symptom", "leg", "note", "tap", "knob", "wire-speed", "travel", "extension", "thickness", "joint", "position", "for"} {
		args = append(args, flag(name, v.Get(name))...)
	}
	for _, key := range v["not-symptom"] {
		args = append(args, flag("not-symptom", key)...)
	}
	args = append(args, testFlag(v)...)
	args = append(args, "--", r.PathValue("mark"))
	s.change(w, r, args...)
}
