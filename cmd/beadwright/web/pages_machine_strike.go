package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"beadwright/procedures"
)

// withdrawn reports whether a machine of that name was withdrawn.
func (all machines) withdrawn(name string) bool {
	return slices.ContainsFunc(all.Struck, func(m procedures.Machine) bool { return m.Name == name })
}

// Choose is where one of several machines or spools is put in use, where none is; "" the
// failure is another.
func (f failure) Choose() string {
	if f.Code != "none_in_use" {
		return ""
	}
	return map[string]string{"machine": "/machines", "spool": "/wire"}[f.Field]
}

// renameBlanks ask for another name of what is called now.
func renameBlanks(now string, said url.Values, trouble *failure) []blank {
	all := fill([]blank{{Name: "name", Label: "What you call it from now on", Example: now}}, said, trouble)
	if trouble != nil {
		*trouble = called(*trouble, all...)
	}
	return all
}

// strikeMachine takes back a machine that was written down by mistake, or puts it back.
// Nobody is asked whether he is sure: the page that follows undoes it.
func (s *Server) strikeMachine(w http.ResponseWriter, r *http.Request) {
	s.reshape(w, r, machinePath(r.PathValue("name")), func(f failure) { s.showMachine(w, r, http.StatusUnprocessableEntity, &f) },
		struck("machine", r.PostFormValue("do"), r.PathValue("name"))...)
}

// renameMachine corrects the name of a machine.
func (s *Server) renameMachine(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimSpace(r.PostFormValue("name"))
	s.reshape(w, r, machinePath(name), func(f failure) { s.showMachine(w, r, http.StatusUnprocessableEntity, &f) },
		"machine", "rename", "--", r.PathValue("name"), name)
}

// strikeSpool is strikeMachine for a spool.
func (s *Server) strikeSpool(w http.ResponseWriter, r *http.Request) {
	s.reshape(w, r, "/wire", s.wireTrouble(w, r), struck("wire", r.PostFormValue("do"), r.PostFormValue("name"))...)
}

// renameSpool corrects the name of a spool.
func (s *Server) renameSpool(w http.ResponseWriter, r *http.Request) {
	s.reshape(w, r, "/wire", s.wireTrouble(w, r), "wire", "rename", "--", r.PostFormValue("of"), strings.TrimSpace(r.PostFormValue("name")))
}

// struck is the command line that withdraws or puts back.
func struck(command, do, name string) []string {
	args := []string{command, "strike"}
	if do == "back" {
		args = append(args, "--back")
	}
	return append(args, "--", name)
}

// wireTrouble shows the page of wire with what was not taken.
func (s *Server) wireTrouble(w http.ResponseWriter, r *http.Request) func(failure) {
	return func(f failure) {
		s.showWire(w, r, http.StatusUnprocessableEntity, s.measures(r).spoolForm(url.Values{}, nil), &f)
	}
}

// reshape carries out a command and goes on to next; what is refused is shown again.
func (s *Server) reshape(w http.ResponseWriter, r *http.Request, next string, again func(failure), args ...string) {
	var done struct{}
	f, status, ok := s.do(r, args...).read(&done)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		again(f)
	case !ok:
		s.fail(w, r, status, f, "bench")
	default:
		http.Redirect(w, r, next, http.StatusSeeOther)
	}
}
