package web

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"beadwright/procedures"
)

// knobCurve is what machine knob says.
type knobCurve struct {
	RunOuts []procedures.RunOut `json:"runouts"` // added now
	Odd     []int               `json:"odd"`     // of these, those far from the others at their mark
	Curve   []knobPoint         `json:"curve"`
	Next    []knobStep          `json:"next"`
}

// knobPoint is one mark of the knob, as it was run out.
type knobPoint struct {
	Tap     string             `json:"tap"`
	Mark    float64            `json:"mark"`
	Speed   procedures.MPerMin `json:"wire_speed_m_min"`
	Low     procedures.MPerMin `json:"low_m_min"`
	High    procedures.MPerMin `json:"high_m_min"`
	Runs    int                `json:"runs"`
	Numbers []int              `json:"run_numbers"`
}

// knobStep is a mark to run out next.
type knobStep struct {
	Tap  string
	Mark float64
	Why  string
}

// Tapped reports whether the run-outs name their tap.
func (c knobCurve) Tapped() bool {
	return slices.ContainsFunc(c.Curve, func(p knobPoint) bool { return p.Tap != "" })
}

// newest is the number of the run-out last written down of those that stand; 0: there
// is none.
func (c knobCurve) newest() (n int) {
	for _, p := range c.Curve {
		n = max(n, slices.Max(append(p.Numbers, 0)))
	}
	return n
}

// knobView is the page on which the knob is run out.
type knobView struct {
	knobCurve
	Machine procedures.Machine
	Charts  []chart
	Groups  []group
	Blanks  []blank
	After   int // the run-out last written down when the page was shown
	Wrote   string
	Number  int // of what was just written down, for Undo; 0: none was
	Off     bool
	Trouble *failure
}

// knobBlanks are what is typed of a run-out.
func (m measures) knobBlanks() []blank {
	return []blank{{Name: "mark", Label: "The knob stood at", Example: "5"}, {Name: "seconds", Label: "It ran, seconds", Example: "10"},
		{Name: "length", Label: m.example("Wire you cut off, inches", "Wire you cut off, centimeters"), Example: m.example("42", "107")}}
}

func (s *Server) knobPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	said := url.Values{"tap": q["tap"], "mark": q["mark"], "seconds": q["seconds"]}
	wrote := ""
	if n, err := strconv.Atoi(q.Get("wrote")); err == nil && n > 0 {
		wrote = q.Get("wrote")
	}
	s.showKnob(w, r, http.StatusOK, said, wrote, nil)
}

// showKnob shows the form, and the curve that the run-outs make.
func (s *Server) showKnob(w http.ResponseWriter, r *http.Request, status int, said url.Values, wrote string, trouble *failure) {
	m, charges, ok := s.shownMachine(w, r)
	if !ok {
		return
	}
	v := knobView{Machine: m, Trouble: trouble}
	if f, status, ok := s.do(r, "machine", "knob", "--", m.Name).read(&v.knobCurve); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	v.After = v.newest()
	if said.Get("mark") == "" && trouble == nil {
		said = url.Values{"seconds": {"10"}}
		if len(v.Next) > 0 {
			said.Set("tap", v.Next[0].Tap)
			said.Set("mark", procedures.FormatKnob(v.Next[0].Mark))
		}
	}
	units := s.measures(r)
	v.Groups, v.Blanks = chosen(tapGroup(m), said, trouble), fill(units.knobBlanks(), said, trouble)
	if n, err := strconv.Atoi(wrote); err == nil {
		v.Number = n
		for _, p := range v.Curve {
			if slices.Contains(p.Numbers, n) {
				v.Wrote = units.ranOut(p)
			}
		}
		v.Off = r.URL.Query().Get("odd") != ""
	}
	v.Charts = s.knobCharts(r, m, v.Curve)
	s.show(w, r, status, "knob", page{Title: "Run the knob of " + m.Name + " out", Here: "bench", Charges: charges, Body: v})
}

