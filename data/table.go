package data

import (
	"embed"
	"encoding/csv"
	"fmt"
	"io"
	"io/fs"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
)

//go:embed *.csv
var files embed.FS

// table returns a function that decodes one embedded file when it is first
// called and hands out the same rows ever after. A malformed file is a mistake
// in this package, which its tests catch; hence the panic.
func table[T any](name string) func() []T {
	return sync.OnceValue(func() []T {
		rows, err := load[T](files, name)
		if err != nil {
			panic("data: " + err.Error())
		}
		return rows
	})
}

func load[T any](fsys fs.FS, name string) ([]T, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return decode[T](f, name)
}

// decode reads rows of T from a CSV file with a header. The header must hold
// exactly the columns that the fields of T name in their csv tags, in any order.
// An empty cell is refused unless the tag says optional; it then leaves the
// field at its zero value. Errors name file, line and column.
func decode[T any](r io.Reader, name string) ([]T, error) {
	in := csv.NewReader(r)
	header, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("%s: header: %w", name, err)
	}
	columns, err := match(header, reflect.TypeFor[T]())
	if err != nil {
		return nil, fmt.Errorf("%s:1: %w", name, err)
	}
	var rows []T
	for {
		cells, err := in.Read()
		if err == io.EOF {
			return rows, nil
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		var row T
		v := reflect.ValueOf(&row).Elem()
		for i, c := range columns {
			if err := c.set(v.FieldByIndex(c.index), cells[i]); err != nil {
				line, _ := in.FieldPos(i)
				return nil, fmt.Errorf("%s:%d: %s: %w", name, line, header[i], err)
			}
		}
		rows = append(rows, row)
	}
}

// column ties a column of a file to a field of the row type.
type column struct {
	name     string
	index    []int
	optional bool
}

func match(header []string, row reflect.Type) ([]column, error) {
	fields := map[string]column{}
	for _, f := range reflect.VisibleFields(row) {
		if tag, ok := f.Tag.Lookup("csv"); ok {
			name, option, _ := strings.Cut(tag, ",")
			fields[name] = column{name, f.Index, option == "optional"}
		}
	}
	columns := make([]column, len(header))
	for i, name := range header {
		c, ok := fields[name]
		if !ok {
			return nil, fmt.Errorf("column %q is unknown or stands twice", name)
		}
		delete(fields, name)
		columns[i] = c
	}
	for name := range fields {
		return nil, fmt.Errorf("column %q is missing", name)
	}
	return columns, nil
}

// set reads a cell into its field. An error says what is wrong with the cell.
func (c column) set(field reflect.Value, cell string) error {
	if cell == "" {
		if c.optional {
			return nil
		}
		return fmt.Errorf("empty cell")
	}
	if strings.TrimSpace(cell) != cell {
		return fmt.Errorf("spaces around %q", cell)
	}
	switch p := field.Addr().Interface().(type) {
	case *string:
		*p = cell
	case *Basis:
		*p = Basis(cell)
	case *[]string:
		*p = strings.Split(cell, ";")
		if slices.Contains(*p, "") {
			return fmt.Errorf("empty entry in the list %q", cell)
		}
	case *int:
		n, err := strconv.Atoi(cell)
		if err != nil {
			return fmt.Errorf("%q is not a whole number", cell)
		}
		*p = n
	case *bool:
		if cell != "yes" && cell != "no" {
			return fmt.Errorf("%q is neither yes nor no", cell)
		}
		*p = cell == "yes"
	case *float64:
		return parse(p, cell)
	case **float64:
		*p = new(float64)
		return parse(*p, cell)
	default:
		return fmt.Errorf("no way to read a %s", field.Type())
	}
	return nil
}

func parse(p *float64, cell string) error {
	v, err := strconv.ParseFloat(cell, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return fmt.Errorf("%q is not a number", cell)
	}
	*p = v
	return nil
}
