package recommend

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/arc"
	"beadwright/recommend/learn"
)

// Shop is the machines that past welds may have been made on, each with its
// states from the first to the present one.
type Shop []ShopMachine

// ShopMachine is a machine as the notebook knows it, past states included.
type ShopMachine struct {
	Machine procedures.Machine
	States  []procedures.State
}

// own is what the history says of a job.
type own struct {
	estimate  learn.Estimate
	sentences []string
	nearby    int    // rated welds of about this thickness
	same      int    // good welds of this joint, position and thickness, on any machine
	stuck     bool   // no wire speed within the limits is left to try
	question  string // whether something changed on the machine unnoticed; "" nothing to ask
	marks     []string
	passed    *procedures.Weld            // the latest weld of this very job that passed a bend or break test
	broke     *procedures.Weld            // the latest like weld that failed in use, with no passed test after that
	dials     map[string]*procedures.Weld // by tap, the latest like weld that passed its test at a mark of the knob
	broken    []string                    // marks of welds of this very job that failed a test or in use
	here      bool                        // a good weld was made on the machine as it stands
	alone     bool                        // there is no table: own welds are all there is
}

// unnamed stands for the machine of welds made before one was written down.
const unnamed = "no machine written down"

// sameKind reports whether what one weld taught may be used on the other job at
// all: the same wire class and gas, near the same size, the same group of steel.
func sameKind(a, b procedures.Job) bool {
	return a.Class == b.Class && a.Gas == b.Gas && a.SteelGroup == b.SteelGroup && math.Abs(float64(a.Diameter-b.Diameter)) < 0.06
}

// memory is the model of the welds that may teach something about a kind of job:
// the same wire and group of steel, on any machine, in any thickness and joint.
// One memory answers for all jobs of the kind.
type memory struct {
	shop   *shop
	tables *tables
	welds  []learn.Weld
	mark   *marks

	thought sync.Once // makes what follows
	model   *learn.Model
	said    *said // by the model
	err     error // a record that the model cannot take
}

func recall(r Request, h History) *memory {
	m := remember(r, h)
	m.think()
	return m
}

// remember is recall without the model, which is made when it is asked for.
func remember(r Request, h History) *memory {
	m := &memory{shop: newShop(r), tables: newTables(r), welds: make([]learn.Weld, 0, len(h)), mark: newMarks(len(h))}
	m.take(r.Job, h)
	return m
}

// take reads welds of the job's kind, and says whether there were any.
func (m *memory) take(job procedures.Job, h History) bool {
	before := len(m.welds)
	for i := range h {
		if !sameKind(job, h[i].Job) || wrongPole(h[i]) {
			continue
		}
		if l, ok := m.shop.weld(&h[i], m.tables); ok {
			m.mark.set(l.ID, h[i].Mark)
			m.welds = append(m.welds, l)
		}
	}
	return len(m.welds) > before
}

// think makes the model of the welds taken, once; whoever comes meanwhile waits.
func (m *memory) think() {
	m.thought.Do(func() {
		m.model, m.err = learn.New(m.shop.machines, m.welds)
		m.said = &said{}
	})
}

