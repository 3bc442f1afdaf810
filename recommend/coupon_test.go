package recommend

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/source"
)

// fatal is what a test and a property have in common.
type fatal interface {
	Helper()
	Fatalf(format string, args ...any)
}

func couponRequest(t fatal, words string, m procedures.Machine) Request {
	t.Helper()
	r, err := procedures.ReadJob(words, procedures.US, Lexicon())
	if err == nil {
		err = r.Complete()
	}
	if err != nil {
		t.Fatalf("%q: %v", words, err)
	}
	if r.Job.Class == "" {
		r.Job.Wire, r.Job.Process = ExampleWire(), procedures.FCAWS
	}
	return Request{Job: r.Job, Machine: m, Words: words, Units: procedures.US}
}

// measured is a machine whose knob was run out: 34 in/min a mark.
func measured() procedures.Machine {
	m := ExampleMachine(procedures.FCAWS)
	m.Example, m.Name, m.Knob = false, "shed", procedures.Knob{Min: 1, Max: 10, Step: 0.5}
	m.State = procedures.State{ID: "s1", Number: 1, Kind: procedures.Original}
	for _, tap := range m.TapNames() {
		for i, mark := range []float64{1, 3, 5, 7, 9} {
			m.RunOuts = append(m.RunOuts, procedures.RunOut{Number: i + 1, State: "s1", Tap: tap, Mark: mark, Length: procedures.Inches((20 + 34*mark) / 6), Seconds: 10})
		}
	}
	return m
}

// TestLadder holds the whole ladder to what it is meant to be: one factor a rung.
func TestLadder(t *testing.T) {
	p, err := Coupons(couponRequest(t, "1/8 mild tee flat", measured()), nil, CouponOptions{})
	if err != nil {
		t.Fatal(err)
	}
	own := p.Suggestion.Settings
	rungs := ""
	for _, b := range p.Beads {
		rungs += b.Rung
		set := b.Settings
		moved := 0
		if set.WireSpeed != own.WireSpeed {
			moved++
			if b.Rung != "B" || *set.Knob == *own.Knob || (set.WireSpeed > own.WireSpeed) != (set.Current > own.Current) {
				t.Errorf("bead %d: %+v", b.Number, set)
			}
		}
		if set.Travel != own.Travel {
			moved++
			if b.Rung != "C" {
				t.Errorf("bead %d moves the pace", b.Number)
			}
		}
		if set.Extension != own.Extension {
			moved++
			if b.Rung != "D" {
				t.Errorf("bead %d moves the stick-out", b.Number)
			}
		}
		if set.Tap != own.Tap || set.Polarity != own.Polarity || moved > 1 || moved == 1 != (b.Moved != "") || moved == 1 != (b.Percent != 0) {
			t.Errorf("bead %d moves %d things and says %q by %v", b.Number, moved, b.Moved, b.Percent)
		}
	}
	if rungs != "ABBBCCCDDDEE" {
		t.Errorf("rungs: %s", rungs)
	}
	if k := []float64{*p.Beads[1].Settings.Knob, *p.Beads[2].Settings.Knob, *p.Beads[3].Settings.Knob}; k[0] >= k[1] || k[1] >= k[2] || k[1] != *own.Knob {
		t.Errorf("marks of rung B: %v, suggested %v", k, *own.Knob)
	}
	// 11 joints of a base and an upright, two of them 6 in long, and a strip.
	want := []CouponPiece{{"strip", 1, procedures.Inches(0.125), procedures.Inches(2), procedures.Inches(4), nil}, {"base", 9, procedures.Inches(0.125), procedures.Inches(2), procedures.Inches(4), nil},
		{"upright", 9, procedures.Inches(0.125), procedures.Inches(1.5), procedures.Inches(4), nil}, {"base", 2, procedures.Inches(0.125), procedures.Inches(2), procedures.Inches(6), nil}, {"upright", 2, procedures.Inches(0.125), procedures.Inches(1.5), procedures.Inches(6), nil}}
	for i, piece := range p.Pieces {
		piece.Source = nil
		if i >= len(want) || fmt.Sprint(piece) != fmt.Sprint(want[i]) {
			t.Errorf("piece %d: %+v", i, piece)
		}
	}
}

