package web

import (
	"net/http"
	"net/url"
	"strings"

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

// procedureList is every procedure, and the form for one more.
type procedureList struct {
	List    []listed
	Blanks  []blank
	Open    bool // the form is the thing to do now
	Trouble *failure
}

func (s *Server) proceduresPage(w http.ResponseWriter, r *http.Request) {
	s.showProcedures(w, r, http.StatusOK, nil)
}

// writeProcedure writes a procedure down from welds that were tested.
func (s *Server) writeProcedure(w http.ResponseWriter, r *http.Request) {
	said := r.PostForm
	args := append([]string{"procedure", "write"}, flag("from", said.Get("from"))...)
	args = append(append(args, flag("for", said.Get("for"))...), "--", strings.TrimSpace(said.Get("name")))
	if args[len(args)-1] == "" {
		s.showProcedures(w, r, http.StatusUnprocessableEntity, &failure{Field: "name", Message: "What is it to be called?", Hint: "any short name will do: cart tee"})
		return
	}
	res := s.do(r, args...)
	if res.Status == 3 { // on the stop list, or outside every table
		a := answerView{Said: said.Get("name"), Example: true}
		if f, status, ok := res.read(&a.answer); !ok {
			s.fail(w, r, status, f, "bench")
			return
		}
		s.show(w, r, http.StatusOK, "answer", page{Title: verdictWord(a.Verdict), Here: "bench", Charges: s.machines(r).charges(a.Job.Machine), Body: a})
		return
	}
	var v procedureView
	switch f, status, ok := res.read(&v); {
	case !ok && status < http.StatusInternalServerError:
		s.showProcedures(w, r, status, &f)
	case !ok:
		s.fail(w, r, status, f, "bench")
	default:
		http.Redirect(w, r, "/procedure/"+url.PathEscape(v.Procedure.Name), http.StatusSeeOther)
	}
}

func (s *Server) showProcedures(w http.ResponseWriter, r *http.Request, status int, trouble *failure) {
	var all struct {
		Procedures []procedure
		Standing   []stand // in the same order
	}
	if f, st, ok := s.do(r, "procedure", "list").read(&all); !ok {
		s.fail(w, r, st, f, "bench")
		return
	}
	var names []string
	v := procedureList{Open: trouble != nil || len(all.Procedures) == 0, Trouble: trouble, Blanks: fill([]blank{{Name: "name", Label: "What you call it", Example: "cart tee"},
		{Name: "from", Label: "Marks of the coupons", Example: "A4, A6"}, {Name: "for", Label: "What the part is for", Example: "a shop cart"}}, r.PostForm, trouble)}
	if trouble != nil {
		*trouble = called(*trouble, v.Blanks...)
	}
	for i, p := range all.Procedures {
		names = append(names, p.Job.Machine)
		l := listed{procedure: p}
		if i < len(all.Standing) {
			l.stand = all.Standing[i]
		}
		v.List = append(v.List, l)
	}
	s.show(w, r, status, "procedures", page{Title: "Procedures", Here: "bench", Charges: s.machines(r).charges(names...), Body: v})
}

func (s *Server) procedurePage(w http.ResponseWriter, r *http.Request) {
	var v procedureView
	if f, status, ok := s.do(r, "procedure", "show", "--", r.PathValue("name")).read(&v); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	s.show(w, r, http.StatusOK, "procedure", page{Title: "Procedure " + v.Procedure.Name, Here: "bench", Charges: s.machines(r).charges(v.Procedure.Job.Machine), Body: v})
}
