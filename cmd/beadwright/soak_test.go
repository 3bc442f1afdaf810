package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/uuid"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures/store"
)

var soak = flag.Duration("soak", 0, "how long TestSoak has ten clients use the page; zero: a few hundred requests")

// parlor serves a notebook in this process, so that its memory can be looked at.
type parlor struct {
	at    string
	bench *workbench
	end   func()
}

func openParlor(t testing.TB, path string) *parlor {
	t.Helper()
	nb, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	b := &workbench{notebook: nb, path: path, now: time.Now, report: io.Discard}
	server := web.New(b, web.Options{}).HTTP()
	var serving sync.WaitGroup
	serving.Go(func() { server.Serve(l) })
	return &parlor{"http://" + l.Addr().String(), b, func() {
		server.Shutdown(t.Context())
		serving.Wait()
		b.settle()
		if err := nb.Close(); err != nil {
			t.Error(err)
		}
	}}
}

// visitor is somebody who uses the page, and remembers what was acknowledged.
type visitor struct {
	client *http.Client
	at     string
	random *rand.Rand
	marks  []string
	told   map[string]string // id by mark
}

func newVisitor(at string, seed uint64) *visitor {
	return &visitor{&http.Client{Transport: &http.Transport{}}, at, rand.New(rand.NewPCG(79, seed)), nil, map[string]string{}}
}

func (v *visitor) leave() { v.client.CloseIdleConnections() }

// visit does one thing, as a mixed use of the page brings it: of a hundred, 48 ask
// for settings, 15 look for a job, 7 for words, 10 log.
func (v *visitor) visit() (what string, status int, err error) { return v.do(v.random.IntN(100)) }

// ask and look are parts of that alone.
func (v *visitor) ask() (string, int, error)  { return v.do(v.random.IntN(48)) }
func (v *visitor) look() (string, int, error) { return v.do(48 + v.random.IntN(15)) }

func (v *visitor) do(what int) (string, int, error) {
	pick := func(list ...string) string { return list[v.random.IntN(len(list))] }
	job := strings.Join([]string{pick("1/8", "3/16", "14ga", "16ga"), "mild", pick("tee", "lap", "butt"), pick("flat", "horizontal", "vertical down")}, " ")
	q := "words=" + url.QueryEscape(job+" plain 0.035 E71T-11")
	switch {
	case what < 38:
		return v.get("suggest", "/api/suggest?"+q)
	case what < 48:
		return v.get("first page", "/?"+q)
	case what < 63:
		return v.get("find a job", "/api/find?limit=20&words="+url.QueryEscape(pick("1/8 tee", "3/16 lap", "14ga butt")))
	case what < 70:
		return v.get("find words", "/api/find?limit=20&words="+pick("hinge", "bracket", "quiet", "gate"))
	case what < 80:
		id := uuid.Must(uuid.NewV7()).String()
		words := `"` + strings.ReplaceAll(job+" plain", " ", `","`) + `"` // one by one: what has a space in it is a note
		body := fmt.Sprintf(`{"words":["%d",%s],"tap":"high","wire_speed":"%dipm","note":"corner gusset, quiet arc","id":%q}`, 2+v.random.IntN(4), words, 90+v.random.IntN(60), id)
		status, answer, err := v.send(http.MethodPost, "/api/log", body)
		var a acknowledged
		if err == nil && status == http.StatusCreated && json.Unmarshal(answer, &a) == nil {
			v.told[a.Mark] = a.ID
			v.marks = append(v.marks, a.Mark)
		}
		return "log", status, err
	case what < 84 && len(v.marks) > 0:
		status, _, err := v.send(http.MethodPatch, "/api/welds/"+pick(v.marks...), fmt.Sprintf(`{"rating":"%d"}`, 1+v.random.IntN(5)))
		return "amend", status, err
	case what < 92 && len(v.marks) > 0:
		return v.get("show", "/api/welds/"+pick(v.marks...))
	case what < 95:
		return v.get("duty", "/duty")
	case what < 97:
		return v.get("remedy", "/api/remedy?words="+pick("popping", "spatter", "undercut"))
	}
	return v.get("machines", "/machines")
}

func (v *visitor) get(what, path string) (string, int, error) {
	status, _, err := v.send(http.MethodGet, path, "")
	return what, status, err
}

func (v *visitor) send(method, path, body string) (int, []byte, error) {
	r, err := http.NewRequest(method, v.at+path, strings.NewReader(body))
	if err != nil {
		return 0, nil, err
	}
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	answer, err := v.client.Do(r)
	if err != nil {
		return 0, nil, err
	}
	defer answer.Body.Close()
	b, err := io.ReadAll(answer.Body)
	if answer.StatusCode >= 400 && err == nil {
		err = fmt.Errorf("%s %s %s: %s", method, path, body, b)
	}
	return answer.StatusCode, b, err
}

