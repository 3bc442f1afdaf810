package store_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// other is another program.
func other(path string) {
	count, _ := strconv.Atoi(os.Getenv("NOTEBOOK_TEST_COUNT"))
	do := writer
	if os.Getenv("NOTEBOOK_TEST_ARCS") != "" {
		do = keeper
	}
	if os.Getenv(dayEnv) != "" {
		do = day
	}
	if err := do(path, count); err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
}

// writer logs welds and run-outs, as many as it is told or until it is killed,
// and says which were acknowledged.
func writer(path string, count int) error {
	ctx := context.Background()
	n, err := store.Open(ctx, path, store.Options{})
	if err != nil {
		return err
	}
	fmt.Println("ready")
	var taken *procedures.InvalidError
	if _, err := n.AddMachine(ctx, littleRed()); err != nil && !errors.As(err, &taken) {
		return err
	}
	for i := 0; count == 0 || i < count; i++ {
		w, err := n.AddWeld(ctx, bead())
		if err != nil {
			return err
		}
		fmt.Println("logged", w.Mark, w.ID)
		runs, err := n.AddRunOuts(ctx, "", []procedures.RunOut{ran(1), ran(2)})
		if err != nil {
			return err
		}
		fmt.Println("ran", runs[0].Number, runs[0].ID)
	}
	return n.Close()
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

// said is what another program acknowledged: the ids of welds by mark and of
// the first of two run-outs by number, and the arcs.
type said struct {
	welds, runs map[string]string
	arcs        map[string]bool
}

// add takes in what another program said, and fails the test where both were
// given one mark or number.
func (s said) add(t *testing.T, more said) {
	t.Helper()
	for _, m := range []struct{ all, more map[string]string }{{s.welds, more.welds}, {s.runs, more.runs}} {
		for name, id := range m.more {
			if m.all[name] != "" {
				t.Errorf("%s was given twice", name)
			}
			m.all[name] = id
		}
	}
}

func nothing() said { return said{map[string]string{}, map[string]string{}, map[string]bool{}} }

// acknowledged reads what another program said. A last line that was cut off in
// the middle acknowledges nothing.
func acknowledged(t *testing.T, lines *bufio.Scanner, ready func()) said {
	t.Helper()
	got := nothing()
	for lines.Scan() {
		if lines.Text() == "ready" {
			ready()
		}
		f := strings.Fields(lines.Text())
		if len(f) > 0 && f[0] == "error" {
			t.Errorf("the writer said: %s", lines.Text())
		}
		switch {
		case len(f) == 3 && f[0] == "logged" && len(f[2]) == 36:
			got.welds[f[1]] = f[2]
		case len(f) == 3 && f[0] == "ran" && len(f[2]) == 36:
			got.runs[f[1]] = f[2]
		case len(f) > 2 && f[0] == "started":
			got.arcs[f[1]] = true
		}
	}
	return got
}

// TestTwoPrograms writes from two processes at once: nothing is lost, no mark and
// no number is given twice.
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
	got.add(t, more)
	if len(got.welds) != 2*each || len(got.runs) != 2*each {
		t.Errorf("%d welds and %d pairs of run-outs were acknowledged, want %d each", len(got.welds), len(got.runs), 2*each)
	}
	present(t, open(t, path, store.Options{}), got)
}

// TestKilled kills a program that is writing, at any moment, the first one too:
// every acknowledged weld and run-out is there afterwards.
func TestKilled(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	kills := 20
	if *long {
		kills = 400
	}
	random := rand.New(rand.NewPCG(1, 2))
	path := filepath.Join(t.TempDir(), "notebook.db")
	all := nothing()
	logged, ran := 0, 0
	for i := range kills {
		if i%4 == 0 { // a new notebook now and then, so that its making is cut off too
			path, all = filepath.Join(t.TempDir(), "notebook.db"), nothing()
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
		got := acknowledged(t, lines, whenReady)
		all.add(t, got)
		logged, ran = logged+len(got.welds), ran+len(got.runs)
		cmd.Wait() // killed, so an error
		n := open(t, path, store.Options{})
		present(t, n, all)
		if err := n.Close(); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("%d kills, %d welds and %d pairs of run-outs acknowledged", kills, logged, ran)
	if logged == 0 || ran == 0 {
		t.Error("nothing was acknowledged before a kill: the test has shown nothing")
	}
}

// present checks that each acknowledged weld and pair of run-outs is in the
// notebook, whole.
func present(t *testing.T, n *store.Notebook, acknowledged said) {
	t.Helper()
	marks := marksOf(t, n)
	runs := map[string]procedures.RunOut{}
	for _, m := range must(n.Machines(t.Context()))(t) {
		for _, r := range m.RunOuts {
			runs[strconv.Itoa(r.Number)] = r
		}
		if len(runs) != len(m.RunOuts) || len(runs)%2 != 0 {
			t.Errorf("%d run-outs with %d numbers: half a pair, or a number given twice", len(m.RunOuts), len(runs))
		}
	}
	for number, id := range acknowledged.runs {
		want, got := ran(1), runs[number]
		want.ID, want.Number, want.At, want.Machine, want.State = id, got.Number, got.At, "little red", got.State
		if diff := same(want, got); diff != "" {
			t.Errorf("run-out %s (-want +got):\n%s", number, diff)
		}
	}
	for mark, id := range acknowledged.welds {
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
