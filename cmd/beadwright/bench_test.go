package main

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
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
	thickness := []float64{0.0625, 0.075, 0.125, 0.1875, 0.25}
	joints := []procedures.Joint{procedures.Tee, procedures.Lap, procedures.Butt}
	positions := []procedures.Position{procedures.Flat, procedures.Horizontal, procedures.VerticalDown}
	for i := range n {
		joint := joints[i%len(joints)]
		w := procedures.Weld{
			At: time.Date(2025, 1, 1, 9, 0, 0, 0, time.UTC).Add(time.Duration(i) * 7 * time.Hour),
			Job: procedures.Job{Steel: "mild", SteelGroup: "I", Thickness: procedures.Inches(thickness[i%len(thickness)]), Joint: joint, Weld: joint.DefaultWeld(),
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