// learn asks the model of package learn what past welds say of the table's
// wire speed on a tap. Welds made today on this very job count as the beads just
// made. Errors: [*outside] where no wire speed is within all limits.
func (o own) learn(r Request, past *memory, first start, tap string) (own, error) {
	if past.think(); past.err != nil {
		return o.deaf(first, past.err)
	}
	here := learn.Setup{Machine: past.shop.id(r.Machine.Name, r.Machine.Example), State: r.Machine.State.ID, Spool: r.Spool, ThicknessIn: r.Job.Thinner().Inches(),
		Joint: string(r.Job.Joint), Position: string(r.Job.Position), WireDiameterIn: r.Job.Diameter.Inches(), Tap: tap}
	var live []learn.Weld
	for i := range past.welds {
		l := &past.welds[i]
		o.here = o.here || l.Rating >= 4 && l.Machine == here.Machine && l.State == here.State
		if math.Abs(math.Log(l.ThicknessIn/here.ThicknessIn)) < nearThickness {
			o.nearby++
			if l.Rating >= 4 && l.Joint == here.Joint && l.Position == here.Position {
				o.same++
			}
		}
		if !r.Now.IsZero() && sameJob(l.Setup, here) && sameDay(l.Time, r.Now) {
			live = append(live, *l)
		}
	}
	o.question = past.drift(here.Machine)
	q := learn.Query{Setup: here, TableWireSpeed: first.wireSpeed.Value, Live: live, Limits: limits(r)}
	for _, name := range r.Machine.TapNames() {
		if name != tap {
			q.OtherTaps = append(q.OtherTaps, learn.TapTable{Tap: name, TableWireSpeed: first.wireSpeed.Value})
		}
	}
	units := learn.US()
	if r.Units == procedures.Metric {
		units = learn.Metric()
	}
	var err error
	if len(live) > 0 {
		var next learn.Next
		next, err = past.model.NextBead(q)
		o.estimate, o.stuck = next.Estimate, next.Stuck
		if err == nil {
			next.Low, next.High = spread(r, first, next.Estimate)
			o.sentences = next.Explain(units)
		}
	} else if o.estimate, err = past.estimate(q); err == nil {
		shown := o.estimate // with the range that is given, which is wider where the tables disagree
		shown.Low, shown.High = spread(r, first, shown)
		o.sentences = shown.Explain(units)
	}
	var bad *learn.InputError
	if errors.As(err, &bad) {
		return o.deaf(first, err)
	}
	return o.withMarks(past.mark), limited(r, err)
}

// deaf falls back to the table where the model cannot take a record: a suggestion
// never fails on what is in the notebook, and says so.
func (o own) deaf(first start, err error) (own, error) {
	w := first.wireSpeed
	o.estimate = learn.Estimate{WireSpeed: w.Value, Low: w.Low, High: w.High, Table: w.Value}
	o.sentences = []string{"your own welds were left out of this one, because a record cannot be used: " + err.Error()}
	return o, nil
}

// limited turns limits that leave no wire speed into an answer.
func limited(r Request, err error) error {
	var le *learn.LimitsError
	if errors.As(err, &le) {
		return &outside{text: fmt.Sprintf("no wire speed fits: %s or more by %s, %s or less by %s",
			speed(r, procedures.MPerMin(le.Min)), limitWords(le.MinFrom, r), speed(r, procedures.MPerMin(le.Max)), limitWords(le.MaxFrom, r)),
			instead: "use a thicker or thinner wire, so that the wire speed wanted is one that the feeder runs"}
	}
	return err
}

// limitWords says whose limit it is.
func limitWords(from string, r Request) string {
	switch from {
	case learn.LimitMachine:
		return "what " + r.Machine.Name + " feeds"
	case learn.LimitWire:
		return "what the wire is made for"
	case learn.LimitTable:
		return "the end of the table"
	}
	return "the table and some room round it"
}

func (o own) withMarks(m *marks) own {
	for _, id := range o.estimate.LikeIDs {
		o.marks = append(o.marks, m.of(id))
	}
	return o
}

// limits are the wire's own printed range and the feeder's.
func limits(r Request) learn.Limits {
	l := learn.Limits{}
	l.MachineMin, l.MachineMax = feederReach(r.Machine)
	if w, ok := wireLimit(r.Job.Wire); ok && w.WireSpeedHighInPerMin > 0 {
		l.WireMin = float64(procedures.InchesPerMin(w.WireSpeedLowInPerMin))
		l.WireMax = float64(procedures.InchesPerMin(w.WireSpeedHighInPerMin))
	}
	l.TableMax = tableTop(r)
	return l
}

// pastTop is how far past the wire's last printed row own welds may lead: knobs
// and stick-out differ, but wire speed is current, and no table stands behind it.
// A design choice.
const pastTop = 1.25

// tableTop is the fastest wire that a suggestion may reach, in m/min: a little past
// the last printed row, and no further than the machine's highest current goes
// (wire speed and current rise together). Zero: no rows.
func tableTop(r Request) float64 {
	speed, reach, ok := lastRow(r.Job.Wire)
	if !ok {
		return 0
	}
	past := pastTop
	if m := r.Machine.MaxAmps; m > 0 {
		past = math.Max(1, math.Min(past, float64(m)/reach.High))
	}
	return speed * past
}

