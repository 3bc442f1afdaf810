package web

import (
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// pick is one big button of a group, with a drawing of its own.
type pick struct {
	Value, Label, Also, Drawing string
	Chosen                      bool
}

// pickGroup is a group of buttons under one name.
type pickGroup struct {
	Name  string
	Picks []pick
}

// question is what the first page asks: words, or buttons, or both.
type question struct {
	Words, For                           string
	Joints, Thicknesses, Positions, Coat []pick
	Asked                                bool
	Trouble                              *failure
}

// The thicknesses with buttons: what is sold as sheet and flat bar.
var (
	inchThicknesses = []pick{
		{"20ga plain", "20 ga", "0.036 in", "20ga", false}, {"18ga plain", "18 ga", "0.048 in", "18ga", false}, {"16ga plain", "16 ga", "0.060 in", "16ga", false},
		{"14ga plain", "14 ga", "0.075 in", "14ga", false}, {"12ga plain", "12 ga", "0.105 in", "12ga", false}, {"11ga plain", "11 ga", "0.120 in", "11ga", false},
		{"1/8", "1/8 in", "3.2 mm", "eighth", false}, {"3/16", "3/16 in", "4.8 mm", "threesixteenths", false}, {"1/4", "1/4 in", "6.4 mm", "quarter", false},
	}
	metricThicknesses = []pick{
		{"1mm", "1 mm", "20 ga or so", "mm1", false}, {"1.5mm", "1.5 mm", "16 ga or so", "mm1.5", false}, {"2mm", "2 mm", "14 ga or so", "mm2", false},
		{"2.5mm", "2.5 mm", "12 ga or so", "mm2.5", false}, {"3mm", "3 mm", "1/8 in or so", "mm3", false}, {"4mm", "4 mm", "5/32 in or so", "mm4", false},
		{"5mm", "5 mm", "3/16 in or so", "mm5", false}, {"6mm", "6 mm", "1/4 in or so", "mm6", false},
	}
)

func (s *Server) askPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	ask := question{Words: strings.TrimSpace(q.Get("q")), For: strings.TrimSpace(q.Get("for"))}
	ask.Joints = picked(q.Get("joint"), []pick{
		{"tee", "Tee", "T, inside corner", "tee", false}, {"lap", "Lap", "overlap, patch", "lap", false}, {"butt", "Butt", "end to end", "butt", false},
		{"corner", "Corner", "outside corner", "corner", false}, {"edge", "Edge", "two edges side by side", "edge", false},
	})
	thicknesses := metricThicknesses
	if !s.measures(r).metric() {
		thicknesses = inchThicknesses
	}
	ask.Thicknesses = picked(q.Get("thickness"), slices.Clone(thicknesses))
	ask.Positions = picked(q.Get("position"), []pick{
		{"flat", "Flat", "seam faces up", "flat", false}, {"horizontal", "Horizontal", "a T on the bench, or sideways", "horizontal", false}, {"vertical-up", "Vertical up", "uphill", "up", false},
		{"vertical-down", "Vertical down", "downhill", "down", false}, {"overhead", "Overhead", "upside down", "overhead", false},
	})
	ask.Coat = picked(q.Get("metal"), []pick{
		{"mild", "Mild steel, bare", "clean, ground bright", "", false}, {"galvanized", "Galvanized", "zinc, gray and spangled", "", false},
		{"paint", "Painted", "still on it", "", false}, {"unknown", "No idea what steel", "cast, spring, stainless ...", "", false},
	})
	args := []string{"suggest"}
	args = append(args, flag("joint", q.Get("joint"))...)
	args = append(args, flag("thickness", q.Get("thickness"))...)
	args = append(args, flag("position", q.Get("position"))...)
	args = append(args, flag("for", q.Get("for"))...)
	switch metal := q.Get("metal"); metal {
	case "mild":
		args = append(args, "--steel=mild")
	case "unknown":
		args = append(args, "--steel=unknown")
	default:
		args = append(args, flag("coating", metal)...)
	}
	if (len(args) == 1 && ask.Words == "") || (len(args) == 2 && ask.Words == "" && ask.For != "") || r.Header.Get("Sec-Fetch-Site") == "cross-site" {
		// An answer is written down, so a page elsewhere may bring the question only.
		s.show(w, r, http.StatusOK, "ask", page{Title: "What do I set?", Here: "ask", Body: ask})
		return
	}
	ask.Asked = true
	if ask.Words != "" {
		args = append(args, "--", ask.Words)
	}
	var a answer
	f, status, ok := s.do(r, args...).read(&a)
	if !ok {
		if status != http.StatusUnprocessableEntity {
			s.fail(w, r, status, f, "ask")
			return
		}
		ask.Trouble = &f
		s.show(w, r, status, "ask", page{Title: "What do I set?", Here: "ask", Body: ask})
		return
	}
	all := s.machines(r)
	p := page{Title: verdictWord(a.Verdict), Here: "ask", Charges: all.charges(a.Job.Machine)}
	q.Del("for")
	view := answerView{answer: a, Asked: q, Example: a.Job.Machine == "", Said: saidOf(r.URL.Query(), a.Job)}
	view.Purpose, view.Stripped = wayOn(a.Suggestion, r.URL.Query())
	if a.Given() {
		carry := s.measures(r).carryOver(a)
		view.Log = "/log?" + carry.Encode()
		http.SetCookie(w, &http.Cookie{Name: "asked", Value: carry.Encode(), Path: "/log", HttpOnly: true, SameSite: http.SameSiteStrictMode, MaxAge: 7 * 24 * 3600})
		p.Title = "Set it so"
		view.Before = s.unsettled(r, a.Job.Machine)
	}
	p.Body = view
	s.show(w, r, http.StatusOK, "answer", p)
}

