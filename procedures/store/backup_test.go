package store_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestBackupWhileWriting: backups made while welds are logged are each whole, and
// hold the notebook of one moment.
func TestBackupWhileWriting(t *testing.T) {
	path := written(t)
	n := open(t, path, store.Options{})
	ctx := context.Background()
	stop, stopped := make(chan bool), make(chan error, 1)
	go func() {
		w := open(t, path, store.Options{})
		for {
			select {
			case <-stop:
				stopped <- nil
				return
			default:
			}
			if _, err := w.AddWeld(ctx, bead()); err != nil {
				stopped <- err
				return
			}
		}
	}()
	last := 0
	for i := range 8 {
		to := filepath.Join(t.TempDir(), fmt.Sprint(i)+".db")
		b := must(n.Backup(ctx, to, false))(t)
		faults, records, err := store.CheckFile(ctx, to, nil)
		if err != nil || len(faults) > 0 {
			t.Errorf("backup %d: %v %v", i, faults, err)
		}
		if b.Records["welds"] < last || b.Records["welds"] < 5 || records < b.Records["welds"] {
			t.Errorf("backup %d has %v, %d records in all; the one before had %d welds", i, b.Records, records, last)
		}
		last = b.Records["welds"]
	}
	close(stop)
	if err := <-stopped; err != nil {
		t.Error(err)
	}
}

// TestBackupAndBack: a backup copied to where a notebook was is that notebook.
func TestBackupAndBack(t *testing.T) {
	path := shop(t)
	n := open(t, path, store.Options{})
	was := exported(t, n)
	ctx := context.Background()
	to := filepath.Join(t.TempDir(), "b.db")
	b := must(n.Backup(ctx, to, false))(t)
	if info := must(os.Stat(to))(t); info.Size() != b.Bytes || info.Mode().Perm() != 0o600 {
		t.Errorf("%d bytes, %v", info.Size(), info.Mode())
	}
	back := filepath.Join(t.TempDir(), "n.db")
	if err := os.WriteFile(back, must(os.ReadFile(to))(t), 0o600); err != nil {
		t.Fatal(err)
	}
	again := open(t, back, store.Options{})
	if exported(t, again) != was {
		t.Error("it is another notebook")
	}
	if w := must(again.AddWeld(ctx, bead()))(t); w.Mark != "A21" {
		t.Errorf("the next mark is %s", w.Mark)
	}
}

