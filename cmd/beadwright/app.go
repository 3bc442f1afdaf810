package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// app is what the commands share: where the output goes, the flags that every
// command takes, and the open notebook.
type app struct {
	out, err io.Writer
	now      func() time.Time

	notebookFlag, unitsFlag string
	json                    bool
	pressed                 bool     // speaks to somebody at the page, who types nothing
	args                    []string // of a command line that was typed; nil: made by the page
	below                   string   // the word behind the command at the top; "": none, or all are wanted

	nb     *store.Notebook
	memory *remembered  // of a program that stays open; nil: read the notebook each time
	later  func(func()) // does what the answer need not wait for; with memory
	chart  *[]byte      // takes a chart for the page, in the place of its file; nil: charts go to files
}

// notebookPath is the flag, else the environment, else the user's data folder.
func (a *app) notebookPath() (string, error) {
	if a.notebookFlag != "" {
		return a.notebookFlag, nil
	}
	if p := os.Getenv("BEADWRIGHT_NOTEBOOK"); p != "" {
		return p, nil
	}
	dir := os.Getenv("XDG_DATA_HOME")
	if dir == "" {
		home, err := os.UserHomeDir()
		if err != nil || home == "" {
			return "", &store.FileError{Path: "notebook.db", Kind: store.Missing, Problem: "there is no home folder to keep the notebook in",
				Hints: []string{"name a file: --notebook welds.db, or set BEADWRIGHT_NOTEBOOK"}}
		}
		dir = filepath.Join(home, ".local", "share")
		if runtime.GOOS != "linux" {
			if dir, err = os.UserConfigDir(); err != nil {
				return "", err
			}
		}
	}
	return filepath.Join(dir, "beadwright", "notebook.db"), nil
}

// existing opens the notebook if there is one; nil if there is none yet. A
// question alone never makes a file.
func (a *app) existing(ctx context.Context) (*store.Notebook, error) {
	if a.nb != nil {
		return a.nb, nil
	}
	path, err := a.notebookPath()
	if err != nil {
		return nil, nil // nowhere to look; who wants to write is told
	}
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	return a.notebook(ctx)
}

// mustExist opens the notebook, and says what to do first where there is none.
func (a *app) mustExist(ctx context.Context, first string) (*store.Notebook, error) {
	nb, err := a.existing(ctx)
	if err == nil && nb == nil {
		err = procedures.Invalid("notebook", "", "there is nothing in the notebook yet", "begin with: beadwright "+first)
	}
	return nb, err
}

// notebook opens the notebook, and makes one where there is none.
func (a *app) notebook(ctx context.Context) (*store.Notebook, error) {
	return a.open(ctx, store.Options{Now: a.now})
}

func (a *app) open(ctx context.Context, opts store.Options) (*store.Notebook, error) {
	if a.nb != nil {
		return a.nb, nil
	}
	path, err := a.notebookPath()
	if err != nil {
		return nil, err
	}
	a.nb, err = store.Open(ctx, path, opts)
	return a.nb, err
}

func (a *app) close() {
	if a.nb != nil {
		a.nb.Close()
	}
}

// units is the flag, else the notebook's, else us.
func (a *app) units(ctx context.Context) (procedures.Units, error) {
	if a.unitsFlag != "" {
		return procedures.ParseUnits(a.unitsFlag)
	}
	nb, err := a.existing(ctx)
	if err != nil || nb == nil {
		return procedures.US, err
	}
	return nb.Units(ctx)
}

// printJSON writes one object and a newline. Words that are not known are null,
// as quantities are; a quote inside a string is escaped, so `": ""` can only be
// an empty value.
func (a *app) printJSON(v any) error {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := a.out.Write(bytes.ReplaceAll(b.Bytes(), []byte(`": ""`), []byte(`": null`)))
	return err
}

func (a *app) printf(format string, args ...any) { fmt.Fprintf(a.out, format, args...) }

// warn tells of something that did not stop the command.
func (a *app) warn(format string, args ...any) {
	fmt.Fprintf(a.err, "beadwright: "+format+"\n", args...)
}

// failure is an error as JSON shows it.
type failure struct {
	Code    string `json:"code"` // not_understood, invalid, not_found, no_settings, or a kind of file failure
	Field   string `json:"field"`
	Message string `json:"message"`
	Hint    string `json:"hint"`
}

// report prints an error, if any, in one line with its hints, and returns the
// exit status.
func (a *app) report(err error) int {
	if err == nil {
		return 0
	}
	if errors.Is(err, errNoSettings) {
		return 3
	}
	if errors.Is(err, errFaulty) {
		return 1
	}
	code, f, hints := classify(err)
	hints = a.ways(hints)
	if a.json {
		f.Hint = strings.Join(hints, "; ")
		_ = a.printJSON(map[string]failure{"error": f})
		return code
	}
	fmt.Fprintf(a.err, "beadwright: %s\n", f.Message)
	for _, h := range hints {
		fmt.Fprintf(a.err, "hint: %s\n", h)
	}
	return code
}

// classify turns an error into an exit status and words.
func classify(err error) (int, failure, []string) {
	var bad *procedures.InvalidError
	var usage *usageError
	var file *store.FileError
	var fault *faultError
	var own *fileFailure
	var none store.NoneInUse
	switch {
	case errors.As(err, &none): // which is not found as well
		return 2, failure{Code: "none_in_use", Field: none.Field, Message: oneLine(none.Error())}, none.Hints
	case errors.As(err, &own): // before what it came of
		return 1, failure{Code: string(own.kind), Field: own.said.Field, Message: oneLine(own.Error())}, own.said.Hints
	case errors.As(err, &bad):
		return 2, failure{Code: "invalid", Field: bad.Field, Message: oneLine(bad.Error())}, bad.Hints
	case errors.As(err, &usage):
		code := "not_understood"
		if errors.Is(usage.err, procedures.ErrNotFound) { // with better hints than those below
			code = "not_found"
		}
		return 2, failure{Code: code, Message: oneLine(usage.Error())}, usage.hints
	case errors.Is(err, procedures.ErrNotFound):
		return 2, failure{Code: "not_found", Message: oneLine(err.Error())}, []string{procedures.Way("see what there is: beadwright find, beadwright machine list, beadwright wire list", "see what there is: Find in the menu, or Machines and Wire at the foot")}
	case errors.As(err, &file):
		return 1, failure{Code: string(file.Kind), Field: "notebook", Message: oneLine(file.Error())}, file.Hints
	case errors.As(err, &fault):
		return 1, failure{Code: "failed", Message: fault.Error()}, fault.hints()
	}
	return 1, failure{Code: "failed", Message: oneLine(err.Error())}, nil
}

// oneLine keeps a message on one line of bearable length.
func oneLine(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 300 {
		s = string(r[:297]) + "..."
	}
	return s
}
