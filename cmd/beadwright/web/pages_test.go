package web

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// build makes the program that the pages are tested with, once.
var build = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "beadwright-pages-")
	if err != nil {
		return "", err
	}
	program := filepath.Join(dir, "beadwright")
	out, err := exec.Command("go", "build", "-o", program, "beadwright/cmd/beadwright").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w\n%s", err, out)
	}
	return program, nil
})

func TestMain(m *testing.M) {
	status := m.Run()
	if left := leftOver(); status == 0 && left != "" {
		fmt.Fprintln(os.Stderr, "goroutines are left over:\n"+left)
		status = 1
	}
	if program, err := build(); err == nil {
		os.RemoveAll(filepath.Dir(program))
	}
	os.Exit(status)
}

// shell is a bench that runs the real program, as a shell would.
type shell struct{ program, notebook string }

func (b shell) Do(ctx context.Context, args ...string) Result {
	cmd := exec.CommandContext(ctx, b.program, append([]string{"--json", "--notebook=" + b.notebook}, args...)...)
	out, err := cmd.Output()
	r := Result{JSON: out}
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		r.Status = exit.ExitCode()
	} else if err != nil {
		r.Status = 1
	}
	return r
}

// must runs a command that has to work.
func (b shell) must(t *testing.T, args ...string) []byte {
	t.Helper()
	r := b.Do(context.Background(), args...)
	if r.Status != 0 {
		t.Fatalf("%v: status %d: %s", args, r.Status, r.JSON)
	}
	return r.JSON
}

// welds are the welds in the notebook, withdrawn ones too.
func (b shell) welds(t *testing.T) []procedures.Weld {
	t.Helper()
	var found struct{ Welds []procedures.Weld }
	if err := json.Unmarshal(b.must(t, "find", "--struck", "--limit=0"), &found); err != nil {
		t.Fatal(err)
	}
	return found.Welds
}

// newShop is an empty notebook.
func newShop(t *testing.T) shell {
	t.Helper()
	program, err := build()
	if err != nil {
		t.Fatal(err)
	}
	return shell{program, filepath.Join(t.TempDir(), "shop.db")}
}

// furnished is a shop with a rebuilt machine, its knob run out, a spool and two
// welds, one of them tested.
func furnished(t *testing.T) shell {
	t.Helper()
	b := newShop(t)
	b.must(t, "machine", "add", "shed", "--taps=low=14.5V,high=17V", "--knob=1..10", "--output=ac", "--rated=90A", "--duty=20%", "--max=120A", "--input=120V", "--breaker=20A")
	b.must(t, "machine", "change", "--what=rectifier and capacitors fitted", "--output=dcen", "--rebuilt")
	for mark, length := range map[string]string{"2": "14in", "5": "24in", "8": "37in"} {
		b.must(t, "machine", "knob", "--tap=high", "--mark="+mark, "--length="+length, "--seconds=10")
	}
	b.must(t, "wire", "add", "0.035", "E71T-11", "--weight=2lb")
	b.must(t, "suggest", "1/8 mild tee flat for a shop cart")
	b.must(t, "log", "--rating=2", "--symptom=cold-bead", "--note=first try")
	b.must(t, "log", "--rating=4", "--test=break=tore parent")
	b.must(t, "procedure", "write", "cart-tee", "--from=A2")
	b.must(t, "machine", "add", "lent", "--output=dcen", "--rebuilt")
	b.must(t, "machine", "strike", "lent", "--why=went back to its owner")
	b.must(t, "wire", "add", "0.030", "E71T-GS", "--name=misread")
	b.must(t, "wire", "strike", "misread")
	return b
}

// visitor is a browser without script: it keeps cookies and follows nothing.
type visitor struct {
	t    *testing.T
	at   string
	http *http.Client
}

