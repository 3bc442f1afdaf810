package recommend_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"beadwright/procedures"
	"beadwright/recommend"
)

var (
	stateAC = procedures.State{ID: "s1", Number: 1, What: "as first written down", Kind: procedures.Original}
	stateDC = procedures.State{ID: "s2", Number: 2, What: "rectifier and capacitors fitted", Kind: procedures.Output}
)

// bench makes welds of one job, a day apart, each of the state named.
type bench struct {
	welds []procedures.Weld
	at    time.Time
}

func (b *bench) weld(state procedures.State, ipm float64, rating int, change ...func(*procedures.Weld)) {
	if b.at.IsZero() {
		b.at = time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	}
	b.at = b.at.AddDate(0, 0, 1)
	w := procedures.Weld{Mark: fmt.Sprintf("A%d", len(b.welds)+1), At: b.at,
		Job: procedures.Job{Steel: "mild", SteelGroup: "I", Thickness: 3.175, Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat,
			Wire: procedures.Wire{Class: "E71T-11", Diameter: 0.889}, Process: procedures.FCAWS, Machine: "shed", State: state.ID},
		Settings: procedures.Settings{Tap: "low", WireSpeed: procedures.InchesPerMin(ipm), How: map[string]procedures.How{"wire_speed_m_min": procedures.Measured}},
		Outcome:  procedures.Outcome{Rating: procedures.Count(rating)}}
	for _, c := range change {
		c(&w)
	}
	b.welds = append(b.welds, w)
}

func spatter(w *procedures.Weld) { w.Outcome.Symptoms = append(w.Outcome.Symptoms, "spatter") }

func broke(passed bool) func(*procedures.Weld) {
	return func(w *procedures.Weld) {
		w.Outcome.Tests = append(w.Outcome.Tests, procedures.Test{Kind: "break", Passed: passed})
	}
}

func shed() procedures.Machine {
	return procedures.Machine{Name: "shed", State: stateDC, Knob: procedures.Knob{Min: 1, Max: 10}}
}

func compare(b bench, o recommend.CompareOptions) recommend.Comparison {
	return recommend.Compare(shed(), b.welds, stateAC, stateDC, o)
}

func TestCompareBetter(t *testing.T) {
	var b bench
	for _, r := range []int{2, 3, 2, 3, 2, 3} {
		b.weld(stateAC, 100, r, spatter)
		b.weld(stateDC, 103, r+2)
	}
	c := compare(b, recommend.CompareOptions{})
	if c.Verdict != recommend.Better || c.By != "ratings" || c.More != 0 || len(c.Coupons) != 0 {
		t.Fatalf("verdict %q by %q, %d more, %v", c.Verdict, c.By, c.More, c.Coupons)
	}
	if len(c.Lots) != 1 || len(c.Lots[0].Before) != 6 || len(c.Lots[0].After) != 6 || *c.Rating.Difference != 2 {
		t.Errorf("lots %+v, difference %v", c.Lots, c.Rating.Difference)
	}
	if c.Spatter.Before.Count != 6 || c.Spatter.After.Count != 0 || c.Spatter.Range95[1] >= 0 {
		t.Errorf("spatter %+v", c.Spatter)
	}
	back := recommend.Compare(shed(), b.welds, stateDC, stateAC, recommend.CompareOptions{})
	if back.Verdict != recommend.Worse {
		t.Errorf("the other way round: %q", back.Verdict)
	}
}

// Three pairs that differ alike are no proof: dealing six ratings out anew gives
// as clear a picture 2 times in 20.
func TestCompareTooFew(t *testing.T) {
	var b bench
	for range 3 {
		b.weld(stateAC, 100, 2)
		b.weld(stateDC, 100, 4)
	}
	c := compare(b, recommend.CompareOptions{})
	if c.Verdict != recommend.TooFew || c.By != "" || c.Rating.Range95[0] <= 0 || *c.Rating.Chance != 0.1 {
		t.Fatalf("%q by %q: %v, chance %v", c.Verdict, c.By, c.Rating.Range95, *c.Rating.Chance)
	}
	want := []recommend.PairedCoupons{{Joint: procedures.Tee, Weld: procedures.Fillet, Position: procedures.Flat, Wire: procedures.Wire{Class: "E71T-11", Diameter: 0.889},
		Tap: "low", Thickness: 3.175, WireSpeed: procedures.InchesPerMin(100), Before: 3, After: 3}}
	if c.More != 3 {
		t.Errorf("%d more pairs, want 3", c.More)
	}
	if d := cmp.Diff(want, c.Coupons); d != "" {
		t.Error(d)
	}
}

func TestCompareNoDifference(t *testing.T) {
	var b bench
	for i := range 12 {
		b.weld(stateAC, 100, 3+i%2)
		b.weld(stateDC, 100, 4-i%2)
	}
	if c := compare(b, recommend.CompareOptions{}); c.Verdict != recommend.NoDifference || c.Rating.Range95[0] <= -1 || c.Rating.Range95[1] >= 1 {
		t.Errorf("%q, %v", c.Verdict, c.Rating.Range95)
	}
}

