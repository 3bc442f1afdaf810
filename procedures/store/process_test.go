package store_test

import (
	"bufio"
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"beadwright/procedures/store"
)

// writer is another program: it logs welds, as many as it is told or until it
// is killed, and says which were acknowledged.
func writer(path string) {
	count, _ := strconv.Atoi(os.Getenv("NOTEBOOK_TEST_COUNT"))
	ctx := context.Background()
	n, err := store.Open(ctx, path, store.Options{})
	if err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
	fmt.Println("ready")
	for i := 0; count == 0 || i < count; i++ {
		w, err := n.AddWeld(ctx, bead())
		if err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		fmt.Println("logged", w.Mark, w.ID)
	}
	if err := n.Close(); err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
}

func start(t *testing.T, path string, count int) (*exec.Cmd, *bufio.Scanner) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "NOTEBOOK_TEST_WRITER="+path, "NOTEBOOK_TEST_COUNT="+strconv.Itoa(count))
	cmd.Stderr = os.Stderr
	out := must(cmd.StdoutPipe())(t)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, bufio.NewScanner(out)
}

// acknowledged reads what a writer said, by mark. A last line that was cut off
// in the middle acknowledges nothing.
func acknowledged(t *testing.T, lines *bufio.Scanner, ready func()) map[string]string {
	t.Helper()
	got := map[string]string{}
	for lines.Scan() {
		if lines.Text() == "ready" {
			ready()
		}
		f := strings.Fields(lines.Text())
		if len(f) > 0 && f[0] == "error" {
			t.Errorf("the writer said: %s", lines.Text())
		}
		if len(f) == 3 && f[0] == "logged" && len(f[2]) == 36 {
			got[f[1]] = f[2]
		}
	}
	return got
}

// TestTwoPrograms logs from two processes at once: nothing is lost, no mark is
// given twice.
func TestTwoPrograms(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	const each = 60
	a, linesA := start(t, path, each)
	b, linesB := start(t, path, each)
	got, more := acknowledged(t, linesA, func() {}), acknowledged(t, linesB, func() {})
	if err := a.Wait(); err != nil {
		t.Error(err)
	}
	if err := b.Wait(); err != nil {
		t.Error(err)
	}
	for mark, id := range more {
		if got[mark] != "" {
			t.Errorf("mark %s was given twice", mark)
		}
		got[mark] = id
	}
	if len(got) != 2*each {
		t.Errorf("%d welds were acknowledged, want %d", len(got), 2*each)
	}
	present(t, open(t, path, store.Options{}), got)
}

// TestKilled kills a program that is logging, at any moment, the first one too:
// every acknowledged weld is there afterwards.
func TestKilled(t *testing.T) {
	kills := 20
	if *long {
		kills = 400
	}
	random := rand.New(rand.NewPCG(1, 2))
	path := filepath.Join(t.TempDir(), "notebook.db")
	all := map[string]string{}
	logged := 0
	for i := range kills {
		if i%4 == 0 { // a new notebook now and then, so that its making is cut off too
			path, all = filepath.Join(t.TempDir(), "notebook.db"), map[string]string{}
		}
		cmd, lines := start(t, path, 0)
		kill := func() {
			time.AfterFunc(time.Duration(random.IntN(30_000))*time.Microsecond, func() { cmd.Process.Kill() })
		}
		whenReady := kill
		if i%4 == 0 {
			kill() // some while the notebook is being made
			whenReady = func() {}
		}
		for mark, id := range acknowledged(t, lines, whenReady) {
			all[mark] = id
			logged++
		}
		cmd.Wait() // killed, so an error
		n := open(t, path, store.Options{})
		present(t, n, all)
		if err := n.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d kills, %d welds acknowledged", kills, logged)
	if logged == 0 {
		t.Error("no weld was acknowledged before a kill: the test has shown nothing")
	}
}

// present checks that each acknowledged weld is in the notebook, whole.
func present(t *testing.T, n *store.Notebook, acknowledged map[string]string) {
	t.Helper()
	marks := marksOf(t, n)
	for mark, id := range acknowledged {
		w, _, err := n.Weld(t.Context(), mark)
		if err != nil || !marks[mark] {
			t.Errorf("weld %s was acknowledged and is gone: %v", mark, err)
			continue
		}
		want := bead()
		want.ID, want.Mark, want.At = id, mark, w.At
		if diff := same(want, w); diff != "" {
			t.Errorf("weld %s (-want +got):\n%s", mark, diff)
		}
	}
}
