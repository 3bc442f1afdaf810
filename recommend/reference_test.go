package recommend_test

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"beadwright/data"
)

// libraries are sources of reference values that are programs, not print.
var libraries = map[string]string{"SCIPY": "scipy 1.10.1 and numpy 1.24.2, by testdata/reference/library.py"}

// check is one row of testdata/reference/*.csv.
type check struct {
	file, id, topic, inputs, expected, unit, tolerance, kind string
	sources                                                  []string
}

// span is an answer that is a range of numbers.
type span struct{ low, high float64 }

// within is an answer that must contain what is expected.
type within span

// topics maps each topic to the code that answers it.
var topics = map[string]func(in *inputs) any{}

// teach adds the topics of one package.
func teach(more map[string]func(in *inputs) any) {
	for topic, answer := range more {
		if topics[topic] != nil {
			panic("two answers to " + topic)
		}
		topics[topic] = answer
	}
}

// TestReference runs every published, tabulated or independently computed value.
func TestReference(t *testing.T) {
	rows := readChecks(t)
	done, sources, kinds := 0, map[string]bool{}, map[string]int{}
	for _, c := range rows {
		for _, id := range c.sources {
			if _, ok := data.Sources()[id]; !ok && libraries[id] == "" {
				t.Errorf("%s %s: source %q is not known", c.file, c.id, id)
			}
			sources[id] = true
		}
		kinds[c.kind]++
		ok := t.Run(c.file+"/"+c.id, func(t *testing.T) { c.run(t) })
		if ok {
			done++
		}
	}
	if done != len(rows) {
		t.Errorf("%d of %d rows met", done, len(rows))
	}
	if len(rows) < 250 || len(sources) < 40 {
		t.Errorf("%d checks from %d sources; at least 250 from 40 are promised", len(rows), len(sources))
	}
	used := map[string]bool{}
	for _, c := range rows {
		used[c.topic] = true
	}
	for topic := range topics {
		if !used[topic] {
			t.Errorf("topic %s has code here and no row", topic)
		}
	}
	t.Logf("%d of %d checks met, %d topics, %d sources, by kind %v", done, len(rows), len(used), len(sources), kinds)
}

func readChecks(t *testing.T) []check {
	t.Helper()
	files, err := filepath.Glob("../testdata/reference/*.csv")
	if err != nil || len(files) == 0 {
		t.Fatalf("no reference files: %v", err)
	}
	var rows []check
	seen := map[string]bool{}
	for _, file := range files {
		f, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		r := csv.NewReader(f)
		r.Comment = '#'
		records, err := r.ReadAll()
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(records[0], ","); got != "id,topic,inputs,expected,unit,tolerance,kind,source,note" {
			t.Fatalf("%s: header %s", file, got)
		}
		for _, v := range records[1:] {
			c := check{filepath.Base(file), v[0], v[1], v[2], v[3], v[4], v[5], v[6], strings.Split(v[7], ";")}
			if seen[c.id] || c.id == "" {
				t.Errorf("%s: id %q stands twice or is empty", file, c.id)
			}
			seen[c.id] = true
			if v[7] == "" || c.expected == "" || !slices.Contains([]string{"printed", "table cell", "computed", "memory"}, c.kind) {
				t.Errorf("%s %s: a row needs a source, a kind and an expected value", file, c.id)
			}
			rows = append(rows, c)
		}
	}
	return rows
}

