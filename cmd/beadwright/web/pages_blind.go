package web

import (
	"net/http"
	"net/url"
	"strings"

	"beadwright/procedures"
)

// blindView is an old bead by its picture alone, and what came of the one before.
type blindView struct {
	Picture string // its id; "" none is waiting
	Text    string // how the eye drifts
	Older   string // "" the usual month
	Done    *procedures.Weld
	Now     procedures.Count // what Done was just rated
	Trouble *failure
}

// sooner is how long ago a bead was rated at the least, for who will not wait a month.
const sooner = "7d"

// blindPage shows a bead that was rated long ago, with all that could tell which it
// is covered.
func (s *Server) blindPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	v := blindView{}
	if q.Get("older") == sooner {
		v.Older = sooner
	}
	if mark := q.Get("done"); mark != "" {
		var shown struct {
			Weld      procedures.Weld
			Reratings []procedures.Rerating
		}
		if _, _, ok := s.do(r, "show", "--", mark).read(&shown); ok {
			for _, again := range shown.Reratings {
				if again.Blind {
					v.Done, v.Now = &shown.Weld, again.Rating
				}
			}
		}
	}
	s.showBlind(w, r, http.StatusOK, v)
}

func (s *Server) showBlind(w http.ResponseWriter, r *http.Request, status int, v blindView) {
	p := page{Title: "How good is this one?", Here: "find"}
	var asked struct{ Picture, Text string }
	f, st, ok := s.do(r, append([]string{"rate", "--blind", "--kept"}, flag("older", v.Older)...)...).read(&asked)
	switch {
	case !ok && st != http.StatusUnprocessableEntity:
		s.fail(w, r, st, f, "find")
		return
	case ok:
		if v.Text = asked.Text; v.Picture == "" {
			v.Picture = asked.Picture
		}
	}
	if v.Done != nil {
		p.Charges = s.machines(r).charges(v.Done.Job.Machine)
	}
	if p.Body = v; v.Picture == "" {
		p.Title = "No picture is waiting"
	}
	s.show(w, r, status, "blind", p)
}

// rateBlind takes the rating, and only then is told what it was at first.
func (s *Server) rateBlind(w http.ResponseWriter, r *http.Request) {
	picture := strings.TrimSpace(r.PostFormValue("picture"))
	v := blindView{Picture: picture}
	next := url.Values{}
	if r.PostFormValue("older") == sooner {
		v.Older = sooner
		next.Set("older", sooner)
	}
	var rated struct{ Rated []struct{ Mark string } }
	f, status, ok := s.do(r, append(append([]string{"rate", "--blind"}, flag("note", r.PostFormValue("note"))...), "--", picture, r.PostFormValue("rating"))...).read(&rated)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		if v.Trouble = &f; f.Field == "picture" {
			v.Picture = ""
		}
		s.showBlind(w, r, status, v)
		return
	case !ok:
		s.fail(w, r, status, f, "find")
		return
	case len(rated.Rated) > 0:
		next.Set("done", rated.Rated[0].Mark)
	}
	http.Redirect(w, r, "/blind?"+next.Encode(), http.StatusSeeOther)
}
