package web

import (
	"net/http"
	"strings"

	"beadwright/procedures"
)

// search is the notebook's page: what was asked, and what was found.
type search struct {
	Words, Thickness, Joint, Rating string
	Machine, State                  string
	Joints                          []procedures.Joint
	Machines                        []string // none: there is but one, or none
	States                          []int    // numbers; none: no machine has had but one
	Struck, Pictures, Album         bool
	Welds                           []hit
	Total                           int
	Trouble                         *failure
	More                            string // address of all of them; "" where all are shown
}

// mostPictured is of how many welds found the pictures are shown. A design choice.
const mostPictured = 20

func (s *Server) findPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	v := search{Words: strings.TrimSpace(q.Get("q")), Thickness: q.Get("thickness"), Joint: q.Get("joint"), Rating: q.Get("rating"), Struck: q.Get("struck") != "", Joints: procedures.Joints(),
		Machine: q.Get("machine"), State: q.Get("state"), Pictures: q.Get("pictures") != ""}
	_, v.Album = s.bench.(Album)
	all := s.machines(r)
	for _, m := range all.Machines {
		for n := len(v.States) + 1; n <= m.State.Number && m.State.Number > 1; n++ {
			v.States = append(v.States, n)
		}
		if len(all.Machines) > 1 {
			v.Machines = append(v.Machines, m.Name)
		}
	}
	args := []string{"find"}
	args = append(args, flag("thickness", v.Thickness)...)
	args = append(args, flag("joint", v.Joint)...)
	args = append(args, flag("rating", v.Rating)...)
	args = append(args, flag("machine", v.Machine)...)
	args = append(args, flag("state", v.State)...)
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
	for i, h := range v.Welds[:min(len(v.Welds), mostPictured)] {
		if v.Album && v.Pictures {
			_, _, _ = s.do(r, "photo", "list", "--", h.Mark).read(&v.Welds[i]) // none: none shown
		}
	}
	if len(v.Welds) < v.Total && q.Get("all") == "" {
		q.Set("all", "1")
		v.More = "/find?" + q.Encode()
	}
	var names []string
	for i, h := range v.Welds {
		if all.named(h.Job.Machine).State.ID == h.Job.State {
			v.Welds[i].State = ""
		}
		names = append(names, h.Job.Machine)
	}
	s.show(w, r, status, "find", page{Title: "Notebook", Here: "find", Charges: all.charges(names...), Body: v})
}
