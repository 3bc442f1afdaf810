package store_test

import (
	"path/filepath"
	"sync"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestReadWhileWriting: a correction looks something up in the notebook while many
// others wait to write. It is not kept from it by them, nor they from their turn.
func TestReadWhileWriting(t *testing.T) {
	n := open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Wait: 2 * time.Second})
	must(n.AddMachine(t.Context(), littleRed()))(t)
	mark := must(n.AddWeld(t.Context(), bead()))(t).Mark
	var others sync.WaitGroup
	_, made, err := n.AmendWeld(t.Context(), mark, func(w *procedures.Weld) error {
		for range 12 {
			others.Go(func() {
				if _, err := n.AddWeld(t.Context(), bead()); err != nil {
					t.Error(err)
				}
			})
		}
		for range 100 { // while they line up
			if _, err := n.Machine(t.Context(), "little red"); err != nil {
				return err
			}
		}
		w.Outcome.Rating = 2
		return nil
	})
	others.Wait()
	if err != nil || len(made) != 1 {
		t.Errorf("%v %v", made, err)
	}
	if list := must(n.History(t.Context()))(t); len(list) != 13 {
		t.Errorf("%d welds, want 13", len(list))
	}
}