func visit(t *testing.T, b Bench) visitor {
	t.Helper()
	ts := httptest.NewServer(New(b, Options{}))
	t.Cleanup(ts.Close)
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return visitor{t, ts.URL, &http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

func (v visitor) get(path string) (int, string) {
	v.t.Helper()
	res, err := v.http.Get(v.at + path)
	if err != nil {
		v.t.Fatal(err)
	}
	return v.read(res)
}

func (v visitor) read(res *http.Response) (int, string) {
	v.t.Helper()
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		v.t.Fatal(err)
	}
	return res.StatusCode, string(body)
}

// post sends a form and returns the status and where it leads to.
func (v visitor) post(path string, form url.Values) (status int, next, body string) {
	v.t.Helper()
	res, err := v.http.PostForm(v.at+path, form)
	if err != nil {
		v.t.Fatal(err)
	}
	next = res.Header.Get("Location")
	status, body = v.read(res)
	return status, next, body
}

var tags = regexp.MustCompile(`<[^>]+>`)

// fields are the hidden and the text fields of the log form.
func fields(page string) url.Values {
	v := url.Values{}
	start := strings.Index(page, `id="log"`)
	if start < 0 {
		return v
	}
	for _, tag := range regexp.MustCompile(`<input [^>]+>`).FindAllString(page[start:], -1) {
		if strings.Contains(tag, `type="hidden"`) || strings.Contains(tag, `name="knob"`) || strings.Contains(tag, " checked") {
			if name, value := attribute(tag, "name"), attribute(tag, "value"); name != "theme" && name != "back" {
				v.Add(name, value)
			}
		}
	}
	return v
}

func attribute(tag, name string) string {
	_, rest, ok := strings.Cut(tag, " "+name+`="`)
	if !ok {
		return ""
	}
	value, _, _ := strings.Cut(rest, `"`)
	return strings.NewReplacer("&#43;", "+", "&amp;", "&", "&#34;", `"`, "&#39;", "'").Replace(value)
}

// text is a page without its tags.
func text(page string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("&#39;", "'", "&amp;", "&").Replace(tags.ReplaceAllString(page, " "))), " ")
}

// everyPage is an address of each page.
var everyPage = []string{"/", "/?q=1%2F8+mild+tee+flat", "/?q=1%2F8+tee+hitch", "/?q=1%2F2+mild+butt", "/?q=banana", "/log", "/log?saved=A1", "/duty", "/find", "/find?pictures=1", "/find?q=tee", "/find?q=zzzzz", "/find?state=1", "/find?state=now&thickness=1%2F8",
	"/weld/A1", "/weld/A2", "/weld/A1/look", "/weld/A1/test?kind=break", "/weld/A2/test?kind=bend", "/weld/A2/test?kind=etch", "/weld/A2/test?kind=hammer", "/machines", "/machines?struck=1", "/machines/add", "/machine/shed", "/machine/lent", "/machine/shed/set", "/machine/shed?new=1", "/machine/shed?changed=1", "/machine/shed/change", "/machine/shed/rebuilt", "/machine/shed/measure", "/machine/shed/knob", "/machine/shed/knob?wrote=2&tap=high&mark=5", "/wire", "/blind", "/remedy", "/remedy?from=A1", "/remedy?q=spatter", "/remedy?q=the+plug+is+warm", "/remedy?q=will+it+hold", "/procedures", "/procedure/cart-tee", "/nowhere"}

func TestEveryPageStands(t *testing.T) {
	v := visit(t, furnished(t))
	for _, at := range everyPage {
		_, page := v.get(at)
		for _, want := range []string{`<html lang="en"`, "<title>", "<h1", `<main id="main"`, `aria-label="Menu"`, "licensed trades come first"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %s", at, want)
			}
		}
		if n := strings.Count(page, "<h1"); n != 1 {
			t.Errorf("%s: %d first headings", at, n)
		}
		for _, inline := range []string{" style=", " onclick=", "<style", "javascript:", "http://", "https://"} {
			if strings.Contains(page, inline) {
				t.Errorf("%s holds %q: the page lets nothing inline and nothing from elsewhere run", at, inline)
			}
		}
		for _, word := range []string{"certified", " safe ", "structural", "strong enough", "%!", "&lt;nil&gt;"} {
			if strings.Contains(strings.ToLower(text(page)), word) {
				t.Errorf("%s shows %q", at, word)
			}
		}
	}
}

