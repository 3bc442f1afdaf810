// Package store keeps the notebook: one SQLite file that holds the machines and
// what was measured on them, the spools, the suggestions and the welds. It is the
// only package that knows the database.
//
// [Open] returns a [Notebook]. What it acknowledges is on disk: each public
// write is one transaction with full synchronisation. Records are corrected by
// amendments that keep the old value and withdrawn by striking; nothing is
// rewritten silently or removed.
//
// Errors: a file, disk or lock that fails is a [*FileError]; something that the
// welder asked for and cannot be is a [*procedures.InvalidError]; a mark, id or
// name that is not there wraps [procedures.ErrNotFound].
package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	_ "modernc.org/sqlite"
)

// Options change how a notebook is opened. The zero value is the usual way.
type Options struct {
	Now      func() time.Time // the clock; nil: time.Now
	ReadOnly bool             // never write, nor create; every write is refused
	Wait     time.Duration    // for a lock that another program holds; zero: 10 s
	Log      int              // pages that may stand in the log until a writer puts them into the file; zero: 1,000, as SQLite has it
}

// Notebook is an open notebook. It may be used by several goroutines at once,
// and the file by several programs.
type Notebook struct {
	db       *sql.DB
	path     string
	now      func() time.Time
	readOnly bool
	pen      chan struct{} // held by the one who writes
}

// Open opens the notebook at path, and creates it, with the folder it is in,
// where there is none. An empty file counts as none. A file that is not a
// notebook, is of a later version or is damaged is refused with a [*FileError]
// and left exactly as it was.
func Open(ctx context.Context, path string, opts Options) (*Notebook, error) {
	if opts.Now == nil {
		opts.Now = time.Now
	}
	if opts.Wait <= 0 {
		opts.Wait = 10 * time.Second
	}
	if path == "" || strings.ContainsRune(path, 0) {
		return nil, &FileError{Path: path, Kind: Missing, Problem: "that is not the name of a file", Hints: []string{"name a file with --notebook"}}
	}
	abs, err := filepath.Abs(path)
	if err != nil {
		return nil, explain(path, err)
	}
	n := &Notebook{path: abs, now: opts.Now, readOnly: opts.ReadOnly, pen: make(chan struct{}, 1)}
	if err := n.open(ctx, opts); err != nil {
		n.Close()
		return nil, explain(abs, err)
	}
	return n, nil
}

func (n *Notebook) open(ctx context.Context, opts Options) error {
	file := source{path: n.path, wait: opts.Wait, log: opts.Log}
	fresh, err := inspect(ctx, file)
	if err == nil && !fresh {
		err = soundLog(n.path)
	}
	if err != nil {
		return err
	}
	if opts.ReadOnly {
		if fresh {
			return &FileError{Path: n.path, Kind: Missing, Problem: "there is no notebook yet", Hints: []string{"log a weld to begin one"}}
		}
		return n.openReadOnly(ctx, file)
	}
	if fresh {
		if err := os.MkdirAll(filepath.Dir(n.path), 0o700); err != nil {
			return err
		}
	}
	// SQLite would open what it can only read, and leave files beside it that
	// the owner could not use.
	if err := writable(filepath.Dir(n.path)); err != nil {
		return protected(n.path, "nothing can be written in its folder", err)
	}
	if err := writable(n.path); err != nil && !errors.Is(err, os.ErrNotExist) {
		return protected(n.path, "this user may not write to it", err)
	}
	if fresh {
		if err := create(ctx, file); err != nil {
			return err
		}
	}
	if n.db, err = file.open("rw"); err != nil {
		return err
	}
	var journal string
	if err := n.db.QueryRowContext(ctx, "PRAGMA journal_mode").Scan(&journal); err != nil {
		return err
	}
	if journal != "wal" { // one just begun, or a copy
		if _, err := n.whole(ctx); err != nil { // nothing is written to one that is not
			return err
		}
		if err := logAhead(ctx, n.db, opts.Wait); err != nil {
			return err
		}
	}
	return migrate(ctx, n.db, n.path)
}