// TestBackupLeavesAlone: a file that is there, a folder and the notebook itself are
// not written over, and nothing is left beside them.
func TestBackupLeavesAlone(t *testing.T) {
	path := written(t)
	n := open(t, path, store.Options{})
	ctx := context.Background()
	dir := t.TempDir()
	there := filepath.Join(dir, "there.db")
	if err := os.WriteFile(there, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	var bad *procedures.InvalidError
	for _, to := range []string{there, dir, path} {
		if _, err := n.Backup(ctx, to, to != there); !errors.As(err, &bad) {
			t.Errorf("%s: %v", to, err)
		}
	}
	if string(must(os.ReadFile(there))(t)) != "mine" {
		t.Error("it was written over")
	}
	var file *store.FileError
	if _, err := n.Backup(ctx, filepath.Join(dir, "no", "such", "folder.db"), false); !errors.As(err, &file) {
		t.Errorf("%v", err)
	}
	must(n.Backup(ctx, there, true))(t)
	if left := must(os.ReadDir(dir))(t); len(left) != 1 {
		t.Errorf("%v is left in the folder", left)
	}
	if faults, _, err := store.CheckFile(ctx, there, nil); err != nil || len(faults) > 0 {
		t.Error(faults, err)
	}
}

// TestAudit: what other hands put into a notebook past its program is found, named
// by its mark, with what to do.
func TestAudit(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	for name, c := range map[string]struct{ do, record, problem string }{
		"a rating out of reach":         {"UPDATE welds SET rating = 9 WHERE mark = 'A3'", "weld A3", "rating"},
		"a control character":           {"UPDATE welds SET note = 'a' || char(27) || '[2J' WHERE mark = 'A4'", "weld A4", "control character"},
		"a mark that is none":           {"UPDATE welds SET mark = 'A0123' WHERE mark = 'A5'", "weld A0123", "mark"},
		"an amendment of nothing":       {"INSERT INTO amendments (weld, at, field, new) SELECT n, at, 'outcome.weather', 'wet' FROM welds WHERE mark = 'A6'", "weld A6", "amendment"},
		"an id of another kind":         {"UPDATE welds SET id = '00000000-0000-4000-8000-000000000000' WHERE mark = 'A7'", "weld A7", "id"},
		"a spool that is not there":     {"UPDATE welds SET spool = '01900000-0000-7000-8000-000000000000' WHERE mark = 'A8'", "file", "missing spools"},
		"a state of another machine":    {"UPDATE welds SET machine = (SELECT name FROM machines WHERE name <> 'little red') WHERE mark = 'A9'", "weld A9", "another machine"},
		"states with a gap":             {"UPDATE states SET number = 7 WHERE number = 2", "machine little red", "numbered from 1"},
		"a machine in use that is gone": {"UPDATE settings SET value = 'gone' WHERE key = 'machine'", "setting machine", "not there"},
		"wire at an impossible speed":   {"UPDATE runouts SET length_mm = 90000 WHERE number = 1", "run-out 1", "m/min"},
		"an arc of an hour":             {"INSERT INTO arcs (id, machine, state, start, stop) SELECT '01900000-0000-7000-8000-00000000000a', 'little red', id, '2026-03-01T10:00:00.000000000Z', '2026-03-01T11:00:00.000000000Z' FROM states WHERE number = 1 LIMIT 1", "arc 01900000-0000-7000-8000-00000000000a", "arc"},
	} {
		t.Run(name, func(t *testing.T) {
			path := shop(t)
			n := open(t, path, store.Options{})
			ctx := context.Background()
			must(n.AddMachine(ctx, procedures.Machine{Name: "blue"}))(t)
			must(n.ChangeMachine(ctx, "little red", "new liner", procedures.Feed, "", false))(t)
			if faults, _, err := n.Audit(ctx, nil); err != nil || len(faults) > 0 {
				t.Fatalf("before: %v %v", faults, err)
			}
			db := raw(t, path)
			db.SetMaxOpenConns(1)
			for _, s := range []string{"PRAGMA foreign_keys = OFF", "PRAGMA ignore_check_constraints = ON", c.do} {
				must(db.Exec(s))(t)
			}
			if err := db.Close(); err != nil {
				t.Fatal(err)
			}
			faults, _, err := store.CheckFile(ctx, path, nil)
			if err != nil || len(faults) == 0 {
				t.Fatalf("nothing was found: %v", err)
			}
			found := false
			for _, f := range faults {
				found = found || f.Record == c.record && strings.Contains(f.Problem, c.problem) && f.Do != ""
			}
			if !found {
				t.Errorf("want %q of %s in %+v", c.problem, c.record, faults)
			}
		})
	}
}

// TestCheckOld: a notebook of an old form is looked at as it is, and stays so.
func TestCheckOld(t *testing.T) {
	for _, name := range must(filepath.Glob(filepath.Join(notebooks, "*.db")))(t) {
		path := filepath.Join(t.TempDir(), "n.db")
		was := must(os.ReadFile(name))(t)
		if err := os.WriteFile(path, was, 0o600); err != nil {
			t.Fatal(err)
		}
		faults, records, err := store.CheckFile(context.Background(), path, nil)
		if err != nil || len(faults) > 0 || records < 10 {
			t.Errorf("%s: %d records, %v, %v", name, records, faults, err)
		}
		if string(must(os.ReadFile(path))(t)) != string(was) {
			t.Errorf("%s was changed", name)
		}
	}
}
