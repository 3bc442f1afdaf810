package store_test

import (
	"bytes"
	"os"
	"testing"

	"beadwright/procedures/store"
)

// TestDamagedSchema: one letter of the tables' own description is another, which
// SQLite takes for a table made so.
func TestDamagedSchema(t *testing.T) {
	path := written(t)
	b := must(os.ReadFile(path))(t)
	if !bytes.Contains(b, []byte("made_for             TEXT")) {
		t.Fatal("the column is not described as it was")
	}
	b = bytes.Replace(b, []byte("made_for             TEXT"), []byte("made_foz             TEXT"), -1)
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	n := open(t, path, store.Options{})
	_, err := n.History(t.Context())
	wantKind(t, err, path, store.Damaged)
}
