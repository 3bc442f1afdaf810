package store

import (
	"database/sql"
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"maps"
	"strings"
	"time"
	"unicode/utf8"

	"beadwright/procedures"
)

// column ties a field of a record to its column. One list of columns serves to
// write a record, to read it, and to tell what a change has changed.
type column struct {
	name  string // in the database
	field string // in the record's JSON; names it in amendments and errors
	cell
}

// cell carries one value both ways. What is not known is NULL in the database
// and the zero value in the record.
type cell interface {
	driver.Valuer
	sql.Scanner
}

type number[T ~float64] struct{ p *T }

func (c number[T]) Value() (driver.Value, error) {
	if *c.p == 0 {
		return nil, nil
	}
	return float64(*c.p), nil
}

func (c number[T]) Scan(v any) error { return fill(c.p, v, func(f float64) T { return T(f) }) }

type whole[T ~int | ~int64] struct{ p *T }

func (c whole[T]) Value() (driver.Value, error) {
	if *c.p == 0 {
		return nil, nil
	}
	return int64(*c.p), nil
}

func (c whole[T]) Scan(v any) error { return fill(c.p, v, func(n int64) T { return T(n) }) }

type text[T ~string] struct{ p *T }

func (c text[T]) Value() (driver.Value, error) {
	if *c.p == "" {
		return nil, nil
	}
	return string(*c.p), nil
}

func (c text[T]) Scan(v any) error { return fill(c.p, v, func(s string) T { return T(s) }) }

// flag is never NULL.
type flag struct{ p *bool }

func (c flag) Value() (driver.Value, error) {
	if *c.p {
		return int64(1), nil
	}
	return int64(0), nil
}

func (c flag) Scan(v any) error { return fill(c.p, v, func(n int64) bool { return n != 0 }) }

// optional is a number for which nought is a value.
type optional struct{ p **float64 }

func (c optional) Value() (driver.Value, error) {
	if *c.p == nil {
		return nil, nil
	}
	return **c.p, nil
}

func (c optional) Scan(v any) error { return fill(c.p, v, func(f float64) *float64 { return &f }) }

// figure is a number for which nought is a value, and which is never NULL.
type figure struct{ p *float64 }

func (c figure) Value() (driver.Value, error) { return *c.p, nil }

func (c figure) Scan(v any) error { return fill(c.p, v, func(f float64) float64 { return f }) }

// answer is yes, no or not said.
type answer struct{ p **bool }

func (c answer) Value() (driver.Value, error) {
	if *c.p == nil {
		return nil, nil
	}
	return flag{*c.p}.Value()
}

func (c answer) Scan(v any) error { return fill(c.p, v, func(n int64) *bool { return ptr(n != 0) }) }

// moment is a time, kept in UTC.
type moment struct{ p *time.Time }

// stamp has one width, so that the order of the text is the order of time.
const stamp = "2006-01-02T15:04:05.000000000Z"

func formatTime(t time.Time) string { return t.UTC().Format(stamp) }

func (c moment) Value() (driver.Value, error) {
	if c.p.IsZero() {
		return nil, nil
	}
	return formatTime(*c.p), nil
}

func (c moment) Scan(v any) error {
	var s string
	if err := fill(&s, v, func(s string) string { return s }); err != nil || s == "" {
		*c.p = time.Time{}
		return err
	}
	t, err := time.Parse(time.RFC3339Nano, s) // reads the stamp several times as fast as the stamp itself does
	*c.p = t
	return err
}

// object is a map kept as JSON.
type object[V ~string] struct{ p *map[string]V }

func (c object[V]) Value() (driver.Value, error) {
	if len(*c.p) == 0 {
		return nil, nil
	}
	b, err := json.Marshal(*c.p)
	return string(b), err
}

func (c object[V]) Scan(v any) error {
	var s string
	*c.p = nil
	if err := fill(&s, v, func(s string) string { return s }); err != nil || s == "" {
		return err
	}
	return json.Unmarshal([]byte(s), c.p)
}

// repeated is an object that is one of a few in most rows: each is read once.
type repeated struct {
	p    *map[string]procedures.How
	seen map[string]map[string]procedures.How
}

func (c repeated) Value() (driver.Value, error) { return object[procedures.How]{c.p}.Value() }

func (c repeated) Scan(v any) error {
	text, _ := v.(string)
	known, ok := c.seen[text]
	if !ok {
		if err := (object[procedures.How]{&known}).Scan(v); err != nil {
			return err
		}
		c.seen[text] = known
	}
	*c.p = maps.Clone(known)
	return nil
}

// raw is JSON kept as it came.
type raw struct{ p *json.RawMessage }

func (c raw) Value() (driver.Value, error) {
	if len(*c.p) == 0 {
		return nil, nil
	}
	return string(*c.p), nil
}

func (c raw) Scan(v any) error {
	return fill(c.p, v, func(s string) json.RawMessage { return json.RawMessage(s) })
}

// words is a list of keys, kept with a space between.
type words[T ~string] struct{ p *[]T }

func (c words[T]) Value() (driver.Value, error) {
	if len(*c.p) == 0 {
		return nil, nil
	}
	return join(*c.p, " "), nil
}

func (c words[T]) Scan(v any) error {
	var s string
	*c.p = nil
	err := fill(&s, v, func(s string) string { return s })
	for _, w := range strings.Fields(s) {
		*c.p = append(*c.p, T(w))
	}
	return err
}

// fill sets *p from a value of the database, and to the zero value from NULL.
func fill[S, T any](p *T, v any, convert func(S) T) error {
	var zero T
	*p = zero
	if v == nil {
		return nil
	}
	s, ok := v.(S)
	if !ok {
		return fmt.Errorf("%T in the place of %T", v, s)
	}
	*p = convert(s)
	return nil
}

func join[T ~string](keys []T, with string) string {
	s := make([]string, len(keys))
	for i, k := range keys {
		s[i] = string(k)
	}
	return strings.Join(s, with)
}

// names lists the columns for a SELECT.
func names(cols []column) string {
	s := make([]string, len(cols))
	for i, c := range cols {
		s[i] = c.name
	}
	return strings.Join(s, ", ")
}

// cells lists the places that a row is scanned into.
func cells(cols []column) []any {
	dest := make([]any, len(cols))
	for i, c := range cols {
		dest[i] = c.cell
	}
	return dest
}

// insert adds a row and returns its number.
func (tx *tx) insert(table string, cols ...column) (int64, error) {
	marks := strings.Repeat(", ?", len(cols))[2:]
	res, err := tx.ExecContext(tx.ctx, fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s)", table, names(cols), marks), cells(cols)...)
	if err != nil {
		return 0, err
	}
	return res.LastInsertId()
}

// legible refuses text that could not be shown or exchanged again.
func legible(cols []column) error {
	for _, c := range cols {
		v, err := c.Value()
		if err != nil {
			return err
		}
		if s, ok := v.(string); ok {
			if err := legibleText(c.field, s); err != nil {
				return err
			}
		}
	}
	return nil
}

func legibleText(field, s string) error {
	if !utf8.ValidString(s) || strings.ContainsRune(s, 0) {
		return procedures.Invalid(field, strings.ToValidUTF8(s, "?"), "not text that can be read again", "letters of any language, as UTF-8")
	}
	return nil
}
