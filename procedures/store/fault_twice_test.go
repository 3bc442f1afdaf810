package store_test

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

const sector = 512 // bytes that a disk writes all or not at all

// disk is a notebook as it lies on a disk, with what was acknowledged in it.
type disk struct {
	file, log []byte
	marks     []string
	ends      []int // of the log, once each weld was acknowledged
}

// worked opens a copy of a disk and logs welds, each acknowledged; it returns the disk
// as it then is, before the notebook is closed. The welds of the last call, if there
// are some, are logged at once and not acknowledged: during says what the log held
// before the first of its writes.
func worked(t *testing.T, d disk, welds, atOnce int) (after disk, during []byte) {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "notebook.db")
	if d.file != nil {
		if err := errors.Join(os.WriteFile(path, d.file, 0o600), os.WriteFile(path+"-wal", d.log, 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	n, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatalf("after a power cut: %v", err)
	}
	defer os.RemoveAll(dir)
	defer n.Close()
	if d.file == nil {
		must(n.AddMachine(t.Context(), littleRed()))(t)
	}
	if is := len(must(n.History(t.Context()))(t)); is < len(d.marks) {
		t.Errorf("%d welds, %d were acknowledged", is, len(d.marks))
	}
	for range welds {
		w := must(n.AddWeld(t.Context(), coupon(len(d.marks))))(t)
		d.marks, d.ends = append(d.marks, w.Mark), append(d.ends, int(readLog(path).end))
	}
	during = must(os.ReadFile(path + "-wal"))(t)
	if atOnce > 0 {
		rows := make([]procedures.Weld, atOnce)
		for i := range rows {
			rows[i] = coupon(len(d.marks) + i)
		}
		must(n.AddWelds(t.Context(), rows))(t)
	}
	d.file, d.log = must(os.ReadFile(path))(t), must(os.ReadFile(path+"-wal"))(t)
	return d, during
}

func coupon(i int) procedures.Weld {
	w := onMachine(bead())
	w.Outcome.Note = fmt.Sprintf("coupon %d of the gate", i)
	return w
}

// cut is a log as the disk has it when the power goes off during a write: of each
// sector that was being written, what is new or what was there before.
func cut(before, after []byte, written func(at int) bool) []byte {
	b := append([]byte{}, after...)
	for at := 0; at < len(b); at += sector {
		if end := min(at+sector, len(b)); !written(at) {
			clear(b[at:end])
			if at < len(before) {
				copy(b[at:end], before[at:])
			}
		}
	}
	return b
}

// TestFaultCutTwice makes a log that two power cuts went through: each lost the first
// entry of what was being written and kept the rest, the second less than the first.
// Behind the end lie then entries of both, whole commits to look at. The notebook
// opens with all that was acknowledged; and with a bit turned further up it is
// refused all the same, and opens as it is told.
func TestFaultCutTwice(t *testing.T) {
	first := func(end int) func(int) bool {
		return func(at int) bool { return at+sector <= end || at >= end+frame }
	}
	d, before := worked(t, disk{}, 3, 150)
	d.log = cut(before, d.log, first(d.ends[2]))
	long := len(d.log)
	d, before = worked(t, d, 1, 5)
	d.log = cut(before, d.log, first(d.ends[3]))
	if commits := behindEnd(d.log, d.ends[3]); len(d.log) != long || commits != 2 {
		t.Fatalf("%d bytes of %d, %d commits behind the end, want two", len(d.log), long, commits)
	}
	if count, err := withLog(t, d.file, d.log, d.marks); err != nil || count != 4 {
		t.Errorf("%d welds, want 4: %v", count, err)
	}
	refused := func(at, left int) {
		t.Helper()
		b := append([]byte{}, d.log...)
		b[at] ^= 1
		_, err := withLog(t, d.file, b, d.marks)
		clearly(t, fmt.Sprintf("byte %d", at), err)
		if count, err := withLog(t, d.file, b[:wayOut(t, err)], d.marks); err != nil || count != left {
			t.Errorf("byte %d: cut as told: %d welds, want %d: %v", at, count, left, err)
		}
	}
	for i, end := range d.ends[:3] {
		for _, at := range []int{0, 7, 8, 15, 16, 23, frameHeader, frame - 1} { // in the last frame of that weld
			refused(end-frame+at, i)
		}
	}
	for _, at := range []int{3, 11, 16, 23, 24, 31} { // in the head of the log
		refused(at, 0)
	}
	d, _ = worked(t, d, 2, 0)
	if count, err := withLog(t, d.file, d.log, d.marks); err != nil || count != 6 {
		t.Errorf("%d welds, want 6: %v", count, err)
	}
}

// TestFaultCutAgain cuts the power off again and again, without the log being carried
// over between: of each sector that was being written the disk has the new or the
// old. Whatever lies behind its end, the notebook opens with all that was acknowledged.
func TestFaultCutAgain(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	inMemory(t)
	rounds := 1
	if *long {
		rounds = 150
	}
	random := rand.New(rand.NewPCG(71, 73))
	cuts, welds, behind := 0, 0, 0
	for range rounds {
		var d disk
		for len(d.log) < 900*frame { // at 1000 it is carried over
			atOnce := 1 + random.IntN(5)
			if random.IntN(3) == 0 {
				atOnce *= 30
			}
			var before []byte
			d, before = worked(t, d, 1+random.IntN(2), atOnce)
			some := 1 + random.IntN(3) // of four sectors
			d.log = cut(before, d.log, func(int) bool { return random.IntN(4) < some })
			_, is := frames(d.log)
			if int(is.end) != d.ends[len(d.ends)-1] {
				break // all of it was written by chance
			}
			if behindEnd(d.log, int(is.end)) > 1 {
				behind++
			}
			count, err := withLog(t, d.file, d.log, d.marks)
			if err != nil || count != len(d.marks) {
				t.Fatalf("%d welds, %d were acknowledged: %v", count, len(d.marks), err)
			}
			cuts++
		}
		welds += len(d.marks)
	}
	tell(t, cuts, "power cuts in the middle of a write", welds, welds, 0)
	if behind == 0 {
		t.Error("no log had more than one commit behind its end")
	}
	t.Logf("%d logs had more than one commit behind their end", behind)
}

// behindEnd counts commits behind the end of a log that are of its own round.
func behindEnd(log []byte, end int) (commits int) {
	for at := end; at+frame <= len(log); at += frame {
		if string(log[at+8:at+16]) == string(log[16:24]) && binary.BigEndian.Uint32(log[at+4:]) != 0 {
			commits++
		}
	}
	return commits
}

// wayOut reads the length to which a refused log is to be cut.
func wayOut(t *testing.T, err error) (to int) {
	t.Helper()
	var e *store.FileError
	if !errors.As(err, &e) || len(e.Hints) != 2 {
		t.Fatalf("%v: no two ways out", err)
	}
	if _, err := fmt.Sscanf(e.Hints[1], "or go on without these entries: truncate -s %d ", &to); err != nil {
		t.Fatalf("%q: %v", e.Hints, err)
	}
	return to
}
