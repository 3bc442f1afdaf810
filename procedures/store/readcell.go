package store

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// read is a cell that reads JSON itself.
type read interface {
	readFrom(v *sheet.Value, line int) error
}

// readCell fills a cell from a value of a file.
func readCell(c cell, v *sheet.Value, line int) error {
	if v.Sort == sheet.Null {
		return c.Scan(nil)
	}
	if r, ok := c.(read); ok {
		return r.readFrom(v, line)
	}
	switch v.Sort {
	case sheet.String:
		if err := c.Scan(v.Text); err == nil {
			return nil
		}
		return misplaced(v, line, "a number, without quotes")
	case sheet.Number:
		if _, ok := c.(interface{ counted() }); ok {
			n, err := strconv.ParseInt(v.Text, 10, 64)
			if err != nil || n > 1e12 || n < -1e12 {
				return misplaced(v, line, "a whole number")
			}
			return c.Scan(n)
		}
		x, err := strconv.ParseFloat(v.Text, 64)
		if err != nil {
			return misplaced(v, line, "a number that a machine can hold")
		}
		if err := c.Scan(x); err == nil {
			return nil
		}
		return misplaced(v, line, "a text in quotes")
	}
	return misplaced(v, line, "a number, or a text in quotes")
}

func (c whole[T]) counted() {}

// misplaced says what should stand in the place of a value.
func misplaced(v *sheet.Value, line int, want string) error {
	return sheet.At(line, v.Column, "", procedures.Invalid("", shown(v), "here should stand "+want))
}

// shown is a value for a message.
func shown(v *sheet.Value) string {
	switch v.Sort {
	case sheet.List:
		return "[...]"
	case sheet.Object:
		return "{...}"
	}
	return v.Text
}

func (c moment) readFrom(v *sheet.Value, line int) error {
	t, err := time.Parse(time.RFC3339Nano, v.Text)
	if err != nil || v.Sort != sheet.String {
		return misplaced(v, line, "a time such as 2026-05-01T14:30:00Z")
	}
	if err := giveTime("at", &t, t); err != nil || t.IsZero() {
		return misplaced(v, line, "a time of this age")
	}
	*c.p = t
	return nil
}

func (c flag) readFrom(v *sheet.Value, line int) error {
	if v.Sort != sheet.Bool {
		return misplaced(v, line, "true or false")
	}
	*c.p = v.Text == "true"
	return nil
}

func (c answer) readFrom(v *sheet.Value, line int) error {
	*c.p = new(bool)
	return flag{*c.p}.readFrom(v, line)
}

func (c retired) readFrom(v *sheet.Value, line int) error {
	var gone bool
	err := flag{&gone}.readFrom(v, line)
	*c.p = procedures.Current
	if gone {
		*c.p = procedures.Retired
	}
	return err
}

func (c words[T]) readFrom(v *sheet.Value, line int) error { return keys[T](c).readFrom(v, line) }

func (c object[V]) readFrom(v *sheet.Value, line int) error {
	if v.Sort != sheet.Object {
		return misplaced(v, line, "an object in braces")
	}
	*c.p = nil
	for i := range v.Fields {
		f := &v.Fields[i]
		if f.Value.Sort != sheet.String {
			return misplaced(&f.Value, line, "a text in quotes")
		}
		if *c.p == nil {
			*c.p = map[string]V{}
		}
		(*c.p)[f.Key] = V(f.Value.Text)
	}
	return nil
}

func (c items[T]) readFrom(v *sheet.Value, line int) error {
	if v.Sort != sheet.List {
		return misplaced(v, line, "a list in brackets")
	}
	d := json.NewDecoder(bytes.NewReader(v.JSON()))
	d.DisallowUnknownFields()
	*c.p = nil
	if err := d.Decode(c.p); err != nil {
		return misplaced(v, line, "a list as export writes it ("+strings.TrimPrefix(err.Error(), "json: ")+")")
	}
	return nil
}

func (c raw) readFrom(v *sheet.Value, line int) error {
	*c.p = v.JSON()
	return nil
}

func (c thirds) readFrom(v *sheet.Value, line int) error {
	if v.Sort != sheet.List || len(v.Items) != 3 {
		return misplaced(v, line, "three ratings: start, middle, end")
	}
	t := procedures.Thirds{}
	for i := range v.Items {
		n, err := strconv.Atoi(v.Items[i].Text)
		if v.Items[i].Sort != sheet.Number || err != nil {
			return misplaced(&v.Items[i], line, "a rating from 1 to 5")
		}
		t[i] = procedures.Count(n)
	}
	*c.p = &t
	return nil
}
