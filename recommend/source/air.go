package source

import (
	"fmt"

	"beadwright/data"
	"beadwright/recommend/arc"
)

// Air is what a room needs.
type Air struct {
	Needed bool      // mechanical ventilation
	Flow   arc.Value // m3/min in all, while welders work without a hood or airline respirator; zero when not needed
	Why    string
}

const (
	ft3PerM3 = 1 / (0.3048 * 0.3048 * 0.3048)
	mPerFt   = 0.3048
)

// Ventilation reports whether a room needs mechanical ventilation: below
// 10 000 ft3 a welder, under a ceiling lower than 16 ft, or where partitions stop
// the draft. Being outside the rule is no leave to breathe fume.
// Range: 1 to 1e6 m3, ceiling 1.5 to 50 m, 1 to 100 welders.
// Source: 29 CFR 1910.252(c)(2).
func Ventilation(roomM3, ceilingM float64, welders int, partitions bool) (Air, error) {
	err := first(arc.Within("room", roomM3, 1, 1e6, "m3"), arc.Within("ceiling", ceilingM, 1.5, 50, "m"), arc.Within("welders", float64(welders), 1, 100, ""))
	if err != nil {
		return Air{}, err
	}
	rules := map[string]data.SafetyRule{}
	for _, r := range data.SafetyRules() {
		rules[r.Key] = r
	}
	volume, ceiling, flow := rules["room-volume"], rules["ceiling"], rules["air-per-welder"]
	perWelder := roomM3 * ft3PerM3 / float64(welders)
	var out Air
	switch {
	case perWelder < volume.Value:
		out.Why = fmt.Sprintf("%.0f ft3 for each welder is less than %.0f", perWelder, volume.Value)
	case ceilingM/mPerFt < ceiling.Value:
		out.Why = fmt.Sprintf("a ceiling of %.0f ft is lower than %.0f", ceilingM/mPerFt, ceiling.Value)
	case partitions:
		out.Why = "partitions stop the draft"
	default:
		out.Why = "the room is above the size from which the rule asks for it; keep your head out of the plume all the same"
		return out, nil
	}
	out.Needed = true
	out.Flow = exact(flow.Value*float64(welders)/ft3PerM3, "m3/min", flow.Row)
	return out, nil
}
