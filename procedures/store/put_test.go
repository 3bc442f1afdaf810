package store

import (
	"database/sql"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/uuid"

	"beadwright/procedures/sheet"
)

// TestAddWeldsNamesTheLine: of welds that are added many at a time, the one that
// breaks a rule of the table is named, and none is added.
func TestAddWeldsNamesTheLine(t *testing.T) {
	nb, err := Open(t.Context(), filepath.Join(t.TempDir(), "notebook.db"), Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	for _, bad := range []int{0, 1, atOnce - 1, atOnce, 2*atOnce + 20, -1} {
		err := nb.aside(t.Context(), func(tx *tx) error {
			m := &merging{tx: tx, file: &File{goods: newLuggage()}, steady: t.Context(), statements: map[string]*sql.Stmt{}, step: func() error { return nil }}
			m.symptoms = queue{into: "symptoms (weld, place, key)", after: &m.welds}
			k := &m.file.goods.welds
			k.ready()
			var fresh []*weldRecord
			line := map[string]int{}
			for i := range 2*atOnce + 30 {
				w := sample("bead")
				w.ID, w.Mark, w.At = uuid.Must(uuid.NewV7()).String(), formatMark(i+1), tx.now
				w.Outcome.Symptoms = []string{"spatter"}
				if i == bad {
					w.Settings.Tap = strings.Repeat("far too long a name ", 3)
				}
				fresh, line[w.ID] = append(fresh, &weldRecord{Weld: w}), 1000+i
			}
			return m.addWelds(k, fresh, line)
		})
		var at *sheet.Error
		switch {
		case bad < 0 && err != nil:
			t.Errorf("without a bad one: %v", err)
		case bad >= 0 && (!errors.As(err, &at) || at.Line != 1000+bad):
			t.Errorf("%d was bad: %v", bad, fmt.Sprintf("%+v", err))
		}
		list, err := nb.History(t.Context())
		if want := map[bool]int{true: 2*atOnce + 30}[bad < 0]; err != nil || len(list) != want {
			t.Errorf("%d was bad: %d welds, want %d: %v", bad, len(list), want, err)
		}
	}
}
