package store_test

import (
	"testing"

	"beadwright/procedures"
)

// The states in which the feeder ran alike end where a change touched it, and where
// the machine gives something else.
func TestSameFeeder(t *testing.T) {
	n := fresh(t)
	m := must(n.AddMachine(t.Context(), procedures.Machine{Name: "shed", Output: procedures.AC}))(t)
	ids := []string{m.State.ID}
	for _, c := range []struct {
		what   string
		kind   procedures.StateKind
		output procedures.Polarity
		same   int // states, with this one
	}{
		{"new contact tip", procedures.Feed, "", 2},
		{"new clamp", procedures.Output, "", 3},
		{"new\nliner", procedures.Feed, "", 1},
		{"tip", procedures.Feed, "", 2},
		{"leads swapped", procedures.Output, procedures.DCEN, 1},
		{"new clamp", procedures.Output, "", 2},
	} {
		m := must(n.ChangeMachine(t.Context(), "shed", c.what, c.kind, c.output, false))(t)
		ids = append(ids, m.State.ID)
		if diff := same(ids[len(ids)-c.same:], m.SameFeeder); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.what, diff)
		}
	}
}