// TestWithoutScript goes all the way by plain forms: ask, step the knob, save, undo.
func TestWithoutScript(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	status, page := v.get("/?joint=lap&thickness=1%2F8&position=flat")
	if status != 200 || !strings.Contains(text(page), "lap joint") || !strings.Contains(page, `class="setting"`) {
		t.Fatalf("no settings for a lap by buttons alone (%d): %s", status, text(page))
	}
	status, page = v.get("/log") // opened from the menu, on the answer last asked for
	form := fields(page)
	if status != 200 || form.Get("from") == "" || !strings.Contains(form.Get("job"), "lap") {
		t.Fatalf("the log page does not carry the answer over: %v", form)
	}
	form.Set("rating", "4")
	form.Set("step", "up")
	was := form.Get("knob")
	_, page = v.get("/log?" + form.Encode())
	form = fields(page)
	if form.Get("knob") != stepped(was, procedures.Knob{Min: 1, Max: 10}, true) || form.Get("was_knob") != was || form.Get("rating") != "4" {
		t.Fatalf("one press up from %q gives %v", was, form)
	}
	form.Add("symptom", "spatter")
	status, next, body := v.post("/log", form)
	if status != http.StatusSeeOther || next != "/log?saved=A3" {
		t.Fatalf("saving: %d to %q: %s", status, next, text(body))
	}
	if _, page = v.get(next); !strings.Contains(text(page), "A3: paint it on the coupon") {
		t.Errorf("the mark is not shown: %s", text(page))
	}
	w := b.welds(t)[0]
	if w.Mark != "A3" || w.Outcome.Rating != 4 || !slices.Equal(w.Outcome.Symptoms, []string{"spatter"}) || procedures.FormatKnob(*w.Settings.Knob) != form.Get("knob") || w.Job.Joint != "lap" {
		t.Errorf("recorded as %+v", w)
	}
	_, page = v.get("/log") // and the next one begins where this one ended
	if next := fields(page); next.Get("knob") != form.Get("knob") || next.Get("from") != "A3" || next.Get("token") == form.Get("token") {
		t.Errorf("after A3 the form carries %v", next)
	}
	status, next, _ = v.post("/strike/A3", url.Values{"next": {"log"}})
	if status != http.StatusSeeOther || next != "/log?gone=A3" {
		t.Fatalf("undo: %d to %q", status, next)
	}
	if w := b.welds(t)[0]; w.Struck == "" {
		t.Error("undone, and it still counts")
	}
	if _, page = v.get(next); !strings.Contains(text(page), "A3 is withdrawn") {
		t.Error("nothing says that it is withdrawn")
	}
}

// TestSentTwice sends one form twice, and then another under the same token.
func TestSentTwice(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	_, page := v.get("/log")
	form := fields(page)
	form.Set("rating", "5")
	for range 2 {
		if status, next, body := v.post("/log", form); status != http.StatusSeeOther || next != "/log?saved=A3" {
			t.Fatalf("%d to %q: %s", status, next, text(body))
		}
	}
	if n := len(b.welds(t)); n != 3 {
		t.Errorf("%d welds after one form sent twice, wanted 3", n)
	}
	form.Set("rating", "1")
	status, _, body := v.post("/log", form)
	if status != http.StatusUnprocessableEntity || !strings.Contains(text(body), "A3") || fields(body).Get("rating") != "1" {
		t.Errorf("another record under a spent token: %d, and the form comes back as %v", status, fields(body))
	}
	if n := len(b.welds(t)); n != 3 {
		t.Errorf("%d welds, wanted 3", n)
	}
}