// TestCollegeLadder: 12 beads of 4 in at 10 in/min are 4.8 min of arc, and at 20 %
// duty no less than 24 min on the clock once the last is paid for. Own arithmetic:
// 12*4/10 = 4.8; 4.8/0.2 = 24. The duty clock lets no bead begin before the oldest
// has left the 10 min whole, so bead 6 waits for 624 s and not for 600.
func TestCollegeLadder(t *testing.T) {
	beads := make([]CouponBead, 12)
	total := procedures.Seconds(0)
	for i := range beads {
		beads[i] = CouponBead{Length: procedures.Inches(4), Settings: procedures.Settings{Travel: procedures.TravelInchesPerMin(10)}}
	}
	if err := onClock(beads, 120); err != nil {
		t.Fatal(err)
	}
	for _, b := range beads {
		total += b.Arc
	}
	last := beads[11]
	if total != 288 || beads[4].Start != 480 || beads[5].Start != 624 || last.Start+24+96 < 24*60 || last.Start > 24*60 {
		t.Errorf("%v s of arc, bead 5 at %v s, 6 at %v s, the last at %v s", total, beads[4].Start, beads[5].Start, last.Start)
	}
}

// TestCouponTotals: whatever is asked, rows add up to the totals, no 10 min hold
// more arc than is allowed, and the pieces are those of the beads.
func TestCouponTotals(t *testing.T) {
	sizes := []string{"20ga plain", "16ga plain", "1/8", "3/16", "1/4", "16ga plain to 1/8"}
	rapid.Check(t, func(t *rapid.T) {
		m := measured()
		m.Duty = procedures.Percent(rapid.SampledFrom([]float64{0, 5, 10, 20, 35, 100}).Draw(t, "duty"))
		if rapid.Bool().Draw(t, "cut out") {
			m.CutOuts = append(m.CutOuts, procedures.CutOut{Number: 1, State: "s1", Used: procedures.Seconds(rapid.Float64Range(20, 200).Draw(t, "stood")), Current: 90})
		}
		words := rapid.SampledFrom(sizes).Draw(t, "size") + " mild " + rapid.SampledFrom([]string{"tee", "lap", "butt", "corner"}).Draw(t, "joint") + " " +
			rapid.SampledFrom([]string{"flat", "vertical up", "overhead"}).Draw(t, "position")
		r := couponRequest(t, words, m)
		r.Units = rapid.SampledFrom([]procedures.Units{procedures.US, procedures.Metric}).Draw(t, "units")
		var scrap []Scrap
		for range rapid.IntRange(0, 4).Draw(t, "lines of scrap") {
			scrap = append(scrap, drawScrap(t))
		}
		asked := rapid.IntRange(1, 12).Draw(t, "beads")
		board := rapid.Bool().Draw(t, "board")
		var p CouponPlan
		var err error
		if board {
			var b Board
			b, err = BadBoard(r, nil, scrap)
			p = b.CouponPlan
		} else {
			p, err = Coupons(r, nil, CouponOptions{scrap, asked})
		}
		var bad *procedures.InvalidError
		if errors.As(err, &bad) && bad.Field == "current" {
			return // less than a second is left
		}
		if err != nil {
			t.Fatalf("%q: %v", words, err)
		}
		if !p.Suggestion.Given() {
			if len(p.Beads)+len(p.Pieces)+len(p.Rungs) > 0 {
				t.Fatalf("%q: %s, and yet a plan", words, p.Suggestion.Verdict)
			}
			return
		}
		if n := len(p.Beads); n == 0 || !board && n > asked {
			t.Fatalf("%q: %d beads, %d were asked for", words, n, asked)
		}
		checkTotals(t, p, r)
	})
}

