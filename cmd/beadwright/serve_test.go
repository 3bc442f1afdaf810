package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/pprof"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures/store"
)

// served is the real program, serving a notebook.
type served struct {
	t         *testing.T
	cmd       *exec.Cmd
	at        string // http://127.0.0.1:port/
	pair      string
	complaint *bytes.Buffer
}

// startServe starts the program on a notebook, and waits until it says where it is.
func startServe(t *testing.T, path string, more ...string) *served {
	t.Helper()
	program := filepath.Join(t.TempDir(), "beadwright") // the name by which the test binary is the program
	if err := os.Symlink(os.Args[0], program); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	s := &served{t: t, complaint: new(bytes.Buffer)}
	s.cmd = exec.Command(program, append([]string{"--json", "serve", "--listen", "127.0.0.1:0"}, more...)...)
	s.cmd.Env = append(os.Environ(), "BEADWRIGHT_NOTEBOOK="+path)
	s.cmd.Stderr = s.complaint
	out, err := s.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.cmd.Process.Kill() })
	var said struct{ Address, Pair string }
	if err := json.NewDecoder(bufio.NewReader(out)).Decode(&said); err != nil {
		_ = s.cmd.Process.Kill()
		_ = s.cmd.Wait()
		t.Fatalf("%v: %s", err, s.complaint)
	}
	s.at, s.pair = said.Address, said.Pair
	return s
}

// stop ends the program as Ctrl-C does.
func (s *served) stop() {
	s.t.Helper()
	if err := s.cmd.Process.Signal(os.Interrupt); err != nil {
		s.t.Fatal(err)
	}
	if err := s.cmd.Wait(); err != nil {
		s.t.Errorf("it ended with %v: %s", err, s.complaint)
	}
	if s.complaint.Len() > 0 {
		s.t.Errorf("it said: %s", s.complaint)
	}
}

func (s *served) post(path, body string) (int, []byte, error) {
	r, err := http.Post(s.at+path, "application/json", strings.NewReader(body))
	if err != nil {
		return 0, nil, err
	}
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	return r.StatusCode, b, err
}

// newID is an id as a phone makes it.
func newID(t testing.TB) string {
	t.Helper()
	id, err := uuid.NewV7()
	if err != nil {
		t.Fatal(err)
	}
	return id.String()
}

const sentWeld = `{"words":["4","1/8","mild","tee","flat"],"tap":"high","wire_speed":"110ipm","id":%q}`

// TestServeTogether lets several phones log and ask while the command line logs
// beside them: nothing that was acknowledged is lost, no mark is given twice, and
// nobody is turned away.
func TestServeTogether(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	s := startServe(t, path)
	limit := 2 * time.Second
	if *long {
		limit = 30 * time.Second
	}
	beside, complaint, said := startWriter(t, path, limit)
	ended := make(chan struct{})
	var byHand []acknowledged
	go func() { byHand = <-said; close(ended) }()
	var mu sync.Mutex
	var told []acknowledged
	var phones sync.WaitGroup
	for range 4 {
		phones.Go(func() {
			for {
				select {
				case <-ended:
					return
				default:
				}
				status, body, err := s.post("api/log", fmt.Sprintf(sentWeld, newID(t)))
				var a acknowledged
				if err != nil || status != http.StatusCreated || json.Unmarshal(body, &a) != nil {
					t.Errorf("log: %d %s %v", status, body, err)
					return
				}
				mu.Lock()
				told = append(told, a)
				mu.Unlock()
				for _, path := range []string{"api/suggest?words=1/8+mild+tee+flat", "api/find?words=tee&limit=3", "api/welds/" + a.Mark} {
					r, err := http.Get(s.at + path)
					if err != nil {
						t.Errorf("%s: %v", path, err)
						return
					}
					body, _ := io.ReadAll(r.Body)
					r.Body.Close()
					if r.StatusCode != http.StatusOK {
						t.Errorf("%s: %d %s", path, r.StatusCode, body)
					}
				}
			}
		})
	}
	phones.Wait()
	if err := beside.Wait(); err != nil {
		t.Errorf("the command line beside: %v: %s", err, complaint)
	}
	s.stop()
	there := standing(t, path)
	if len(told) == 0 || len(byHand) == 0 || len(there) != len(told)+len(byHand) {
		t.Errorf("acknowledged %d and %d, there are %d", len(told), len(byHand), len(there))
	}
	for _, w := range append(told, byHand...) {
		if there[w.Mark] != w.ID {
			t.Errorf("%s was acknowledged as %s, and is %q", w.Mark, w.ID, there[w.Mark])
		}
	}
	intact(t, path)
	t.Logf("faults tried: the page and the command line at once for %v; acknowledged: %d welds (%d by hand); lost: %d", limit, len(told)+len(byHand), len(byHand), len(told)+len(byHand)-len(there))
}

