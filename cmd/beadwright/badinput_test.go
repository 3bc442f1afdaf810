package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

// attempt runs a command line in this process.
func attempt(args ...string) (status int, out, complaint string) {
	var o, e bytes.Buffer
	status = run(context.Background(), args, &o, &e)
	return status, o.String(), e.String()
}

// shop is a notebook with a machine whose knob runs from 1 to 10, a spool, a
// suggestion to follow and a weld, A1, so that a bad value that were taken would
// be written down.
func shop(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "notebook.db")
	t.Setenv("BEADWRIGHT_NOTEBOOK", path)
	for _, line := range []string{
		"machine add shed --taps low=14.5V,high=17V --knob 1..10 --wire-range 40..340ipm --output dcen --rated 90A --duty 20 --max 125A",
		"wire add 0.035 E71T-11",
		"suggest 1/8 mild tee flat",
		"log 4 spatter",
	} {
		if status, _, complaint := attempt(strings.Fields(line)...); status != 0 {
			t.Fatalf("%s: status %d: %s", line, status, complaint)
		}
	}
	return path
}

// fingerprint is what a folder holds: the names and the contents of its files.
func fingerprint(t testing.TB, dir string) string {
	t.Helper()
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	h := sha256.New()
	for _, f := range files {
		b, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(h, "%s %d\n", f.Name(), len(b))
		h.Write(b)
	}
	return fmt.Sprintf("%x", h.Sum(nil))
}

// turnedAway reports whether that is the status of a command line that cannot be: 2,
// or 1 where it names a file that is not there and nothing else was wrong before.
func turnedAway(args []string, status int) bool {
	return status == 2 || status == 1 && slices.ContainsFunc(args, func(arg string) bool { return strings.HasPrefix(arg, "--photo=") })
}

// refused says what is wrong with how a command line was turned away: status 2
// (3 where the gate may be first), one line and hints on standard error, nothing
// on standard output, nothing that drives a terminal.
func refused(args []string, gate bool) string {
	status, out, complaint := attempt(args...)
	lines := strings.Split(strings.TrimSuffix(complaint, "\n"), "\n")
	switch {
	case gate && status == 3:
		return ""
	case !turnedAway(args, status):
		return fmt.Sprintf("status %d, want 2: %s", status, complaint)
	case out != "":
		return fmt.Sprintf("standard output: %q", out)
	case !strings.HasPrefix(lines[0], "beadwright: "):
		return fmt.Sprintf("standard error begins with %q", lines[0])
	case len(lines) < 2:
		return fmt.Sprintf("no hint: %q", complaint)
	case len(complaint) > 3000:
		return fmt.Sprintf("%d bytes of complaint", len(complaint))
	}
	for _, l := range lines[1:] {
		if !strings.HasPrefix(l, "hint: ") || strings.TrimSpace(l) == "hint:" {
			return fmt.Sprintf("not a hint: %q", l)
		}
	}
	for _, r := range complaint {
		if r != '\n' && unicode.IsControl(r) {
			return fmt.Sprintf("a control character: %q", complaint)
		}
	}
	for _, word := range []string{"strconv", "sql", "panic", "goroutine", "runtime error", "%!"} {
		if strings.Contains(complaint, word) && !strings.Contains(strings.Join(args, " "), word) {
			return fmt.Sprintf("words of the works, not of the trade (%s): %q", word, complaint)
		}
	}
	return ""
}

// refusedAsJSON is the same with --json: one error object and the same status.
func refusedAsJSON(args []string) string {
	status, out, complaint := attempt(append([]string{"--json"}, args...)...)
	doc, err := oneObject(out)
	fail, _ := doc["error"].(map[string]any)
	switch {
	case !turnedAway(args, status):
		return fmt.Sprintf("--json: status %d, want 2", status)
	case err != nil || fail == nil:
		return fmt.Sprintf("--json: no error object: %q", out)
	case complaint != "":
		return fmt.Sprintf("--json: standard error: %q", complaint)
	}
	for _, key := range []string{"code", "field", "message", "hint"} {
		if _, ok := fail[key]; !ok {
			return fmt.Sprintf("--json: no %q in %s", key, out)
		}
	}
	if fail["message"] == "" || fail["hint"] == "" {
		return fmt.Sprintf("--json: empty words: %s", out)
	}
	return ""
}

