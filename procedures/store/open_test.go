package store_test

import (
	"net"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

func TestOpenCreates(t *testing.T) {
	for _, name := range []string{
		"notebook.db", "no/such/folder/yet/notebook.db", "with space.db", "a?b.db", "a#b.db", "100%25.db", "%.db", "é ü 溶接.db", "a&mode=ro.db", "'quoted\".db", "file:x.db",
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, name)
			n := open(t, path, store.Options{})
			must(n.AddWeld(t.Context(), bead()))(t)
			if err := n.Close(); err != nil {
				t.Fatal(err)
			}
			got := contents(t, filepath.Dir(path))
			if _, ok := got[filepath.Base(path)]; !ok || len(got) != 1 {
				t.Fatalf("the folder holds %v, want only %q", got, filepath.Base(path))
			}
			again := open(t, path, store.Options{})
			if list := must(again.History(t.Context()))(t); len(list) != 1 {
				t.Errorf("%d welds after opening again, want 1", len(list))
			}
			if again.Path() != path {
				t.Errorf("path %q, want %q", again.Path(), path)
			}
		})
	}
	t.Run("empty file", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "notebook.db")
		if err := os.WriteFile(path, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		n := open(t, path, store.Options{})
		must(n.AddWeld(t.Context(), bead()))(t)
	})
	t.Run("folder is private", func(t *testing.T) {
		dir := filepath.Join(t.TempDir(), "new")
		open(t, filepath.Join(dir, "notebook.db"), store.Options{})
		if info := must(os.Stat(dir))(t); info.Mode().Perm() != 0o700 {
			t.Errorf("the new folder has mode %v, want 0700", info.Mode().Perm())
		}
	})
	t.Run("through a link", func(t *testing.T) {
		path := written(t)
		link := filepath.Join(t.TempDir(), "link.db")
		if err := os.Symlink(path, link); err != nil {
			t.Skip(err)
		}
		n := open(t, link, store.Options{})
		if list := must(n.History(t.Context()))(t); len(list) != 5 {
			t.Errorf("%d welds through the link, want 5", len(list))
		}
	})
}

// TestOpenRefuses hashes the folder before and after: a refused file is left as
// it was, and nothing is left beside it.
func TestOpenRefuses(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	overwrite := func(at int64, with ...byte) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			f := must(os.OpenFile(path, os.O_RDWR, 0))(t)
			defer f.Close()
			if _, err := f.WriteAt(with, at); err != nil {
				t.Fatal(err)
			}
		}
	}
	replace := func(with string) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			if err := os.WriteFile(path, []byte(with), 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
	anew := func(statements ...string) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			if err := os.Remove(path); err != nil {
				t.Fatal(err)
			}
			run(t, path, statements...)
		}
	}
	cut := func(part float64) func(*testing.T, string) {
		return func(t *testing.T, path string) {
			size := must(os.Stat(path))(t).Size()
			if err := os.Truncate(path, int64(float64(size)*part)); err != nil {
				t.Fatal(err)
			}
		}
	}
	garbage := make([]byte, 3900)
	for i := range garbage {
		garbage[i] = byte(i*7 + 3)
	}
	for _, c := range []struct {
		name string
		harm func(*testing.T, string)
		kind store.Kind
	}{
		{"one byte", replace("x"), store.Foreign},
		{"text", replace("1/8 mild tee: tap max, knob 4\n"), store.Foreign},
		{"long text", replace(string(garbage)), store.Foreign},
		{"only SQLite's first words", replace("SQLite format 3\x00"), store.Foreign},
		{"SQLite, another program", anew("PRAGMA application_id = 1234", "CREATE TABLE t (a)"), store.Foreign},
		{"SQLite, another program, empty", anew("PRAGMA application_id = 1234"), store.Foreign},
		{"SQLite, nobody's tables", anew("CREATE TABLE welds (a)"), store.Foreign},
		{"SQLite, nobody's tables, logged", anew("PRAGMA journal_mode = WAL", "CREATE TABLE welds (a)"), store.Foreign},
		{"SQLite, no tables", anew("PRAGMA user_version = 1"), store.Foreign},
		{"later version", func(t *testing.T, path string) { run(t, path, "PRAGMA user_version = 99") }, store.Newer},
		{"version below nought", func(t *testing.T, path string) { run(t, path, "PRAGMA user_version = -1") }, store.Damaged},
		{"version nought, with tables", func(t *testing.T, path string) { run(t, path, "PRAGMA user_version = 0") }, store.Damaged},
		{"marked ours, no tables", anew("PRAGMA application_id = 0x42774e62", "PRAGMA user_version = 1"), store.Damaged},
		{"cut in half", cut(0.5), store.Damaged},
		{"cut to a page", func(t *testing.T, path string) {
			if err := os.Truncate(path, 4096); err != nil {
				t.Fatal(err)
			}
		}, store.Damaged},
		{"cut by a byte", func(t *testing.T, path string) {
			if err := os.Truncate(path, must(os.Stat(path))(t).Size()-1); err != nil {
				t.Fatal(err)
			}
		}, store.Damaged},
		{"a page too long", func(t *testing.T, path string) {
			if err := os.Truncate(path, must(os.Stat(path))(t).Size()+4096); err != nil {
				t.Fatal(err)
			}
		}, store.Damaged},
		{"first word changed", overwrite(3, 'X'), store.Foreign},
		{"page size makes no sense", overwrite(16, 3, 7), store.Foreign},
		{"vacuum mark set", overwrite(52, 0, 0, 0, 5), store.Damaged},
		{"tables overwritten", overwrite(100, garbage...), store.Damaged},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := written(t)
			c.harm(t, path)
			before := contents(t, filepath.Dir(path))
			for _, opts := range []store.Options{{}, {ReadOnly: true}} {
				n, err := store.Open(t.Context(), path, opts)
				if err == nil {
					n.Close()
				}
				wantKind(t, err, path, c.kind)
				if diff := same(before, contents(t, filepath.Dir(path))); diff != "" {
					t.Fatalf("the folder has changed (-before +after):\n%s", diff)
				}
			}
		})
	}
}

