package inspect

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"beadwright/data"
	"beadwright/procedures"
)

// Grade is what a look at a bead comes to.
type Grade string

const (
	Go     Grade = "go"          // nothing seen
	Closer Grade = "look closer" // measure it, or break one
	No     Grade = "no"
)

// Sight is a question of a look, what the bad answer comes to, and what to do then.
type Sight struct {
	Question
	Bad     bool   // the answer that is bad
	Grade   Grade  // Closer or No
	Symptom string // key; "" none is that sure
	Do      string
}

// visual is a criterion of the visual table, for a load that stays.
func visual(item string) data.VisualLimit {
	for _, r := range data.VisualLimits() {
		if r.Item == item && r.Loading == "static" {
			return r
		}
	}
	panic("no visual criterion for " + item) // a fault of the tables, which a test finds
}

// thinBack is up to where heat shows on the back of a plate.
const thinBack = procedures.MMPerInch / 8

// LookAt returns what to look for on the bead of a job, in order.
//
// Source: AWS D1.1 Table 6.1 where a criterion is quoted; the rest is common
// practice, no source.
func LookAt(j procedures.Job, units procedures.Units) []Sight {
	quoted := func(item, key, text string) Question { return Question{key, text, visual(item).Source} }
	groove := "measure how deep it is and hold it against the limit of %s below 1 in of thickness"
	if t := j.Thinner(); t > 0 && t <= thinBack {
		groove += ". On metal this thin be stricter than that: it is a good share of it (common practice)"
	}
	list := []Sight{
		{quoted("crack", "crack", "Is there a crack anywhere, in the crater at the end as well?"), true, No, "crack", "grind it out to its end; no crack passes, whatever its size"},
		{quoted("undercut", "undercut", "Does a fingernail catch in a groove along an edge of the bead?"), true, Closer, "undercut",
			fmt.Sprintf(groove, procedures.FormatLength(procedures.Inches(visual("undercut").LimitIn), units))},
		{quoted("fusion", "fusion", "Does a toe roll over onto the plate, or is there a line of shadow under an edge?"), true, No, "overlap", "it is not melted in there: grind it off and weld it hotter or slower; break a coupon to see"},
		{quoted("crater", "crater", "Is the crater at the end filled as high as the bead?"), false, No, "crater", "go back and fill it; look for a star of cracks in it first"},
		{quoted("piping porosity in 1 in", "holes", "Is there any hole in the face of the bead?"), true, Closer, "porosity", "break one like it: holes seen outside mostly run on inside"},
		{quoted("profile", "rope", "Does it stand up like a rope, with steep sides?"), true, Closer, "cold-bead", "measure how high it stands; then break one, for a rope often lies on cold steel"},
		{quoted("profile", "skin", "Is it a thin skin, or thinner in places?"), true, Closer, "narrow", "measure the smallest leg against the one asked for"},
	}
	if j.Process != procedures.GMAW {
		list = append(list, Sight{practice("slag", "Is slag glued in pits or along the edges?"), true, Closer, "stuck-slag", "chip and brush until you see metal, and look again"})
	}
	if t := j.Thinner(); t > 0 && t <= thinBack+0.1 {
		list = append(list,
			Sight{practice("back", "On the back, is there at least a mark of heat all along?"), false, Closer, "", "no heat came through: break one before you trust the front"},
			Sight{practice("through", "On the back, are there drips or holes?"), true, No, "burn-through", "it went through"})
	}
	return list
}

// Seen is what a look found.
type Seen struct {
	Key     string   `json:"key"`
	Grade   Grade    `json:"grade"`
	Symptom string   `json:"symptom"`
	Do      string   `json:"do"`
	Source  []string `json:"source"`
}

// ErrNotSaid is what an asker returns for a question that nobody answers.
var ErrNotSaid = errors.New("not answered")

// Looked is what a look came to.
type Looked struct {
	Grade   Grade // the worst of what was found; "": nothing was, and questions are open
	Found   []Seen
	Answers []Answer
	Open    []string // keys of the questions that nobody answered
}

// Look asks the questions in order. The first answer that comes to a no decides the
// look: ask is told so, and needs to ask no further, but what was said besides is
// kept. It returns [ErrNotSaid] for what it has no answer to; another error ends it.
func Look(sights []Sight, ask func(q Question, decided bool) (bool, error)) (Looked, error) {
	l := Looked{Found: []Seen{}, Answers: []Answer{}, Open: []string{}}
	for _, s := range sights {
		yes, err := ask(s.Question, l.Grade == No)
		switch {
		case errors.Is(err, ErrNotSaid):
			l.Open = append(l.Open, s.Key)
			continue
		case err != nil:
			return l, err
		}
		l.Answers = append(l.Answers, Answer{Question: s.Question, Yes: yes})
		if yes != s.Bad {
			continue
		}
		l.Found = append(l.Found, Seen{s.Key, s.Grade, s.Symptom, s.Do, s.Source})
		if l.Grade != No {
			l.Grade = s.Grade
		}
	}
	if l.Grade == "" && len(l.Open) == 0 {
		l.Grade = Go
	}
	return l, nil
}

// Outweighs says what is known of a weld that no look can take back: a test that it
// failed, or that it failed in use; "" nothing.
func Outweighs(w procedures.Weld) string {
	var parts []string
	for _, t := range w.Outcome.Tests {
		if !t.Passed {
			parts = append(parts, fmt.Sprintf("its %s test FAILED (%s)", t.Kind, t.Result))
		}
	}
	if when := w.Outcome.FailedInUse; !when.IsZero() {
		parts = append(parts, "it FAILED IN USE "+when.Local().Format(time.DateOnly))
	}
	return strings.Join(parts, " and ")
}

// AllGood is the answers of a bead with nothing wrong, in the order of the questions.
func AllGood(sights []Sight) string {
	words := make([]string, len(sights))
	for i, s := range sights {
		words[i] = "no"
		if !s.Bad {
			words[i] = "yes"
		}
	}
	return strings.Join(words, " ")
}

// Symptoms are the keys of what was found, each once.
func Symptoms(found []Seen) []string {
	var keys []string
	for _, f := range found {
		if f.Symptom != "" && !strings.Contains(" "+strings.Join(keys, " ")+" ", " "+f.Symptom+" ") {
			keys = append(keys, f.Symptom)
		}
	}
	return keys
}
