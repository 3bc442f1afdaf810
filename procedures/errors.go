package procedures

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// ErrNotFound is returned when no record has the mark, id or name asked for.
var ErrNotFound = errors.New("not found")

// InvalidError says that something the welder typed cannot be used. It always
// teaches: what was read, what is wrong with it, and what would be accepted.
type InvalidError struct {
	Field   string   // the flag or field, such as "thickness"
	Read    string   // what was typed, as typed; may be empty
	Problem string   // what is wrong, in plain words
	Hints   []string // what would be accepted, or what to do
}

func (e *InvalidError) Error() string {
	if e.Read == "" {
		return fmt.Sprintf("%s: %s", e.Field, e.Problem)
	}
	return fmt.Sprintf("%s: %s (read %s)", e.Field, e.Problem, quoted(shorten(e.Read)))
}

// quoted puts what was typed in quotes; in single ones where it has double ones itself,
// for nobody typed the backslashes that would tell these apart.
func quoted(s string) string {
	q := strconv.Quote(s)
	if plain := `"` + strings.ReplaceAll(s, `"`, `\"`) + `"`; q == plain && strings.Contains(s, `"`) && !strings.Contains(s, "'") {
		return "'" + s + "'"
	}
	return q
}

// Invalid builds an [InvalidError].
func Invalid(field, read, problem string, hints ...string) *InvalidError {
	return &InvalidError{Field: field, Read: read, Problem: problem, Hints: hints}
}

// plainText refuses control characters other than line breaks and tabs: they
// would drive a terminal that shows the record.
func plainText(field string, texts ...string) error {
	for _, s := range texts {
		if strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' }) >= 0 {
			return Invalid(field, fmt.Sprintf("%q", s), "has a control character in it", "plain letters, numbers and signs")
		}
	}
	return nil
}

// firstOf returns the first error that is one.
func firstOf(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// shorten keeps an error on one line however long or odd the input was.
func shorten(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 60 {
		return string(r[:57]) + "..."
	}
	return s
}