// openReadOnly opens the file for reading. Where it can be written, it is shared
// with writers as usual. Where it cannot, nothing may be left beside it: it is
// read as a file that does not change, unless somebody else is writing to it.
func (n *Notebook) openReadOnly(ctx context.Context, file source) (err error) {
	mode, param := "rw", "_pragma=query_only(ON)"
	if writable(n.path) != nil || writable(filepath.Dir(n.path)) != nil {
		mode, param = "ro", "immutable=1"
		if full(n.path + "-wal") {
			param = "immutable=0"
		}
	}
	if n.db, err = file.open(mode, param); err != nil {
		return err
	}
	h, err := n.whole(ctx)
	if err != nil {
		return err
	}
	if h.version < len(migrations()) {
		return &FileError{Path: n.path, Kind: ReadOnly, Problem: "an older notebook must be brought up to date, which needs writing",
			Hints: []string{"open it once where it can be written"}}
	}
	return nil
}

// Close closes the notebook. It may be called more than once.
func (n *Notebook) Close() error {
	if n.db == nil {
		return nil
	}
	return explain(n.path, n.db.Close())
}

// Tidy writes what stands in the log back into the file, as far as nobody is in the way,
// with no lock that anybody waits for; the disk is busy all the same, so it is for a quiet
// moment. Without it SQLite does so as soon as [Options].Log pages are there, and whoever
// wrote the last of them waits: a tenth of a second in a large notebook. Errors: as for
// reading.
func (n *Notebook) Tidy(ctx context.Context) error {
	if n.readOnly {
		return nil
	}
	_, err := n.db.ExecContext(ctx, "PRAGMA wal_checkpoint(PASSIVE)")
	return explain(n.path, err)
}

// Path is the absolute path of the notebook's file.
func (n *Notebook) Path() string { return n.path }

// Check reads the whole notebook and reports what is wrong with it, in SQLite's
// words; nothing where all is well. It takes time in proportion to the file.
func (n *Notebook) Check(ctx context.Context) ([]string, error) {
	var wrong []string
	err := n.read(ctx, func(tx *tx) error {
		return tx.each(func(row scanner) error {
			var s string
			if err := row.Scan(&s); err != nil {
				return err
			}
			if s != "ok" {
				wrong = append(wrong, s)
			}
			return nil
		}, `SELECT * FROM pragma_integrity_check
			UNION ALL SELECT 'a ' || "table" || ' refers to a missing ' || parent FROM pragma_foreign_key_check`)
	})
	return wrong, err
}

// source names the file to the driver.
type source struct {
	path string
	wait time.Duration
	log  int // pages; zero: as SQLite has it
}

// open makes a pool of connections. The driver runs the pragmas on each of
// them, in this order: the wait for locks must come first.
func (s source) open(mode string, params ...string) (*sql.DB, error) {
	params = append([]string{
		fmt.Sprintf("_pragma=busy_timeout(%d)", s.wait.Milliseconds()),
		"_pragma=foreign_keys(ON)",
		"_pragma=temp_store(MEMORY)", // what a statement may have to take back is in no file
		"_txlock=immediate",
		"mode=" + mode,
	}, params...)
	if mode != "ro" { // it reads the tables, and who only reads synchronises nothing
		params = append(params, "_pragma=synchronous(FULL)")
	}
	if s.log > 0 {
		params = append(params, fmt.Sprintf("_pragma=wal_autocheckpoint(%d)", s.log))
	}
	path := filepath.ToSlash(s.path)
	if !strings.HasPrefix(path, "/") {
		path = "/" + path // a drive letter
	}
	dsn := url.URL{Scheme: "file", Path: path, RawQuery: strings.Join(params, "&")}
	db, err := sql.Open("sqlite", dsn.String())
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(4)
	db.SetMaxIdleConns(4)
	return db, nil
}

func present(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func full(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Size() > 0
}
