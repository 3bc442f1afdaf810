package recommend

import (
	"fmt"
	"math"

	"beadwright/procedures"
)

// What own welds weigh. A first, simple rule: the mean log ratio of good like
// welds to the table, shrunk toward the table as if one weld had been made
// there. All are design choices without a source.
const (
	tableWeight = 1.0  // welds that the table counts for
	spreadNone  = 0.24 // sd of ln(right/table) before any own weld: knob, machine, hand, table
	spreadLeast = 0.07 // sd that many own welds leave: spool, day, hand
	likeEnough  = 0.35 // similarity from which a weld counts as a like job
)

// own is what the history says of a job.
type own struct {
	good, failed int
	marks        []string
	shift        float64          // ln, of the table's wire speed
	mean         float64          // ln, before shrinking
	sd           float64          // of what is left unknown, ln
	passed       *procedures.Weld // the latest like weld that passed a bend or break test
	alone        bool             // there is no table: own welds are all there is
	speed        procedures.MPerMin
}

// ownWelds reads the history. Welds of another state of the machine, another
// wire or another group of steel say nothing here.
func ownWelds(r Request, h History, first start) own {
	o := own{marks: []string{}}
	table := newTables(r)
	var sum, weight, logs, logWeight float64
	for i := range h {
		w := &h[i]
		like := likeness(r, *w)
		if like < likeEnough || w.Settings.WireSpeed <= 0 {
			continue
		}
		same := like > 0.9
		if same && w.Outcome.Passed() {
			o.passed = w
		}
		switch {
		case w.Outcome.Good():
			o.good++
		case w.Outcome.Rating > 0:
			o.failed++
			continue
		default:
			continue // not rated: kept, not learned from
		}
		if same {
			logs += like * math.Log(float64(w.Settings.WireSpeed))
			logWeight += like
		}
		if t := table.of(w.Job); t > 0 {
			o.marks = append(o.marks, w.Mark)
			sum += like * math.Log(float64(w.Settings.WireSpeed)/t)
			weight += like
		}
	}
	if weight > 0 {
		o.mean = sum / weight
		o.shift = sum / (weight + tableWeight)
	}
	if logWeight > 0 {
		o.speed = procedures.MPerMin(math.Exp(logs / logWeight))
	}
	o.sd = math.Sqrt(spreadNone*spreadNone*tableWeight/(weight+tableWeight) + spreadLeast*spreadLeast)
	if weight == 0 {
		o.sd = spreadNone
	}
	return o
}

// likeness is 1 for the same job and falls with distance; 0 says nothing.
func likeness(r Request, w procedures.Weld) float64 {
	a, b := r.Job, w.Job
	machine, state := machineKey(r.Machine)
	if b.Machine != machine || b.State != state || b.Class != a.Class || b.Gas != a.Gas || b.SteelGroup != a.SteelGroup ||
		math.Abs(float64(a.Diameter-b.Diameter)) > 0.02 || b.Thickness == 0 {
		return 0
	}
	d := math.Abs(math.Log(float64(a.Thinner()/b.Thinner()))) / 0.5
	if a.Joint != b.Joint {
		d += 0.4
	}
	if a.Position != b.Position {
		d += 0.6
	}
	return math.Exp(-d)
}

// tables looks up past jobs in the tables, each once.
type tables struct {
	r    Request
	seen map[procedures.Job]float64
}

func newTables(r Request) *tables { return &tables{r, map[procedures.Job]float64{}} }

// of returns the table's wire speed for a job in m/min, 0 where there is none.
func (t *tables) of(j procedures.Job) float64 {
	key := procedures.Job{Thickness: j.Thinner(), Joint: j.Joint, Position: j.Position, Weld: j.Weld, Wire: j.Wire, Process: j.Process}
	v, ok := t.seen[key]
	if !ok {
		if s, err := tableStart(Request{Job: key, Machine: t.r.Machine}); err == nil {
			v = s.wireSpeed.Value
		}
		t.seen[key] = v
	}
	return v
}

func (o own) evidence() Evidence {
	return Evidence{Good: o.good, Failed: o.failed, LikeMarks: o.marks, ShiftPercent: procedures.Round(math.Round(1000*(math.Exp(o.shift)-1)) / 10)}
}

// sentence says what the own welds did, with the sign that the numbers have.
func (o own) sentence(r Request, now, table float64) string {
	if o.good == 1 {
		return fmt.Sprintf("table %s; your 1 good weld on a like job runs %s it; so %s", speed(r, procedures.MPerMin(table)), percentOff(o.mean), speed(r, procedures.MPerMin(now)))
	}
	return fmt.Sprintf("table %s; your %d good welds on like jobs run %s it; so %s", speed(r, procedures.MPerMin(table)), o.good, percentOff(o.mean), speed(r, procedures.MPerMin(now)))
}

func percentOff(logRatio float64) string {
	p := math.Round(100 * (math.Exp(logRatio) - 1))
	switch {
	case p > 0:
		return fmt.Sprintf("%.0f %% above", p)
	case p < 0:
		return fmt.Sprintf("%.0f %% below", -p)
	}
	return "level with"
}

// ownStart builds a start from own tested welds alone, where no table answers.
func ownStart(r Request, o own, past *outside) start {
	p := o.passed.Settings
	s := start{reasons: []Reason{{past.text, past.source},
		{fmt.Sprintf("no table answers; these are the settings of your own %s, which passed its %s test", o.passed.Mark, passedTest(*o.passed)), nil}}}
	s.wireSpeed.Value, s.wireSpeed.Low, s.wireSpeed.High = float64(p.WireSpeed), float64(p.WireSpeed), float64(p.WireSpeed)
	s.current.Value, s.current.Low, s.current.High = float64(p.Current), float64(p.Current), float64(p.Current)
	s.voltage.Value, s.voltage.Low, s.voltage.High = float64(p.Voltage), float64(p.Voltage), float64(p.Voltage)
	return s
}
