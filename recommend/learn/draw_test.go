package learn

import (
	"fmt"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// shop is the machines that drawn welds are made on: one calibrated and changed twice, one not.
func shop() []Machine {
	return []Machine{
		{ID: "red", Calibrated: true, Taps: testTaps, States: []State{{"new", Original}, {"dcen", Output}, {"liner", Feed}}},
		{ID: "blue", Taps: testTaps, States: []State{{"new", Original}}},
	}
}

func drawSetup(t *rapid.T, machine string) Setup {
	s := Setup{
		User: rapid.SampledFrom([]string{"ann", "bo"}).Draw(t, "user"), Machine: machine, State: "new",
		Spool:       rapid.SampledFrom([]string{"s1", "s2", "s3"}).Draw(t, "spool"),
		ThicknessIn: rapid.SampledFrom(testSizes).Draw(t, "thickness"),
		Joint:       rapid.SampledFrom(testJoints[:3]).Draw(t, "joint"),
		Position:    rapid.SampledFrom(testPositions[:3]).Draw(t, "position"),
		Tap:         rapid.SampledFrom(testTaps).Draw(t, "tap"), WireDiameterIn: rapid.SampledFrom(testWires).Draw(t, "wire"),
	}
	if s.Machine == "red" {
		s.State = rapid.SampledFrom([]string{"new", "dcen", "liner"}).Draw(t, "state")
	}
	return s
}

func drawMachine(t *rapid.T) string {
	return rapid.SampledFrom([]string{"red", "blue"}).Draw(t, "machine")
}

func drawWeld(t *rapid.T, id string, s Setup) Weld {
	w := Weld{ID: id, Time: testEpoch.Add(time.Duration(rapid.IntRange(0, 2000).Draw(t, "hours")) * time.Hour), Setup: s,
		Session: rapid.SampledFrom([]string{"", "1", "2", "3"}).Draw(t, "session"), TableWireSpeed: rapid.Float64Range(2, 10).Draw(t, "table"),
		Rating: rapid.IntRange(1, 5).Draw(t, "rating"), Heat: rapid.IntRange(-1, 1).Draw(t, "heat"), Balance: rapid.IntRange(-1, 1).Draw(t, "balance")}
	w.WireSpeed = w.TableWireSpeed * math.Exp(rapid.Float64Range(-0.4, 0.4).Draw(t, "y"))
	return w
}

func drawWelds(t *rapid.T, prefix string, most int) []Weld {
	welds := make([]Weld, rapid.IntRange(0, most).Draw(t, "welds"))
	for i := range welds {
		welds[i] = drawWeld(t, fmt.Sprintf("%s%03d", prefix, i), drawSetup(t, drawMachine(t)))
	}
	return welds
}

func drawQuery(t *rapid.T) Query {
	q := Query{Setup: drawSetup(t, drawMachine(t)), TableWireSpeed: rapid.Float64Range(2, 10).Draw(t, "table")}
	live := make([]Weld, rapid.IntRange(0, 3).Draw(t, "live"))
	for i := range live {
		live[i] = drawWeld(t, fmt.Sprint("live", i), q.Setup)
	}
	q.Live = live
	return q
}

type fataler interface {
	Helper()
	Fatal(...any)
}

func mustModel(t fataler, machines []Machine, welds []Weld, u tune) *Model {
	t.Helper()
	m, err := newModel(machines, welds, u)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func mustSuggest(t fataler, m *Model, q Query) Estimate {
	t.Helper()
	e, err := m.Suggest(q)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func mustNext(t fataler, m *Model, q Query) Next {
	t.Helper()
	n, err := m.NextBead(q)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

var (
	usual   = tune{passes, exactBeads}
	onePass = tune{1, exactBeads} // weights held at 1, nothing imputed
	cached  = tune{passes, 0}     // every question from the cache
)

func check(t *testing.T, f func(*rapid.T)) {
	t.Helper()
	rapid.Check(t, f)
}