// lastRow is the fastest wire speed that a wire's rows hold, in m/min, and the
// currents that they cover.
func lastRow(w procedures.Wire) (speed float64, reach arc.Value, ok bool) {
	reach, err := arc.CurrentRange(w)
	if err != nil {
		return 0, reach, false
	}
	top, err := arc.WireSpeed(w, procedures.Amps(reach.High))
	return top.Value, reach, err == nil
}

func sameDay(a, b time.Time) bool {
	ay, am, ad := a.In(b.Location()).Date()
	by, bm, bd := b.Date()
	return ay == by && am == bm && ad == bd
}

func sameJob(a, b learn.Setup) bool {
	a.Spool, a.User = b.Spool, b.User
	return a == b
}

// shop turns the notebook's machines and welds into the model's.
type shop struct {
	machines []learn.Machine
	at       map[string]int // by name
}

func newShop(r Request) *shop {
	s := &shop{at: map[string]int{}}
	example := ExampleMachine(r.Job.Process)
	s.add(unnamed, example, nil)
	for _, m := range r.Shop {
		s.add(m.Machine.Name, m.Machine, m.States)
	}
	if !r.Machine.Example {
		s.add(r.Machine.Name, r.Machine, []procedures.State{r.Machine.State})
	}
	return s
}

func (s *shop) add(name string, m procedures.Machine, states []procedures.State) {
	if _, ok := s.at[name]; ok {
		return
	}
	l := learn.Machine{ID: name, Taps: m.TapNames(), Calibrated: calibrated(m)}
	for _, st := range states {
		if st.ID != "" {
			l.States = append(l.States, learn.State{ID: st.ID, Kind: learn.StateKind(st.Kind)})
		}
	}
	s.at[name] = len(s.machines)
	s.machines = append(s.machines, l)
}

func (s *shop) id(name string, example bool) string {
	if example || name == "" {
		return unnamed
	}
	return name
}

// weld turns a record into what the model learns from. ok is false for one that
// it cannot place: a machine, state or tap that is not known, or no table.
func (s *shop) weld(w *procedures.Weld, t *tables) (l learn.Weld, ok bool) {
	name := s.id(w.Job.Machine, false)
	i, known := s.at[name]
	rating, heat, feed := reading(w.Outcome)
	if !known || w.Job.Thinner() == 0 || w.Settings.WireSpeed <= 0 || rating == 0 {
		return l, false
	}
	m := s.machines[i]
	if len(m.Taps) > 0 && !slices.Contains(m.Taps, w.Settings.Tap) {
		return l, false
	}
	if len(m.States) > 0 && !slices.ContainsFunc(m.States, func(st learn.State) bool { return st.ID == w.Job.State }) {
		return l, false
	}
	table := t.of(w.Job)
	if table == 0 || !Plausible(w.Settings.WireSpeed, procedures.MPerMin(table)) {
		return l, false
	}
	l = learn.Weld{ID: w.ID, Time: w.At, TableWireSpeed: table, WireSpeed: float64(w.Settings.WireSpeed), Rating: rating, Heat: heat, Balance: feed,
		Setup: learn.Setup{Machine: name, Spool: w.Spool, ThicknessIn: w.Job.Thinner().Inches(), Joint: string(w.Job.Joint), Position: string(w.Job.Position),
			WireDiameterIn: w.Job.Diameter.Inches()}}
	if len(m.Taps) > 0 {
		l.Tap = w.Settings.Tap
	}
	if len(m.States) > 0 {
		l.State = w.Job.State
	}
	if l.ID == "" {
		l.ID = w.Mark
	}
	return l, true
}

// coldBreaks are test results that show metal which never melted in, dirtyBreaks
// those that speak of gas, wind or dirt and not of the wire speed, plainBreaks those
// that say no more than that it failed.
var (
	coldBreaks  = []string{"root line", "straight edge", "peeled", "peeled clean", "cold", "not fused", "popped off"}
	dirtyBreaks = []string{"holes", "pores", "slag"}
	plainBreaks = []string{"fail", "failed", "broke", "broken", "cracked"}
)

// dirtSymptoms are symptoms that no wire speed cures: gas, wind, damp, slag.
var dirtSymptoms = []string{"porosity", "worm-tracks", "slag-inclusion"}

