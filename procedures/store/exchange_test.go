package store_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"beadwright/procedures/sheet"
	"beadwright/procedures/store"
)

// exported is a notebook as a file of JSON Lines.
func exported(t testing.TB, n *store.Notebook) string {
	t.Helper()
	var b bytes.Buffer
	if _, err := n.Export(context.Background(), &b, nil); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func take(store.Report) (bool, error) { return true, nil }

// imported puts a file into a notebook.
func imported(t testing.TB, n *store.Notebook, file string) store.Report {
	t.Helper()
	f, err := store.ReadJSONLines(file)
	if err != nil {
		t.Fatal(err)
	}
	r, err := n.Import(context.Background(), f, take, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// TestExchangeInParts: a file so long that it is read in parts is the same again, and
// an error names its line wherever it stands.
func TestExchangeInParts(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	shopYears(t, path, 1500)
	file := exported(t, open(t, path, store.Options{}))
	if len(file) < 1<<20 {
		t.Fatalf("only %d bytes", len(file))
	}
	n := fresh(t)
	imported(t, n, file)
	if again := exported(t, n); again != file {
		t.Error("exported again, it is another file")
	}
	if w := must(n.AddWeld(t.Context(), bead()))(t); w.Mark != markOf(1501) {
		t.Errorf("the next mark is %s", w.Mark)
	}
	lines := strings.SplitAfter(file, "\n")
	for _, bad := range []int{1, 7, len(lines) / 2, len(lines) - 2} {
		for _, also := range []int{bad, len(lines) - 2} { // the first of two is named
			spoiled := slices.Clone(lines)
			spoiled[bad], spoiled[also] = "\n{}\n", "{}\n"
			want := bad + 1
			if also != bad {
				want++ // an empty line before it
			}
			_, err := store.ReadJSONLines(strings.Join(spoiled, ""))
			var at *sheet.Error
			if !errors.As(err, &at) || at.Line != want {
				t.Errorf("line %d was bad: %v", want, err)
			}
		}
	}
	middle := slices.Insert(slices.Clone(lines), len(lines)-3, lines[0])
	var at *sheet.Error
	if _, err := store.ReadJSONLines(strings.Join(middle, "")); !errors.As(err, &at) || at.Line != len(lines)-2 {
		t.Errorf("a header near the end: %v", err)
	}
}

// TestExchangeRoundTrip: a notebook of every form that was ever kept, exported, put into
// an empty notebook and exported again, is the same to the byte; and says the
// same when it is read.
func TestExchangeRoundTrip(t *testing.T) {
	kept := must(filepath.Glob(filepath.Join(notebooks, "*.db")))(t)
	if len(kept) < 3 {
		t.Fatalf("only %d notebooks", len(kept))
	}
	for _, name := range kept {
		t.Run(filepath.Base(name), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "n.db")
			if err := os.WriteFile(path, must(os.ReadFile(name))(t), 0o600); err != nil {
				t.Fatal(err)
			}
			old := open(t, path, store.Options{})
			file := exported(t, old)
			n := fresh(t)
			r := imported(t, n, file)
			if len(r.Conflicts)+len(r.Renamed) > 0 || !r.Changes() {
				t.Errorf("%+v", r)
			}
			if diff := same(file, exported(t, n)); diff != "" {
				t.Errorf("not the same file (-first +second):\n%s", diff)
			}
			again := imported(t, n, file)
			if again.Changes() {
				t.Errorf("the same file a second time changed something: %+v", again)
			}
			if diff := same(strings.Split(file, "\n"), strings.Split(exported(t, n), "\n")); diff != "" {
				t.Errorf("not the same file after a second import (-first +second):\n%s", diff)
			}
			if got := exported(t, old); got != file {
				t.Error("two exports of one notebook differ")
			}
			was, is := readAll(t, old), readAll(t, n)
			delete(was.Arcs, "")
			for name, arcs := range was.Arcs {
				if last := len(arcs) - 1; arcs[last].Burning() {
					was.Arcs[name] = arcs[:last]
					if last == 0 {
						delete(was.Arcs, name)
					}
				}
			}
			if len(was.Arcs) == 0 {
				was.Arcs = nil
			}
			if diff := same(was, is); diff != "" {
				t.Errorf("it reads otherwise (-old +new):\n%s", diff)
			}
		})
	}
}

// refused reads and imports a file that must be refused, at a line and a column.
func refused(t testing.TB, n *store.Notebook, file string) *sheet.Error {
	t.Helper()
	f, err := store.ReadJSONLines(file)
	if err == nil {
		_, err = n.Import(context.Background(), f, take, nil)
	}
	var at *sheet.Error
	if !errors.As(err, &at) {
		t.Fatalf("want an error with its place, got %v", err)
	}
	if at.Line < 1 || at.Column < 1 || !strings.HasPrefix(at.Error(), fmt.Sprintf("line %d, column %d", at.Line, at.Column)) {
		t.Errorf("line %d, column %d: %v", at.Line, at.Column, at)
	}
	return at
}