// TestBadInput turns away every bad command line with a hint, and leaves the
// notebook as it is; where there is none, none is made.
func TestBadInput(t *testing.T) {
	lines := sample(badLines(), 5)
	if len(lines) < 1000 && !racing {
		t.Fatalf("only %d bad command lines", len(lines))
	}
	t.Logf("%d bad command lines", len(lines))
	path := shop(t)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	before := fingerprint(t, filepath.Dir(path))
	for _, line := range lines {
		if wrong := refused(line, false); wrong != "" {
			t.Errorf("%.120q: %s", line, wrong)
		}
		if fingerprint(t, filepath.Dir(path)) != before {
			t.Errorf("%.120q: the notebook has changed", line)
			if err := os.WriteFile(path, whole, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// TestBadInputAsJSON answers a bad command line with one error object.
func TestBadInputAsJSON(t *testing.T) {
	path := shop(t)
	before := fingerprint(t, filepath.Dir(path))
	for _, line := range sample(badLines(), 25) {
		if wrong := refusedAsJSON(line); wrong != "" {
			t.Errorf("%.120q: %s", line, wrong)
		}
	}
	if after := fingerprint(t, filepath.Dir(path)); after != before {
		t.Error("the notebook has changed")
	}
}

// TestBadInputMakesNoNotebook asks wrongly before there is a notebook.
func TestBadInputMakesNoNotebook(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("BEADWRIGHT_NOTEBOOK", filepath.Join(dir, "shop", "notebook.db"))
	for _, line := range sample(badLines(), 4) {
		if slices.Equal(line, []string{"machine", "add", "shed"}) {
			continue // bad only where there is one
		}
		if wrong := refused(line, false); wrong != "" {
			t.Errorf("%.120q: %s", line, wrong)
		}
		if left, _ := os.ReadDir(dir); len(left) > 0 {
			t.Fatalf("%.120q: made %s", line, left[0].Name())
		}
	}
}

// TestGateComesFirst asks for what is on the stop list, with nonsense beside it:
// settings are never given, and nothing is kept.
func TestGateComesFirst(t *testing.T) {
	path := shop(t)
	before := fingerprint(t, filepath.Dir(path))
	uses := []string{"trailer hitch", "gas tank", "roll cage", "jack stand", "propane cylinder", "truck frame"}
	if racing {
		uses = uses[:1]
	}
	for _, use := range uses {
		for _, v := range append([]string{"1/8", "1/4 mild lap flat"}, nonsense...) {
			line := append([]string{"suggest", "--"}, append(strings.Fields(use), v)...)
			status, out, complaint := attempt(line...)
			if status != 2 && status != 3 {
				t.Errorf("%.100q: status %d", line, status)
			}
			if text := out + complaint; strings.Contains(text, " in/min") || strings.Contains(text, "ipm") {
				t.Errorf("%.100q: a wire speed: %s", line, text)
			}
		}
	}
	if fingerprint(t, filepath.Dir(path)) != before {
		t.Error("the notebook has changed")
	}
}

// TestBadValues is the property behind the tables: any value that begins with
// letters no unit has, and any number out of reach, is refused in every slot.
func TestBadValues(t *testing.T) {
	path := shop(t)
	before := fingerprint(t, filepath.Dir(path))
	all := slots()
	word := rapid.Custom(func(r *rapid.T) string {
		return "zq" + rapid.StringN(0, 40, 120).Draw(r, "rest")
	})
	number := rapid.Custom(func(r *rapid.T) string {
		v := rapid.Float64Range(1e6, 1e300).Draw(r, "v")
		return rapid.SampledFrom([]string{"%f", "-%f", "%e", "%g"}).Draw(r, "format") + "\x00" + fmt.Sprint(v)
	})
	rapid.Check(t, func(r *rapid.T) {
		s := all[rapid.IntRange(0, len(all)-1).Draw(r, "slot")]
		value := rapid.OneOf(word, rapid.Map(number, func(f string) string {
			format, digits, _ := strings.Cut(f, "\x00")
			var v float64
			fmt.Sscan(digits, &v)
			return fmt.Sprintf(format, v)
		})).Draw(r, "value")
		if wrong := refused(s.line(value), false); wrong != "" {
			r.Fatalf("%.200q: %s", s.line(value), wrong)
		}
		if fingerprint(t, filepath.Dir(path)) != before {
			r.Fatalf("%.200q: the notebook has changed", s.line(value))
		}
	})
}