// TestServeAgain: a weld that is sent again, since nobody heard that it was
// received, is one weld with one mark; another weld under its id is refused.
func TestServeAgain(t *testing.T) {
	s := startServe(t, filepath.Join(t.TempDir(), "notebook.db"))
	defer s.stop()
	log := func(body string) (int, acknowledged, string) {
		status, b, err := s.post("api/log", body)
		if err != nil {
			t.Fatal(err)
		}
		var a acknowledged
		_ = json.Unmarshal(b, &a)
		return status, a, string(b)
	}
	ask := func() {
		r, err := http.Get(s.at + "api/suggest?words=" + url.QueryEscape("1/8 mild tee flat"))
		if err != nil {
			t.Fatal(err)
		}
		r.Body.Close()
	}
	ask()
	for name, body := range map[string]string{
		"as suggested":    `{"words":["4","bit of spatter"],"id":%q}`,
		"with its own":    `{"words":["3"],"knob":4.5,"tap":"high","symptom":["popping"],"test":["bend=held"],"note":"left edge","arc":"40s","id":%q}`,
		"a whole job":     sentWeld,
		"with an old age": `{"words":["4"],"at":"2026-05-01 12:00","id":%q}`,
	} {
		id := newID(t)
		body = fmt.Sprintf(body, id)
		status, first, said := log(body)
		if status != http.StatusCreated || first.ID != id {
			t.Fatalf("%s: %d %s", name, status, said)
		}
		ask() // what log would follow now is another suggestion
		var group sync.WaitGroup
		for range 8 {
			group.Go(func() {
				status, b, err := s.post("api/log", body)
				var again acknowledged
				if err != nil || status != http.StatusCreated || json.Unmarshal(b, &again) != nil || again != first {
					t.Errorf("%s, again: %d %s %v", name, status, b, err)
				}
			})
		}
		group.Wait()
		later := strings.Replace(body, `"id"`, `"at":"2026-05-02 12:00","id"`, 1)
		later = strings.Replace(later, `"at":"2026-05-01 12:00",`, "", 1)
		if status, again, said := log(later); status != http.StatusCreated || again != first {
			t.Errorf("%s, sent late: %d %s", name, status, said)
		}
		if status, _, said := log(strings.NewReplacer(`"4"`, `"2"`, `"3"`, `"2"`).Replace(body)); status != http.StatusBadRequest || !strings.Contains(said, first.Mark) {
			t.Errorf("%s, another weld: %d %s", name, status, said)
		}
	}
	for _, id := range []string{"x", "A1", "01900000-0000-4000-8000-000000000001", "{01900000-0000-7000-8000-000000000001}", "01900000-0000-7000-8000-00000000000g"} {
		if status, _, said := log(fmt.Sprintf(`{"words":["4"],"id":%q}`, id)); status != http.StatusBadRequest {
			t.Errorf("id %q: %d %s", id, status, said)
		}
	}
	r, err := http.Get(s.at + "api/find?limit=0")
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	var found struct{ Total int }
	if err := json.NewDecoder(r.Body).Decode(&found); err != nil || found.Total != 4 {
		t.Errorf("%d welds, %v", found.Total, err)
	}
}

// shopNotebook is a notebook with a machine, a spool and some welds.
func shopNotebook(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "notebook.db")
	for _, line := range [][]string{
		{"machine", "add", "shed", "--taps", "low=14.5V,high=17V", "--knob", "1..10", "--wire-range", "40..340ipm", "--rated", "90A", "--duty", "20%", "--output", "dcen"},
		{"wire", "add", "0.035", "E71T-11", "--weight", "2lb"},
		{"log", "4", "1/8", "mild", "tee", "flat", "--tap", "high", "--knob", "5", "--wire-speed", "105ipm"},
		{"log", "5", "1/8", "mild", "tee", "flat", "--tap", "high", "--wire-speed", "108ipm", "--test", "bend=held"},
		{"log", "2", "1/16", "mild", "lap", "flat", "--tap", "low", "--wire-speed", "90ipm", "--symptom", "burn-through"},
	} {
		typed(t, path, line...)
	}
	return path
}

