package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures/store"
)

var long = flag.Bool("long", false, "two programs at once for longer, more kills, every bad command line")

// writerEnv makes the test binary log welds, one command line after another,
// until the time that it names is over.
const writerEnv = "BEADWRIGHT_TEST_WRITER"

// writer runs log again and again as separate runs of the whole program, in one
// process: it opens and closes the notebook each time.
func writer() {
	limit, err := time.ParseDuration(os.Getenv(writerEnv))
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
	for end := time.Now().Add(limit); time.Now().Before(end); {
		if code := run(context.Background(), logLine("4"), os.Stdout, os.Stderr); code != 0 {
			os.Exit(code)
		}
	}
}

func logLine(rating string) []string {
	return []string{"--json", "log", rating, "1/8", "mild", "tee", "flat", "--tap", "high", "--wire-speed", "110ipm"}
}

// acknowledged is a weld that the program said it had logged.
type acknowledged struct {
	Mark string `json:"mark"`
	ID   string `json:"id"`
}

// startWriter starts a writer on the notebook. The channel yields what it has
// acknowledged once its output ends; an answer that was cut off in the middle
// acknowledges nothing.
func startWriter(t *testing.T, path string, limit time.Duration) (*exec.Cmd, *bytes.Buffer, <-chan []acknowledged) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), writerEnv+"="+limit.String(), "BEADWRIGHT_NOTEBOOK="+path)
	complaint := new(bytes.Buffer)
	cmd.Stderr = complaint
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	said := make(chan []acknowledged, 1)
	go func() {
		var all []acknowledged
		for d := json.NewDecoder(out); ; {
			var a acknowledged
			if err := d.Decode(&a); err != nil {
				break
			}
			all = append(all, a)
		}
		io.Copy(io.Discard, out)
		said <- all
	}()
	return cmd, complaint, said
}

// standing is what find shows, by mark; it fails where a mark is there twice.
func standing(t *testing.T, path string, flags ...string) map[string]string {
	t.Helper()
	var out, complaint bytes.Buffer
	if code := run(t.Context(), append([]string{"--json", "--notebook", path, "find", "--limit", "0"}, flags...), &out, &complaint); code != 0 {
		t.Fatalf("find: status %d: %s%s", code, complaint.String(), out.String())
	}
	var found struct {
		Welds []acknowledged `json:"welds"`
		Total int            `json:"total"`
	}
	if err := json.Unmarshal(out.Bytes(), &found); err != nil {
		t.Fatal(err)
	}
	marks := map[string]string{}
	for _, w := range found.Welds {
		if marks[w.Mark] != "" {
			t.Errorf("mark %s is there twice", w.Mark)
		}
		marks[w.Mark] = w.ID
	}
	if len(marks) != found.Total {
		t.Errorf("total says %d, %d are shown", found.Total, len(marks))
	}
	return marks
}

func intact(t *testing.T, path string) {
	t.Helper()
	nb, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	if wrong, err := nb.Check(t.Context()); err != nil || len(wrong) > 0 {
		t.Errorf("the notebook is not sound: %v %s", err, strings.Join(wrong, "; "))
	}
}

// TestTwoProgramsLog lets two programs log at once: nothing is lost, no mark is
// given twice, neither is turned away.
func TestTwoProgramsLog(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and does not see what other processes do")
	}
	limit := 2 * time.Second
	if *long {
		limit = 30 * time.Second
	}
	path := filepath.Join(t.TempDir(), "notebook.db")
	a, complaintA, saidA := startWriter(t, path, limit)
	b, complaintB, saidB := startWriter(t, path, limit)
	byA, byB := <-saidA, <-saidB
	if err := a.Wait(); err != nil {
		t.Errorf("the first: %v: %s", err, complaintA)
	}
	if err := b.Wait(); err != nil {
		t.Errorf("the second: %v: %s", err, complaintB)
	}
	there := standing(t, path)
	if len(byA) == 0 || len(byB) == 0 || len(there) != len(byA)+len(byB) {
		t.Errorf("acknowledged %d and %d, there are %d", len(byA), len(byB), len(there))
	}
	for _, w := range append(byA, byB...) {
		if there[w.Mark] != w.ID {
			t.Errorf("%s was acknowledged as %s, and is %q", w.Mark, w.ID, there[w.Mark])
		}
	}
	intact(t, path)
	t.Logf("faults tried: two programs at once for %v; acknowledged: %d welds; lost: %d", limit, len(byA)+len(byB), len(byA)+len(byB)-len(there))
}
