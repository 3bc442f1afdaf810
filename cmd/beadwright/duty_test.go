package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/iotest"
	"time"

	"beadwright/procedures"
)

// handClock is a clock that stands still until it is set.
type handClock struct {
	mu sync.Mutex
	t  time.Time
}

func (c *handClock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.t
}

func (c *handClock) add(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.t = c.t.Add(d)
}

// bench is the program with a clock set by hand and the machine of the shed, 90 A
// at 20 %, at noon.
type bench struct {
	*handClock
	app      *app
	out, err bytes.Buffer
}

func newBench(t *testing.T) *bench {
	t.Helper()
	t.Setenv("BEADWRIGHT_NOTEBOOK", filepath.Join(t.TempDir(), "notebook.db"))
	b := &bench{handClock: &handClock{t: time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC)}}
	b.app = &app{out: &b.out, err: &b.err, now: b.now}
	t.Cleanup(b.app.close)
	b.run(t, 0, "machine", "add", "shed", "--taps", "low,high", "--output", "dcen", "--rated", "90A", "--duty", "20")
	return b
}

// run runs a command line and returns what it printed, errors included.
func (b *bench) run(t *testing.T, status int, args ...string) string {
	t.Helper()
	b.out.Reset()
	b.err.Reset()
	root := newRoot(b.app)
	root.SetArgs(args)
	root.SetIn(strings.NewReader(""))
	if got := b.app.report(root.ExecuteContext(t.Context())); got != status {
		t.Fatalf("%v: exit status %d, want %d: %s", args, got, status, b.err.String())
	}
	return b.out.String() + b.err.String()
}

// clock is what duty --json says.
type clockDoc struct {
	Do      string     `json:"do"`
	Used    float64    `json:"used_seconds"`
	Left    float64    `json:"left_seconds"`
	Allowed float64    `json:"allowed_seconds"`
	Rest    float64    `json:"rest_seconds"`
	Next    float64    `json:"next_seconds"`
	Until   *time.Time `json:"until"`
	Paid    *time.Time `json:"paid"`
	Limit   string     `json:"limit"`
	CutOut  *int       `json:"cut_out"`
	Other   int        `json:"cut_outs_of_other_states"`
	Picture *warmth    `json:"picture"`
}

func (b *bench) duty(t *testing.T, args ...string) (d clockDoc) {
	t.Helper()
	if err := json.Unmarshal([]byte(b.run(t, 0, append([]string{"--json", "duty"}, args...)...)), &d); err != nil {
		t.Fatal(err)
	}
	return d
}

// An afternoon at the bench, with sums done by hand.
func TestDutyClock(t *testing.T) {
	b := newBench(t)
	if d := b.duty(t); d.Do != "go" || d.Used != 0 || d.Left != 120 || d.Rest != 0 || d.Until != nil || d.Paid != nil {
		t.Errorf("cold: %+v", d)
	}
	b.run(t, 0, "duty", "start")
	b.add(40 * time.Second)
	if d := b.duty(t); d.Do != "arc on" || d.Used != 40 || d.Left != 80 {
		t.Errorf("burning: %+v", d)
	}
	b.add(20 * time.Second)
	b.run(t, 0, "duty", "stop") // 0 to 60
	b.add(100 * time.Second)
	b.run(t, 0, "duty", "add", "60s") // 100 to 160
	// 120 s are used; a bead of 30 s may follow when 30 s have left, at 630.
	if d := b.duty(t, "--next", "30s"); d.Do != "rest" || d.Used != 120 || d.Left != 0 || d.Rest != 470 || d.Until == nil || !d.Until.Equal(b.now().Add(470*time.Second)) || !d.Paid.Equal(b.now().Add(600*time.Second)) {
		t.Errorf("full: %+v", d)
	}
	b.add(470 * time.Second)
	if d := b.duty(t, "--next", "30s"); d.Do != "go" || d.Used != 90 || d.Left != 30 {
		t.Errorf("rested: %+v", d)
	}
	b.add(130 * time.Second)
	if d := b.duty(t); d.Used != 0 || d.Left != 120 || d.Paid != nil {
		t.Errorf("all paid: %+v", d)
	}
	b.run(t, 0, "duty", "start", "--at", "20s ago")
	b.run(t, 0, "duty", "stop", "--at", "12:12:30")
	if d := b.duty(t); d.Used != 10 {
		t.Errorf("10 s by the times said: %+v", d)
	}
	b.add(-time.Hour)
	for _, args := range [][]string{{"duty"}, {"duty", "trip"}, {"duty", "watch"}} {
		if said := b.run(t, 2, args...); !strings.Contains(said, "went backwards") || !strings.Contains(said, "hint: ") {
			t.Errorf("%v an hour earlier: %s", args, said)
		}
	}
}

