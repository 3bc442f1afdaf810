package recommend

import (
	"testing"

	"beadwright/procedures"
)

// TestLastDanger: a shock or smoke at the last bead on the machine is asked about
// before anything else, until another bead is logged there.
func TestLastDanger(t *testing.T) {
	bead := func(n int, change func(*procedures.Weld)) procedures.Weld {
		w := goodWeld("1/8 mild tee flat", "A1", float64(n), 4)
		if change != nil {
			change(&w)
		}
		return w
	}
	shock := bead(1, func(w *procedures.Weld) { w.Outcome.Symptoms = []string{"popping", "shock"} })
	smoke := bead(1, func(w *procedures.Weld) { w.Outcome.Note = "smoke from the plug" })
	other := bead(2, func(w *procedures.Weld) { w.Job.Machine = "another" })
	for name, c := range map[string]struct {
		h    History
		asks bool
	}{
		"a shock":             {History{shock}, true},
		"smoke in a note":     {History{smoke}, true},
		"elsewhere since":     {History{shock, other}, true},
		"a bead since":        {History{shock, bead(2, nil)}, false},
		"nothing of the kind": {History{bead(1, nil)}, false},
		"no weld":             {nil, false},
	} {
		s, err := Suggest(asked(t, "1/8 mild tee flat"), c.h)
		if err != nil {
			t.Fatal(err)
		}
		if got := len(s.Cautions) > 0 && s.Cautions[0].Key == DangerBefore; got != c.asks {
			t.Errorf("%s: asked %v", name, got)
		}
	}
}
