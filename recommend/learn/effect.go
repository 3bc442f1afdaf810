package learn

import "fmt"

// effect is one family of columns of the linear system.
type effect uint8

const (
	common effect = iota
	machineOffset
	machineSlope
	machineState
	spool
	user
	joint
	position
	wire
	tapOffset
	thickness
	tapThickness
	thicknessBend
	exactJob
	liveSession
)

// column names one effect: the family and what it belongs to.
type column struct {
	effect effect
	of     string
	within string  // state of machine "of"
	number float64 // wire diameter, or number of the hat function
}

// term is one entry of a row: value is the feature times its prior sd.
type term struct {
	col   int
	value float64
}

// columns numbers the effects. A query adds its own numbers after those of the log without touching them.
type columns struct {
	index map[column]int
	names []column
	below *columns
}

func (c *columns) size() int {
	if c.below == nil {
		return len(c.names)
	}
	return c.below.size() + len(c.names)
}

func (c *columns) number(k column) int {
	if c.below != nil {
		if i, ok := c.below.index[k]; ok {
			return i
		}
	}
	i, ok := c.index[k]
	if !ok {
		i = c.size()
		c.index[k] = i
		c.names = append(c.names, k)
	}
	return i
}

func (c *columns) name(i int) column {
	if c.below != nil {
		if n := c.below.size(); i >= n {
			return c.names[i-n]
		}
		return c.below.names[i]
	}
	return c.names[i]
}

func newColumns(below *columns) *columns {
	return &columns{index: map[column]int{}, below: below}
}

// rig is a machine with its taps and states numbered.
type rig struct {
	Machine
	state map[string]int
	tap   map[string]int
}

func newRig(m Machine) (*rig, error) {
	r := &rig{Machine: m, state: map[string]int{}, tap: map[string]int{}}
	record := "machine " + m.ID
	if m.ID == "" {
		return nil, &InputError{"a machine", "id", "empty", "an id of its own for every machine"}
	}
	for i, s := range m.States {
		if _, ok := r.state[s.ID]; ok || s.ID == "" {
			return nil, &InputError{record, "states", fmt.Sprintf("state id %q", s.ID), "an id of its own for every state"}
		}
		if s.Kind != Original && s.Kind != Output && s.Kind != Feed {
			return nil, &InputError{record, "states", fmt.Sprintf("kind %q", s.Kind), "original, output or feed"}
		}
		r.state[s.ID] = i
	}
	for i, t := range m.Taps {
		if _, ok := r.tap[t]; ok || t == "" {
			return nil, &InputError{record, "taps", fmt.Sprintf("tap %q", t), "a name of its own for every tap, coldest first"}
		}
		r.tap[t] = i
	}
	if len(m.States) == 0 {
		r.state[""] = 0
	}
	if len(m.Taps) == 0 {
		r.tap[""] = 0
	}
	return r, nil
}

// tapSide runs from -1 on the coldest tap to +1 on the hottest, 0 on a machine without a choice.
func (r *rig) tapSide(tap string) float64 {
	if len(r.Taps) < 2 {
		return 0
	}
	return 2*float64(r.tap[tap])/float64(len(r.Taps)-1) - 1
}

// terms writes the features of a setup, each times its prior sd, without the exact-job and live columns. The spool gets
// a column only if asked: old spools are left to the row's variance.
func (r *rig) terms(c *columns, s *Setup, withSpool bool) []term {
	out := make([]term, 0, 20)
	add := func(k column, value float64) {
		if value != 0 {
			out = append(out, term{c.number(k), value})
		}
	}
	x := logThickness(settle(s.ThicknessIn))
	offset, slope := sdMachineGuessed, sdSlopeGuessed
	if r.Calibrated {
		offset, slope = sdMachineMeasured, sdSlopeMeasured
	}
	add(column{effect: common}, sdCommon)
	add(column{effect: machineOffset, of: s.Machine}, offset)
	add(column{effect: machineSlope, of: s.Machine}, slope*x)
	// An effect starts at its change and stays: a state carries those of all changes before it.
	for _, st := range r.States[:min(len(r.States), r.state[s.State]+1)] {
		switch k := (column{effect: machineState, of: s.Machine, within: st.ID}); st.Kind {
		case Output:
			add(k, sdStateOutput)
		case Feed:
			add(k, sdStateFeed)
		}
	}
	if withSpool {
		add(column{effect: spool, of: s.Spool}, sdSpool)
	}
	add(column{effect: user, of: s.User}, sdUser)
	add(column{effect: joint, of: s.Joint}, sdJoint)
	add(column{effect: position, of: s.Position}, sdPosition)
	add(column{effect: wire, number: settle(s.WireDiameterIn)}, sdWire)
	add(column{effect: tapOffset, of: s.Tap}, sdTap)
	add(column{effect: thickness}, sdThickness*x)
	add(column{effect: tapThickness}, sdTapThickness*x*r.tapSide(s.Tap))
	lower, wl, wu := bend(x)
	add(column{effect: thicknessBend, number: float64(lower)}, sdBend*wl)
	add(column{effect: thicknessBend, number: float64(lower + 1)}, sdBend*wu)
	return out
}
