package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend/inspect"
)

// answers takes yes and no from a flag, else line by line from standard input.
type answers struct {
	app   *app
	flag  string
	bare  []string // in the order of the questions
	named map[string]bool
	in    *bufio.Scanner
	asked int
	ended bool // no more lines to read
}

const answersFlag = "yes and no in the order of the questions, or by their names: 'no yes', 'edge=no folded=yes'"

// errUnanswered says that the answers on standard input ended before a verdict.
var errUnanswered = errors.New("no more answers")

// newAnswers reads the flag. questions are all that may be asked.
func (a *app) newAnswers(flag string, in io.Reader, questions []inspect.Question) (*answers, error) {
	s := &answers{app: a, flag: flag, named: map[string]bool{}, in: bufio.NewScanner(in)}
	words := strings.FieldsFunc(flag, func(r rune) bool { return strings.ContainsRune(" ,;\t\n", r) })
	if flag != "" && len(words) == 0 {
		return nil, procedures.Invalid("answers", flag, "no answer in it", answersFlag)
	}
	for _, w := range words {
		key, word, named := strings.Cut(w, "=")
		if !named {
			s.bare = append(s.bare, w)
			continue
		}
		if !slices.ContainsFunc(questions, func(q inspect.Question) bool { return q.Key == key }) {
			return nil, procedures.Invalid("answers", w, "no question of that name", "accepted: "+strings.Join(questionKeys(questions), ", "))
		}
		yes, err := yesOrNo(word)
		if err != nil {
			return nil, err
		}
		s.named[key] = yes
	}
	return s, nil
}

func questionKeys(questions []inspect.Question) []string {
	list := make([]string, len(questions))
	for i, q := range questions {
		list[i] = q.Key
	}
	return list
}

func yesOrNo(word string) (bool, error) {
	switch strings.ToLower(strings.TrimSpace(word)) {
	case "yes", "y", "yep", "yeah", "true":
		return true, nil
	case "no", "n", "nope", "false":
		return false, nil
	}
	return false, procedures.Invalid("answers", word, "not yes and not no", "yes or no; where you cannot tell after a second look, take the worse of the two")
}

// ask answers one question.
func (s *answers) ask(q inspect.Question) (bool, error) {
	if yes, ok := s.named[q.Key]; ok {
		return yes, nil
	}
	if s.flag != "" {
		if len(s.bare) == 0 {
			return false, procedures.Invalid("answers", s.flag, "that decides nothing yet", fmt.Sprintf("the next question is %s: %s", q.Key, q.Text), answersFlag)
		}
		word := s.bare[0]
		s.bare = s.bare[1:]
		return yesOrNo(word)
	}
	for {
		if !s.app.json {
			s.app.line("", q.Text+" (yes or no)")
		}
		if !s.in.Scan() {
			if err := s.in.Err(); err != nil {
				return false, err
			}
			return false, errUnanswered
		}
		s.asked++
		yes, err := yesOrNo(s.in.Text())
		if err == nil {
			return yes, nil
		}
		if s.app.json {
			return false, err
		}
		s.app.line("", "yes or no, please; where you cannot tell after a second look, take the worse of the two")
	}
}

// see answers one question of a look, where one that is decided is asked no further.
func (s *answers) see(q inspect.Question, decided bool) (bool, error) {
	_, named := s.named[q.Key]
	if !named && (s.flag != "" && len(s.bare) == 0 || s.flag == "" && (decided || s.ended)) {
		return false, inspect.ErrNotSaid
	}
	yes, err := s.ask(q)
	if errors.Is(err, errUnanswered) {
		s.ended, err = true, inspect.ErrNotSaid
	}
	return yes, err
}

// saidSoFar is answers as the flag takes them.
func saidSoFar(all []inspect.Answer) string {
	words := make([]string, len(all))
	for i, a := range all {
		words[i] = a.Key + "=no"
		if a.Yes {
			words[i] = a.Key + "=yes"
		}
	}
	return strings.Join(words, " ")
}
