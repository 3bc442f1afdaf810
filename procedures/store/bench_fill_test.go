package store_test

import (
	"database/sql"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

var (
	fillFile  = flag.String("fill", "", "make a notebook of made-up welds in this file, for .ci/bench")
	fillWelds = flag.Int("welds", 1000, "how many, with -fill")
)

// TestFill makes the notebook that -fill names, and checks that every weld of it
// can be read and is one that the program would have taken.
func TestFill(t *testing.T) {
	path, welds := *fillFile, *fillWelds
	if path == "" {
		path, welds = filepath.Join(t.TempDir(), "notebook.db"), 300
	}
	shopYears(t, path, welds)
	n := open(t, path, store.Options{})
	if wrong, err := n.Check(t.Context()); err != nil || len(wrong) > 0 {
		t.Fatalf("%v %v", wrong, err)
	}
	list := must(n.Find(t.Context(), procedures.Filter{Limit: 1000}))(t)
	if len(list) != min(welds, 1000) {
		t.Errorf("%d welds, want %d", len(list), welds)
	}
	for _, w := range list {
		if err := w.Validate(); err != nil {
			t.Errorf("%s: %v", w.Mark, err)
		}
	}
	if next := must(n.AddWeld(t.Context(), bead()))(t); next.Mark != markOf(welds+1) {
		t.Errorf("the next mark is %s, want %s", next.Mark, markOf(welds+1))
	}
}

func markOf(number int) string {
	letters, name := (number-1)/99+1, ""
	for ; letters > 0; letters = (letters - 1) / 26 {
		name = string(rune('A'+(letters-1)%26)) + name
	}
	return fmt.Sprint(name, (number-1)%99+1)
}

// What is welded in a made-up shop, and what is said of it.
var (
	things   = []string{"shop cart", "garden gate", "plant stand", "wood rack", "grill grate", "mailbox post", "tool shelf", "saw bench", "hose hanger", "bike stand", "drill fence", "vise pedestal"}
	parts    = []string{"leg", "hinge plate", "corner gusset", "handle", "caster bracket", "cross bar", "foot", "side rail", "shelf angle", "latch", "brace", "top frame"}
	remarks  = []string{"quiet arc", "started cold, warmed up after an inch", "long arc at the end", "hand was steady", "gap opened up halfway", "had to restart twice", "ground it flat", "slag came off by itself", "too fast round the corner", "mill scale left on", "clamp was loose at first", "best one this week"}
	inches   = []float64{0.0598, 0.0747, 0.125, 0.1875, 0.25, 0.3125}
	thickSay = []string{"16ga", "14ga", "1/8", "3/16", "1/4", "5/16"}
)

// shopYears fills a new notebook with made-up welds of two machines, in one
// transaction past the notebook, at the rate of about one in six minutes.
func shopYears(t testing.TB, path string, welds int) {
	t.Helper()
	n, err := store.Open(t.Context(), path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var machines [2]procedures.Machine
	for i, name := range []string{"shed", "garage"} {
		m := littleRed()
		m.MaxAmps, m.Output = 140, procedures.DCEN // it reaches what 1/8 in wants
		m.Name, m.Taps = name, []procedures.Tap{{Name: "low", Load: 16, How: procedures.Measured}, {Name: "high", Load: 18.5, How: procedures.Measured}}
		machines[i] = must(n.AddMachine(t.Context(), m))(t)
	}
	start := time.Date(2012, 4, 1, 8, 0, 0, 0, time.UTC)
	const perSpool = 250 // welds
	var spools []string
	for i := 0; i <= (welds-1)/perSpool; i++ {
		s := elevens()
		s.Name, s.Opened = fmt.Sprint("reel ", i+1), start.Add(time.Duration(i)*perSpool*6*time.Minute)
		s = must(n.AddSpool(t.Context(), s))(t)
		spools = append(spools, s.ID)
	}
	must(n.UseSpool(t.Context(), spools[len(spools)-1]))(t)
	must(n.UseMachine(t.Context(), "shed"))(t)
	if err := n.Close(); err != nil {
		t.Fatal(err)
	}

	db := raw(t, path)
	exec := func(query string, args ...any) {
		t.Helper()
		if _, err := db.Exec(query, args...); err != nil {
			t.Fatalf("%s: %v", query, err)
		}
	}
	exec("PRAGMA synchronous = OFF")
	exec("PRAGMA cache_size = -200000")
	exec("BEGIN")
	prepare := func(query string) *sql.Stmt { return must(db.Prepare(query))(t) }
	columns := "n, id, mark, at, spool, said, machine, state, job_said, steel, steel_group, thickness_mm, thickness_said, joint, weld_type, position, length_mm, made_for, wire_class, wire_diameter_mm, process, tap, knob, wire_speed_m_min, polarity, passes, how, rating, note"
	weld := prepare("INSERT INTO welds (" + columns + ") VALUES (?" + strings.Repeat(", ?", strings.Count(columns, ",")) + ")")
	symptom := prepare("INSERT INTO symptoms (weld, place, key) VALUES (?, ?, ?)")
	test := prepare("INSERT INTO tests (weld, place, kind, passed, result) VALUES (?, 1, 'bend', ?, ?)")
	put := func(s *sql.Stmt, args ...any) {
		if _, err := s.Exec(args...); err != nil {
			t.Fatal(err)
		}
	}
	random := rand.New(rand.NewPCG(71, 73))
	pick := func(list []string) string { return list[random.IntN(len(list))] }
	joints, positions, keys := procedures.Joints(), procedures.Positions(), procedures.SymptomKeys()
	at := start
	for i := 1; i <= welds; i++ {
		at = at.Add(time.Duration(60+random.IntN(600)) * time.Second)
		m, size, joint := machines[i/40%2], random.IntN(len(inches)), joints[random.IntN(3)]
		position := positions[max(0, random.IntN(len(positions)+4)-4)]
		best := math.Log(1.9 + 0.42*float64(size))
		off := 0.12 * random.NormFloat64()
		speed := math.Round(1000*math.Exp(best+off)) / 1000
		rating := 5 - min(4, int(math.Abs(off)/0.06)+random.IntN(2))
		tap, thing, remark := "high", pick(things), ""
		if size < 2 {
			tap = "low"
		}
		if random.IntN(3) > 0 {
			remark = pick(parts) + ", " + pick(remarks)
		}
		job := fmt.Sprintf("%s mild %s %s", thickSay[size], joint, position)
		id := fmt.Sprintf("%08x-%04x-7%03x-8%03x-%012x", at.UnixMilli()>>16, at.UnixMilli()&0xffff, random.IntN(0x1000), random.IntN(0x1000), random.Uint64N(1<<48))
		put(weld, i, id, markOf(i), at.Format("2006-01-02T15:04:05.000000000Z"), spools[(i-1)/perSpool], fmt.Sprint(rating, " ", remark), m.Name, m.State.ID, job, "mild", "I", inches[size]*25.4, thickSay[size],
			string(joint), string(joint.DefaultWeld()), string(position), float64(50+10*random.IntN(20)), thing, "E71T-11", 0.9, "114", tap, 1+math.Round(2*speed)/2, speed, "dcen", 1, `{"wire_speed_m_min":"own curve"}`, rating, remark)
		if rating <= 3 {
			put(symptom, i, 1, keys[random.IntN(len(keys))])
		}
		if random.IntN(50) == 0 {
			held := map[bool]string{true: "held", false: "broke"}[rating > 2]
			put(test, i, rating > 2, held)
		}
	}
	exec("INSERT INTO settings (key, value) VALUES ('last_mark', ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value", fmt.Sprint(welds))
	for _, s := range []*sql.Stmt{weld, symptom, test} {
		s.Close()
	}
	exec("COMMIT")
	exec("PRAGMA wal_checkpoint(TRUNCATE)")
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}
