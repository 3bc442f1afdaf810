package store

import (
	"fmt"
	"runtime"
	"slices"
	"strconv"
	"strings"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// File is a file of records that was read and can be put into a notebook.
type File struct {
	Total int // records

	goods *luggage
	text  string         // of JSON Lines, to find a key in it again
	cells map[string]int // of a sheet: the cell of each field; nil for JSON Lines
}

// FromSheet makes a file of the welds of a spreadsheet. They have no history: one
// that is in the notebook already stands as it is, and what the sheet says
// otherwise is listed. Machines and spools must be in the notebook.
func FromSheet(s sheet.Sheet) *File {
	f := &File{Total: len(s.Rows), goods: newLuggage(), cells: map[string]int{}}
	for _, h := range s.Headings {
		f.cells[h.Field] = h.Place
	}
	for _, r := range s.Rows {
		f.goods.welds.got = append(f.goods.welds.got, &sent[weldRecord]{weldRecord{Weld: r.Weld}, r.Line})
	}
	return f
}

// ReadJSONLines reads a file that [Notebook.Export] wrote, of any schema up to
// [Schema]. Every record is read to its end and validated; whether it fits a
// notebook is seen by [Notebook.Import]. Errors: [*sheet.Error]; that of the first
// line that has one.
func ReadJSONLines(text string) (*File, error) {
	const bytesEach = 1 << 18 // of a part that is worth a goroutine of its own: a design choice
	parts := sheet.Parts(text, min(runtime.GOMAXPROCS(0), len(text)/bytesEach+1))
	read := make([]partRead, len(parts))
	sideBySide(len(parts), func(i int) { read[i] = readPart(parts[i], i == 0) })
	f := &File{text: text, goods: newLuggage()}
	said, last := -1, 1
	for i, r := range read {
		if r.err != nil {
			return nil, r.err
		}
		if i == 0 {
			said = r.said
		}
		last, f.Total = r.last, f.Total+r.records
		for j, k := range f.goods.all() {
			k.take(r.goods.all()[j])
		}
		read[i] = partRead{} // not kept longer than it must be
	}
	switch {
	case said < 0:
		return nil, sheet.At(1, 1, "", procedures.Invalid("", "", "there is nothing in the file", "beadwright export FILE.jsonl writes one"))
	case said != f.Total:
		return nil, sheet.At(last, 1, "", procedures.Invalid("", "", fmt.Sprintf("the header says %d records, and there are %d", said, f.Total),
			"was the file cut short? Export it again", "where lines were added or taken out by hand, correct the count in the first line"))
	}
	return f, nil
}

// partRead is what was read of a part of a file.
type partRead struct {
	goods   *luggage
	records int
	said    int // records in all, by the header; -1 where there was none
	last    int // line
	err     error
}

// readPart reads a part of a file. The first begins with the header.
func readPart(p sheet.Part, first bool) partRead {
	r := partRead{goods: newLuggage(), said: -1}
	of := map[string]traveler{}
	for _, k := range r.goods.all() {
		of[k.label()] = k
	}
	var parser sheet.Parser
	r.err = sheet.LinesFrom(p.First, p.Text, func(line int, text string) error {
		r.last = line
		v, err := parser.Line(text, line)
		if err != nil {
			return err
		}
		name, err := headed(&v, line)
		if err != nil {
			return err
		}
		if name == "header" {
			if !first || r.said >= 0 || r.records > 0 {
				return sheet.At(line, 1, "", procedures.Invalid("", "", "a header in the middle of the file", "import one file at a time"))
			}
			r.said, err = readHeaderLine(&v, line)
			return err
		}
		if first && r.said < 0 {
			return sheet.At(line, 1, "", procedures.Invalid("", "", "the header is missing", `the first line of an export is {"kind":"header","schema":1,"records":...}`))
		}
		k, ok := of[name]
		if !ok {
			return sheet.At(line, v.Get("kind").Column, "kind", procedures.Invalid("", name, "not a kind of record", "accepted: "+labels(r.goods)))
		}
		r.records++
		return k.read(&v, line)
	})
	return r
}

func labels(l *luggage) string {
	var all []string
	for _, k := range l.all() {
		all = append(all, k.label())
	}
	return strings.Join(all, ", ")
}

// headed returns the kind of a record, whose schema must be one that is known.
func headed(v *sheet.Value, line int) (string, error) {
	kind, schema := v.Get("kind"), v.Get("schema")
	if kind == nil || schema == nil {
		return "", sheet.At(line, 1, "", procedures.Invalid("", "", "a record without its kind or its schema", `such as {"kind":"weld","schema":1, ...}`))
	}
	if kind.Sort != sheet.String {
		return "", misplaced(kind, line, "a word in quotes")
	}
	n, err := strconv.Atoi(schema.Text)
	if schema.Sort != sheet.Number || err != nil || n < 1 {
		return "", misplaced(schema, line, "a whole number from 1")
	}
	if n > Schema {
		return "", sheet.At(line, schema.Column, "schema", procedures.Invalid("", schema.Text, fmt.Sprintf("written by a later version of this program; this one reads up to %d", Schema), "use the later version"))
	}
	return kind.Text, nil
}

func readHeaderLine(v *sheet.Value, line int) (records int, err error) {
	for i := range v.Fields {
		switch f := &v.Fields[i]; f.Key {
		case "kind", "schema":
		case "records":
			if records, err = strconv.Atoi(f.Value.Text); f.Value.Sort != sheet.Number || err != nil || records < 0 {
				return 0, misplaced(&f.Value, line, "a count of records")
			}
		default:
			return 0, stray(f, line, "header")
		}
	}
	if v.Get("records") == nil {
		return 0, sheet.At(line, 1, "", procedures.Invalid("", "", "the header does not say how many records there are", `such as "records":120`))
	}
	return records, nil
}

// read takes one record in.
func (k *kind[T]) read(v *sheet.Value, line int) error {
	k.ready()
	var zero T
	k.draft = zero
	if err := readFields(k.cols, k.place, v, k.name, line); err != nil {
		return err
	}
	for _, c := range k.cols {
		if (c.field == "id" || c.field == "at") && show(c.cell) == "" {
			return sheet.At(line, 1, "", procedures.Invalid("", "", "a "+k.name+" without "+map[string]string{"id": "its id", "at": "its time"}[c.field], "the id and the time of a record stay with it"))
		}
	}
	if err := validID(k.id()); err != nil {
		return sheet.At(line, v.Get("id").Column, "id", err)
	}
	if i, ok := k.keys["struck_at"]; ok && (show(k.cols[i].cell) == "") != (show(k.cols[k.keys["struck"]].cell) == "") {
		return sheet.At(line, 1, "", procedures.Invalid("", "", "withdrawn without a reason, or without a time", "struck and struck_at go together"))
	}
	if err := k.check(&k.draft); err != nil {
		column, name := about(v, err)
		return sheet.At(line, column, name, err)
	}
	k.got = append(k.got, &sent[T]{k.draft, line})
	return nil
}

// take puts the records that another read behind those that this one read.
func (k *kind[T]) take(other traveler) {
	if got := other.(*kind[T]).got; len(k.got) == 0 {
		k.got = got
	} else {
		k.got = append(k.got, got...)
	}
}

// about finds the key that an error of Validate speaks of.
func about(v *sheet.Value, err error) (column int, name string) {
	bad, ok := err.(*procedures.InvalidError)
	if !ok {
		return 1, ""
	}
	want := strings.NewReplacer(" ", "_", "-", "_").Replace(bad.Field)
	var look func(v *sheet.Value, path string)
	look = func(v *sheet.Value, path string) {
		for i := range v.Fields {
			f := &v.Fields[i]
			if column == 0 && strings.HasPrefix(f.Key, want) {
				column, name = f.Value.Column, path+f.Key
			}
			look(&f.Value, path+f.Key+".")
		}
		for i := range v.Items {
			look(&v.Items[i], path)
		}
	}
	look(v, "")
	return max(column, 1), name
}

// readFields fills in the columns of a record, or with no kind of a part of one,
// from an object. where tells each key's place; nil: it is looked for.
func readFields(cols []column, where map[key]int, v *sheet.Value, kind string, line int) error {
	return readObject(cols, where, v, kind, "", line)
}

func readObject(cols []column, where map[key]int, v *sheet.Value, kind, object string, line int) error {
	for i := range v.Fields {
		f := &v.Fields[i]
		if object == "" && kind != "" && (f.Key == "kind" || f.Key == "schema") {
			continue
		}
		at, ok := where[key{object, f.Key}]
		if where == nil {
			at = slices.IndexFunc(cols, func(c column) bool { return keyOf(c.field) == key{object, f.Key} })
			ok = at >= 0
		}
		switch {
		case ok:
			if err := readCell(cols[at].cell, &f.Value, line); err != nil {
				return sheet.At(line, f.Value.Column, cols[at].field, err)
			}
		case f.Value.Sort == sheet.Object && object == "" && opens(cols, f.Key+"."):
			if err := readObject(cols, where, &f.Value, kind, f.Key, line); err != nil {
				return err
			}
		default:
			return stray(f, line, kind)
		}
	}
	return nil
}

// opens reports whether keys of that object are known.
func opens(cols []column, path string) bool {
	for _, c := range cols {
		if strings.HasPrefix(c.field, path) {
			return true
		}
	}
	return false
}

func stray(f *sheet.Field, line int, kind string) error {
	return sheet.At(line, f.Column, "", procedures.Invalid("", f.Key, "no "+kind+" has such a key", "beadwright export --schema prints those that there are"))
}

// place finds a key of a record in the file again; 1 where it is not there.
func (f *File) place(line int, key string) (column int) {
	column = 1
	if f.cells != nil {
		return max(1, f.cells[strings.TrimPrefix(key, "job.")])
	}
	_ = sheet.Lines(f.text, func(number int, text string) error {
		if number != line {
			return nil
		}
		v, err := sheet.ParseLine(text, line)
		if err != nil {
			return err
		}
		at := &v
		for _, step := range strings.Split(key, ".") {
			if at = at.Get(step); at == nil {
				return nil
			}
		}
		column = at.Column
		return nil
	})
	return column
}