func TestRefusalIsUnmistakable(t *testing.T) {
	v := visit(t, furnished(t))
	for _, at := range []string{"/?q=1%2F8+mild+tee+hitch", "/?joint=tee&thickness=1%2F8&metal=galvanized", "/?joint=tee&thickness=1%2F8&metal=unknown", "/?q=weld+a+gas+tank"} {
		status, page := v.get(at)
		said := text(page)
		if status != http.StatusOK || !strings.Contains(said, "No settings, on purpose") || !strings.Contains(said, "STOP. No settings for this one.") {
			t.Errorf("%s: %d: %s", at, status, said)
		}
		if strings.Contains(page, `class="setting"`) || strings.Contains(page, "/log?") {
			t.Errorf("%s: settings, or a way to log them, beside a refusal", at)
		}
	}
	_, page := v.get("/?q=3%2F8+mild+tee+flat")
	if said := text(page); !strings.Contains(said, "Outside what the tables and your own welds cover") || strings.Contains(page, `class="setting"`) {
		t.Errorf("outside the tables: %s", said)
	}
	_, page = v.get("/?q=1%2F8+mild+tee+for+a+stair+rail")
	if said := text(page); !strings.Contains(said, "Ask first") || !strings.Contains(said, "engineer") {
		t.Errorf("a stair rail: %s", said)
	}
}

// TestWrongWordsTeach: a question that is not understood comes back with what
// would be, and what was typed.
func TestWrongWordsTeach(t *testing.T) {
	v := visit(t, furnished(t))
	for at, want := range map[string]string{"/?q=banana": "1/8 mild tee flat", "/?q=11ga+tee": "11ga plain", "/find?thickness=blue": "1/8", "/remedy?q=gibberish": "pushes me back", "/weld/Z9": "not found"} {
		status, page := v.get(at)
		if status < 400 || !strings.Contains(text(page), want) || strings.Contains(text(page), "beadwright suggest") {
			t.Errorf("%s: %d: %s", at, status, text(page))
		}
	}
	if _, page := v.get("/?q=11ga+tee"); !strings.Contains(page, `value="11ga tee"`) {
		t.Error("what was typed is gone")
	}
}

// TestStoredCharge: every view of a rebuilt machine carries its caution.
func TestStoredCharge(t *testing.T) {
	v := visit(t, furnished(t))
	charge, _ := caution.StoredCharge(procedures.Machine{Rebuilt: true})
	for _, at := range []string{"/?q=1%2F8+mild+tee+flat", "/log", "/log?saved=A1", "/duty", "/find", "/find?pictures=1", "/weld/A1", "/machines", "/machine/shed", "/machine/shed/set", "/machine/shed?new=1", "/machine/shed?changed=1", "/machine/shed/change", "/machine/shed/rebuilt", "/machine/shed/measure", "/machine/shed/knob", "/machine/shed/knob?wrote=2&tap=high&mark=5", "/remedy?from=A1", "/procedures", "/procedure/cart-tee"} {
		if _, page := v.get(at); strings.Count(text(page), charge.Text) != 1 {
			t.Errorf("%s: the caution of the stored charge is there %d times, wanted once", at, strings.Count(text(page), charge.Text))
		}
	}
}

// TestEmptyShop: before anything is written down every page still stands.
func TestEmptyShop(t *testing.T) {
	v := visit(t, newShop(t))
	for _, at := range []string{"/", "/?q=1%2F8+mild+tee+flat", "/log", "/duty", "/find", "/find?pictures=1", "/machines", "/machines/add", "/wire", "/blind", "/remedy", "/procedures"} {
		status, page := v.get(at)
		if status >= 500 || !strings.Contains(page, "<h1") {
			t.Errorf("%s: %d: %s", at, status, text(page))
		}
	}
	if _, page := v.get("/?q=1%2F8+mild+tee+flat"); !strings.Contains(text(page), "nobody’s name plate") {
		t.Error("the example machine is not named as one")
	}
}

func TestLooks(t *testing.T) {
	v := visit(t, newShop(t))
	for _, look := range themes {
		status, next, _ := v.post("/theme", url.Values{"theme": {look}, "back": {"/find?q=tee"}})
		if status != http.StatusSeeOther || next != "/find?q=tee" {
			t.Errorf("%s: %d to %q", look, status, next)
		}
		if _, page := v.get("/find"); !strings.Contains(page, `data-theme="`+look+`"`) {
			t.Errorf("the look %s is not kept", look)
		}
	}
	v.post("/theme", url.Values{"theme": {""}})
	if _, page := v.get("/find"); strings.Contains(page, "data-theme") {
		t.Error("the phone's own look does not come back")
	}
	for _, away := range []string{"//elsewhere.example", "https://elsewhere.example", `/\elsewhere.example`, "elsewhere", "/a\r\nb"} {
		if got := local(away); got != "/" {
			t.Errorf("back to %q goes to %q", away, got)
		}
	}
}

