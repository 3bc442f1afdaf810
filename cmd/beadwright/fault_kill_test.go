package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// With dayEnv the test binary keeps a day at the machine, command line after
// command line; with lineEnv it carries out that one command line (as JSON).
const (
	dayEnv  = "BEADWRIGHT_TEST_DAY"
	lineEnv = "BEADWRIGHT_TEST_LINE"
)

// stood is a command line that was done, with its answer.
type stood struct {
	Args   []string        `json:"args"`
	Answer json.RawMessage `json:"answer"`
}

// answered is what is read of an answer, of whichever command.
type answered struct {
	Mark string          `json:"mark"`
	ID   string          `json:"id"`
	Weld procedures.Weld `json:"weld"`
	Arc  *struct {
		ID string `json:"id"`
	} `json:"arc"`
	RunOuts []struct {
		ID string `json:"id"`
	} `json:"runouts"`
}

var (
	toAddMachine = []string{"machine", "add", "shed", "--taps", "low,high", "--knob", "1..10", "--output", "dcen", "--rated", "90A", "--duty", "20"}
	toLog        = []string{"log", "4", "1/8", "mild", "tee", "flat", "--tap", "high", "--wire-speed", "110ipm"}
	toAmend      = []string{"--rating", "3", "--note", "by daylight"}
	toRunOut     = []string{"machine", "knob", "--mark", "5", "--tap", "high", "--length", "42in", "--seconds", "10"}
)

// keepDay logs, corrects and withdraws, runs wire out and starts and stops the duty
// clock until it is killed. What is done is said on a line each.
func keepDay() {
	do := func(args ...string) (a answered) {
		var out, complaint bytes.Buffer
		switch code := run(context.Background(), append([]string{"--json"}, args...), &out, &complaint); code {
		case 0:
			if err := json.Unmarshal(out.Bytes(), &a); err != nil {
				fmt.Fprintln(os.Stderr, err)
			}
			line, _ := json.Marshal(stood{args, out.Bytes()})
			os.Stdout.Write(append(line, '\n'))
		case 2: // such as an arc that burned when the program before was killed
		default:
			fmt.Fprintln(os.Stderr, args, out.String(), complaint.String())
			os.Exit(code)
		}
		return a
	}
	do(toAddMachine...)
	for i := 0; ; i++ {
		do("duty", "start")
		do("duty", "stop")
		a := do(toLog...)
		do(toRunOut...)
		if i%2 == 0 {
			do(append([]string{"amend", a.Mark}, toAmend...)...)
		}
		if i%5 == 0 {
			do("strike", a.Mark, "--why", "wrong coupon")
		}
	}
}

// oneLineOnly carries out the command line of lineEnv.
func oneLineOnly() int {
	var args []string
	if err := json.Unmarshal([]byte(os.Getenv(lineEnv)), &args); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return run(context.Background(), args, os.Stdout, os.Stderr)
}

// ledger is what was acknowledged: welds by mark with whether they were corrected
// and withdrawn, run-outs and arcs.
type ledger struct {
	ids, amended, struck map[string]string
	runs, started, ended map[string]bool
}

func newLedger() *ledger {
	return &ledger{map[string]string{}, map[string]string{}, map[string]string{}, map[string]bool{}, map[string]bool{}, map[string]bool{}}
}

func (l *ledger) count() int {
	return len(l.ids) + len(l.amended) + len(l.struck) + len(l.runs) + len(l.started) + len(l.ended)
}

// hear takes in what a command answered, if it is whole.
func (l *ledger) hear(args []string, answer []byte) {
	var a answered
	if json.Unmarshal(answer, &a) != nil {
		return
	}
	switch words := strings.Join(args, " "); {
	case args[0] == "log" && a.ID != "":
		l.ids[a.Mark] = a.ID
	case args[0] == "amend" && a.Mark != "":
		l.amended[a.Mark] = a.Weld.ID
	case args[0] == "strike" && a.Mark != "":
		l.struck[a.Mark] = a.Weld.ID
	case args[1] == "knob" && len(a.RunOuts) == 1:
		l.runs[a.RunOuts[0].ID] = true
	case words == "duty start" && a.Arc != nil:
		l.started[a.Arc.ID] = true
	case words == "duty stop" && a.Arc != nil:
		l.ended[a.Arc.ID] = true
	}
}