// A clock that ran on was forgotten: it says so and is stopped with the time.
func TestDutyForgotten(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "start")
	b.add(time.Hour)
	if d := b.duty(t); d.Do != "forgotten" || d.Used != 600 || d.Left != 0 {
		t.Errorf("%+v", d)
	}
	said := b.run(t, 0, "duty")
	if !strings.Contains(said, "60 min") || !strings.Contains(said, "2026-05-01 12:00:45") {
		t.Errorf("says %s", said)
	}
	b.run(t, 2, "duty", "stop")
	b.run(t, 2, "duty", "trip")
	b.run(t, 0, "duty", "stop", "--at", "2026-05-01 12:00:45")
	if d := b.duty(t); d.Do != "go" || d.Used != 0 {
		t.Errorf("stopped: %+v", d)
	}
}

// A cut-out is waited for, then lowers the allowance, for the state it happened in.
func TestDutyTrips(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "start")
	b.add(80 * time.Second)
	said := b.run(t, 0, "duty", "trip", "--amps", "90", "--air", "86F", "--knob", "4.5")
	for _, want := range []string{"switched on", "12:11:20", "80 s of arc", "90 A", "30 C (86 F)", "68 s of arc in any 10 minutes instead of 120 s", "Never bridge"} {
		if !strings.Contains(strings.Join(strings.Fields(said), " "), want) {
			t.Errorf("a cut-out does not say %q: %s", want, said)
		}
	}
	if d := b.duty(t); d.Do != "wait" || d.Used != 80 || d.Allowed != 68 || d.Rest != 600 || d.Limit != "own cut-outs" || d.CutOut == nil || *d.CutOut != 1 {
		t.Errorf("while it is open: %+v", d)
	}
	b.add(600 * time.Second)
	// 80 s at 90 A are 180 s at 60 A, less 15 % 153 s; the plate says 270 s.
	if d := b.duty(t, "--amps", "60"); d.Do != "go" || d.Allowed != 153 {
		t.Errorf("at 60 A: %+v", d)
	}
	b.run(t, 0, "duty", "trip", "--after", "200s", "--amps", "90")
	if d := b.duty(t); d.Allowed != 68 {
		t.Errorf("a later cut-out raised it: %+v", d)
	}
	b.run(t, 0, "duty", "trips", "--strike", "1", "--why", "it was the breaker")
	if d := b.duty(t); d.Allowed != 120 || d.Limit != "plate" {
		t.Errorf("withdrawn: %+v", d)
	}
	b.run(t, 0, "duty", "trip", "--after", "50s", "--amps", "90")
	b.run(t, 0, "machine", "change", "--what", "rectifier and capacitors fitted", "--output", "dcen", "--rebuilt")
	b.add(time.Second)
	d := b.duty(t)
	if d.Allowed != 42.5 || d.Limit != "own cut-outs" || d.Other != 2 || d.Do != "wait" {
		t.Errorf("rebuilt: %+v", d)
	}
	said = b.run(t, 0, "duty")
	for _, want := range []string{"stand as the most it may be", "outside its cut-out", "Unplug it"} {
		if !strings.Contains(said, want) {
			t.Errorf("a rebuilt machine does not say %q: %s", want, said)
		}
	}
}

// A new tip cools no transformer: its cut-outs go on counting, and the arc that one
// tells of is used, though the clock never saw it.
func TestDutyTripsStay(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "trip", "--after", "40s", "--amps", "90", "--at", "30 min ago")
	b.run(t, 0, "machine", "change", "--what", "new contact tip")
	if d := b.duty(t, "--amps", "90"); d.Allowed != 34 || d.Limit != "own cut-outs" || d.Other != 0 || d.Do != "go" || d.Next != 17 {
		t.Errorf("after a new tip: %+v", d)
	}
	b.run(t, 0, "duty", "trip", "--after", "95s")
	if d := b.duty(t); d.Used != 95 || d.Left != 0 || d.Do != "wait" {
		t.Errorf("the 95 s just told are forgotten: %+v", d)
	}
}

// A bead that is short by less than a second need not wait.
func TestDutyShortBySplit(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "trip", "--after", "22.4s", "--amps", "90", "--at", "30 min ago") // 19 s in any 10 minutes
	b.run(t, 0, "duty", "start")
	b.add(40 * time.Millisecond)
	b.run(t, 0, "duty", "stop")
	if d := b.duty(t, "--next", "19s"); d.Do != "go" || d.Rest != 0 || d.Until != nil {
		t.Errorf("%+v", d)
	}
	if d := b.duty(t); d.Do != "go" || d.Next != 9 {
		t.Errorf("the bead taken for granted: %+v", d)
	}
	if said := b.run(t, 0, "duty"); !strings.Contains(said, "under 1 s of arc in the last 10 minutes") {
		t.Error(said)
	}
}

