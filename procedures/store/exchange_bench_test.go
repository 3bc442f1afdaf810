package store_test

import (
	"context"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"beadwright/procedures/store"
)

// welds of a benchmark's file.
const manyWelds = 20_000

// BenchmarkExport writes a notebook of many welds.
func BenchmarkExport(b *testing.B) {
	n := open(b, filled(b, manyWelds), store.Options{})
	for b.Loop() {
		if _, err := n.Export(context.Background(), io.Discard, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(manyWelds*float64(b.N)/b.Elapsed().Seconds(), "welds/s")
}

// BenchmarkImport reads a file of many welds into an empty notebook.
func BenchmarkImport(b *testing.B) {
	text := distinct(exported(b, open(b, filled(b, manyWelds), store.Options{})))
	for b.Loop() {
		b.StopTimer()
		n := open(b, filepath.Join(b.TempDir(), "n.db"), store.Options{})
		b.StartTimer()
		f, err := store.ReadJSONLines(text)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := n.Import(context.Background(), f, take, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(manyWelds*float64(b.N)/b.Elapsed().Seconds(), "welds/s")
}

// BenchmarkImportAgain reads a file of many welds into the notebook it is of.
func BenchmarkImportAgain(b *testing.B) {
	path := filled(b, manyWelds)
	n := open(b, path, store.Options{})
	text := distinct(exported(b, n))
	for b.Loop() {
		f, err := store.ReadJSONLines(text)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := n.Import(context.Background(), f, take, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(manyWelds*float64(b.N)/b.Elapsed().Seconds(), "welds/s")
}

// distinct is the file: the marks that filled gives, ZZZ1 on, go past 99, which no
// mark does; they are left out, and given anew.
func distinct(file string) string {
	var out strings.Builder
	for line := range strings.Lines(file) {
		if i := strings.Index(line, `"mark":"ZZZ`); i > 0 {
			end := i + strings.IndexByte(line[i:], ',') + 1
			out.WriteString(line[:i])
			line = line[end:]
		}
		out.WriteString(line)
	}
	return out.String()
}