func (c check) run(t *testing.T) {
	answer := topics[c.topic]
	if answer == nil {
		t.Fatalf("unknown topic %q", c.topic)
	}
	in := &inputs{t: t, read: map[string]bool{}}
	if err := json.Unmarshal([]byte(c.inputs), &in.all); err != nil {
		t.Fatal(err)
	}
	got := answer(in)
	for name := range in.all {
		if !in.read[name] {
			t.Errorf("input %s was not used", name)
		}
	}
	tolerance := 1e-9
	if v, err := strconv.ParseFloat(c.tolerance, 64); err == nil && v > 0 {
		tolerance = v * (1 + 1e-6)
	} else if c.tolerance != "exact" && c.tolerance != "0" {
		t.Fatalf("tolerance %q", c.tolerance)
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= max(tolerance, 1e-12*math.Abs(b)) }
	switch got := got.(type) {
	case string:
		if got != c.expected {
			t.Errorf("%s %s: got %q, want %q", c.topic, c.inputs, got, c.expected)
		}
	case float64:
		// A span expected of a number must hold it.
		if low, high, ok := spanOf(c.expected); ok {
			if got < low-tolerance || got > high+tolerance {
				t.Errorf("%s %s: got %g, want within %s", c.topic, c.inputs, got, c.expected)
			}
			return
		}
		if want := number(t, c.expected); !near(got, want) {
			t.Errorf("%s %s: got %.10g %s, want %s to within %s", c.topic, c.inputs, got, c.unit, c.expected, c.tolerance)
		}
	case span:
		low, high, ok := spanOf(c.expected)
		if !ok || !near(got.low, low) || !near(got.high, high) {
			t.Errorf("%s %s: got %g-%g, want %s", c.topic, c.inputs, got.low, got.high, c.expected)
		}
	case within:
		if want := number(t, c.expected); want < got.low-tolerance || want > got.high+tolerance {
			t.Errorf("%s %s: range %g to %g does not hold %s", c.topic, c.inputs, got.low, got.high, c.expected)
		}
	default:
		t.Fatalf("%s answered with a %T", c.topic, got)
	}
}

// number reads 0.4, 3/8.
func number(t *testing.T, s string) float64 {
	t.Helper()
	top, bottom, fraction := strings.Cut(s, "/")
	v, err := strconv.ParseFloat(top, 64)
	if fraction && err == nil {
		var d float64
		d, err = strconv.ParseFloat(bottom, 64)
		v /= d
	}
	if err != nil {
		t.Fatalf("expected value %q is not a number", s)
	}
	return v
}

// spanOf reads 212-258.
func spanOf(s string) (low, high float64, ok bool) {
	a, b, ok := strings.Cut(s, "-")
	low, errLow := strconv.ParseFloat(a, 64)
	high, errHigh := strconv.ParseFloat(b, 64)
	return low, high, ok && errLow == nil && errHigh == nil
}

// inputs are the named inputs of a row. Every one must be read.
type inputs struct {
	t    *testing.T
	all  map[string]any
	read map[string]bool
}

// has reports whether an input is there, without reading it.
func (in *inputs) has(name string) bool { _, ok := in.all[name]; return ok }

func (in *inputs) any(name string) any {
	in.t.Helper()
	v, ok := in.all[name]
	if !ok {
		in.t.Fatalf("input %s is missing", name)
	}
	in.read[name] = true
	return v
}

// f reads a number; null is 0.
func (in *inputs) f(name string) float64 {
	in.t.Helper()
	switch v := in.any(name).(type) {
	case float64:
		return v
	case nil:
		return 0
	}
	in.t.Fatalf("input %s is not a number", name)
	return 0
}

// or reads a number that may be left out.
func (in *inputs) or(name string, otherwise float64) float64 {
	if in.has(name) {
		return in.f(name)
	}
	return otherwise
}

func (in *inputs) s(name string) string { in.t.Helper(); return fmt.Sprint(in.any(name)) }

func (in *inputs) yes(name string) bool { in.t.Helper(); return in.any(name) == true }

// given marks an input that the code holds as a constant and checks its value.
func (in *inputs) given(name string, want float64) {
	in.t.Helper()
	if in.has(name) && math.Abs(in.f(name)-want) > 1e-9 {
		in.t.Fatalf("%s is %v where the code holds %v", name, in.all[name], want)
	}
}

// must fails the row on an error.
func must[T any](in *inputs) func(v T, err error) T {
	return func(v T, err error) T {
		in.t.Helper()
		if err != nil {
			in.t.Fatal(err)
		}
		return v
	}
}
