package remedy

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
)

// What may be concluded from two welds.
const (
	First      = "first"      // there is no weld before it
	Same       = "same"       // nothing was changed
	Clean      = "clean"      // one thing was changed, and what came of it is that thing's
	Confounded = "confounded" // two or more were: nothing can be concluded
)

// Compared is a weld beside the one before it.
type Compared struct {
	Before  string   `json:"before"` // mark; "": none
	After   string   `json:"after"`
	Verdict string   `json:"verdict"` // first, same, clean, confounded
	Changes []Change `json:"changes"`
	Text    string   `json:"text"`
	Coupon  *Coupon  `json:"coupon"` // that would tell the changes apart; nil: none needed
}

// Coupon is one more bead that separates changes made together: everything as
// before, and one of the changes kept.
type Coupon struct {
	Keep Change   `json:"keep"`
	Back []Change `json:"back"` // what goes back to where it was
	Text string   `json:"text"`
}

// Before finds the weld made last before w on the same machine in the same kind of
// joint, weld and position; nil if there is none.
func Before(h recommend.History, w procedures.Weld) *procedures.Weld {
	var found *procedures.Weld
	for i := range h {
		o := &h[i]
		if o.ID != w.ID && sameKind(*o, w) && inTime(*o, w) < 0 && (found == nil || inTime(*found, *o) < 0) {
			found = o
		}
	}
	return found
}

func sameKind(a, b procedures.Weld) bool {
	return a.Job.Machine == b.Job.Machine && a.Job.Joint == b.Job.Joint && a.Job.Weld == b.Job.Weld && a.Job.Position == b.Job.Position && a.Job.Process == b.Job.Process
}

func inTime(a, b procedures.Weld) int { return cmp.Or(a.At.Compare(b.At), strings.Compare(a.ID, b.ID)) }

// Compare says what may be concluded from a weld and the one before it, which may
// be nil.
func Compare(before *procedures.Weld, w procedures.Weld, units procedures.Units) Compared {
	if before == nil {
		return Compared{After: w.Mark, Verdict: First, Changes: []Change{}, Text: "the first bead of its kind on this machine: nothing to compare it with"}
	}
	c := Compared{Before: before.Mark, After: w.Mark, Changes: Changes(*before, w)}
	what := make([]string, len(c.Changes))
	for i, ch := range c.Changes {
		what[i] = ch.Say(units)
	}
	came := cameOf(before.Outcome, w.Outcome)
	switch len(c.Changes) {
	case 0:
		c.Verdict = Same
		c.Text = fmt.Sprintf("%s to %s: nothing written down was changed; %s. A difference between them is the hand, the metal or the machine, not a setting", c.Before, c.After, came)
	case 1:
		c.Verdict = Clean
		c.Text = fmt.Sprintf("%s to %s: only %s was changed; %s. So that is what it did, as far as one bead tells", c.Before, c.After, what[0], came)
	default:
		c.Verdict = Confounded
		c.Text = fmt.Sprintf("%s to %s: %d things were changed at once: %s; %s. Nothing can be concluded from that", c.Before, c.After, len(what), strings.Join(what, "; "), came)
		c.Coupon = separate(c, units)
	}
	return c
}

// cameOf is what became different in looks and tests.
func cameOf(a, b procedures.Outcome) string {
	var parts []string
	switch {
	case a.Rating == 0 || b.Rating == 0:
	case a.Rating == b.Rating:
		parts = append(parts, fmt.Sprintf("rating %d as before", b.Rating))
	default:
		parts = append(parts, fmt.Sprintf("rating %d to %d", a.Rating, b.Rating))
	}
	if now := failed(procedures.Weld{Outcome: b}); now != "" {
		parts = append(parts, "FAILED "+now)
	}
	for _, s := range a.Symptoms {
		if !slices.Contains(b.Symptoms, s) {
			parts = append(parts, s+" gone")
		}
	}
	for _, s := range b.Symptoms {
		if !slices.Contains(a.Symptoms, s) {
			parts = append(parts, s+" new")
		}
	}
	if len(parts) == 0 {
		return "no difference was written down"
	}
	return strings.Join(parts, ", ")
}

// undone is how hard a change is to take back, the hardest first: what is easy goes
// back. Common practice.
var undone = strings.Fields("machine state wire_class wire_diameter_mm steel thickness_mm other_thickness_mm joint position spool coating gap_mm preheat_C polarity extension_mm travel_mm_min tap wire_speed_m_min knob")

// separate is the coupon that keeps the change hardest to take back and takes back
// the others: against the first weld it differs in that one alone.
func separate(c Compared, units procedures.Units) *Coupon {
	keep := slices.MinFunc(c.Changes, func(a, b Change) int {
		return slices.Index(undone, a.What) - slices.Index(undone, b.What)
	})
	p := &Coupon{Keep: keep}
	var back []string
	for _, ch := range c.Changes {
		if ch.What == keep.What {
			continue
		}
		p.Back = append(p.Back, ch)
		switch ch.What {
		case "spool", "state":
			back = append(back, ch.Name()+" as on "+c.Before)
		default:
			back = append(back, ch.Name()+" back to "+ch.side(ch.From, units))
		}
	}
	p.Text = fmt.Sprintf("one more coupon with %s and the rest as on %s. Against %s it differs in %s alone", strings.Join(back, ", "), c.After, c.Before, keep.Name())
	if len(p.Back) == 1 {
		p.Text += fmt.Sprintf(", against %s in %s alone", c.After, p.Back[0].Name())
	}
	return p
}

// Tally counts the changes of the past by what may be concluded from them. Two
// beads with nothing changed between them are repeats and no changes.
type Tally struct {
	Clean      int `json:"clean"`
	Confounded int `json:"confounded"`
	Repeats    int `json:"repeats"`
	Last       int `json:"last"` // how many changes were looked at, the latest ones
}

// Count tells how clean the latest changes on a machine were: each weld is compared
// with the one before it of the same joint, weld and position. It looks at no more
// than last changes.
func Count(h recommend.History, machine string, last int) Tally {
	welds := make([]procedures.Weld, 0, len(h))
	for _, w := range h {
		if w.Job.Machine == machine {
			welds = append(welds, w)
		}
	}
	slices.SortFunc(welds, inTime)
	type kind struct {
		joint    procedures.Joint
		weld     procedures.WeldType
		position procedures.Position
		process  procedures.Process
	}
	previous := make([]int, len(welds))
	latest := map[kind]int{}
	for i, w := range welds {
		k := kind{w.Job.Joint, w.Job.Weld, w.Job.Position, w.Job.Process}
		previous[i] = -1
		if p, ok := latest[k]; ok {
			previous[i] = p
		}
		latest[k] = i
	}
	var t Tally
	for i := len(welds) - 1; i >= 0 && t.Last < last; i-- {
		if previous[i] < 0 {
			continue
		}
		switch len(Changes(welds[previous[i]], welds[i])) {
		case 0:
			t.Repeats++
			continue
		case 1:
			t.Clean++
		default:
			t.Confounded++
		}
		t.Last++
	}
	return t
}
