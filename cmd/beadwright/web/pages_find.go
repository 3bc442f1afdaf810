package web

import (
	"net/http"
	"strings"

	"beadwright/procedures"
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
