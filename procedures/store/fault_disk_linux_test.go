package store_test

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// shift is one program's work on a notebook, step after step, with what was
// acknowledged of it.
type shift struct {
	*promise
	n    *store.Notebook
	last procedures.Weld
}

// step does the next thing and promises it, if it is done.
func (s *shift) step(t *testing.T, i int) error {
	ctx := t.Context()
	switch i % 5 {
	case 0, 1:
		w, err := s.n.AddWeld(ctx, onMachine(bead()))
		if err != nil {
			return err
		}
		s.last, s.by["logged"][w.ID] = w, w.Mark
	case 2:
		w, _, err := s.n.AmendWeld(ctx, s.last.Mark, func(w *procedures.Weld) error { *w = corrected(*w); return nil })
		if err != nil {
			return err
		}
		s.by["amended"][w.ID] = w.Mark
	case 3:
		a, err := s.n.StartArc(ctx, "", time.Time{})
		if err == nil {
			s.by["started"][a.ID] = "-"
			a, err = s.n.StopArc(ctx, "", time.Time{})
		}
		if err != nil {
			var burning *procedures.InvalidError
			if errors.As(err, &burning) {
				_, err = s.n.StopArc(ctx, "", time.Time{})
			}
			return err
		}
		s.by["stopped"][a.ID] = "-"
	case 4:
		w, err := s.n.StrikeWeld(ctx, s.last.Mark, "wrong coupon")
		if err != nil {
			return err
		}
		s.by["struck"][w.ID] = w.Mark
	}
	return nil
}

// TestFaultDiskFull lets a disk of a few hundred kilobytes fill up, makes room and
// lets it fill up again, in the middle of the work and while the notebook is
// opened: each failure says so, and nothing acknowledged is lost.
func TestFaultDiskFull(t *testing.T) {
	rounds := 10
	if *long {
		rounds = 200
	}
	random := rand.New(rand.NewPCG(43, 47))
	dir, disk := t.TempDir(), 0
	welds, acknowledged, lost, faults := 0, 0, 0, 0
	for round := 0; round < rounds; {
		disk++
		dir := filepath.Join(dir, uuid.NewString())
		if err := os.Mkdir(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		mount(t, dir, "700k")
		path, junk := filepath.Join(dir, "notebook.db"), filepath.Join(dir, "junk")
		s := &shift{promise: newPromise(), n: open(t, path, store.Options{})}
		must(s.n.AddMachine(t.Context(), littleRed()))(t)
		must(s.n.AddWeld(t.Context(), onMachine(bead())))(t)
		for spent := false; round < rounds && !spent; round++ {
			filled := make([]byte, random.IntN(160_000))
			if err := os.WriteFile(junk, filled, 0o600); err != nil && !errors.Is(err, syscall.ENOSPC) {
				t.Fatal(err)
			}
			steps := 0
			for i := 0; ; i++ {
				if err := s.step(t, i); err != nil {
					wantKind(t, err, path, store.Full)
					faults++
					break
				}
				steps++
			}
			if random.IntN(3) == 0 { // another program comes along, with no room to open in
				if other, err := store.Open(t.Context(), path, store.Options{}); err != nil {
					clearly(t, "opened on a full disk", err)
					faults++
				} else {
					other.Close()
				}
			}
			if err := os.Remove(junk); err != nil {
				t.Fatal(err)
			}
			if err := s.n.Close(); err != nil {
				t.Fatal(err)
			}
			s.n = open(t, path, store.Options{})
			lost += s.kept(t, s.n)
			spent = steps == 0
		}
		welds, acknowledged = welds+s.welds(), acknowledged+s.count()
		if err := s.n.Close(); err != nil {
			t.Fatal(err)
		}
	}
	tell(t, faults, "writes and openings refused on a full disk", welds, acknowledged, lost)
	t.Logf("%d disks", disk)
}

// TestFaultReadOnly makes the disk read-only in the middle of the work and
// writable again: writes are refused meanwhile, reading goes on, nothing is lost.
func TestFaultReadOnly(t *testing.T) {
	rounds := 10
	if *long {
		rounds = 200
	}
	dir := t.TempDir()
	mount(t, dir, "16m")
	remount := func(flags uintptr) bool {
		err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|flags, "")
		return err == nil
	}
	path := filepath.Join(dir, "notebook.db")
	s := &shift{promise: newPromise()}
	faults, lost := 0, 0
	for round := range rounds {
		n, err := store.Open(t.Context(), path, store.Options{})
		if err != nil {
			t.Fatal(err)
		}
		s.n = n
		if round == 0 {
			must(n.AddMachine(t.Context(), littleRed()))(t)
		}
		for i := range 5 {
			if err := s.step(t, i); err != nil {
				t.Fatal(err)
			}
		}
		if err := n.Close(); err != nil { // an open file would keep the disk writable
			t.Fatal(err)
		}
		if !remount(syscall.MS_RDONLY) {
			t.Skip("cannot make the disk read-only")
		}
		_, err = store.Open(t.Context(), path, store.Options{})
		wantKind(t, err, path, store.ReadOnly)
		faults++
		reader := open(t, path, store.Options{ReadOnly: true})
		lost += s.kept(t, reader)
		_, err = reader.AddWeld(t.Context(), bead())
		wantKind(t, err, path, store.ReadOnly)
		faults++
		if err := reader.Close(); err != nil {
			t.Fatal(err)
		}
		if !remount(0) {
			t.Fatal("the disk stays read-only")
		}
	}
	s.n = open(t, path, store.Options{})
	lost += s.kept(t, s.n)
	tell(t, faults, "openings and writes refused on a read-only disk", s.welds(), s.count(), lost)
}
