package feeder

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
)

// Reading is what a quick look at a machine read: a timed run-out, meter readings,
// the mark where it stubs, one check bead. What is zero or nil was not read.
type Reading struct {
	Tap        string            // all of it was read on
	Mark       *float64          // the knob stood at while volts were read
	Run        procedures.RunOut // Length zero: none
	Load       procedures.Volts  // at the arc
	LineIdle   procedures.Volts  // at the machine's plug
	LineLoaded procedures.Volts
	Stub       *float64 // mark where the wire begins to stub
	Bead       *Bead
}

// Bead is one check bead, and the rated welds of this state that it is like.
type Bead struct {
	Rating   procedures.Count // zero: not rated
	Symptoms []string
	Like     []procedures.Weld
}

// Drift is how far a machine has moved from its own baseline, and where to look.
type Drift struct {
	Findings []Finding `json:"findings"`
	Missing  []Missing `json:"missing"` // read, but there is nothing to set it against
	Looks    []Look    `json:"looks"`   // where to look, in order; none: nothing moved for the worse
}

// Finding is one reading against its baseline. Moved is +1 or -1 where Now lies
// beyond Was by more than Noise, which readings of a machine that did not change
// stay within about 19 times in 20; else 0.
type Finding struct {
	What    Sign       `json:"what"`
	Symptom string     `json:"symptom"` // its key, where What is one: Was is the share of like welds that had it
	Was     float64    `json:"was"`
	Now     float64    `json:"now"`
	Noise   float64    `json:"noise"`
	Unit    string     `json:"unit"` // m/min, V, mark, of 5, or "" for a symptom
	Moved   int        `json:"moved"`
	Against string     `json:"against"` // what the baseline is
	Since   *time.Time `json:"since"`   // when it was first read; nil: at several times
}

// Missing is a reading with no baseline, and what to do first.
type Missing struct {
	What Sign   `json:"what"`
	Why  string `json:"why"`
}

// Sign is a thing that a check can read.
type Sign string

// In the order in which they are told.
const (
	LineIdleSign Sign = "line_idle"
	LineLoadSign Sign = "line_loaded"
	FeedSign     Sign = "run_out"
	LoadSign     Sign = "load"
	StubSign     Sign = "stub"
	BeadSign     Sign = "bead"
	SymptomSign  Sign = "symptom"
)

// What two readings of an unchanged machine may differ by. Common practice, no
// source: an arc's volts flicker under the needle, the wall's wander by the hour, a
// hand sets a knob to a quarter mark and hears stubbing to another, and the same
// bead is rated a mark up or down on another day.
const (
	arcNoise    = 1.0 // V
	lineNoise   = 3.0 // V
	stubNoise   = 0.5 // marks
	ratingNoise = 1.0 // marks of 5
	sameSetting = 1.0 // mark: volts read further apart on the knob are of another arc
)

// nineteenIn20 is how many standard deviations to each side hold 95 % of a normal
// distribution.
const nineteenIn20 = 1.96

// Check sets a reading against the machine's own baseline in its present state:
// the curve of its run-outs on this tap, the first volts and stub mark read, the
// ratings of like welds. Volts are first corrected for the line: what a low line
// takes off the output is the line's, and only the rest is looked for elsewhere
// (a transformer gives in proportion to what it gets; arithmetic).
func Check(m procedures.Machine, r Reading) Drift {
	d := Drift{Findings: []Finding{}, Missing: []Missing{}, Looks: []Look{}}
	line := d.line(m, r)
	d.feed(m, r)
	if r.Load > 0 {
		d.against(m, r, probe{kind: procedures.LoadVolts, what: LoadSign, now: float64(r.Load), share: line, noise: arcNoise, unit: "V"})
	}
	if r.Stub != nil {
		atAny := r
		atAny.Mark = nil
		d.against(m, atAny, probe{kind: procedures.StubMark, what: StubSign, now: *r.Stub, share: 1, noise: math.Max(stubNoise, 2*m.Knob.Step), unit: "mark"})
	}
	d.bead(r.Bead)
	d.Looks = append(d.Looks, looks(d, r)...)
	return d
}

// line judges the wall, and returns what it does to the output, as a share.
func (d *Drift) line(m procedures.Machine, r Reading) float64 {
	idle, share := 1.0, 1.0
	if r.LineIdle > 0 {
		if f := d.against(m, r, probe{kind: procedures.LineIdleVolts, what: LineIdleSign, now: float64(r.LineIdle), share: 1, noise: lineNoise, unit: "V"}); f != nil {
			idle = f.Now / f.Was
			share = idle
		}
	}
	if r.LineLoaded > 0 {
		if f := d.against(m, r, probe{kind: procedures.LineLoadVolts, what: LineLoadSign, now: float64(r.LineLoaded), share: idle, noise: lineNoise, unit: "V"}); f != nil {
			share = f.Now / f.Was * idle
		}
	}
	return share
}

// probe is one quantity of a reading, to set against its baseline.
type probe struct {
	kind  procedures.MeasurementKind
	what  Sign
	now   float64 // in unit
	share float64 // what the baseline is to be multiplied by
	noise float64 // in unit: how far apart two readings of one thing may lie
	unit  string
}

