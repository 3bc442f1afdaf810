package remedy

import (
	"fmt"
	"math"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
)

// Kinds of step beside those of causes.
const (
	Keep Kind = "keep" // nothing is wrong: change nothing
	Ask  Kind = "ask"  // nothing is known: answer the questions
	Part Kind = "part" // weld the coupon that tells changes apart
)

// Sizes of a step where no suggestion gives one; common practice, no source. The
// eighth of the wire is the coaching rule of package learn.
const (
	wireStep      = 12.0 // percent of the wire speed
	longestStep   = 25.0 // percent of the wire speed, where a suggestion lies farther off
	currentStep   = 10.0 // percent of a covered electrode's current
	paceStep      = 20.0 // percent of the pace
	extensionStep = procedures.MM(3.175)
	unmoved       = 0.01 // of the wire speed: less is the same setting
	overshoot     = 2.0  // a mark that moves the wire by more than so many times what is wanted
	apart         = 0.02 // a mark's own speed is said where it is so far from the one wanted
)

// Point is a setting of the machine, as far as it is known.
type Point struct {
	Tap       string             `json:"tap"`
	Knob      *float64           `json:"knob"`
	KnobSaid  string             `json:"knob_text"`
	KnobHow   procedures.How     `json:"knob_how"`
	WireSpeed procedures.MPerMin `json:"wire_speed_m_min"`
}

// Step is one thing to do next.
type Step struct {
	Kind      Kind               `json:"kind"`
	Change    string             `json:"change"`    // as in [Cause]
	Direction string             `json:"direction"` // up, down, check
	Percent   procedures.Percent `json:"percent"`   // size, with its sign; 0: of no size that is known
	From      *Point             `json:"from"`      // settings before and after; nil where the step is none
	To        *Point             `json:"to"`
	Text      string             `json:"text"`
	Source    []string           `json:"source"`
}

// pointOf is where the machine stood for a weld. A wire speed without a mark gets
// the mark that the knob's curve, or a guess, gives.
func pointOf(s procedures.Settings, m procedures.Machine) *Point {
	p := Point{s.Tap, s.Knob, s.KnobSaid, s.How["knob"], s.WireSpeed}
	if p.Knob == nil && p.KnobSaid == "" && s.WireSpeed > 0 {
		p.Knob, p.KnobSaid, p.KnobHow = recommend.Dial(m, s.Tap, s.WireSpeed)
	}
	return &p
}

// wireAfter is the wire speed that suggest wants along with another tap, as the
// step after that of the tap; nil where it is the one that the wire has.
func wireAfter(tap Step, next recommend.Suggestion, m procedures.Machine, units procedures.Units) *Step {
	w := procedures.Weld{Settings: procedures.Settings{Tap: next.Settings.Tap, WireSpeed: tap.To.WireSpeed}}
	s, made := setting(w, next, m, nil, units)
	if made != moves || tap.Change != "tap" {
		return nil
	}
	return &s
}

// move is what comes of a step of the settings.
type move int

const (
	stays move = iota // suggest does not move
	moves             // it does, to the side that is wished for
	back              // it moves to the other side
	hair              // it moves by less than the marks of the knob can show
)

// against reports whether a step makes a symptom worse: a tap up what is too hot or
// too little wire for the volts, more wire what is too hot or too much of it, and the
// other way round.
func (s Step) against(keys []string) bool {
	up := map[string]int{"up": 1, "down": -1}[s.Direction]
	for _, k := range keys {
		y, _ := procedures.FindSymptom(k)
		feed := y.Feed
		if s.Change == "tap" {
			feed = -feed
		}
		if up*y.Heat > 0 || up*feed > 0 {
			return true
		}
	}
	return false
}

