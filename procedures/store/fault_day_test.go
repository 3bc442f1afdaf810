package store_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// The test binary is another program that keeps a day at the machine in the notebook
// that writerEnv names, over and over or as often as countEnv says; with keeperEnv it
// starts and stops its arc instead.
const (
	writerEnv = "NOTEBOOK_TEST_WRITER"
	countEnv  = "NOTEBOOK_TEST_COUNT"
	keeperEnv = "NOTEBOOK_TEST_ARCS"
)

// other is that program.
func other(path string) {
	count, _ := strconv.Atoi(os.Getenv(countEnv))
	do := day
	if os.Getenv(keeperEnv) != "" {
		do = keeper
	}
	if err := do(path, count); err != nil {
		fmt.Println("error", err)
		os.Exit(1)
	}
}

// day is another program that does all that a day brings: arcs on the duty clock,
// welds, run-outs, meter readings, corrections and withdrawals, over and over
// until it is stopped. After each it says on a line what was acknowledged, and how
// far the write-ahead log then reached.
func day(path string, count int) error {
	ctx := context.Background()
	n, err := store.Open(ctx, path, store.Options{})
	if err != nil {
		return err
	}
	defer n.Close()
	var taken *procedures.InvalidError
	if _, err := n.AddMachine(ctx, littleRed()); err != nil && !errors.As(err, &taken) {
		return err
	}
	say := func(what ...any) {
		log := readLog(path)
		fmt.Println(append(what, log.salt, log.end)...)
	}
	fmt.Println("ready")
	for i := 0; count == 0 || i < count; i++ {
		a, err := n.StartArc(ctx, "", time.Time{})
		if errors.As(err, &taken) { // one burns since this program was cut off, or the other one's
			if _, err := n.StopArc(ctx, "", time.Time{}); err != nil && !errors.As(err, &taken) {
				return err
			}
		} else if err != nil {
			return err
		} else {
			say("started", a.ID, "-")
			if a, err = n.StopArc(ctx, "", time.Time{}); err == nil {
				say("stopped", a.ID, "-")
			} else if !errors.As(err, &taken) {
				return err
			}
		}
		w, err := n.AddWeld(ctx, onMachine(bead()))
		if err != nil {
			return err
		}
		say("logged", w.ID, w.Mark)
		runs, err := n.AddRunOuts(ctx, "", []procedures.RunOut{ran(1), ran(2)})
		if err != nil {
			return err
		}
		say("ran", runs[0].ID, runs[0].Number)
		ms, err := n.AddMeasurements(ctx, "", []procedures.Measurement{{Kind: procedures.LineIdleVolts, Value: 119}})
		if err != nil {
			return err
		}
		say("measured", ms[0].ID, ms[0].Number)
		if i%2 == 0 {
			if _, _, err := n.AmendWeld(ctx, w.Mark, func(w *procedures.Weld) error { *w = corrected(*w); return nil }); err != nil {
				return err
			}
			say("amended", w.ID, w.Mark)
		}
		if i%5 == 0 {
			if _, err := n.StrikeWeld(ctx, w.Mark, "wrong coupon"); err != nil {
				return err
			}
			say("struck", w.ID, w.Mark)
			if err := mistake(ctx, n, say); err != nil {
				return err
			}
		}
	}
	return nil
}

// mistake writes down a spool, corrects its name and withdraws it.
func mistake(ctx context.Context, n *store.Notebook, say func(...any)) error {
	s := elevens()
	s.Name = uuid.NewString()
	s, err := n.AddSpool(ctx, s)
	if err != nil {
		return err
	}
	if s, _, err = n.RenameSpool(ctx, s.ID, s.Name+", old"); err != nil {
		return err
	}
	say("renamed", s.ID, "-")
	if s, _, err = n.StrikeSpool(ctx, s.ID, "written down by mistake"); err != nil {
		return err
	}
	say("withdrew", s.ID, "-")
	return nil
}

func onMachine(w procedures.Weld) procedures.Weld {
	w.Job.Machine = "little red"
	return w
}

// corrected is what an amendment of the day makes of a weld.
func corrected(w procedures.Weld) procedures.Weld {
	w.Outcome.Rating, w.Outcome.Symptoms, w.Outcome.Note = 2, []string{"porosity"}, "looked at it by daylight"
	return w
}

// promise is what was acknowledged, by kind and id: the mark or number of each;
// and how far the write-ahead log reached at the last word.
type promise struct {
	by  map[string]map[string]string
	log logEnd
}

var promised = []string{"started", "stopped", "logged", "ran", "measured", "amended", "struck", "renamed", "withdrew"}

func newPromise() *promise {
	p := &promise{by: map[string]map[string]string{}}
	for _, kind := range promised {
		p.by[kind] = map[string]string{}
	}
	return p
}

// hear takes in a line; one that was cut off, or is another, acknowledges nothing.
func (p *promise) hear(line string) {
	f := strings.Fields(line)
	if len(f) != 5 || p.by[f[0]] == nil || uuid.Validate(f[1]) != nil {
		return
	}
	salt, err1 := strconv.ParseUint(f[3], 10, 64)
	end, err2 := strconv.ParseInt(f[4], 10, 64)
	if err1 == nil && err2 == nil {
		p.by[f[0]][f[1]] = f[2]
		p.log = logEnd{salt, end}
	}
}

func (p *promise) welds() int { return len(p.by["logged"]) }

// count is how many records, corrections and withdrawals were acknowledged.
func (p *promise) count() (all int) {
	for _, m := range p.by {
		all += len(m)
	}
	return all
}

