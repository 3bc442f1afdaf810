package feeder_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"pgregory.net/rapid"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

var day0 = time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)

func hours(n int) time.Time { return day0.Add(time.Duration(n) * time.Hour) }

// timed is a weld of so many seconds of arc at a wire speed in m/min.
func timed(id, spool string, at time.Time, seconds, speed float64) feeder.Use {
	return use(procedures.Weld{ID: id, Spool: spool, At: at, ArcTime: procedures.Seconds(seconds),
		Job: procedures.Job{Machine: "shed"}, Settings: procedures.Settings{WireSpeed: procedures.MPerMin(speed)}})
}

func use(w procedures.Weld) feeder.Use { return feeder.UseOf(&w) }

func near(t *testing.T, what string, got, want, off float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > off {
		t.Errorf("%s: %.6g, expected %.6g within %g", what, got, want, off)
	}
}

// A pound of solid wire is used up by the length that is printed for it.
// Source: MIG handbook, wire length per weight, p. 7-10 (HB-MIG). Its lengths are
// whole feet a pound, and meet the cylinder to about 0.5 %; the largest size to 1 %.
func TestSpoolAgainstPrintedLengths(t *testing.T) {
	checked := 0
	for _, row := range data.WireLengths() {
		if row.Material != "mild steel" {
			continue
		}
		checked++
		s := procedures.Spool{ID: "s", Grams: 453.59237, Wire: procedures.Wire{Class: "ER70S-6", Diameter: procedures.Inches(row.DiameterIn), Gas: "CO2"}}
		left, err := feeder.Spool(s, feeder.Records{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("m in a pound of %.4g in", row.DiameterIn), left.Metres, row.InPerLb*0.0254, 0.011*row.InPerLb*0.0254)
		half := feeder.Records{Measurements: []procedures.Measurement{{ID: "m", Spool: "s", At: day0, Kind: procedures.WireFed, Value: row.InPerLb * 25.4 / 2}}}
		if left, err = feeder.Spool(s, half); err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("g left after half the printed length of %.4g in", row.DiameterIn), left.Grams, 453.59237/2, 0.011*453.59237/2)
	}
	if checked < 4 {
		t.Errorf("only %d printed lengths of mild steel wire", checked)
	}
}

// 120 in of solid steel wire weigh 10.9 g at 0.030 in and 14.9 g at 0.035 in.
// Source: pi/4 x d^2 x 120 in x 0.2836 lb/in3 (density: HB-MIG); a cored wire of
// the size weighs no more.
func TestSpoolAgainstTheCylinder(t *testing.T) {
	for _, c := range []struct{ in, grams float64 }{{0.030, 10.9}, {0.035, 14.9}} {
		fed := []procedures.Measurement{{ID: "m", Spool: "s", At: day0, Kind: procedures.WireFed, Value: 120 * 25.4}}
		for _, class := range []string{"ER70S-6", "E71T-GS"} {
			s := procedures.Spool{ID: "s", Grams: 900, Wire: procedures.Wire{Class: class, Diameter: procedures.Inches(c.in)}}
			left, err := feeder.Spool(s, feeder.Records{Measurements: fed})
			if err != nil {
				t.Fatal(err)
			}
			if class == "ER70S-6" {
				near(t, "solid wire", 900-left.Grams, c.grams, 0.06)
				continue
			}
			near(t, "heaviest cored wire", 900-left.GramsLow, c.grams, 0.06)
			if used := 900 - left.Grams; used >= c.grams || used <= 900-left.GramsHigh {
				t.Errorf("cored wire of %.3f in: used %.1f g, lightest %.1f, solid %.1f", c.in, used, 900-left.GramsHigh, c.grams)
			}
		}
	}
}

