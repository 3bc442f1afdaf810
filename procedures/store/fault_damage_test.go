package store_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// fullNotebook makes a notebook with many welds and all that is measured. open: with its
// log beside it, as it lies while a program has it open; else closed and whole. ends
// says how far the log reached once each weld was acknowledged.
func fullNotebook(t *testing.T, open bool) (file, log []byte, marks []string, ends []int) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "notebook.db")
	n, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	must(n.AddMachine(t.Context(), littleRed()))(t)
	must(n.AddSpool(t.Context(), elevens()))(t)
	for i := range 40 {
		w := onMachine(bead())
		w.Outcome.Note = fmt.Sprintf("coupon %d of the gate", i)
		w = must(n.AddWeld(t.Context(), w))(t)
		marks, ends = append(marks, w.Mark), append(ends, int(readLog(path).end))
		if i%8 == 0 {
			must(n.AddRunOuts(t.Context(), "", []procedures.RunOut{ran(1), ran(2)}))(t)
			_, _, err := n.AmendWeld(t.Context(), w.Mark, func(w *procedures.Weld) error { w.Outcome.Rating = 5; return nil })
			if err != nil {
				t.Fatal(err)
			}
		}
	}
	if open {
		file, log = must(os.ReadFile(path))(t), must(os.ReadFile(path+"-wal"))(t)
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	if !open {
		file = must(os.ReadFile(path))(t)
	}
	return file, log, marks, ends
}

// book is all that a recommender and a welder read of a notebook.
type book struct {
	Welds    []procedures.Weld
	Machines []procedures.Machine
	Spools   []procedures.Spool
}

// bookAt reads all of a notebook. err says that it was refused, on opening or later;
// sound whether its own check finds nothing.
func bookAt(t *testing.T, path string) (c book, sound bool, err error) {
	t.Helper()
	n, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		return c, false, err
	}
	defer n.Close()
	ctx := t.Context()
	if c.Welds, err = n.History(ctx); err != nil {
		return c, false, err
	}
	past, err := n.Past(ctx)
	if err == nil && len(past) != len(c.Welds) {
		t.Errorf("%d welds in the whole, %d in the lean reading", len(c.Welds), len(past))
	}
	if err == nil {
		c.Machines, err = n.Machines(ctx)
	}
	if err == nil {
		c.Spools, err = n.Spools(ctx)
	}
	if err == nil {
		_, err = n.Find(ctx, procedures.Filter{Words: "gate", Limit: 5})
	}
	wrong, failed := n.Check(ctx)
	return c, failed == nil && len(wrong) == 0, err
}

// inMemory lets a test that opens hundreds of files not wait for a disk.
func inMemory(t *testing.T) {
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		t.Setenv("TMPDIR", "/dev/shm")
	}
}

// clearly fails the test unless the error is one of the file's, in words.
func clearly(t *testing.T, what string, err error) {
	t.Helper()
	var e *store.FileError
	if !errors.As(err, &e) || e.Kind == "" || e.Problem == "" || e.Path == "" {
		t.Errorf("%s: %v (%T), want a FileError that says what is wrong", what, err, err)
	}
}

