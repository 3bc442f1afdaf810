package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// root is the top of the repository.
var root = filepath.Join("..", "..")

// block is a fenced block of a page.
type block struct {
	page  string
	line  int
	lang  string
	lines []string
}

// blocks reads the fenced blocks of a page at the top of the repository.
func blocks(t *testing.T, page string) []block {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, page))
	if err != nil {
		t.Fatal(err)
	}
	var all []block
	inside := false
	for i, l := range strings.Split(string(text), "\n") {
		lang, fence := strings.CutPrefix(strings.TrimSpace(l), "```")
		switch {
		case fence && !inside:
			all = append(all, block{page: page, line: i + 1, lang: strings.TrimSpace(lang)})
			inside = true
		case fence:
			inside = false
		case inside:
			b := &all[len(all)-1]
			b.lines = append(b.lines, l)
		}
	}
	if inside {
		t.Errorf("%s: the block at line %d does not end", page, all[len(all)-1].line)
	}
	return all
}

// command is one command line of a page, with what the page shows of its output.
type command struct {
	at    string // page:line
	line  string
	shown []string
	want  int // exit status; -1: 0 or 3
}

var saidStatus = regexp.MustCompile(`#.*\bexit(?: status)? (\d)\b`)

// commands are the command lines of a block: of sh every line, of console and
// text those after a $, each followed by what it prints. A line that ends in a
// backslash goes on; "# exit 3" at the end of a line says what status it leaves.
func (b block) commands() (all []command) {
	for i := 0; i < len(b.lines); i++ {
		at := fmt.Sprintf("%s:%d", b.page, b.line+1+i)
		line, prompted := strings.CutPrefix(strings.TrimSpace(b.lines[i]), "$ ")
		switch {
		case b.lang != "sh" && !prompted:
			if len(all) > 0 && strings.TrimSpace(b.lines[i]) != "" {
				all[len(all)-1].shown = append(all[len(all)-1].shown, b.lines[i])
			}
			continue
		case line == "" || strings.HasPrefix(line, "#"):
			continue
		}
		for strings.HasSuffix(line, `\`) && i+1 < len(b.lines) {
			i++
			line = strings.TrimSuffix(line, `\`) + strings.TrimSpace(b.lines[i])
		}
		c := command{at: at, line: line}
		if m := saidStatus.FindStringSubmatch(line); m != nil {
			c.want, _ = strconv.Atoi(m[1])
		} else if b.lang != "sh" {
			c.want = -1 // a picture of an answer, which may be a refusal
		}
		all = append(all, c)
	}
	return all
}

// TestReadme follows README.md and DEVELOPERS.md: every command of a block sh,
// console or text is run in the order of the page, from the top of the
// repository, with a home of its own; what a page shows of an answer must be in
// that answer. The tests themselves are not run again from here; they must be the
// ones that the check script runs.
func TestReadme(t *testing.T) {
	if _, err := exec.LookPath("sh"); err != nil {
		t.Skip("no sh to run the pages with")
	}
	if racing {
		t.Skip("the pages run the program as it is built without the race detector")
	}
	for _, page := range []string{"README.md", "DEVELOPERS.md"} {
		t.Run(page, func(t *testing.T) {
			env := newcomer(t)
			built := filepath.Join(root, "beadwright")
			if _, err := os.Stat(built); errors.Is(err, fs.ErrNotExist) {
				t.Cleanup(func() { os.Remove(built) }) // where a page says to build it
			}
			ran, tests := 0, 0
			for _, b := range blocks(t, page) {
				if !slices.Contains([]string{"sh", "console", "text"}, b.lang) {
					continue
				}
				for _, c := range b.commands() {
					if isTest(c.line) {
						tests++
						checkTestCommand(t, c)
						continue
					}
					ran++
					c.follow(t, env)
				}
			}
			if tests == 0 {
				t.Errorf("%s does not say how to run the tests", page)
			}
			if ran == 0 && page == "README.md" {
				t.Errorf("%s holds no command to run", page)
			}
		})
	}
}

// newcomer is the environment of somebody who has just fetched the repository:
// an empty home, the go command's own folders, and nothing of this test's.
func newcomer(t *testing.T) []string {
	t.Helper()
	out, err := exec.Command("go", "env", "-json", "GOPATH", "GOCACHE", "GOMODCACHE", "GOFLAGS", "GOPROXY", "GOTOOLCHAIN").Output()
	if err != nil {
		t.Fatal(err)
	}
	goEnv := map[string]string{}
	if err := json.Unmarshal(out, &goEnv); err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	env := []string{"HOME=" + home, "GOBIN=" + filepath.Join(home, "bin"), "TMPDIR=" + t.TempDir()}
	for k, v := range goEnv {
		env = append(env, k+"="+v)
	}
	for _, kv := range os.Environ() {
		k, _, _ := strings.Cut(kv, "=")
		if strings.HasPrefix(k, "BEADWRIGHT_") || strings.HasPrefix(k, "XDG_") || k == "HOME" || k == "GOBIN" || k == "TMPDIR" || goEnv[k] != "" {
			continue
		}
		env = append(env, kv)
	}
	return env
}

func (c command) follow(t *testing.T, env []string) {
	t.Helper()
	// "./beadwright" is the built program: the test binary stands in for it.
	cmd := exec.Command("sh", "-c", strings.ReplaceAll(c.line, "./beadwright", "beadwright"))
	cmd.Dir, cmd.Env = root, env
	out, err := cmd.CombinedOutput()
	status := 0
	var exit *exec.ExitError
	switch {
	case errors.As(err, &exit):
		status = exit.ExitCode()
	case err != nil:
		t.Fatalf("%s: %s: %v", c.at, c.line, err)
	}
	if status != c.want && !(c.want == -1 && (status == 0 || status == 3)) {
		t.Errorf("%s: %s: status %d\n%s", c.at, c.line, status, out)
	}
	got := strings.Join(strings.Fields(string(out)), " ")
	for _, l := range c.shown {
		want := strings.Join(strings.Fields(l), " ")
		i := strings.Index(got, want)
		if i < 0 && strings.Trim(want, ". ") != "" {
			t.Errorf("%s: %s does not print, or not in this order: %s", c.at, c.line, want)
			break
		}
		if i >= 0 {
			got = got[i+len(want):]
		}
	}
}

// isTest reports whether a command line runs the tests or the check script.
func isTest(line string) bool {
	return strings.HasPrefix(line, "go test") || strings.Contains(line, ".ci/run")
}

// checkTestCommand checks a command that runs tests without running it: the
// whole suite must be as the check script runs it; a part of it must name
// packages, tests and targets that exist.
func checkTestCommand(t *testing.T, c command) {
	t.Helper()
	line, _, _ := strings.Cut(c.line, " #")
	line = strings.TrimSpace(line)
	script, err := os.ReadFile(filepath.Join(root, ".ci", "run"))
	if err != nil {
		t.Errorf("%s: %s: %v", c.at, line, err)
		return
	}
	if !strings.HasPrefix(line, "go test") {
		return // the script itself, which is there
	}
	if !strings.Contains(line, "-run") && !strings.Contains(line, "-bench") && !strings.Contains(line, "-fuzz") && strings.HasSuffix(line, "./...") {
		whole := regexp.MustCompile(`(?m)(^|\s)` + regexp.QuoteMeta(line) + `$`)
		if !whole.Match(script) {
			t.Errorf("%s: %s is not what .ci/run runs", c.at, line)
		}
		return
	}
	for _, word := range strings.Fields(line)[2:] {
		if strings.HasPrefix(word, "./") {
			if out, err := goCommand("list", word); err != nil {
				t.Errorf("%s: %s: %s", c.at, line, out)
			}
		}
	}
	for _, m := range regexp.MustCompile(`-(run|bench|fuzz)[= ]'?\^?(\w+)`).FindAllStringSubmatch(line, -1) {
		declared := regexp.MustCompile(`func (Test|Benchmark|Fuzz|Example)?\w*` + m[2])
		found := false
		_ = filepath.WalkDir(root, func(path string, _ fs.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(path, "_test.go") {
				text, _ := os.ReadFile(path)
				found = found || declared.Match(text)
			}
			return nil
		})
		if !found {
			t.Errorf("%s: %s: nothing is called %s", c.at, line, m[2])
		}
	}
}

func goCommand(args ...string) (string, error) {
	cmd := exec.Command("go", args...)
	cmd.Dir = root
	var both bytes.Buffer
	cmd.Stdout, cmd.Stderr = &both, &both
	err := cmd.Run()
	return both.String(), err
}
