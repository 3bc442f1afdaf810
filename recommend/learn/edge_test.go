package learn

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// tee is a job on the uncalibrated machine: 1/8 in tee, flat, 0.030 in wire, high tap.
func tee() Setup {
	return Setup{User: "ann", Machine: "blue", State: "new", Spool: "s1", ThicknessIn: 0.125, Joint: "tee", Position: "flat",
		WireDiameterIn: 0.030, Tap: "high"}
}

// made is a weld of the setup at a percentage of the table's 5 m/min; each has a session of its own.
func made(n int, s Setup, percent float64, rating, heat, balance int) Weld {
	return Weld{ID: fmt.Sprintf("w%03d", n), Time: testEpoch.Add(time.Duration(n) * 24 * time.Hour), Setup: s,
		TableWireSpeed: 5, WireSpeed: 5 * percent / 100, Rating: rating, Heat: heat, Balance: balance}
}

func several(n int, s Setup, percent float64, rating, heat, balance int) (welds []Weld) {
	for i := range n {
		welds = append(welds, made(i, s, percent, rating, heat, balance))
	}
	return welds
}

func suggest(t *testing.T, welds []Weld, q Query) Estimate {
	t.Helper()
	return mustSuggest(t, mustModel(t, shop(), welds, usual), q)
}

func TestOnlyFailures(t *testing.T) {
	e := suggest(t, several(3, tee(), 100, 2, -1, 0), Query{Setup: tee(), TableWireSpeed: 5})
	if !(e.F > 0.05) || e.GoodLike != 0 || e.FailedLike != 3 || e.FailedSide != -1 {
		t.Errorf("three cold welds at the table: %+v", e)
	}
}

// Equal ratings without symptoms at different settings say nothing about the side, whatever the rating.
func TestAllRatingsEqual(t *testing.T) {
	for rating := 1; rating <= 5; rating++ {
		welds := []Weld{made(0, tee(), 90, rating, 0, 0), made(1, tee(), 100/0.9, rating, 0, 0)}
		e := suggest(t, welds, Query{Setup: tee(), TableWireSpeed: 5})
		near(t, fmt.Sprint("f at rating ", rating), e.F, 0, 1e-9)
		if math.IsNaN(e.SD) || e.SD <= 0 {
			t.Errorf("sd %g", e.SD)
		}
	}
}

func TestOnlyConflicts(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5}
	q.Tap = "low"
	s := q.Setup
	e := suggest(t, several(3, s, 100, 2, -1, 1), q)
	none := suggest(t, nil, q)
	if e.F != 0 || e.SD != none.SD {
		t.Errorf("contradictory symptoms moved the wire speed: f %g, sd %g against %g", e.F, e.SD, none.SD)
	}
	if e.TapAdvice.Tap != "high" || e.TapAdvice.Hotter != 3 {
		t.Errorf("contradictory symptoms should ask for the hotter tap: %+v", e.TapAdvice)
	}
}

// A failure without symptoms close to where the model expects the best setting is ignored, all but; far from it, it
// pushes away from where it was made.
func TestMissingSymptom(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5}
	if e := suggest(t, []Weld{made(0, tee(), 101, 3, 0, 0)}, q); math.Abs(e.F) > 1e-4 {
		t.Errorf("a toss-up moved f to %g", e.F)
	}
	good := several(6, tee(), 100, 5, 0, 0)
	base := suggest(t, good, q)
	e := suggest(t, append(good, made(9, tee(), 140, 1, 0, 0)), q)
	if !(e.F < base.F) {
		t.Errorf("a scrapped weld far above the good ones moved f from %g to %g", base.F, e.F)
	}
}

func TestMissingTable(t *testing.T) {
	m := mustModel(t, shop(), several(5, tee(), 110, 5, 0, 0), usual)
	for _, ask := range []func(Query) error{
		func(q Query) error { _, err := m.Suggest(q); return err },
		func(q Query) error { _, err := m.NextBead(q); return err },
		func(q Query) error { _, err := m.AdviseTap(q); return err },
	} {
		if err := ask(Query{Setup: tee()}); !errors.Is(err, ErrNoTable) {
			t.Errorf("without a table value: %v, want ErrNoTable", err)
		}
	}
}

