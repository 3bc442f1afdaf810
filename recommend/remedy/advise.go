package remedy

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/recommend"
)

// lastChanges is how many changes of the past [Advise] counts.
const lastChanges = 20

// Request is what is asked of the coach.
type Request struct {
	Symptoms []string           // keys, as said; none: those of the weld
	Signs    []string           // good signs said, by key
	Weld     *procedures.Weld   // the bead it is about; nil: none is logged
	Ask      recommend.Request  // what suggest would be asked today for that bead's job; without a bead, words and machine alone
	History  recommend.History  // the welds that stand, whole
	Past     recommend.History  // the same as suggest reads them; nil: History
	Process  procedures.Process // where there is no bead; zero: self-shielded wire
}

// Advice is the coach's answer.
type Advice struct {
	Symptoms  []Named    `json:"symptoms"`  // what it is called
	Signs     []Named    `json:"signs"`     // good signs: they say nothing of what a bead bears
	Weld      string     `json:"weld"`      // mark of the bead it is about; "": none
	Failed    string     `json:"failed"`    // which test of it failed, or that it failed in use; "": neither
	Causes    []Cause    `json:"causes"`    // in the order in which to look, settings last
	Step      *Step      `json:"step"`      // the one next step; nil where no settings are given on purpose
	Then      *Step      `json:"then"`      // the setting that may follow on the bead after; nil: none
	Twin      string     `json:"twin"`      // mark of an earlier bead that came out good at the very same setting
	Unlogged  []string   `json:"unlogged"`  // symptoms said that the bead's record does not hold
	Test      string     `json:"test_says"` // of a bead called cold that passed a test; "": nothing
	Compared  *Compared  `json:"compared"`  // with the bead before it; nil without a bead
	Tally     Tally      `json:"tally"`
	Questions []Question `json:"questions"` // where nothing was said or written down

	Next recommend.Suggestion `json:"-"` // what suggest says of the bead's job once the symptoms are written down
}

// Named is a symptom or a sign by its key, its trade term and in plain words.
type Named struct {
	Key   string `json:"key"`
	Term  string `json:"term"`
	Plain string `json:"plain"`
}

// Refused reports whether the gate stands against any remedy.
func (a Advice) Refused() bool { return a.Next.Verdict == recommend.Refused }

// Advise answers: the gate first, then what the symptoms are called and what may
// lie behind them, then one next step.
//
// The step is a setting where the symptoms point to one side; it is then the one
// that [recommend.Suggest] gives for the bead's job, or a step of a quarter on the way
// there, with the symptoms written down (an unrated bead counts as 3). It is a look
// at clamp and tip instead where an earlier bead came out good at the very same
// setting, and where suggest moves the other way: no step makes a symptom worse.
// Without a bead, and where suggest would rather have another tap, it is an eighth of
// the wire speed.
//
// Errors: [*procedures.InvalidError] where the job cannot be.
func Advise(r Request) (Advice, error) {
	a := Advice{Symptoms: []Named{}, Signs: []Named{}, Causes: []Cause{}, Unlogged: []string{}, Questions: []Question{}}
	units := r.Ask.Units
	keys := r.Symptoms
	past := r.Past
	if past == nil {
		past = r.History
	}
	var err error
	if r.Weld == nil {
		a.Next, _ = recommend.Suggest(r.Ask, nil) // for the gate alone: no job is complete here
	} else {
		a.Weld, a.Failed = r.Weld.Mark, failed(*r.Weld)
		logged := slices.Concat(FromTests(r.Weld.Outcome.Tests), procedures.Hear(r.Weld.Outcome.InUse).Symptoms, r.Weld.Outcome.Symptoms)
		if len(keys) == 0 && len(r.Signs) == 0 {
			keys = logged
		}
		for _, k := range keys {
			if !slices.Contains(logged, k) {
				a.Unlogged = append(a.Unlogged, k)
			}
		}
		if a.Next, err = recommend.Suggest(r.Ask, noted(past, *r.Weld, a.Unlogged)); err != nil {
			return a, err
		}
	}
	if a.Refused() {
		return a, nil
	}
	a.Symptoms, a.Signs = Names(procedures.Heard{Symptoms: keys, Signs: r.Signs})
	process := r.Process
	if r.Weld != nil {
		process = r.Weld.Job.Process
		w := *r.Weld
		w.Outcome.Symptoms = append(slices.Clone(w.Outcome.Symptoms), a.Unlogged...)
		c := Compare(Before(r.History, w), w, units)
		a.Compared = &c
		a.Tally = Count(r.History, r.Weld.Job.Machine, lastChanges)
		a.Twin = twin(r.History, *r.Weld)
		a.Test = fused(w, keys)
	}
	keys = gravest(keys)
	if a.Causes = Causes(keys, process); len(keys) == 0 && a.Failed != "" {
		a.Causes = Causes([]string{unexplained}, process)
	}
	a.choose(r, keys)
	if len(a.Symptoms) == 0 && len(a.Signs) == 0 {
		a.Questions = Questions()
	}
	return a, nil
}

