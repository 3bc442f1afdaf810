package feeder

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"beadwright/data"
	"beadwright/procedures"
)

func at(v float64) *float64 { return &v }

// baseline is a machine with five marks run out on its low tap, and meter
// readings, all of its present state.
func baseline() procedures.Machine {
	m := procedures.Machine{Name: "shed", State: procedures.State{ID: "now", Number: 2}}
	for _, mark := range []float64{1, 3, 5, 7, 9} {
		m.RunOuts = append(m.RunOuts, procedures.RunOut{State: "now", Tap: "low", Mark: mark, Length: procedures.Inches(10 * mark), Seconds: 10})
	}
	day := time.Date(2026, 3, 1, 10, 0, 0, 0, time.UTC)
	read := func(kind procedures.MeasurementKind, v float64, state, tap string, knob *float64) {
		day = day.Add(time.Hour)
		m.Measurements = append(m.Measurements, procedures.Measurement{At: day, State: state, Kind: kind, Tap: tap, Knob: knob, Value: v})
	}
	read(procedures.LoadVolts, 12, "before", "low", at(5)) // another state is another machine
	read(procedures.LoadVolts, 19, "now", "high", at(5))
	read(procedures.LoadVolts, 17, "now", "low", at(5))
	read(procedures.LoadVolts, 14, "now", "low", at(5)) // a later reading is no baseline
	read(procedures.LineIdleVolts, 121, "now", "low", nil)
	read(procedures.LineLoadVolts, 115, "now", "low", nil)
	read(procedures.StubMark, 7, "now", "low", nil)
	return m
}

// run is a 10 s run-out at mark 5, where the baseline gives 50 in.
func tenSeconds(inches float64) procedures.RunOut {
	return procedures.RunOut{Tap: "low", Mark: 5, Length: procedures.Inches(inches), Seconds: 10}
}

// beads are like welds with these ratings.
func beads(ratings ...int) []procedures.Weld {
	var like []procedures.Weld
	for _, r := range ratings {
		like = append(like, procedures.Weld{Outcome: procedures.Outcome{Rating: procedures.Count(r)}})
	}
	return like
}

func where(d Drift) string {
	var all []string
	for _, l := range d.Looks {
		all = append(all, string(l.Where))
	}
	return strings.Join(all, ", ")
}