func TestStepped(t *testing.T) {
	marked := procedures.Knob{Min: 1, Max: 10}
	fine := procedures.Knob{Min: 0, Max: 10, Step: 0.25}
	for _, c := range []struct {
		now  string
		knob procedures.Knob
		up   bool
		want string
	}{
		{"5", marked, true, "5 1/2"}, {"5 1/2", marked, false, "5"}, {"10", marked, true, "10"}, {"1", marked, false, "1"}, {"4.5", marked, true, "5"},
		{"", marked, true, "5 1/2"}, {"5", fine, true, "5 1/4"}, {"0", fine, false, "0"}, {"", procedures.Knob{}, true, "middle third"},
		{"lower third", procedures.Knob{}, true, "middle third"}, {"upper third", procedures.Knob{}, true, "upper third"}, {"lower third", procedures.Knob{}, false, "lower third"},
	} {
		if got := stepped(c.now, c.knob, c.up); got != c.want {
			t.Errorf("from %q, up %v: %q, wanted %q", c.now, c.up, got, c.want)
		}
	}
}

// TestFirstPaint adds up all that the log page loads before it shows: 50 KB at
// the most, and nothing of it from elsewhere.
func TestFirstPaint(t *testing.T) {
	v := visit(t, furnished(t))
	_, page := v.get("/log")
	sum := len(page)
	parts := 0
	for _, m := range regexp.MustCompile(`(?:src|href)="(/static/[^"]+)"`).FindAllStringSubmatch(page, -1) {
		status, body := v.get(strings.ReplaceAll(m[1], "&amp;", "&"))
		if status != http.StatusOK {
			t.Errorf("%s: %d", m[1], status)
		}
		sum += len(body)
		parts++
	}
	if parts != 3 {
		t.Errorf("the log page loads %d files beside itself, wanted style, script and icon", parts)
	}
	if sum >= 50_000 {
		t.Errorf("the log page loads %d bytes, wanted less than 50,000", sum)
	}
	t.Logf("%d bytes in all", sum)
}

// listening is a bench that remembers what it was told.
type listening struct {
	mu   sync.Mutex
	told [][]string
	says string
}

func (b *listening) Do(_ context.Context, args ...string) Result {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.told = append(b.told, asTyped(args))
	return Result{JSON: []byte(b.says)}
}

// TestNothingFromOutsideIsAFlag sends what looks like flags and commands in every
// field of every page.
func TestNothingFromOutsideIsAFlag(t *testing.T) {
	b := &listening{says: `{"mark":"A1","weld":{"mark":"A1"},"welds":[],"machines":[],"machine":{"name":"shed"}}`}
	v := visit(t, b)
	const bad = "--notebook=/etc/passwd"
	for _, at := range []string{"/?q=%s&joint=%s&thickness=%s&position=%s&metal=%s&for=%s", "/find?q=%s&thickness=%s&joint=%s&rating=%s&machine=%s&state=%s", "/remedy?q=%s&from=%s", "/log?saved=%s", "/weld/%s", "/weld/%s/test?kind=%s", "/weld/%s/look", "/machine/%s", "/machine/%s?new=%s", "/blind?done=%s&older=%s", "/procedure/%s"} {
		v.get(strings.ReplaceAll(at, "%s", url.QueryEscape(bad)))
	}
	all := url.Values{}
	for _, name := range []string{"token", "from", "tap", "knob", "rating", "wire-speed", "travel", "for", "note", "symptom", "test", "result", "words", "leg", "extension", "name", "why", "do", "kind", "hole", "length", "crack", "corner", "instead", "q_edge", "q_--notebook", "machine", "thickness", "joint", "position", "not-symptom", "taps", "taps_named", "output", "rated", "duty", "input", "breaker", "rebuilt", "max", "input-amps", "cord", "process", "size", "class", "wire", "weight", "picture", "older"} {
		all.Set(name, bad)
	}
	for _, at := range []string{"/log", "/weld/" + url.PathEscape(bad), "/strike/" + url.PathEscape(bad), "/weld/" + url.PathEscape(bad) + "/test", "/weld/" + url.PathEscape(bad) + "/look", "/weld/" + url.PathEscape(bad) + "/followup", "/weld/" + url.PathEscape(bad) + "/rate", "/machine/" + url.PathEscape(bad), "/machine/" + url.PathEscape(bad) + "/set", "/wire", "/machines", "/wire/add", "/blind", "/procedures"} {
		v.post(at, all)
	}
	if len(b.told) < 10 {
		t.Fatalf("only %d commands were carried out", len(b.told))
	}
	for _, args := range b.told {
		for i, arg := range args {
			if arg == "--" {
				break
			}
			if strings.HasPrefix(arg, "--notebook") {
				t.Errorf("%q: word %d is a flag that came from outside", args, i)
			}
		}
	}
}