// typed runs one command line on a notebook and returns its object.
func typed(t testing.TB, path string, args ...string) string {
	t.Helper()
	var out, complaint bytes.Buffer
	if code := run(t.Context(), append([]string{"--json", "--notebook", path}, args...), &out, &complaint); code != 0 && code != 3 {
		t.Fatalf("%v: status %d: %s%s", args, code, complaint.String(), out.String())
	}
	return out.String()
}

// benchOn is a workbench on a notebook, as serve has it.
func benchOn(t testing.TB, path string) *workbench {
	t.Helper()
	nb, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := &workbench{notebook: nb, path: path, now: time.Now, report: io.Discard}
	t.Cleanup(func() { b.settle(); nb.Close() })
	return b
}

// nameless takes out what differs between two runs of one question: the id of the
// suggestion that was kept.
func nameless(doc string) string {
	var v map[string]any
	if json.Unmarshal([]byte(doc), &v) != nil {
		return doc
	}
	delete(v, "id")
	b, _ := json.MarshalIndent(v, "", " ")
	return string(b)
}

// TestBenchIsCommandLine: what the page gets is what the command line prints.
func TestBenchIsCommandLine(t *testing.T) {
	path := shopNotebook(t)
	b := benchOn(t, path)
	for _, line := range [][]string{
		{"suggest", "--", "1/8 mild tee flat"}, {"suggest", "--length=24in", "--", "16ga", "plain", "lap"}, {"suggest", "--", "1/8 tee trailer hitch"}, {"suggest", "--joint=tee"}, {"suggest", "--", "banana"},
		{"find", "--", "1/8 tee"}, {"find", "--rating=4+", "--limit=1"}, {"show", "--", "A2"}, {"show", "--", "A99"}, {"machine", "list"}, {"machine", "show", "--", "shed"},
		{"wire", "list"}, {"remedy", "--", "bird poop"}, {"reckon", "fillet", "--leg=1/4"}, {"log", "--rating=9"}, {"version"}, {"nothing"}, {"find", "--nothing=1"}, {},
	} {
		var out, complaint bytes.Buffer
		status := run(t.Context(), append([]string{"--json", "--notebook", path}, line...), &out, &complaint)
		got := b.Do(t.Context(), line...)
		if len(line) == 0 { // help, which no page asks for
			continue
		}
		if got.Status != status || nameless(string(got.JSON)) != nameless(out.String()) {
			t.Errorf("%v: %d, on the command line %d\n%s\n%s", line, got.Status, status, got.JSON, out.String())
		}
	}
}

