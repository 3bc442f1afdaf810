package learn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

var (
	testJoints    = []string{"butt", "lap", "tee", "corner", "edge"}
	testPositions = []string{"flat", "horizontal", "vertical up", "vertical down", "overhead"}
	testSizes     = []float64{0.0239, 0.0299, 0.0359, 0.0478, 0.0598, 0.0747, 0.1046, 0.125, 0.1345, 0.1875, 0.25, 0.3125, 0.375}
	testWires     = []float64{0.030, 0.035}
	testTaps      = []string{"low", "high"}
	testEpoch     = time.Date(2026, 1, 1, 8, 0, 0, 0, time.UTC)
)

func pick[T any](r *rand.Rand, from []T) T { return from[r.IntN(len(from))] }

// bigLog makes sessions of one to six welds on any job, three machines, two users, a new spool every 45 welds.
func bigLog(n int) ([]Machine, []Weld) {
	r := rand.New(rand.NewPCG(1, 2))
	var machines []Machine
	for i := range 3 {
		machines = append(machines, Machine{ID: fmt.Sprint("m", i), Calibrated: i == 0, Taps: testTaps,
			States: []State{{"s0", Original}, {"s1", Feed}, {"s2", Output}}})
	}
	welds := make([]Weld, 0, n)
	for session := 0; len(welds) < n; session++ {
		i := len(welds)
		s := Setup{User: fmt.Sprint("u", r.IntN(2)), Machine: fmt.Sprint("m", r.IntN(3)), State: fmt.Sprint("s", 3*i/n),
			Spool: fmt.Sprint("spool", i/45), ThicknessIn: pick(r, testSizes), Joint: pick(r, testJoints),
			Position: pick(r, testPositions), WireDiameterIn: pick(r, testWires), Tap: pick(r, testTaps)}
		for range min(n-i, 1+r.IntN(6)) {
			w := Weld{ID: fmt.Sprintf("w%07d", len(welds)), Time: testEpoch.Add(time.Duration(len(welds)) * time.Minute), Setup: s,
				Session: fmt.Sprint(session), TableWireSpeed: 5, WireSpeed: 5 * math.Exp(0.15*r.NormFloat64()), Rating: 1 + r.IntN(5)}
			if w.Rating < 5 && r.IntN(10) < 7 {
				w.Heat, w.Balance = r.IntN(3)-1, r.IntN(3)-1
			}
			welds = append(welds, w)
		}
	}
	return machines, welds
}

func benchmarkNew(b *testing.B, machines []Machine, welds []Weld) {
	least := time.Hour
	for b.Loop() {
		start := time.Now()
		if _, err := New(machines, welds); err != nil {
			b.Fatal(err)
		}
		least = min(least, time.Since(start))
	}
	b.ReportMetric(float64(least.Microseconds()), "least-µs")
}

func BenchmarkNew1000(b *testing.B) {
	machines, welds := bigLog(1000)
	benchmarkNew(b, machines, welds)
}

func BenchmarkNew100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	benchmarkNew(b, machines, welds)
}

// As a notebook without named sessions has it: they go by the day.
func BenchmarkNewDays100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	for i := range welds {
		welds[i].Session = ""
	}
	benchmarkNew(b, machines, welds)
}

// In no order at all, the worst for reading.
func BenchmarkNewShuffled100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	rand.New(rand.NewPCG(7, 8)).Shuffle(len(welds), func(i, j int) { welds[i], welds[j] = welds[j], welds[i] })
	benchmarkNew(b, machines, welds)
}

func benchmarkNextBead(b *testing.B, machines []Machine, welds []Weld) {
	m, err := New(machines, welds)
	if err != nil {
		b.Fatal(err)
	}
	r := rand.New(rand.NewPCG(3, 4))
	var times []float64
	for b.Loop() {
		w := pick(r, welds)
		live := w
		live.ID, live.Rating, live.Heat = "live", 2, -1
		live.Balance = 0
		q := Query{Setup: w.Setup, TableWireSpeed: 5, Live: []Weld{live}}
		start := time.Now()
		if _, err := m.NextBead(q); err != nil {
			b.Fatal(err)
		}
		times = append(times, float64(time.Since(start).Microseconds()))
	}
	b.ReportMetric(percentile(times, 0.50), "median-µs")
	b.ReportMetric(percentile(times, 0.99), "p99-µs")
}

func BenchmarkNextBead1000(b *testing.B) {
	machines, welds := bigLog(1000)
	benchmarkNextBead(b, machines, welds)
}

func BenchmarkNextBead2000(b *testing.B) {
	machines, welds := bigLog(2000)
	benchmarkNextBead(b, machines, welds)
}

func BenchmarkNextBead100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	benchmarkNextBead(b, machines, welds)
}

// percentile is the value below which the share p of the values lies; it sorts them.
func percentile(values []float64, p float64) float64 {
	slices.Sort(values)
	return values[min(len(values)-1, int(p*float64(len(values))))]
}

// habits turns a log into that of a welder with six favourite jobs, who gives them three sessions of four.
func habits(welds []Weld) []Weld {
	r := rand.New(rand.NewPCG(5, 6))
	favourites := make([]Setup, 6)
	for i := range favourites {
		favourites[i] = pick(r, welds).Setup
	}
	var job Setup
	own := true
	for i := range welds {
		w := &welds[i]
		if i == 0 || w.Session != welds[i-1].Session {
			if own = r.IntN(4) == 0; !own {
				job = pick(r, favourites)
			}
		}
		if !own {
			w.ThicknessIn, w.Joint, w.Position, w.WireDiameterIn, w.Tap = job.ThicknessIn, job.Joint, job.Position, job.WireDiameterIn, job.Tap
		}
	}
	return welds
}

func BenchmarkNewHabits100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	benchmarkNew(b, machines, habits(welds))
}

func BenchmarkNextBeadHabits100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	benchmarkNextBead(b, machines, habits(welds))
}

// A page of sixty questions to one model.
func benchmarkPage(b *testing.B, n int) {
	machines, welds := bigLog(n)
	m, err := New(machines, habits(welds))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		for i := range 60 {
			q := Query{Setup: welds[n-1].Setup, TableWireSpeed: 5}
			q.ThicknessIn = 0.024 * math.Pow(15, float64(i)/59)
			if _, err := m.Suggest(q); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkPage1000(b *testing.B)   { benchmarkPage(b, 1000) }
func BenchmarkPage100000(b *testing.B) { benchmarkPage(b, 100_000) }

func BenchmarkDrift100000(b *testing.B) {
	machines, welds := bigLog(100_000)
	m, err := New(machines, welds)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		m.Drift("m1")
	}
}