// TestWaitedOnThePhone: a record that waited for a connection is dated by its age.
func TestWaitedOnThePhone(t *testing.T) {
	b := &listening{says: `{"mark":"A1"}`}
	v := visit(t, b)
	for age, dated := range map[string]bool{"30": false, "3600": true, "-5": false, "NaN": false, "1e300": false} {
		b.told = nil
		v.post("/log", url.Values{"rating": {"4"}, "age_seconds": {age}})
		got := slices.ContainsFunc(b.told[0], func(a string) bool { return strings.HasPrefix(a, "--at=") })
		if got != dated {
			t.Errorf("%s s old: %v", age, b.told[0])
		}
	}
}

// TestStatic: what is built in is kept by the phone for as long as it is the same.
func TestStatic(t *testing.T) {
	v := visit(t, &listening{says: `{}`})
	for name, f := range statics() {
		at, err := address(name)
		if err != nil {
			t.Fatal(err)
		}
		res, err := v.http.Get(v.at + at)
		if err != nil {
			t.Fatal(err)
		}
		status, body := v.read(res)
		if status != 200 || !bytes.Equal([]byte(body), f.body) || !strings.Contains(res.Header.Get("Cache-Control"), "immutable") || res.Header.Get("Content-Type") != f.kind {
			t.Errorf("%s: %d %v", name, status, res.Header)
		}
	}
	for _, at := range []string{"/static/../pages.go", "/static/%2e%2e%2fpages.go", "/static/nothing.css", "/static/"} {
		if status, _ := v.get(at); status < 300 || status == 500 {
			t.Errorf("%s: %d", at, status)
		}
	}
}

// TestAnotherNotebook: the answer that the phone remembers is of a notebook that
// is no more there. The form comes back on the last weld, and can be saved.
func TestAnotherNotebook(t *testing.T) {
	v := visit(t, furnished(t))
	form := url.Values{"token": {newToken()}, "from": {newToken()}, "rating": {"4"}}
	status, _, body := v.post("/log", form)
	form = fields(body)
	if status != http.StatusNotFound || form.Get("from") != "A2" || form.Get("rating") != "4" {
		t.Fatalf("%d, and the form comes back as %v", status, form)
	}
	if status, next, body := v.post("/log", form); status != http.StatusSeeOther {
		t.Errorf("%d to %q: %s", status, next, text(body))
	}
}

// TestStateFilter narrows a search to how the machine stood, where it has changed.
func TestStateFilter(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	for at, marks := range map[string][]string{"/find": {"A2", "A1"}, "/find?state=2": {"A2", "A1"}, "/find?state=now": {"A2", "A1"}, "/find?state=1": nil} {
		_, page := v.get(at)
		var got []string
		for _, m := range regexp.MustCompile(`<span class="mark">(\w+)</span>`).FindAllStringSubmatch(page, -1) {
			got = append(got, m[1])
		}
		if !slices.Equal(got, marks) {
			t.Errorf("%s finds %q, wanted %q", at, got, marks)
		}
		if !strings.Contains(page, `<option value="2"`) || strings.Contains(page, `<option value="3"`) || strings.Contains(page, `name="machine"`) {
			t.Errorf("%s: of one machine with two states the wrong ones are offered", at)
		}
	}
	if status, page := v.get("/find?state=7"); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "no such state") {
		t.Errorf("a state that is none: %d: %s", status, text(page))
	}
	if _, page := visit(t, newShop(t)).get("/find"); strings.Contains(page, `name="state"`) {
		t.Error("an empty notebook offers states")
	}
}

