package main

import (
	"context"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// goingOn lists the goroutines there are, by what each is called: "goroutine 7".
func goingOn() map[string]string {
	stacks := make([]byte, 1<<20)
	stacks = stacks[:runtime.Stack(stacks, true)]
	all := map[string]string{}
	for _, s := range strings.Split(string(stacks), "\n\n") {
		name, _, _ := strings.Cut(s, " [")
		all[name] = s
	}
	return all
}

// endsAll fails the test where a goroutine goes on that was not there before. Each is
// given a while, and the one that hands out signals never ends.
func endsAll(t *testing.T, what string, before map[string]string) {
	t.Helper()
	var left []string
	for range 500 {
		left = nil
		for name, s := range goingOn() {
			if before[name] == "" && !strings.Contains(s, "os/signal.") {
				left = append(left, s)
			}
		}
		if len(left) == 0 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("%s: %d goroutines go on:\n%s", what, len(left), strings.Join(left, "\n\n"))
}

// TestFaultLeftRunning runs a command of each kind in this process, done, refused, told
// to end at once, and on a notebook that cannot be opened: nothing goes on after it.
func TestFaultLeftRunning(t *testing.T) {
	path := shop(t)
	dir := filepath.Dir(path)
	t.Chdir(dir)
	bad := filepath.Join(dir, "bad.db")
	if err := os.WriteFile(bad, []byte("SQLite format 3\x00, or so it says"), 0o600); err != nil {
		t.Fatal(err)
	}
	ended, end := context.WithCancel(t.Context())
	end()
	for _, line := range []string{
		"log 4 1/8 mild tee flat", "log 9", "find 1/8 tee", "find spater", "suggest 1/8 mild tee flat", "suggest trailer hitch", "amend A1 --rating 3", "strike A2 --why wrong",
		"show A1", "remedy popping", "duty start", "duty stop", "machine list", "machine knob --mark 5 --tap high --length 42in --seconds 10", "export shop.jsonl --force", "export shop.csv --force",
		"import shop.jsonl", "import nowhere.jsonl", "backup copy.db --force", "check", "chart knob knob.svg --force", "print log log.pdf --force", "coupons 1/8 tee", "rate A1 4", "serve --listen 203.0.113.7:1",
	} {
		args := strings.Fields(line)
		for what, do := range map[string]func() int{
			"":      func() int { return run(t.Context(), args, io.Discard, io.Discard) },
			"ended": func() int { return run(ended, args, io.Discard, io.Discard) },
			"not opened": func() int {
				return run(t.Context(), append([]string{"--notebook", bad}, args...), io.Discard, io.Discard)
			},
		} {
			before := goingOn()
			status := do()
			endsAll(t, strings.TrimSpace(line+" "+what), before)
			if status < 0 || status > 3 {
				t.Errorf("%s %s: status %d", line, what, status)
			}
		}
	}
}

// TestFaultServeLeaves serves the page as the program does, asks it for something and
// for something that lasts, and ends it: nothing goes on.
func TestFaultServeLeaves(t *testing.T) {
	path := shop(t)
	before := goingOn()
	ctx, end := context.WithCancel(t.Context())
	out, in := io.Pipe()
	done := make(chan int, 1)
	go func() {
		done <- run(ctx, []string{"--json", "--notebook", path, "serve", "--listen", "127.0.0.1:0"}, in, io.Discard)
		in.Close()
	}()
	b := make([]byte, 1000)
	n, err := out.Read(b)
	if err != nil {
		t.Fatalf("serve ended with %d: %v", <-done, err)
	}
	go io.Copy(io.Discard, out)
	address := between(string(b[:n]), `"address": "`, `"`)
	client := &http.Client{Transport: &http.Transport{}}
	for _, at := range []string{"", "find?q=tee", "api/suggest?words=1/8+mild+tee+flat", "nowhere"} {
		r, err := client.Get(strings.TrimSuffix(address, "/") + "/" + at)
		if err != nil {
			t.Fatal(err)
		}
		io.Copy(io.Discard, r.Body)
		r.Body.Close()
	}
	end()
	if status := <-done; status != 0 {
		t.Errorf("status %d", status)
	}
	client.CloseIdleConnections()
	endsAll(t, "serve", before)
}

// between is the text between two others; "" where they are not there.
func between(s, from, to string) string {
	_, s, _ = strings.Cut(s, from)
	s, _, ok := strings.Cut(s, to)
	if !ok {
		return ""
	}
	return s
}
