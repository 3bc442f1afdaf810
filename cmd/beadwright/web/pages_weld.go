package web

import (
	"encoding/json"
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
	Doubts     []string               // what speaks against the record, or keeps it from teaching
	Correcting bool                   // the form to correct it is open
	Roles      []procedures.PhotoRole // none: no pictures are kept here
	Stops      []caution.Caution
	Common     []symptom
	Rare       []symptom
	TestKinds  []string
	Changes    []blank // what may be corrected
	Rated      int     // as it is to be rated
	Note       string
	WasRated   string // as the form was first shown: only what differs is told
	WasNote    string
	Symptom    string // seen as well
	TakenBack  string // what was just taken back: followup, rate; "" nothing
	InUse      string // what was seen of how it did, typed and not taken
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
		blank{Name: "wire", Label: "Wire", Example: "0.030 E71T-GS"}, blank{Name: "polarity", Label: "Gun on minus (dcen) or plus (dcep)", Choices: []string{string(procedures.DCEN), string(procedures.DCEP), string(procedures.AC)}},
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

// Outweighed reports whether something is known of it that outweighs its looks.
func (v weldView) Outweighed() bool { return len(outweighs(v.Weld)) > 0 }

// outweighs is what is known of a weld that outweighs its looks, in words: a failure in
// use, a failed test, a crack, a lack of fusion.
func outweighs(w procedures.Weld) (list []string) {
	if !w.Outcome.FailedInUse.IsZero() {
		list = append(list, "FAILED IN USE")
	}
	for _, t := range w.Outcome.Tests {
		if !t.Passed {
			list = append(list, capital(t.Kind)+" FAILED")
		}
	}
	if w.Outcome.Cracked() {
		list = append(list, "CRACKED")
	}
	if w.Outcome.Unfused() {
		list = append(list, "NOT MELTED IN")
	}
	return list
}

// LastUse is the id of what was said last of how it did; "" nothing was.
func (v weldView) LastUse() string {
	if n := len(v.FollowUps); n > 0 {
		return v.FollowUps[n-1].ID
	}
	return ""
}

// LastRating is the id of its last later rating; "" there is none.
func (v weldView) LastRating() string {
	if n := len(v.Reratings); n > 0 {
		return v.Reratings[n-1].ID
	}
	return ""
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
		Doubts     []string
	}
	f, st, ok := s.do(r, "show", "--", r.PathValue("mark")).read(&shown)
	if !ok {
		s.fail(w, r, st, f, "find")
		return
	}
	v := weldView{Weld: shown.Weld, Amendments: shown.Amendments, Photos: shown.Photos, Reratings: shown.Reratings, FollowUps: shown.FollowUps, Means: shown.Means, Same: shown.Same, Broken: shown.Cautions,
		Stops: stopsOf(shown.Weld), Withdrawn: shown.Withdrawn, Doubts: shown.Doubts, TestKinds: procedures.TestKinds(), Trouble: trouble}
	for _, k := range procedures.SymptomKeys() {
		v.Rare = append(v.Rare, choices([]string{k})...)
	}
	if _, ok := s.bench.(Album); ok {
		v.Roles = procedures.PhotoRoles()
	}
	said := url.Values{"rating": {fmt.Sprint(int(v.Outcome.Rating))}, "note": {v.Outcome.Note}}
	said["was_rating"], said["was_note"] = said["rating"], said["note"]
	if r.Method == http.MethodPost && r.URL.Path == "/weld/"+r.PathValue("mark") { // not taken: as it was typed
		said = r.PostForm
	}
	all, m := s.machines(r), s.measures(r)
	v.Changes, v.Note, v.Symptom = changes(v.Weld, all, m, said, trouble), said.Get("note"), said.Get("symptom")
	v.Test, v.TestResult = said.Get("test"), said.Get("result")
	if r.Method == http.MethodGet {
		v.TakenBack, v.Correcting = r.URL.Query().Get("taken"), r.URL.Query().Has("correct")
	} else if strings.HasSuffix(r.URL.Path, "/followup") {
		v.InUse = r.PostForm.Get("note")
	}
	v.WasRated, v.WasNote = said.Get("was_rating"), said.Get("was_note")
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
	s.toWeld(w, r, "", f, status, ok)
}

// toWeld goes back to the page of a weld after a command, or says why it was refused.
// taken tells the page what was taken back; "" nothing.
func (s *Server) toWeld(w http.ResponseWriter, r *http.Request, taken string, f failure, status int, ok bool) {
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		s.showWeld(w, r, status, &f)
	case !ok:
		s.fail(w, r, status, f, "find")
	default:
		next := "/weld/" + url.PathEscape(r.PathValue("mark"))
		if taken != "" {
			next += "?taken=" + taken
		}
		http.Redirect(w, r, next, http.StatusSeeOther)
	}
}

