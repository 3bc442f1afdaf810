package main

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestRowsAllOrNone types in sheets of odd cells: each is written whole, or refused
// in words with a line for every wrong row and nothing of it kept. A dry run never
// writes, and says yes to just the sheets that are then written.
func TestRowsAllOrNone(t *testing.T) {
	dir := t.TempDir()
	notebook, sheet := filepath.Join(dir, "n.db"), filepath.Join(dir, "sheet.csv")
	if code, out := ranIn(t, notebook, "machine", "add", "shed", "--taps", "low,high", "--output", "dcen", "--knob", "1..10"); code != 0 {
		t.Fatal(out)
	}
	total := func() int {
		_, out := ranIn(t, notebook, "find", "--struck", "--json", "--limit", "1")
		var found struct {
			Total int `json:"total"`
		}
		if err := json.Unmarshal([]byte(out), &found); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		return found.Total
	}
	// The usual cells come first, and are drawn most.
	cells := map[string][]string{
		"thickness": {"1/8", "1/8", "1/8", "16ga plain", "1/8", "ditto", "banana"},
		"joint":     {"tee", "tee", "tee", "lap", "ditto", "knee"},
		"tap":       {"high", "low", "high", "", "middle"},
		"knob":      {"4.5", "", "", "5", "11", "4 1/2"},
		"rating":    {"4", "5", "3", "6", "good", "2"},
		"symptoms":  {"", "spatter", "cold; undercut", "", "xyzzy"},
		"test":      {"", "break=pass", "", "break", "bend=held; break=root line"},
		"note":      {"", "a, b", "say \"hi\"", ""},
		"date":      {"2026-05-01", "", "yesterday", "2026-05-01"},
		"mark":      {"", "", "", "C1", "C2", "c1", "nine"},
	}
	names := []string{"mark", "date", "thickness", "joint", "tap", "knob", "rating", "symptoms", "test", "note"}
	written := 0
	draw := rand.New(rand.NewPCG(1, 2))
	for range 60 {
		var b strings.Builder
		b.WriteString(strings.Join(names, ",") + "\n")
		for range 1 + draw.IntN(3) {
			for i, name := range names {
				if i > 0 {
					b.WriteByte(',')
				}
				fmt.Fprintf(&b, "%s", quoted(cells[name][min(draw.IntN(len(cells[name])), draw.IntN(len(cells[name])), draw.IntN(len(cells[name])))]))
			}
			b.WriteByte('\n')
		}
		if err := os.WriteFile(sheet, []byte(b.String()), 0o600); err != nil {
			t.Fatal(err)
		}
		before := total()
		dry, said := ranIn(t, notebook, "log", "--rows", sheet, "--dry-run")
		if total() != before {
			t.Fatal("a dry run wrote")
		}
		code, out := ranIn(t, notebook, "log", "--rows", sheet)
		switch now := total(); {
		case code == 0 && now == before+strings.Count(out, "\nline ")+strings.Count(out[:5], "line "):
		case code == 2 && now == before && strings.Contains(out, "hint: "):
		default:
			t.Fatalf("status %d, %d welds after %d\n%s\n%s", code, now, before, b.String(), out)
		}
		if dry != code {
			t.Fatalf("the dry run ended with %d and the run with %d\n%s\n%s\n%s", dry, code, b.String(), said, out)
		}
		if code == 0 {
			written++
		}
	}
	if written < 3 {
		t.Errorf("only %d of the sheets could be written", written)
	}
}

// quoted writes a cell of a CSV file.
func quoted(cell string) string {
	if strings.ContainsAny(cell, ",\"") {
		return `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
	}
	return cell
}
