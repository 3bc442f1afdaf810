package web

import (
	"net/http"
	"strings"

	"beadwright/procedures"
)

// bench coach: what was seen, and one next step.
type coach struct {
	advice
	Words    string
	From     string
	Common   []symptom
	Rare     []symptom
	Answered bool
	Before   *procedures.Weld // the last weld, where it tells of a danger; nil: it does not
	Trouble  *failure
}

func (s *Server) remedyPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	v := coach{Words: strings.TrimSpace(q.Get("q")), From: q.Get("from"), Common: choices(common)}
	for _, k := range procedures.SymptomKeys() {
		v.Rare = append(v.Rare, choices([]string{k})...)
	}
	words := v.Words
	if key := q.Get("symptom"); key != "" {
		if known, ok := procedures.FindSymptom(key); ok {
			words = strings.TrimSpace(words + " " + known.Words[0])
		}
	}
	p := page{Title: "What went wrong?", Here: "remedy"}
	if words == "" && v.From == "" {
		p.Body = v
		s.show(w, r, http.StatusOK, "remedy", p)
		return
	}
	args := append([]string{"remedy"}, flag("from", v.From)...)
	if words != "" {
		args = append(args, "--", words)
	}
	f, status, ok := s.do(r, args...).read(&v.advice)
	switch {
	case !ok && status != http.StatusUnprocessableEntity:
		s.fail(w, r, status, f, "remedy")
		return
	case !ok:
		v.Trouble = &f
	default:
		v.Answered, p.Title = true, "One thing to change next"
		if len(v.Troubles) > 0 {
			p.Title = "First of all"
		}
		if v.Weld != "" {
			var shown struct{ Weld procedures.Weld }
			if _, _, ok := s.do(r, "show", "--", v.Weld).read(&shown); ok {
				p.Charges = s.machines(r).charges(shown.Weld.Job.Machine)
				if len(v.Troubles) == 0 {
					v.Before = s.unsettled(r, shown.Weld.Job.Machine)
				}
			}
		}
	}
	p.Body = v
	s.show(w, r, status, "remedy", p)
}
