package web

import (
	"net/http"
	"time"

	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// clock is what duty says.
type clock struct {
	Do       string             `json:"do"`   // go, rest, arc on, stop, wait, forgotten, do not
	Text     string             `json:"text"` // what to do, in words
	Machine  string             `json:"machine"`
	Now      time.Time          `json:"now"`
	Used     float64            `json:"used_seconds"`
	Left     float64            `json:"left_seconds"`
	Rest     float64            `json:"rest_seconds"`
	Allowed  float64            `json:"allowed_seconds"`
	Next     float64            `json:"next_seconds"`
	Since    *time.Time         `json:"arc_since"`
	Because  []recommend.Reason `json:"because"`
	Cautions []caution.Caution  `json:"cautions"`
	Sources  map[string]string  `json:"sources"`
}

// Burning reports whether the arc is on.
func (c clock) Burning() bool { return c.Since != nil }

// Order is what to do now, in a word.
func (c clock) Order() string {
	return map[string]string{"go": "GO", "rest": "REST", "arc on": "ARC ON", "stop": "STOP", "wait": "WAIT", "forgotten": "ARC ON?", "do not": "DO NOT"}[c.Do]
}

// Seconds is the number that counts now.
func (c clock) Seconds() float64 {
	switch c.Do {
	case "rest", "wait":
		return c.Rest
	case "do not":
		return 0
	}
	return c.Left
}

// Meaning says what the number counts; where no arc may be struck at all, why.
func (c clock) Meaning() string {
	if c.Do == "do not" {
		return c.Text
	}
	return map[string]string{"go": "seconds of arc left", "rest": "seconds of rest owed, fan running", "arc on": "seconds of arc left", "stop": "seconds left: let go of the trigger",
		"wait": "seconds to wait: the cut-out has opened, leave the machine switched on so that the fan runs", "forgotten": "seconds left: the clock ran longer than any bead. Was it forgotten? Stop it"}[c.Do]
}

func (s *Server) dutyPage(w http.ResponseWriter, r *http.Request) {
	res := s.do(r, "duty")
	if wantsJSON(r) {
		var c clock
		f, status, ok := res.read(&c)
		if !ok {
			writeJSON(w, status, map[string]failure{"error": f})
			return
		}
		writeJSON(w, http.StatusOK, map[string]any{"do": c.Do, "order": c.Order(), "seconds": c.Seconds(), "meaning": c.Meaning(), "burning": c.Burning(), "used": c.Used, "allowed": c.Allowed})
		return
	}
	s.showDuty(w, r, res)
}

func (s *Server) showDuty(w http.ResponseWriter, r *http.Request, res Result) {
	var c clock
	f, status, ok := res.read(&c)
	if !ok {
		s.fail(w, r, status, f, "duty")
		return
	}
	s.show(w, r, http.StatusOK, "duty", page{Title: "Arc clock", Here: "duty", Charges: s.machines(r).charges(c.Machine), Body: c})
}

// dutyDo starts or stops the arc, or writes down that the cut-out has opened.
// The notebook keeps the clock, so any phone and the command line show the same.
func (s *Server) dutyDo(w http.ResponseWriter, r *http.Request) {
	do := r.FormValue("do")
	if do != "start" && do != "stop" && do != "trip" {
		s.trouble(w, r, http.StatusBadRequest, "The clock starts, stops, or writes down a cut-out; nothing else.")
		return
	}
	var c clock
	if f, status, ok := s.do(r, "duty", do).read(&c); !ok {
		s.fail(w, r, status, f, "duty")
		return
	}
	http.Redirect(w, r, "/duty", http.StatusSeeOther)
}
