package recommend

import (
	"beadwright/procedures"
	"beadwright/recommend/feeder"
)

// Derive puts in, for each weld whose knob mark is known, the wire speed that the
// measured knob gives at that mark, in place of what was guessed or suggested when
// it was logged. So a knob measured today tells what the beads of last month were
// welded with. A wire speed that was measured itself stays.
//
// The curve is that of the weld's own state; where that state was never measured,
// an earlier one's or else the present one's, and the wire speed is then a guess.
// The welds are changed in place.
func (s Shop) Derive(welds []procedures.Weld) {
	type place struct{ machine, state, tap string }
	type known struct {
		curve feeder.Curve
		how   procedures.How
	}
	machines := map[string]*procedures.Machine{}
	for i := range s {
		if m := &s[i].Machine; len(m.RunOuts) > 0 {
			machines[m.Name] = m
		}
	}
	curves := map[place]*known{}
	for i := range welds {
		w := &welds[i]
		m := machines[w.Job.Machine]
		if m == nil || w.Settings.Knob == nil || w.Settings.How["wire_speed_m_min"] == procedures.Measured {
			continue
		}
		at := place{m.Name, w.Job.State, w.Settings.Tap}
		k, ok := curves[at]
		if !ok {
			c, found := feeder.CurveOf(*m, at.state, at.tap)
			if !found {
				c, found = feeder.CurveOf(*m, m.State.ID, at.tap)
			}
			if found {
				k = &known{c, procedures.OwnCurve}
				if c.From != "" || c.State != at.state {
					k.how = procedures.Guessed
				}
			}
			curves[at] = k
		}
		if k == nil {
			continue
		}
		v, err := k.curve.SpeedAt(*w.Settings.Knob)
		if err != nil {
			continue // beyond the marks measured: what was logged stays
		}
		w.Settings.WireSpeed = procedures.MPerMin(v.Value)
		if w.Settings.How == nil {
			w.Settings.How = map[string]procedures.How{}
		}
		w.Settings.How["wire_speed_m_min"] = k.how
	}
}

// calibrated reports whether the machine's knob is measured as it stands, on at
// least one tap.
func calibrated(m procedures.Machine) bool {
	for _, tap := range append(m.TapNames(), "") {
		if c, ok := feeder.CurveOf(m, m.State.ID, tap); ok && c.Calibrated() {
			return true
		}
	}
	return false
}