func TestUseOf(t *testing.T) {
	guessed := map[string]procedures.How{"wire_speed_m_min": procedures.Guessed}
	measured := map[string]procedures.How{"travel_mm_min": procedures.Measured}
	for _, c := range []struct {
		name     string
		seconds  procedures.Seconds
		length   procedures.MM
		set      procedures.Settings
		fed, off float64
		ok       bool
	}{
		{"45 s at 4 m/min", 45, 0, procedures.Settings{WireSpeed: 4}, 3000, 0.10, true},
		{"a guessed speed", 45, 0, procedures.Settings{WireSpeed: 4, How: guessed}, 3000, 0.35, true},
		{"arc time goes before pace", 45, 600, procedures.Settings{WireSpeed: 4, Travel: 250}, 3000, 0.10, true},
		{"500 mm at 250 mm/min", 0, 500, procedures.Settings{WireSpeed: 3, Travel: 250}, 6000, 0.40, true},
		{"three passes", 0, 500, procedures.Settings{WireSpeed: 3, Travel: 250, Passes: 3}, 18000, 0.40, true},
		{"a measured pace", 0, 500, procedures.Settings{WireSpeed: 3, Travel: 250, How: measured}, 6000, 0.20, true},
		{"no pace", 0, 500, procedures.Settings{WireSpeed: 3}, 0, 0, false},
		{"no length", 0, 0, procedures.Settings{WireSpeed: 3, Travel: 250}, 0, 0, false},
		{"no wire speed", 45, 500, procedures.Settings{Travel: 250}, 0, 0, false},
	} {
		u := use(procedures.Weld{ArcTime: c.seconds, Job: procedures.Job{Length: c.length}, Settings: c.set})
		fed, off, ok := u.Length, u.Off, u.Length > 0
		if ok != c.ok || u.Timed != (c.seconds > 0) {
			t.Errorf("%s: %+v", c.name, u)
			continue
		}
		if ok {
			near(t, c.name, fed, c.fed, 1e-9)
			near(t, c.name+", how far off", off, c.off, 1e-12)
		}
	}
}

var cored = procedures.Spool{ID: "s", Name: "first", Grams: 907, Opened: day0, Wire: procedures.Wire{Class: "E71T-11", Diameter: 0.889}}

// Counting begins with the label, and anew with each weighing.
func TestSpoolCounts(t *testing.T) {
	r := feeder.Records{
		Uses: []feeder.Use{
			timed("1", "s", hours(1), 60, 3),                               // 3 m
			{ID: "2", Spool: "s", At: hours(2), Machine: "shed", Speed: 3}, // how much is not known
			timed("3", "s", hours(5), 120, 2.5),                            // 5 m
			timed("4", "other", hours(6), 120, 2.5),                        // of another spool
		},
		RunOuts: []procedures.RunOut{{Machine: "shed", At: hours(5), Length: 1500, ShortLength: 500}},
	}
	r.Uses = append(r.Uses, timed("5", "s", hours(6), 600, 9))
	r.Uses[4].Struck = true
	left, err := feeder.Spool(cored, r)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "fed", left.Fed.Length, 3000+5000+2000, 1e-9)
	if left.Fed.Welds != 3 || left.Fed.Timed != 2 || left.Fed.Unknown() != 1 || left.Fed.Other != 1 || left.Weighed {
		t.Errorf("counted %+v", left.Fed)
	}
	near(t, "last wire speed", float64(left.Speed), 2.5, 0)
	near(t, "minutes at it", left.Minutes, left.Metres/2.5, 1e-9)
	near(t, "upper end: the unknown weld as the longest one", left.Fed.High, 3300+5500+2000+5500, 1e-9)

	r.Measurements = []procedures.Measurement{{ID: "w", Spool: "s", At: hours(4), Kind: procedures.SpoolWeight, Value: 700}}
	if left, err = feeder.Spool(cored, r); err != nil {
		t.Fatal(err)
	}
	near(t, "fed since the weighing", left.Fed.Length, 5000+2000, 1e-9)
	near(t, "counted from", left.Start, 700, 0)
	near(t, "full", left.Full, 907, 0)
	if !left.Weighed || left.Fed.Unknown() != 0 {
		t.Errorf("after the weighing: %+v", left)
	}
	r.Measurements[0].Struck = "with the spool on it"
	if left, _ = feeder.Spool(cored, r); left.Weighed || left.Start != 907 {
		t.Errorf("a withdrawn weighing counts: %+v", left)
	}

	unknown := cored
	unknown.Grams = 0
	r.Measurements = nil
	if left, _ = feeder.Spool(unknown, r); left.Known || left.Grams != 0 || left.Fed.Length != 10000 {
		t.Errorf("with no weight to count from: %+v", left)
	}
}

// Where no weld is known, all of the spool may be gone, and the middle says so
// only by its range.
func TestSpoolOfUnknownWelds(t *testing.T) {
	r := feeder.Records{Uses: []feeder.Use{{ID: "1", Spool: "s", At: hours(1)}}}
	left, err := feeder.Spool(cored, r)
	if err != nil {
		t.Fatal(err)
	}
	if left.Grams != 907 || left.GramsLow != 0 || left.MetresLow != 0 || left.GramsHigh != 907 {
		t.Errorf("%+v", left)
	}
	if left.Short(100) || !left.Short(950) {
		t.Errorf("a job is measured against %g g", left.Grams)
	}
}