// TestMetricPage: a notebook set to metric is spoken to and answers in metric.
func TestMetricPage(t *testing.T) {
	b := furnished(t)
	v := visit(t, b)
	if status, next, _ := v.post("/units", url.Values{"units": {"metric"}, "back": {"/find"}}); status != http.StatusSeeOther || next != "/find" {
		t.Fatalf("%d to %q", status, next)
	}
	inches := regexp.MustCompile(`in/min|\d in \(\d|kJ/in|°F|\bipm\b|\blb\b`)
	quoted := strings.NewReplacer("6 in (150 mm)", "", "2 in (50 mm)", "", "1/32 in (0.8 mm)", "", "metal of about 0.09 in (2.3 mm)", "", `1/8 mild tee flat for a shop cart`, "") // as the commands quote it with both, and as it was once typed
	for _, at := range everyPage {
		_, page := v.get(at)
		said := quoted.Replace(text(page))
		if found := inches.FindStringIndex(said); found != nil {
			t.Errorf("%s says inches: ... %s ...", at, said[max(0, found[0]-120):min(len(said), found[1]+60)])
		}
	}
	for at, wants := range map[string][]string{
		"/?q=3+mild+tee+flat": {"3 mm, mild steel", "m/min", "mm/min"}, "/?joint=lap&thickness=3mm&position=flat": {"3 mm, mild steel"},
		"/find?thickness=3.2": {"2 welds", "3.18 mm", "m/min"}, "/weld/A1": {"3.18 mm", "mm/min"},
	} {
		_, page := v.get(at)
		for _, want := range wants {
			if !strings.Contains(text(page), want) {
				t.Errorf("%s does not say %q: %s", at, want, text(page))
			}
		}
	}
	if _, page := v.get("/"); !strings.Contains(page, `value="3mm"`) || strings.Contains(page, `value="16ga plain"`) || !strings.Contains(page, `value="metric" aria-pressed="true"`) {
		t.Error("the buttons are in inches")
	}
	form := url.Values{"leg": {"4"}}
	if status, _, page := v.post("/weld/A2", form); status != http.StatusSeeOther {
		t.Errorf("a leg of 4: %d: %s", status, text(page))
	}
	if w := b.welds(t)[0]; w.Outcome.Leg != 4 {
		t.Errorf("a leg of 4 is written down as %g mm", float64(w.Outcome.Leg))
	}
	if status, _, page := v.post("/units", url.Values{"units": {"furlongs"}}); status != http.StatusUnprocessableEntity || !strings.Contains(text(page), "us, metric") {
		t.Errorf("furlongs: %d: %s", status, text(page))
	}
}

// TestNoShellOnAPhone: no page of a shop tells a thumb to type a command, but for how
// the page itself is served.
func TestNoShellOnAPhone(t *testing.T) {
	b := furnished(t)
	b.must(t, "machine", "add", "bare", "--output=dcen", "--rebuilt") // of which next to nothing is known
	b.must(t, "machine", "use", "bare")
	v := visit(t, b)
	empty := visit(t, newShop(t))
	for _, at := range append(slices.Clone(everyPage), "/machine/bare", "/machine/bare/set", "empty/machines", "empty/wire", "empty/procedures", "empty/duty", "empty/log", "empty/find", "empty/remedy?from=A1", "empty/blind", "empty/machine/shed") {
		v := v
		if rest, ok := strings.CutPrefix(at, "empty"); ok {
			v, at = empty, rest
		}
		_, page := v.get(at)
		said := text(page)
		if found := regexp.MustCompile(`beadwright [a-z]|(^| )--[a-z]`).FindStringIndex(said); found != nil {
			t.Errorf("%s: ... %s ...", at, said[max(0, found[0]-120):min(len(said), found[1]+60)])
		}
	}
}
