package store_test

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

var (
	update = flag.Bool("update", false, "write testdata/notebooks anew")
	long   = flag.Bool("long", false, "kill the writer many more times")
)

// TestMain lets the test binary be the other program that uses the notebook.
func TestMain(m *testing.M) {
	if path := os.Getenv(writerEnv); path != "" {
		other(path)
		return
	}
	flag.Parse()
	status := m.Run()
	if left := leftOver(); status == 0 && left != "" {
		fmt.Fprintln(os.Stderr, "goroutines are left over:\n"+left)
		status = 1
	}
	os.Exit(status)
}

// open opens a notebook for a test that is closed with it.
func open(t testing.TB, path string, opts store.Options) *store.Notebook {
	t.Helper()
	n, err := store.Open(t.Context(), path, opts)
	if err != nil {
		t.Fatalf("open: %v", err)
	}
	t.Cleanup(func() {
		if err := n.Close(); err != nil {
			t.Errorf("close: %v", err)
		}
	})
	return n
}

func fresh(t testing.TB) *store.Notebook {
	t.Helper()
	return open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{})
}

// written makes a closed notebook with a machine, a spool and some welds.
func written(t testing.TB) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "notebook.db")
	n := open(t, path, store.Options{})
	must(n.AddMachine(t.Context(), littleRed()))(t)
	must(n.AddSpool(t.Context(), elevens()))(t)
	for range 5 {
		must(n.AddWeld(t.Context(), bead()))(t)
	}
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

// must fails the test on an error; else it returns the value.
func must[T any](v T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func littleRed() procedures.Machine {
	return procedures.Machine{
		Name: "little red", Output: procedures.AC,
		Taps:    []procedures.Tap{{Name: "min", Open: 22, Load: 15, How: procedures.Measured}, {Name: "max", Load: 18.5, How: procedures.Guessed}},
		Knob:    procedures.Knob{Min: 0, Max: 10, Step: 0.5},
		WireMin: 1, WireMax: 9,
		RatedAmps: 80, RatedVolts: 18, Duty: 20, MaxAmps: 90, InputVolts: 120, InputAmps: 17, Breaker: 20,
		Cord:      procedures.Cord{AWG: 12, Length: 7620},
		Processes: []procedures.Process{procedures.FCAWS, procedures.SMAW},
		Note:      "the fan rattles",
	}
}

func elevens() procedures.Spool {
	return procedures.Spool{Name: "0.035 E71T-11", Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)}, Grams: 907}
}

// bead is a weld with something in most of its fields, and no references.
func bead() procedures.Weld {
	knob := 4.5
	return procedures.Weld{
		Said: "1/8 mild tee, max 4 1/2, bit of spatter",
		Job: procedures.Job{
			Said: "1/8 mild tee flat", Steel: "mild", SteelGroup: "I", Thickness: procedures.Inches(0.125), ThicknessSaid: "1/8",
			Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Process: procedures.FCAWS, For: "plant stand",
			Wire: procedures.Wire{Class: "E71T-11", Diameter: procedures.Inches(0.035)},
		},
		Settings: procedures.Settings{Tap: "max", Knob: &knob, WireSpeed: procedures.InchesPerMin(110), Polarity: procedures.DCEN, Passes: 1,
			How: map[string]procedures.How{"wire_speed_m_min": procedures.OwnCurve}},
		Outcome: procedures.Outcome{Rating: 4, Symptoms: []string{"spatter", "undercut"},
			Tests: []procedures.Test{{Kind: "break", Passed: true, Result: "tore parent"}}, Note: "quiet arc"},
	}
}

// same reports how two values differ; none and nothing are alike.
func same(want, got any) string { return cmp.Diff(want, got, cmpopts.EquateEmpty()) }

// wantKind fails the test unless err is a FileError of that kind that says where.
func wantKind(t *testing.T, err error, path string, kind store.Kind) {
	t.Helper()
	var e *store.FileError
	if !errors.As(err, &e) {
		t.Fatalf("got error %v (%T), want a FileError %q", err, err, kind)
	}
	if e.Kind != kind || e.Path != path || e.Problem == "" || !strings.Contains(e.Error(), path) {
		t.Fatalf("got %q %q at %s (%v), want %q at %s", e.Kind, e.Problem, e.Path, e.Err, kind, path)
	}
}

// wantInvalid fails the test unless err refuses that field.
func wantInvalid(t *testing.T, err error, field string) {
	t.Helper()
	var e *procedures.InvalidError
	if !errors.As(err, &e) {
		t.Fatalf("got error %v (%T), want an InvalidError about %s", err, err, field)
	}
	if e.Field != field {
		t.Fatalf("got an error about %s (%v), want one about %s", e.Field, e, field)
	}
}

func wantNotFound(t *testing.T, err error) {
	t.Helper()
	if !errors.Is(err, procedures.ErrNotFound) {
		t.Fatalf("got error %v, want one that wraps ErrNotFound", err)
	}
}

// contents is what lies in a folder, by name.
func contents(t testing.TB, dir string) map[string]string {
	t.Helper()
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, f := range files {
		if f.IsDir() {
			all[f.Name()] = "folder"
			continue
		}
		b, err := os.ReadFile(filepath.Join(dir, f.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[f.Name()] = fmt.Sprintf("%d bytes %x", len(b), sha256.Sum256(b))
	}
	return all
}

// raw opens the file past the notebook.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

// run executes statements on a file past the notebook and closes it again.
func run(t testing.TB, path string, statements ...string) {
	t.Helper()
	db := raw(t, path)
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatalf("%s: %v", s, err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestUnits(t *testing.T) {
	n := fresh(t)
	if u := must(n.Units(t.Context()))(t); u != procedures.US {
		t.Errorf("units of a new notebook: %q, want us", u)
	}
	wantInvalid(t, n.SetUnits(t.Context(), "furlongs"), "units")
	if err := n.SetUnits(t.Context(), procedures.Metric); err != nil {
		t.Fatal(err)
	}
	if u := must(n.Units(t.Context()))(t); u != procedures.Metric {
		t.Errorf("units: %q, want metric", u)
	}
}

func TestCancelled(t *testing.T) {
	n := fresh(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := n.AddWeld(ctx, bead()); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want the context's error", err)
	}
	if list := must(n.History(t.Context()))(t); len(list) != 0 {
		t.Errorf("%d welds were recorded", len(list))
	}
}

// clock goes forward a minute each time it is looked at.
func clock(from time.Time) func() time.Time {
	return func() time.Time {
		from = from.Add(time.Minute)
		return from
	}
}

// racing is set where the race detector looks on.
var racing bool
