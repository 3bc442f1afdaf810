package store_test

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"beadwright/procedures/sheet"
	"beadwright/procedures/store"
)

// rowsHash is a hash of every row of every table of a notebook.
func rowsHash(t testing.TB, path string) string {
	t.Helper()
	db := raw(t, path)
	sum := sha256.New()
	rows := must(db.Query("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name"))(t)
	var names []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			t.Fatal(err)
		}
		names = append(names, s)
	}
	for _, name := range names {
		fmt.Fprintln(sum, name)
		rows := must(db.Query("SELECT * FROM " + name))(t)
		cols := must(rows.Columns())(t)
		for rows.Next() {
			row := make([]any, len(cols))
			dest := make([]any, len(cols))
			for i := range row {
				dest[i] = &row[i]
			}
			if err := rows.Scan(dest...); err != nil {
				t.Fatal(err)
			}
			fmt.Fprintln(sum, row...)
		}
		if err := rows.Err(); err != nil {
			t.Fatal(err)
		}
	}
	return fmt.Sprintf("%x", sum.Sum(nil))
}

// seedFile is an export with something of every kind in it.
func seedFile(t testing.TB) string {
	t.Helper()
	kept := must(filepath.Glob(filepath.Join(notebooks, "*.db")))(t)
	path := filepath.Join(t.TempDir(), "n.db")
	if err := os.WriteFile(path, must(os.ReadFile(kept[len(kept)-1]))(t), 0o600); err != nil {
		t.Fatal(err)
	}
	return exported(t, open(t, path, store.Options{}))
}

// spoil changes a file as hands, disks and other programs do.
func spoil(file string, lots *rand.Rand) string {
	lines := strings.SplitAfter(strings.TrimSuffix(file, "\n"), "\n")
	b := []byte(file)
	at := lots.IntN(len(b))
	tokens := []string{"null", "0", "-1", "1e999", `""`, `"x"`, "[]", "{}", "true", "{", "}", ",", `"\u001b[2J"`, `"` + strings.Repeat("y", 5000) + `"`, "\x00", "\xff", "3.5", "9999999999999999999", `"2026-13-40T00:00:00Z"`}
	switch lots.IntN(9) {
	case 0:
		b[at] = byte(lots.IntN(256))
	case 1:
		return string(b[:at])
	case 2:
		end := min(len(b), at+lots.IntN(60))
		return string(b[:at]) + string(b[end:])
	case 3:
		return string(b[:at]) + tokens[lots.IntN(len(tokens))] + string(b[at:])
	case 4: // a value in the place of another
		i := strings.IndexByte(file[at:], ':')
		if i < 0 {
			return file
		}
		i += at + 1
		j := i + strings.IndexAny(file[i:]+"}", ",}")
		return file[:i] + tokens[lots.IntN(len(tokens))] + file[j:]
	case 5: // a line twice, or away
		i := lots.IntN(len(lines))
		if lots.IntN(2) == 0 {
			return strings.Join(lines[:i], "") + strings.Join(lines[min(i+1, len(lines)):], "")
		}
		return strings.Join(lines[:i], "") + lines[i] + strings.Join(lines[i:], "")
	case 6:
		i, j := lots.IntN(len(lines)), lots.IntN(len(lines))
		lines[i], lines[j] = lines[j], lines[i]
		return strings.Join(lines, "")
	case 7: // a piece of one place in another
		from, n := lots.IntN(len(b)), lots.IntN(200)
		return string(b[:at]) + string(b[from:min(len(b), from+n)]) + string(b[at:])
	default: // one digit or letter for another, in an id or a number
		i := at + strings.IndexAny(file[at:]+"0", "0123456789abcdef")
		if i >= len(b) {
			return file
		}
		b[i] = "0123456789abcdef"[lots.IntN(16)]
	}
	return string(b)
}

// harmless imports a file into a notebook that holds something already. It must
// be refused at a line and a column and change nothing, or leave a notebook with
// nothing wrong in it.
func harmless(t testing.TB, file, base string) (taken bool) {
	t.Helper()
	placed := func(err error) {
		var at *sheet.Error
		if !errors.As(err, &at) || at.Line < 1 || at.Column < 1 || !strings.HasPrefix(err.Error(), fmt.Sprintf("line %d, column %d", at.Line, at.Column)) {
			t.Errorf("refused without a place: %v", err)
		}
	}
	f, err := store.ReadJSONLines(file)
	if err != nil {
		placed(err) // no notebook was opened yet
		return false
	}
	ctx := context.Background()
	path := filepath.Join(t.TempDir(), "n.db")
	if err := os.WriteFile(path, must(os.ReadFile(base))(t), 0o600); err != nil {
		t.Fatal(err)
	}
	before := rowsHash(t, path)
	n := open(t, path, store.Options{})
	if _, err = n.Import(ctx, f, take, nil); err != nil {
		placed(err)
		if rowsHash(t, path) != before {
			t.Errorf("refused, and it changed something: %v", err)
		}
		return false
	}
	faults, _, err := n.Audit(ctx, nil)
	if err != nil || len(faults) > 0 {
		t.Errorf("taken, and now there is something wrong: %v %v", faults, err)
	}
	return true
}

// TestBadFiles spoils a valid file a thousand times.
func TestBadFiles(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	file, base := seedFile(t), shop(t)
	taken := 0
	for seed := range uint64(1000) {
		bad := spoil(file, rand.New(rand.NewPCG(seed, 7)))
		if seed%3 == 0 {
			bad = spoil(bad, rand.New(rand.NewPCG(seed, 8)))
		}
		if harmless(t, bad, base) {
			taken++
		}
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
	}
	if taken < 20 || taken > 600 {
		t.Errorf("%d of 1000 spoiled files were taken: the test does not test", taken)
	}
	t.Logf("%d of 1000 were still valid", taken)
}

func FuzzImport(f *testing.F) {
	file := seedFile(f)
	base := shop(f)
	f.Add([]byte(file))
	for _, line := range strings.SplitAfter(file, "\n") {
		f.Add([]byte(`{"kind":"header","schema":1,"records":1}` + "\n" + line))
	}
	f.Fuzz(func(t *testing.T, file []byte) { harmless(t, string(file), base) })
}
