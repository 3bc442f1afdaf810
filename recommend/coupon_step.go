package recommend

import (
	"maps"
	"math"
	"strconv"

	"beadwright/procedures"
	"beadwright/recommend/arc"
)

// How far a rung steps. Design choices, no source: half way to the end of the
// suggestion's range, but so far that the eye can tell two beads apart and no
// farther than a fault would be; a pace that the leg shows (a quarter slower makes
// it an eighth larger); the lengths of stick-out that manuals of small machines name.
const (
	leastStep, mostStep = 0.08, 0.20 // of the wire speed, ln units
	paceStep            = 0.223      // ln 1.25
	noStep              = 0.03       // less is no step at all
)

// couponSteps are the values that the factors of a ladder take, rising.
type couponSteps struct {
	request Request
	speeds  []procedures.MPerMin
	paces   []procedures.MMPerMin
	sticks  []procedures.MM
}

func stepsOf(r Request, s Suggestion) couponSteps {
	c := couponSteps{request: r}
	v := float64(s.Settings.WireSpeed)
	step := leastStep
	if low, high := float64(s.Range.WireSpeed[0]), float64(s.Range.WireSpeed[1]); low > 0 && high > low {
		step = math.Max(leastStep, math.Min(mostStep, math.Log(high/low)/4))
	}
	low, high := speedReach(r, v)
	for _, x := range threeSteps(v, step, low, high) {
		c.speeds = append(c.speeds, procedures.MPerMin(x))
	}
	for _, x := range threeSteps(float64(s.Settings.Travel), paceStep, float64(slowestHand), float64(fastestHand)) {
		c.paces = append(c.paces, procedures.MMPerMin(x))
	}
	if s.Settings.Extension > 0 {
		c.sticks = sticks(r)
	}
	return c
}

// speedReach is how slow and how fast the wire may be set on purpose: what the
// feeder, the wire and the last printed row allow. The suggestion itself is within.
func speedReach(r Request, v float64) (low, high float64) {
	l := limits(r)
	low, high = math.Max(l.MachineMin, l.WireMin), math.Inf(1)
	for _, top := range []float64{l.MachineMax, l.WireMax, l.TableMax} {
		if top > 0 {
			high = math.Min(high, top)
		}
	}
	return math.Min(low, v), math.Max(high, v)
}

// threeSteps are a value and its neighbors a step apart, rising. At an end of what
// can be set both neighbors lie on the other side; where there is no room at all
// fewer than three come back. v lies within low and high.
func threeSteps(v, step, low, high float64) []float64 {
	down, up := math.Max(low, v*math.Exp(-step)), math.Min(high, v*math.Exp(step))
	all := []float64{v}
	if down < v*(1-noStep) {
		all = append([]float64{down}, all...)
	}
	if up > v*(1+noStep) {
		all = append(all, up)
	}
	if len(all) == 2 {
		if farther := math.Max(low, v*math.Exp(-2*step)); all[1] == v && farther < down*(1-noStep) {
			all = append([]float64{farther}, all...)
		} else if farther := math.Min(high, v*math.Exp(2*step)); all[0] == v && farther > up*(1+noStep) {
			all = append(all, farther)
		}
	}
	return all
}

// sticks are the stick-outs of a rung. Common practice, no source.
func sticks(r Request) []procedures.MM {
	solid := r.Job.Process == procedures.GMAW
	switch {
	case r.Units == procedures.Metric && solid:
		return []procedures.MM{6, 10, 13}
	case r.Units == procedures.Metric:
		return []procedures.MM{10, 13, 19}
	case solid:
		return []procedures.MM{procedures.Inches(0.25), procedures.Inches(0.375), procedures.Inches(0.5)}
	}
	return []procedures.MM{procedures.Inches(0.375), procedures.Inches(0.5), procedures.Inches(0.75)}
}