// What the readings say, and where that sends a welder. Each case is a line of
// common practice; the arithmetic is in the tests below.
func TestCheckLooks(t *testing.T) {
	bead := func(rating int, symptoms ...string) *Bead {
		return &Bead{Rating: procedures.Count(rating), Symptoms: symptoms, Like: beads(4, 4, 5)}
	}
	for _, c := range []struct {
		name string
		r    Reading
		want string
	}{
		{"nothing moved", Reading{Run: tenSeconds(49), Load: 16.5, LineLoaded: 114, Stub: at(6.75), Bead: bead(4)}, ""},
		{"slow, volts as they were", Reading{Run: tenSeconds(40), Load: 17, LineLoaded: 115}, "contact tip, liner, drive tension, knob"},
		{"slow, and volts up with the lighter arc", Reading{Run: tenSeconds(40), Load: 19}, "contact tip, liner, drive tension, knob"},
		{"fast", Reading{Run: tenSeconds(60)}, "knob"},
		{"volts lost, line as it was", Reading{Run: tenSeconds(50), Load: 15, LineLoaded: 115}, "clamp, leads"},
		{"volts lost, line not read", Reading{Load: 15}, "clamp, cord and line, leads"},
		{"line sags", Reading{LineIdle: 121, LineLoaded: 105}, "cord and line"},
		{"wall low", Reading{LineIdle: 112}, "cord and line"},
		{"wall low, and with it the sag", Reading{LineIdle: 112, LineLoaded: 106.4}, "cord and line"},
		{"line sags and takes the volts along", Reading{Load: 15.5, LineLoaded: 105}, "cord and line"},
		{"line sags, and more volts are gone than that", Reading{Load: 14, LineLoaded: 105}, "cord and line, clamp, leads"},
		{"line sags and the wire is slow", Reading{Run: tenSeconds(40), LineLoaded: 105}, "cord and line, contact tip, liner, drive tension"},
		{"volts up", Reading{Run: tenSeconds(50), Load: 19}, "tap switch, stick-out"},
		{"stubs earlier", Reading{Stub: at(6)}, "clamp, cord and line, leads"},
		{"stubs later", Reading{Stub: at(8)}, "contact tip, liner, drive tension, tap switch"},
		{"worse, with all as it was", Reading{Run: tenSeconds(50), Load: 17, LineLoaded: 115, Bead: bead(2)}, "wire and work, stick-out, draft, contact tip"},
		{"holes that none had", Reading{Run: tenSeconds(50), Load: 17, Bead: bead(4, "porosity")}, "wire and work, stick-out, draft, contact tip"},
		{"pops, volts not read", Reading{Run: tenSeconds(50), Bead: bead(2, "popping")}, "clamp, leads, contact tip, liner, drive tension, cord and line, stick-out, wire and work, draft"},
		{"burns back, wire not run out", Reading{Load: 17, Bead: bead(2, "burn-back")}, "contact tip, liner, drive tension, stick-out, wire and work, draft"},
		{"better than before", Reading{Bead: &Bead{Rating: 5, Like: beads(3, 3, 3)}}, ""},
	} {
		c.r.Tap = "low"
		if got := where(Check(baseline(), c.r)); got != strings.ReplaceAll(c.want, "contact tip", string(AtTip)) {
			t.Errorf("%s: look at %q, want %q", c.name, got, c.want)
		}
	}
}

// The noise of a 10 s run-out by hand: 0.3 s of 10 s is 3 %, a standard deviation;
// the baseline is one 10 s run, 3 % as well; together 3 % * sqrt(2), and 1.96 of
// that is 8.3 %. So 46 of 50 in is noise, and 45 is not.
func TestCheckRunOutNoise(t *testing.T) {
	for _, c := range []struct {
		inches float64
		moved  int
	}{{50, 0}, {46, 0}, {45, -1}, {54, 0}, {55, 1}} {
		d := Check(baseline(), Reading{Tap: "LOW", Run: tenSeconds(c.inches)})
		if len(d.Findings) != 1 || d.Findings[0].Moved != c.moved {
			t.Errorf("%g in: %+v", c.inches, d)
			continue
		}
		f := d.Findings[0]
		want := 0.03 * math.Sqrt2 * 1.96
		if math.Abs(f.Noise/f.Was-want) > 1e-6 {
			t.Errorf("noise is %.4f of the wire speed, by hand %.4f", f.Noise/f.Was, want)
		}
		if d.Moved() != (c.moved != 0) {
			t.Errorf("%g in: Moved() is %v", c.inches, d.Moved())
		}
	}
}

// Volts are set against the first reading of this state, on this tap, at about
// this mark, corrected for the line: 17 V at a line of 115 V is 15.52 V at 105 V.
func TestCheckBaseline(t *testing.T) {
	d := Check(baseline(), Reading{Tap: "low", Mark: at(5.5), Load: 15, LineLoaded: 105})
	want := []Finding{
		{What: LineLoadSign, Was: 115, Now: 105, Noise: 3, Unit: "V", Moved: -1, Against: "first reading in this state"},
		{What: LoadSign, Was: 17 * 105. / 115, Now: 15, Noise: 1, Unit: "V", Against: "first reading in this state, corrected for the line"},
	}
	same := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-9 })
	times := cmp.FilterPath(func(p cmp.Path) bool { return p.Last().String() == ".Since" }, cmp.Ignore())
	if diff := cmp.Diff(want, d.Findings, same, times); diff != "" {
		t.Error(diff)
	}
	if d := Check(baseline(), Reading{Tap: "high", Mark: at(5), Load: 19}); len(d.Findings) != 1 || d.Findings[0].Was != 19 {
		t.Errorf("the high tap has its own: %+v", d)
	}
}