// undone is why a record is withdrawn by a press.
const undone = "--strike=undone on the page"

// laterSaid is something said of a weld after it was logged.
type laterSaid struct {
	ID     string
	Held   bool
	Rating procedures.Count
	Note   string
}

// says is what it says, in words.
func (l laterSaid) says() string {
	switch {
	case l.Rating > 0:
		return joined(ratingWord(l.Rating), l.Note)
	case l.Held:
		return joined("it held", l.Note)
	}
	return joined("it failed", l.Note)
}

// sayLater carries out a command that adds to what was said of a weld later, or takes
// the last of it back. The form carries the id of what was said last when its page was
// shown: pressed twice, it is one record added or taken back, and what came in between
// from elsewhere is told. list is the key of all that was said; said what is to be added,
// nil where the last is taken back.
func (s *Server) sayLater(r *http.Request, list string, said *laterSaid, args ...string) (f failure, status int, ok bool) {
	if r.PostForm.Has("last") {
		var shown map[string]json.RawMessage
		if f, status, ok = s.do(r, "show", "--", r.PathValue("mark")).read(&shown); !ok {
			return f, status, false
		}
		var all []laterSaid
		if err := json.Unmarshal(shown[list], &all); err != nil {
			return failure{Message: "The notebook gave an answer that cannot be read. Nothing was changed."}, http.StatusInternalServerError, false
		}
		var now laterSaid
		if len(all) > 0 {
			now = all[len(all)-1]
		}
		seen := r.PostForm.Get("last")
		gone := !slices.ContainsFunc(all, func(l laterSaid) bool { return l.ID == seen })
		switch {
		case seen == now.ID:
		case said == nil && gone, said != nil && now.ID != "" && said.says() == now.says(): // pressed twice
			return f, http.StatusOK, true
		default:
			text := "what was said last of it was taken back"
			if now.ID != "" {
				text = "this was written down last of it: " + now.says()
			}
			return failure{Field: list, Message: "Since this page was shown, " + text + ". Nothing was changed now. If you still mean it, press again."}, http.StatusUnprocessableEntity, false
		}
	}
	var done struct{}
	return s.do(r, args...).read(&done)
}

// followUp writes down how a part did in use, or takes the last such back.
func (s *Server) followUp(w http.ResponseWriter, r *http.Request) {
	mark, how := r.PathValue("mark"), r.FormValue("do")
	switch how {
	case "undo":
		f, status, ok := s.sayLater(r, "followups", nil, "followup", undone, "--", mark)
		s.toWeld(w, r, "followup", f, status, ok)
	case "held", "failed":
		args, note := []string{"followup", "--", mark, how}, strings.TrimSpace(r.FormValue("note"))
		if note != "" {
			args = append(args, note)
		}
		f, status, ok := s.sayLater(r, "followups", &laterSaid{Held: how == "held", Note: note}, args...)
		s.toWeld(w, r, "", f, status, ok)
	default:
		s.trouble(w, r, http.StatusBadRequest, "It held, or it failed; nothing else.")
	}
}

// rateAgain keeps what somebody thinks of a bead later, or takes the last such back.
func (s *Server) rateAgain(w http.ResponseWriter, r *http.Request) {
	mark, rating := r.PathValue("mark"), r.FormValue("rating")
	if rating == "" && r.FormValue("do") == "undo" {
		f, status, ok := s.sayLater(r, "reratings", nil, "rate", undone, "--", mark)
		s.toWeld(w, r, "rate", f, status, ok)
		return
	}
	n, _ := strconv.Atoi(rating) // what is no number is refused by the command
	said := laterSaid{Rating: procedures.Count(n), Note: strings.TrimSpace(r.FormValue("note"))}
	f, status, ok := s.sayLater(r, "reratings", &said, append(append([]string{"rate"}, flag("note", said.Note)...), "--", mark, rating)...)
	s.toWeld(w, r, "", f, status, ok)
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
	same := func(name string) bool { // as it was shown: corrected meanwhile elsewhere, it stays so
		said, shown := strings.Fields(v.Get(name)), strings.Fields(v.Get("was_"+name))
		return v.Has("was_"+name) && slices.Equal(said, shown)
	}
	for _, name := range []string{"machine", "rating", "symptom", "leg", "note", "tap", "knob", "wire-speed", "wire", "polarity", "travel", "extension", "thickness", "joint", "position", "for"} {
		if !same(name) {
			args = append(args, flag(name, v.Get(name))...)
		}
	}
	for _, key := range v["not-symptom"] {
		args = append(args, flag("not-symptom", key)...)
	}
	args = append(args, testFlag(v)...)
	args = append(args, "--", r.PathValue("mark"))
	s.change(w, r, args...)
}
