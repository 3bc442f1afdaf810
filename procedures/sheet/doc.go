// Package sheet reads and writes the two kinds of file that a notebook travels
// in: JSON Lines, one record a line, and a plain spreadsheet as CSV.
//
// It knows lines, columns and cells, and what a welder's column headings mean; it
// knows no database. Whatever is wrong with a file is an [*Error] that names the
// line and the column.
package sheet

import (
	"errors"
	"fmt"

	"beadwright/procedures"
)

// Error says what is wrong with a file, and where.
type Error struct {
	Line   int // from 1
	Column int // JSON Lines: byte of the line, from 1; CSV: cell of the row, from 1
	Err    *procedures.InvalidError
}

func (e *Error) Error() string { return e.Err.Error() }

func (e *Error) Unwrap() error { return e.Err }

// At puts a place to an error. name is the key or the heading; it may be empty.
// What is no [procedures.InvalidError] is taken in its own words.
func At(line, column int, name string, err error) *Error {
	var placed *Error
	if errors.As(err, &placed) {
		return placed
	}
	where := fmt.Sprintf("line %d, column %d", line, column)
	if name != "" {
		where += ", " + name
	}
	var bad *procedures.InvalidError
	if !errors.As(err, &bad) {
		return &Error{line, column, procedures.Invalid(where, "", err.Error())}
	}
	placing := *bad
	placing.Field = where
	if name == "" && bad.Field != "" {
		placing.Field += ", " + bad.Field
	}
	return &Error{line, column, &placing}
}
