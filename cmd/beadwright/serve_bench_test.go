package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"beadwright/procedures/store"
)

// BenchmarkBench times what the page asks for, with a notebook of 100,000 welds:
// questions asked before, questions after one more weld, and the log itself. It
// fills the notebook first, which takes a minute or two; BEADWRIGHT_BENCH_NOTEBOOK
// names one that is kept for the next time.
func BenchmarkBench(b *testing.B) {
	path := os.Getenv("BEADWRIGHT_BENCH_NOTEBOOK")
	if path == "" {
		path = filepath.Join(b.TempDir(), "notebook.db")
	}
	if _, err := os.Stat(path); err != nil {
		fill(b, path, 100_000)
	}
	nb, err := store.Open(b.Context(), path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer nb.Close()
	bench := &workbench{notebook: nb, path: path, now: time.Now, report: io.Discard}
	defer bench.settle()
	ask := func(b *testing.B, args ...string) {
		if r := bench.Do(b.Context(), args...); r.Status != 0 {
			b.Fatalf("%v: %s", args, r.JSON)
		}
	}
	words := []string{"1/16 mild tee flat", "1/8 mild lap horizontal", "3/16 mild butt flat", "1/8 mild tee flat"}
	ask(b, "suggest", "--", words[0])
	bench.settle()
	for _, c := range []struct {
		name string
		do   func(b *testing.B, i int)
	}{
		{"suggest", func(b *testing.B, i int) { ask(b, "suggest", "--", words[i%len(words)]) }},
		{"find", func(b *testing.B, i int) { ask(b, "find", "--", "1/8 tee") }},
		{"find words", func(b *testing.B, i int) { ask(b, "find", "--", "gate") }},
		{"last weld", func(b *testing.B, i int) { ask(b, "find", "--limit=1") }},
		{"show", func(b *testing.B, i int) { ask(b, "show", "--", "A7") }},
		{"duty", func(b *testing.B, i int) { ask(b, "duty") }},
		{"log", func(b *testing.B, i int) {
			ask(b, "log", fmt.Sprintf("--wire-speed=%dipm", 90+i%30), "--tap=high", "--", "4", "1/8", "mild", "tee", "flat")
			b.StopTimer()
			bench.settle()
			b.StartTimer()
		}},
		{"log, then suggest", func(b *testing.B, i int) {
			ask(b, "log", fmt.Sprintf("--wire-speed=%dipm", 90+i%30), "--tap=high", "--", "4", "1/8", "mild", "tee", "flat")
			ask(b, "suggest", "--", words[i%len(words)])
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				c.do(b, i)
			}
		})
	}
}
