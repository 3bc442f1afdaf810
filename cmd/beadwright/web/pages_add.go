package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// blank is a field to fill in; Label is what it asks for.
type blank struct {
	Name, Label, Value, Example string
	Choices                     []string // none: it is typed
	Bad                         bool     // what stands in it was not taken
}

// fill fills blanks with what was typed, and marks the one that was not taken.
func fill(all []blank, said url.Values, trouble *failure) []blank {
	for i := range all {
		all[i].Value = said.Get(all[i].Name)
		all[i].Bad = trouble != nil && names(trouble.Field, all[i].Name)
	}
	return all
}

// otherwise is how the notebook calls what a field asks for, where the two have names
// of their own.
var otherwise = map[string]string{"rated amps": "rated", "max amps": "max", "input volts": "input", "cord length": "cord", "tap": "taps_named", "taps": "taps_named",
	"travel speed": "travel", "capacitor volts": "cap-volts", "diode volts": "diode", "rectifier amps": "rectifier"}

// names reports whether the field of a failure is that of a form.
func names(field, name string) bool {
	return field == name || otherwise[field] == name || strings.ReplaceAll(field, " ", "-") == name
}

// called gives a failure the name and the label of the field of the form that it is
// about.
func called(f failure, all ...blank) failure {
	for _, b := range all {
		if names(f.Field, b.Name) {
			f.Message = b.Label + ": " + strings.Replace(strings.TrimPrefix(f.Message, f.Field+": "), " as "+f.Field, "", 1)
			f.Field = b.Name
			break
		}
	}
	return f
}

// machineForm writes a machine down, or fills in what was not known of it: what its
// plate and its switches say.
type machineForm struct {
	Of                           string // the machine that is filled in; "" a new one
	Remade                       bool   // it is marked as rebuilt
	Name, Plate, More            []blank
	Taps, Output, Rebuilt, Feeds []pick
	Trouble                      *failure
}

// What the choices by press ask for.
const (
	gives  = "What comes out at the gun"
	remade = "Rebuilt by hand, from AC to DC"
	runs   = "What it runs"
)

func machineBlanks() (name, plate, more []blank) {
	return []blank{{Name: "name", Label: "What you call it", Example: "shed"}},
		[]blank{{Name: "rated", Label: "Plate amps", Example: "90A"}, {Name: "duty", Label: "Duty at those amps, of 10 minutes", Example: "20%"},
			{Name: "input", Label: "Wall volts", Example: "120V"}, {Name: "breaker", Label: "Its breaker", Example: "20A"}},
		[]blank{{Name: "taps_named", Label: "Heat switch named otherwise, coldest first", Example: "A,B,C"}, {Name: "knob", Label: "Numbers on the wire-speed knob", Example: "1-10"},
			{Name: "max", Label: "Most amps it gives", Example: "120A"}, {Name: "input-amps", Label: "Amps it draws", Example: "20A"},
			{Name: "cord", Label: "Extension cord", Example: "12awg 25ft"}, {Name: "note", Label: "Anything else", Example: ""}}
}

// newMachineForm is the form with what was said so far.
func newMachineForm(said url.Values, trouble *failure) machineForm {
	name, plate, more := machineBlanks()
	f := machineForm{
		Name: fill(name, said, trouble), Plate: fill(plate, said, trouble), More: fill(more, said, trouble), Trouble: trouble,
		Taps: picked(said.Get("taps"), []pick{{"low,high", "Low, high", "two positions", "", false}, {"min,max", "Min, max", "two positions", "", false},
			{"1,2,3,4", "1 to 4", "four positions", "", false}, {"", "No idea", "or none", "", false}}),
		Output: picked(said.Get("output"), []pick{{"dcen", "Gun on minus", "DCEN", "", false}, {"dcep", "Gun on plus", "DCEP", "", false},
			{"dc", "Either", "leads can be swapped", "", false}, {"ac", "AC", "as the cheapest come", "", false}, {"", "No idea", "ask its plate", "", false}}),
		Rebuilt: picked(said.Get("rebuilt"), []pick{{"false", "No", "as it came", "", false}, {"true", "Yes", "rectifier, capacitors", "", false}}),
		Feeds: []pick{{"114", "Gasless wire", "flux inside", "", false}, {"135", "Solid wire", "and gas", "", false},
			{"136", "Flux wire", "and gas", "", false}, {"111", "Stick", "rods", "", false}},
	}
	for i := range f.Feeds {
		for _, p := range said["process"] {
			f.Feeds[i].Chosen = f.Feeds[i].Chosen || p == f.Feeds[i].Value
		}
	}
	return f
}

