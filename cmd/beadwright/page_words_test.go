package main

import (
	"html"
	"io"
	"maps"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures/store"
)

// The shops that are walked through, as command lines: nothing written down, little
// known, much measured and much gone wrong.
var walkedShops = map[string][]string{
	"empty": nil,
	"bare": {
		"machine add shed",
		"suggest 1/8 mild tee flat",
		"log 4 --knob 5",
		"log 2 'smells hot' --from A1",
	},
	"doubtful": {
		"machine add shed --taps low,high --output ac --rated 100A --duty 20%",
		"machine add barn --output dcep",
		"machine add spare",
		"machine strike spare --why slip",
		"wire add 0.030 E71T-GS --name old",
		"wire use old",
		"suggest 1/8 mild tee flat",
		"log 3 'tripped'",
	},
	"furnished": {
		"machine add shed --taps low=14.5V,high=17V --knob 1..10 --output ac --rated 90A --duty 20% --max 120A --input 120V --breaker 20A",
		"machine change --what 'rectifier and capacitors fitted' --output dcen --rebuilt",
		"machine knob --tap high --mark 2 --length 14in --seconds 10",
		"machine knob --tap high --mark 5 --length 24in --seconds 10",
		"machine knob --tap low --mark 5 --length 24in --seconds 10",
		"machine measure --line 121V --line-loaded 115V", "machine measure --tap high --open 31V",
		"wire add 0.035 E71T-11 --weight 2lb",
		"suggest 1/8 mild tee flat for a shop cart",
		"log --rating 2 --symptom cold-bead --note 'first try'",
		"log --rating 4 --test 'break=tore parent'",
		"log 4 --test 'bend=broke' --from A2",
		"log 5 --from A2 --test bend=held",
		"followup A4 failed 'toe let go'",
		"suggest 1/8 mild lap flat",
		"log 3 'breaker tripped'",
		"log 5 --tap low --test bend=held",
		"procedure write cart-tee --from A6",
		"duty start",
		"duty trip --after 95s",
		"suggest 1/8 mild tee flat",
		"log 4 'got a shock'",
		"strike A7 --why slip",
	},
}

// badWords are asked of every page, and the first of them typed into every field of
// every form.
var badWords = []string{"", "banana", "-1", "2.6", "smells hot", "Z9", strings.Repeat("w ", 300), "0", "9999999", "1/2 cast iron tee flat", "3/8 mild butt flat", "12ga galvanized tee", "1/8 mild tee for a trailer hitch", "gas tank", "got a shock", "tripped", "A1", "x y", "\x00"}

const inForms = 7

// TestPagesShowNoCommand walks through every page that a link leads to, fills every
// form in wrongly, and finds no command and no flag of one: what is to be done on a
// page is said as it is done there.
func TestPagesShowNoCommand(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one walker alone takes its time")
	}
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		t.Setenv("TMPDIR", "/dev/shm") // in memory: thousands of forms, each with a disk to wait for
	}
	for name, lines := range walkedShops {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "n.db")
			for _, line := range lines {
				if code, out := ranIn(t, path, words(line)...); code != 0 {
					t.Fatalf("%s: %d: %s", line, code, out)
				}
			}
			walkPages(t, path)
		})
	}
}

// words parts a line at spaces outside quotes.
func words(line string) []string {
	var list []string
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			list = append(list, part)
			continue
		}
		list = append(list, strings.Fields(part)...)
	}
	return list
}

// commandTyped is what only somebody types who sits at a terminal.
var commandTyped = regexp.MustCompile(`beadwright [a-z-]|(^|[\s(:])--[a-z]`)

var (
	linkIn  = regexp.MustCompile(`(?:href|action)="(/[^"]*)"`)
	formIn  = regexp.MustCompile(`(?s)<form[^>]*>.*?</form>`)
	fieldIn = regexp.MustCompile(`<(?:input|textarea|select|button)[^>]*>`)
	tagIn   = regexp.MustCompile(`(?s)<(script|style|svg)\b.*?</(script|style|svg)>|<[^>]+>`)
	attrIn  = regexp.MustCompile(`\b(name|value|type|method|action|enctype)="([^"]*)"`)
)

