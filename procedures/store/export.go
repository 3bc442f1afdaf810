package store

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"io"
	"strconv"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// Export writes the whole notebook as JSON Lines: a header, then one record a
// line, in one order, with every digit. An import of it into an empty notebook,
// exported again, is the same file to the byte. progress, where it is not nil, is
// told how many records of how many are written. An arc that still burns is left
// out. It returns how many records there are.
func (n *Notebook) Export(ctx context.Context, w io.Writer, progress func(done, of int)) (records int, err error) {
	out := bufio.NewWriterSize(w, 1<<16)
	err = n.read(ctx, func(tx *tx) error {
		all := newLuggage().all()
		for _, k := range all {
			c, err := k.count(tx)
			if err != nil {
				return err
			}
			records += c
		}
		l, done := &sheet.Line{}, 0
		begin(l, "header")
		l.Int("records", int64(records))
		if _, err := out.Write(append(l.End(), '\n')); err != nil {
			return err
		}
		for _, k := range all {
			if err := k.write(tx, l, func(l *sheet.Line) error {
				if done++; progress != nil {
					progress(done, records)
				}
				_, err := out.Write(append(l.End(), '\n'))
				return err
			}); err != nil {
				return err
			}
		}
		return out.Flush()
	})
	return records, err
}

func begin(l *sheet.Line, kind string) {
	l.Begin()
	l.Text("kind", kind)
	l.Int("schema", Schema)
}

func (k *kind[T]) which() string {
	if k.where == "" {
		return "1 = 1"
	}
	return k.where
}

func (k *kind[T]) count(tx *tx) (n int, err error) {
	err = tx.get([]any{&n}, "SELECT count(*) FROM "+k.table+" WHERE "+k.which())
	return n, err
}

// write puts the records into lines, in the order of their ids, a few thousand at
// a time.
func (k *kind[T]) write(tx *tx, l *sheet.Line, put func(*sheet.Line) error) error {
	k.ready()
	for last := ""; ; {
		list, err := k.rows(tx, k.which()+" AND id > ? ORDER BY id LIMIT 2000", last)
		if err != nil || len(list) == 0 {
			return err
		}
		for _, rec := range list {
			k.draft = *rec
			if k.fill != nil {
				if err := k.fill(tx, &k.draft); err != nil {
					return err
				}
			}
			begin(l, k.name)
			for _, c := range k.cols {
				if err := writeCell(l, c); err != nil {
					return err
				}
			}
			if err := put(l); err != nil {
				return err
			}
		}
		last = k.id()
	}
}

// id is that of the draft.
func (k *kind[T]) id() string { return show(k.cols[k.keys["id"]].cell) }

// rows reads the records that a WHERE and an ORDER BY ask for, with their lists.
func (k *kind[T]) rows(tx *tx, where string, args ...any) (all []*T, err error) {
	k.ready()
	cols := k.own
	dest, byID := cells(cols), map[string]*T{}
	err = tx.each(func(r scanner) error {
		var zero T
		k.draft = zero
		if err := r.Scan(dest...); err != nil {
			return err
		}
		rec := k.draft
		all, byID[k.id()] = append(all, &rec), &rec
		return nil
	}, "SELECT "+names(cols)+" FROM "+k.table+" WHERE "+where, args...)
	if err == nil && k.load != nil && len(all) > 0 {
		err = k.load(tx, byID)
	}
	return all, err
}

// writeCell adds a key and its value; nothing where it is not known.
func writeCell(l *sheet.Line, c column) error {
	if j, ok := c.cell.(written); ok {
		b, known, err := j.appendTo(nil)
		if known && err == nil {
			l.Put(append(l.Key(c.field), b...))
		}
		return err
	}
	v, err := c.Value()
	if err != nil {
		return err
	}
	switch v := v.(type) {
	case float64:
		l.Put(sheet.AppendFloat(l.Key(c.field), v))
	case int64:
		l.Int(c.field, v)
	case string:
		l.Text(c.field, v)
	}
	return nil
}

// written is a cell that JSON shows otherwise than the database.
type written interface {
	appendTo(b []byte) (_ []byte, known bool, err error)
}

func (c moment) appendTo(b []byte) ([]byte, bool, error) {
	if c.p.IsZero() {
		return b, false, nil
	}
	return c.p.UTC().AppendFormat(append(b, '"'), time.RFC3339Nano+`"`), true, nil
}

func (c flag) appendTo(b []byte) ([]byte, bool, error) { return strconv.AppendBool(b, *c.p), true, nil }

func (c answer) appendTo(b []byte) ([]byte, bool, error) {
	if *c.p == nil {
		return b, false, nil
	}
	return strconv.AppendBool(b, **c.p), true, nil
}

func (c retired) appendTo(b []byte) ([]byte, bool, error) {
	return strconv.AppendBool(b, *c.p == procedures.Retired), true, nil
}

func (c raw) appendTo(b []byte) ([]byte, bool, error) { return compact(b, string(*c.p)) }

func (c object[V]) appendTo(b []byte) ([]byte, bool, error) { return stringed(b, c) }

func (c items[T]) appendTo(b []byte) ([]byte, bool, error) { return stringed(b, c) }

func stringed(b []byte, c cell) ([]byte, bool, error) {
	v, err := c.Value()
	s, _ := v.(string)
	if err != nil || s == "" {
		return b, false, err
	}
	return compact(b, s)
}

// compact takes the space out of JSON, so that it stands on one line.
func compact(b []byte, s string) ([]byte, bool, error) {
	if s == "" {
		return b, false, nil
	}
	var buf bytes.Buffer
	err := json.Compact(&buf, []byte(s))
	return append(b, buf.Bytes()...), true, err
}

func (c words[T]) appendTo(b []byte) ([]byte, bool, error) { return keys[T](c).appendTo(b) }

func (c thirds) appendTo(b []byte) ([]byte, bool, error) {
	if v, _ := c.Value(); v == nil {
		return b, false, nil
	}
	b = append(b, '[')
	for i, r := range **c.p {
		if i > 0 {
			b = append(b, ',')
		}
		b = strconv.AppendInt(b, int64(r), 10)
	}
	return append(b, ']'), true, nil
}