func TestLowAndShort(t *testing.T) {
	fedTo := func(grams float64) feeder.Left {
		ms := []procedures.Measurement{{ID: "w", Spool: "s", At: hours(1), Kind: procedures.SpoolWeight, Value: grams}}
		left, err := feeder.Spool(cored, feeder.Records{Measurements: ms})
		if err != nil {
			t.Fatal(err)
		}
		return left
	}
	if fedTo(91).Low() || !fedTo(90).Low() || !fedTo(0).Low() {
		t.Error("a tenth of 907 g is where another spool should be at hand")
	}
	if fedTo(60).Short(60) || !fedTo(60).Short(61) || fedTo(60).Short(0) {
		t.Error("a job of 61 g is short with 60 g weighed and nothing fed since")
	}
	if (feeder.Left{}).Low() || (feeder.Left{}).Short(10) {
		t.Error("a spool of unknown weight is neither low nor short")
	}
}

// A run-out counts to the spool that was last welded with before it.
func TestOnSpool(t *testing.T) {
	r := feeder.Records{
		Uses: []feeder.Use{timed("1", "a", hours(2), 60, 3), timed("2", "b", hours(6), 60, 3), timed("3", "c", hours(4), 60, 3)},
		RunOuts: []procedures.RunOut{
			{ID: "before", Machine: "shed", At: hours(1)}, {ID: "between", Machine: "shed", At: hours(5)},
			{ID: "after", Machine: "shed", At: hours(9)}, {ID: "elsewhere", Machine: "cart", At: hours(5)},
		},
	}
	r.Uses[2].Struck = true
	for spool, want := range map[string]string{"a": "before between", "b": "after", "c": ""} {
		got := ""
		for _, run := range feeder.OnSpool(r, spool).RunOuts {
			got += run.ID + " "
		}
		if got != want && got != want+" " {
			t.Errorf("spool %s has the run-outs %q, expected %q", spool, got, want)
		}
	}
}

func TestStale(t *testing.T) {
	day := func(n int) time.Time { return day0.AddDate(0, 0, n) }
	weld := []feeder.Use{{ID: "1", Spool: "s", At: day(80)}, {ID: "2", Spool: "other", At: day(119)}}
	for _, c := range []struct {
		name  string
		uses  []feeder.Use
		now   time.Time
		stale bool
	}{
		{"a week open", nil, day(7), false}, {"89 days", nil, day(89), false}, {"90 days", nil, day(90), true},
		{"welded with three weeks ago", weld, day(100), false}, {"last welded with five weeks ago", weld, day(120), true},
	} {
		if got := feeder.Stale(cored, c.uses, c.now); got != c.stale {
			t.Errorf("%s: %v", c.name, got)
		}
	}
	if feeder.Stale(procedures.Spool{ID: "s"}, nil, day(4000)) {
		t.Error("a spool whose opening is not known is called old")
	}
}

// drawRecords draws records of the spool "s" and of others, at distinct times.
func drawRecords(rt *rapid.T) feeder.Records {
	var r feeder.Records
	n := rapid.IntRange(0, 25).Draw(rt, "records")
	for i := range n {
		at := hours(2 * i)
		spool := rapid.SampledFrom([]string{"s", "s", "s", "other"}).Draw(rt, "spool")
		switch rapid.IntRange(0, 9).Draw(rt, "kind") {
		case 0, 1, 2, 3:
			r.Uses = append(r.Uses, timed(fmt.Sprint(i), spool, at, rapid.Float64Range(1, 600).Draw(rt, "seconds"), rapid.Float64Range(0.3, 15).Draw(rt, "speed")))
		case 4:
			r.Uses = append(r.Uses, use(procedures.Weld{ID: fmt.Sprint(i), Spool: spool, At: at, Job: procedures.Job{Machine: "shed", Length: 300}, Settings: procedures.Settings{WireSpeed: 3, Travel: 200}}))
		case 5:
			r.Uses = append(r.Uses, feeder.Use{ID: fmt.Sprint(i), Spool: spool, At: at, Machine: "shed"})
		case 6, 7:
			r.RunOuts = append(r.RunOuts, procedures.RunOut{ID: fmt.Sprint(i), Machine: "shed", At: at, Length: procedures.MM(rapid.Float64Range(10, 5000).Draw(rt, "run"))})
		case 8:
			r.Measurements = append(r.Measurements, procedures.Measurement{ID: fmt.Sprint(i), Spool: spool, Machine: "shed", At: at, Kind: procedures.WireFed, Value: rapid.Float64Range(10, 50000).Draw(rt, "fed")})
		case 9:
			r.Measurements = append(r.Measurements, procedures.Measurement{ID: fmt.Sprint(i), Spool: spool, Machine: "shed", At: at, Kind: procedures.SpoolWeight, Value: rapid.Float64Range(0, 900).Draw(rt, "weighed")})
		}
	}
	return r
}

