package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/google/uuid"

	"beadwright/procedures"
)

// chartEndings are the endings of a file that a chart can be written to.
var chartEndings = []string{"svg", "png", "pdf"}

// chartFormat is the format that a file's ending asks for. A file that exists is
// refused, unless it is to be written over.
func chartFormat(file string, force bool) (string, error) {
	format := strings.ToLower(strings.TrimPrefix(filepath.Ext(file), "."))
	if !slices.Contains(chartEndings, format) {
		return "", procedures.Invalid("file", file, "the file's ending says no format", "end it in .svg, .png or .pdf: beadwright chart thickness tee.svg tee flat")
	}
	if _, err := os.Lstat(file); err == nil && !force {
		return "", procedures.Invalid("file", file, "there is a file of that name", "to write over it: --force", "or name another file")
	}
	return format, nil
}

// putChart draws a chart into its file, or for the page that asks for it.
func (a *app) putChart(file, format string, draw func(format string) ([]byte, error)) error {
	if a.chart != nil {
		format = onPage
	}
	image, err := quietly(func() ([]byte, error) { return draw(format) })
	if err != nil {
		return err
	}
	if a.chart != nil {
		*a.chart = image
		return nil
	}
	if err := writeWhole(file, image); err != nil {
		return fmt.Errorf("the chart was not written: %w", err)
	}
	return nil
}

// writeWhole writes a file whole or not at all: beside it first, then renamed.
// A file that was there stays as it was if that fails.
func writeWhole(path string, content []byte) (err error) {
	id, err := uuid.NewRandom()
	if err != nil {
		return err
	}
	part := filepath.Join(filepath.Dir(path), ".chart-"+id.String())
	f, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return plainly(path, err)
	}
	defer func() {
		if err != nil {
			os.Remove(part)
			err = plainly(path, err)
		}
	}()
	_, err = f.Write(content)
	if err = errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	return os.Rename(part, path)
}

// plainly names the file that was asked for, not the one beside it.
func plainly(path string, err error) error {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		return &fs.PathError{Op: "write", Path: path, Err: pe.Err}
	case errors.As(err, &le):
		return &fs.PathError{Op: "write", Path: path, Err: le.Err}
	}
	return err
}
