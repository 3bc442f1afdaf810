package recommend

import (
	"fmt"
	"slices"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// DangerBefore is the key of the caution that asks about a shock, smoke or the like
// that the last weld on the machine has in its record.
const DangerBefore = "danger-before"

// lastDanger asks about a danger that was written down with the last weld on the
// machine: whoever goes on welding has not said what became of it. Common practice.
func lastDanger(r Request, h History) (c caution.Caution, ok bool) {
	name, _ := machineKey(r.Machine)
	for i := len(h) - 1; i >= 0; i-- { // in the order of their ids, which is that of time
		w := &h[i]
		if w.Job.Machine != name {
			continue
		}
		said := w.Outcome.Note
		if slices.Contains(w.Outcome.Symptoms, "shock") {
			said = "a shock"
		} else if !procedures.Hear(said).Grave() {
			return c, false
		}
		return caution.Caution{Level: caution.Care, Key: DangerBefore, Source: []string{"CP"},
			Text:    fmt.Sprintf("First: %s, the last bead here, has this in its record: %s. Is it found and put right? If not, stop and unplug, and strike no arc.", w.Mark, said),
			Instead: "Put right: log the next bead, and this is not asked again. Else: beadwright remedy " + map[bool]string{true: "shock", false: "smoke"}[said == "a shock"] + "."}, true
	}
	return c, false
}
