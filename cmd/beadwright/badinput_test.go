package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash/fnv"
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

// refused says what is wrong with how a command line was turned away: status 2
// (3 where the gate may be first), one line and hints on standard error, nothing
// on standard output, nothing that drives a terminal.
func refused(args []string, gate bool) string {
	status, out, complaint := attempt(args...)
	lines := strings.Split(strings.TrimSuffix(complaint, "\n"), "\n")
	switch {
	case gate && status == 3:
		return ""
	case status != 2:
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
	case status != 2:
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

// nonsense is no value of anything.
var nonsense = []string{
	"abc", "-1", "-1/8", "1e9", "1e-9", "99999999", "NaN", "nan", "Inf", "-Inf", "+Inf", "infinity", "1/0", "0/0", "1/8/2", "1..2..3", "0x10", "1_000",
	"3mm in", "3mm4", "1/8 kg", "12 parsecs", "3mmV", "🔥", "1🔥", "１／８", "٣", "²", "½½", "\x00", "1\x00", "\x1b[31m9", "\x7f\x08", "\xff\xfe", "\u202e8/1",
	"'; DROP TABLE weld; --", "1 OR 1=1", "%s%n", "%d", "../../nowhere", "$(reboot)", "`id`", "null", "undefined", "[1]", "{}", "--", "-", "=", "\\",
	"1,5,7", "one hundred and one", "\t", " ", "", strings.Repeat("9", 400), strings.Repeat("z", 5000), strings.Repeat("1/8 ", 200), "0.0.0", "1-1-1", "#", "*", "A\u0301\u0301\u0301",
}

// slot is a command line with a place for a value, and what is a good value
// there although it is nonsense elsewhere.
type slot struct {
	before []string
	flag   string
	good   []string
}

func (s slot) line(value string) []string {
	if s.flag == "" {
		return append(slices.Clone(s.before), "--", value)
	}
	return append(slices.Clone(s.before), "--"+s.flag+"="+value)
}

// slots is every place of a command line that takes a value which can be wrong.
func slots() []slot {
	var all []slot
	place := func(line string, flags ...string) {
		for _, f := range flags {
			all = append(all, slot{before: strings.Fields(line), flag: f})
		}
	}
	place("suggest mild tee flat", "thickness")
	place("suggest 1/8 mild tee flat", "other-thickness", "gap", "length", "wire", "machine", "units")
	place("suggest 1/8 mild tee", "position")
	place("suggest 1/8 mild flat", "joint")
	place("suggest 1/8 tee flat", "steel")
	place("suggest 1/8 mild tee flat", "coating")
	outcome := []string{"tap", "knob", "wire-speed", "polarity", "extension", "travel", "volts", "amps", "rating", "symptom", "test", "leg", "photo", "at"}
	place("log 4", append(outcome, "from", "machine", "gap", "wire")...)
	place("amend A1", append(outcome, "thickness", "joint", "position", "steel", "wire", "gap", "coating")...)
	place("find", "thickness", "within", "steel", "joint", "position", "wire", "rating", "symptom", "since", "limit")
	place("machine add barn", "output", "rated", "rated-volts", "duty", "max", "input", "input-amps", "breaker", "cord", "wire-range", "process", "knob")
	place("wire add 0.035 E71T-11 --name other", "weight")
	for _, line := range []string{"show", "strike", "amend", "machine use", "wire add", "wire use", "suggest tee mild flat"} {
		all = append(all, slot{before: strings.Fields(line)})
	}
	good := map[string][]string{
		"limit":  {"99999999"},
		"weight": {"1/8 kg"},
		"":       {"3mm in"}, // among words, "in" is filler
	}
	for i := range all {
		all[i].good = good[all[i].flag]
	}
	return all
}

// fixedBad are bad command lines that no slot makes.
var fixedBad = [][]string{
	{"suggest", "0", "tee"}, {"suggest", "0.0", "tee"}, {"suggest", "0mm", "tee"}, {"suggest", "3", "tee"}, {"suggest", "301mm", "tee"}, {"suggest", "0.01mm", "tee"},
	{"suggest", "31ga plain", "tee"}, {"suggest", "2ga plain", "tee"}, {"suggest", "16ga", "tee"}, {"suggest", "1/8", "1/4", "3/8", "tee"}, {"suggest", "1/8", "tee", "lap"},
	{"suggest", "1/8", "flat", "overhead", "tee"}, {"suggest", "1/8", "tee", "vertical"}, {"suggest", "1/8", "mild", "1018", "4140", "a514", "tee", "banana"},
	{"suggest", "1/8", "tee", "0.030", "0.035"}, {"suggest", "2x2", "tube", "tee"}, {"suggest", "tee"}, {"suggest", "1/8"}, {"suggest"}, {"suggest", "1/8 tee mild flat flat purple"},
	{"log"}, {"log", "0"}, {"log", "6"}, {"log", "4", "5"}, {"log", "9"}, {"log", "4", "1/8", "tee", "banana"}, {"log", "4", "--knob", "0.5"}, {"log", "4", "--knob", "11"}, {"log", "4", "--tap", "medium"},
	{"log", "4", "--wire-speed", "0"}, {"log", "4", "--wire-speed", "2000ipm"}, {"log", "4", "--travel", "4in in 0s"}, {"log", "4", "--travel", "0"}, {"log", "4", "--volts", "0"},
	{"log", "4", "--volts", "4"}, {"log", "4", "--volts", "400"}, {"log", "4", "--amps", "0"}, {"log", "4", "--amps", "2000"}, {"log", "4", "--extension", "0"}, {"log", "4", "--extension", "5in"},
	{"log", "4", "--rating", "0"}, {"log", "4", "--rating", "4.5"}, {"log", "4", "--at", "2099-01-01"}, {"log", "4", "--at", "1066-10-14"}, {"log", "4", "--at", "2026-02-30"},
	{"log", "4", "--test", "bend"}, {"log", "4", "--test", "bend="}, {"log", "4", "--test", "stare=good"}, {"log", "4", "--photo", "."}, {"log", "4", "--leg", "0"}, {"log", "4", "--leg", "1ft"},
	{"find", "--rating", "0"}, {"find", "--rating", "4..2"}, {"find", "--rating", "++4"}, {"find", "--within", "0"}, {"find", "--within", "101%"}, {"find", "--limit", "-5"}, {"find", "--since", "2099-01-01"},
	{"find", "--thickness", "0"}, {"find", "--since", "-3d"}, {"find", strings.Repeat("word ", 200)},
	{"machine", "add"}, {"machine", "add", "shed"}, {"machine", "add", strings.Repeat("n", 61)}, {"machine", "add", "two\nlines"}, {"machine", "add", "bell\x07"}, {"machine", "add", "  "},
	{"machine", "add", "b", "--taps", "low=abc"}, {"machine", "add", "b", "--taps", "low=-1"}, {"machine", "add", "b", "--taps", "low=NaN"}, {"machine", "add", "b", "--taps", "low,low"},
	{"machine", "add", "b", "--taps", "=5V"}, {"machine", "add", "b", "--taps", ","}, {"machine", "add", "b", "--taps", "low=5000V"}, {"machine", "add", "b", "--taps", "low=17V,high=14V"},
	{"machine", "add", "b", "--knob", "10..1"}, {"machine", "add", "b", "--knob", "1..1"}, {"machine", "add", "b", "--knob", "-5..5"}, {"machine", "add", "b", "--knob", "NaN..10"}, {"machine", "add", "b", "--knob", "0..1e9"},
	{"machine", "add", "b", "--duty", "0"}, {"machine", "add", "b", "--duty", "101"}, {"machine", "add", "b", "--rated", "0"}, {"machine", "add", "b", "--rated", "120", "--max", "90"}, {"machine", "add", "b", "--input", "12V"},
	{"machine", "add", "b", "--cord", "13awg 25ft"}, {"machine", "add", "b", "--cord", "12awg"}, {"machine", "add", "b", "--cord", "12awg -5ft"}, {"machine", "add", "b", "--wire-range", "340..40ipm"},
	{"machine", "add", "b", "--wire-range", "0..340ipm"}, {"machine", "use"}, {"machine", "show", "barn"}, {"machine", "frob"}, {"machine", "list", "extra"},
	{"wire", "add"}, {"wire", "add", "0.035"}, {"wire", "add", "E71T-11"}, {"wire", "add", "0", "E71T-11"}, {"wire", "add", "2in", "E71T-11"}, {"wire", "add", "0.035", "E71T-11", "--name", "x", "--weight", "0lb"},
	{"wire", "add", "0.035", "E71T-11", "--name", "x", "--weight", "5"}, {"wire", "add", "0.035", "E71T-11", "--name", "x", "--weight", "900lb"}, {"wire", "add", "0.035", "E71T-11", "--name", strings.Repeat("n", 61)}, {"wire", "list", "extra"},
	{"show"}, {"show", "A1", "A2"}, {"show", "A2"}, {"show", "A0"}, {"show", "A100"}, {"show", "AA"}, {"strike"}, {"strike", "B7"}, {"amend"}, {"amend", "B7", "--rating", "3"}, {"amend", "A1", "--rating", "7"},
	{"suggst", "1/8"}, {"1/8", "mild", "tee"}, {"--nope"}, {"suggest", "--nope"}, {"suggest", "1/8", "tee", "--gap"}, {"--units"}, {"--units", "us"[:1], "find"}, {"find", "--limit"}, {"--notebook"}, {"log", "-4"}, {"\x00"}, {"🔥"}, {""},
}

// badLines is every bad command line of the tables above.
func badLines() (lines [][]string) {
	lines = append(lines, fixedBad...)
	for _, s := range slots() {
		for _, v := range nonsense {
			if !slices.Contains(s.good, v) {
				lines = append(lines, s.line(v))
			}
		}
	}
	return lines
}

// sample is the fixed lines and one in so many of the others, always the same
// ones; all of them with -long.
func sample(lines [][]string, oneIn uint32) (some [][]string) {
	if racing {
		oneIn *= 20
	}
	for i, line := range lines {
		h := fnv.New32a()
		fmt.Fprintf(h, "%q", line)
		if i < len(fixedBad) || *long || h.Sum32()%oneIn == 0 {
			some = append(some, line)
		}
	}
	return some
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

// FuzzArgs runs any command line, parted at spaces: no panic, a status from 0 to
// 3, and no writing where the answer was no.
func FuzzArgs(f *testing.F) {
	for _, line := range []string{
		"suggest 1/8 mild tee flat 0.035 E71T-11", "suggest 16ga tube to 1/8 plate lap vertical down", "suggest 16 gauge lap", "suggest trailer hitch", "suggest 5/8 tee", "suggest --json 1/8 tee",
		"log 4 bit of spatter", "log 4 --knob 4.5 --tap high --test bend=held", "log 5 1/8 mild tee flat --wire-speed 110ipm", "find 1/8 tee", "find --rating 4+ --since 30d flxu", "show A1", "amend A1 --rating 3",
		"strike A1 --why wrong", "machine add b --taps low=14V,high=17V --knob 1..10", "machine list", "machine use shed", "wire add 0.030 E71T-GS --weight 2lb", "wire list", "version --json", "--help", "help suggest", "completion bash",
		"__complete suggest --joint ", "--units metric suggest 3 tee", "--json --units x find",
	} {
		f.Add(line)
	}
	for _, line := range fixedBad {
		f.Add(strings.Join(line, " "))
	}
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		f.Setenv("TMPDIR", "/dev/shm") // in memory: thousands of runs, each with a disk to wait for
	}
	path := shop(f)
	f.Chdir(filepath.Dir(path))
	whole, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := strings.Split(line, " ")
		if strings.Contains(line, "--notebook") || strings.Contains(line, "../") || slices.Contains(args, "serve") || slices.ContainsFunc(args, absolute) {
			t.Skip("would leave the folder, or wait for ever")
		}
		status, out, complaint := attempt(args...)
		if status < 0 || status > 3 {
			t.Errorf("status %d", status)
		}
		if strings.Contains(complaint, "a fault of the program") {
			t.Error(complaint)
		}
		if status == 2 {
			if !strings.Contains(complaint, "\nhint: ") && !isErrorObject(out) {
				t.Errorf("status 2 without a hint: %q %q", complaint, out)
			}
		}
		now, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if bytes.Equal(now, whole) {
			return
		}
		if status != 0 {
			t.Errorf("status %d, and the notebook has changed", status)
		}
		if err := os.WriteFile(path, whole, 0o600); err != nil {
			t.Fatal(err)
		}
	})
}

// absolute reports whether an argument, or the value of a flag, names a file from
// the top.
func absolute(arg string) bool {
	_, value, _ := strings.Cut(arg, "=")
	return strings.HasPrefix(arg, "/") || strings.HasPrefix(value, "/")
}

func isErrorObject(out string) bool {
	var doc struct {
		Error *failure `json:"error"`
	}
	return json.Unmarshal([]byte(out), &doc) == nil && doc.Error != nil && doc.Error.Message != "" && doc.Error.Hint != ""
}