// unexplained is what a failure without a symptom is taken for, as suggest does.
const unexplained = "lack-of-fusion"

// failed says what failed of a weld.
func failed(w procedures.Weld) string {
	var parts []string
	if when := w.Outcome.FailedInUse; !when.IsZero() {
		text := "in use, " + when.Format(time.DateOnly)
		if w.Outcome.InUse != "" {
			text += " (" + w.Outcome.InUse + ")"
		}
		parts = append(parts, text)
	}
	for _, t := range w.Outcome.Tests {
		if !t.Passed {
			parts = append(parts, t.Kind+" test ("+t.Result+")")
		}
	}
	return strings.Join(parts, "; ")
}

// Names are the trade terms and plain words of what was heard.
func Names(h procedures.Heard) (symptoms, signs []Named) {
	symptoms, signs = []Named{}, []Named{}
	for _, k := range h.Symptoms {
		if s, ok := procedures.FindSymptom(k); ok && !slices.ContainsFunc(symptoms, func(n Named) bool { return n.Key == k }) {
			symptoms = append(symptoms, Named{s.Key, s.Term, s.Plain})
		}
	}
	for _, k := range h.Signs {
		if s, ok := procedures.FindSign(k); ok {
			signs = append(signs, Named{s.Key, s.Term, s.Plain})
		}
	}
	return symptoms, signs
}

// noted is the history with the symptoms written down on one of its welds. A bead
// that was not rated counts as 3, since something was wrong with it.
func noted(h recommend.History, w procedures.Weld, symptoms []string) recommend.History {
	if len(symptoms) == 0 {
		return h
	}
	h = slices.Clone(h)
	for i := range h {
		if o := &h[i].Outcome; h[i].ID == w.ID {
			o.Symptoms = append(slices.Clone(o.Symptoms), symptoms...)
			if o.Rating == 0 {
				o.Rating = 3
			}
		}
	}
	return h
}

// fused says of a bead that is called cold that a test found it fused.
func fused(w procedures.Weld, keys []string) string {
	if heat, _ := procedures.Direction(keys); heat >= 0 || !w.Outcome.Passed() {
		return ""
	}
	for _, t := range w.Outcome.Tests {
		if t.Passed && (t.Kind == "break" || t.Kind == "bend") {
			return fmt.Sprintf("%s passed its %s test: it looks cold, and where it was tested it had fused. The test weighs more than the looks", w.Mark, t.Kind)
		}
	}
	return ""
}

// twin finds the latest earlier bead that came out good with nothing different from
// this one, where this one did not.
func twin(h recommend.History, w procedures.Weld) string {
	var found *procedures.Weld
	for i := range h {
		o := &h[i]
		if o.ID != w.ID && o.Outcome.Good() && !w.Outcome.Good() && o.Settings.WireSpeed > 0 && inTime(*o, w) < 0 && sameKind(*o, w) && len(Changes(*o, w)) == 0 && (found == nil || inTime(*found, *o) < 0) {
			found = o
		}
	}
	if found == nil {
		return ""
	}
	return found.Mark
}

