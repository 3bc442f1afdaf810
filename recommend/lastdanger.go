package recommend

import (
	"fmt"
	"slices"
	"time"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// Keys of the cautions that ask about what the last weld on the machine has in its
// record: a shock, smoke or the like, and a breaker or a cut-out that tripped.
const (
	DangerBefore = "danger-before"
	TripBefore   = "trip-before"
)

// coolingDown is how long a cut-out that opened is spoken of. A design choice: by
// then the machine is cool, with its fan or without.
const coolingDown = time.Hour

// lastDanger asks about a danger that was written down with the last weld on the
// machine, as a symptom or in its note: whoever goes on welding has not said what
// became of it. Common practice.
func lastDanger(r Request) (c caution.Caution, ok bool) {
	w, name := r.Last, ""
	if name, _ = machineKey(r.Machine); w == nil || w.Job.Machine != name {
		return c, false
	}
	symptoms, heard := w.Outcome.Symptoms, procedures.Heard{}
	if w.Outcome.Note != "" {
		heard = procedures.Hear(w.Outcome.Note)
	}
	either := func(key string) bool { return slices.Contains(symptoms, key) || slices.Contains(heard.Symptoms, key) }
	c = caution.Caution{Level: caution.Care, Key: TripBefore, Source: []string{"CP"}, Instead: "Put right: log the next bead, and this is not asked again."}
	switch shock := either("shock"); {
	case shock || heard.Grave():
		said := w.Outcome.Note
		if !heard.Grave() {
			said = "a shock"
		}
		c.Key, c.Text = DangerBefore, fmt.Sprintf("First: %s, the last bead here, has this in its record: %s. Is it found and put right? If not, stop and unplug, and strike no arc.", w.Mark, said)
	case either("breaker-trip"):
		c.Text = fmt.Sprintf("First: at %s, the last bead here, the breaker tripped. Is everything else off that circuit, and are plug and cord cool? Warm, brown or soft there is for a licensed electrician, and a bigger breaker never is the cure.", w.Mark)
	case either("duty-trip"):
		if r.Now.Sub(w.At) > coolingDown {
			return c, false
		}
		c.Text = fmt.Sprintf("First: at %s, the last bead here, the machine shut itself off. Leave it switched on, vents clear, until its fan has run for ten minutes or more; then shorter beads, and the rests.", w.Mark)
		c.Instead = "If it shuts off sooner than it used to, find out why."
	case slices.Contains(heard.Troubles, "tripped"):
		c.Text = fmt.Sprintf("First: at %s, the last bead here, something tripped. The breaker: everything else off that circuit, and look whether plug and cord are cool. The machine's own cut-out: leave it switched on for ten minutes or more, so that the fan runs. A GFCI: unplug, that is a shock warning.", w.Mark)
	default:
		return c, false
	}
	return c, true
}
