package web

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// recorder is a bench that does nothing and keeps what it was asked to do.
type recorder struct {
	mu     sync.Mutex
	asked  [][]string
	answer Result
}

// asTyped is the command of a page without the flag that the page puts into each.
func asTyped(args []string) []string {
	args = slices.Clone(args)
	if len(args) > 1 && args[1] == "--pressed" {
		args = slices.Delete(args, 1, 2)
	}
	return args
}

func (b *recorder) Do(_ context.Context, args ...string) Result {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.asked = append(b.asked, asTyped(args))
	if b.answer.JSON == nil {
		return Result{JSON: []byte("{}\n")}
	}
	return b.answer
}

// last is the command asked for last; nil: none since the last look.
func (b *recorder) last() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.asked) == 0 {
		return nil
	}
	args := b.asked[len(b.asked)-1]
	b.asked = nil
	return args
}

// ask sends a request to a handler as the page itself would, unless changed.
func send(h http.Handler, method, target, body string, change ...func(*http.Request)) *http.Response {
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Host = "127.0.0.1:8173"
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, c := range change {
		c(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func heard(r *http.Response) string {
	b, _ := io.ReadAll(r.Body)
	return string(b)
}

// TestCommands: what is said becomes the command line that a welder would type.
func TestCommands(t *testing.T) {
	b := &recorder{}
	s := New(b, Options{})
	for _, c := range []struct {
		method, target, body string
		want                 []string
	}{
		{"GET", "/api/suggest?words=1/8+mild+tee+flat", "", []string{"suggest", "--", "1/8 mild tee flat"}},
		{"GET", "/api/suggest?words=1/8&words=tee&joint=tee&length=&other_thickness=1/4&units=us", "", []string{"suggest", "--units=us", "--other-thickness=1/4", "--joint=tee", "--", "1/8", "tee"}},
		{"POST", "/api/log", `{"words":["4","bit of spatter"],"knob":4.5,"symptom":["popping","cold"],"from":null}`, []string{"log", "--knob=4.5", "--symptom=popping", "--symptom=cold", "--", "4", "bit of spatter"}},
		{"GET", "/api/find?struck=true&limit=5&words=tee", "", []string{"find", "--limit=5", "--struck=true", "--", "tee"}},
		{"GET", "/api/welds/A1", "", []string{"show", "--", "A1"}},
		{"PATCH", "/api/welds/A1", `{"rating":3}`, []string{"amend", "--rating=3", "--", "A1"}},
		{"POST", "/api/welds/A1/strike", `{"why":"wrong spool"}`, []string{"strike", "--why=wrong spool", "--", "A1"}},
		{"POST", "/api/machines/big%20shed/use", "", []string{"machine", "use", "--", "big shed"}},
		{"POST", "/api/duty/start", "", []string{"duty", "start", "--"}},
		{"GET", "/api/reckon/fillet?leg=1/4", "", []string{"reckon", "fillet", "--leg=1/4", "--"}},
	} {
		if r := send(s, c.method, c.target, c.body); r.StatusCode >= 300 {
			t.Errorf("%s %s: %d %s", c.method, c.target, r.StatusCode, heard(r))
		}
		if got := b.last(); !slices.Equal(got, c.want) {
			t.Errorf("%s %s %s:\n%q, wanted\n%q", c.method, c.target, c.body, got, c.want)
		}
	}
}

// TestStatus: exit statuses and kinds of failure have their own HTTP status.
func TestStatus(t *testing.T) {
	b := &recorder{}
	s := New(b, Options{})
	fails := func(code string) []byte { return fmt.Appendf(nil, `{"error":{"code":%q,"message":"x"}}`, code) }
	for _, c := range []struct {
		res    Result
		method string
		target string
		want   int
	}{
		{Result{0, []byte("{}")}, "GET", "/api/suggest", 200},
		{Result{3, []byte(`{"verdict":"refused"}`)}, "GET", "/api/suggest", 200},
		{Result{0, []byte("{}")}, "POST", "/api/log", 201},
		{Result{2, fails("invalid")}, "POST", "/api/log", 400},
		{Result{2, fails("not_understood")}, "GET", "/api/suggest", 400},
		{Result{2, fails("not_found")}, "GET", "/api/welds/A9", 404},
		{Result{1, fails("locked")}, "POST", "/api/log", 503},
		{Result{1, fails("full")}, "POST", "/api/log", 507},
		{Result{1, fails("damaged")}, "GET", "/api/find", 500},
		{Result{1, nil}, "GET", "/api/find", 500},
	} {
		b.answer = c.res
		if c.res.JSON == nil {
			b.answer.JSON = []byte{}
		}
		r := send(s, c.method, c.target, "")
		if got := heard(r); r.StatusCode != c.want || got != string(c.res.JSON) {
			t.Errorf("%s %s with %d %s: %d %s, wanted %d", c.method, c.target, c.res.Status, c.res.JSON, r.StatusCode, got, c.want)
		}
	}
}

// words that try to be something else than words.
var sly = []string{"--notebook=/etc/passwd", "--notebook", "--json=false", "--batch=/etc/passwd", "--photo=/etc/shadow", "--rows=-", "--rows=/etc/passwd", "-h", "--help", "--", "-", "--at=now", "--units=metric", "serve", "machine", "help",
	"completion", "../../etc/passwd", "/etc/passwd", "@/etc/passwd", "A1 --why=x", "x\n--json=false", "\x00", "\u202e--json", "=", "--=x", "$(id)", "`id`", ";id", "|id", "%s%n", "chart", "import", "", " ", "__complete"}

// within reports what is wrong with a command line: it must be one of the
// whitelist, with only the flags that a route of it lists, and all else behind "--".
func within(args []string, behind func(string) bool) string {
	why := "not a command of the whitelist"
	for _, rt := range routes() {
		if len(args) <= len(rt.command) || !slices.Equal(args[:len(rt.command)], rt.command) || !strings.HasPrefix(args[len(rt.command)], "--") {
			continue
		}
		if why = of(rt, args[len(rt.command):], behind); why == "" {
			return ""
		}
	}
	return why
}

func of(rt route, rest []string, behind func(string) bool) string {
	for i, arg := range rest {
		if arg == "--" {
			for _, word := range rest[i+1:] {
				if !behind(word) {
					return fmt.Sprintf("%q was not said", word)
				}
			}
			return ""
		}
		name, _, ok := strings.Cut(strings.TrimPrefix(arg, "--"), "=")
		if !ok || !strings.HasPrefix(arg, "--") || !slices.Contains(slices.Concat(rt.flags, rt.lists, rt.switches, []string{"units"}), name) {
			return fmt.Sprintf("%q is no flag of %v", arg, rt.command)
		}
	}
	return "nothing closes the flags"
}

// smuggle sends one request and reports what came through that must not.
func smuggle(b *recorder, s *Server, method, target, body, kind string) string {
	r := send(s, method, target, body, func(r *http.Request) {
		if kind != "" {
			r.Header.Set("Content-Type", kind)
		}
	})
	args := b.last()
	if args == nil {
		if r.StatusCode < 300 && !strings.HasPrefix(target, "/api/openapi.yaml") {
			return fmt.Sprintf("%d and nothing was done", r.StatusCode)
		}
		return ""
	}
	said := target + " " + body
	if u, err := url.Parse(target); err == nil {
		said += u.Path
		for k, v := range u.Query() {
			said += " " + k + " " + strings.Join(v, " ")
		}
	}
	var object map[string]any
	_ = json.Unmarshal([]byte(body), &object)
	said += fmt.Sprint(object)
	if why := within(args, func(word string) bool { return strings.Contains(said, word) }); why != "" {
		return fmt.Sprintf("%q: %s", args, why)
	}
	return ""
}

// TestNothingSmuggled: whatever is sent to whatever route, nothing of it becomes a
// command, a flag or the name of a file.
func TestNothingSmuggled(t *testing.T) {
	b := &recorder{}
	s := New(b, Options{})
	rapid.Check(t, func(t *rapid.T) {
		rt := rapid.SampledFrom(routes()).Draw(t, "route")
		word := rapid.OneOf(rapid.SampledFrom(sly), rapid.String())
		key := rapid.OneOf(rapid.SampledFrom(append(rt.keys(), "notebook", "json", "batch", "photo", "rows", "dry_run", "help", "words", "cert", "--joint", "joint=x --notebook")), rapid.String())
		target := rt.path
		for _, n := range rt.named {
			target = strings.ReplaceAll(target, "{"+n+"}", url.PathEscape(word.Draw(t, n)))
		}
		said := map[string]any{}
		query := url.Values{}
		for range rapid.IntRange(0, 4).Draw(t, "many") {
			k := key.Draw(t, "key")
			if v := word.Draw(t, "value"); rapid.Bool().Draw(t, "list") {
				said[k] = []string{v, word.Draw(t, "second")}
				query[k] = []string{v}
			} else {
				said[k] = v
				query.Add(k, v)
			}
		}
		body := ""
		if rt.method == "GET" {
			target += "?" + query.Encode()
		} else {
			b, _ := json.Marshal(said)
			body = string(b)
		}
		if why := smuggle(b, s, rt.method, target, body, ""); why != "" {
			t.Fatalf("%s %s %s: %s", rt.method, target, body, why)
		}
	})
}

// FuzzAPI sends anything at all to the API.
func FuzzAPI(f *testing.F) {
	f.Add("POST", "/api/log", `{"words":["4"]}`, "application/json")
	f.Add("GET", "/api/suggest?words=--notebook=/etc/passwd&joint=--json=false", "", "")
	f.Add("PATCH", "/api/welds/--help", `{"rating":"3","rating":"5"}`, "application/json; charset=utf-8")
	f.Add("GET", "/api/welds/..%2f..%2fetc%2fpasswd", "", "")
	for _, w := range sly {
		f.Add("POST", "/api/log", `{"words":[`+fmt.Sprintf("%q", w)+`]}`, "application/json")
	}
	b := &recorder{}
	s := New(b, Options{})
	f.Fuzz(func(t *testing.T, method, target, body, kind string) {
		u, err := url.ParseRequestURI(target)
		if err != nil || u.Host != "" || !strings.HasPrefix(u.Path, "/api/") || strings.ContainsAny(method+target, " \t\r\n\x00") || method == "" {
			return
		}
		if _, err := http.NewRequest(method, "http://127.0.0.1:8173"+target, nil); err != nil {
			return
		}
		if why := smuggle(b, s, method, "http://127.0.0.1:8173"+target, body, kind); why != "" {
			t.Fatalf("%s %s %s: %s", method, target, body, why)
		}
	})
}

// TestObjects: JSON that two readers could take for two things is refused.
func TestObjects(t *testing.T) {
	b := &recorder{}
	s := New(b, Options{})
	for _, body := range []string{
		`{"rating":5,"rating":1}`, `{"rating":{"$gt":0}}`, `{"rating":[5]}`, `{"words":"4"}]`, `[]`, `"x"`, `4`, `null`, `{`, `{"rating":5`, `{"rating":5}{"rating":1}`, `{"rating":5} x`,
		`{"words":[["4"]]}`, `{"words":[null]}`, `{"words":[{}]}`, `{"Rating":5}`, `{"rating ":5}`, `{"unknown":1}`, `{"photo":"/etc/passwd"}`, `{"notebook":"x"}`, `{"json":false}`, `{"struck":"x"}`,
		"{\"note\":\"\xff\"}", `{'rating':5}`, `{"rating":NaN}`, `{"rating":0x5}`, `rating=5`, "\ufeff{}", strings.Repeat(`{"a":`, 100_000),
	} {
		r := send(s, "POST", "/api/log", body)
		if args := b.last(); args != nil || r.StatusCode != http.StatusBadRequest {
			t.Errorf("%.60s: %d, and %q was done", body, r.StatusCode, args)
		}
		if said := heard(r); !strings.Contains(said, `"error"`) || len(said) > 1200 {
			t.Errorf("%.60s: %s", body, said)
		}
	}
}