// choose takes the one next step.
func (a *Advice) choose(r Request, keys []string) {
	units, m := r.Ask.Units, r.Ask.Machine
	heat, feed := procedures.Direction(keys)
	wish := -heat - feed // too hot or too much wire: less of it
	wish = max(-1, min(1, wish))
	if r.Weld == nil {
		a.Step = a.first(procedures.Settings{}, wish, units)
		return
	}
	w := *r.Weld
	set := w.Settings
	next, made := setting(w, a.Next, m, keys, units)
	tap := next.Change == "tap" && made == back
	switch {
	case len(keys) == 0 && a.Failed != "":
		a.Step = &Step{Kind: Ask, Text: "look at the broken face of " + w.Mark + " and say what it shows: flat and shiny with a straight edge, holes, or glassy black", Source: []string{"CP"}}
		if cold, made := setting(w, a.Next, m, []string{unexplained}, units); made == moves {
			a.Then = &cold
		}
		return
	case len(keys) == 0 && (w.Outcome.Good() || len(a.Signs) > 0 && w.Outcome.Rating >= 3):
		a.Step = &Step{Kind: Keep, Text: "change nothing: weld the same once more, and break one", Source: []string{"CP"}}
	case len(keys) == 0 && a.Compared.Coupon != nil:
		a.Step = &Step{Kind: Part, Text: a.Compared.Coupon.Text, Source: []string{"CP"}}
	case len(keys) == 0:
		a.Step = &Step{Kind: Ask, Text: "say what you saw, heard or felt", Source: []string{"CP"}}
	case a.Twin != "" && a.check() != nil && !grave(keys):
		c := a.check()
		s := sized(*c, set, units)
		s.Text = a.Twin + " came out good at this very setting, so leave the settings alone: " + s.Text
		a.Step = &s
	case wish != 0 && made == moves && !grave(keys):
		a.Step, a.Then = &next, wireAfter(next, a.Next, m, units)
		return
	case wish != 0 && tap && !grave(keys):
		a.Step = a.first(set, wish, units)
		return
	case wish != 0 && made == back && a.check() != nil && !grave(keys):
		s := sized(*a.check(), set, units)
		s.Text = "your other beads outweigh this one, so leave the settings alone: " + s.Text
		a.Step = &s
		return
	case w.Job.Process == procedures.SMAW && !grave(keys):
		a.Step = a.first(set, wish, units)
		return
	case made == hair && !grave(keys):
		a.Step = &Step{Kind: Keep, Text: next.Text + ". Weld the same once more", Source: []string{"CP"}}
		if c := a.check(); c != nil {
			s := sized(*c, set, units)
			s.Text = next.Text + "; " + s.Text
			a.Step = &s
		}
	default:
		a.Step = a.first(set, 0, units)
	}
	if grave(keys) {
		return
	}
	if made == moves && a.Step.Kind != Keep && (len(keys) == 0 || wish != 0 || a.speaksFor(next)) {
		a.Then = &next
	}
}

// speaksFor reports whether one of the causes would be cured by the step.
func (a *Advice) speaksFor(s Step) bool {
	return slices.ContainsFunc(a.Causes, func(c Cause) bool { return c.Change == s.Change && c.Direction == s.Direction })
}

// graves are symptoms before which no setting is touched, the gravest first.
var graves = []string{"shock", "crack"}

func grave(keys []string) bool {
	return slices.ContainsFunc(keys, func(k string) bool { return slices.Contains(graves, k) })
}

// gravest puts the grave symptoms first and leaves the others in the order said.
func gravest(keys []string) []string {
	var first []string
	for _, k := range graves {
		if slices.Contains(keys, k) {
			first = append(first, k)
		}
	}
	for _, k := range keys {
		if !slices.Contains(graves, k) {
			first = append(first, k)
		}
	}
	return first
}

// check is the first cause that is no setting.
func (a *Advice) check() *Cause {
	for i := range a.Causes {
		if k := a.Causes[i].Kind; k == Connection || k == Consumable {
			return &a.Causes[i]
		}
	}
	return nil
}

// first is the step of the first cause; where the symptoms speak for a side, of the
// first setting on that side.
func (a *Advice) first(set procedures.Settings, wish int, units procedures.Units) *Step {
	if set.Travel == 0 {
		set.Travel = a.Next.Settings.Travel
	}
	if set.Extension == 0 {
		set.Extension = a.Next.Settings.Extension
	}
	side := map[int]string{1: "up", -1: "down"}[wish]
	for _, c := range a.Causes {
		if wish == 0 || c.Kind == Setting && (c.Change == "wire-speed" || c.Change == "current") && c.Direction == side {
			s := sized(c, set, units)
			return &s
		}
	}
	if wish != 0 {
		return a.first(set, 0, units)
	}
	return &Step{Kind: Ask, Text: "say what you saw, heard or felt", Source: []string{"CP"}}
}

// Looks are the causes to look at before a setting is touched: connections and
// consumables, in order.
func (a Advice) Looks() []Cause {
	var out []Cause
	for _, c := range a.Causes {
		if c.Kind == Connection || c.Kind == Consumable {
			out = append(out, c)
		}
	}
	return out
}

// Heading is what the symptoms are called, in one line.
func (a Advice) Heading() string {
	var parts []string
	for _, s := range a.Symptoms {
		parts = append(parts, s.Term+" ("+s.Plain+")")
	}
	for _, s := range a.Signs {
		parts = append(parts, s.Term+", a good sign ("+s.Plain+")")
	}
	return strings.Join(parts, "; ")
}