func TestThicknessBeyondKnots(t *testing.T) {
	for _, in := range []float64{0.010, 0.0179, 1, 2} {
		q := Query{Setup: tee(), TableWireSpeed: 5}
		q.ThicknessIn = in
		e := suggest(t, several(5, tee(), 120, 5, 0, 0), q)
		if math.IsNaN(e.F) || math.IsInf(e.SD, 0) || e.SD <= suggest(t, several(5, tee(), 120, 5, 0, 0), Query{Setup: tee(), TableWireSpeed: 5}).SD {
			t.Errorf("%g in: f %g sd %g should be finite and less sure than the job welded", in, e.F, e.SD)
		}
	}
}

// A thick joint in several passes asks for more wire than the table allows a pass: the table's cap holds.
func TestTableLimitBites(t *testing.T) {
	q := Query{Setup: tee(), TableWireSpeed: 5, Limits: Limits{TableMax: 5.2, MachineMax: 9}}
	e := suggest(t, several(6, tee(), 125, 5, 0, 0), q)
	if e.WireSpeed != 5.2 || e.LimitHit != LimitTable || !(e.Wish > 5.5) || e.High != 5.2 {
		t.Errorf("capped at 5.2: %+v", e)
	}
	q.Limits = Limits{}
	e = suggest(t, several(30, tee(), 200, 5, 0, 0), q)
	if e.WireSpeed != 1.65*5 || e.LimitHit != LimitRatio {
		t.Errorf("capped at 165 %% of the table: %+v", e)
	}
}

func TestLimitsThatLeaveNothing(t *testing.T) {
	m := mustModel(t, shop(), nil, usual)
	var none *LimitsError
	_, err := m.Suggest(Query{Setup: tee(), TableWireSpeed: 5, Limits: Limits{MachineMax: 2}})
	if !errors.As(err, &none) || none.MaxFrom != LimitMachine {
		t.Errorf("a machine that stops at 2 m/min: %v", err)
	}
}

// A model remembers nothing but its log: after a weld is corrected, or struck, a new one answers as if the log had always
// been so.
func TestCorrectedAndStruck(t *testing.T) {
	welds := append(several(6, tee(), 110, 5, 0, 0), made(10, tee(), 160, 1, 1, 0), made(11, tee(), 100, 3, -1, 0))
	q := Query{Setup: tee(), TableWireSpeed: 5}
	first := suggest(t, welds, q)
	corrected := slices.Clone(welds)
	corrected[6].WireSpeed, corrected[6].Rating, corrected[6].Heat = 5.6, 4, 0
	struck := slices.Delete(slices.Clone(welds), 6, 7)
	for name, log := range map[string][]Weld{"corrected": corrected, "struck": struck} {
		e := suggest(t, log, q)
		if e.F == first.F {
			t.Errorf("%s: nothing changed", name)
		}
		slices.Reverse(log)
		if d := cmp.Diff(e, suggest(t, log, q)); d != "" {
			t.Errorf("%s: not as if always so:\n%s", name, d)
		}
	}
	if d := cmp.Diff(first, suggest(t, welds, q)); d != "" {
		t.Errorf("put back: not as before:\n%s", d)
	}
}

func TestNewMachine(t *testing.T) {
	s := tee()
	s.Machine = "red"
	q := Query{Setup: tee(), TableWireSpeed: 5}
	none, e := suggest(t, nil, q), suggest(t, several(8, s, 115, 5, 0, 0), q)
	if !(e.F > 0 && e.F < math.Log(1.15) && e.SD < none.SD && e.SD > 0.15) {
		t.Errorf("a new machine should start from the common part, with its own wide prior: f %g sd %g", e.F, e.SD)
	}
}

func TestFlaggedStateWithoutWelds(t *testing.T) {
	s := tee()
	s.Machine = "red"
	welds := several(10, s, 115, 5, 0, 0)
	q := Query{Setup: s, TableWireSpeed: 5}
	same := suggest(t, welds, q)
	q.State = "dcen"
	output := suggest(t, welds, q)
	q.State = "liner"
	liner := suggest(t, welds, q)
	near(t, "f after the change", output.F, same.F, 1e-12)
	near(t, "variance after the change", output.SD*output.SD, same.SD*same.SD+sdStateOutput*sdStateOutput, 1e-12)
	// The liner came after the change of polarity, whose effect is still there.
	near(t, "variance after both", liner.SD*liner.SD, output.SD*output.SD+sdStateFeed*sdStateFeed, 1e-12)
}