// ladder lists the beads of a ladder with so many on each rung.
func (c couponSteps) ladder(s Suggestion, on [5]int, size blankSize) []CouponBead {
	var beads []CouponBead
	add := func(rung, moved string, of, to float64, set procedures.Settings, length procedures.MM) {
		b := CouponBead{Number: len(beads) + 1, Rung: rung, Settings: set, Length: length}
		if math.Abs(to/of-1) > 1e-9 {
			b.Moved, b.Percent = moved, tenth(100*(to/of-1))
		}
		beads = append(beads, b)
	}
	own := s.Settings
	for range on[0] {
		add("A", "", 1, 1, own, size.long)
	}
	for _, v := range fewer(c.speeds, own.WireSpeed, on[1]) {
		set := c.request.atSpeed(s, v)
		add("B", "wire_speed_m_min", float64(own.WireSpeed), float64(set.WireSpeed), set, size.long)
	}
	for _, v := range fewer(c.paces, own.Travel, on[2]) {
		set := own
		set.Travel = v
		set.How = moved(own.How, "travel_mm_min", own.Travel == v)
		add("C", "travel_mm_min", float64(own.Travel), float64(v), set, size.long)
	}
	for _, v := range fewer(c.sticks, own.Extension, on[3]) {
		set := own
		set.Extension = v
		set.How = moved(own.How, "extension_mm", own.Extension == v)
		add("D", "extension_mm", float64(own.Extension), float64(v), set, size.long)
	}
	for range on[4] {
		add("E", "", 1, 1, own, size.specimen)
	}
	return beads
}

// fewer leaves n of the steps: without the one nearest to the suggestion's own,
// which the rung before has welded, where there is one too many.
func fewer[T ~float64](all []T, own T, n int) []T {
	if n == 0 || len(all) <= n {
		return all[:min(n, len(all))]
	}
	nearest := 0
	for i, v := range all {
		if math.Abs(float64(v-own)) < math.Abs(float64(all[nearest]-own)) {
			nearest = i
		}
	}
	var out []T
	for i, v := range all {
		if i != nearest {
			out = append(out, v)
		}
	}
	return out
}

// atSpeed is the suggestion's settings with another wire speed: the knob for it,
// the wire speed that this mark gives, and the current and volts that go with it.
func (r Request) atSpeed(s Suggestion, v procedures.MPerMin) procedures.Settings {
	own, set := s.Settings, s.Settings
	if v == own.WireSpeed {
		return set
	}
	set.How = moved(own.How, "wire_speed_m_min", false)
	set.WireSpeed = v
	var how procedures.How
	set.Knob, set.KnobSaid, how = Dial(r.Machine, set.Tap, v)
	delete(set.How, "knob")
	delete(set.How, "knob_text")
	switch {
	case set.Knob != nil:
		set.How["knob"] = how
		if own.Knob != nil && *set.Knob == *own.Knob {
			r.nextMark(&set, own)
		} else if at, _ := SpeedAt(r.Machine, set.Tap, *set.Knob); at > 0 {
			set.WireSpeed = at
		}
	case set.KnobSaid != "":
		set.How["knob_text"] = how
	}
	set.Current = currentThere(s, set.WireSpeed)
	set.Voltage = 0
	delete(set.How, "voltage_V")
	if u, err := arc.Voltage(r.Job.Wire, r.Job.Weld, set.Current); err == nil {
		set.Voltage = procedures.Volts(u.Value)
		set.How["voltage_V"] = u.How()
	}
	return set
}

// nextMark moves a knob that would stand where it stood by the least that a hand
// can set, if the wire speed is known there.
func (r Request) nextMark(set *procedures.Settings, own procedures.Settings) {
	step := r.Machine.Knob.Step
	if step == 0 {
		step = 0.25
	}
	if set.WireSpeed < own.WireSpeed {
		step = -step
	}
	mark := *own.Knob + step
	at, how := SpeedAt(r.Machine, set.Tap, mark)
	if at == 0 || (at < own.WireSpeed) != (step < 0) {
		set.Knob = nil // no mark is known for it
		delete(set.How, "knob")
		return
	}
	set.Knob, set.WireSpeed = &mark, at
	set.How["knob"] = how
}

// currentThere is the current at another wire speed: the suggestion's, moved as
// the wire's rows move; in proportion to the wire speed where they end.
func currentThere(s Suggestion, v procedures.MPerMin) procedures.Amps {
	from, err := arc.Current(s.Job.Wire, s.Settings.WireSpeed)
	to, err2 := arc.Current(s.Job.Wire, v)
	if err != nil || err2 != nil {
		return s.Settings.Current * procedures.Amps(v/s.Settings.WireSpeed)
	}
	return s.Settings.Current * procedures.Amps(to.Value/from.Value)
}

// moved is how the settings are known once one was moved on purpose.
func moved(how map[string]procedures.How, key string, same bool) map[string]procedures.How {
	out := maps.Clone(how)
	if out == nil {
		out = map[string]procedures.How{}
	}
	if !same {
		out[key] = procedures.CommonPractice
	}
	return out
}

func trim(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
