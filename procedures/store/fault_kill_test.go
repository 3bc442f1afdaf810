package store_test

import (
	"math/rand/v2"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"beadwright/procedures/store"
)

// TestFaultKilled kills a program with SIGKILL in the middle of a day's work, at
// any moment, its first one too: all that it acknowledged is there afterwards, run-
// outs, arcs, corrections and withdrawals as well as welds.
func TestFaultKilled(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	kills, within, anew := 20, 60_000, 4 // microseconds, kills
	if *long {
		kills, within, anew = 300, 400_000, 10
	}
	random := rand.New(rand.NewPCG(3, 5))
	path, all := "", newPromise()
	acknowledged, welds, lost := 0, 0, 0
	for i := range kills {
		if i%anew == 0 { // a new notebook now and then, so that its making is cut off too
			acknowledged, welds = acknowledged+all.count(), welds+all.welds()
			path, all = filepath.Join(t.TempDir(), "notebook.db"), newPromise()
		}
		cmd, out := startDay(t, path, 0)
		kill := func() {
			time.AfterFunc(time.Duration(random.IntN(within))*time.Microsecond, func() { cmd.Process.Kill() })
		}
		if i%anew == 0 {
			kill()
			kill = func() {}
		}
		all.listen(t, out, kill)
		cmd.Wait() // killed, so an error
		n := open(t, path, store.Options{})
		lost += all.kept(t, n)
		if err := n.Close(); err != nil {
			t.Fatal(err)
		}
	}
	acknowledged, welds = acknowledged+all.count(), welds+all.welds()
	tell(t, kills, "kills", welds, acknowledged, lost)
}

// TestFaultTwoWriters lets two programs write while this one reads, on a notebook that
// all three begin at once: whatever is read is whole, nothing that was read is gone
// later, nothing is lost, and no mark or number is given twice.
func TestFaultTwoWriters(t *testing.T) {
	each := 30
	if *long {
		each = 300
	}
	path := filepath.Join(t.TempDir(), "notebook.db")
	programs, promises := [2]interface{ Wait() error }{}, [2]*promise{newPromise(), newPromise()}
	var hearing sync.WaitGroup
	for i := range 2 {
		cmd, out := startDay(t, path, each)
		programs[i] = cmd
		hearing.Go(func() { promises[i].listen(t, out, func() {}) })
	}
	n := open(t, path, store.Options{})
	done := make(chan struct{})
	go func() { hearing.Wait(); close(done) }()
	reads, before := 0, 0
	for reading := true; reading; reads++ {
		select {
		case <-done:
			reading = false
		default:
		}
		list := must(n.History(t.Context()))(t)
		if lean := must(n.Past(t.Context()))(t); len(lean) > 2*each {
			t.Fatalf("%d welds of %d", len(lean), 2*each)
		}
		for _, w := range list {
			plain := onMachine(bead())
			plain.ID, plain.Mark, plain.At, plain.Job.State, plain.ArcTime = w.ID, w.Mark, w.At, w.Job.State, w.ArcTime
			if diff := same(plain, w); diff != "" && same(corrected(plain), w) != "" {
				t.Fatalf("half a weld was read (-want +got):\n%s", diff)
			}
		}
		// Of each five welds one is struck, so the list shrinks by at most one a writer.
		if len(list) < before-2 {
			t.Fatalf("%d welds were read, and then %d", before, len(list))
		}
		before = len(list)
	}
	for _, p := range programs {
		if err := p.Wait(); err != nil {
			t.Error(err)
		}
	}
	acknowledged, lost := 0, 0
	given := map[string]map[string]bool{"logged": {}, "ran": {}, "measured": {}} // marks and numbers
	for _, p := range promises {
		acknowledged, lost = acknowledged+p.count(), lost+p.kept(t, n)
		for kind, names := range given {
			for _, name := range p.by[kind] {
				if names[name] {
					t.Errorf("%s: %s was given twice", kind, name)
				}
				names[name] = true
			}
		}
	}
	for kind, names := range given {
		if len(names) != 2*each {
			t.Errorf("%s: %d, want %d", kind, len(names), 2*each)
		}
	}
	tell(t, reads, "reads between two writers", 2*each, acknowledged, lost)
}
