package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Kind says what is the matter with a notebook's file.
type Kind string

const (
	Foreign    Kind = "foreign"    // something else than a notebook
	Newer      Kind = "newer"      // written by a later version of this program
	Damaged    Kind = "damaged"    // a notebook, but broken
	ReadOnly   Kind = "readonly"   // the file or its folder cannot be written
	Full       Kind = "full"       // no room on the disk
	Locked     Kind = "locked"     // another program held it for too long
	Permission Kind = "permission" // this user may not
	Missing    Kind = "missing"    // there is none
	Device     Kind = "device"     // the disk failed
)

// FileError says that the notebook's file, its disk or its lock failed.
type FileError struct {
	Path    string
	Kind    Kind
	Problem string   // in plain words
	Hints   []string // what to do
	Err     error    // what the system said; may be nil
}

func (e *FileError) Error() string {
	return fmt.Sprintf("notebook %s: %s", e.Path, e.Problem)
}

func (e *FileError) Unwrap() error { return e.Err }

// explain turns an error of the database or of the system into a [*FileError].
// Others are returned as they are.
func explain(path string, err error) error {
	var ours *FileError
	if err == nil || errors.As(err, &ours) || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	fail := func(kind Kind, problem string, hints ...string) error {
		return &FileError{Path: path, Kind: kind, Problem: problem, Hints: hints, Err: err}
	}
	if code, ok := resultCode(err); ok {
		switch code & 0xff {
		case sqlite3.SQLITE_NOTADB:
			return fail(Foreign, "this is not a notebook, or its beginning is damaged", elsewhere)
		case sqlite3.SQLITE_CORRUPT:
			return fail(Damaged, "the notebook is damaged", "copy the file before doing anything else, then go back to the last backup")
		case sqlite3.SQLITE_ERROR:
			if strings.Contains(err.Error(), "unsupported file format") { // one that no SQLite writes
				return damaged(path, senseless)
			}
			if strings.Contains(err.Error(), "no such ") { // a letter of its schema was hit
				return fail(Damaged, "the notebook is damaged: its tables are not as they were made", "copy the file before doing anything else, then go back to the last backup")
			}
		case sqlite3.SQLITE_FULL:
			return fail(Full, "the disk is full; nothing was written", "make room and do it again")
		case sqlite3.SQLITE_READONLY:
			return fail(ReadOnly, "the notebook cannot be written", "is the disk, the folder or the file write-protected?")
		case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
			return fail(Locked, "another program is writing to the notebook and did not finish", "close it, or wait, and do it again; nothing was written")
		case sqlite3.SQLITE_PERM, sqlite3.SQLITE_AUTH:
			return fail(Permission, "not permitted")
		case sqlite3.SQLITE_CANTOPEN:
			return cannotOpen(path, err)
		case sqlite3.SQLITE_IOERR:
			if code == sqlite3.SQLITE_IOERR_SHMSIZE {
				return fail(Full, "the disk is full; nothing was written", "make room and do it again")
			}
			return fail(Device, "the disk did not read or write", "copy the file to another disk while it can be read")
		}
		return err
	}
	switch {
	case errors.Is(err, syscall.EROFS):
		return fail(ReadOnly, "the disk is write-protected", elsewhere)
	case errors.Is(err, syscall.ENOSPC):
		return fail(Full, "the disk is full", "make room and do it again")
	case errors.Is(err, fs.ErrPermission):
		return fail(Permission, "this user may not open it", "look at the permissions of the file and its folder")
	case errors.Is(err, syscall.ENOTDIR), errors.Is(err, syscall.EEXIST):
		return fail(Foreign, "a part of the path is a file, not a folder", elsewhere)
	case errors.Is(err, fs.ErrNotExist):
		return fail(Missing, "there is no such place", elsewhere)
	}
	var value unreadable
	if errors.As(err, &value) {
		return fail(Damaged, "the notebook is damaged: a value in it cannot be read", "copy the file before doing anything else, then go back to the last backup")
	}
	var sys *fs.PathError
	if errors.As(err, &sys) {
		return fail(Device, sys.Err.Error(), elsewhere)
	}
	return err
}

const elsewhere = "name another file with --notebook FILE"

// cannotOpen finds out why SQLite could not open a file: it does not say.
func cannotOpen(path string, cause error) error {
	if _, err := os.Stat(filepath.Dir(path)); err != nil {
		return explain(path, err)
	}
	if err := writable(filepath.Dir(path)); err != nil {
		return protected(path, "nothing can be written in its folder", err)
	}
	return &FileError{Path: path, Kind: Permission, Problem: "the file cannot be opened", Err: cause,
		Hints: []string{"look at the permissions of the file and its folder"}}
}

// protected says that a file is there but cannot be written.
func protected(path, problem string, cause error) error {
	if errors.Is(cause, syscall.EROFS) {
		problem = "the disk is write-protected"
	}
	return &FileError{Path: path, Kind: ReadOnly, Problem: problem, Err: cause, Hints: []string{"look at the permissions of the file and its folder", elsewhere}}
}

// resultCode returns SQLite's extended result code.
func resultCode(err error) (int, bool) {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return 0, false
	}
	return e.Code(), true
}