func TestCheckMissing(t *testing.T) {
	bare := procedures.Machine{Name: "shed", State: procedures.State{ID: "now"}}
	old := baseline()
	old.State.ID = "later" // changed since: nothing counts any more
	for name, c := range map[string]struct {
		m    procedures.Machine
		r    Reading
		want []string
	}{
		"one like weld":     {bare, Reading{Bead: &Bead{Rating: 1, Symptoms: []string{"popping"}, Like: beads(5)}}, []string{"only 1 of the 3 like welds"}},
		"nothing at all":    {bare, Reading{Run: tenSeconds(50), Load: 17, LineIdle: 120, LineLoaded: 115, Stub: at(7), Bead: &Bead{Rating: 3}}, []string{"not read in this state", "not read", "not run out", "not read", "not read", "no like weld"}},
		"an earlier state":  {old, Reading{Tap: "low", Run: tenSeconds(50), Load: 17}, []string{"not run out in this state", "not read in this state"}},
		"another tap":       {baseline(), Reading{Tap: "high", Run: tenSeconds(50), Stub: at(7)}, []string{"on this tap", "on the LOW tap only"}},
		"past the marks":    {baseline(), Reading{Tap: "low", Run: procedures.RunOut{Mark: 9.5, Length: 2000, Seconds: 10}}, []string{"from mark 1 to 9 only"}},
		"at another mark":   {baseline(), Reading{Tap: "low", Mark: at(8), Load: 17}, []string{"at mark 5 only"}},
		"a zero is no read": {procedures.Machine{State: procedures.State{ID: "now"}, Measurements: []procedures.Measurement{{State: "now", Kind: procedures.StubMark}}}, Reading{Stub: at(5)}, []string{"not read"}},
		"struck":            {procedures.Machine{State: procedures.State{ID: "now"}, Measurements: []procedures.Measurement{{State: "now", Kind: procedures.LoadVolts, Value: 17, Struck: "wrong range"}}}, Reading{Load: 12}, []string{"not read"}},
	} {
		d := Check(c.m, c.r)
		if len(d.Findings) != 0 || len(d.Looks) != 0 || len(d.Missing) != len(c.want) || d.Moved() {
			t.Errorf("%s: %+v", name, d)
			continue
		}
		for i, want := range c.want {
			if !strings.Contains(d.Missing[i].Why, want) {
				t.Errorf("%s: %q says nothing of %q", name, d.Missing[i].Why, want)
			}
		}
	}
}

// A mark of rating up or down is another day; two like welds are too few to call
// a symptom new.
func TestCheckBead(t *testing.T) {
	for _, c := range []struct {
		name  string
		b     Bead
		moved bool
	}{
		{"a mark down", Bead{Rating: 3, Like: beads(4, 4, 4)}, false},
		{"more than a mark down", Bead{Rating: 3, Like: beads(4, 5, 4)}, true},
		{"new symptom", Bead{Rating: 4, Symptoms: []string{"popping"}, Like: beads(4, 4, 4)}, true},
		{"new symptom among two", Bead{Rating: 4, Symptoms: []string{"popping"}, Like: beads(4, 4)}, false},
		{"three marks down from one weld", Bead{Rating: 2, Like: beads(5)}, false},
		{"three marks down from two", Bead{Rating: 2, Like: beads(5, 5)}, false},
		{"symptom alone", Bead{Symptoms: []string{"popping"}, Like: beads(4, 4, 4)}, true},
	} {
		if d := Check(baseline(), Reading{Bead: &c.b}); d.Moved() != c.moved {
			t.Errorf("%s: %+v", c.name, d.Findings)
		}
	}
	had := beads(4, 4, 4)
	had[0].Outcome.Symptoms = []string{"popping"}
	if d := Check(baseline(), Reading{Bead: &Bead{Rating: 4, Symptoms: []string{"popping"}, Like: had}}); d.Moved() {
		t.Error("a symptom that like welds had is called new")
	}
}