// What another page forbids, the clock does not let start.
func TestDutyDoNot(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "machine", "measure", "--tap", "high", "--open", "124V")
	said := b.run(t, 0, "duty")
	if !strings.HasPrefix(said, "DO NOT") || !strings.Contains(said, "machine measure") {
		t.Error(said)
	}
	if d := b.duty(t); d.Do != "do not" {
		t.Errorf("%+v", d)
	}
	b.run(t, 0, "machine", "measure", "--strike", "1", "--why", "the probe slipped")
	if d := b.duty(t); d.Do != "go" {
		t.Errorf("%+v", d)
	}
}

// A wrong arc is withdrawn by its number; one that cannot be begins nowhere.
func TestDutyArcs(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "add", "100s")
	b.run(t, 2, "duty", "start", "--at", "1 min ago")
	b.run(t, 2, "duty", "stop")
	if said := b.run(t, 0, "duty", "arcs"); !strings.Contains(said, "11:58:20 to 12:00:00, 100 s of arc") {
		t.Error(said)
	}
	said := b.run(t, 0, "duty", "arcs", "--strike", "1", "--why", "10 s, not 100")
	if !strings.Contains(said, "arc 1, 11:58:20") || !strings.Contains(said, "no longer counted") {
		t.Error(said)
	}
	if d := b.duty(t); d.Used != 0 {
		t.Errorf("%+v", d)
	}
	b.run(t, 0, "duty", "add", "10s")
	b.run(t, 2, "duty", "arcs", "--strike", "1", "--why", "again")
	b.run(t, 2, "duty", "arcs", "--strike", "9", "--why", "no such arc")
	b.run(t, 2, "duty", "arcs", "--strike", "2")
	b.run(t, 2, "duty", "arcs", "--why", "why what")
}

func TestDutyPicture(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "add", "45s")
	if d := b.duty(t); d.Picture != nil {
		t.Errorf("a picture that nobody asked for: %+v", d.Picture)
	}
	d := b.duty(t, "--heat")
	if d.Picture == nil || d.Picture.Low <= 0 || d.Picture.High >= 100 || d.Picture.Low >= d.Picture.High || !strings.Contains(d.Picture.Text, "assumed") {
		t.Errorf("%+v", d.Picture)
	}
	if plain := b.duty(t); d.Allowed != plain.Allowed || d.Left != plain.Left {
		t.Errorf("the picture moved the allowance: %+v, %+v", d, plain)
	}
}

// pedal gives what is pressed, with time going by before each read.
type pedal struct {
	*handClock
	in    io.Reader
	waits []time.Duration
}

func (p *pedal) Read(b []byte) (int, error) {
	if len(p.waits) > 0 {
		p.add(p.waits[0])
		p.waits = p.waits[1:]
	}
	return p.in.Read(b)
}

// lines hands out one line a read.
type lines struct{ left []string }

func (l *lines) Read(b []byte) (int, error) {
	if len(l.left) == 0 {
		return 0, io.EOF
	}
	n := copy(b, l.left[0])
	l.left = l.left[1:]
	return n, nil
}

