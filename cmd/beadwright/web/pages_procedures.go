package web

import (
	"net/http"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// procedure is a way of welding a joint that repeats, as procedure list says it.
type procedure struct {
	Name     string              `json:"name"`
	Revision int                 `json:"revision"`
	Status   string              `json:"status"`
	Job      procedures.Job      `json:"job"`
	Settings procedures.Settings `json:"settings"`
	From     []string            `json:"from"`
	Tests    []string            `json:"tests"`
	Note     string              `json:"note"`
	Draft    bool                `json:"draft"` // fewer than two tests stand behind it
}

// stand is how a procedure stands today.
type stand struct {
	Failed []recommend.Failure `json:"failed_in_use"`
	Stale  []recommend.Reason  `json:"stale"`
}

// listed is a procedure in the list of them.
type listed struct {
	procedure
	stand
}

// procedureView is one procedure, whole.
type procedureView struct {
	Procedure procedure          `json:"procedure"`
	Because   string             `json:"draft_because"`
	Doubts    []recommend.Reason `json:"doubts"`
	stand
	Fields []struct {
		Group, Field, Value string
	} `json:"fields"`
	Cautions []caution.Caution `json:"cautions"`
	Sources  map[string]string `json:"sources"`
}

// InUse says what failed in use and what to do then: each failure leads Stale.
func (v procedureView) InUse() []recommend.Reason { return v.Stale[:min(len(v.Failed), len(v.Stale))] }

// Others are what else speaks against it.
func (v procedureView) Others() []recommend.Reason { return v.Stale[len(v.InUse()):] }

// Sheet is the sheet's filled lines, by group.
func (v procedureView) Sheet() (groups []sheetGroup) {
	for _, f := range v.Fields {
		if f.Value == "" {
			continue
		}
		if n := len(groups); n == 0 || groups[n-1].Name != f.Group {
			groups = append(groups, sheetGroup{Name: f.Group})
		}
		g := &groups[len(groups)-1]
		g.Lines = append(g.Lines, [2]string{f.Field, f.Value})
	}
	return groups
}

// sheetGroup is a part of a procedure's sheet.
type sheetGroup struct {
	Name  string
	Lines [][2]string
}

func (s *Server) proceduresPage(w http.ResponseWriter, r *http.Request) {
	var all struct {
		Procedures []procedure
		Standing   []stand // in the same order
	}
	if f, status, ok := s.do(r, "procedure", "list").read(&all); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	var names []string
	var list []listed
	for i, p := range all.Procedures {
		names = append(names, p.Job.Machine)
		l := listed{procedure: p}
		if i < len(all.Standing) {
			l.stand = all.Standing[i]
		}
		list = append(list, l)
	}
	s.show(w, r, http.StatusOK, "procedures", page{Title: "Procedures", Here: "bench", Charges: s.machines(r).charges(names...), Body: list})
}

func (s *Server) procedurePage(w http.ResponseWriter, r *http.Request) {
	var v procedureView
	if f, status, ok := s.do(r, "procedure", "show", "--", r.PathValue("name")).read(&v); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	s.show(w, r, http.StatusOK, "procedure", page{Title: "Procedure " + v.Procedure.Name, Here: "bench", Charges: s.machines(r).charges(v.Procedure.Job.Machine), Body: v})
}
