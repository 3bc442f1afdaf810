package store_test

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"beadwright/procedures/store"
)

// mount puts a small disk of memory at dir, which takes root.
func mount(t *testing.T, dir, size string) {
	t.Helper()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+size); err != nil {
		t.Skipf("cannot mount a small disk here: %v", err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, syscall.MNT_DETACH) })
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	if err := os.WriteFile(to, must(os.ReadFile(from))(t), 0o600); err != nil {
		t.Fatal(err)
	}
}

func TestFullDisk(t *testing.T) {
	t.Run("to begin", func(t *testing.T) {
		dir := t.TempDir()
		mount(t, dir, "16k")
		path := filepath.Join(dir, "notebook.db")
		_, err := store.Open(t.Context(), path, store.Options{})
		wantKind(t, err, path, store.Full)
	})
	t.Run("to open", func(t *testing.T) {
		dir := t.TempDir()
		mount(t, dir, "384k")
		path := filepath.Join(dir, "notebook.db")
		copyFile(t, written(t), path)
		fillUp(t, filepath.Join(dir, "other"))
		before := contents(t, dir)
		_, err := store.Open(t.Context(), path, store.Options{})
		wantKind(t, err, path, store.Full)
		if diff := same(before[filepath.Base(path)], contents(t, dir)[filepath.Base(path)]); diff != "" {
			t.Error(diff)
		}
		// There is room again: nothing is lost.
		if err := os.Remove(filepath.Join(dir, "other")); err != nil {
			t.Fatal(err)
		}
		if marks := marksOf(t, open(t, path, store.Options{})); len(marks) != 5 {
			t.Errorf("marks %v, want 5", marks)
		}
	})
	t.Run("to write", func(t *testing.T) {
		dir := t.TempDir()
		mount(t, dir, "512k")
		path := filepath.Join(dir, "notebook.db")
		n := open(t, path, store.Options{})
		for i := 0; ; i++ {
			if _, err := n.AddWeld(t.Context(), bead()); err != nil {
				wantKind(t, err, path, store.Full)
				break
			}
			if i > 5000 {
				t.Fatal("the disk never filled up")
			}
		}
		count := len(must(n.History(t.Context()))(t))
		if marks := marksOf(t, n); len(marks) != count || count == 0 {
			t.Errorf("%d marks of %d welds", len(marks), count)
		}
	})
}

func fillUp(t *testing.T, path string) {
	t.Helper()
	f := must(os.Create(path))(t)
	defer f.Close()
	for _, size := range []int{4096, 1} {
		for {
			if _, err := f.Write(make([]byte, size)); err != nil {
				break
			}
		}
	}
}

func TestReadOnlyDisk(t *testing.T) {
	dir := t.TempDir()
	mount(t, dir, "1m")
	path := filepath.Join(dir, "notebook.db")
	copyFile(t, written(t), path)
	if err := syscall.Mount("", dir, "", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Skipf("cannot make the disk read-only: %v", err)
	}
	_, err := store.Open(t.Context(), path, store.Options{})
	wantKind(t, err, path, store.ReadOnly)

	absent := filepath.Join(dir, "absent.db")
	_, err = store.Open(t.Context(), absent, store.Options{})
	wantKind(t, err, absent, store.ReadOnly)
	deeper := filepath.Join(dir, "new", "absent.db")
	_, err = store.Open(t.Context(), deeper, store.Options{})
	wantKind(t, err, deeper, store.ReadOnly)

	n := open(t, path, store.Options{ReadOnly: true})
	if list := must(n.History(t.Context()))(t); len(list) != 5 {
		t.Errorf("%d welds read from it, want 5", len(list))
	}
	if got := contents(t, dir); len(got) != 1 {
		t.Errorf("the folder holds %v", got)
	}
}

// TestPermission works as somebody whom permission bits bind: root is not.
func TestPermission(t *testing.T) {
	path := written(t)
	dir := filepath.Dir(path)
	for d := dir; d != os.TempDir() && d != "/"; d = filepath.Dir(d) {
		if err := os.Chmod(d, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if os.Geteuid() == 0 {
		runtime.LockOSThread() // and not unlocked: the thread ends with the test
		if err := syscall.Setfsuid(65534); err != nil {
			t.Skip(err)
		}
		if _, err := os.Create(filepath.Join(dir, "trial")); err == nil {
			t.Skip("this system does not keep the user of a thread apart")
		}
	}
	defer func() {
		syscall.Setfsuid(os.Geteuid())
		os.Chmod(dir, 0o755)
	}()
	chmod := func(name string, mode os.FileMode) {
		t.Helper()
		syscall.Setfsuid(os.Geteuid())
		if err := os.Chmod(name, mode); err != nil {
			t.Fatal(err)
		}
		if os.Geteuid() == 0 {
			syscall.Setfsuid(65534)
		}
	}
	untouched := func(name string) {
		t.Helper()
		syscall.Setfsuid(os.Geteuid())
		if got := contents(t, dir); len(got) != 1 {
			t.Errorf("%s: the folder holds %v", name, got)
		}
		if os.Geteuid() == 0 {
			syscall.Setfsuid(65534)
		}
	}
	for _, c := range []struct {
		name             string
		ofFile, ofFolder os.FileMode
		kind             store.Kind
		readable         bool
	}{
		{"file may not be read", 0o000, 0o777, store.Permission, false},
		{"file may not be written", 0o444, 0o777, store.ReadOnly, true},
		{"folder may not be written", 0o666, 0o555, store.ReadOnly, true},
		{"neither may be written", 0o444, 0o555, store.ReadOnly, true},
		{"folder may not be entered", 0o666, 0o000, store.Permission, false},
	} {
		chmod(path, c.ofFile)
		chmod(dir, c.ofFolder)
		n, err := store.Open(t.Context(), path, store.Options{})
		if err == nil {
			n.Close()
		}
		t.Logf("%s: %v", c.name, err)
		wantKind(t, err, path, c.kind)
		untouched(c.name)
		n, err = store.Open(t.Context(), path, store.Options{ReadOnly: true})
		if c.readable {
			if err != nil {
				t.Errorf("%s: cannot even be read: %v", c.name, err)
				continue
			}
			if list, err := n.History(t.Context()); err != nil || len(list) != 5 {
				t.Errorf("%s: %d welds: %v", c.name, len(list), err)
			}
			n.Close()
			untouched(c.name + ", read")
			continue
		}
		wantKind(t, err, path, c.kind)
	}
	chmod(dir, 0o555)
	absent := filepath.Join(dir, "new", "absent.db")
	_, err := store.Open(t.Context(), absent, store.Options{})
	wantKind(t, err, absent, store.Permission)
}
