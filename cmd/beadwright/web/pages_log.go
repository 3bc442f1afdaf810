package web

import (
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// logForm is the log page: the last setup, and what was pressed so far.
type logForm struct {
	setup
	Token            string // of this form: what is sent twice is written down once
	WasTap, WasKnob  string // as carried over; only what differs is told
	Taps             []string
	Common, Rare     []symptom
	Rating           int
	Symptoms         []string
	Note, Words      string
	Gone             string // mark of the weld just withdrawn
	Trouble          *failure
	InUse            string   // the machine in use, where what is followed names none
	Since            []string // what is otherwise by now than it was when that was asked for
	Asked            bool     // there is a setup to carry over
	Step, Low, High  float64  // of the knob
	TestKinds        []string
	Test, TestResult string
	Fields           []blank // what may be typed besides
	Tapless          bool    // no taps of the machine are written down
}

// Deep reports whether the field that was not taken is folded away.
func (f logForm) Deep() bool {
	return f.Trouble != nil && (f.Asked || f.Trouble.Field != "words") && f.Trouble.Field != "knob" && f.Trouble.Field != "rating"
}

// Moved reports whether tap or knob were set otherwise than what is carried over, whose
// wire speed then holds no more.
func (f logForm) Moved() bool { return f.Tap != "" && f.Tap != f.WasTap || f.Knob != f.WasKnob }

// logBlanks are what may be typed of how it was set.
func (m measures) logBlanks() []blank {
	return []blank{{Name: "wire-speed", Label: "Wire speed, if you measured it", Example: m.example("102ipm", "2.6 m/min")}, {Name: "travel", Label: "Pace (how fast you moved)", Example: m.example("4in in 27s", "100mm in 27s")}}
}

// calledInLog is called for the fields of the log form.
func (m measures) calledInLog(f failure) failure {
	return called(f, append(m.logBlanks(), blank{Name: "knob", Label: "Knob"}, blank{Name: "tap", Label: "Tap (heat switch)"}, blank{Name: "rating", Label: "By eye"}, blank{Name: "symptom", Label: "What you saw"},
		blank{Name: "test", Label: "Test you made"}, blank{Name: "note", Label: "Note"}, blank{Name: "words", Label: "What you welded"}, blank{Name: "for", Label: "What it is for"})...)
}

// Big is the setting in one short line of large type.
func (s setup) Big() string {
	knob := s.Knob
	if knob != "" && !strings.HasSuffix(knob, "third") {
		knob = "knob " + knob
	}
	return joined(strings.ToUpper(s.Tap), knob)
}

// savedView is a weld just written down.
type savedView struct {
	procedures.Weld
	Stops   []caution.Caution // of the stop list: kept as practice, and says nothing of the part
	Dangers []trouble
	Doubts  []string
	Wire    string // in use now, where the weld is of another
	Odd     bool   // a mark that few dials reach, on a knob of which no numbers are written down
	Photo   string // why the picture was not kept; "" it was, or there was none
}

func (s *Server) logPage(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	if mark := q.Get("saved"); mark != "" {
		s.savedPage(w, r, mark)
		return
	}
	all := s.machines(r)
	f := s.logForm(r, q, all)
	f.Gone = q.Get("gone")
	if by := q.Get("step"); by != "" {
		f.Knob = stepped(f.Knob, all.named(f.Machine).Knob, by == "up")
	}
	s.showLog(w, r, http.StatusOK, f, all)
}

func (s *Server) showLog(w http.ResponseWriter, r *http.Request, status int, f logForm, all machines) {
	s.show(w, r, status, "log", page{Title: "How did it turn out?", Here: "log", Charges: all.charges(f.Machine), Body: f})
}

// logForm fills the form: from its own fields where it was sent already, else from
// the answer last asked for on this phone, else from the last weld.
func (s *Server) logForm(r *http.Request, q url.Values, all machines) logForm {
	f := logForm{setup: setupFrom(q), Token: q.Get("token"), WasTap: q.Get("was_tap"), WasKnob: q.Get("was_knob"), TestKinds: procedures.TestKinds(),
		Symptoms: q["symptom"], Note: q.Get("note"), Words: q.Get("words"), Test: q.Get("test"), TestResult: q.Get("result"), Common: choices(common)}
	f.Rating, _ = strconv.Atoi(q.Get("rating"))
	for _, k := range procedures.SymptomKeys() {
		if !slices.Contains(common, k) {
			f.Rare = append(f.Rare, choices([]string{k})...)
		}
	}
	if f.From == "" {
		if c, err := r.Cookie("asked"); err == nil {
			if v, err := url.ParseQuery(c.Value); err == nil {
				f.setup = setupFrom(v)
			}
		}
	}
	if f.From == "" {
		f.setup = s.lastSetup(r)
	}
	if all.withdrawn(f.Machine) { // takes no weld any more, and its settings are no other machine's
		f.setup = setup{}
	}
	if f.Token == "" {
		f.Token = newToken()
	}
	if !q.Has("was_knob") {
		f.WasTap, f.WasKnob = f.Tap, f.Knob
	}
	m := all.named(f.Machine)
	if f.Machine == "" {
		f.Machine, f.InUse = m.Name, m.Name
	} else if q.Has("in_use") {
		f.InUse = q.Get("in_use")
	}
	f.Taps, f.Marked, f.Asked = m.TapNames(), m.Knob.Marked(), f.From != ""
	f.Step, f.Low, f.High = stepOf(m.Knob), m.Knob.Min, m.Knob.Max
	switch {
	case len(f.Taps) > 0:
	case m.Name != "": // what it has is to be asked, not invented
		f.Tapless = true
	default:
		f.Taps = []string{"low", "high"}
	}
	f.Fields = fill(s.measures(r).logBlanks(), q, nil)
	if f.Asked {
		f.Since = s.since(r, f.setup, all)
	}
	return f
}

// askedLately is how long an answer goes on being what is being welded by. A design
// choice.
const askedLately = 8 * time.Hour

// since says what changed since an answer that is carried over was asked for, so that
// the bead of today is not written down with the setting of another day or wire.
func (s *Server) since(r *http.Request, carried setup, all machines) (said []string) {
	if id, err := uuid.Parse(carried.From); err == nil && id.Version() == 7 { // of a suggestion; a weld goes by its mark
		if at := time.Unix(id.Time().UnixTime()); s.opts.Now().Sub(at) > askedLately {
			said = append(said, "asked for at "+when(at))
		}
	}
	if m := all.named(""); m.Name != "" && m.Name != carried.Machine {
		said = append(said, "the machine in use is "+m.Name)
	}
	if wire := s.wireInUse(r); wire != (procedures.Wire{}) && wire.String() != carried.Of {
		said = append(said, "the wire in use is "+wire.String())
	}
	return said
}

// lastSetup is how the last weld was made; the zero setup before the first.
func (s *Server) lastSetup(r *http.Request) setup {
	var found struct{ Welds []hit }
	if _, _, ok := s.do(r, "find", "--limit=1").read(&found); !ok || len(found.Welds) == 0 {
		return setup{}
	}
	last := found.Welds[0]
	return s.measures(r).setup(last.Mark, last.Job, last.Settings)
}

// newToken is the id that the record of a form gets.
func newToken() string {
	id, err := uuid.NewV7()
	if err != nil {
		return "" // then the notebook gives one
	}
	return id.String()
}

// thirds of the turn of a knob without numbers.
var thirds = []string{"lower third", "middle third", "upper third"}

// stepped is the next mark up or down: half a mark, or the finest step of a knob
// that can be set more finely; a third of the turn where it has no numbers.
func stepped(now string, knob procedures.Knob, up bool) string {
	by := 1
	if !up {
		by = -1
	}
	mark, third, err := procedures.ParseKnob(now)
	switch {
	case now == "" && knob.Marked():
		return procedures.FormatKnob((knob.Min + knob.Max) / 2)
	case now == "" || err != nil:
		return thirds[1]
	case mark == nil:
		return thirds[min(max(slices.Index(thirds, third)+by, 0), 2)]
	}
	v := max(*mark+float64(by)*stepOf(knob), 0)
	if knob.Marked() {
		v = min(max(v, knob.Min), knob.Max)
	}
	return procedures.FormatKnob(v)
}

// stepOf is one press of the stepper: half a mark, or a quarter where the hand
// can repeat that.
func stepOf(k procedures.Knob) float64 {
	if k.Step > 0 && k.Step <= 0.25 {
		return 0.25
	}
	return 0.5
}

// logWeld writes a weld down. Sent twice with one token it is one weld.
func (s *Server) logWeld(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseMultipartForm(1 << 20); err != nil && err != http.ErrNotMultipart {
		s.fail(w, r, http.StatusBadRequest, failure{Message: "The form did not come through whole. Nothing was saved; send it again."}, "log")
		return
	}
	v := r.PostForm
	if untold := testUntold(v); untold != nil {
		s.askAgain(w, r, *untold)
		return
	}
	if words := strings.TrimSpace(v.Get("words")); words != "" {
		if said, _ := procedures.ReadJob(words, procedures.Units(s.measures(r)), recommend.Lexicon()); !said.Sized || said.Job.Joint == "" || len(said.Unknown) > 0 {
			f := failure{Code: "invalid", Field: "words", Message: "That is no joint I can read: " + plain(words, 100) + ".", Hint: "say thickness, steel, joint and position: 1/8 mild tee flat; anything else goes into the field for notes"}
			if stops, _ := caution.Gate(caution.Request{Words: words}); len(stops) > 0 { // before any question
				f.Message = "STOP. " + stops[0].Text + " " + f.Message
			}
			s.askAgain(w, r, f)
			return
		}
	}
	args := []string{"log"}
	args = append(args, flag("id", v.Get("token"))...)
	words := strings.TrimSpace(v.Get("words"))
	if words == "" {
		args = append(args, flag("from", v.Get("from"))...)
		args = append(args, flag("machine", v.Get("in_use"))...)
	}
	for _, field := range []string{"tap", "knob"} {
		if value := strings.TrimSpace(v.Get(field)); words != "" || value != v.Get("was_"+field) {
			args = append(args, flag(field, value)...)
		}
	}
	for _, field := range []string{"rating", "wire-speed", "travel", "for", "note"} {
		args = append(args, flag(field, v.Get(field))...)
	}
	for _, key := range v["symptom"] {
		args = append(args, flag("symptom", key)...)
	}
	args = append(args, testFlag(v)...)
	if age, err := strconv.ParseFloat(v.Get("age_seconds"), 64); err == nil && age > 120 && age < 30*24*3600 {
		// It waited on the phone for a connection. Its age and not its time is
		// sent, since the phone's clock may be off.
		args = append(args, "--at="+s.opts.Now().Add(-time.Duration(age*float64(time.Second))).Format(time.RFC3339))
	}
	if words != "" {
		args = append(append(args, "--"), strings.Fields(words)...) // one by one: an argument with a space in it is a note
	}
	var made struct {
		Mark string          `json:"mark"`
		Weld procedures.Weld `json:"weld"`
	}
	f, status, ok := s.do(r, args...).read(&made)
	switch {
	case !ok && wantsJSON(r):
		f = s.measures(r).calledInLog(f)
		if f.Code == "not_found" {
			forget(w)
		}
		f.Hint = strings.Join(f.Hints(), "; ")
		writeJSON(w, status, map[string]failure{"error": f})
		return
	case !ok && status < 500:
		all := s.machines(r)
		form := s.logForm(r, v, all)
		f = s.measures(r).calledInLog(f)
		form.troubled(f)
		if f.Code == "not_found" { // what it was to follow is not in this notebook
			forget(w)
			form.setup = s.lastSetup(r)
			form.Asked, form.WasTap, form.WasKnob = form.From != "", form.Tap, form.Knob
		}
		s.showLog(w, r, status, form, all)
		return
	case !ok:
		s.fail(w, r, status, f, "log")
		return
	}
	forget(w) // the next log carries this weld over
	next := "/log?saved=" + url.QueryEscape(made.Mark)
	if trouble := s.photosOf(r, made.Mark); trouble != "" {
		next += "&photo=" + url.QueryEscape(trouble)
	}
	if wantsJSON(r) {
		said := map[string]string{"mark": made.Mark, "next": next}
		for _, t := range s.dangers(r, made.Weld) {
			said["danger"] += t.Do[0].Text
		}
		writeJSON(w, http.StatusOK, said)
		return
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}

// troubled says what of the form was not taken.
func (f *logForm) troubled(trouble failure) {
	f.Trouble = &trouble
	for i := range f.Fields {
		f.Fields[i].Bad = f.Fields[i].Name == trouble.Field
	}
}

// askAgain shows the form as it was sent, with what is wanted.
func (s *Server) askAgain(w http.ResponseWriter, r *http.Request, f failure) {
	const status = http.StatusUnprocessableEntity
	if wantsJSON(r) {
		writeJSON(w, status, map[string]failure{"error": f})
		return
	}
	all := s.machines(r)
	form := s.logForm(r, r.PostForm, all)
	form.troubled(f)
	s.showLog(w, r, status, form, all)
}

// forget lets go of the answer last asked for on this phone.
func forget(w http.ResponseWriter) {
	http.SetCookie(w, &http.Cookie{Name: "asked", Path: "/log", MaxAge: -1, HttpOnly: true, SameSite: http.SameSiteStrictMode})
}

// testUntold asks how a test went that was named and nothing more; nil: none was. Left
// out in silence it would be lost.
func testUntold(v url.Values) *failure {
	if v.Get("test") == "" || v.Get("result") != "" {
		return nil
	}
	return &failure{Code: "invalid", Field: "test", Message: "How did the " + v.Get("test") + " test go? Say it in the field beside it, or take the test off."}
}

// testFlag is the bend or break test of a form, where one was made.
func testFlag(v url.Values) []string {
	if v.Get("test") == "" || v.Get("result") == "" {
		return nil
	}
	return []string{"--test=" + v.Get("test") + "=" + strings.TrimSpace(v.Get("result"))}
}

// savedPage shows the mark large, so that it can be painted on, and the way back.
func (s *Server) savedPage(w http.ResponseWriter, r *http.Request, mark string) {
	var shown struct {
		Weld   procedures.Weld
		Doubts []string
	}
	f, status, ok := s.do(r, "show", "--", mark).read(&shown)
	if !ok {
		s.fail(w, r, status, f, "log")
		return
	}
	all, knob := s.machines(r), shown.Weld.Settings.Knob
	odd := knob != nil && *knob > 10 && !all.named(shown.Weld.Job.Machine).Knob.Marked() // a dial of 0 to 10 is common practice, no source
	s.show(w, r, http.StatusOK, "saved", page{Title: "Saved " + shown.Weld.Mark, Here: "log", Charges: all.charges(shown.Weld.Job.Machine),
		Body: savedView{shown.Weld, stopsOf(shown.Weld), s.dangers(r, shown.Weld), shown.Doubts, s.otherWire(r, shown.Weld), odd, plain(r.URL.Query().Get("photo"), 200)}})
}

// otherWire is the wire in use now, where a weld just made is of another; "" where it is
// not, or came off a spool that is written down.
func (s *Server) otherWire(r *http.Request, w procedures.Weld) string {
	in := s.wireInUse(r)
	if w.Spool != "" || in == (procedures.Wire{}) || in == w.Job.Wire {
		return ""
	}
	return in.String()
}

// wireInUse is the wire of the spool in use; the zero wire where none is.
func (s *Server) wireInUse(r *http.Request) procedures.Wire {
	var all spools
	_, _, _ = s.do(r, "wire", "list").read(&all)
	for _, spool := range all.Spools {
		if spool.ID == all.Current {
			return spool.Wire
		}
	}
	return procedures.Wire{}
}

// stopsOf says what of the stop list a weld's words touch.
func stopsOf(weld procedures.Weld) []caution.Caution {
	stops, _ := caution.Gate(caution.Request{Words: weld.Said, Job: weld.Job})
	return stops
}

// strikeWeld withdraws a weld, which is kept and counted by nothing, or puts it back.
func (s *Server) strikeWeld(w http.ResponseWriter, r *http.Request) {
	mark := r.PathValue("mark")
	why := strings.TrimSpace(r.FormValue("why"))
	if why == "" {
		why = "taken back on the page, no reason given"
	}
	how, log := "--why="+why, "gone"
	if r.FormValue("do") == "back" {
		how, log = "--back", "saved"
	}
	var struck struct{ Mark string }
	f, status, ok := s.do(r, "strike", how, "--", mark).read(&struck)
	switch {
	case !ok && status == http.StatusUnprocessableEntity: // pressed twice: what it is now is seen on its page
		s.showWeld(w, r, status, &f)
		return
	case !ok:
		s.fail(w, r, status, f, "find")
		return
	}
	next := "/weld/" + url.PathEscape(struck.Mark)
	if r.FormValue("next") == "log" {
		next = "/log?" + log + "=" + url.QueryEscape(struck.Mark)
	}
	http.Redirect(w, r, next, http.StatusSeeOther)
}
