package web

import (
	"net/http"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/inspect"
)

// inspection is a coupon that is tested, or a bead that is looked over: what to do,
// what to answer, and what came of it.
type inspection struct {
	Mark       string
	Kind       string `json:"test"` // bend, break, etch, peel; "" a look
	Do, Mind   []string
	Questions  []inspect.Question
	Answers    []inspect.Answer
	Verdict    *inspect.Verdict // of a test; nil: not answered yet
	Recorded   bool
	Proves     string
	Grade      string // of a look; "": not answered yet
	Found      []inspect.Seen
	Added      []string `json:"symptoms_added"` // written down now
	Worth      string
	Unanswered []string // keys of questions
	Weld       procedures.Weld
	Cautions   []caution.Caution
	Sources    map[string]string

	Said    map[string]string // yes or no, by question, as pressed so far
	Sizes   map[string]string
	Trouble *failure
}

// Title is what is done, in words.
func (v inspection) Title() string {
	switch v.Kind {
	case "":
		return "Look " + v.Mark + " over"
	case "etch":
		return "Cut and etch " + v.Mark
	}
	return capital(v.Kind) + " " + v.Mark
}

// Kept says what became of a look, in whole sentences.
func (v inspection) Kept() (all []string) {
	stood := slices.DeleteFunc(slices.Clone(v.Weld.Outcome.Symptoms), func(key string) bool { return slices.Contains(v.Added, key) })
	switch len(v.Added) {
	case 0:
		if len(v.Found) == 0 {
			all = append(all, "Nothing was written down: a look that finds nothing leaves no record. To keep it, say so in the note of "+v.Mark+", on its page.")
		} else {
			all = append(all, "No symptom was added to "+v.Mark+".")
		}
	case 1:
		all = append(all, capital(terms(v.Added))+" was written down as a symptom of "+v.Mark+". Not so after all? Take it off on its page.")
	default:
		all = append(all, capital(terms(v.Added))+" were written down as symptoms of "+v.Mark+". Not so after all? Take them off on its page.")
	}
	if len(stood) > 0 {
		all = append(all, "Written down before, and it stands: "+terms(stood)+".")
	}
	return all
}

// terms names symptoms by their trade words.
func terms(keys []string) string {
	var words []string
	for _, key := range keys {
		if s, ok := procedures.FindSymptom(key); ok {
			key = s.Term
		}
		words = append(words, key)
	}
	return strings.Join(words, ", ")
}

// unanswered says that nothing was answered, and what would be taken.
func (v inspection) unanswered() *failure {
	f := failure{Code: "invalid", Field: "answers", Message: "Nothing was answered, so nothing was written down.", Hint: "press Yes or No under what you see, from the first question on: " + v.Questions[0].Text}
	if len(v.Measured()) > 0 {
		f.Hint += "; or fill in what you measured"
	}
	return &f
}

// Measured are the sizes that answer for themselves, by test.
func (v inspection) Measured() []size {
	switch v.Kind {
	case "break":
		return []size{{"hole", "Holes and bits of slag, largest size of each", "1/16, 3/32", "1.6, 2.4", v.Sizes["hole"]}, {"length", "In what length of weld", "6in", "150mm", v.Sizes["length"]}}
	case "bend":
		return []size{{"crack", "Openings away from the corners, length of each", "1/16", "1.6", v.Sizes["crack"]}, {"corner", "Cracks at a corner, length of each", "1/8", "3", v.Sizes["corner"]}}
	}
	return nil
}

// size is a field for what was measured.
type size struct{ Name, Label, Example, Metric, Value string }

// testPage asks what a test of a coupon showed; a form that is sent answers.
func (s *Server) testPage(w http.ResponseWriter, r *http.Request) {
	args := []string{"test"}
	for _, name := range []string{"hole", "crack", "corner"} {
		for _, one := range strings.FieldsFunc(r.PostFormValue(name), func(c rune) bool { return c == ',' || c == ';' }) {
			args = append(args, flag(name, one)...)
		}
	}
	args = append(args, flag("length", r.PostFormValue("length"))...)
	if r.PostFormValue("instead") != "" {
		args = append(args, "--instead")
	}
	s.inspect(w, r, args, r.FormValue("kind"))
}

// lookPage asks what the eye sees of a bead.
func (s *Server) lookPage(w http.ResponseWriter, r *http.Request) { s.inspect(w, r, []string{"look"}) }

func (s *Server) inspect(w http.ResponseWriter, r *http.Request, args []string, words ...string) {
	bare := append([]string{args[0], "--", r.PathValue("mark")}, words...)
	said, sizes, answers := map[string]string{}, map[string]string{}, []string{}
	for name := range r.PostForm {
		if key, ok := strings.CutPrefix(name, "q_"); ok {
			said[key] = r.PostForm.Get(name)
			answers = append(answers, key+"="+said[key])
		} else {
			sizes[name] = r.PostForm.Get(name)
		}
	}
	args = append(append(args, flag("answers", strings.Join(answers, " "))...), bare[1:]...)
	if r.Method != http.MethodPost {
		args = bare
	}
	var v inspection
	f, status, ok := s.do(r, args...).read(&v)
	if !ok && status == http.StatusUnprocessableEntity && r.Method == http.MethodPost { // the questions once more, with what was pressed
		if _, _, again := s.do(r, bare...).read(&v); again {
			f.Hint = strings.Join(slices.DeleteFunc(f.Hints(), func(h string) bool { return strings.Contains(h, "answers") || strings.Contains(h, "'no yes'") }), "; ") // what is typed elsewhere
			var sizes []blank
			for _, one := range v.Measured() {
				sizes = append(sizes, blank{Name: one.Name, Label: one.Label})
			}
			f = labeled(f, nil, sizes)
			v.Trouble = &f
		}
	}
	if ok && r.Method == http.MethodPost && v.Verdict == nil && v.Grade == "" { // the questions again, for nothing was answered
		status, v.Trouble = http.StatusUnprocessableEntity, v.unanswered()
	}
	if !ok && v.Trouble == nil {
		s.fail(w, r, status, f, "find")
		return
	}
	v.Said, v.Sizes = said, sizes
	s.show(w, r, status, "inspect", page{Title: v.Title(), Here: "find", Charges: s.machines(r).charges(v.Weld.Job.Machine), Body: v})
}
