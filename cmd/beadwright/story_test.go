package main

import (
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// The commands that stories use beside testscript's own.

// statusCommand runs a command and compares its exit status: status 3 beadwright suggest ...
func statusCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N COMMAND ARGS...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit status %d, want %d", got, want)
	}
}

// jsonCommand looks at the last standard output, which must be exactly one JSON
// object: json PATH OP VALUE. A path is keys and indexes parted by points; a
// single point is the whole.
//
//	json settings.wire_speed_m_min > 2.1
//	json settings.knob is null
//	json welds.0.job has thickness_mm steel
//	json settings known          no number in it is 0
//	json welds len 3
//	json verdict == refused      (also !=, and =~ and !~ for a regular expression)
func jsonCommand(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) < 2 {
		ts.Fatalf("usage: json PATH OP [VALUE...]")
	}
	doc, err := oneObject(ts.ReadFile("stdout"))
	if err != nil {
		ts.Fatalf("standard output: %v", err)
	}
	v, err := at(doc, args[0])
	if err != nil {
		ts.Fatalf("%v", err)
	}
	ok, err := judge(v, args[1], args[2:])
	if err != nil {
		ts.Fatalf("json %s: %v", strings.Join(args, " "), err)
	}
	if ok == neg {
		shown, _ := json.Marshal(v)
		ts.Fatalf("json %s: it is %s", strings.Join(args, " "), shown)
	}
}

// oneObject reads a text that is one JSON object and nothing else.
func oneObject(text string) (map[string]any, error) {
	d := json.NewDecoder(strings.NewReader(text))
	var doc map[string]any
	if err := d.Decode(&doc); err != nil {
		return nil, fmt.Errorf("not a JSON object: %w", err)
	}
	if err := d.Decode(new(any)); err != io.EOF {
		return nil, errors.New("there is something after the JSON object")
	}
	return doc, nil
}

func at(v any, path string) (any, error) {
	if path == "." {
		return v, nil
	}
	for _, step := range strings.Split(path, ".") {
		switch in := v.(type) {
		case map[string]any:
			next, ok := in[step]
			if !ok {
				return nil, fmt.Errorf("%s: there is no %q", path, step)
			}
			v = next
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(in) {
				return nil, fmt.Errorf("%s: no element %q of %d", path, step, len(in))
			}
			v = in[i]
		default:
			return nil, fmt.Errorf("%s: nothing below to look for %q in", path, step)
		}
	}
	return v, nil
}

func judge(v any, op string, want []string) (bool, error) {
	switch op {
	case "has":
		m, ok := v.(map[string]any)
		for _, k := range want {
			if _, there := m[k]; !there {
				return false, fmt.Errorf("there is no key %q", k)
			}
		}
		return ok && len(want) > 0, nil
	case "known":
		return len(zeros(v, "")) == 0, nil
	}
	if len(want) != 1 {
		return false, errors.New("one value is wanted")
	}
	switch w := want[0]; op {
	case "is":
		return kind(v) == w, nil
	case "len":
		list, ok := v.([]any)
		return ok && strconv.Itoa(len(list)) == w, nil
	case "==", "!=":
		return (fmt.Sprint(v) == w) == (op == "=="), nil
	case "=~", "!~":
		re, err := regexp.Compile(w)
		return err == nil && re.MatchString(fmt.Sprint(v)) == (op == "=~"), err
	case "<", ">":
		n, ok := v.(float64)
		limit, err := strconv.ParseFloat(w, 64)
		if err != nil || !ok {
			return false, fmt.Errorf("%v %s %s compares no numbers", v, op, w)
		}
		return n != limit && (n < limit) == (op == "<"), nil
	}
	return false, fmt.Errorf("no such comparison %q", op)
}

func kind(v any) string {
	switch v.(type) {
	case nil:
		return "null"
	case bool:
		return "bool"
	case float64:
		return "number"
	case string:
		return "string"
	case []any:
		return "array"
	}
	return "object"
}

// zeros lists where a number is 0 in a value: a quantity that is not known must
// be null instead.
func zeros(v any, path string) []string {
	var found []string
	switch in := v.(type) {
	case map[string]any:
		for k, e := range in {
			found = append(found, zeros(e, path+"."+k)...)
		}
	case []any:
		for i, e := range in {
			found = append(found, zeros(e, fmt.Sprintf("%s.%d", path, i))...)
		}
	case float64:
		if in == 0 {
			found = append(found, path)
		}
	}
	slices.Sort(found)
	return found
}

// numberCommand looks at a number in the last standard output: the first group
// of the pattern must lie between two bounds.
//
//	number 85 125 'wire speed (\d+) in/min'
func numberCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: number LOW HIGH PATTERN")
	}
	lo, errLow := strconv.ParseFloat(args[0], 64)
	hi, errHigh := strconv.ParseFloat(args[1], 64)
	re, err := regexp.Compile(args[2])
	ts.Check(errors.Join(errLow, errHigh, err))
	m := re.FindStringSubmatch(strings.Join(strings.Fields(ts.ReadFile("stdout")), " "))
	if len(m) != 2 {
		ts.Fatalf("nothing reads as %s", args[2])
	}
	v, err := strconv.ParseFloat(m[1], 64)
	ts.Check(err)
	if v < lo || v > hi {
		ts.Fatalf("%s: %g does not lie between %g and %g", args[2], v, lo, hi)
	}
}

// patchCommand overwrites bytes of a file: patch FILE OFFSET HEX.
func patchCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: patch FILE OFFSET HEX")
	}
	offset, err := strconv.ParseInt(args[1], 0, 64)
	ts.Check(err)
	b, err := hex.DecodeString(args[2])
	ts.Check(err)
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_WRONLY, 0)
	ts.Check(err)
	_, err = f.WriteAt(b, offset)
	ts.Check(errors.Join(err, f.Close()))
}

// cutCommand copies the first bytes of a file: cut FROM TO BYTES.
func cutCommand(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: cut FROM TO BYTES")
	}
	n, err := strconv.Atoi(args[2])
	ts.Check(err)
	b, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	if n >= len(b) {
		ts.Fatalf("%s has only %d bytes", args[0], len(b))
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), b[:n], 0o600))
}