// TestRemembered: whoever writes to the notebook, and whatever, the next question
// is answered as by one who reads it all anew.
func TestRemembered(t *testing.T) {
	path := shopNotebook(t)
	b := benchOn(t, path)
	questions := []string{"1/8 mild tee flat", "1/16 lap flat", "1/8 mild tee flat 0.030 E71T-GS"}
	check := func(after string) {
		t.Helper()
		for _, q := range questions {
			got := b.Do(t.Context(), "suggest", "--", q)
			want := typed(t, path, "suggest", q)
			if nameless(string(got.JSON)) != nameless(want) {
				t.Errorf("after %s, %s:\n%s\nread anew:\n%s", after, q, got.JSON, want)
			}
		}
	}
	check("nothing")
	find := func(after string) {
		t.Helper()
		for _, line := range [][]string{{"find", "--limit=3"}, {"find", "--joint=tee"}, {"find", "--limit=2", "--thickness=1/8"}, {"find", "--rating=4+"}, {"find", "--machine=SHED", "--wire=0.035"}, {"find", "--symptom=burn-through"}, {"find", "--since=1d", "--steel=a36"},
			{"find", "--", "shed tee"}, {"find", "--limit=1", "--", "burn-thruogh"}, {"find", "--joint=tee", "--", "gs"}, {"find", "--", "no such word"}} {
			for range 2 { // of the notebook, and then of what was read of it meanwhile
				got := b.Do(t.Context(), line...)
				if want := typed(t, path, line...); string(got.JSON) != want {
					t.Errorf("after %s, %v:\n%s\nread anew:\n%s", after, line, got.JSON, want)
				}
				b.settle()
			}
		}
	}
	for _, line := range [][]string{
		{"log", "4", "1/8", "mild", "tee", "flat", "--tap", "high", "--wire-speed", "125ipm"},
		{"log", "2", "1/8", "mild", "tee", "flat", "--tap", "high", "--wire-speed", "140ipm", "--symptom", "burn-through"},
		{"log", "4", "1/8", "mild", "tee", "flat", "--tap", "high", "--wire-speed", "120ipm", "--wire", "0.030 E71T-GS"},
		{"amend", "A1", "--rating", "1"},
		{"amend", "A1", "--wire-speed", "90ipm"},
		{"amend", "A1", "--joint", "lap"},
		{"followup", "A1", "failed", "cracked along the toe"},
		{"followup", "A1", "--strike", "another gate"},
		{"test", "A1", "break", "--answers", "no yes no"},
		{"strike", "A2", "--why", "wrong coupon"},
		{"machine", "knob", "--mark", "5", "--tap", "high", "--length", "42in", "--seconds", "10"},
		{"machine", "change", "--what", "new liner"},
		{"machine", "set", "--max", "120A"},
		{"machine", "add", "other", "--taps", "one,two"},
		{"machine", "use", "other"},
		{"log", "5", "1/8", "mild", "tee", "flat", "--tap", "two", "--wire-speed", "100ipm"},
		{"machine", "use", "shed"},
		{"strike", "A2", "--back"},
		{"wire", "add", "0.030", "E71T-GS", "--name", "small"},
	} {
		typed(t, path, line...) // by another program
		check("beadwright " + strings.Join(line, " "))
		find("beadwright " + strings.Join(line, " "))
	}
	for _, line := range [][]string{
		{"log", "--tap=high", "--wire-speed=118ipm", "--", "5", "1/8", "mild", "tee", "flat"},
		{"strike", "--why=undone", "--", "A3"},
		{"strike", "--back", "--", "A3"},
		{"amend", "--rating=2", "--", "A4"},
	} {
		if r := b.Do(t.Context(), line...); r.Status != 0 {
			t.Fatalf("%v: %s", line, r.JSON)
		}
		check("the page's " + strings.Join(line, " "))
		find("the page's " + strings.Join(line, " "))
	}
}

// TestServeEnds: when serving ends nothing of it goes on.
func TestServeEnds(t *testing.T) {
	path := shopNotebook(t)
	nb, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b := &workbench{notebook: nb, path: path, now: time.Now, report: io.Discard}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- serveUntil(ctx, web.New(b, web.Options{}).HTTP(), []net.Listener{l}, b) }()
	client := &http.Client{Transport: &http.Transport{}}
	var group sync.WaitGroup
	for i := range 8 {
		group.Go(func() {
			path := []string{"/api/suggest?words=1/8+mild+tee+flat", "/api/find", "/log", "/"}[i%4]
			r, err := client.Get("http://" + l.Addr().String() + path)
			if err != nil {
				t.Error(err)
				return
			}
			_, _ = io.Copy(io.Discard, r.Body)
			r.Body.Close()
		})
	}
	group.Wait()
	if r := b.Do(t.Context(), "log", "--", "4"); r.Status != 0 {
		t.Errorf("%s", r.JSON)
	}
	client.CloseIdleConnections()
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if err := nb.Close(); err != nil {
		t.Error(err)
	}
	left := func() (lines []string) {
		var all bytes.Buffer
		_ = pprof.Lookup("goroutine").WriteTo(&all, 2)
		for one := range strings.SplitSeq(all.String(), "\n\n") {
			if slices.ContainsFunc([]string{"beadwright/web", "main.(*workbench)", "main.serveUntil", "net/http.(*conn)", "net/http.(*Server)"}, func(s string) bool { return strings.Contains(one, s) }) {
				lines = append(lines, one)
			}
		}
		return lines
	}
	deadline := time.Now().Add(30 * time.Second) // a limit for failures: a connection's goroutine may still be on its last line
	for len(left()) > 0 && time.Now().Before(deadline) {
	}
	if l := left(); len(l) > 0 {
		t.Errorf("%d goroutines go on:\n%s", len(l), strings.Join(l, "\n\n"))
	}
}