// TestFaultFlippedBits turns one bit anywhere in the file. The notebook is then
// refused in words, or says all that it said; or, where a letter or a digit of a
// record was hit, that record reads differently: SQLite keeps no sums of its
// pages. Then the others must be as they were.
func TestFaultFlippedBits(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	inMemory(t)
	flips := 150
	if *long {
		flips = 20_000
	}
	file, _, _, _ := fullNotebook(t, false)
	path := filepath.Join(t.TempDir(), "notebook.db")
	write := func(b []byte) {
		t.Helper()
		os.Remove(path + "-wal")
		os.Remove(path + "-shm")
		os.Remove(path + "-journal")
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(file)
	whole, sound, err := bookAt(t, path)
	if err != nil || !sound {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(19, 23))
	refused, asWas, told, unseen, lost := 0, 0, 0, 0, 0
	for range flips {
		b := append([]byte(nil), file...)
		bit := random.IntN(8 * len(b))
		b[bit/8] ^= 1 << (bit % 8)
		write(b)
		what := fmt.Sprintf("bit %d of byte %d", bit%8, bit/8)
		got, sound, err := bookAt(t, path)
		switch {
		case err != nil:
			refused++
			clearly(t, what, err)
		case reflect.DeepEqual(whole, got):
			asWas++
		case !sound:
			told++
		default:
			unseen++
			if d := different(whole, got); d > 1 {
				lost += d
				t.Errorf("%s: %d records differ, the check finds nothing", what, d)
			}
		}
	}
	tell(t, flips, "bits of the file turned", flips*len(whole.Welds), flips*len(whole.Welds), lost)
	t.Logf("%d refused, %d as it was, %d told by the check, %d a letter or digit of one record that nothing tells", refused, asWas, told, unseen)
}

// different counts the records that differ.
func different(a, b book) (count int) {
	if len(a.Welds) != len(b.Welds) || len(a.Machines) != len(b.Machines) || len(a.Spools) != len(b.Spools) {
		return 1 << 20
	}
	for i := range a.Welds {
		if same(a.Welds[i], b.Welds[i]) != "" {
			count++
		}
	}
	if same(a.Machines, b.Machines) != "" || same(a.Spools, b.Spools) != "" {
		count++
	}
	return count
}

// TestFaultFlippedLog turns one bit anywhere in the log. Its entries carry sums: where
// one cannot be read and others stand behind it, the notebook is refused in words, and
// opens again as the words say, with what was logged until then. Only the last entry
// may be read as if it had not been made: it looks like one that was cut off when the
// power went.
func TestFaultFlippedLog(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	inMemory(t)
	flips := 50
	if *long {
		flips = 5000
	}
	file, log, marks, ends := fullNotebook(t, true)
	random := rand.New(rand.NewPCG(29, 31))
	refused, last, acknowledged, lost := 0, 0, 0, 0
	for range flips {
		b := append([]byte(nil), log...)
		bit := random.IntN(8 * len(b))
		b[bit/8] ^= 1 << (bit % 8)
		what := fmt.Sprintf("bit %d of byte %d", bit%8, bit/8)
		acknowledged += len(marks)
		count, err := withLog(t, file, b, marks)
		switch {
		case err != nil:
			refused++
			clearly(t, what, err)
			if to := wayOut(t, err); to > bit/8 {
				t.Errorf("%s: cut to %d bytes it would still be damaged", what, to)
			} else if count, err := withLog(t, file, b[:to], marks); err != nil || count != upTo(ends, to) {
				t.Errorf("%s: cut as told: %d welds, want %d: %v", what, count, upTo(ends, to), err)
			}
		case count < len(marks)-1:
			lost += len(marks) - count
			t.Errorf("%s: %d of %d welds, without a word", what, count, len(marks))
		case count < len(marks):
			last++
		}
	}
	tell(t, flips, "bits of the log turned", acknowledged, acknowledged, lost)
	t.Logf("%d refused, %d read without the last entry, %d as it was", refused, last, flips-refused-last)
	if refused == 0 {
		t.Error("no damaged log was refused")
	}
}

// TestFaultCutOff cuts the file off at every kind of length, and its log too. A
// file that is too short is refused; a log that is, holds each weld that was
// acknowledged by then.
func TestFaultCutOff(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	inMemory(t)
	file, _, all, _ := fullNotebook(t, false)
	cuts := 0
	for _, at := range lengths(len(file), pageSize, 0, 1, 15, 16, 17, 50, 99, 100, 107, 108, 511, 512, 1024) {
		if at == 0 || at == len(file) { // nothing at all counts as no notebook yet
			continue
		}
		path := filepath.Join(t.TempDir(), "notebook.db")
		if err := os.WriteFile(path, file[:at], 0o600); err != nil {
			t.Fatal(err)
		}
		_, _, err := bookAt(t, path)
		clearly(t, fmt.Sprintf("%d of %d bytes", at, len(file)), err)
		if b := must(os.ReadFile(path))(t); string(b) != string(file[:at]) {
			t.Errorf("%d of %d bytes: refused, but the file has changed", at, len(file))
		}
		cuts++
	}
	acknowledged, lost := cuts*len(all), 0
	file, log, marks, ends := fullNotebook(t, true)
	every := 80 // frames
	if *long {
		every = 1
	}
	for _, at := range lengths(len(log)-logHeader, every*frame, 0, 1, frameHeader-1, frameHeader, frameHeader+1, frameHeader+pageSize/2) {
		count, err := withLog(t, file, log[:logHeader+at], marks)
		held := upTo(ends, logHeader+at)
		if err != nil || count != held {
			lost += held - count
			t.Errorf("%d bytes of the log: %d welds, want %d: %v", logHeader+at, count, held, err)
		}
		acknowledged += held
		cuts++
	}
	for _, at := range []int{0, 1, 16, logHeader - 1} {
		if _, err := withLog(t, file, log[:at], marks); err != nil {
			t.Errorf("%d bytes of the log: %v", at, err)
		}
		cuts++
	}
	tell(t, cuts, "files and logs cut off", acknowledged, acknowledged, lost)
}

// upTo counts the welds that are whole in so many bytes of the log.
func upTo(ends []int, bytes int) (count int) {
	for _, end := range ends {
		if end <= bytes {
			count++
		}
	}
	return count
}

// lengths lists, in order, the lengths up to all: those given, and those about each
// border of a unit and half a page behind it.
func lengths(all, unit int, given ...int) (list []int) {
	is := map[int]bool{all: true}
	for at := 0; at <= all; at += unit {
		for _, by := range []int{-1, 0, 1, pageSize / 2} {
			is[at+by] = true
		}
	}
	for _, at := range given {
		is[at] = true
	}
	for at := range all + 1 {
		if is[at] {
			list = append(list, at)
		}
	}
	return list
}

// withLog opens a file with a log beside it and counts its welds, which must be
// whole and the first ones logged, with none missing between.
func withLog(t *testing.T, file, log []byte, marks []string) (count int, err error) {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "notebook.db")
	if err := errors.Join(os.WriteFile(path, file, 0o600), os.WriteFile(path+"-wal", log, 0o600)); err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	c, sound, err := bookAt(t, path)
	if err != nil {
		return 0, err
	}
	if !sound {
		t.Error("the notebook is not sound")
	}
	for i, w := range c.Welds {
		want := onMachine(bead())
		want.ID, want.Mark, want.At, want.Job.State = w.ID, marks[i], w.At, w.Job.State
		want.Outcome.Note, want.Outcome.Rating = fmt.Sprintf("coupon %d of the gate", i), w.Outcome.Rating
		if diff := same(want, w); diff != "" {
			t.Errorf("weld %d (-want +got):\n%s", i+1, diff)
		}
	}
	return len(c.Welds), nil
}
