package store

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"

	sqlite3 "modernc.org/sqlite/lib"
)

// applicationID marks the file as a notebook in SQLite's own header: "BwNb".
const applicationID = 0x42774e62

// header is what the front of a SQLite file says of itself.
type header struct {
	application int64
	version     int
	tables      int
	bytes       int64 // pages times their size
	vacuums     int
}

const readHeader = `SELECT a.application_id, u.user_version, (SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite\_%' ESCAPE '\'),
	c.page_count * s.page_size, v.auto_vacuum
	FROM pragma_application_id a, pragma_user_version u, pragma_page_count c, pragma_page_size s, pragma_auto_vacuum v`

func (h *header) fields() []any {
	return []any{&h.application, &h.version, &h.tables, &h.bytes, &h.vacuums}
}

// inspect decides, before anything is touched, whether the file may be opened.
// fresh means that a notebook is still to be begun there. Whether its tables are whole
// is for who opens it to see: reading them twice would take longer than all else.
//
// The file is read through SQLite, with no lock and nothing written beside it.
// It must not be opened by other means: closing it would release the locks
// that this process may hold on it (fcntl(2), "record locks").
func inspect(ctx context.Context, file source) (fresh bool, err error) {
	info, err := os.Stat(file.path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return true, nil
	case err != nil:
		return false, err
	case info.IsDir():
		return false, &FileError{Path: file.path, Kind: Foreign, Problem: "this is a folder, not a file", Hints: []string{"name a file in it: " + file.path + "/notebook.db"}}
	case !info.Mode().IsRegular():
		return false, &FileError{Path: file.path, Kind: Foreign, Problem: "this is not an ordinary file", Hints: []string{elsewhere}}
	case info.Size() == 0:
		return true, nil
	}
	verdict := glance(ctx, file)
	code, _ := resultCode(verdict)
	if (verdict == nil || code == sqlite3.SQLITE_NOTADB || isKind(verdict, Damaged)) && undone(file.path+"-journal") {
		return true, nil
	}
	if !isKind(verdict, Damaged) {
		return false, verdict
	}
	// Another program may be in the middle of writing, so that a part of the
	// file is as it was and a part as it will be. Then its journal or log lies
	// beside the file from before the first look until after the second, and
	// SQLite sorts it out.
	if present(file.path+"-journal") || full(file.path+"-wal") {
		return false, nil
	}
	return false, glance(ctx, file)
}

// undone reports whether the journal will undo the making of the file, which was
// cut off: it begins with SQLite's mark of a journal and says that the file had
// no pages before (file format, "The Rollback Journal").
func undone(journal string) bool {
	f, err := os.Open(journal)
	if err != nil {
		return false
	}
	defer f.Close()
	var head [20]byte
	if _, err := io.ReadFull(f, head[:]); err != nil {
		return false
	}
	return string(head[:8]) == "\xd9\xd5\x05\xf9\x20\xa1\x63\xd7" && binary.BigEndian.Uint32(head[16:]) == 0
}

// glance reads the front of the file, and nothing of its tables. It returns nil where
// they are a notebook's.
func glance(ctx context.Context, file source) error {
	db, err := file.open("ro", "immutable=1")
	if err != nil {
		return err
	}
	defer db.Close()
	var h header
	for _, mark := range []struct {
		pragma string
		value  any
	}{
		{"PRAGMA application_id", &h.application},
		{"PRAGMA user_version", &h.version},
		{"PRAGMA schema_version", &h.tables}, // how often they changed: nought where none was ever made
	} {
		if err := db.QueryRowContext(ctx, mark.pragma).Scan(mark.value); err != nil {
			return explain(file.path, err)
		}
	}
	if err := h.owner(file.path); err != nil {
		return err
	}
	return h.begun(file.path)
}

// judge reads the front of the file and its tables. It returns nil where the file is
// a notebook.
func judge(ctx context.Context, file source) error {
	db, err := file.open("ro", "immutable=1")
	if err != nil {
		return err
	}
	defer db.Close()
	var h header
	if err := db.QueryRowContext(ctx, readHeader).Scan(h.fields()...); err != nil {
		return explain(file.path, err)
	}
	return h.whole(file.path)
}

// whole reads the front of an open notebook and its tables, and refuses it as
// [header.whole] does.
func (n *Notebook) whole(ctx context.Context) (h header, err error) {
	err = n.read(ctx, func(tx *tx) error {
		if err := tx.get(h.fields(), readHeader); err != nil {
			return err
		}
		return h.whole(n.path)
	})
	return h, err
}

// whole refuses a file that is not a notebook, or is one no longer. The transaction that
// read the header must be open still: as long as it is, nobody writes a log back into
// the file and empties it.
func (h header) whole(path string) error {
	if err := h.owner(path); err != nil {
		return err
	}
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return err
	case info.Size() != h.bytes && !full(path+"-wal"): // what is in the log need not be in the file yet
		return damaged(path, fmt.Sprintf("it is %d bytes long and should be %d", info.Size(), h.bytes))
	case h.vacuums != 0:
		return damaged(path, senseless)
	}
	return h.begun(path)
}

// begun refuses a notebook without tables.
func (h header) begun(path string) error {
	if h.version == 0 || h.tables == 0 {
		return damaged(path, "its tables are missing")
	}
	return nil
}

const senseless = "its header makes no sense"

func damaged(path, problem string) error {
	return &FileError{Path: path, Kind: Damaged, Problem: "the notebook is damaged: " + problem,
		Hints: []string{"copy the file before doing anything else, then go back to the last backup"}}
}

// owner refuses a file of another program or of a later version.
func (h header) owner(path string) error {
	switch {
	case h.application != applicationID && (h.application != 0 || h.tables > 0 || h.version != 0):
		return &FileError{Path: path, Kind: Foreign, Problem: "this file belongs to another program", Hints: []string{elsewhere}}
	case h.application == 0:
		return &FileError{Path: path, Kind: Foreign, Problem: "this is a SQLite file, but not a notebook", Hints: []string{elsewhere}}
	case h.version < 0:
		return &FileError{Path: path, Kind: Damaged, Problem: "the notebook is damaged: its version is below nought", Hints: []string{"go back to the last backup"}}
	case h.version > len(migrations()):
		return &FileError{Path: path, Kind: Newer, Problem: fmt.Sprintf("this notebook was written by a later version of this program (form %d; this one knows up to %d)", h.version, len(migrations())),
			Hints: []string{"use the later version", elsewhere}}
	}
	return nil
}

func isKind(err error, kind Kind) bool {
	var e *FileError
	return errors.As(err, &e) && e.Kind == kind
}
