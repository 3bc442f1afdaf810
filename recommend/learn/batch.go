package learn

// Batch is a whole log with questions, as one JSON object.
type Batch struct {
	Machines []Machine `json:"machines"`
	Welds    []Weld    `json:"welds"`
	Queries  []Query   `json:"queries"`
}

// Answer is what comes back for one query. F and SD are ln(best/table) before limits, speeds m/min; with live welds
// WireSpeed is the setting for the next bead. Error is set, and everything else empty, when there is no suggestion.
type Answer struct {
	F         float64  `json:"f"`
	SD        float64  `json:"sd"`
	WireSpeed float64  `json:"wire_speed"`
	Low       float64  `json:"low"`
	High      float64  `json:"high"`
	Tap       string   `json:"tap"`
	Because   []string `json:"because"`
	Error     string   `json:"error,omitempty"`
}

// Answers puts each query to one model of the welds. The error is about machines or welds.
func (b Batch) Answers(u Units) ([]Answer, error) {
	m, err := New(b.Machines, b.Welds)
	if err != nil {
		return nil, err
	}
	out := make([]Answer, len(b.Queries))
	for i, q := range b.Queries {
		n, err := m.NextBead(q)
		if err != nil {
			out[i] = Answer{Because: []string{}, Error: err.Error()}
			continue
		}
		out[i] = Answer{n.F, n.SD, n.WireSpeed, n.Low, n.High, n.Tap, n.Explain(u), ""}
	}
	return out, nil
}
