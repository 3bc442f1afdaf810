package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// yesNo are the answers to a question about a part.
func yesNo() []pick {
	return []pick{{"yes", "Yes", "", "", false}, {"no", "No", "", "", false}, {"", "No idea", "", "", false}}
}

// fittedForm writes down what was fitted to a machine that was rebuilt by hand: what
// stands there is seen in each field, and stays where nothing else is said.
func fittedForm(m procedures.Machine, said url.Values, trouble *failure) benchForm {
	f := benchForm{
		Of: m.Name, Heading: "What was fitted to " + m.Name, Action: "rebuilt", Button: "Write it down", Trouble: trouble,
		Say: []string{"From its papers, or from who rebuilt it. The lid stays on: inside is for a qualified person. What stays empty is not known, or stays as it was.",
			"It tells how long to wait after the plug is out, and what is over its rating. It does not tell that a hand may go in: that a meter tells."},
		Blanks: []blank{{Name: "ac", Label: "Transformer, volts AC with no load", Example: "24V"}, {Name: "capacitors", Label: "Capacitors, all together", Example: "6x10000uF"},
			{Name: "cap-volts", Label: "Volts printed on them", Example: "63V"}, {Name: "bleeder", Label: "Bleeder (resistor across them)", Example: "100ohm"},
			{Name: "bleeder-watts", Label: "Its watts", Example: "25W"}, {Name: "rectifier", Label: "Rectifier, amps printed on it", Example: "200A"}},
		More: []blank{{Name: "ripple-amps", Label: "Ripple amps of the capacitors, together", Example: "60A"}, {Name: "diode", Label: "Volts lost in one diode", Example: "1.1V"},
			{Name: "mains", Label: "Mains, Hz", Example: "60"}, {Name: "note", Label: "Anything else", Example: ""}},
		Groups: chosen([]group{{Name: "fan", Legend: "A fan blows on the rectifier", Picks: yesNo()}, {Name: "thermostat", Legend: "The rectifier has a thermal switch of its own", Picks: yesNo()}}, said, trouble),
	}
	f.Blanks, f.More = fill(f.Blanks, said, trouble), fill(f.More, said, trouble)
	if b := m.Rebuild; b != nil {
		now := map[string]string{"note": b.Note}
		for name, q := range map[string]struct {
			v    float64
			unit string
		}{"ac": {float64(b.ACVolts), " V"}, "capacitors": {b.Farads, " F"}, "cap-volts": {float64(b.CapVolts), " V"}, "bleeder": {b.BleedOhms, " ohm"}, "bleeder-watts": {b.BleedWatts, " W"},
			"rectifier": {float64(b.RectifierAmps), " A"}, "ripple-amps": {float64(b.RippleAmps), " A"}, "diode": {float64(b.DiodeVolts), " V"}, "mains": {b.MainsHz, " Hz"}} {
			if q.v > 0 {
				now[name] = number(q.v, -1) + q.unit
			}
		}
		for _, list := range [][]blank{f.Blanks, f.More} {
			for i, b := range list {
				if v := now[b.Name]; v != "" {
					list[i].Example = "now " + v
				}
			}
		}
	}
	return f
}

func (s *Server) fittedFormPage(w http.ResponseWriter, r *http.Request) {
	m, charges, ok := s.shownMachine(w, r)
	switch {
	case !ok:
	case !m.Rebuilt: // that is to be said first
		http.Redirect(w, r, machinePath(m.Name)+"/change", http.StatusSeeOther)
	default:
		s.showBench(w, r, http.StatusOK, fittedForm(m, url.Values{}, nil), charges)
	}
}

// writeFitted writes down what was fitted; what stood there is kept.
func (s *Server) writeFitted(w http.ResponseWriter, r *http.Request) {
	m, charges, ok := s.shownMachine(w, r)
	if !ok {
		return
	}
	said := r.PostForm
	form := fittedForm(m, said, nil)
	flags := blankFlags(said, form.Blanks, form.More)
	for _, g := range form.Groups {
		flags = append(flags, flag(g.Name, said.Get(g.Name))...)
	}
	if len(flags) > 0 { // else all stays as it was
		var done struct{}
		f, status, ok := s.do(r, append(append([]string{"machine", "rebuilt"}, flags...), "--", m.Name)...).read(&done)
		switch {
		case !ok && status == http.StatusUnprocessableEntity:
			f = labeled(f, form.Groups, form.Blanks, form.More)
			s.showBench(w, r, status, fittedForm(m, said, &f), charges)
			return
		case !ok:
			s.fail(w, r, status, f, "bench")
			return
		}
	}
	http.Redirect(w, r, machinePath(m.Name), http.StatusSeeOther)
}

// blankFlags are the flags for what was typed.
func blankFlags(said url.Values, blanks ...[]blank) (flags []string) {
	for _, b := range slices.Concat(blanks...) {
		flags = append(flags, flag(b.Name, said.Get(b.Name))...)
	}
	return flags
}

// readings is what machine measure says.
type readings struct {
	Added, Measured []procedures.Measurement
	Verdict, Text   string
	Cautions        []caution.Caution
}

// newest is the number of the reading last written down; 0: there is none.
func (v readings) newest() (n int) {
	for _, one := range v.Measured {
		n = max(n, one.Number)
	}
	return n
}