func TestLike(t *testing.T) {
	m := baseline()
	twin := procedures.Weld{Mark: "A1", Job: procedures.Job{Thickness: 3.175, Joint: procedures.Tee, Position: procedures.Flat, Wire: procedures.Wire{Class: "E71T-11", Diameter: 0.889}, State: "now"},
		Settings: procedures.Settings{Tap: "low", Knob: at(5)}, Outcome: procedures.Outcome{Rating: 4}}
	for name, c := range map[string]struct {
		change func(*procedures.Weld)
		like   bool
	}{
		"itself":         {func(w *procedures.Weld) {}, true},
		"half a mark":    {func(w *procedures.Weld) { w.Settings.Knob = at(5.5) }, true},
		"3 mm":           {func(w *procedures.Weld) { w.Job.Thickness = 3 }, true},
		"a mark off":     {func(w *procedures.Weld) { w.Settings.Knob = at(6) }, false},
		"another tap":    {func(w *procedures.Weld) { w.Settings.Tap = "high" }, false},
		"another state":  {func(w *procedures.Weld) { w.Job.State = "before" }, false},
		"another joint":  {func(w *procedures.Weld) { w.Job.Joint = procedures.Lap }, false},
		"another wire":   {func(w *procedures.Weld) { w.Job.Class = "E71T-GS" }, false},
		"thicker":        {func(w *procedures.Weld) { w.Job.Thickness = 6.35 }, false},
		"struck":         {func(w *procedures.Weld) { w.Struck = "wrong" }, false},
		"not rated":      {func(w *procedures.Weld) { w.Outcome.Rating = 0 }, false},
		"another speed":  {func(w *procedures.Weld) { w.Settings.Knob, w.Settings.WireSpeed = nil, 5 }, true},
		"no thick known": {func(w *procedures.Weld) { w.Job.Thickness = 0 }, false},
	} {
		w := twin
		c.change(&w)
		if got := len(Like(m, []procedures.Weld{w}, twin)) == 1; got != c.like {
			t.Errorf("%s: like is %v", name, got)
		}
	}
}

// Whatever moves for the worse is answered by a place to look at, and every rule
// of the table can fire.
func TestEveryRuleAndNoHole(t *testing.T) {
	all := []sight{unread, same, lower, higher}
	fired := make([]bool, len(rules))
	for _, idle := range all {
		for _, line := range all {
			for _, feed := range all {
				for _, load := range all {
					for _, stub := range all {
						for _, bead := range all {
							for _, arc := range []sight{lower, same, higher} {
								is := rule{idle: idle, line: line, feed: feed, load: load, stub: stub, bead: bead, arc: arc}
								any := false
								for i, r := range rules {
									if r.fits(is) {
										fired[i], any = true, true
									}
								}
								bad := idle == lower || line == lower || feed == lower || feed == higher || load == lower || stub == lower || bead == lower
								if bad && !any {
									t.Fatalf("nowhere to look for %+v", is)
								}
							}
						}
					}
				}
			}
		}
	}
	if i := slices.Index(fired, false); i >= 0 {
		t.Errorf("rule %d never fires", i)
	}
	for i, r := range rules {
		for _, p := range r.look {
			if places[p].text == "" || len(places[p].source) == 0 {
				t.Errorf("rule %d: nothing is said of %q", i, p)
			}
		}
	}
	for p, is := range places {
		for _, id := range is.source {
			if _, ok := data.Sources()[id]; !ok {
				t.Errorf("%s: source %q is not known", p, id)
			}
		}
		if low := strings.ToLower(fmt.Sprint(is)); strings.Contains(low, "safe") || strings.Contains(low, "certified") {
			t.Errorf("%s: %q", p, is.text)
		}
	}
}