// newSetForm is the form for a machine that is written down: what stands there is seen
// in each field, and stays where nothing else is said. What only a change of the
// machine itself can alter is not asked for.
func newSetForm(m procedures.Machine, said url.Values, trouble *failure) machineForm {
	f := newMachineForm(said, trouble)
	f.Of, f.Remade, f.Name, f.Rebuilt = m.Name, m.Rebuilt, nil, nil
	f.More = slices.DeleteFunc(f.More, func(b blank) bool { return b.Name == "note" })
	if m.Output != "" {
		f.Output = nil
	}
	now := map[string]string{"taps_named": strings.Join(m.TapNames(), ",")}
	for name, v := range map[string]float64{"rated": float64(m.RatedAmps), "duty": float64(m.Duty), "input": float64(m.InputVolts), "breaker": float64(m.Breaker), "max": float64(m.MaxAmps), "input-amps": float64(m.InputAmps)} {
		if v > 0 {
			now[name] = number(v, 0)
		}
	}
	if m.Knob.Marked() {
		now["knob"] = number(m.Knob.Min, 0) + "-" + number(m.Knob.Max, 0)
	}
	for _, list := range [][]blank{f.Plate, f.More} {
		for i, b := range list {
			if v := now[b.Name]; v != "" {
				list[i].Example = "now " + v
			}
		}
	}
	return f
}

func (s *Server) setFormPage(w http.ResponseWriter, r *http.Request) {
	s.showSetForm(w, r, http.StatusOK, nil)
}

func (s *Server) showSetForm(w http.ResponseWriter, r *http.Request, status int, trouble *failure) {
	var shown struct{ Machine procedures.Machine }
	if f, status, ok := s.do(r, "machine", "show", "--", r.PathValue("name")).read(&shown); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	m := shown.Machine
	s.show(w, r, status, "machine_add", page{Title: "Fill in " + m.Name, Here: "bench", Charges: machines{Machines: []procedures.Machine{m}}.charges(m.Name), Body: newSetForm(m, r.PostForm, trouble)})
}

// setMachine fills in what was not known of a machine, or corrects it; what stood
// there is kept.
func (s *Server) setMachine(w http.ResponseWriter, r *http.Request) {
	said, name := r.PostForm, r.PathValue("name")
	if flags := plateFlags(said); len(flags) > 0 { // else all stays as it was
		var set struct{}
		f, status, ok := s.do(r, append(append([]string{"machine", "set"}, flags...), "--", name)...).read(&set)
		switch {
		case !ok && status == http.StatusUnprocessableEntity:
			f = calledInForm(f)
			s.showSetForm(w, r, status, &f)
			return
		case !ok:
			s.fail(w, r, status, f, "bench")
			return
		}
	}
	http.Redirect(w, r, machinePath(name), http.StatusSeeOther)
}

// plateFlags are the flags for what a form says of a machine.
func plateFlags(said url.Values) (args []string) {
	taps := said.Get("taps")
	if named := strings.TrimSpace(said.Get("taps_named")); named != "" {
		taps = named
	}
	args = append(args, flag("taps", taps)...)
	for _, name := range []string{"output", "rated", "duty", "input", "breaker", "knob", "max", "input-amps", "cord"} {
		args = append(args, flag(name, said.Get(name))...)
	}
	return append(args, flag("process", strings.Join(said["process"], ","))...)
}

// calledInForm is called for the fields of a machine's form.
func calledInForm(f failure) failure {
	name, plate, more := machineBlanks()
	return called(f, slices.Concat(name, plate, more, []blank{{Name: "output", Label: gives}, {Name: "rebuilt", Label: remade}, {Name: "process", Label: runs}})...)
}

func (s *Server) machineFormPage(w http.ResponseWriter, r *http.Request) {
	s.showMachineForm(w, r, http.StatusOK, url.Values{}, nil)
}

func (s *Server) showMachineForm(w http.ResponseWriter, r *http.Request, status int, said url.Values, trouble *failure) {
	p := page{Title: "Write your machine down", Here: "bench", Body: newMachineForm(said, trouble)}
	if c, ok := caution.StoredCharge(procedures.Machine{Rebuilt: said.Get("rebuilt") == "true"}); ok {
		p.Charges = []caution.Caution{c}
	}
	s.show(w, r, status, "machine_add", p)
}

