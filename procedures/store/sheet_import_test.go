package store_test

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
	"beadwright/procedures/store"
)

func readSheet(t testing.TB, text string) *store.File {
	t.Helper()
	s, err := sheet.Read([]byte(text), sheet.Options{Units: procedures.US, Lexicon: procedures.Lexicon{Steels: []procedures.SteelWords{{Key: "mild", Group: "I", Words: []string{"mild"}}}}})
	if err != nil {
		t.Fatal(err)
	}
	return store.FromSheet(s)
}

// TestSheetTwice: a spreadsheet put in twice adds its welds once, and a mark that
// is taken here is given anew.
func TestSheetTwice(t *testing.T) {
	path := shop(t)
	n := open(t, path, store.Options{})
	ctx := context.Background()
	f := func() *store.File {
		return readSheet(t, "date,mark,machine,thickness,joint,rating\n2025-05-01,A1,Little  Red,1/8,tee,4\n2025-05-02,,,1/8,lap,5\n,,little red,1/4,butt,2\n")
	}
	r := must(n.Import(ctx, f(), take, nil))(t)
	if len(r.Renamed) != 1 || r.Renamed[0].From != "A1" || r.Renamed[0].Here || r.Kinds[0].Added != 3 {
		t.Errorf("%+v", r)
	}
	before := rowsHash(t, path)
	if r := must(n.Import(ctx, f(), take, nil))(t); r.Changes() || r.Kinds[0].Same != 3 {
		t.Errorf("a second time: %+v", r)
	}
	if rowsHash(t, path) != before {
		t.Error("a second time it changed something")
	}
	if faults, _, err := n.Audit(ctx, nil); err != nil || len(faults) > 0 {
		t.Error(faults, err)
	}
	w, _, err := n.Weld(ctx, r.Renamed[0].To)
	if err != nil || w.Job.Machine != "little red" || w.Job.State == "" || w.Outcome.Rating != 4 {
		t.Errorf("%+v %v", w, err)
	}
}

// TestSheetOfNotebook: the welds of a notebook, written as a sheet and read back
// in, are here already and say the same; a cell changed by hand is listed, and the
// notebook's own stands.
func TestSheetOfNotebook(t *testing.T) {
	path := shop(t)
	n := open(t, path, store.Options{})
	ctx := context.Background()
	welds := must(n.Find(ctx, procedures.Filter{Struck: true}))(t)
	for _, units := range []procedures.Units{procedures.US, procedures.Metric} {
		var b bytes.Buffer
		if err := sheet.Write(&b, welds, nil, units); err != nil {
			t.Fatal(err)
		}
		before := rowsHash(t, path)
		if r := must(n.Import(ctx, readSheet(t, b.String()), take, nil))(t); r.Changes() || len(r.Conflicts) > 0 {
			t.Errorf("%s: %+v", units, r)
		}
		edited := strings.Replace(b.String(), ",tee,", ",lap,", 1)
		r := must(n.Import(ctx, readSheet(t, edited), take, nil))(t)
		if r.Changes() || len(r.Conflicts) != 1 || r.Conflicts[0].Stands != "tee" || r.Conflicts[0].Kept != "lap" {
			t.Errorf("%s: %+v", units, r)
		}
		if rowsHash(t, path) != before {
			t.Errorf("%s: something changed", units)
		}
	}
}

// TestSheetRefused: what a row says of a machine that is not there is told with its
// cell, and no row is taken.
func TestSheetRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "n.db")
	n := open(t, path, store.Options{})
	before := rowsHash(t, path)
	for text, column := range map[string]int{
		"joint,machine\ntee,\nlap,nobody's\n": 2,
		"joint,spool\ntee,\nlap,no spool\n":   2,
		"mark,joint\nA1,tee\nA01,lap\n":       1,
		"mark,joint\nA1,tee\nA1,lap\n":        1,
	} {
		_, err := n.Import(context.Background(), readSheet(t, text), take, nil)
		var at *sheet.Error
		if !errors.As(err, &at) || at.Line != 3 || at.Column != column {
			t.Errorf("%q: %v", text, err)
		}
	}
	if rowsHash(t, path) != before {
		t.Error("a refused sheet changed something")
	}
}
