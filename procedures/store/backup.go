package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"beadwright/procedures"
)

// Backup is a copy of a notebook that was looked at after it was written.
type Backup struct {
	Path    string         `json:"path"`
	Bytes   int64          `json:"bytes"`
	Records map[string]int `json:"records"` // by table
}

// Backup copies the notebook into a file while others go on writing: the copy is
// the notebook of one moment. What stands at path is replaced only with force. The
// copy is written beside it, read through, counted and put on the disk before it
// gets its name, so that a file of that name is always whole. To go back to it,
// copy it to where the notebook was. Errors: InvalidError where there is a file
// already; [*FileError].
func (n *Notebook) Backup(ctx context.Context, path string, force bool) (b Backup, err error) {
	if b.Path, err = filepath.Abs(path); err != nil {
		return b, explain(path, err)
	}
	if info, err := os.Stat(b.Path); err == nil {
		mine, _ := os.Stat(n.path)
		switch {
		case os.SameFile(info, mine):
			return b, procedures.Invalid("file", path, "that is the notebook itself", "name another file")
		case info.IsDir():
			return b, procedures.Invalid("file", path, "that is a folder", "name a file in it: "+filepath.Join(path, "notebook-backup.db"))
		case !force:
			return b, procedures.Invalid("file", path, "there is a file of that name already, and it was left alone", "name another file", "to replace it: --force")
		}
	}
	part, err := os.CreateTemp(filepath.Dir(b.Path), filepath.Base(b.Path)+".*.part")
	if err != nil {
		return b, explain(b.Path, err)
	}
	defer os.Remove(part.Name()) // gone already where all went well
	if err := errors.Join(part.Chmod(0o600), part.Close()); err != nil {
		return b, explain(b.Path, err)
	}
	before, err := n.counts(ctx, n.db)
	if err != nil {
		return b, err
	}
	if _, err := n.db.ExecContext(ctx, "VACUUM INTO ?", part.Name()); err != nil {
		return b, explain(b.Path, err)
	}
	after, err := n.counts(ctx, n.db)
	if err != nil {
		return b, err
	}
	if b.Records, err = verify(ctx, part.Name()); err != nil {
		return b, err
	}
	for table, count := range b.Records {
		if count < before[table] || count > after[table] {
			return b, &FileError{Path: b.Path, Kind: Damaged, Problem: fmt.Sprintf("the copy has %d %s and the notebook had %d; it was thrown away", count, table, before[table]),
				Hints: []string{"run it again; is the disk sound?"}}
		}
	}
	if err := settle(part.Name(), b.Path, force); err != nil {
		return b, explain(b.Path, err)
	}
	info, err := os.Stat(b.Path)
	if err != nil {
		return b, explain(b.Path, err)
	}
	b.Bytes = info.Size()
	return b, nil
}

// settle puts a file on the disk under its name.
func settle(from, to string, force bool) error {
	f, err := os.OpenFile(from, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	if _, err := os.Stat(to); err == nil && !force {
		return procedures.Invalid("file", to, "a file of that name came up in the meantime, and was left alone", "name another file", "to replace it: --force")
	}
	if err := os.Rename(from, to); err != nil {
		return err
	}
	dir, err := os.Open(filepath.Dir(to))
	if err != nil {
		return err
	}
	defer dir.Close()
	_ = dir.Sync() // not every system can
	return nil
}

// growing are the tables whose rows are never taken away.
var growing = []string{"machines", "states", "spools", "suggestions", "welds", "amendments", "runouts", "measurements", "cutouts", "arcs", "machine_amendments", "spool_amendments", "reratings", "followups", "procedures"}

func (n *Notebook) counts(ctx context.Context, db *sql.DB) (map[string]int, error) {
	all, err := countRows(ctx, db)
	return all, explain(n.path, err)
}

func countRows(ctx context.Context, db *sql.DB) (map[string]int, error) {
	all := map[string]int{}
	err := run(ctx, db, &sql.TxOptions{ReadOnly: true}, time.Now, func(tx *tx) error {
		for _, table := range growing {
			var count int
			if err := tx.get([]any{&count}, "SELECT count(*) FROM "+table); err != nil {
				return err
			}
			all[table] = count
		}
		return nil
	})
	return all, err
}

// verify reads a file that was just written to its end.
func verify(ctx context.Context, path string) (map[string]int, error) {
	file := source{path: path, wait: time.Second}
	if err := judge(ctx, file); err != nil {
		return nil, err
	}
	db, err := file.open("ro", "immutable=1")
	if err != nil {
		return nil, err
	}
	copied := &Notebook{db: db, path: path, now: time.Now, readOnly: true}
	defer copied.Close()
	wrong, err := copied.Check(ctx)
	if err != nil {
		return nil, err
	}
	if len(wrong) > 0 {
		return nil, &FileError{Path: path, Kind: Damaged, Problem: "the copy is not whole and was thrown away: " + wrong[0], Hints: []string{"is the disk sound? Look at the notebook: beadwright check"}}
	}
	return copied.counts(ctx, db)
}