func checkTotals(t *rapid.T, p CouponPlan, r Request) {
	var arcs procedures.Seconds
	var rest, wire, fed float64
	var all []source.Spell
	mass, err := arc.WireMass(p.Suggestion.Job.Wire)
	if err != nil {
		t.Fatal(err)
	}
	end := 0.0
	for i, b := range p.Beads {
		arcs, rest, wire, fed = arcs+b.Arc, rest+b.Rest, wire+float64(b.Wire), fed+float64(b.Fed)
		passes := max(1, int(b.Settings.Passes))
		if want := float64(b.Length) / float64(b.Settings.Travel) * 60; math.Abs(want-float64(b.Arc)/float64(passes)) > 1 {
			t.Fatalf("bead %d: %v s, at its pace %v s each of %d passes", i+1, b.Arc, want, passes)
		}
		if want := float64(b.Settings.WireSpeed) / 60 * float64(b.Arc) * mass.Value; math.Abs(want-float64(b.Wire)) > 1e-6 {
			t.Fatalf("bead %d: %v g, by its wire speed %v g", i+1, b.Wire, want)
		}
		if i == 0 && passes == 1 && b.Rest != 0 || b.Start < end || b.Number != i+1 || b.Rest != math.Trunc(b.Rest) {
			t.Fatalf("bead %d: %+v", i+1, b)
		}
		for _, s := range b.passes {
			all = append(all, s)
			end = float64(s.To)
		}
	}
	if arcs != p.Arc || rest != p.Rest || math.Abs(wire-float64(p.Wire)) > 1e-9 || math.Abs(fed-float64(p.Fed)) > 1e-6 || float64(p.Clock) != float64(p.Arc)+p.Rest || end != float64(p.Clock) {
		t.Fatalf("totals: %v s %v s %v g %v mm against %v, clock %v, last arc ends at %v", arcs, rest, wire, fed, p, p.Clock, end)
	}
	duty := procedures.Percent(100 * p.Allowed / source.Period)
	for i, s := range all {
		b, err := source.Rolling(all[:i+1], s.To, duty, 0.1)
		if err != nil {
			t.Fatal(err)
		}
		if b.Used > p.Allowed+1e-6 {
			t.Fatalf("%v s of arc in the 10 min to %v s, %v s are allowed", b.Used, s.To, p.Allowed)
		}
		if i > 0 && float64(s.From-all[i-1].To) < float64(all[i-1].To-all[i-1].From)*float64(source.Period/p.Allowed-1)-1e-6 {
			t.Fatalf("pass %d begins before the one before is paid for", i+1)
		}
	}
	// Two pieces a joint, one a strip.
	wanted, cutOut, missing := 0, 0, 0
	for _, piece := range p.Pieces {
		wanted += piece.Count
	}
	joints := 0
	for _, b := range p.Beads {
		joints += 2
		if b.Rung == "A" || r.Job.Weld == procedures.BeadOnPlate {
			joints--
		}
	}
	for _, c := range p.Cuts {
		for _, piece := range c.Pieces {
			cutOut += piece.Count
		}
	}
	for _, piece := range p.Missing {
		missing += piece.Count
	}
	if wanted != joints || len(p.Cuts) > 0 && cutOut+missing != wanted {
		t.Fatalf("%d pieces for %d, %d cut and %d missing", wanted, joints, cutOut, missing)
	}
}

func drawScrap(t *rapid.T) Scrap {
	size := func(name string) procedures.MM { return procedures.MM(rapid.Float64Range(20, 400).Draw(t, name)) }
	return Scrap{Count: rapid.IntRange(1, 8).Draw(t, "count"), Width: size("width"), Length: size("length"),
		Thickness: procedures.Inches(rapid.SampledFrom([]float64{0.0598, 0.1196, 0.125, 0.1875, 0.25}).Draw(t, "thickness"))}
}

// TestCutArea: what is cut out of a sheet, kerfs and all, is never more than it holds.
func TestCutArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pieces []CouponPiece
		for range rapid.IntRange(1, 4).Draw(t, "sizes") {
			s := drawScrap(t)
			pieces = append(pieces, CouponPiece{Count: s.Count, Thickness: procedures.Inches(0.125), Width: s.Width / 3, Length: s.Length / 2})
		}
		s := drawScrap(t)
		s.Thickness = procedures.Inches(0.125)
		cuts, missing := cut(pieces, []Scrap{s})
		area, n, all := procedures.MM(0), 0, 0
		for _, p := range cuts[0].Pieces {
			area, n = area+procedures.MM(p.Count)*p.Width*p.Length, n+p.Count
		}
		for _, p := range pieces {
			all += p.Count
		}
		for _, p := range missing {
			all -= p.Count
		}
		if area > procedures.MM(s.Count)*s.Width*s.Length*1.001 || n != all || cuts[0].Used > s.Count || (n > 0) != (cuts[0].Used > 0) {
			t.Fatalf("%v mm2 out of %+v, %d pieces of %d", area, s, n, all)
		}
	})
}