// kept compares the notebook with the promise and returns how many of the things
// acknowledged are lost or not as they were acknowledged; it says which. No mark and no
// number may have been given twice, and no pair of run-outs by half.
func (p *promise) kept(t *testing.T, n *store.Notebook) (lost int) {
	t.Helper()
	miss := func(format string, args ...any) {
		t.Helper()
		t.Errorf(format, args...)
		lost++
	}
	for id, mark := range p.by["logged"] {
		got, amended, err := n.Weld(t.Context(), id)
		if err != nil {
			miss("weld %s was acknowledged and is gone: %v", mark, err)
			continue
		}
		plain := onMachine(bead())
		plain.ID, plain.Mark, plain.At, plain.Job.State, plain.ArcTime = id, mark, got.At, got.Job.State, got.ArcTime
		is := got
		is.Struck = ""
		first, second := same(plain, is), same(corrected(plain), is)
		switch {
		case first != "" && second != "":
			miss("weld %s is neither as logged nor as corrected (-logged +got):\n%s", mark, first)
		case second == "" && len(amended) == 0:
			miss("weld %s was corrected without a trace", mark)
		case p.by["amended"][id] != "" && second != "":
			miss("the correction of %s was acknowledged and is gone:\n%s", mark, second)
		case p.by["struck"][id] != "" && got.Struck == "":
			miss("the withdrawal of %s was acknowledged and is gone", mark)
		}
	}
	marks := map[string]bool{}
	for _, w := range must(n.Find(t.Context(), procedures.Filter{Struck: true}))(t) {
		if marks[w.Mark] {
			miss("mark %s was given twice", w.Mark)
		}
		marks[w.Mark] = true
	}
	runs, measured := map[string]procedures.RunOut{}, map[string]procedures.Measurement{}
	arcs := map[string]procedures.Arc{}
	for _, m := range must(n.Machines(t.Context()))(t) {
		ranOut, read := map[int]bool{}, map[int]bool{}
		for _, r := range m.RunOuts {
			runs[r.ID], ranOut[r.Number] = r, true
		}
		for _, v := range m.Measurements {
			measured[v.ID], read[v.Number] = v, true
		}
		if len(ranOut) != len(m.RunOuts) || len(m.RunOuts)%2 != 0 || len(read) != len(m.Measurements) {
			miss("%d run-outs with %d numbers, %d measurements with %d: half a pair, or a number given twice", len(m.RunOuts), len(ranOut), len(m.Measurements), len(read))
		}
		for _, a := range must(n.Arcs(t.Context(), m.Name, time.Time{}))(t) {
			arcs[a.ID] = a
		}
	}
	for id, number := range p.by["ran"] {
		want, got := ran(1), runs[id]
		want.ID, want.Number, want.At, want.Machine, want.State = id, got.Number, got.At, "little red", got.State
		if diff := same(want, got); diff != "" || strconv.Itoa(got.Number) != number {
			miss("run-out %s was acknowledged and is not so (-want +got):\n%s", number, diff)
		}
	}
	for id, number := range p.by["measured"] {
		if got := measured[id]; strconv.Itoa(got.Number) != number || got.Value != 119 {
			miss("measurement %s was acknowledged and is %+v", number, got)
		}
	}
	for id := range p.by["started"] {
		if _, ok := arcs[id]; !ok {
			miss("arc %s was acknowledged and is gone", id)
		}
	}
	for id := range p.by["stopped"] {
		if a, ok := arcs[id]; !ok || a.Burning() {
			miss("arc %s was stopped and is %+v", id, a)
		}
	}
	for id := range p.by["renamed"] {
		if s, err := n.Spool(t.Context(), id); err != nil || !strings.HasSuffix(s.Name, ", old") || len(must(n.SpoolAmendments(t.Context(), id))(t)) != 1 {
			miss("spool %s was renamed and is %q: %v", id, s.Name, err)
		}
	}
	for id := range p.by["withdrew"] {
		if s, err := n.Spool(t.Context(), id); err != nil || s.Struck == "" {
			miss("the withdrawal of spool %s was acknowledged and is gone: %v", id, err)
		}
	}
	if wrong, err := n.Check(t.Context()); err != nil || len(wrong) > 0 {
		miss("the notebook is not sound: %v %s", err, strings.Join(wrong, "; "))
	}
	return lost
}

// startDay starts a program that keeps a day.
func startDay(t *testing.T, path string, count int) (*exec.Cmd, *os.File) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), writerEnv+"="+path, countEnv+"="+strconv.Itoa(count))
	cmd.Stderr = os.Stderr
	out, in, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stdout = in
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	in.Close()
	t.Cleanup(func() { out.Close() })
	return cmd, out
}

// listen hears a program out; ready is called once it works.
func (p *promise) listen(t *testing.T, out *os.File, ready func()) {
	t.Helper()
	for lines := bufio.NewScanner(out); lines.Scan(); {
		switch line := lines.Text(); {
		case line == "ready":
			ready()
		case strings.HasPrefix(line, "error"):
			t.Errorf("the other program said: %s", line)
		default:
			p.hear(line)
		}
	}
}

// tell logs what a test has shown, in the words of the table in DEVELOPERS.md: lost
// counts welds and whatever else was acknowledged.
func tell(t *testing.T, faults int, what string, welds, acknowledged, lost int) {
	t.Helper()
	t.Logf("faults tried: %d %s; acknowledged: %d welds, %d things in all; lost: %d", faults, what, welds, acknowledged, lost)
	if faults == 0 || welds == 0 {
		t.Error("the test has shown nothing")
	}
}