// kept counts what was acknowledged and is lost.
func (l *ledger) kept(t *testing.T, path string) (lost int) {
	t.Helper()
	nb, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	miss := func(format string, args ...any) {
		t.Helper()
		t.Errorf(format, args...)
		lost++
	}
	for mark, id := range l.ids {
		w, amended, err := nb.Weld(t.Context(), mark)
		switch {
		case err != nil || w.ID != id || w.Job.Thickness != procedures.Inches(0.125) || w.Settings.WireSpeed != procedures.InchesPerMin(110):
			miss("%s was acknowledged as %s, and is %+v: %v", mark, id, w, err)
		case l.amended[mark] != "" && (w.Outcome.Rating != 3 || w.Outcome.Note != "by daylight" || len(amended) == 0):
			miss("the correction of %s is lost: %+v", mark, w.Outcome)
		case l.amended[mark] == "" && len(amended) == 0 && w.Outcome.Rating != 4:
			miss("%s is rated %v and was logged as 4", mark, w.Outcome.Rating)
		case l.struck[mark] != "" && w.Struck == "":
			miss("the withdrawal of %s is lost", mark)
		}
	}
	runs, arcs := map[string]bool{}, map[string]bool{}
	machines, err := nb.Machines(t.Context())
	for _, m := range machines {
		for _, r := range m.RunOuts {
			runs[r.ID] = true
		}
		list, err := nb.Arcs(t.Context(), m.Name, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range list {
			arcs[a.ID] = a.Burning()
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	for id := range l.runs {
		if !runs[id] {
			miss("run-out %s is lost", id)
		}
	}
	for id := range l.started {
		if _, ok := arcs[id]; !ok {
			miss("arc %s is lost", id)
		}
	}
	for id := range l.ended {
		if burning, ok := arcs[id]; !ok || burning {
			miss("the end of arc %s is lost", id)
		}
	}
	if wrong, err := nb.Check(t.Context()); err != nil || len(wrong) > 0 {
		miss("the notebook is not sound: %v %s", err, strings.Join(wrong, "; "))
	}
	return lost
}

// TestFaultKilledDay kills a program in a day's work with SIGKILL at any moment, some
// while they start: the first makes the notebook. Find then shows what was acknowledged,
// and at most one weld a kill whose answer never came out.
func TestFaultKilledDay(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and does not see what other processes do")
	}
	kills := 10
	if *long {
		kills = 200
	}
	random := rand.New(rand.NewPCG(53, 59))
	path, l, lost := filepath.Join(t.TempDir(), "notebook.db"), newLedger(), 0
	for i := range kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), dayEnv+"=1", "BEADWRIGHT_NOTEBOOK="+path)
		complaint := new(bytes.Buffer)
		cmd.Stderr = complaint
		out, err := cmd.StdoutPipe()
		if err == nil {
			err = cmd.Start()
		}
		if err != nil {
			t.Fatal(err)
		}
		kill := func(within time.Duration) {
			time.AfterFunc(time.Duration(random.Int64N(int64(within))), func() { cmd.Process.Kill() })
		}
		heard, enough := 0, random.IntN(16) // however fast the machine is
		if i%3 == 0 {
			enough = -1
			kill(100 * time.Millisecond)
		}
		for lines := bufio.NewReader(out); ; heard++ {
			line, err := lines.ReadBytes('\n')
			var s stood
			if json.Unmarshal(line, &s) == nil {
				l.hear(s.Args, s.Answer)
			}
			if err != nil {
				break
			}
			if heard == enough {
				kill(20 * time.Millisecond)
			}
		}
		_ = cmd.Wait() // it was killed
		if complaint.Len() > 0 {
			t.Errorf("the program said: %s", complaint)
		}
		lost += l.kept(t, path)
		there := standing(t, path, "--struck")
		if extra, hidden := len(there)-len(l.ids), lostOf(l.ids, there); extra > i+1 || hidden > 0 {
			t.Errorf("kill %d: find shows %d welds; %d were acknowledged, and %d of them are not shown so", i, len(there), len(l.ids), hidden)
			lost += hidden
		}
	}
	tell(t, kills, "kills", l, lost)
}

// TestFaultKilledLines starts the program once for each command line, as a welder
// does, and kills it with SIGKILL at any moment of its life: before it has read the
// line, while it writes, or too late.
func TestFaultKilledLines(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and does not see what other processes do")
	}
	lines := 60
	if *long {
		lines = 2000
	}
	random := rand.New(rand.NewPCG(61, 67))
	path, l, lost, killed, logs := filepath.Join(t.TempDir(), "notebook.db"), newLedger(), 0, 0, 0
	if code := run(t.Context(), append([]string{"--notebook", path}, toAddMachine...), io.Discard, io.Discard); code != 0 {
		t.Fatalf("status %d", code)
	}
	last := ""
	life := 40 * time.Millisecond
	for i := range lines {
		args := toLog
		switch i % 8 {
		case 1:
			if last != "" {
				args = append([]string{"amend", last}, toAmend...)
			}
		case 3:
			args = []string{"duty", "start"}
		case 4:
			args = []string{"duty", "stop"}
		case 6:
			args = toRunOut
		}
		if args[0] == "log" {
			logs++
		}
		text, _ := json.Marshal(append([]string{"--json", "--notebook", path}, args...))
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), lineEnv+"="+string(text))
		var out, complaint bytes.Buffer
		cmd.Stdout, cmd.Stderr = &out, &complaint
		begun := time.Now()
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		ending := time.AfterFunc(time.Duration(random.Int64N(int64(life))), func() { cmd.Process.Kill() })
		err := cmd.Wait()
		ending.Stop()
		var ended *exec.ExitError
		switch {
		case err == nil: // it was done before; the next one is given less time, or more
			life = life*7/8 + time.Since(begun)/8
		case errors.As(err, &ended) && ended.ExitCode() == -1:
			killed++
			life = life * 17 / 16
		case ended.ExitCode() == 2: // an arc that burns, or none that does
		default:
			t.Errorf("%v: %v %s %s", args, err, out.String(), complaint.String())
		}
		before := len(l.ids)
		if l.hear(args, out.Bytes()); len(l.ids) > before {
			var a answered
			_ = json.Unmarshal(out.Bytes(), &a)
			last = a.Mark
		}
		if i%100 == 99 || i == lines-1 {
			lost += l.kept(t, path)
		}
	}
	tell(t, killed, fmt.Sprintf("of %d programs killed, %d of them logs", lines, logs), l, lost)
}

// tell logs what a test has shown, in the words of the table in DEVELOPERS.md.
func tell(t *testing.T, faults int, what string, l *ledger, lost int) {
	t.Helper()
	t.Logf("faults tried: %d %s; acknowledged: %d welds, %d things in all; lost: %d", faults, what, len(l.ids), l.count(), lost)
	if faults == 0 || len(l.ids) == 0 {
		t.Error("the test has shown nothing")
	}
}