// tapGroup is the choice among the taps of a machine; none where none are written down.
func tapGroup(m procedures.Machine) []group {
	var taps []pick
	for _, t := range m.Taps {
		taps = append(taps, pick{t.Name, strings.ToUpper(t.Name), "", "", false})
	}
	if len(taps) == 0 {
		return nil
	}
	return []group{{Name: "tap", Legend: "Tap (heat switch)", Picks: taps}}
}

// meterForm writes down what a meter reads on a machine.
func meterForm(m procedures.Machine, has readings, said url.Values, trouble *failure) benchForm {
	f := benchForm{
		Of: m.Name, Heading: "What your meter reads on " + m.Name, Action: "measure", Button: "Write it down", Trouble: trouble, Mind: without(has.Cautions, "stored-charge"),
		Say: []string{"Volts: one probe on the gun's end of its lead, one on the work beside the weld. No arc: trigger pulled, the wire clear of everything. Arc on: a helper reads the average while you weld. Amps: a clamp meter that reads " + map[bool]string{true: "AC", false: "DC"}[m.Output == procedures.AC] + ", round one welding lead.",
			caution.LiveWire(m)},
		Hidden: []blank{{Name: "after", Value: strconv.Itoa(has.newest())}},
		Groups: chosen(tapGroup(m), said, trouble),
		Blanks: fill([]blank{{Name: "open", Label: "Volts, no arc", Example: "24V"}, {Name: "load", Label: "Volts, arc on", Example: "17.5V"},
			{Name: "amps", Label: "Amps, arc on", Example: "85A"}, {Name: "knob", Label: "Knob at those amps", Example: "5"}}, said, trouble),
	}
	for _, one := range has.Measured {
		if text := readingText(one); text != "" {
			f.Stands = append(f.Stands, text)
		}
	}
	return f
}

// readingText says a reading of volts or amps; "" for one of another kind.
func readingText(one procedures.Measurement) string {
	what := map[procedures.MeasurementKind]string{procedures.OpenVolts: "no arc: %s V", procedures.LoadVolts: "arc on: %s V", procedures.ClampAmps: "arc on: %s A"}[one.Kind]
	if what == "" {
		return ""
	}
	tap, knob := "", ""
	if one.Tap != "" {
		tap = strings.ToUpper(one.Tap) + ", "
	}
	if one.Knob != nil {
		knob = ", knob " + procedures.FormatKnob(*one.Knob)
	}
	return tap + strings.Replace(what, "%s", number(one.Value, -1), 1) + knob + ", " + when(one.At)
}

func (s *Server) meterFormPage(w http.ResponseWriter, r *http.Request) {
	m, charges, ok := s.shownMachine(w, r)
	if !ok {
		return
	}
	var has readings
	if f, status, ok := s.do(r, "machine", "measure", "--", m.Name).read(&has); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	f := meterForm(m, has, url.Values{}, nil)
	if numbers := r.URL.Query()["wrote"]; len(numbers) > 0 {
		f.Done, f.Numbers = "Written down.", numbers
	}
	f.Forbidden = forbidden(has.Verdict, has.Text)
	s.showBench(w, r, http.StatusOK, f, charges)
}

// forbidden is why no arc is to be struck on a machine; "" nothing of it says so.
func forbidden(verdict, text string) string {
	if verdict != "do not" {
		return ""
	}
	return text
}

// writeReadings writes down what a meter read, or takes the last of it back. Sent twice
// it is asked about.
func (s *Server) writeReadings(w http.ResponseWriter, r *http.Request) {
	m, charges, ok := s.shownMachine(w, r)
	if !ok {
		return
	}
	said, back := r.PostForm, machinePath(m.Name)+"/measure"
	if said.Get("do") == "undo" {
		for _, number := range said["number"] {
			var done struct{}
			if f, status, ok := s.do(r, "machine", "measure", "--strike="+number, "--why=undone on the page", "--", m.Name).read(&done); !ok {
				s.fail(w, r, status, f, "bench")
				return
			}
		}
		http.Redirect(w, r, back, http.StatusSeeOther)
		return
	}
	var has readings
	if f, status, ok := s.do(r, "machine", "measure", "--", m.Name).read(&has); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	form := meterForm(m, has, said, nil)
	flags := blankFlags(said, form.Blanks)
	again := func(status int, f failure) {
		f = labeled(f, form.Groups, form.Blanks)
		s.showBench(w, r, status, meterForm(m, has, said, &f), charges)
	}
	if len(flags) == 0 {
		again(http.StatusUnprocessableEntity, failure{Field: "measure", Message: "What did the meter read? Fill in one of the fields at the least."})
		return
	}
	if after := said.Get("after"); after != "" && after != strconv.Itoa(has.newest()) {
		again(http.StatusUnprocessableEntity, failure{Field: "after", Message: "Since this page was shown, a reading was written down: it stands below. Is this one more? Then press again."})
		return
	}
	var wrote readings
	f, status, ok := s.do(r, append(append(append([]string{"machine", "measure"}, flag("tap", said.Get("tap"))...), flags...), "--", m.Name)...).read(&wrote)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		again(status, f)
		return
	case !ok:
		s.fail(w, r, status, f, "bench")
		return
	}
	numbers := url.Values{}
	for _, one := range wrote.Added {
		numbers.Add("wrote", strconv.Itoa(one.Number))
	}
	http.Redirect(w, r, back+"?"+numbers.Encode(), http.StatusSeeOther)
}
