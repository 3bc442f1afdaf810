package main

import (
	"bytes"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"beadwright/cmd/beadwright/web"
)

// chartBench is a workbench on a shop with a knob run out on both taps, a change of
// the machine and two spools.
func chartBench(t *testing.T) (b *workbench, dir string) {
	t.Helper()
	dir = chartShop(t)
	var lines []string
	for day := 1; day < 29; day++ {
		rated := fmt.Sprintf("--rating %d", day%5+1)
		if day%6 == 0 {
			rated = "--thirds 2,4,5"
		}
		lines = append(lines, fmt.Sprintf("log 1/8 mild lap flat --tap high --wire-speed 105ipm --at 2026-02-%02d %s", day, rated))
	}
	lines = append(lines, "machine change --what liner-and-everything-before-the-gun-made-anew", "wire add 0.030 E71T-GS --name the-other-spool-with-a-long-name")
	for _, tap := range []string{"low", "high"} {
		for mark, inches := range map[int]int{2: 14, 5: 24, 9: 40} {
			lines = append(lines, fmt.Sprintf("machine knob --tap %s --mark %d --length %din --seconds 10", tap, mark, inches))
		}
	}
	lines = append(lines, "log 4 1/8 mild tee flat --tap high --knob 5")
	for _, line := range lines {
		if status, _, complaint := attempt(strings.Fields(line)...); status != 0 {
			t.Fatalf("%s: status %d: %s", line, status, complaint)
		}
	}
	return benchOn(t, os.Getenv("BEADWRIGHT_NOTEBOOK")), dir
}

// TestChartOnPage: a chart for the page says what the command says, names no file,
// and its letters keep clear of one another and of the edges.
func TestChartOnPage(t *testing.T) {
	b, dir := chartBench(t)
	before := tree(t, dir)
	t.Chdir(dir)
	for _, c := range []struct {
		kind  string
		flags []string
		words []string
		says  []string
	}{
		{"knob", []string{"--tap=low"}, []string{"shed"}, []string{"mark of the knob", "wire speed, in/min", "the curve", "median, with its timing (3)"}},
		{"knob", []string{"--tap=high", "--units=metric"}, []string{"shed"}, []string{"wire speed, m/min"}},
		{"thickness", []string{"--machine=shed", "--joint=tee", "--position=flat"}, nil, []string{"thickness of the thinner part, in", "what the tables give"}},
		{"thickness", []string{"--machine=shed", "--joint=lap", "--position=flat", "--units=metric"}, nil, []string{"thickness of the thinner part, mm"}},
		{"history", []string{"--machine=shed"}, nil, []string{"rating by sight", "the machine was changed", "thirds of a bead"}},
	} {
		svg, r := b.Chart(t.Context(), c.kind, c.flags, c.words...)
		name := fmt.Sprint(c.kind, c.flags, c.words)
		if r.Status != 0 {
			t.Errorf("%s: status %d: %s", name, r.Status, r.JSON)
			continue
		}
		texts, width, height := textsOf(t, svg)
		var all []string
		for n, a := range texts {
			all = append(all, a.words)
			if a.turned {
				continue
			}
			if a.left < 0 || a.right > width || a.top < 0 || a.bottom > height {
				t.Errorf("%s: %q runs off the page: %+v of %g by %g", name, a.words, a, width, height)
			}
			for _, z := range texts[:n] {
				if !z.turned && a.left < z.right && z.left < a.right && a.top < z.bottom && z.top < a.bottom {
					t.Errorf("%s: %q runs into %q", name, a.words, z.words)
				}
			}
		}
		for _, want := range c.says {
			if !strings.Contains(strings.Join(all, "\n"), want) {
				t.Errorf("%s does not say %q: %q", name, want, all)
			}
		}

		args := slices.Concat([]string{"chart", c.kind, "--force"}, c.flags, []string{"--", filepath.Join(t.TempDir(), "page.svg")}, c.words)
		status, out, complaint := attempt(append([]string{"--json"}, args...)...)
		if status != 0 {
			t.Fatalf("%v: status %d: %s", args, status, complaint)
		}
		if want := strings.ReplaceAll(out, args[len(args)-1-len(c.words)], "page.svg"); nameless(want) != nameless(string(r.JSON)) {
			t.Errorf("%s: the page is told %s\nthe command line %s", name, r.JSON, want)
		}
	}
	for _, c := range [][]string{{"knob", "nobody"}, {"history", "gibberish"}, {"history", "--force=x"}, {"thickness", "hitch"}} {
		if svg, r := b.Chart(t.Context(), c[0], nil, c[1:]...); r.Status == 0 || svg != nil {
			t.Errorf("%v: status %d and %d bytes drawn", c, r.Status, len(svg))
		}
	}
	if after := tree(t, dir); !slices.Equal(before, after) {
		t.Errorf("files were left: before %v, after %v", before, after)
	}
}

// TestMachinePageCharts: the page of a machine shows its charts, each with its
// words, and nothing that its own policy would not let through.
func TestMachinePageCharts(t *testing.T) {
	b, _ := chartBench(t)
	r := httptest.NewRequest("GET", "/machine/shed", nil)
	r.Host = "localhost"
	w := httptest.NewRecorder()
	web.New(b, web.Options{}).ServeHTTP(w, r)
	page := w.Body.String()
	for _, want := range []string{"Wire speed by mark of the knob, LOW tap", "Wire speed by mark of the knob, HIGH tap", "Wire speed against thickness", "Ratings in the order welded"} {
		if strings.Count(page, `role="img" aria-label="`+want+`"`) != 1 {
			t.Errorf("there is not one chart %q", want)
		}
	}
	for _, want := range []string{"runs at 3 marks", "Before a bead, ask for its own settings", "A rating is looks alone", "The same in numbers", `href="/weld/A35">A35</a>`} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	for _, bad := range []string{"style=", "<script>", "<?xml", "http://www", "<!--"} {
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	if len(page) > 150_000 {
		t.Errorf("the page is %d bytes large", len(page))
	}
	t.Logf("%d bytes, %d of them charts", len(page), len(page)-len(bytes.ReplaceAll([]byte(page), []byte("<path"), nil)))
}
