package web

import (
	"math"
	"net/http"
	"net/url"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

func (s *Server) machinesPage(w http.ResponseWriter, r *http.Request) {
	var all machines
	if f, status, ok := s.do(r, "machine", "list", "--struck").read(&all); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	if all.Gone = r.URL.Query().Get("struck") != ""; all.Gone {
		all.Machines = all.Struck
	}
	var names []string
	for _, m := range all.Machines {
		names = append(names, m.Name)
	}
	s.show(w, r, http.StatusOK, "machines", page{Title: "Machines", Here: "bench", Charges: machines{Machines: all.Machines}.charges(names...), Body: all})
}

// machineView is one machine: what is written down, and what was measured.
type machineView struct {
	procedures.Machine
	InUse         bool
	New, Wireless bool // it was just written down; and no spool is
	Changed       bool // a change of it was just written down
	Knobs         knobCurve
	Rebuilding    *rebuilding
	Charts        []chart
	Beads         int  // logged on it
	Most          int  // of them that are drawn
	Unused        bool // none is in use
	Rename        []blank
	Trouble       *failure
}

// rebuilding is what machine rebuilt says of a machine made over by hand.
type rebuilding struct {
	Text     string
	Findings []struct {
		Verdict, Text string
		Source        []string
	}
	Missing []struct{ What, Where string }
	// The caution of stored charge stands above them on the page.
	Cautions []caution.Caution
}

func (s *Server) machinePage(w http.ResponseWriter, r *http.Request) {
	s.showMachine(w, r, http.StatusOK, nil)
}

func (s *Server) showMachine(w http.ResponseWriter, r *http.Request, status int, trouble *failure) {
	name := r.PathValue("name")
	var shown struct{ Machine procedures.Machine }
	if f, status, ok := s.do(r, "machine", "show", "--", name).read(&shown); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	v := machineView{Machine: shown.Machine}
	_, _, _ = s.do(r, "machine", "knob", "--", name).read(&v.Knobs) // a machine without a knob has none
	if v.Rebuilt {
		var b rebuilding
		if _, _, ok := s.do(r, "machine", "rebuilt", "--", name).read(&b); ok {
			v.Rebuilding = &b
		}
	}
	all := s.machines(r)
	v.InUse, v.Most, v.New = all.Current == v.ID, mostDrawn, r.URL.Query().Get("new") != ""
	v.Changed = r.URL.Query().Get("changed") != "" && v.State.Number > 1
	if v.New {
		var wire spools
		_, _, ok := s.do(r, "wire", "list").read(&wire)
		v.Wireless = ok && len(wire.Spools) == 0
	}
	v.Charts, v.Beads = s.drawnOf(r, v.Machine, v.Knobs.Curve)
	v.Unused, v.Rename, v.Trouble = all.Current == "" && len(all.Machines) > 0, renameBlanks(v.Name, r.PostForm, trouble), trouble
	s.show(w, r, status, "machine", page{Title: "Machine " + v.Name, Here: "bench", Charges: all.charges(v.Name), Body: v})
}

func (s *Server) useMachine(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	var used struct{}
	if f, status, ok := s.do(r, "machine", "use", "--", name).read(&used); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	http.Redirect(w, r, machinePath(name), http.StatusSeeOther)
}

// machinePath is the address of a machine's page, whatever its name is made of.
func machinePath(name string) string { return "/machine/" + url.PathEscape(name) }

// wireLeft is what is left on a spool.
type wireLeft struct {
	Grams float64    `json:"left_g"`
	Range [2]float64 `json:"range_g"`
}

// Spread reports whether more than one weight is likely.
func (l wireLeft) Spread() bool { return math.Round(l.Range[0]) != math.Round(l.Range[1]) }

// spools is what wire list says.
type spools struct {
	Current string
	Spools  []struct {
		procedures.Spool
		Left     *wireLeft `json:"left"`
		OpenLong bool      `json:"open_long"`
	}
	Struck  []procedures.Spool // withdrawn
	Form    spoolForm
	Added   string   // id of the one just written down
	Trouble *failure // of a name, or of a spool taken back
}

func (s *Server) wirePage(w http.ResponseWriter, r *http.Request) {
	s.showWire(w, r, http.StatusOK, s.measures(r).spoolForm(url.Values{}, nil), nil)
}

func (s *Server) showWire(w http.ResponseWriter, r *http.Request, status int, form spoolForm, trouble *failure) {
	var all spools
	if f, status, ok := s.do(r, "wire", "list", "--struck").read(&all); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	all.Form, all.Trouble, all.Added = form, trouble, r.URL.Query().Get("added")
	all.Form.Open = form.Trouble != nil || len(all.Spools) == 0
	s.show(w, r, status, "wire", page{Title: "Wire", Here: "bench", Body: all})
}

func (s *Server) useWire(w http.ResponseWriter, r *http.Request) {
	var used struct{}
	if f, status, ok := s.do(r, "wire", "use", "--", r.FormValue("name")).read(&used); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	http.Redirect(w, r, "/wire", http.StatusSeeOther)
}