// picked marks the button that was chosen.
func picked(value string, all []pick) []pick {
	for i := range all {
		all[i].Chosen = all[i].Value == value && value != ""
	}
	return all
}

// answerView is an answer with where to go from it.
type answerView struct {
	answer
	Log     string
	Asked   url.Values // but for the use, which is to be said anew
	Example bool       // no machine of one's own is written down
	Said    string     // all that was asked, in words
	Purpose bool       // what it is for might make a lesser matter of the stop
	// Stripped is the same question with the coating gone, where that is the way on.
	Stripped template.URL
	Before   *procedures.Weld // the last weld of the machine, where it tells of a danger
}

// saidOf is all that was asked: what was typed, what was pressed, what it is for.
func saidOf(q url.Values, j procedures.Job) string {
	said := []string{strings.TrimSpace(q.Get("q"))}
	for _, name := range []string{"thickness", "metal", "joint", "position"} {
		said = append(said, strings.ReplaceAll(q.Get(name), "-", " "))
	}
	if use := strings.TrimSpace(q.Get("for")); use != "" {
		said = append(said, "for "+use)
	}
	if text := strings.Join(slices.DeleteFunc(said, func(s string) bool { return s == "" }), " "); text != "" {
		return text
	}
	return j.Said
}

// purposes are the stops that a plainly stated use can make a lesser matter of.
var purposes = []string{"hitch", "lifting", "frame", "suspension", "wheel", "pressure", "roll-cage", "seat", "held-up"}

// wayOn says which other question, if any, might not be refused: with the purpose
// told, or with the coating off.
func wayOn(s recommend.Suggestion, q url.Values) (purpose bool, stripped template.URL) {
	var stops []string
	for _, c := range s.Cautions {
		if c.Level == caution.Stop {
			stops = append(stops, c.Key)
		}
	}
	all := func(keys []string) bool {
		return len(stops) > 0 && !slices.ContainsFunc(stops, func(k string) bool { return !slices.Contains(keys, k) })
	}
	if all([]string{string(procedures.Galvanized)}) {
		bare := maps.Clone(q)
		bare.Set("q", strings.TrimSpace(q.Get("q")+" stripped"))
		return false, template.URL(bare.Encode())
	}
	return all(purposes), ""
}

// Given reports whether there are settings.
func (a answerView) Given() bool { return a.Suggestion.Given() }

// Refused reports whether the stop list answered, rather than the end of the tables.
func (a answerView) Refused() bool { return a.Verdict == recommend.Refused }

// carryOver is what the log page needs of an answer, so that it opens as the
// answer was given.
func (m measures) carryOver(a answer) url.Values {
	v := m.setup("", a.Job, a.Settings).values()
	v.Set("from", a.ID)
	return v
}

// setup is how the next weld is to be logged unless something else is said.
type setup struct {
	From    string // the suggestion's id, or the mark of a weld made the same way
	Job     string // in words
	Machine string // name; "" the example
	Tap     string
	Knob    string // a mark, or a third of the turn; "" not known
	Wire    string // wire speed in words; "" not known
	Of      string // the wire, by its size and class
	Marked  bool   // the knob has numbers
}

func (m measures) setup(from string, j procedures.Job, set procedures.Settings) setup {
	s := setup{From: from, Job: m.job(j), Machine: j.Machine, Tap: set.Tap, Knob: set.KnobSaid, Of: fmt.Sprint(j.Wire)}
	if set.Knob != nil {
		s.Knob = procedures.FormatKnob(*set.Knob)
	}
	if set.WireSpeed > 0 {
		s.Wire = m.bothSpeeds(set.WireSpeed)
	}
	return s
}

func (s setup) values() url.Values {
	v := url.Values{}
	for name, value := range map[string]string{"from": s.From, "job": s.Job, "machine": s.Machine, "tap": s.Tap, "knob": s.Knob, "wire": s.Wire, "of": s.Of} {
		if value != "" {
			v.Set(name, value)
		}
	}
	return v
}

func setupFrom(v url.Values) setup {
	return setup{From: v.Get("from"), Job: v.Get("job"), Machine: v.Get("machine"), Tap: v.Get("tap"), Knob: v.Get("knob"), Wire: v.Get("wire"), Of: v.Get("of")}
}