// TestSplit: what is left of a rectangle lies beside the piece, a kerf away, and
// not over the other rest.
func TestSplit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := func(name string, top procedures.MM) procedures.MM {
			return procedures.MM(rapid.Float64Range(1, float64(top)).Draw(t, name))
		}
		f := rect{width: side("width", 500), length: side("length", 500)}
		w, l := side("w", f.width), side("l", f.length)
		left := f.split(w, l)
		total := w * l
		for _, r := range left {
			total += r.width * r.length
			beside := r.width <= f.width-w-Kerf+1e-9 && r.length <= f.length+1e-9
			above := r.length <= f.length-l-Kerf+1e-9 && r.width <= f.width+1e-9
			if !beside && !above {
				t.Fatalf("%+v out of %+v leaves %+v", [2]procedures.MM{w, l}, f, left)
			}
		}
		if len(left) > 2 || total > f.width*f.length+1e-6 {
			t.Fatalf("%+v out of %+v leaves %+v", [2]procedures.MM{w, l}, f, left)
		}
	})
}

// TestScrap holds fits to what a saw does. Own arithmetic: 2 x 4 in out of 12 x 24 with a kerf of 1/8 in
// is 5 across (5*2 + 4/8 = 10.5) by 5 along (5*4 + 4/8 = 20.5); what is left beside and
// above holds no more than the rest says.
func TestScrap(t *testing.T) {
	in := procedures.Inches
	piece := func(n int, w, l float64) CouponPiece {
		return CouponPiece{Name: "strip", Count: n, Thickness: in(0.125), Width: in(w), Length: in(l)}
	}
	for _, c := range []struct {
		name  string
		scrap Scrap
		piece CouponPiece
		fits  int
	}{
		{"as it is", Scrap{Count: 6, Width: in(2), Length: in(4), Thickness: in(0.125)}, piece(8, 2, 4), 6},
		{"lying across", Scrap{Count: 1, Width: in(4), Length: in(2), Thickness: in(0.125)}, piece(2, 2, 4), 1},
		{"the kerf counts: 8 in is not twice 4", Scrap{Count: 1, Width: in(2), Length: in(8), Thickness: in(0.125)}, piece(2, 2, 4), 1},
		{"and 8-1/8 is", Scrap{Count: 1, Width: in(2), Length: in(8.125), Thickness: in(0.125)}, piece(3, 2, 4), 2},
		{"another thickness", Scrap{Count: 6, Width: in(2), Length: in(4), Thickness: in(0.1875)}, piece(2, 2, 4), 0},
		{"11 gauge for 1/8", Scrap{Count: 6, Width: in(2), Length: in(4), Thickness: in(0.1196)}, piece(2, 2, 4), 2},
	} {
		cuts, missing := cut([]CouponPiece{c.piece}, []Scrap{c.scrap})
		got := 0
		for _, p := range cuts[0].Pieces {
			got += p.Count
		}
		left := 0
		for _, p := range missing {
			left += p.Count
		}
		if got != c.fits || got+left != c.piece.Count {
			t.Errorf("%s: %d fit and %d are missing, want %d", c.name, got, left, c.fits)
		}
	}
	sheet := []Scrap{{Count: 1, Width: in(12), Length: in(24), Thickness: in(0.125)}}
	if cuts, _ := cut([]CouponPiece{piece(99, 2, 4)}, sheet); cuts[0].Pieces[0].Count < 25 {
		t.Errorf("a sheet of 12 x 24 gives %d strips of 2 x 4, want 25 at the least", cuts[0].Pieces[0].Count)
	}
	// Less scrap, a shorter ladder; none for the job, and it says what is missing.
	r := couponRequest(t, "1/8 mild tee flat", measured())
	few, err := Coupons(r, nil, CouponOptions{Scrap: []Scrap{{Count: 10, Width: in(2), Length: in(4), Thickness: in(0.125)}}})
	if err != nil || len(few.Beads) != 5 || len(few.Missing) != 0 || len(few.Short) == 0 {
		t.Errorf("ten strips: %d beads, missing %v, short %v, %v", len(few.Beads), few.Missing, few.Short, err)
	}
	for _, b := range few.Beads {
		if b.Length != in(4) {
			t.Errorf("a bead of %v mm on a strip of 4 in", b.Length)
		}
	}
	none, err := Coupons(r, nil, CouponOptions{Beads: 5, Scrap: []Scrap{{Count: 10, Width: in(2), Length: in(4), Thickness: in(0.25)}}})
	if err != nil || len(none.Missing) == 0 || len(none.Beads) != 5 || !none.Cuts[0].Unlike {
		t.Errorf("scrap of another thickness: %d beads, missing %v, %v", len(none.Beads), none.Missing, err)
	}
}

