package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// ran runs the program in a notebook of its own and returns its status and output.
func ranIn(t *testing.T, notebook string, args ...string) (int, string) {
	t.Helper()
	var out bytes.Buffer
	code := run(t.Context(), append([]string{"--notebook", notebook}, args...), &out, &out)
	return code, out.String()
}

var pageObject = regexp.MustCompile(`/Type /Page\b[^s]`)

// pages counts the pages of a PDF, by its page objects and, where it is at hand, by
// another program that reads it.
func pages(t *testing.T, file string) int {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	n := len(pageObject.FindAll(b, -1))
	if tool, err := exec.LookPath("pdfinfo"); err == nil {
		out, err := exec.Command(tool, file).Output()
		if err != nil {
			t.Fatalf("%s cannot be read: %v", file, err)
		}
		if !strings.Contains(string(out), fmt.Sprintf("Pages:           %d\n", n)) {
			t.Errorf("%s: %d page objects, and pdfinfo says\n%s", file, n, out)
		}
	}
	return n
}

// TestCards prints cards of every kind, of a rebuilt machine with the longest name
// there is and a long history: each is one page.
func TestCards(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one process alone takes its time")
	}
	dir := t.TempDir()
	notebook := filepath.Join(dir, "n.db")
	must := func(args ...string) {
		t.Helper()
		if code, out := ranIn(t, notebook, args...); code != 0 {
			t.Fatalf("%v: %d\n%s", args, code, out)
		}
	}
	must("machine", "add", strings.Repeat("wide shed ", 6)[:59], "--taps", "the coldest one=14V,the hottest one=17.5V", "--output", "dcen", "--rated", "90A", "--max", "130A")
	must("machine", "change", "--what", "rectifier, capacitors, bleeder and a fan fitted by hand over a weekend", "--output", "dcen", "--rebuilt")
	must("log", "5", "16ga", "plain", "tee", "flat", "--tap", "the coldest one", "--wire-speed", "75ipm", "--test", "break=pass")
	n := 0
	for _, size := range []string{"a6", "3x5"} {
		for _, units := range []string{"us", "metric"} {
			for _, job := range []string{"", "lap vertical down", "tee horizontal --wire '0.030 E71T-GS'", "butt overhead", "corner flat a500", "edge vertical up"} {
				file := filepath.Join(dir, fmt.Sprintf("%d.pdf", n))
				n++
				words, wire, _ := strings.Cut(job, " --wire ")
				args := append(append([]string{"--units", units, "print", "card", "--size", size}, strings.Fields(words)...), file)
				if wire != "" {
					args = append(args, "--wire", strings.Trim(wire, "'"))
				}
				code, out := ranIn(t, notebook, args...)
				if code == 3 {
					continue // outside every table: no card, on purpose
				}
				if code != 0 {
					t.Errorf("%v: %d\n%s", args, code, out)
					continue
				}
				if got := pages(t, file); got != 1 {
					t.Errorf("%v: %d pages", args, got)
				}
				page, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				for _, want := range []string{"REBUILT", "Practice aid", "Local codes"} {
					if !bytes.Contains(page, []byte(want)) {
						t.Errorf("%v: the card lacks %q", args, want)
					}
				}
			}
		}
	}
	if n < 20 {
		t.Errorf("only %d cards", n)
	}
}

// TestFieldNamed finds fields by their words, and asks where several have them.
func TestFieldNamed(t *testing.T) {
	for said, want := range map[string]string{
		"backing": "backing and what it is of", "Back gouging": "back gouging and how", "position": "position", "gun angle": "gun angle",
		"shop": "shop or maker", "tungsten": "tungsten size and type", "drying": "filler: drying and storage",
	} {
		if got, err := fieldNamed(said); err != nil || got != want {
			t.Errorf("%q is %q (%v), want %q", said, got, err, want)
		}
	}
	for _, said := range []string{"filler", "color", "range"} {
		if got, err := fieldNamed(said); err == nil {
			t.Errorf("%q is %q", said, got)
		}
	}
}

// TestEveryFieldHasAPlace: what the notebook knows of a sheet's fields names fields
// that there are; a renamed field of the table would go blank in silence.
func TestEveryFieldHasAPlace(t *testing.T) {
	dir := t.TempDir()
	notebook := filepath.Join(dir, "n.db")
	for _, args := range [][]string{
		{"machine", "add", "shed", "--taps", "low=14.5V,high=17V", "--output", "dcen", "--rated", "90A", "--max", "130A"},
		{"log", "5", "1/8", "a36", "tee", "flat", "--tap", "high", "--wire-speed", "105ipm", "--test", "break=pass", "--travel", "10ipm", "--volts", "16", "--amps", "90", "--extension", "3/8"},
		{"procedure", "write", "tee", "--from", "A1"},
	} {
		if code, out := ranIn(t, notebook, args...); code != 0 {
			t.Fatalf("%v: %d\n%s", args, code, out)
		}
	}
	_, out := ranIn(t, notebook, "procedure", "show", "tee")
	blank := strings.Count(out, strings.Repeat("_", 30))
	if blank != 10 {
		t.Errorf("%d fields of the sheet are blank, want the 10 that no weld tells:\n%s", blank, out)
	}
}