// reading is what an outcome says to the model: a failed test outweighs the looks, a
// failure in use counts as one, and so does a failed test of a bead that nobody rated.
// What was said of the failure, at the test or in use, is heard for symptoms.
// Where nothing tells why a bead broke it reads as too cold: on a small machine that
// is mostly metal which never melted in, and less heat makes that worse (common
// practice, no source). Where holes or slag broke it no wire speed would have helped,
// and it says nothing: the rating is 0. Nor does a crack, whose causes are the steel,
// the pull of the parts and the crater; whatever else was seen, a bead with a crack
// is never a good one.
func reading(o procedures.Outcome) (rating, heat, feed int) {
	rating = int(o.Rating)
	said := o.Symptoms
	failed, cold, dirty := false, false, true
	fail := func(words string) {
		failed = true
		switch {
		case slices.Contains(dirtyBreaks, words):
			return
		case slices.Contains(coldBreaks, words):
			cold = true
		case words != "" && !slices.Contains(plainBreaks, words): // hearing takes its time
			heard := procedures.Hear(words).Symptoms
			said = append(slices.Clip(said), heard...)
			if len(heard) > 0 && !slices.ContainsFunc(heard, func(k string) bool { return !slices.Contains(dirtSymptoms, k) }) {
				return
			}
		}
		dirty = false
	}
	if !o.FailedInUse.IsZero() {
		fail(o.InUse)
	}
	for _, t := range o.Tests {
		if !t.Passed {
			fail(t.Result)
		}
	}
	heat, feed = procedures.Direction(said)
	switch {
	case !failed && o.Cracked() && heat == 0 && feed == 0:
		return 0, 0, 0
	case !failed && (o.Cracked() || o.Unfused()):
		return min(rating, 2), heat, feed
	case !failed:
		return rating, heat, feed
	case heat == 0 && feed == 0 && dirty:
		return 0, 0, 0
	case heat == 0 && (cold || feed == 0):
		heat = -1
	}
	if rating == 0 || rating > 2 {
		rating = 2
	}
	return rating, heat, feed
}

// tables looks up past jobs in the tables, each once.
type tables struct {
	r    Request
	seen map[tableKey]float64
}

type tableKey struct {
	mm       procedures.MM
	joint    procedures.Joint
	weld     procedures.WeldType
	position procedures.Position
	wire     procedures.Wire
}

func newTables(r Request) *tables { return &tables{r, map[tableKey]float64{}} }

// of returns the table's wire speed for a job in m/min, 0 where there is none.
func (t *tables) of(j procedures.Job) float64 {
	key := tableKey{j.Thinner(), j.Joint, j.Weld, j.Position, j.Wire}
	v, ok := t.seen[key]
	if !ok {
		bare := procedures.Job{Thickness: key.mm, Joint: j.Joint, Weld: j.Weld, Position: j.Position, Wire: j.Wire, Process: j.Process}
		if s, err := tableStart(Request{Job: bare, Machine: t.r.Machine}); err == nil {
			v = s.wireSpeed.Value
		}
		t.seen[key] = v
	}
	return v
}

// nearThickness is how far off, in ln units, a thickness still counts as about this
// one: 1/8 in against 10 or 12 gauge, not against 16. A design choice.
const nearThickness = 0.25

// Plausible reports whether a logged wire speed may be so against the table's: a
// third to three times it. Beyond that it is kept and not learned from.
func Plausible(set, table procedures.MPerMin) bool { return set <= 3*table && 3*set >= table }

// TableSpeed is the table's wire speed for a job; zero where there is none.
func TableSpeed(j procedures.Job) procedures.MPerMin {
	return procedures.MPerMin(newTables(Request{}).of(j))
}

func (o own) evidence() Evidence {
	e := o.estimate
	out := Evidence{Good: e.GoodLike, SameJob: min(o.same, e.GoodLike), Failed: e.FailedLike, FailedTests: o.broken, BeforeChange: e.GoodLike > 0 && !o.here, LikeMarks: o.marks, ShiftPercent: tenth(e.ShiftPercent), Parts: []Part{}}
	for _, c := range e.Contributions {
		if p := tenth(100 * (math.Exp(c.LogShift) - 1)); p != 0 {
			out.Parts = append(out.Parts, Part{From: c.Group, Percent: p})
		}
	}
	return out
}

func tenth(v float64) float64 { return math.Round(10*v) / 10 }
