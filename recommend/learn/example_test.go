package learn_test

import (
	"fmt"

	"beadwright/recommend/learn"
)

// A welder with an unmarked knob has made two good welds above the table's wire speed; then today's first bead stubs.
func ExampleModel_NextBead() {
	machines := []learn.Machine{{ID: "red", Taps: []string{"low", "high"}, States: []learn.State{{ID: "new", Kind: learn.Original}}}}
	job := learn.Setup{User: "me", Machine: "red", State: "new", Spool: "first", ThicknessIn: 0.125, Joint: "tee", Position: "flat",
		WireDiameterIn: 0.030, Tap: "high"}
	welds := []learn.Weld{
		{ID: "A1", Setup: job, Session: "monday", TableWireSpeed: 4.6, WireSpeed: 5.1, Rating: 4},
		{ID: "A2", Setup: job, Session: "monday", TableWireSpeed: 4.6, WireSpeed: 5.0, Rating: 5},
	}
	m, err := learn.New(machines, welds)
	if err != nil {
		fmt.Println(err)
		return
	}
	q := learn.Query{Setup: job, TableWireSpeed: 4.6}
	e, _ := m.Suggest(q)
	fmt.Println(e.Explain(learn.US())[0])

	q.Live = []learn.Weld{{ID: "A3", Setup: job, TableWireSpeed: 4.6, WireSpeed: e.WireSpeed, Rating: 3, Balance: 1}}
	n, _ := m.NextBead(q)
	fmt.Println(n.Explain(learn.US())[0])
	// Output:
	// Table 181 in/min; your 2 good welds on like jobs run 10 % above it; so 196 in/min; likely range 175 to 220 in/min.
	// The last bead had too much wire at 196 in/min; down to 179 in/min.
}
