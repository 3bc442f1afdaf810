package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// inline is a command that runs tests within a line of a page.
var (
	inline   = regexp.MustCompile("`([A-Z]+=\\S+ )?(go test [^`]*)`")
	selected = regexp.MustCompile(`-(run|bench|fuzz)[= ]('[^']*'|\S+)`)
	declared = regexp.MustCompile(`(?m)^func (Test|Benchmark|Fuzz)(\w+)\(`)
	ownFlag  = regexp.MustCompile(`\s-(long|soak|update|notebooks)\b`)
)

// TestPagesNameTests holds every command of a table that runs tests to what there is:
// each of its alternatives finds a test of its package, each flag of our own is one of
// that package, and every fault that has a long form is in the table of faults.
func TestPagesNameTests(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	if err != nil {
		t.Fatal(err)
	}
	commands, long := 0, map[string]bool{}
	for i, line := range strings.Split(string(text), "\n") {
		for _, m := range inline.FindAllStringSubmatch(line, -1) {
			command := strings.ReplaceAll(m[2], `\|`, "|")
			at := fmt.Sprintf("DEVELOPERS.md:%d: %s", i+1, command)
			tests := ""
			for _, word := range strings.Fields(command)[2:] {
				if strings.HasPrefix(word, "./") && !strings.HasSuffix(word, "...") {
					tests += testsOf(t, at, word)
				}
			}
			if tests == "" {
				continue // of all packages
			}
			commands++
			for _, f := range ownFlag.FindAllStringSubmatch(command, -1) {
				if !strings.Contains(tests, `("`+f[1]+`"`) {
					t.Errorf("%s: no flag -%s", at, f[1])
				}
			}
			for _, s := range selected.FindAllStringSubmatch(command, -1) {
				for _, one := range strings.Split(strings.Trim(s[2], "'"), "|") {
					one, _, _ = strings.Cut(one, "/") // below a test
					if one == "^$" || one == "." {
						continue
					}
					is, found := regexp.MustCompile(one), false
					for _, d := range declared.FindAllStringSubmatch(tests, -1) {
						if is.MatchString(d[1] + d[2]) {
							found = true
							long[d[2]] = long[d[2]] || strings.Contains(command, "-long")
						}
					}
					if !found {
						t.Errorf("%s: %s finds no test", at, one)
					}
				}
			}
		}
	}
	if commands < 20 {
		t.Errorf("only %d commands found", commands)
	}
	for _, dir := range []string{"./cmd/beadwright", "./procedures/store"} {
		for _, f := range strings.Split(testsOf(t, dir, dir), "\nfunc Test")[1:] {
			if name, _, _ := strings.Cut(f, "("); strings.HasPrefix(name, "Fault") && strings.Contains(f, "if *long {") && !long[name] {
				t.Errorf("Test%s has a long form, and no row of DEVELOPERS.md runs it", name)
			}
		}
	}
}

// testsOf is the text of a package's tests.
func testsOf(t *testing.T, at, dir string) string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(root, dir, "*_test.go"))
	if err != nil || len(files) == 0 {
		t.Errorf("%s: no tests in %s: %v", at, dir, err)
	}
	var all strings.Builder
	for _, f := range files {
		b, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all.WriteByte('\n')
		all.Write(b)
	}
	return all.String()
}