func TestOpenNotAFile(t *testing.T) {
	dir := t.TempDir()
	_, err := store.Open(t.Context(), dir, store.Options{})
	wantKind(t, err, dir, store.Foreign)

	path := filepath.Join(dir, "file")
	if err := os.WriteFile(path, []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	inFile := filepath.Join(path, "notebook.db")
	_, err = store.Open(t.Context(), inFile, store.Options{})
	wantKind(t, err, inFile, store.Foreign)

	socket := filepath.Join(dir, "s")
	if l, err := net.Listen("unix", socket); err == nil {
		defer l.Close()
		_, err = store.Open(t.Context(), socket, store.Options{})
		wantKind(t, err, socket, store.Foreign)
	}
	for _, bad := range []string{"", "a\x00b"} {
		_, err = store.Open(t.Context(), bad, store.Options{})
		wantKind(t, err, bad, store.Missing)
	}
}

func TestOpenReadOnly(t *testing.T) {
	path := written(t)
	n := open(t, path, store.Options{ReadOnly: true})
	if list := must(n.History(t.Context()))(t); len(list) != 5 {
		t.Errorf("%d welds, want 5", len(list))
	}
	_, err := n.AddWeld(t.Context(), bead())
	wantKind(t, err, path, store.ReadOnly)
	wantKind(t, n.SetUnits(t.Context(), procedures.Metric), path, store.ReadOnly)

	t.Run("beside a writer", func(t *testing.T) {
		w := open(t, path, store.Options{})
		must(w.AddWeld(t.Context(), bead()))(t)
		if list := must(n.History(t.Context()))(t); len(list) != 6 {
			t.Errorf("%d welds, want 6", len(list))
		}
	})
	t.Run("none there", func(t *testing.T) {
		path := filepath.Join(t.TempDir(), "new", "notebook.db")
		_, err := store.Open(t.Context(), path, store.Options{ReadOnly: true})
		wantKind(t, err, path, store.Missing)
		if _, err := os.Stat(filepath.Dir(path)); err == nil {
			t.Error("the folder was created")
		}
	})
}

func TestOpenLocked(t *testing.T) {
	path := written(t)
	n := open(t, path, store.Options{Wait: 50 * time.Millisecond})
	hold := raw(t, path)
	if _, err := hold.Exec("BEGIN IMMEDIATE"); err != nil {
		t.Fatal(err)
	}
	_, err := n.AddWeld(t.Context(), bead())
	wantKind(t, err, path, store.Locked)
	_, err = store.Open(t.Context(), path, store.Options{Wait: 50 * time.Millisecond})
	wantKind(t, err, path, store.Locked)
	if list := must(n.History(t.Context()))(t); len(list) != 5 {
		t.Errorf("%d welds read beside the writer, want 5", len(list))
	}
	if _, err := hold.Exec("ROLLBACK"); err != nil {
		t.Fatal(err)
	}
	must(n.AddWeld(t.Context(), bead()))(t)
}

// TestOpenTogether: eight openers of one new notebook, each with a weld.
func TestOpenTogether(t *testing.T) {
	for _, begun := range []string{"no file", "empty file"} {
		t.Run(begun, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "notebook.db")
			if begun == "empty file" {
				if err := os.WriteFile(path, nil, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			const openers = 8
			errs := make(chan error, openers)
			var ready sync.WaitGroup
			ready.Add(openers)
			for range openers {
				go func() {
					ready.Done()
					ready.Wait()
					n, err := store.Open(t.Context(), path, store.Options{})
					if err == nil {
						if _, err = n.AddWeld(t.Context(), bead()); err == nil {
							err = n.Close()
						}
					}
					errs <- err
				}()
			}
			for range openers {
				if err := <-errs; err != nil {
					t.Error(err)
				}
			}
			n := open(t, path, store.Options{})
			if marks := marksOf(t, n); len(marks) != openers {
				t.Errorf("marks %v, want %d", marks, openers)
			}
		})
	}
}

// TestCreationCutOff opens what a program leaves that is killed while it writes
// the first tables: a file half made, and the journal that undoes it.
func TestCreationCutOff(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	db := raw(t, path)
	for _, s := range []string{"PRAGMA synchronous = OFF", "PRAGMA cache_size = 1", "BEGIN IMMEDIATE", "PRAGMA application_id = 0x42774e62", "CREATE TABLE t (a)",
		"INSERT INTO t SELECT randomblob(5000) FROM (VALUES (1), (2), (3), (4), (5), (6), (7), (8))"} {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(err)
		}
	}
	copied := filepath.Join(t.TempDir(), "notebook.db")
	for _, end := range []string{"", "-journal"} {
		b := must(os.ReadFile(path + end))(t)
		if len(b) == 0 {
			t.Fatalf("notebook.db%s is empty: nothing was cut off", end)
		}
		if err := os.WriteFile(copied+end, b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	n := open(t, copied, store.Options{})
	must(n.AddWeld(t.Context(), bead()))(t)
	if marks := marksOf(t, n); len(marks) != 1 {
		t.Errorf("marks %v", marks)
	}
}

func TestFormIsPinned(t *testing.T) {
	path := written(t)
	db := raw(t, path)
	for pragma, want := range map[string]string{"application_id": "1115115106", "user_version": "9", "journal_mode": "wal", "encoding": "UTF-8"} {
		var got string
		if err := db.QueryRow("PRAGMA " + pragma).Scan(&got); err != nil || got != want {
			t.Errorf("%s is %s (%v), want %s", pragma, got, err, want)
		}
	}
	rows := must(db.Query("SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite%'"))(t)
	defer rows.Close()
	tables := 0
	for rows.Next() {
		var name string
		var strict bool
		if err := rows.Scan(&name, &strict); err != nil || !strict {
			t.Errorf("table %s: strict %v %v", name, strict, err)
		}
		tables++
	}
	if tables != 24 {
		t.Errorf("%d tables, want 24", tables)
	}
}

// marksOf lists the marks in use, and fails the test if one is used twice or
// the notebook is not sound.
func marksOf(t testing.TB, n *store.Notebook) map[string]bool {
	t.Helper()
	marks := map[string]bool{}
	for _, w := range must(n.Find(t.Context(), procedures.Filter{Struck: true}))(t) {
		if marks[w.Mark] {
			t.Errorf("mark %s is used twice", w.Mark)
		}
		marks[w.Mark] = true
	}
	if wrong := must(n.Check(t.Context()))(t); len(wrong) > 0 {
		t.Errorf("check: %v", wrong)
	}
	return marks
}

func isKind(err error, kind store.Kind) bool {
	e, ok := err.(*store.FileError)
	return ok && e.Kind == kind
}
