package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestBlindRate rates pictures in a chosen order: each comes up once, nothing of
// its weld is shown before all are rated, and the ratings go to the right welds.
func TestBlindRate(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "n.db")
	now := time.Date(2026, 9, 1, 12, 0, 0, 0, time.UTC)
	nb, err := store.Open(t.Context(), path, store.Options{Now: func() time.Time { return now }})
	if err != nil {
		t.Fatal(err)
	}
	defer nb.Close()
	for i, rating := range []procedures.Count{5, 4, 3} {
		picture := filepath.Join(dir, fmt.Sprintf("%04d.jpg", 90-i))
		if err := os.WriteFile(picture, []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
		w := procedures.Weld{At: now.AddDate(0, -3, i), Outcome: procedures.Outcome{Rating: rating, Photo: picture}, Settings: procedures.Settings{WireSpeed: 2.5, Tap: "high"}}
		if _, err := nb.AddWeld(t.Context(), w); err != nil {
			t.Fatal(err)
		}
	}
	var out bytes.Buffer
	a := &app{out: &out, err: &out, now: func() time.Time { return now }, nb: nb, unitsFlag: "us"}
	var offered []int
	cmd := newRateBy(a, func(n int) int {
		offered = append(offered, n)
		return n - 1 // the one looked at last: A3, A2, A1
	})
	cmd.SetArgs([]string{"--blind"})
	cmd.SetIn(strings.NewReader("2\n4\n3\n5\n"))
	if err := cmd.ExecuteContext(t.Context()); err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(offered) != "[3 2 1]" {
		t.Errorf("chosen among %v", offered)
	}
	shown, told, ok := strings.Cut(out.String(), "\nA3 ")
	if !ok {
		t.Fatalf("no ratings are told:\n%s", out.String())
	}
	for _, covered := range []string{"A1", "A2", "A3", "HIGH", "wire speed", "then"} {
		if strings.Contains(shown, covered) {
			t.Errorf("%q is shown before the rating:\n%s", covered, shown)
		}
	}
	if i, j, k := strings.Index(shown, "0088.jpg"), strings.Index(shown, "0089.jpg"), strings.Index(shown, "0090.jpg"); i < 0 || j < i || k < j {
		t.Errorf("pictures out of order:\n%s", shown)
	}
	if !strings.Contains(told, "2 now, 3 then") || !strings.Contains(told, "4 now, the same as then") || !strings.Contains(told, "3 now, 5 then") {
		t.Errorf("told:\n%s", told)
	}
	for mark, want := range map[string]procedures.Count{"A1": 3, "A2": 4, "A3": 2} {
		looks, err := nb.Reratings(t.Context(), mark)
		if err != nil || len(looks) != 1 || looks[0].Rating != want || !looks[0].Blind {
			t.Errorf("%s: %+v, %v, want %d", mark, looks, err, want)
		}
	}
}
