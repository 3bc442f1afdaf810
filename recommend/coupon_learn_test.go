package recommend

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"beadwright/procedures"
)

// boardLog logs the beads of a board: the faults that are rated as a bead of theirs
// comes out, the others as they are to be logged, without a rating.
func boardLog(b Board, m procedures.Machine, at time.Time) (rated, unrated History) {
	for i, f := range b.Faults {
		w := procedures.Weld{ID: fmt.Sprint("board ", i), Mark: fmt.Sprint("K", i+1), At: at, Job: b.Suggestion.Job, Settings: f.Settings,
			Outcome: procedures.Outcome{Symptoms: f.Symptoms}}
		w.Job.Machine, w.Job.State = machineKey(m)
		if !f.Rate {
			unrated = append(unrated, w)
			continue
		}
		if w.Outcome.Rating = 2; i == 0 {
			w.Outcome.Rating = 4
		}
		rated = append(rated, w)
	}
	return rated, unrated
}

// TestBoardTeaches: what is rated of a board leaves the suggestion where the good
// bead was and narrows its range; what is not rated changes nothing at all.
func TestBoardTeaches(t *testing.T) {
	for _, words := range []string{"1/8 mild tee flat", "16ga plain mild lap flat", "3/16 mild tee vertical up", "20ga plain mild butt flat"} {
		m := measured()
		r := couponRequest(t, words, m)
		r.Now = time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
		b, err := BadBoard(r, nil, nil)
		if err != nil || len(b.Faults) != 7 {
			t.Fatalf("%q: %d beads, %v", words, len(b.Faults), err)
		}
		before := b.Suggestion
		for _, days := range []int{0, -3} { // welded today, and some days ago
			rated, unrated := boardLog(b, m, r.Now.AddDate(0, 0, days))
			if len(rated) < 3 || len(rated)+len(unrated) != 7 {
				t.Fatalf("%q: %d rated, %d not", words, len(rated), len(unrated))
			}
			after, err := Suggest(r, rated)
			if err != nil {
				t.Fatal(err)
			}
			off := math.Abs(float64(after.Settings.WireSpeed/before.Settings.WireSpeed) - 1)
			width := func(s Suggestion) float64 {
				return math.Log(float64(s.Range.WireSpeed[1] / s.Range.WireSpeed[0]))
			}
			t.Logf("%q, %d days: %.1f %% off, range %.0f to %.0f %%", words, days, 100*off, 100*width(before), 100*width(after))
			if off > 0.06 || after.Settings.Tap != before.Settings.Tap || width(after) > 0.8*width(before) {
				t.Errorf("%q, %d days: %s %v against %s %v, range %.2f against %.2f", words, days, after.Settings.Tap, after.Settings.WireSpeed, before.Settings.Tap, before.Settings.WireSpeed, width(after), width(before))
			}
			for _, c := range after.Cautions {
				if c.Key == "connections" {
					t.Errorf("%q: the board counts as a row of failures", words)
				}
			}
			silent, err := Suggest(r, unrated)
			if d := cmp.Diff(before, silent); err != nil || d != "" {
				t.Errorf("%q: unrated beads move the suggestion: %v\n%s", words, err, d)
			}
		}
	}
}