// A break test is worth more than looks, and is never drowned by them.
func TestCompareTests(t *testing.T) {
	var b bench
	for range 6 {
		b.weld(stateAC, 100, 3, broke(true))
		b.weld(stateDC, 100, 3, broke(false))
	}
	if c := compare(b, recommend.CompareOptions{}); c.Verdict != recommend.Worse || c.By != "tests" {
		t.Errorf("%q by %q", c.Verdict, c.By)
	}
	b = bench{}
	for range 6 {
		b.weld(stateAC, 100, 2, broke(true))
		b.weld(stateDC, 100, 5, broke(false))
	}
	if c := compare(b, recommend.CompareOptions{}); c.Verdict != recommend.Disagree {
		t.Errorf("%q", c.Verdict)
	}
}

// Nothing but the state may differ within a lot, and a third state is nobody's business.
func TestComparePartsWhatIsNotAlike(t *testing.T) {
	base := func() bench {
		var b bench
		b.weld(stateAC, 100, 3)
		return b
	}
	for name, change := range map[string]func(*procedures.Weld){
		"joint":          func(w *procedures.Weld) { w.Job.Joint = procedures.Lap },
		"weld":           func(w *procedures.Weld) { w.Job.Weld = procedures.Plug },
		"position":       func(w *procedures.Weld) { w.Job.Position = procedures.VerticalUp },
		"class":          func(w *procedures.Weld) { w.Job.Class = "E71T-GS" },
		"size":           func(w *procedures.Weld) { w.Job.Diameter = 0.762 },
		"tap":            func(w *procedures.Weld) { w.Settings.Tap = "high" },
		"steel":          func(w *procedures.Weld) { w.Job.SteelGroup = "II" },
		"coating":        func(w *procedures.Weld) { w.Job.Coating = procedures.Rust },
		"thickness":      func(w *procedures.Weld) { w.Job.Thickness = 3.6 },
		"other part":     func(w *procedures.Weld) { w.Job.OtherThickness = 6.35 },
		"wire speed":     func(w *procedures.Weld) { w.Settings.WireSpeed *= 1.06 },
		"third state":    func(w *procedures.Weld) { w.Job.State = "s3" },
		"struck":         func(w *procedures.Weld) { w.Struck = "wrong coupon" },
		"guessed speed":  func(w *procedures.Weld) { w.Settings.How["wire_speed_m_min"] = procedures.Guessed },
		"not rated":      func(w *procedures.Weld) { w.Outcome.Rating = 0 },
		"unsaid wire":    func(w *procedures.Weld) { w.Job.Wire = procedures.Wire{} },
		"no wire speed":  func(w *procedures.Weld) { w.Settings.WireSpeed = 0 },
		"suggested only": func(w *procedures.Weld) { w.Settings.How["wire_speed_m_min"] = procedures.FromTable },
	} {
		b := base()
		b.weld(stateDC, 100, 5, change)
		c := compare(b, recommend.CompareOptions{})
		if len(c.Lots) != 0 || c.Verdict != recommend.TooFew || c.Rating.Difference != nil {
			t.Errorf("%s: %d lots, %q", name, len(c.Lots), c.Verdict)
		}
		left := 0
		for _, l := range c.LeftOut {
			left += len(l.Marks)
		}
		want := 2
		if name == "third state" || name == "struck" {
			want = 1
		}
		if left != want {
			t.Errorf("%s: %d welds left out by name, want %d: %v", name, left, want, c.LeftOut)
		}
	}
	for name, change := range map[string]func(*procedures.Weld){
		"same":          func(w *procedures.Weld) {},
		"near speed":    func(w *procedures.Weld) { w.Settings.WireSpeed *= 1.049 },
		"slower":        func(w *procedures.Weld) { w.Settings.WireSpeed /= 1.049 },
		"3 mm":          func(w *procedures.Weld) { w.Job.Thickness = 3 },
		"metric wire":   func(w *procedures.Weld) { w.Job.Diameter = 0.9 },
		"capital tap":   func(w *procedures.Weld) { w.Settings.Tap = "LOW" },
		"weld not said": func(w *procedures.Weld) { w.Job.Weld = "" },
		"bare":          func(w *procedures.Weld) { w.Job.Coating = procedures.Bare },
	} {
		b := base()
		b.weld(stateDC, 100, 5, change)
		if c := compare(b, recommend.CompareOptions{}); len(c.Lots) != 1 || *c.Rating.Difference != 2 {
			t.Errorf("%s: %d lots, left out %v", name, len(c.Lots), c.LeftOut)
		}
	}
}

func TestCompareOptions(t *testing.T) {
	var b bench
	b.weld(stateAC, 100, 3)
	b.weld(stateDC, 108, 5, func(w *procedures.Weld) { w.Settings.Tap = "high" })
	if c := compare(b, recommend.CompareOptions{Within: 10, AnyTap: true}); len(c.Lots) != 1 || c.Lots[0].Tap != "" {
		t.Errorf("any tap, 10 %%: %+v", c.Lots)
	}
	b.weld(stateDC, 100, 4, func(w *procedures.Weld) { w.Settings.How = nil })
	c := compare(b, recommend.CompareOptions{Guessed: true})
	if len(c.Lots) != 1 || !strings.Contains(strings.Join(c.Weak, " "), "1 of 2 welds is a guess") {
		t.Errorf("guessed: %+v, %q", c.Lots, c.Weak)
	}
}

