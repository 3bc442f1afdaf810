package store_test

import (
	"os"
	"path/filepath"
	"testing"

	"beadwright/procedures/store"
)

// TestOpenFlippedBits damages one bit of each byte of the header in turn. The
// notebook is then either refused and left alone, or all that was in it is there.
func TestOpenFlippedBits(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	path := written(t)
	whole := must(os.ReadFile(path))(t)
	refused := 0
	for i := range 108 { // the file's header and that of its first page
		b := append([]byte(nil), whole...)
		b[i] ^= 1 << (i % 8)
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
		before := contents(t, filepath.Dir(path))
		n, err := store.Open(t.Context(), path, store.Options{})
		if err == nil {
			list, err := n.History(t.Context())
			if err != nil || len(list) != 5 || list[4].Outcome.Symptoms == nil {
				t.Errorf("byte %d: opened, but read %d welds: %v", i, len(list), err)
			}
			n.Close()
			continue
		}
		refused++
		var kind store.Kind
		for _, k := range []store.Kind{store.Foreign, store.Damaged, store.Newer, store.ReadOnly} {
			if isKind(err, k) {
				kind = k
			}
		}
		if kind == "" {
			t.Errorf("byte %d: %v", i, err)
		}
		if diff := same(before, contents(t, filepath.Dir(path))); diff != "" {
			t.Errorf("byte %d: refused with %v, but the folder has changed:\n%s", i, err, diff)
		}
	}
	if refused < 40 {
		t.Errorf("only %d of 108 damaged headers were refused", refused)
	}
}

// TestDamageFoundLater overwrites pages behind the header: what cannot be read
// is reported as damage when it is met, never as a wrong answer.
func TestDamageFoundLater(t *testing.T) {
	path := written(t)
	whole := must(os.ReadFile(path))(t)
	met := 0
	for page := 1; page < len(whole)/4096; page++ {
		b := append([]byte(nil), whole...)
		for i := range 4096 {
			b[page*4096+i] = byte(i*7 + page)
		}
		if err := os.WriteFile(path, b, 0o600); err != nil {
			t.Fatal(err)
		}
		n, err := store.Open(t.Context(), path, store.Options{})
		if err != nil {
			wantKind(t, err, path, store.Damaged)
			continue
		}
		if wrong, err := n.Check(t.Context()); err == nil && len(wrong) == 0 {
			t.Errorf("page %d: the check found nothing wrong", page+1)
		}
		_, err = n.History(t.Context())
		if err != nil {
			met++
			wantKind(t, err, path, store.Damaged)
		}
		n.Close()
	}
	if met == 0 {
		t.Error("no damage was met in reading")
	}
}
