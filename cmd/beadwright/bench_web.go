package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"beadwright/cmd/beadwright/web"
	"beadwright/procedures/store"
)

// workbench carries out commands for the page: each as a run of its own with --json,
// on one open notebook, with one memory of it.
type workbench struct {
	notebook *store.Notebook
	path     string // as --notebook names it
	units    string // as --units of serve says; "": the notebook's
	now      func() time.Time
	report   io.Writer // what the program's own terminal is told
	memory   remembered
	album    sync.Mutex // one picture is taken apart at a time: a large one wants hundreds of megabytes

	asked atomic.Int64   // commands so far
	ahead sync.WaitGroup // questions that are thought over before they are asked
}

// Do is one command line. It reads nothing, and writes only its answer.
func (b *workbench) Do(ctx context.Context, args ...string) web.Result { return b.run(ctx, nil, args) }

// Chart is a chart command whose picture is handed over and goes to no file.
func (b *workbench) Chart(ctx context.Context, kind string, flags []string, words ...string) (svg []byte, r web.Result) {
	args := slices.Concat([]string{"chart", kind, "--force"}, flags, []string{"--", "page.svg"}, words)
	r = b.run(ctx, &svg, args)
	return svg, r
}

// run carries out a command; chart takes the picture of one that draws.
func (b *workbench) run(ctx context.Context, chart *[]byte, args []string) (r web.Result) {
	b.asked.Add(1)
	var out, complaint bytes.Buffer
	a := &app{out: &out, err: &complaint, now: b.now, json: true, nb: b.notebook, memory: &b.memory, later: b.later, chart: chart, notebookFlag: b.path}
	defer func() {
		if fault := recover(); fault != nil {
			b.fault(fault)
			r = web.Result{Status: 1, JSON: []byte(`{"error":{"code":"failed","field":null,"message":"a fault of the program, not of yours; nothing half-written was kept","hint":"do it again; if it comes back, the terminal that serves this page says more"}}` + "\n")}
		}
	}()
	all := []string{"--json"}
	if b.units != "" { // before those of the request, which has the last word
		all = append(all, "--units="+b.units)
	}
	all = append(all, args...)
	root := newRoot(a, all...)
	root.SetArgs(all)
	root.SetIn(strings.NewReader(""))
	root.SetOut(io.Discard) // no help is asked for
	root.SetErr(io.Discard)
	err := root.ExecuteContext(ctx)
	a.json = true // whatever became of the flag
	r.Status = a.report(err)
	r.JSON = out.Bytes()
	if complaint.Len() > 0 {
		_, _ = b.report.Write(complaint.Bytes())
	}
	if r.Status == 0 && len(args) > 0 && slices.Contains(teaching, args[0]) {
		b.think()
	}
	return r
}

// teaching are the commands after which a suggestion may be another.
var teaching = []string{"log", "amend", "strike", "test", "look", "followup"}

// later does something beside the answers.
func (b *workbench) later(do func()) {
	b.ahead.Go(func() {
		defer func() { // nobody else catches what goes wrong there
			if fault := recover(); fault != nil {
				b.fault(fault)
			}
		}()
		do()
	})
}

// warm reads the notebook before the first question, which then need not wait for it.
// What goes wrong is told to whoever asks.
func (b *workbench) warm(ctx context.Context) {
	b.later(func() {
		a := &app{out: io.Discard, err: io.Discard, now: b.now, nb: b.notebook, memory: &b.memory}
		_, _ = a.asker(ctx)
		b.memory.searched.read(ctx, b.notebook)
	})
}

// think takes the new weld in before it is asked about.
func (b *workbench) think() {
	b.later(func() {
		a := &app{out: io.Discard, err: io.Discard, now: b.now, nb: b.notebook, memory: &b.memory}
		if past, err := a.asker(context.Background()); err == nil { // else who asks next is told
			past.Think()
		}
	})
}

// fault reports a panic on the program's own terminal.
func (b *workbench) fault(fault any) {
	e := faultOf(fault)
	fmt.Fprintf(b.report, "beadwright: %s\nhint: %s\n", e, strings.Join(e.hints(), "; "))
}

// tend tidies the notebook in the first quiet second after it was written to, until it is
// told to leave, so that no answer waits for that. What goes wrong there, the next answer
// tells.
func (b *workbench) tend(ctx context.Context) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	asked := b.asked.Load() // the second before
	tidy := false
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		}
		now := b.asked.Load()
		if now == asked && !tidy {
			_ = b.notebook.Tidy(ctx)
		}
		tidy, asked = now == asked, now
	}
}

// logPages is how much of the log a page that is asked without a pause lets stand: a
// writer then waits for the disk now and then, not every few seconds, and a command line
// beside it reads no more than 16 MB of log as it opens the notebook. A design choice.
const logPages = 4000

// settle waits until nothing is thought over any more.
func (b *workbench) settle() { b.ahead.Wait() }

var (
	_ web.Bench  = (*workbench)(nil)
	_ web.Drawer = (*workbench)(nil)
)