// against sets one quantity against the first of its kind in the present state, on
// the same tap, and at about the same mark where both are known. It returns nil where
// there is no baseline.
func (d *Drift) against(m procedures.Machine, r Reading, q probe) *Finding {
	elsewhere := ""
	for _, b := range m.Measurements {
		switch {
		case b.Kind != q.kind || b.State != m.State.ID || b.Struck != "" || b.Value <= 0:
			continue
		case b.Tap != "" && r.Tap != "" && !strings.EqualFold(b.Tap, r.Tap):
			elsewhere = "it was read " + onTap(b.Tap) + " only"
			continue
		case q.kind == procedures.LoadVolts && b.Knob != nil && r.Mark != nil && math.Abs(*b.Knob-*r.Mark) > sameSetting:
			elsewhere = fmt.Sprintf("it was read at mark %s only", procedures.FormatKnob(*b.Knob))
			continue
		}
		f := Finding{What: q.what, Was: b.Value * q.share, Now: q.now, Noise: q.noise, Unit: q.unit, Against: "first reading in this state", Since: &b.At}
		if q.share != 1 {
			f.Against += ", corrected for the line"
		}
		f.judge()
		d.Findings = append(d.Findings, f)
		return &f
	}
	if elsewhere == "" {
		elsewhere = "it was not read in this state yet"
	}
	d.Missing = append(d.Missing, Missing{q.what, elsewhere})
	return nil
}

func (f *Finding) judge() {
	switch off := f.Now - f.Was; {
	case off > f.Noise:
		f.Moved = 1
	case off < -f.Noise:
		f.Moved = -1
	}
}

// feed judges the run-out. Its noise is the thumb's timing today and the range of
// the curve at that mark, as independent errors, 19 times in 20.
func (d *Drift) feed(m procedures.Machine, r Reading) {
	if r.Run.Length == 0 {
		return
	}
	c, ok := Own(m, m.State.ID, r.Tap)
	if !ok {
		d.Missing = append(d.Missing, Missing{FeedSign, "the knob was not run out in this state on this tap yet"})
		return
	}
	was, err := c.SpeedAt(r.Run.Mark)
	if err != nil {
		marks, _ := c.Reach()
		d.Missing = append(d.Missing, Missing{FeedSign, fmt.Sprintf("the knob was run out from mark %s to %s only", procedures.FormatKnob(marks[0]), procedures.FormatKnob(marks[1]))})
		return
	}
	curve := (was.High - was.Low) / 2 / FourInFive
	thumb := Timing(r.Run) / 100 * was.Value
	f := Finding{What: FeedSign, Was: was.Value, Now: float64(r.Run.Speed()), Noise: nineteenIn20 * math.Hypot(curve, thumb), Unit: "m/min",
		Against: fmt.Sprintf("its run-outs at %d marks in this state", len(c.Points))}
	if len(c.Points) == 1 {
		f.Against = "its run-outs at 1 mark in this state"
	}
	f.judge()
	d.Findings = append(d.Findings, f)
}

// Repeated is how many like welds make a baseline of looks: one or two may have been
// luck. Common practice, no source.
const Repeated = 3

// bead judges the rating, and symptoms that no like weld had, where [Repeated] like
// welds stand behind it.
func (d *Drift) bead(b *Bead) {
	if b == nil {
		return
	}
	n, total := 0, 0.0
	for _, w := range b.Like {
		if w.Outcome.Rating > 0 {
			n++
			total += float64(w.Outcome.Rating)
		}
	}
	switch {
	case n == 0:
		d.Missing = append(d.Missing, Missing{BeadSign, "no like weld was rated in this state yet"})
		return
	case n < Repeated:
		d.Missing = append(d.Missing, Missing{BeadSign, fmt.Sprintf("only %d of the %d like welds that make a baseline of looks", n, Repeated)})
		return
	}
	against := fmt.Sprintf("the mean of %d like welds in this state", n)
	if b.Rating > 0 {
		f := Finding{What: BeadSign, Was: total / float64(n), Now: float64(b.Rating), Noise: ratingNoise, Unit: "of 5", Against: against}
		f.judge()
		d.Findings = append(d.Findings, f)
	}
	for _, s := range b.Symptoms {
		had := 0
		for _, w := range b.Like {
			if slices.Contains(w.Outcome.Symptoms, s) {
				had++
			}
		}
		f := Finding{What: SymptomSign, Symptom: s, Was: float64(had) / float64(n), Now: 1, Against: fmt.Sprintf("%d of %d like welds in this state had it", had, n)}
		if had == 0 {
			f.Moved = 1
		}
		d.Findings = append(d.Findings, f)
	}
}

// Like picks the rated welds of the machine's present state that a check bead like
// twin can be set against: the same joint, position, wire and tap, thickness within
// 10 %, and the knob within half a mark or else the wire speed within 10 %.
func Like(m procedures.Machine, welds []procedures.Weld, twin procedures.Weld) []procedures.Weld {
	var like []procedures.Weld
	for _, w := range welds {
		a, b := w.Job, twin.Job
		switch {
		case w.Struck != "" || w.Outcome.Rating == 0 || a.State != m.State.ID:
		case a.Joint != b.Joint || a.Position != b.Position || a.Class != b.Class || math.Abs(float64(a.Diameter-b.Diameter)) > 0.06:
		case !strings.EqualFold(w.Settings.Tap, twin.Settings.Tap) || b.Thinner() == 0 || math.Abs(float64(a.Thinner()/b.Thinner())-1) > 0.10:
		case !sameSet(w.Settings, twin.Settings):
		default:
			like = append(like, w)
		}
	}
	return like
}

func sameSet(a, b procedures.Settings) bool {
	switch {
	case a.Knob != nil && b.Knob != nil:
		return math.Abs(*a.Knob-*b.Knob) <= 0.5
	case a.WireSpeed > 0 && b.WireSpeed > 0:
		return math.Abs(float64(a.WireSpeed/b.WireSpeed)-1) <= 0.10
	}
	return true
}