func TestEqualTimesGoById(t *testing.T) {
	live := []Weld{made(1, tee(), 100, 2, -1, 0), made(2, tee(), 110, 2, 1, 0)}
	for i := range live {
		live[i].Time = testEpoch
	}
	m := mustModel(t, shop(), nil, usual)
	n := mustNext(t, m, Query{Setup: tee(), TableWireSpeed: 5, Live: []Weld{live[1], live[0]}})
	if n.Last != live[1].WireSpeed {
		t.Errorf("last bead at %g, want that of the higher id, %g", n.Last, live[1].WireSpeed)
	}
}

// Welds all of one moment, with or without a session, give one answer in whatever order they come.
func TestEqualTimesInAnyOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	q, welds := wildNotebook(r)
	for i := range welds {
		welds[i].Time = testEpoch
	}
	for _, u := range []tune{usual, cached} {
		first := mustNext(t, mustModel(t, shop(), welds, u), q)
		for range 20 {
			r.Shuffle(len(welds), func(i, j int) { welds[i], welds[j] = welds[j], welds[i] })
			if d := cmp.Diff(first, mustNext(t, mustModel(t, shop(), welds, u), q)); d != "" {
				t.Fatalf("in another order:\n%s", d)
			}
		}
	}
}

// A hundred welds of one job, the same but for their ids, leave the spread of sessions, and for other jobs that of the cell,
// whether they were made on one day or on a hundred.
func TestIdenticalWelds(t *testing.T) {
	oneDay := several(100, tee(), 110, 5, 0, 0)
	for i := range oneDay {
		oneDay[i].Time = testEpoch
	}
	q, other := Query{Setup: tee(), TableWireSpeed: 5}, Query{Setup: tee(), TableWireSpeed: 5}
	other.Joint = "lap"
	if e := suggest(t, oneDay, q); !(e.SD > 0.8*sdSession) {
		t.Errorf("one session pins the job to sd %g, less than sessions vary", e.SD)
	}
	many := several(100, tee(), 110, 5, 0, 0)
	if e := suggest(t, many, q); !(e.SD > 0.8*sdSession/10 && e.SD < sdSession) || math.Abs(e.F-math.Log(1.1)) > 0.01 {
		t.Errorf("a hundred days leave sd %g, f %g", e.SD, e.F)
	}
	for days, welds := range map[int][]Weld{1: oneDay, 100: many} {
		if e := suggest(t, welds, other); !(e.SD > math.Hypot(sdCell, sdJoint)) {
			t.Errorf("another joint is known to sd %g from %d days", e.SD, days)
		}
	}
}

// A machine may have no taps and list no states.
func TestBareMachine(t *testing.T) {
	s := tee()
	s.State, s.Tap = "", ""
	m := mustModel(t, []Machine{{ID: "blue"}}, several(3, s, 110, 5, 0, 0), usual)
	if e := mustSuggest(t, m, Query{Setup: s, TableWireSpeed: 5}); !(e.F > 0) || e.TapAdvice.Tap != "" {
		t.Errorf("%+v", e)
	}
}

// Older spools than the last eight have no column of their own, but the one asked for has.
func TestOldSpools(t *testing.T) {
	var welds []Weld
	for i := range 30 {
		s := tee()
		s.Spool = fmt.Sprint("spool ", i/3)
		percent := 100.0
		if i < 3 {
			percent = 115
		}
		welds = append(welds, made(i, s, percent, 5, 0, 0))
	}
	for _, u := range []tune{usual, cached} {
		m := mustModel(t, shop(), welds, u)
		if len(m.spools) != explicitSpools || m.spools["spool 0"] {
			t.Fatalf("spools with a column: %v", m.spools)
		}
		ask := func(name string) float64 {
			q := Query{Setup: tee(), TableWireSpeed: 5}
			q.Spool = name
			return mustSuggest(t, m, q).F
		}
		if first, next := ask("spool 0"), ask("spool 1"); !(first > next+0.005) {
			t.Errorf("the first spool welded 15 %% higher: f %g on it, %g on the next", first, next)
		}
	}
}
