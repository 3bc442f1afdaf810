package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// fileFailure is a file of the welder's own that the world did not give or take: one
// that is not there, that may not be read, a folder that is write-protected. What was
// asked is not wrong in itself, so the status is 1, as it is for the notebook's file.
type fileFailure struct {
	said *procedures.InvalidError
	kind store.Kind
	err  error // what the system said
}

func (e *fileFailure) Error() string { return e.said.Error() }

func (e *fileFailure) Unwrap() error { return e.err }

// cannotRead turns a failure to read a file into words; hints say what would be read.
func cannotRead(field, path string, err error, hints ...string) error {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return &fileFailure{procedures.Invalid(field, path, "this user may not read it", "copy it to where you can"), store.Permission, err}
	case errors.Is(err, fs.ErrNotExist):
		return &fileFailure{procedures.Invalid(field, path, "there is no such file", hints...), store.Missing, err}
	}
	return &fileFailure{procedures.Invalid(field, path, "cannot be read: "+underlying(err), hints...), store.Missing, err}
}

// cannotCopy says of a copy what the notebook's own failures say of the notebook: the
// hint is to name another copy, not another notebook.
func cannotCopy(path string, err error) error {
	var file *store.FileError
	if abs, bad := filepath.Abs(path); bad != nil || !errors.As(err, &file) || file.Path != abs {
		return err
	}
	hints := file.Hints
	for _, h := range hints {
		if strings.Contains(h, "--notebook") {
			hints = []string{"name the copy in a folder that is there and that you may write to: beadwright backup " + filepath.Base(path)}
		}
	}
	return &fileFailure{procedures.Invalid("file", path, file.Problem, hints...), file.Kind, err}
}

// named looks that a file which was named by hand is there.
func named(field, path string, hints ...string) error {
	if _, err := os.Stat(path); err != nil {
		return cannotRead(field, path, err, hints...)
	}
	return nil
}
