package recommend

import (
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
)

// TestLastDanger: a shock or smoke at the last bead on the machine, and what tripped
// there, is asked about before anything else, whether it was said as a symptom or only
// in a note; what is denied is not, and not what another machine did.
func TestLastDanger(t *testing.T) {
	bead := func(note string, symptoms ...string) *procedures.Weld {
		w := goodWeld("1/8 mild tee flat", "A1", 1, 4)
		w.Outcome.Note, w.Outcome.Symptoms = note, symptoms
		return &w
	}
	other := bead("smoke from the plug")
	other.Job.Machine = "another"
	old := bead("", "duty-trip")
	old.At = old.At.Add(-2 * time.Hour)
	for name, c := range map[string]struct {
		last *procedures.Weld
		key  string // of the first caution; "": none of these
		says string
	}{
		"no weld":             {nil, "", ""},
		"nothing of the kind": {bead("bit of spatter", "spatter"), "", ""},
		"a shock":             {bead("", "popping", "shock"), DangerBefore, "a shock"},
		"smoke in a note":     {bead("smoke from the plug"), DangerBefore, "smoke from the plug"},
		"a smell in a note":   {bead("smells hot", "wide-flat"), DangerBefore, "smells hot"},
		"a tingle in a note":  {bead("tingle from the clamp"), DangerBefore, "tingle from the clamp"},
		"a tingle denied":     {bead("hot clamp, no tingle"), "", ""},
		"smoke denied":        {bead("no smoke from the machine"), "", ""},
		"the breaker":         {bead("", "breaker-trip"), TripBefore, "the breaker tripped"},
		"the breaker, a note": {bead("kept tripping the breaker"), TripBefore, "the breaker tripped"},
		"shut off":            {bead("thermal light came on"), TripBefore, "shut itself off"},
		"shut off long ago":   {old, "", ""},
		"one of them tripped": {bead("tripped"), TripBefore, "something tripped"},
		"nothing tripped":     {bead("nothing tripped"), "", ""},
		"never tripped":       {bead("it never tripped"), "", ""},
		"over the cord":       {bead("tripped over the cord"), "", ""},
		"elsewhere":           {other, "", ""},
	} {
		r := asked(t, "1/8 mild tee flat")
		r.Last = c.last
		if c.last != nil {
			r.Now = goodWeld("1/8 mild tee flat", "A1", 1, 4).At.Add(10 * time.Minute)
		}
		s, err := Suggest(r, nil)
		if err != nil {
			t.Fatal(err)
		}
		first := s.Cautions[0]
		if first.Key != DangerBefore && first.Key != TripBefore {
			first.Key = ""
		}
		if said := first.Text + first.Instead; first.Key != c.key || !strings.Contains(said, c.says) {
			t.Errorf("%s: %q asked: %s", name, first.Key, said)
		}
	}
}