// TestBoardColdBead: a bead set 30 % low and rated 2 as cold says that the right
// wire speed is higher, so that it is no more than a little above where it was.
func TestBoardColdBead(t *testing.T) {
	m := measured()
	r := couponRequest(t, "1/8 mild tee flat", m)
	b, err := BadBoard(r, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	rated, _ := boardLog(b, m, time.Date(2026, 5, 1, 12, 0, 0, 0, time.UTC))
	after, err := Suggest(r, rated[1:2])
	if shift := float64(after.Settings.WireSpeed/b.Suggestion.Settings.WireSpeed) - 1; err != nil || shift < -0.02 || shift > 0.08 {
		t.Errorf("the cold bead alone moves the suggestion by %+.1f %% (%v)", 100*shift, err)
	}
	if rated[1].Settings.WireSpeed > b.Suggestion.Settings.WireSpeed*0.75 || !b.Faults[1].Rate {
		t.Errorf("the cold bead: %+v", b.Faults[1])
	}
}

// TestBoardFaults: six faults, each of one setting and of a kind of its own.
func TestBoardFaults(t *testing.T) {
	one := measured()
	one.Taps = one.Taps[1:]
	for _, m := range []procedures.Machine{measured(), one, ExampleMachine(procedures.FCAWS)} {
		for _, words := range []string{"1/8 mild tee flat", "20ga plain mild lap flat", "1/4 mild tee flat"} {
			b, err := BadBoard(couponRequest(t, words, m), nil, nil)
			if err != nil {
				t.Fatalf("%q: %v", words, err)
			}
			if !b.Suggestion.Given() {
				continue
			}
			seen := map[string]bool{}
			for i, f := range b.Faults {
				set, own := f.Settings, b.Suggestion.Settings
				moves := []bool{set.WireSpeed != own.WireSpeed, set.Tap != own.Tap, set.Extension != own.Extension, set.Travel != own.Travel, f.Moved == "technique" || f.Moved == "coating"}
				n := 0
				for _, is := range moves {
					if is {
						n++
					}
				}
				if seen[f.Name] || f.Look == "" || n != min(i, 1) || (f.Moved != "") != (i > 0) || f.Rate != (i == 0 || moves[0] || moves[1]) {
					t.Errorf("%q on %s, %s: moves %d things, %+v", words, m.Name, f.Name, n, f)
				}
				for _, key := range f.Symptoms {
					if _, ok := procedures.FindSymptom(key); !ok {
						t.Errorf("%s: no symptom is called %s", f.Name, key)
					}
				}
				seen[f.Name] = true
			}
			if len(b.Faults) != 7 {
				t.Errorf("%q on %s: %d beads", words, m.Name, len(b.Faults))
			}
		}
	}
}

// TestNextCouponNarrows: the coupon named first narrows the range of a simulated
// job, once it is welded and rated, more than one of the others drawn by lot. The
// world here is simple: each joint, thickness and position has its own best wire
// speed, off the table's by an effect of each; the numbers are made up.
func TestNextCouponNarrows(t *testing.T) {
	const trials, least = 200, 160
	m := measured()
	better, drawn := 0, 0
	for trial := range uint64(trials) {
		w := simulated{rand.New(rand.NewPCG(trial, 6)), map[any]float64{}}
		h := w.log(t, m, 12)
		r := couponRequest(t, pickWord(w.r, "1/8", "3/16", "16ga plain", "14ga plain")+" mild "+pickWord(w.r, "tee", "lap", "butt")+" flat", m)
		s, choices, err := NextCoupons(r, h, nil)
		if err != nil {
			t.Fatal(err)
		}
		others := slices.DeleteFunc(slices.Clone(choices), func(c CouponChoice) bool { return c.Same })
		if !s.Given() || len(others) < 2 {
			continue
		}
		drawn++
		other := others[1+w.r.IntN(len(others)-1)]
		width := func(c CouponChoice, seed uint64) float64 {
			again := simulated{rand.New(rand.NewPCG(trial, seed)), w.off}
			past := recall(r, append(slices.Clone(h), again.weld(len(h), c.Job, c.Settings, m)))
			ask, ok := past.query(r, s)
			if past.err != nil || !ok {
				t.Fatal(past.err)
			}
			e, err := past.model.Suggest(ask)
			if err != nil {
				t.Fatal(err)
			}
			return e.SD * e.Widen
		}
		if width(others[0], 7) < width(other, 7) {
			better++
		}
	}
	t.Logf("better in %d of %d trials", better, drawn)
	if drawn != trials || better < least {
		t.Errorf("better in %d of %d trials, want %d of %d", better, drawn, least, trials)
	}
}

// simulated is a welder whose best wire speeds are known here alone.
type simulated struct {
	r   *rand.Rand
	off map[any]float64 // of the table, ln units, by joint and thickness
}

func pickWord(r *rand.Rand, from ...string) string { return from[r.IntN(len(from))] }

func (w simulated) log(t fatal, m procedures.Machine, n int) (h History) {
	for _, key := range []any{procedures.Tee, procedures.Lap, procedures.Butt, procedures.Corner, "machine"} {
		w.off[key] = 0.08 * w.r.NormFloat64()
	}
	for range n {
		r := couponRequest(t, pickWord(w.r, "1/8", "3/16", "16ga plain", "14ga plain", "18ga plain")+" mild "+pickWord(w.r, "tee", "lap", "butt", "corner")+" flat", m)
		s, err := Suggest(r, nil)
		if err != nil || !s.Given() {
			t.Fatalf("%v %s", err, s.Verdict)
		}
		h = append(h, w.weld(len(h), s.Job, s.Settings, m))
	}
	return h
}

// weld makes a bead: the nearer to the best wire speed, the better it is rated.
func (w simulated) weld(n int, j procedures.Job, set procedures.Settings, m procedures.Machine) procedures.Weld {
	set.WireSpeed *= procedures.MPerMin(math.Exp(0.08 * w.r.NormFloat64()))
	best := math.Log(float64(TableSpeed(j))) + w.off[j.Joint] + w.off["machine"] + 0.05*math.Log(float64(j.Thinner())/2.5)
	miss := math.Log(float64(set.WireSpeed)) - best + 0.04*w.r.NormFloat64()
	out := procedures.Outcome{Rating: procedures.Count(max(1, 5-int(math.Abs(miss)/0.07)))}
	if out.Rating < 4 {
		if out.Symptoms = []string{"stubbing"}; miss < 0 {
			out.Symptoms = []string{"cold-bead"}
		}
	}
	j.Machine, j.State = machineKey(m)
	return procedures.Weld{ID: fmt.Sprint("w", n), At: time.Date(2026, 1, 1+n, 12, 0, 0, 0, time.UTC), Job: j, Settings: set, Outcome: out}
}

// TestNextCoupon: the job itself tells most where there is steel for it; where
// there is none, what is most like it does; and ranges are those of the model.
func TestNextCoupon(t *testing.T) {
	m := measured()
	r := couponRequest(t, "1/8 mild tee flat", m)
	_, all, err := NextCoupons(r, nil, nil)
	if err != nil || len(all) < 10 || !all[0].Same {
		t.Fatalf("%d choices, %v", len(all), err)
	}
	for i, c := range all {
		if !(c.After < c.Before && c.Share > 0 && c.Share < 1 && c.Arc > 0 && c.Wire > 0 && len(c.Pieces) > 0 && c.Settings.WireSpeed > 0) || c.Same != (i == 0) || i > 0 && c.Share > all[i-1].Share {
			t.Errorf("choice %d: %+v", i, c)
		}
	}
	in := procedures.Inches
	scrap := []Scrap{{Count: 4, Width: in(2), Length: in(4), Thickness: in(0.1875)}, {Count: 4, Width: in(2), Length: in(4), Thickness: in(0.0598)}, {Count: 4, Width: in(1), Length: in(1), Thickness: in(0.125)}}
	_, some, err := NextCoupons(r, nil, scrap)
	if err != nil || len(some) == 0 || some[0].Same || some[0].Job.Joint != procedures.Tee || math.Abs(some[0].Job.Thickness.Inches()-0.1875) > 1e-9 {
		t.Errorf("without 1/8 in to cut: %+v, %v", some, err)
	}
}
