package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// BenchmarkProcess times whole runs of the built program, from its start to its
// end, with a notebook of 1,000 welds. The median says more than the mean here:
// a write waits for the disk, and now and then for long.
func BenchmarkProcess(b *testing.B) {
	program := filepath.Join(b.TempDir(), "beadwright")
	build := exec.Command("go", "build", "-o", program, ".")
	if out, err := build.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	path := filepath.Join(b.TempDir(), "notebook.db")
	fill(b, path, 1000)
	for _, c := range []struct {
		name string
		args []string
	}{
		{"version", []string{"version"}}, // what starting costs
		{"suggest", []string{"suggest", "1/8", "mild", "tee", "flat"}},
		{"log", []string{"log", "4", "bit of spatter"}},
		{"find", []string{"find", "1/8", "tee"}},
	} {
		b.Run(c.name, func(b *testing.B) {
			var took []time.Duration
			for b.Loop() {
				cmd := exec.Command(program, c.args...)
				cmd.Env = append(os.Environ(), "BEADWRIGHT_NOTEBOOK="+path)
				start := time.Now()
				if out, err := cmd.CombinedOutput(); err != nil {
					b.Fatalf("%v\n%s", err, out)
				}
				took = append(took, time.Since(start))
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "median-ms/op")
		})
	}
}

var pageNotebook = flag.String("page-notebook", "", "the notebook that BenchmarkPage asks (a copy of it); none: one of 1,000 welds")

// BenchmarkPage asks the page 50 times a second, whether it has answered or not: for
// settings alone, for past welds of a job alone, and mixed, as [visitor] does. What
// it reports besides is how long an answer took from the moment it was due, in
// milliseconds.
func BenchmarkPage(b *testing.B) {
	path := filepath.Join(b.TempDir(), "notebook.db")
	if *pageNotebook == "" {
		fill(b, path, 1000)
	} else if whole, err := os.ReadFile(*pageNotebook); err != nil {
		b.Fatal(err)
	} else if err := os.WriteFile(path, whole, 0o600); err != nil {
		b.Fatal(err)
	}
	for _, c := range []struct {
		name string
		do   func(*visitor) (string, int, error)
	}{{"ask", (*visitor).ask}, {"find", (*visitor).look}, {"mixed", (*visitor).visit}} {
		b.Run(c.name, func(b *testing.B) { askSteadily(b, path, c.do) })
	}
}

func askSteadily(b *testing.B, path string, do func(*visitor) (string, int, error)) {
	p := openParlor(b, path)
	defer p.end()
	p.bench.warm(b.Context()) // as serve does
	p.bench.settle()
	const every = time.Second / 50
	visitors := make(chan *visitor, 200) // at most so many wait for an answer
	for i := range cap(visitors) {
		v := newVisitor(p.at, uint64(i))
		defer v.leave()
		visitors <- v
	}
	var mu sync.Mutex
	var took []time.Duration
	var asking sync.WaitGroup
	refused, count, began := 0, 0, time.Now()
	for b.Loop() {
		due := began.Add(time.Duration(count) * every)
		count++
		time.Sleep(time.Until(due))
		asking.Go(func() {
			v := <-visitors
			defer func() { visitors <- v }()
			what, status, err := do(v)
			mu.Lock()
			defer mu.Unlock()
			took = append(took, time.Since(due))
			if err != nil {
				if refused++; refused == 1 {
					b.Logf("%s: %d %v", what, status, err)
				}
			}
		})
	}
	asking.Wait()
	slices.Sort(took)
	at := func(part float64) float64 {
		return float64(took[int(part*float64(len(took)-1))].Microseconds()) / 1000
	}
	b.ReportMetric(at(0.5), "p50-ms")
	b.ReportMetric(at(0.99), "p99-ms")
	b.ReportMetric(at(1), "most-ms")
	b.ReportMetric(float64(refused), "refused")
}

// fill writes a season of welds: thicknesses, joints and positions of a home
// shop, wire speeds about right, every fourth bead a poor one.
func fill(b *testing.B, path string, n int) {
	b.Helper()
	ctx := context.Background()
	nb, err := store.Open(ctx, path, store.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer nb.Close()
	_, err = nb.AddMachine(ctx, procedures.Machine{Name: "shed", Output: procedures.DCEN, Taps: []procedures.Tap{{Name: "low", Load: 16, How: procedures.Measured}, {Name: "high", Load: 18.5, How: procedures.Measured}},
		WireMin: 1, WireMax: 10, RatedAmps: 90, RatedVolts: 18, Duty: 20, MaxAmps: 140})
	if err != nil {
		b.Fatal(err)
	}
	thickness := []float64{0.0625, 0.075, 0.125, 0.1875, 0.25}
	joints := []procedures.Joint{procedures.Tee, procedures.Lap, procedures.Butt}
	positions := []procedures.Position{procedures.Flat, procedures.Horizontal, procedures.VerticalDown}
	for i := range n {
		joint := joints[i%len(joints)]
		w := procedures.Weld{
			At: time.Date(2025, 1, 1, 9, 0, 0, 0, time.UTC).Add(time.Duration(i) * 7 * time.Hour),
			Job: procedures.Job{Machine: "shed", Steel: "mild", SteelGroup: "I", Thickness: procedures.Inches(thickness[i%len(thickness)]), Joint: joint, Weld: joint.DefaultWeld(),
				Position: positions[i/3%len(positions)], Process: procedures.FCAWS, Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}},
			Settings: procedures.Settings{Tap: "high", WireSpeed: procedures.InchesPerMin(70 + 12*float64(i%len(thickness)) + float64(i%7)), Polarity: procedures.DCEN},
			Outcome:  procedures.Outcome{Rating: procedures.Count(4 + i%2), Note: fmt.Sprintf("coupon %d of the gate", i)},
		}
		if i%4 == 0 {
			w.Outcome.Rating, w.Outcome.Symptoms = 2, []string{"spatter"}
		}
		if _, err := nb.AddWeld(ctx, w); err != nil {
			b.Fatal(err)
		}
	}
}