// What is left lies in its range, never below nothing and never above what the
// count began with.
func TestSpoolStaysWithinItself(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		left, err := feeder.Spool(cored, drawRecords(rt))
		if err != nil {
			rt.Fatal(err)
		}
		for _, q := range [][3]float64{{left.GramsLow, left.Grams, left.GramsHigh}, {left.MetresLow, left.Metres, left.MetresHigh}, {left.MinutesLow, left.Minutes, left.MinutesHigh}} {
			if !(0 <= q[0] && q[0] <= q[1] && q[1] <= q[2]) {
				rt.Fatalf("not in order: %v in %+v", q, left)
			}
		}
		if left.GramsHigh > left.Start {
			rt.Fatalf("more left than there was: %+v", left)
		}
		if f := left.Fed; f.Timed+f.Paced > f.Welds || f.Low > f.Length || f.Length > f.High {
			rt.Fatalf("counted %+v", f)
		}
	})
}

// One more weld or run-out never leaves more wire, whenever it was made.
func TestSpoolNeverGrows(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := drawRecords(rt)
		before, err := feeder.Spool(cored, r)
		if err != nil {
			rt.Fatal(err)
		}
		at := hours(2*rapid.IntRange(0, 30).Draw(rt, "when") + 1)
		if rapid.Bool().Draw(rt, "weld") {
			r.Uses = append(r.Uses, timed("new", "s", at, rapid.Float64Range(1, 600).Draw(rt, "seconds"), 3))
		} else {
			r.RunOuts = append(r.RunOuts, procedures.RunOut{ID: "new", Machine: "shed", At: at, Length: 1000})
		}
		after, err := feeder.Spool(cored, r)
		if err != nil {
			rt.Fatal(err)
		}
		if after.Grams > before.Grams || after.Metres > before.Metres || after.GramsHigh > before.GramsHigh {
			rt.Fatalf("before %+v, after %+v", before, after)
		}
	})
}

// The order in which records come makes no difference.
func TestSpoolTakesAnyOrder(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := drawRecords(rt)
		one, err := feeder.Spool(cored, r)
		if err != nil {
			rt.Fatal(err)
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		rng.Shuffle(len(r.Uses), func(i, j int) { r.Uses[i], r.Uses[j] = r.Uses[j], r.Uses[i] })
		rng.Shuffle(len(r.RunOuts), func(i, j int) { r.RunOuts[i], r.RunOuts[j] = r.RunOuts[j], r.RunOuts[i] })
		rng.Shuffle(len(r.Measurements), func(i, j int) {
			r.Measurements[i], r.Measurements[j] = r.Measurements[j], r.Measurements[i]
		})
		two, err := feeder.Spool(cored, r)
		if err != nil {
			rt.Fatal(err)
		}
		for what, d := range map[string]float64{"grams": one.Grams - two.Grams, "low": one.GramsLow - two.GramsLow, "high": one.GramsHigh - two.GramsHigh, "minutes": one.Minutes - two.Minutes} {
			if math.Abs(d) > 1e-6 {
				rt.Fatalf("%s differ by %g", what, d)
			}
		}
	})
}

// A tenth of a large spool is not nearly empty: 400 g of 10 lb are 90 m of wire.
func TestLowIsLittleWire(t *testing.T) {
	for _, c := range []struct {
		grams, full float64
		want        bool
	}{{400, 4536, false}, {99, 4536, true}, {101, 4536, false}, {89, 907, true}, {91, 907, false}} {
		if got := (feeder.Left{Known: true, Grams: c.grams, Full: c.full}).Low(); got != c.want {
			t.Errorf("%v g of %v g: %v", c.grams, c.full, got)
		}
	}
}
