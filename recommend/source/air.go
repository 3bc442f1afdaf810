package source

import (
	"fmt"

	"beadwright/data"
	"beadwright/procedures"
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
		out.Why = fmt.Sprintf("%.0f cu ft (%.0f cu m) for each welder is less than %.0f (%.0f)", perWelder, perWelder/ft3PerM3, volume.Value, volume.Value/ft3PerM3)
	case ceilingM/mPerFt < ceiling.Value:
		out.Why = fmt.Sprintf("a ceiling of %.1f ft (%.1f m) is lower than %.0f (%.1f)", ceilingM/mPerFt, ceilingM, ceiling.Value, ceiling.Value*mPerFt)
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

// Hood returns what a small movable hood must draw, in m3/min, where it stands so far
// from the arc: the flow of a flanged opening 3 in wide. Up to 12 in; nearer than 4 in
// the first row serves, which is more than is asked there.
// Source: 29 CFR 1910.252(c)(3), the table from memory.
// Errors: [*procedures.InvalidError] for no distance, [*arc.RangeError] past the table.
func Hood(distance procedures.MM) (arc.Value, error) {
	if err := arc.Within("hood", float64(distance), 10, 10000, "mm"); err != nil {
		return arc.Value{}, err
	}
	in := distance.Inches()
	for _, row := range []struct {
		key  string
		upTo float64 // in
	}{{"hood-6in", 6}, {"hood-8in", 8}, {"hood-10in", 10}, {"hood-12in", 12}} {
		if in > row.upTo+1e-6 {
			continue
		}
		for _, r := range data.SafetyRules() {
			if r.Key == row.key {
				return exact(r.Value/ft3PerM3, "m3/min", r.Row), nil
			}
		}
	}
	return arc.Value{}, &arc.RangeError{Quantity: "distance of the hood", Read: in, High: 12, Unit: "in", Source: []string{"MEM"}}
}