// ranOut says what the run-outs of a mark come to.
func (m measures) ranOut(p knobPoint) string {
	on := ""
	if p.Tap != "" {
		on = " on " + strings.ToUpper(p.Tap)
	}
	text := fmt.Sprintf("Written down: mark %s%s runs %s", procedures.FormatKnob(p.Mark), on, m.bothSpeeds(p.Speed))
	if p.Runs == 1 {
		return text + ", by one run. Two more at this mark, and a slip shows."
	}
	return fmt.Sprintf("%s, the middle of %d runs from %s to %s.", text, p.Runs, m.speed(p.Low), m.speed(p.High))
}

// runOut writes a run-out of the knob down, or takes one back. Sent twice it is asked
// about.
func (s *Server) runOut(w http.ResponseWriter, r *http.Request) {
	said, name := r.PostForm, r.PathValue("name")
	back := machinePath(name) + "/knob"
	if said.Get("do") == "undo" {
		var done struct{}
		if f, status, ok := s.do(r, append(append([]string{"machine", "knob"}, flag("strike", said.Get("number"))...), "--why=undone on the page", "--", name)...).read(&done); !ok {
			s.fail(w, r, status, f, "bench")
			return
		}
		http.Redirect(w, r, back, http.StatusSeeOther)
		return
	}
	units := s.measures(r)
	again := func(status int, f failure) {
		f = labeled(f, []group{{Name: "tap", Legend: "Tap (heat switch)"}}, units.knobBlanks())
		s.showKnob(w, r, status, said, "", &f)
	}
	var has knobCurve
	if f, status, ok := s.do(r, "machine", "knob", "--", name).read(&has); !ok {
		s.fail(w, r, status, f, "bench")
		return
	}
	if after := said.Get("after"); after != "" && after != strconv.Itoa(has.newest()) {
		again(http.StatusUnprocessableEntity, failure{Field: "after", Message: "Since this page was shown, a run-out was written down: the table has it. Is this one more? Then press again."})
		return
	}
	for _, b := range units.knobBlanks() {
		if strings.TrimSpace(said.Get(b.Name)) == "" {
			again(http.StatusUnprocessableEntity, failure{Field: b.Name, Message: b.Name + ": that is wanted too", Hint: "such as " + b.Example})
			return
		}
	}
	args := append([]string{"machine", "knob"}, flag("mark", said.Get("mark"))...)
	args = append(append(args, flag("tap", said.Get("tap"))...), flag("seconds", said.Get("seconds"))...)
	length := strings.TrimSpace(said.Get("length"))
	if _, err := strconv.ParseFloat(length, 64); err == nil {
		length += units.example("in", "cm") // as its label says
	}
	args = append(append(args, flag("length", length)...), "--", name)
	var wrote knobCurve
	f, status, ok := s.do(r, args...).read(&wrote)
	switch {
	case !ok && status == http.StatusUnprocessableEntity:
		again(status, f)
		return
	case !ok:
		s.fail(w, r, status, f, "bench")
		return
	}
	next := url.Values{"tap": said["tap"], "mark": said["mark"], "seconds": said["seconds"]}
	for _, run := range wrote.RunOuts {
		next.Set("wrote", strconv.Itoa(run.Number))
	}
	if len(wrote.Odd) > 0 {
		next.Set("odd", "1")
	}
	http.Redirect(w, r, back+"?"+next.Encode(), http.StatusSeeOther)
}

// knobCharts are the charts of the knob, of each tap with two marks run out.
func (s *Server) knobCharts(r *http.Request, m procedures.Machine, curve []knobPoint) (all []chart) {
	marks := map[string]int{}
	for _, p := range curve {
		if marks[p.Tap]++; marks[p.Tap] != 2 {
			continue
		}
		title := "Wire speed by mark of the knob"
		if p.Tap != "" {
			title += ", " + strings.ToUpper(p.Tap) + " tap"
		}
		if c, ok := s.draw(r, "knob", title, flag("tap", p.Tap), m.Name); ok {
			all = append(all, c)
		}
	}
	return all
}
