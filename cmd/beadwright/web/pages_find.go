package web

import (
	"net/http"
	"net/url"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// search is the notebook's page: what was asked, and what was found.
type search struct {
	Words, Thickness, Joint, Rating string
	Joints                          []procedures.Joint
	Struck                          bool
	Welds                           []hit
	Total                           int
	Trouble                         *failure
	More                            string // address of all of them; "" where all are shown
}

func (s *Server) findPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	v := search{Words: strings.TrimSpace(q.Get("q")), Thickness: q.Get("thickness"), Joint: q.Get("joint"), Rating: q.Get("rating"), Struck: q.Get("struck") != "", Joints: procedures.Joints()}
	args := []string{"find"}
	args = append(args, flag("thickness", v.Thickness)...)
	args = append(args, flag("joint", v.Joint)...)
	args = append(args, flag("rating", v.Rating)...)
	if v.Struck {
		args = append(args, "--struck")
	}
	if q.Get("all") != "" {
		args = append(args, "--limit=500")
	}
	if v.Words != "" {
		args = append(args, "--", v.Words)
	}
	var found struct {
		Welds []hit
		Total int
	}
	f, status, ok := s.do(r, args...).read(&found)
	if !ok && status != http.StatusUnprocessableEntity {
		s.fail(w, r, status, f, "find")
		return
	}
	if !ok {
		v.Trouble = &f
	}
	v.Welds, v.Total = found.Welds, found.Total
	if len(v.Welds) < v.Total && q.Get("all") == "" {
		q.Set("all", "1")
		v.More = "/find?" + q.Encode()
	}
	var names []string
	for _, h := range v.Welds {
		names = append(names, h.Job.Machine)
	}
	s.show(w, r, status, "find", page{Title: "Notebook", Here: "find", Charges: s.machines(r).charges(names...), Body: v})
}

// weldView is one weld, whole.
type weldView struct {
	procedures.Weld
	Amendments []procedures.Amendment
	Photos     []procedures.Photo
	Roles      []procedures.PhotoRole // none: no pictures are kept here
	Stops      []caution.Caution
	Common     []symptom
	Rare       []symptom
	TestKinds  []string
	Trouble    *failure
}

func (s *Server) weldPage(w http.ResponseWriter, r *http.Request) {
	s.showWeld(w, r, http.StatusOK, nil)
}

func (s *Server) showWeld(w http.ResponseWriter, r *http.Request, status int, trouble *failure) {
	var shown struct {
		Weld       procedures.Weld
		Amendments []procedures.Amendment
		Photos     []procedures.Photo
	}
	f, st, ok := s.do(r, "show", "--", r.PathValue("mark")).read(&shown)
	if !ok {
		s.fail(w, r, st, f, "find")
		return
	}
	v := weldView{Weld: shown.Weld, Amendments: shown.Amendments, Photos: shown.Photos, Stops: stopsOf(shown.Weld), TestKinds: procedures.TestKinds(), Trouble: trouble}
	for _, k := range procedures.SymptomKeys() {
		v.Rare = append(v.Rare, choices([]string{k})...)
	}
	if _, ok := s.bench.(Album); ok {
		v.Roles = procedures.PhotoRoles()
	}
	s.show(w, r, status, "weld", page{Title: "Weld " + v.Mark, Here: "find", Charges: s.machines(r).charges(v.Job.Machine), Body: v})
}

// amendWeld corrects a weld; the old value is kept.
func (s *Server) amendWeld(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.trouble(w, r, http.StatusBadRequest, "The form did not come through whole. Nothing was changed; send it again.")
		return
	}
	v := r.PostForm
	args := []string{"amend"}
	for _, name := range []string{"rating", "symptom", "leg", "note", "tap", "knob", "wire-speed", "travel", "extension", "for"} {
		args = append(args, flag(name, v.Get(name))...)
	}
	args = append(args, testFlag(v)...)
	mark := r.PathValue("mark")
	args = append(args, "--", mark)
	var made struct{ Mark string }
	f, status, ok := s.do(r, args...).read(&made)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		s.showWeld(w, r, status, &f)
	case !ok:
		s.fail(w, r, status, f, "find")
	default:
		http.Redirect(w, r, "/weld/"+url.PathEscape(made.Mark), http.StatusSeeOther)
	}
}