// addMachine writes a machine down. What is refused comes back as it was typed.
func (s *Server) addMachine(w http.ResponseWriter, r *http.Request) {
	said := r.PostForm
	again := func(status int, f failure) {
		f = calledInForm(f)
		s.showMachineForm(w, r, status, said, &f)
	}
	rebuilt := said.Get("rebuilt")
	if rebuilt == "" && said.Get("output") != string(procedures.AC) && procedures.Rebuilds(said.Get("note")) {
		// The mark stays with a machine, so it is asked for and not guessed.
		again(http.StatusUnprocessableEntity, failure{Field: "rebuilt", Message: "That note sounds like a machine rebuilt by hand from AC to DC, which may hold a charge with the plug out. Was it?", Hint: "press Yes or No under Rebuilt by hand"})
		return
	}
	args := append([]string{"machine", "add"}, plateFlags(said)...)
	args = append(append(args, flag("note", said.Get("note"))...), flag("rebuilt", rebuilt)...)
	var added struct{ Machine procedures.Machine }
	f, status, ok := s.do(r, append(args, "--", strings.TrimSpace(said.Get("name")))...).read(&added)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		again(status, f)
	case !ok:
		s.fail(w, r, status, f, "bench")
	default:
		http.Redirect(w, r, machinePath(added.Machine.Name)+"?new=1", http.StatusSeeOther)
	}
}

// spoolForm writes down what is on the spool that is in the machine.
type spoolForm struct {
	Sizes, Classes []pick
	Blanks         []blank
	Open           bool // it is the thing to do now
	Trouble        *failure
}

func (m measures) spoolForm(said url.Values, trouble *failure) spoolForm {
	f := spoolForm{
		Sizes:   picked(said.Get("size"), []pick{{"0.030in", m.example("0.030 in", "0.8 mm"), m.example("0.8 mm", ""), "", false}, {"0.035in", m.example("0.035 in", "0.9 mm"), m.example("0.9 mm", ""), "", false}}),
		Classes: picked(said.Get("class"), []pick{{"E71T-11", "E71T-11", "more passes too", "", false}, {"E71T-GS", "E71T-GS", "one pass only", "", false}}),
		Blanks: fill([]blank{{Name: "wire", Label: "Another? As on its label", Example: "0.035 ER70S-6 co2"}, {Name: "weight", Label: "How much was on it when new", Example: m.example("2lb", "900g")},
			{Name: "name", Label: "What you call it", Example: "the small spool"}}, said, trouble),
		Trouble: trouble,
	}
	return f
}

// addSpool writes a spool down. What is refused comes back as it was typed.
func (s *Server) addSpool(w http.ResponseWriter, r *http.Request) {
	said := r.PostForm
	label := strings.TrimSpace(said.Get("wire"))
	if label == "" {
		label = strings.TrimSpace(said.Get("size") + " " + said.Get("class"))
	}
	again := func(status int, f failure) {
		form := s.measures(r).spoolForm(said, nil)
		f = called(f, form.Blanks...)
		s.showWire(w, r, status, s.measures(r).spoolForm(said, &f), nil)
	}
	size, class := said.Get("size"), said.Get("class")
	switch {
	case label != strings.TrimSpace(size+" "+class) || size != "" && class != "":
	case size == "" && class == "":
		again(http.StatusUnprocessableEntity, failure{Message: "Which wire? Press size and class, or say what the label says."})
		return
	case class == "":
		again(http.StatusUnprocessableEntity, failure{Field: "class", Message: "Which class? It is printed on the label, beside the size: press it."})
		return
	default:
		again(http.StatusUnprocessableEntity, failure{Field: "size", Message: "Which size? It is printed on the label, beside the class: press it."})
		return
	}
	args := []string{"wire", "add"}
	for _, name := range []string{"weight", "name"} {
		args = append(args, flag(name, said.Get(name))...)
	}
	var added struct{ Spool procedures.Spool }
	f, status, ok := s.do(r, append(args, "--", label)...).read(&added)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		if f.Field == "name" && strings.TrimSpace(said.Get("name")) == "" { // a second spool of the same wire, or a second press
			said.Set("name", strings.Replace(label, "in ", " ", 1)+", "+s.opts.Now().Format("Jan 2 2006"))
			f.Message, f.Hint = "There is a spool of this wire already. A second one? Press again: it gets the name that stands there now, or one of your own.", ""
		}
		again(status, f)
	case !ok:
		s.fail(w, r, status, f, "bench")
	default:
		http.Redirect(w, r, "/wire?added="+url.QueryEscape(added.Spool.ID), http.StatusSeeOther)
	}
}