func (b *bench) arcs(t *testing.T) []procedures.Arc {
	t.Helper()
	all, err := b.app.nb.Arcs(t.Context(), "shed", time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Each line toggles the arc and is written down with the time it was read at.
func TestDutyWatchLines(t *testing.T) {
	b := newBench(t)
	b.out.Reset()
	start := b.now()
	seconds := func(n int) time.Duration { return time.Duration(n) * time.Second }
	in := &pedal{b.handClock, &lines{[]string{"\n", "\n", "\n", "\n", "q\n"}}, []time.Duration{seconds(10), seconds(45), seconds(20), seconds(75), seconds(5)}}
	if err := (&watch{app: b.app, in: in}).run(t.Context()); err != nil {
		t.Fatal(err)
	}
	arcs := b.arcs(t)
	if len(arcs) != 2 || !arcs[0].Start.Equal(start.Add(seconds(10))) || !arcs[0].Stop.Equal(start.Add(seconds(55))) || !arcs[1].Start.Equal(start.Add(seconds(75))) || !arcs[1].Stop.Equal(start.Add(seconds(150))) {
		t.Errorf("arcs %+v", arcs)
	}
	said := strings.Join(strings.Fields(b.out.String()), " ")
	for _, want := range []string{"GO 120 s LEFT", "ARC ON 120 s LEFT", "GO 75 s LEFT", "ARC ON 75 s LEFT", "REST 490 s TO REST", "REST 8 min 5 s more, until 12:10:40"} {
		if !strings.Contains(said, want) {
			t.Errorf("does not say %q: %s", want, said)
		}
	}
}

// The beat shows when the 10 minutes become full; the window may close with the
// arc on, and the clock goes on.
func TestDutyWatchBeat(t *testing.T) {
	for _, live := range []bool{false, true} {
		b := newBench(t)
		b.run(t, 0, "duty", "start")
		b.out.Reset()
		start := b.now()
		ctx, cancel := context.WithCancel(t.Context())
		in, close := io.Pipe()
		beat, ended := make(chan time.Time), make(chan error)
		go func() { ended <- (&watch{app: b.app, in: in, beat: beat, live: live}).run(ctx) }()
		for _, n := range []int{60, 118, 120, 121, 122} {
			beat <- start.Add(time.Duration(n) * time.Second)
		}
		b.add(122 * time.Second)
		cancel()
		if err := <-ended; err != nil {
			t.Fatal(err)
		}
		close.Close()
		out := b.out.String()
		if strings.Count(out, "\a") != map[bool]int{true: 1}[live] || (strings.Count(out, "\r") > 3) != live || !strings.Contains(out, "STOP") || !strings.Contains(out, "the arc is still on") {
			t.Errorf("live %v: %q", live, out)
		}
		if stops := strings.Count(out, "0 s LEFT     [....................]  this bead"); live && stops < 2 || !live && stops != 1 {
			t.Errorf("live %v: %d lines say that it is full: %q", live, stops, out)
		}
		if arcs := b.arcs(t); len(arcs) != 1 || !arcs[0].Burning() {
			t.Errorf("live %v: %+v", live, arcs)
		}
	}
}

// A key held down is one press, other keys are none, and an arc that was forgotten
// is not stopped by a press.
func TestDutyWatchKeys(t *testing.T) {
	b := newBench(t)
	held := make([]time.Duration, 12)
	for k := range held {
		held[k] = 50 * time.Millisecond
	}
	in := &pedal{b.handClock, iotest.OneByteReader(strings.NewReader("          xq")), held}
	if err := (&watch{app: b.app, in: in, keys: true, bounce: 300 * time.Millisecond}).run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if arcs := b.arcs(t); len(arcs) != 1 || !arcs[0].Burning() {
		t.Fatalf("a key held down: %+v", arcs)
	}
	b.add(time.Hour)
	b.out.Reset()
	if err := (&watch{app: b.app, in: strings.NewReader("\n")}).run(t.Context()); err != nil {
		t.Fatal(err)
	}
	if arcs := b.arcs(t); len(arcs) != 1 || !arcs[0].Burning() || !strings.Contains(b.out.String(), "forgotten, not held") {
		t.Errorf("forgotten: %+v, %s", arcs, b.out.String())
	}
}

func TestDutyWatchJSON(t *testing.T) {
	b := newBench(t)
	b.run(t, 0, "duty", "add", "45s")
	if d := b.duty(t, "watch"); d.Used != 45 || d.Do != "go" {
		t.Errorf("%+v", d)
	}
}

func TestMomentSaid(t *testing.T) {
	now := time.Date(2026, 5, 1, 0, 10, 0, 0, time.UTC)
	for said, want := range map[string]string{
		"": "2026-05-01T00:10:00Z", "20s ago": "2026-05-01T00:09:40Z", "2 min ago": "2026-05-01T00:08:00Z", "00:05": "2026-05-01T00:05:00Z",
		"23:58:10": "2026-04-30T23:58:10Z", "2026-04-30 20:00": "2026-04-30T20:00:00Z", "2026-04-30 20:00:05": "2026-04-30T20:00:05Z", "2026-04-30T20:00:05Z": "2026-04-30T20:00:05Z",
	} {
		if got, err := momentSaid("at", said, now); err != nil || got.Format(time.RFC3339) != want {
			t.Errorf("%q: %v, %v, want %s", said, got, err, want)
		}
	}
	for _, said := range []string{"ago", "3 ago days", "-5s ago", "99999s ago", "25:00", "soon", "2027-01-01 10:00", "12"} {
		if got, err := momentSaid("at", said, now); err == nil {
			t.Errorf("%q was read as %v", said, got)
		}
	}
}

func TestAirSaid(t *testing.T) {
	for said, want := range map[string]float64{"30C": 30, "86F": 30, "86 f": 30, "-40F": -40, "-40 C": -40, "104\u00b0F": 40, "0C": 0} {
		if got, err := airSaid(said); err != nil || got == nil || *got < want-1e-9 || *got > want+1e-9 {
			t.Errorf("%q: %v, %v, want %g", said, got, err, want)
		}
	}
	if got, err := airSaid(""); got != nil || err != nil {
		t.Errorf("nothing said: %v, %v", got, err)
	}
	for _, said := range []string{"30", "hot", "200F", "61C", "-41C", "86K", "--5C", "NaNC", "1e3C"} {
		if got, err := airSaid(said); err == nil {
			t.Errorf("%q was read as %v", said, *got)
		}
	}
}