func TestNoCoupons(t *testing.T) {
	m := measured()
	hitch := couponRequest(t, "1/4 mild tee flat for a trailer hitch", m)
	p, err := Coupons(hitch, nil, CouponOptions{})
	b, err2 := BadBoard(hitch, nil, nil)
	s, next, err3 := NextCoupons(hitch, nil, nil)
	if err != nil || err2 != nil || err3 != nil || p.Suggestion.Verdict != Refused || b.Suggestion.Verdict != Refused || s.Verdict != Refused || len(p.Beads)+len(b.Beads)+len(next) > 0 {
		t.Errorf("a hitch: %v %v %v", p, b, next)
	}
	for words, field := range map[string]string{"1/8 mild tee flat 1/8 E6013": "wire", "1/8 mild lap plug weld": "weld"} {
		r := couponRequest(t, words, m)
		r.Machine.Processes, r.Machine.Output = procedures.Processes(), procedures.DC
		var bad *procedures.InvalidError
		if _, err := Coupons(r, nil, CouponOptions{}); !errors.As(err, &bad) || bad.Field != field || len(bad.Hints) == 0 {
			t.Errorf("%q: %v", words, err)
		}
	}
	var bad *procedures.InvalidError
	if _, err := Coupons(couponRequest(t, "1/8 mild tee flat", m), nil, CouponOptions{Beads: 13}); !errors.As(err, &bad) || bad.Field != "beads" {
		t.Errorf("13 beads: %v", err)
	}
}

// TestShorterLadders: fewer beads keep the two to break, and never lose a neighbor
// of the knob before they lose the whole rung.
func TestShorterLadders(t *testing.T) {
	r := couponRequest(t, "1/8 mild tee flat", measured())
	for n, want := range map[int]string{12: "ABBBCCCDDDEE", 11: "ABBBCCDDEE", 10: "ABBBCCDDEE", 9: "ABBBCCEE", 7: "ABBBEE", 5: "BBBEE", 4: "AEE", 3: "AEE", 2: "EE", 1: "E"} {
		p, err := Coupons(r, nil, CouponOptions{Beads: n})
		got := ""
		for _, b := range p.Beads {
			got += b.Rung
		}
		if err != nil || got != want {
			t.Errorf("%d beads: %s, want %s (%v)", n, got, want, err)
		}
	}
}

// TestThreeSteps: within reach, apart, and with the value itself among them.
func TestThreeSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(0.1, 10).Draw(t, "low")
		high := low * rapid.Float64Range(1, 20).Draw(t, "times")
		v := rapid.Float64Range(low, high).Draw(t, "v")
		all := threeSteps(v, rapid.Float64Range(leastStep, 0.3).Draw(t, "step"), low, high)
		if !slices.Contains(all, v) || len(all) > 3 || all[0] < low || all[len(all)-1] > high {
			t.Fatalf("%v of %v to %v: %v", v, low, high, all)
		}
		for i := range len(all) - 1 {
			if all[i+1] < all[i]*1.02 {
				t.Fatalf("%v: two beads look alike", all)
			}
		}
	})
}
