package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
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
	Current  float64            `json:"current_A"`
	From     string             `json:"current_from"` // said, suggestion, plate
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

// Amps is what current the seconds are for, in words; "" it is not known.
func (c clock) Amps() string {
	switch {
	case c.Current <= 0:
		return ""
	case c.From == "suggestion":
		return number(c.Current, 0) + " A, of the answer last asked for"
	case c.From == "plate":
		return number(c.Current, 0) + " A, of the plate"
	}
	return number(c.Current, 0) + " A"
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
	s.showDuty(w, r, res, nil)
}

// dutyView is the clock, with what was just written down and can be taken back.
type dutyView struct {
	clock
	None    bool // no machine is written down for it to run for
	Undo    *lately
	After   string // the arc before a cut-out, as it was typed
	Trouble *failure
}

// lately is an arc or a cut-out: where it stands in its list.
type lately struct {
	List    string // arcs, trips: of the command
	ID      string
	Number  int
	Seconds float64 `json:"arc_seconds"`
}

// What is which, in words.
func (l lately) What() string {
	if l.List == "trips" {
		return "The cut-out is written down"
	}
	return "An arc of " + span(l.Seconds) + " is written down"
}

// lately looks for a record of a list by its id; nil: it is not there, or was
// withdrawn.
func (s *Server) lately(r *http.Request, list, id string) *lately {
	var all struct{ Recorded []lately }
	if _, _, ok := s.do(r, "duty", list).read(&all); !ok {
		return nil
	}
	i := slices.IndexFunc(all.Recorded, func(l lately) bool { return l.ID == id })
	if i < 0 {
		return nil
	}
	all.Recorded[i].List = list
	return &all.Recorded[i]
}

func (s *Server) showDuty(w http.ResponseWriter, r *http.Request, res Result, trouble *failure) {
	var v dutyView
	f, status, ok := res.read(&v.clock)
	if !ok && len(s.machines(r).Machines) == 0 {
		v.None = true
		s.show(w, r, http.StatusOK, "duty", page{Title: "Arc clock", Here: "duty", Body: v})
		return
	}
	if !ok {
		s.fail(w, r, status, f, "duty")
		return
	}
	if v.Trouble = trouble; trouble != nil {
		v.After = r.PostFormValue("after")
		status = http.StatusUnprocessableEntity
	}
	for _, list := range []string{"arcs", "trips"} {
		if id := r.URL.Query().Get(list); id != "" {
			v.Undo = s.lately(r, list, id)
		}
	}
	s.show(w, r, status, "duty", page{Title: "Arc clock", Here: "duty", Charges: s.machines(r).charges(v.Machine), Body: v})
}

// dutyDo starts or stops the arc, writes down that the cut-out has opened, or takes
// one of these back. The notebook keeps the clock, so any phone and the command line
// show the same.
func (s *Server) dutyDo(w http.ResponseWriter, r *http.Request) {
	do, next := r.FormValue("do"), "/duty"
	var done struct {
		Arc      *struct{ ID string }
		Recorded json.RawMessage // of a cut-out: itself
	}
	var f failure
	var status int
	ok := true
	switch do {
	case "start", "stop", "trip":
		args := []string{"duty", do}
		if age, err := strconv.ParseFloat(r.FormValue("age_seconds"), 64); err == nil && do != "trip" && age >= 1 && age < 24*3600 {
			args = append(args, fmt.Sprintf("--at=%.1fs ago", age)) // it waited on the phone for a connection
		}
		if do == "trip" {
			args = append(args, flag("after", r.FormValue("after"))...)
		}
		f, status, ok = s.do(r, args...).read(&done)
		var trip struct{ ID string }
		switch {
		case do == "stop" && done.Arc != nil:
			next += "?arcs=" + url.QueryEscape(done.Arc.ID)
		case do == "trip" && json.Unmarshal(done.Recorded, &trip) == nil:
			next += "?trips=" + url.QueryEscape(trip.ID)
		}
	case "arcs", "trips": // taken back
		if l := s.lately(r, do, r.FormValue("id")); l != nil { // else it is gone already
			f, status, ok = s.do(r, "duty", do, fmt.Sprintf("--strike=%d", l.Number), "--why=undone on the page").read(&struct{}{})
		}
	default:
		s.trouble(w, r, http.StatusBadRequest, "The clock starts, stops, or writes down a cut-out; nothing else.")
		return
	}
	switch {
	case !ok && status == http.StatusUnprocessableEntity && !wantsJSON(r):
		f = called(f, blank{Name: "after", Label: "Arc in those 10 minutes"})
		s.showDuty(w, r, s.do(r, "duty"), &f)
		return
	case !ok:
		s.fail(w, r, status, f, "duty")
		return
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}