// TestPhones: the list of devices survives, is for its owner alone, is changed by
// another program, and refused where it is damaged.
func TestPhones(t *testing.T) {
	path := shopNotebook(t)
	p, other := newPhones(path), newPhones(path)
	if all, err := p.Phones(); err != nil || len(all) != 0 {
		t.Fatal(all, err)
	}
	var group sync.WaitGroup
	for i := range 20 {
		group.Go(func() {
			if err := []*phones{p, other}[i%2].Add(web.Phone{Name: fmt.Sprintf("phone %d", i), Hash: strings.Repeat("0", 64), Since: time.Now()}); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
	if all, err := p.Phones(); err != nil || len(all) != 20 {
		t.Errorf("%d of 20: %v", len(all), err)
	}
	info, err := os.Stat(path + ".phones")
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v %v", info.Mode(), err)
	}
	if out := typed(t, path, "serve", "--devices"); strings.Count(out, `"name"`) != 20 || strings.Contains(out, "0000") {
		t.Error(out)
	}
	typed(t, path, "serve", "--revoke", "PHONE 7")
	if all, err := p.Phones(); err != nil || len(all) != 19 {
		t.Errorf("%d of 19: %v", len(all), err)
	}
	var out, complaint bytes.Buffer
	if code := run(t.Context(), []string{"--notebook", path, "serve", "--revoke", "nobody"}, &out, &complaint); code != 2 {
		t.Errorf("%d %s", code, complaint.String())
	}
	typed(t, path, "serve", "--revoke", "all")
	if all, err := p.Phones(); err != nil || len(all) != 0 {
		t.Errorf("%d of 0: %v", len(all), err)
	}
	if err := os.WriteFile(path+".phones", []byte("[{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if all, err := p.Phones(); err == nil {
		t.Errorf("damaged: %v", all)
	}
	if left, _ := filepath.Glob(path + ".phones?*"); len(left) > 0 {
		t.Errorf("left lying: %v", left)
	}
}

// TestServeRefuses: nothing is opened wider than was asked for.
func TestServeRefuses(t *testing.T) {
	path := shopNotebook(t)
	for _, c := range []struct {
		in   string
		args []string
		says string
	}{
		{"", []string{"--listen", "0.0.0.0:0"}, "every address"},
		{"", []string{"--listen", "[::]:0", "--lan", "--yes"}, "every address"},
		{"", []string{"--listen", "192.168.1.5:0"}, "other devices could open it"},
		{"", []string{"--listen", "8.8.8.8:0", "--lan", "--yes"}, "not an address of a home network"},
		{"", []string{"--listen", "127.0.0.1"}, "not an address to listen at"},
		{"", []string{"--listen", "127.0.0.1:x"}, "not an address to listen at"},
		{"", []string{"--listen", "shed:8173"}, "not an address to listen at"},
		{"no\n", []string{"--listen", "127.0.0.2:0", "--lan"}, "not served to the network"},
		{"", []string{"--listen", "127.0.0.2:0", "--lan"}, "not served to the network"},
		{"", []string{"--cert", "x.pem"}, "go together"},
		{"", []string{"--cert", path, "--key", path}, "not a certificate"},
		{"", []string{"--revoke", "phone"}, "no device of that name"},
		{"", []string{"words"}, "too many words"},
	} {
		var out, complaint bytes.Buffer
		a := &app{out: &out, err: &complaint, now: time.Now}
		root := newRoot(a)
		root.SetArgs(append([]string{"--notebook", path, "serve"}, c.args...))
		root.SetIn(strings.NewReader(c.in))
		code := a.report(root.ExecuteContext(t.Context()))
		a.close()
		if code != 2 || !strings.Contains(complaint.String(), c.says) {
			t.Errorf("serve %v: status %d: %s", c.args, code, complaint.String())
		}
	}
}

// TestBenchUnits: serve --units goes with every command, and a request has the last
// word.
func TestBenchUnits(t *testing.T) {
	b := benchOn(t, shopNotebook(t))
	b.units = "metric"
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"units"}, `"units": "metric"`},
		{[]string{"units", "--units=us"}, `"units": "us"`},
		{[]string{"suggest", "--", "3", "mild", "tee", "flat"}, `"thickness_mm": 3,`},
		{[]string{"suggest", "--units=us", "--thickness=0.1", "--", "mild", "tee", "flat"}, `"thickness_mm": 2.54,`},
	} {
		if r := b.Do(t.Context(), c.args...); r.Status != 0 || !strings.Contains(string(r.JSON), c.want) {
			t.Errorf("%q: status %d, and not %s: %s", c.args, r.Status, c.want, r.JSON)
		}
	}
}