func attributes(tag string) map[string]string {
	m := map[string]string{}
	for _, a := range attrIn.FindAllStringSubmatch(tag, -1) {
		m[a[1]] = html.UnescapeString(a[2])
	}
	return m
}

func walkPages(t *testing.T, path string) {
	nb, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	b := &workbench{notebook: nb, path: path, now: time.Now, report: io.Discard}
	defer b.settle()
	page := web.New(b, web.Options{})
	told := map[string]bool{}
	looked := 0
	look := func(r *http.Request, sent string) string {
		r.RemoteAddr, r.RequestURI = "127.0.0.1:4000", r.URL.RequestURI()
		r.Header.Set("Accept", "text/html")
		w := httptest.NewRecorder()
		page.ServeHTTP(w, r)
		if !strings.HasPrefix(w.Header().Get("Content-Type"), "text/html") {
			return ""
		}
		looked++
		body := w.Body.String()
		text := strings.Join(strings.Fields(html.UnescapeString(tagIn.ReplaceAllString(body, " "))), " ")
		for _, at := range commandTyped.FindAllStringIndex(text, -1) {
			said := text[max(0, at[0]-90):min(len(text), at[1]+60)]
			if !told[said] {
				told[said] = true
				t.Errorf("%s %s (sent %.40q): ... %s ...", r.Method, r.URL, sent, said)
			}
		}
		return body
	}
	get := func(at string) string {
		r, err := http.NewRequest("GET", "http://127.0.0.1:8173"+at, nil)
		if err != nil {
			t.Fatal(err)
		}
		return look(r, "")
	}
	seen, forms := map[string]bool{}, map[string]string{}
	todo := []string{"/", "/log", "/nowhere"}
	for _, w := range badWords {
		for _, at := range []string{"/?q=", "/find?q=", "/remedy?q=", "/weld/", "/machine/", "/procedure/"} {
			if at[len(at)-1] == '=' || w != "" && len(w) < 100 && !strings.ContainsAny(w, "\x00") {
				todo = append(todo, at+url.QueryEscape(w))
			}
		}
	}
	kinds := map[string]int{}
	for len(todo) > 0 {
		at := todo[0]
		todo = todo[1:]
		kind, _, _ := strings.Cut(at, "?")
		if kinds[kind]++; seen[at] || kinds[kind] > 25 {
			continue
		}
		seen[at] = true
		body := get(at)
		for _, link := range linkIn.FindAllStringSubmatch(body, -1) {
			todo = append(todo, html.UnescapeString(link[1]))
		}
		for _, form := range formIn.FindAllString(body, -1) {
			if a := attributes(form[:strings.Index(form, ">")]); strings.EqualFold(a["method"], "post") {
				names := map[string]bool{}
				for _, tag := range fieldIn.FindAllString(form, -1) {
					names[attributes(tag)["name"]] = true
				}
				forms[a["action"]+" "+strings.Join(slices.Sorted(maps.Keys(names)), " ")] = form
			}
		}
	}
	for _, key := range slices.Sorted(maps.Keys(forms)) {
		form := forms[key]
		to := attributes(form[:strings.Index(form, ">")])["action"]
		if to == "/units" || strings.HasPrefix(to, "/look") {
			continue
		}
		whole := url.Values{}
		var open []string
		for _, tag := range fieldIn.FindAllString(form, -1) {
			a := attributes(tag)
			if a["name"] == "" {
				continue
			}
			if a["type"] == "hidden" || whole.Get(a["name"]) == "" {
				whole.Set(a["name"], a["value"])
			}
			if !slices.Contains(open, a["name"]) {
				open = append(open, a["name"])
			}
		}
		for _, name := range open {
			for _, bad := range badWords[:inForms] {
				v := maps.Clone(whole)
				v.Set(name, bad)
				r, err := http.NewRequest("POST", "http://127.0.0.1:8173"+to, strings.NewReader(v.Encode()))
				if err != nil {
					t.Fatal(err)
				}
				r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
				look(r, bad)
			}
		}
	}
	t.Logf("%d pages looked at, %d forms", looked, len(forms))
	if looked < 100 {
		t.Errorf("only %d pages were looked at", looked)
	}
}