// setting is the step from a weld's settings to those that suggest gives next, no
// farther than the longest step. keys are the symptoms, and the step holds where it
// [moves]: never so that one of them gets worse.
func setting(w procedures.Weld, next recommend.Suggestion, m procedures.Machine, keys []string, units procedures.Units) (s Step, made move) {
	if !next.Given() || next.Settings.WireSpeed <= 0 {
		return s, stays
	}
	s = Step{Kind: Setting, From: pointOf(w.Settings, m), To: pointOf(next.Settings, m), Source: []string{}}
	a, b := s.From, s.To
	if a.Tap != "" && b.Tap != "" && !strings.EqualFold(a.Tap, b.Tap) {
		s.Change, s.Direction = "tap", "up"
		if tapIndex(m, b.Tap) < tapIndex(m, a.Tap) {
			s.Direction = "down"
		}
		s.Text = fmt.Sprintf("tap %s to %s", strings.ToUpper(a.Tap), strings.ToUpper(b.Tap))
		if a.WireSpeed > 0 { // the wire is a change of its own, for the bead after
			s.To = &Point{Tap: b.Tap, Knob: w.Settings.Knob, KnobSaid: w.Settings.KnobSaid, KnobHow: w.Settings.How["knob"], WireSpeed: a.WireSpeed}
			s.Text += ", the wire where it was"
		} else {
			s.Text += fmt.Sprintf(", wire speed %s%s", procedures.FormatWireSpeed(b.WireSpeed, units), atMark(b))
		}
		if s.against(keys) {
			return s, back
		}
		return s, moves
	}
	s.Change = "wire-speed"
	if a.WireSpeed <= 0 {
		s.Direction, s.Text = "check", fmt.Sprintf("set the wire speed to %s%s", procedures.FormatWireSpeed(b.WireSpeed, units), atMark(b))
		return s, moves
	}
	by := float64(b.WireSpeed/a.WireSpeed) - 1
	s.Direction = "up"
	if by < 0 {
		s.Direction = "down"
	}
	switch {
	case math.Abs(by) < unmoved:
		return s, stays
	case s.against(keys):
		return s, back
	}
	far := ""
	if 100*math.Abs(by) > longestStep+0.5 {
		far = ": a step on the way to " + procedures.FormatWireSpeed(b.WireSpeed, units) + ", which suggest gives"
		by = math.Copysign(longestStep/100, by)
		to := procedures.Settings{Tap: b.Tap, WireSpeed: a.WireSpeed * procedures.MPerMin(1+by), How: map[string]procedures.How{}}
		b = pointOf(to, m)
		s.To = b
	}
	s.Percent = procedures.Percent(math.Round(1000*by) / 10)
	own := markSpeed(m, b)
	if a.Knob != nil && b.Knob != nil && (*a.Knob == *b.Knob || own > 0 && math.Abs(float64(own/a.WireSpeed)-1) > overshoot*math.Abs(by)) {
		s.Text = fmt.Sprintf("leave the knob at %s: suggest wants %.0f %% %s wire, and that is less than its marks can show", procedures.FormatKnob(*a.Knob), 100*math.Abs(by), map[bool]string{true: "more", false: "less"}[by > 0])
		return s, hair
	}
	s.Text = fmt.Sprintf("wire speed %s %.0f %%, from %s to %s", s.Direction, 100*math.Abs(by), procedures.FormatWireSpeed(a.WireSpeed, units), procedures.FormatWireSpeed(b.WireSpeed, units)) + marks(a, b) + far
	if a.Knob != nil && own > 0 && math.Abs(float64(own/b.WireSpeed)-1) > apart {
		s.Text += fmt.Sprintf("; the mark itself gives %s", procedures.FormatWireSpeed(own, units))
	}
	return s, moves
}

// markSpeed is the wire speed that the mark of a point gives; 0: not known.
func markSpeed(m procedures.Machine, p *Point) procedures.MPerMin {
	if p.Knob == nil {
		return 0
	}
	v, _ := recommend.SpeedAt(m, p.Tap, *p.Knob)
	return v
}

func tapIndex(m procedures.Machine, name string) int {
	for i, t := range m.Taps {
		if strings.EqualFold(t.Name, name) {
			return i
		}
	}
	return 0
}

// marks says the move on the knob.
func marks(a, b *Point) string {
	switch {
	case b.Knob == nil || a.Knob == nil:
		return atMark(b)
	}
	return fmt.Sprintf(": knob %s to %s", procedures.FormatKnob(*a.Knob), procedures.FormatKnob(*b.Knob)) + guess(b)
}

func atMark(p *Point) string {
	switch {
	case p.Knob != nil:
		return ", knob " + procedures.FormatKnob(*p.Knob) + guess(p)
	case p.KnobSaid != "":
		return ", knob in the " + p.KnobSaid + guess(p)
	}
	return ""
}

func guess(p *Point) string {
	if p.KnobHow == procedures.Guessed {
		return " (a guess: the knob is not measured)"
	}
	return ""
}

// sized is the step of a cause, with its size where the change has one. set holds
// the pace and stick-out that are known.
func sized(c Cause, set procedures.Settings, units procedures.Units) Step {
	s := Step{Kind: c.Kind, Change: c.Change, Direction: c.Direction, Text: c.Do, Source: c.Source}
	up := 1.0
	switch c.Direction {
	case "check":
		return s
	case "down":
		up = -1
	}
	switch c.Change {
	case "wire-speed":
		s.Percent = procedures.Percent(up * wireStep)
		s.Text = fmt.Sprintf("wire speed %s by about an eighth (%.0f %%)", c.Direction, wireStep)
	case "current":
		s.Percent = procedures.Percent(up * currentStep)
		s.Text = fmt.Sprintf("current %s by a tenth (%.0f %%), within what the box of electrodes says", c.Direction, currentStep)
	case "pace":
		s.Percent = procedures.Percent(up * paceStep)
		s.Text = fmt.Sprintf("%s, by about a fifth (%.0f %%)", c.Do, paceStep) + timed(set.Travel, up, units)
	case "stick-out":
		if to := set.Extension + procedures.MM(up)*extensionStep; set.Extension > 0 && to > 0 {
			s.Percent = procedures.Percent(math.Round(float64(100 * (to/set.Extension - 1))))
			s.Text = fmt.Sprintf("%s: stick-out from %s to %s", c.Do, procedures.FormatLength(set.Extension, units), procedures.FormatLength(to, units))
		}
	}
	return s
}

// timed says the pace before and after on a stopwatch.
func timed(v procedures.MMPerMin, up float64, units procedures.Units) string {
	from, err := arc.SayTravel(v, units)
	if err != nil {
		return ""
	}
	to, err := arc.SayTravel(v*procedures.MMPerMin(1+up*paceStep/100), units)
	if err != nil {
		return ""
	}
	return fmt.Sprintf(": %s instead of %s", to, from)
}
