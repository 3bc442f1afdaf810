package store_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// filled makes a notebook of so many welds: a hundred and some variety logged,
// the rest copied of them past the notebook.
func filled(b *testing.B, welds int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "notebook.db")
	n, err := store.Open(b.Context(), path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	must(n.AddMachine(b.Context(), littleRed()))(b)
	joints, symptoms := procedures.Joints(), procedures.SymptomKeys()
	const logged = 100
	for i := range logged {
		w := bead()
		w.Job.Machine, w.Job.Joint = "little red", joints[i%len(joints)]
		w.Job.Thickness = procedures.Inches(float64(1+i%8) / 16)
		w.Outcome.Rating = procedures.Count(i%5 + 1)
		w.Outcome.Symptoms = symptoms[i%len(symptoms):][:1]
		must(n.AddWeld(b.Context(), w))(b)
	}
	if err := n.Close(); err != nil {
		b.Fatal(err)
	}
	db := raw(b, path)
	var columns string
	if err := db.QueryRow("SELECT group_concat(name, ', ') FROM pragma_table_info('welds') WHERE name NOT IN ('n', 'id', 'mark')").Scan(&columns); err != nil {
		b.Fatal(err)
	}
	copied := fmt.Sprintf("WITH RECURSIVE i(i) AS (VALUES (%d) UNION ALL SELECT i + 1 FROM i WHERE i < %d)", logged+1, welds)
	for _, s := range []string{
		"PRAGMA synchronous = OFF",
		copied + " INSERT INTO welds (n, id, mark, " + columns + ") SELECT i, printf('0f000000-0000-7000-8000-%012d', i), printf('ZZZ%d', i), " + columns + " FROM i JOIN welds ON n = 1 + i % 100",
		copied + " INSERT INTO symptoms SELECT i, place, key FROM i JOIN symptoms ON weld = 1 + i % 100",
		copied + " INSERT INTO tests SELECT i, place, kind, passed, result FROM i JOIN tests ON weld = 1 + i % 100",
		"PRAGMA wal_checkpoint(TRUNCATE)",
	} {
		if welds > logged {
			if _, err := db.Exec(s); err != nil {
				b.Fatal(err)
			}
		}
	}
	if err := db.Close(); err != nil {
		b.Fatal(err)
	}
	return path
}

func bySize(b *testing.B, do func(b *testing.B, path string)) {
	for _, welds := range []int{1000, 100_000} {
		b.Run(fmt.Sprint(welds), func(b *testing.B) { do(b, filled(b, welds)) })
	}
}

func BenchmarkOpen(b *testing.B) {
	bySize(b, func(b *testing.B, path string) {
		for b.Loop() {
			n, err := store.Open(b.Context(), path, store.Options{})
			if err != nil {
				b.Fatal(err)
			}
			n.Close()
		}
	})
}

func BenchmarkAddWeld(b *testing.B) {
	bySize(b, func(b *testing.B, path string) {
		n := open(b, path, store.Options{})
		for b.Loop() {
			must(n.AddWeld(b.Context(), bead()))(b)
		}
	})
}

func BenchmarkFind(b *testing.B) {
	for name, f := range map[string]procedures.Filter{
		"job":   {Thickness: procedures.Inches(0.125), Joint: procedures.Tee, RatingMin: 4, Limit: 20},
		"last":  {Limit: 20},
		"words": {Words: "vertical undercut", Limit: 20},
	} {
		b.Run(name, func(b *testing.B) {
			bySize(b, func(b *testing.B, path string) {
				n := open(b, path, store.Options{})
				for b.Loop() {
					must(n.Find(b.Context(), f))(b)
				}
			})
		})
	}
}

func BenchmarkHistory(b *testing.B) {
	bySize(b, func(b *testing.B, path string) {
		n := open(b, path, store.Options{})
		for b.Loop() {
			must(n.History(b.Context()))(b)
		}
	})
}

func BenchmarkPast(b *testing.B) {
	bySize(b, func(b *testing.B, path string) {
		n := open(b, path, store.Options{})
		for b.Loop() {
			must(n.Past(b.Context()))(b)
		}
	})
}

func BenchmarkMachines(b *testing.B) {
	n := open(b, filled(b, 100), store.Options{})
	for b.Loop() {
		must(n.Machines(b.Context()))(b)
	}
}
