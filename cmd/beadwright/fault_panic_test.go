package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures/store"
)

// panicky is an output that panics with whatever it is handed, a number of times.
type panicky struct {
	bytes.Buffer
	times int
	with  func(printed string) any
}

func (b *panicky) Write(p []byte) (int, error) {
	if b.times--; b.times >= 0 {
		panic(b.with(string(p)))
	}
	return b.Buffer.Write(p)
}

// TestFaultPanic: a panic anywhere becomes exit status 1 and two lines that say
// where it was and nothing of what was written down; the notebook is closed, and
// opens again.
func TestFaultPanic(t *testing.T) {
	const secret = "for Aunt Mathilda"
	path := filepath.Join(t.TempDir(), "notebook.db")
	line := []string{"--notebook", path, "log", "4", "1/8", "mild", "tee", "flat", "--wire-speed", "110ipm", "--note", secret}
	for name, with := range map[string]func(string) any{
		"words":    func(s string) any { return s + secret },
		"an error": func(s string) any { return errors.New(s + secret) },
		"of the runtime": func(s string) any {
			var e any
			func() { defer func() { e = recover() }(); _ = []int{}[len(s)] }()
			return e
		},
		"a wrapped one": func(s string) any { return fmt.Errorf("%s: %w", secret, errors.New(s)) },
	} {
		t.Run(name, func(t *testing.T) {
			out, complaint := &panicky{times: 1, with: with}, new(bytes.Buffer)
			if code := run(t.Context(), line, out, complaint); code != 1 {
				t.Errorf("status %d, want 1", code)
			}
			lines := strings.Split(strings.TrimSuffix(complaint.String(), "\n"), "\n")
			if len(lines) != 2 || !strings.HasPrefix(lines[0], "beadwright: a fault of the program") || !strings.HasPrefix(lines[1], "hint: ") {
				t.Errorf("%q", lines)
			}
			if s := complaint.String(); !strings.Contains(s, ".(*app).log:") {
				t.Errorf("it does not say where: %s", s)
			}
			for _, private := range []string{secret, "Mathilda", "mild", path, "notebook.db"} {
				if strings.Contains(complaint.String()+out.String(), private) {
					t.Errorf("%q is in the report: %s%s", private, complaint, out)
				}
			}
			out = &panicky{times: 1, with: with}
			complaint.Reset()
			if code := run(t.Context(), append([]string{"--json"}, line...), out, complaint); code != 1 || !isErrorObject(out.String()) || complaint.Len() > 0 {
				t.Errorf("with --json: status %d, %q %q", code, out, complaint)
			}
			if strings.Contains(out.String(), "Mathilda") {
				t.Errorf("the report says %s", out)
			}
		})
	}
	if there := standing(t, path); len(there) != 8 { // the welds were recorded before the answer broke off
		t.Errorf("%d welds, want 8", len(there))
	}
	intact(t, path)
}

// TestFaultThinking: a fault in what is thought over beside the answers of the page is
// told to its terminal, and the page goes on.
func TestFaultThinking(t *testing.T) {
	report := new(bytes.Buffer)
	b := &workbench{notebook: new(store.Notebook), now: time.Now, report: report} // one that was never opened
	b.think()
	b.settle()
	lines := strings.Split(strings.TrimSuffix(report.String(), "\n"), "\n")
	if len(lines) != 2 || !strings.HasPrefix(lines[0], "beadwright: a fault of the program") || !strings.Contains(lines[1], "store.(*Notebook)") {
		t.Errorf("%q", lines)
	}
}
