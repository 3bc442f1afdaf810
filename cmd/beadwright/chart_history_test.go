package main

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
)

// lived is a history of n beads with every grade, two states and two spools.
func lived(n int) *historyChart {
	c := &historyChart{Chart: "history", Machine: "shed", machine: procedures.Machine{Name: "shed", Rebuilt: true}}
	day := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	for i := range n {
		b := historyBead{N: i + 1, Mark: fmt.Sprintf("A%d", i+1), At: day.AddDate(0, 0, i/3), Rating: procedures.Count(1 + i%5), State: 1, state: "one", Spool: "old", Test: []string{"", "passed", "failed"}[i%3], FailedInUse: i%7 == 4}
		if i >= n/2 {
			b.State, b.state, b.Spool = 2, "two", "new"
		}
		if i%4 == 3 {
			b.Thirds = &procedures.Thirds{2, 0, 5}
		}
		c.Beads = append(c.Beads, b)
	}
	c.divide([]procedures.State{{ID: "one", Number: 1, What: "as first written down", Since: day}, {ID: "two", Number: 2, What: "bridge rectifier & <capacitors>", Since: day}, {ID: "three", Number: 3, What: "new liner, the long one that goes from the rollers to the tip in one piece and was cut to length twice", Since: day}})
	c.mean()
	c.note()
	return c
}

// TestHistoryIsDrawn: each grade, line and change is there, few beads or many.
func TestHistoryIsDrawn(t *testing.T) {
	for _, n := range []int{1, 2, 12, 400} {
		c := lived(n)
		svg, err := c.draw("svg")
		if err != nil {
			t.Fatal(err)
		}
		if err := wellFormed(svg); err != nil {
			t.Errorf("%d beads: %v", n, err)
		}
		if !bytes.Contains(svg, []byte("3: new liner, the long one")) || !bytes.Contains(svg, []byte("Ratings over time: shed")) {
			t.Errorf("%d beads: words are missing", n)
		}
		if pdf, err := c.draw("pdf"); err != nil || !bytes.HasPrefix(pdf, []byte("%PDF-1.")) {
			t.Errorf("%d beads: no PDF: %v", n, err)
		}
		b, err := c.draw("png")
		if err != nil {
			t.Fatal(err)
		}
		img, err := png.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		seen := coloursOf(img)
		want := map[string]color.Color{}
		for _, b := range c.Beads {
			g := historyGrades[b.grade()]
			want[g.words] = g.color
		}
		if n > 1 {
			want["mean"], want["a change"], want["a spool"] = ownInk, stateInk, spoolInk
		}
		for name, ink := range want {
			if seen[color.RGBAModel.Convert(ink).(color.RGBA)] < 10 {
				t.Errorf("%d beads: there is no %q in it", n, name)
			}
		}
	}
}

// TestHistoryIsDivided: a change stands before the first bead made after it, and
// one with no bead yet behind the last.
func TestHistoryIsDivided(t *testing.T) {
	c := lived(12)
	if got := fmt.Sprint(c.States[0].Before, c.States[1].Before, c.States[2].Before); got != "1 7 13" {
		t.Errorf("states begin before %s", got)
	}
	if got := fmt.Sprint(c.Spools); got != "[{1 old} {7 new}]" {
		t.Errorf("spools %s", got)
	}
	begins := ""
	for _, m := range c.Line {
		if m.begins {
			begins += fmt.Sprint(m.N, " ")
		}
	}
	if begins != "1 7 " {
		t.Errorf("means begin anew at %s", begins)
	}
	if !strings.Contains(strings.Join(c.Notes, "\n"), "State 3, since 2026-03-01, no bead in it yet") {
		t.Errorf("notes: %v", c.Notes)
	}
}

// TestMarksOnTheAxis leaves room between the labels, and none is lost of few.
func TestMarksOnTheAxis(t *testing.T) {
	for _, n := range []int{1, 6, 12, 400} {
		last, labels := -1000, 0
		for i, tick := range lived(n).marks(0, 0) {
			if tick.Label == "" {
				continue
			}
			if labels++; i-last < n/6 {
				t.Errorf("%d beads: labels at %d and %d", n, last, i)
			}
			last = i
		}
		if labels == 0 || labels > 7 {
			t.Errorf("%d beads: %d labels", n, labels)
		}
	}
}