// heap is what is in use once the garbage is gone.
func heap() uint64 {
	runtime.GC()
	runtime.GC() // what a finalizer let go
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

const megabyte = 1 << 20

// TestSoak has ten clients use the page at once, mixed, and the command line beside
// them, for as long as -soak says. Nobody is turned away and nothing acknowledged is
// lost. Memory is flat but for what the notebook itself grows by; see [flat]. At the
// end the program holds no more than one that has just opened the same notebook and
// was asked the same, and hundreds of questions more leave nothing behind.
func TestSoak(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	for _, line := range [][]string{
		{"machine", "add", "shed", "--taps", "low=16V,high=18.5V", "--knob", "1..10", "--output", "dcen", "--rated", "90A", "--max", "140A", "--duty", "20"},
		{"wire", "add", "0.035 E71T-11", "--weight", "2lb"},
	} {
		if code := run(t.Context(), append([]string{"--notebook", path}, line...), io.Discard, io.Discard); code != 0 {
			t.Fatalf("%v: status %d", line, code)
		}
	}
	p := openParlor(t, path)
	once := func(p *parlor) uint64 { // everything that can be kept in memory is
		v := newVisitor(p.at, 0)
		defer v.leave()
		for what := range 70 {
			if _, status, err := v.do(what); err != nil || status != http.StatusOK {
				t.Fatalf("request %d: %d %v", what, status, err)
			}
		}
		v.leave()
		return heap()
	}
	before := once(p)
	forgets := func() (left float64) { // megabytes, of 300 questions
		v := newVisitor(p.at, 0)
		start := heap()
		for i := range 300 {
			if _, status, err := v.do([]int{0, 40, 50, 65, 93, 95, 98}[i%7]); err != nil || status != http.StatusOK {
				t.Fatalf("%d %v", status, err)
			}
		}
		v.leave()
		return (float64(heap()) - float64(start)) / megabyte
	}
	began, requests, turned, failed := time.Now(), 0, 0, 0
	logged, done := 0, map[string]int{}
	told := map[string]string{}
	var mu sync.Mutex
	var busy sync.RWMutex // held to read while a question is out: what an answer needs for a moment is not what is kept
	var clients sync.WaitGroup
	for i := range 10 {
		clients.Go(func() {
			v := newVisitor(p.at, uint64(i+1))
			defer v.leave()
			for count := 0; *soak == 0 && count < 40 || time.Since(began) < *soak; count++ {
				busy.RLock()
				what, status, err := v.visit()
				busy.RUnlock()
				mu.Lock()
				requests++
				done[what]++
				switch {
				case status == http.StatusServiceUnavailable:
					turned++
				case err != nil:
					if failed++; failed <= 10 {
						t.Errorf("%s: %d %v", what, status, err)
					}
				case what == "log":
					logged++
				}
				mu.Unlock()
				if *soak > 0 {
					time.Sleep(time.Duration(v.random.IntN(400)) * time.Millisecond) // they look at what they got
				}
			}
			mu.Lock()
			defer mu.Unlock()
			for mark, id := range v.told {
				if told[mark] != "" {
					t.Errorf("mark %s was given twice", mark)
				}
				told[mark] = id
			}
		})
	}
	clients.Go(func() {
		marks, count, err := byHand(path, began)
		mu.Lock()
		defer mu.Unlock()
		if done["by hand"] += count; err != nil {
			failed++
			t.Errorf("the command line beside: %v", err)
		}
		for mark, id := range marks {
			if told[mark] != "" {
				t.Errorf("mark %s was given twice", mark)
			}
			told[mark] = id
		}
	})
	ended := make(chan struct{})
	go func() { clients.Wait(); close(ended) }()
	var seen []moment
	tick := time.NewTicker(max(*soak/60, time.Second))
	defer tick.Stop()
	for going := true; going; {
		select {
		case <-ended:
			going = false
		case <-tick.C:
			mu.Lock()
			r, w := requests, logged
			mu.Unlock()
			busy.Lock()
			p.bench.settle()
			now := moment{w, resident(), float64(heap()) / megabyte}
			busy.Unlock()
			seen = append(seen, now)
			t.Logf("%6.0f s: %6d requests, %5d welds, heap %5.1f MB, resident %5.1f MB, %d goroutines", time.Since(began).Seconds(), r, w, now.heap, now.resident, runtime.NumGoroutine())
		}
	}
	p.bench.settle()
	after, left := once(p), forgets()
	goroutines := runtime.NumGoroutine()
	p.end()
	p = openParlor(t, path) // the same notebook, just opened
	anew := once(p)
	p.end()
	there := standing(t, path)
	for mark, id := range told {
		if there[mark] != id {
			t.Errorf("%s was acknowledged as %s, and is %q", mark, id, there[mark])
		}
	}
	intact(t, path)
	t.Logf("%d requests in %v (%v), %d errors, %d turned away; acknowledged: %d welds; lost: %d", requests, time.Since(began).Round(time.Second), done, failed, turned, len(told), lostOf(told, there))
	t.Logf("heap %.1f MB at the start, %.1f MB at the end, %.1f MB just opened on the same notebook; 300 questions leave %.2f MB; %d goroutines", float64(before)/megabyte, float64(after)/megabyte, float64(anew)/megabyte, left, goroutines)
	if after > anew+anew/5+4*megabyte || left > 3 {
		t.Errorf("memory grows: %d bytes after the soak, %d just opened; 300 questions leave %.1f MB", after, anew, left)
	}
	if *soak > 0 {
		flat(t, seen, (float64(anew)-float64(before))/megabyte/float64(max(1, len(told))))
	}
	if turned > 0 || len(told) == 0 {
		t.Errorf("%d were turned away, %d welds were logged", turned, len(told))
	}
}

// moment is what the program held then: megabytes, the heap once the garbage is gone.
type moment struct {
	welds          int
	resident, heap float64
}

// resident is how many megabytes of memory the system says the program has; zero where
// it does not say.
func resident() float64 {
	status, _ := os.ReadFile("/proc/self/status")
	_, after, _ := strings.Cut(string(status), "VmRSS:")
	var kilobytes float64
	_, _ = fmt.Sscan(after, &kilobytes)
	return kilobytes / 1024
}

// flat holds the last half of the soak to this: the median of its second part is above
// that of its first by no more than a tenth, four megabytes, and what the welds logged
// between need in a program that has just opened the notebook; perWeld is that, in
// megabytes. Of memory that the system counts, half of which is garbage not yet
// collected, twice as much.
func flat(t *testing.T, seen []moment, perWeld float64) {
	t.Helper()
	if len(seen) < 16 {
		t.Errorf("%d looks at the memory are too few", len(seen))
		return
	}
	third, last := seen[len(seen)/2:len(seen)*3/4], seen[len(seen)*3/4:]
	middle := func(part []moment, of func(moment) float64) float64 {
		var list []float64
		for _, m := range part {
			list = append(list, of(m))
		}
		slices.Sort(list)
		return list[len(list)/2]
	}
	welds := func(m moment) float64 { return float64(m.welds) }
	room := 4 + perWeld*(middle(last, welds)-middle(third, welds))
	for _, m := range []struct {
		name string
		of   func(moment) float64
		room float64
	}{
		{"heap", func(m moment) float64 { return m.heap }, room},
		{"resident", func(m moment) float64 { return m.resident }, 2 * room},
	} {
		was, is := middle(third, m.of), middle(last, m.of)
		t.Logf("%s: median %.1f MB in the third quarter, %.1f MB in the last; at most %.1f MB (%.2f kB a weld)", m.name, was, is, was*1.1+m.room, 1024*perWeld)
		if is > was*1.1+m.room {
			t.Errorf("the %s grows", m.name)
		}
	}
}

// byHand runs command lines beside the page, one after another, and returns which
// welds they logged and how many there were.
func byHand(path string, began time.Time) (told map[string]string, count int, err error) {
	told = map[string]string{}
	for ; *soak == 0 && count < 8 || time.Since(began) < *soak; count++ {
		line := [][]string{toLog, {"suggest", "1/8", "mild", "tee", "flat"}, {"find", "1/8", "tee"}, {"machine", "show", "shed"}}[count%4]
		text, _ := json.Marshal(append([]string{"--json", "--notebook", path}, line...))
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), lineEnv+"="+string(text))
		out, err := cmd.Output()
		if err != nil {
			return told, count, fmt.Errorf("%v: %w %s", line, err, out)
		}
		var a acknowledged
		if line[0] == "log" {
			if err := json.Unmarshal(out, &a); err != nil {
				return told, count, err
			}
			told[a.Mark] = a.ID
		}
		if *soak > 0 {
			time.Sleep(500 * time.Millisecond) // somebody types the next one
		}
	}
	return told, count, nil
}

func lostOf(told, there map[string]string) (lost int) {
	for mark, id := range told {
		if there[mark] != id {
			lost++
		}
	}
	return lost
}