// A knob that was run out in the weld's own state gives the wire speed; one of
// the other state does not.
func TestCompareReadsTheKnob(t *testing.T) {
	five := 5.0
	run := func(state procedures.State, mark float64, inches float64) procedures.RunOut {
		return procedures.RunOut{State: state.ID, Tap: "low", Mark: mark, Length: procedures.Inches(inches), Seconds: 10}
	}
	m := shed()
	m.RunOuts = []procedures.RunOut{run(stateAC, 4, 15), run(stateAC, 6, 19), run(stateDC, 5, 17), run(stateDC, 7, 25)}
	var b bench
	knob := func(w *procedures.Weld) { w.Settings.Knob, w.Settings.WireSpeed, w.Settings.How = &five, 0, nil }
	b.weld(stateAC, 0, 3, knob)
	b.weld(stateDC, 0, 5, knob)
	c := recommend.Compare(m, b.welds, stateAC, stateDC, recommend.CompareOptions{})
	if len(c.Lots) != 1 {
		t.Fatalf("left out %v", c.LeftOut)
	}
	if v := c.Lots[0].WireSpeed; v[0].InchesPerMin() < 101 || v[1].InchesPerMin() > 103 {
		t.Errorf("at mark 5 both run 102 in/min, got %v", v)
	}
	m.RunOuts = m.RunOuts[:2]
	if c := recommend.Compare(m, b.welds, stateAC, stateDC, recommend.CompareOptions{}); len(c.Lots) != 0 {
		t.Error("a knob that was not run out in the state gave a wire speed")
	}
}

// Coupons go first where a weld waits for its partner.
func TestCompareCoupons(t *testing.T) {
	var b bench
	b.weld(stateAC, 100, 3)
	b.weld(stateDC, 100, 3)
	b.weld(stateAC, 140, 3)
	b.weld(stateAC, 141, 2)
	c := compare(b, recommend.CompareOptions{})
	if len(c.Coupons) < 2 || c.Coupons[0].After != 2 || c.Coupons[0].Before != 0 || c.Coupons[0].WireSpeed.InchesPerMin() < 140 {
		t.Fatalf("%+v", c.Coupons)
	}
	last := c.Coupons[len(c.Coupons)-1]
	if last.Before != last.After || last.Before == 0 {
		t.Errorf("the rest is not in pairs: %+v", last)
	}
}

func TestCompareWeaknesses(t *testing.T) {
	var b bench
	for range 3 {
		b.weld(stateAC, 100, 3, func(w *procedures.Weld) { w.Spool = "old"; w.Outcome.Photo = "a.jpg" })
	}
	for range 3 {
		b.weld(stateDC, 100, 4, func(w *procedures.Weld) { w.Spool = "new" })
	}
	weak := strings.Join(compare(b, recommend.CompareOptions{}).Weak, "\n")
	for _, want := range []string{"blind", "3 of 6 beads have one", "how many pairs", "1 day between", "same spool"} {
		if !strings.Contains(weak, want) {
			t.Errorf("nothing said of %q in\n%s", want, weak)
		}
	}
	b.welds[0].ID, b.welds[5].ID = "first", "last"
	kept := recommend.CompareOptions{Pictured: map[string]bool{"first": true, "last": true}} // the first has a path too
	if weak := strings.Join(compare(b, kept).Weak, "\n"); !strings.Contains(weak, "4 of 6 beads have one") {
		t.Errorf("a picture kept in the notebook does not count:\n%s", weak)
	}
	var mixed bench
	for range 3 {
		mixed.weld(stateAC, 100, 3)
		mixed.weld(stateDC, 100, 4)
	}
	if weak := strings.Join(compare(mixed, recommend.CompareOptions{}).Weak, "\n"); strings.Contains(weak, "older") || strings.Contains(weak, "spool") {
		t.Errorf("turn by turn and one spool, yet\n%s", weak)
	}
}

// The order in which welds were written down changes nothing.
func TestCompareOrder(t *testing.T) {
	var b bench
	for i, r := range []int{2, 3, 5, 3, 4, 1} {
		b.weld(stateAC, 100+float64(3*i), r)
		b.weld(stateDC, 99+float64(4*i), 6-r)
	}
	c := compare(b, recommend.CompareOptions{})
	turned := bench{}
	for i := range b.welds {
		turned.welds = append(turned.welds, b.welds[len(b.welds)-1-i])
	}
	d := compare(turned, recommend.CompareOptions{})
	if c.Verdict != d.Verdict || *c.Rating.Difference != *d.Rating.Difference || c.More != d.More || len(c.Lots) != len(d.Lots) {
		t.Errorf("%v %v %v, then %v %v %v", c.Verdict, *c.Rating.Difference, c.More, d.Verdict, *d.Rating.Difference, d.More)
	}
}
