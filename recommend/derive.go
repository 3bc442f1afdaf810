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
	d := s.Dials()
	for i := range welds {
		d.Derive(&welds[i])
	}
}

// Dials are the measured knobs of a shop; each curve is worked out once.
type Dials struct {
	machines map[string]*procedures.Machine
	curves   map[dial]*scale
}

// dial is a knob as it stood when a weld was made.
type dial struct{ machine, state, tap string }

// scale is what a dial says, and how sure that is.
type scale struct {
	curve feeder.Curve
	how   procedures.How
}

// Dials returns the shop's measured knobs.
func (s Shop) Dials() *Dials {
	d := &Dials{map[string]*procedures.Machine{}, map[dial]*scale{}}
	for i := range s {
		if m := &s[i].Machine; len(m.RunOuts) > 0 {
			d.machines[m.Name] = m
		}
	}
	return d
}

// Derive is [Shop.Derive] for one weld.
func (d *Dials) Derive(w *procedures.Weld) {
	m := d.machines[w.Job.Machine]
	if m == nil || w.Settings.Knob == nil || w.Settings.How["wire_speed_m_min"] == procedures.Measured {
		return
	}
	at := dial{m.Name, w.Job.State, w.Settings.Tap}
	r, ok := d.curves[at]
	if !ok {
		c, found := feeder.CurveOf(*m, at.state, at.tap)
		if !found {
			c, found = feeder.CurveOf(*m, m.State.ID, at.tap)
		}
		if found {
			r = &scale{c, procedures.OwnCurve}
			if c.From != "" || c.State != at.state {
				r.how = procedures.Guessed
			}
		}
		d.curves[at] = r
	}
	if r == nil {
		return
	}
	v, err := r.curve.SpeedAt(*w.Settings.Knob)
	if err != nil {
		return // beyond the marks measured: what was logged stays
	}
	w.Settings.WireSpeed = procedures.MPerMin(v.Value)
	if w.Settings.How == nil {
		w.Settings.How = map[string]procedures.How{}
	}
	w.Settings.How["wire_speed_m_min"] = r.how
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
