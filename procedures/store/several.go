package store

import (
	"database/sql/driver"
	"errors"

	"beadwright/procedures/sheet"
)

// several is a list of records within a record, kept in a table of its own. As a
// value it is its JSON, so that two forms of it can be compared and one be taken.
type several[T any] struct {
	p    *[]T
	bind func(*T) []column
}

func (c several[T]) Value() (driver.Value, error) { return stringOf(c) }

func (c several[T]) appendTo(b []byte) ([]byte, bool, error) {
	b = append(b, '[')
	var l sheet.Line
	for i := range *c.p {
		if i > 0 {
			b = append(b, ',')
		}
		l.Begin()
		for _, col := range c.bind(&(*c.p)[i]) {
			if err := writeCell(&l, col); err != nil {
				return b, false, err
			}
		}
		b = append(b, l.End()...)
	}
	return append(b, ']'), len(*c.p) > 0, nil
}

func (c several[T]) Scan(v any) error { return scanJSON(c, v, func() { *c.p = nil }) }

func (c several[T]) readFrom(v *sheet.Value, line int) error {
	if v.Sort != sheet.List {
		return misplaced(v, line, "a list in brackets")
	}
	*c.p = nil
	for i := range v.Items {
		var rec T
		if v.Items[i].Sort != sheet.Object {
			return misplaced(&v.Items[i], line, "an object in braces")
		}
		if err := readFields(c.bind(&rec), nil, &v.Items[i], "", line); err != nil {
			return err
		}
		*c.p = append(*c.p, rec)
	}
	return nil
}

// keys is a list of words within a record.
type keys[T ~string] struct{ p *[]T }

func (c keys[T]) Value() (driver.Value, error) { return stringOf(c) }

func (c keys[T]) appendTo(b []byte) ([]byte, bool, error) {
	b = append(b, '[')
	for i, k := range *c.p {
		if i > 0 {
			b = append(b, ',')
		}
		b = sheet.AppendText(b, string(k))
	}
	return append(b, ']'), len(*c.p) > 0, nil
}

func (c keys[T]) Scan(v any) error { return scanJSON(c, v, func() { *c.p = nil }) }

func (c keys[T]) readFrom(v *sheet.Value, line int) error {
	if v.Sort != sheet.List {
		return misplaced(v, line, "a list in brackets")
	}
	*c.p = nil
	for i := range v.Items {
		if v.Items[i].Sort != sheet.String || v.Items[i].Text == "" {
			return misplaced(&v.Items[i], line, "a word in quotes")
		}
		*c.p = append(*c.p, T(v.Items[i].Text))
	}
	return nil
}

// stringOf is the JSON of a list as a value; nil where it is empty.
func stringOf(c written) (driver.Value, error) {
	b, known, err := c.appendTo(nil)
	if !known || err != nil {
		return nil, err
	}
	return string(b), nil
}

func scanJSON(c read, v any, clear func()) error {
	clear()
	s, ok := v.(string)
	if v == nil || ok && s == "" {
		return nil
	}
	if !ok {
		return errors.New("a list is kept as text")
	}
	list, err := sheet.ParseList(s)
	if err != nil {
		return err
	}
	return c.readFrom(&list, 0)
}
