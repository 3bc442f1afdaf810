package store_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"beadwright/procedures/store"
)

// TestFaultPowerCut copies the notebook and its log at any moment while another
// program writes, as a disk is found after the power went off, and opens the copy:
// it holds all that was acknowledged before. The program is held still meanwhile,
// since a copy of two moments is what no disk holds.
//
// A disk may besides have lost what it was not yet told to keep. So of each copy
// more are made, in which what the log holds beyond the last word is cut off
// somewhere or is rubbish, and pages that the log holds are rubbish in the file
// itself, as if it had been cut off while the log was carried over.
func TestFaultPowerCut(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	cuts := 8
	if *long {
		cuts = 500
	}
	random := rand.New(rand.NewPCG(13, 17))
	copies, welds, acknowledged, lost := 0, 0, 0, 0
	for left := cuts; left > 0; left -= 20 { // a new notebook now and then: each copy is looked through
		p, c, l := cutPower(t, min(left, 20), random)
		copies, welds, acknowledged, lost = copies+c, welds+p.welds(), acknowledged+p.count(), lost+l
	}
	tell(t, copies, "disks after a power cut", welds, acknowledged, lost)
}

// TestFaultSynced holds every connection to what [TestFaultPowerCut] takes for granted:
// that a log was told to the disk before its weld is acknowledged (2 is FULL).
func TestFaultSynced(t *testing.T) {
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{})
	for name, want := range map[string]string{"synchronous": "2", "journal_mode": "wal", "foreign_keys": "1"} {
		said := must(n.Pragma(t.Context(), name))(t)
		if len(said) != 4 || slices.ContainsFunc(said, func(s string) bool { return s != want }) {
			t.Errorf("%s: %q, want %s four times", name, said, want)
		}
	}
}

// cutPower copies one notebook so many times while it is written to.
func cutPower(t *testing.T, cuts int, random *rand.Rand) (p *promise, copies, lost int) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	p = newPromise()
	cmd, out := startDay(t, path, 0)
	defer func() {
		cmd.Process.Kill()
		cmd.Wait()
	}()
	tail := ""
	hear := func(wait time.Duration) {
		out.SetReadDeadline(time.Now().Add(wait))
		for b := make([]byte, 65536); ; {
			k, err := out.Read(b)
			lines := strings.Split(tail+string(b[:k]), "\n")
			tail = lines[len(lines)-1]
			for _, line := range lines[:len(lines)-1] {
				p.hear(line)
			}
			if errors.Is(err, os.ErrDeadlineExceeded) {
				return
			}
			if err != nil {
				t.Fatalf("the other program ended: %v", err)
			}
		}
	}
	for p.count() == 0 {
		hear(50 * time.Millisecond)
	}
	for range cuts {
		hear(time.Duration(random.IntN(30_000)) * time.Microsecond)
		stop(t, cmd.Process.Pid)
		hear(time.Millisecond) // what it had said when it was stopped
		file, log := must(os.ReadFile(path))(t), must(os.ReadFile(path+"-wal"))(t)
		if err := cmd.Process.Signal(syscall.SIGCONT); err != nil {
			t.Fatal(err)
		}
		pages, now := frames(log)
		synced := 0 // of the log, when the last word was said
		if now.salt == p.log.salt {
			synced = int(p.log.end)
		}
		try := func(file, log []byte) {
			t.Helper()
			dir := t.TempDir()
			copied := filepath.Join(dir, "notebook.db")
			if err := errors.Join(os.WriteFile(copied, file, 0o600), os.WriteFile(copied+"-wal", log, 0o600)); err != nil {
				t.Fatal(err)
			}
			n := open(t, copied, store.Options{})
			copies++
			lost += p.kept(t, n)
			if err := errors.Join(n.Close(), os.RemoveAll(dir)); err != nil {
				t.Fatal(err)
			}
		}
		try(file, log)
		if len(log) > synced {
			at := synced + random.IntN(len(log)-synced)
			try(file, log[:at])
			rubbish := append([]byte{}, log...)
			for i := at; i < len(rubbish); i++ {
				rubbish[i] = byte(random.Uint32())
			}
			try(file, rubbish)
		}
		held := map[uint32]bool{}
		for i := range pages {
			held[pages[i]] = logHeader+(i+1)*frame <= synced
		}
		torn := append([]byte{}, file...)
		for page := range held {
			if held[page] && page > 1 && int(page)*pageSize <= len(torn) && random.IntN(2) == 0 {
				for i := range torn[:512] {
					torn[int(page-1)*pageSize+random.IntN(pageSize)] = byte(i)
				}
			}
		}
		try(torn, log[:max(synced, min(logHeader, len(log)))])
	}
	return p, copies, lost
}

// stop holds a program still, and returns once it is.
func stop(t *testing.T, pid int) {
	t.Helper()
	if err := syscall.Kill(pid, syscall.SIGSTOP); err != nil {
		t.Fatal(err)
	}
	var status syscall.WaitStatus
	if _, err := syscall.Wait4(pid, &status, syscall.WUNTRACED, nil); err != nil || !status.Stopped() {
		t.Fatalf("the other program could not be stopped: %v %v", err, status)
	}
}
