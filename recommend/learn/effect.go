package learn

import (
	"fmt"
	"slices"
)

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
	effects // how many there are
)

// term is one entry of a row: value is the feature times its prior sd.
type term struct {
	col   int
	value float64
}

// inOrder sorts a row by column, as sums over the upper triangle want it.
func inOrder(terms []term) []term {
	slices.SortFunc(terms, func(a, b term) int { return a.col - b.col })
	return terms
}

// columns numbers the effects by family and what they belong to: a name, or a number such as a wire diameter. A question
// adds its own after those of the log without touching them.
type columns struct {
	named    [effects]map[string]int
	numbered [effects]map[float64]int
	families []effect
	below    *columns
}

func (c *columns) size() int {
	if c.below == nil {
		return len(c.families)
	}
	return len(c.below.families) + len(c.families)
}

// family is the effect that a column stands for.
func (c *columns) family(col int) effect {
	if c.below == nil {
		return c.families[col]
	}
	if n := len(c.below.families); col >= n {
		return c.families[col-n]
	}
	return c.below.families[col]
}

func (c *columns) name(e effect, of string) int {
	if c.below != nil {
		if i, ok := c.below.named[e][of]; ok {
			return i
		}
	}
	return place(c, &c.named[e], e, of)
}

func (c *columns) number(e effect, of float64) int {
	if c.below != nil {
		if i, ok := c.below.numbered[e][of]; ok {
			return i
		}
	}
	return place(c, &c.numbered[e], e, of)
}

func place[K comparable](c *columns, index *map[K]int, e effect, of K) int {
	i, ok := (*index)[of]
	if !ok {
		if *index == nil {
			*index = map[K]int{}
		}
		i = c.size()
		(*index)[of] = i
		c.families = append(c.families, e)
	}
	return i
}

// rig is a machine with its taps and states numbered.
type rig struct {
	Machine
	state      map[string]int
	stateNames []string // unlike those of any other machine
	tap        map[string]int
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
		r.stateNames = append(r.stateNames, fmt.Sprintf("%q of %q", s.ID, m.ID))
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

func appendTerm(terms []term, col int, value float64) []term {
	if value == 0 {
		return terms
	}
	return append(terms, term{col, value})
}

// clanTerms are the features that setups of one machine, state and user share, whatever the job.
func (r *rig) clanTerms(c *columns, who clan) []term {
	offset := sdMachineGuessed
	if r.Calibrated {
		offset = sdMachineMeasured
	}
	out := []term{{c.number(common, 0), sdCommon}, {c.name(machineOffset, who.machine), offset}}
	// An effect starts at its change and stays: a state carries those of all changes before it.
	for i, st := range r.States[:min(len(r.States), r.state[who.state]+1)] {
		switch st.Kind {
		case Output:
			out = append(out, term{c.name(machineState, r.stateNames[i]), sdStateOutput})
		case Feed:
			out = append(out, term{c.name(machineState, r.stateNames[i]), sdStateFeed})
		}
	}
	return append(out, term{c.name(user, who.user), sdUser})
}

// slopes are the features that depend on both machine and job: x on this machine, and x by tap.
func (r *rig) slopes(x float64, tap string) (machine, byTap float64) {
	sd := sdSlopeGuessed
	if r.Calibrated {
		sd = sdSlopeMeasured
	}
	return sd * x, sdTapThickness * x * r.tapSide(tap)
}

// cellTerms are the features that setups of one cell share, whatever the machine.
func cellTerms(c *columns, job cell) []term {
	x := logThickness(job.thicknessIn)
	lower, wl, wu := bend(x)
	out := append(make([]term, 0, 7), term{c.name(joint, job.joint), sdJoint}, term{c.name(position, job.position), sdPosition},
		term{c.number(wire, job.wireIn), sdWire}, term{c.name(tapOffset, job.tap), sdTap})
	out = appendTerm(out, c.number(thickness, 0), sdThickness*x)
	out = appendTerm(out, c.number(thicknessBend, float64(lower)), sdBend*wl)
	return appendTerm(out, c.number(thicknessBend, float64(lower+1)), sdBend*wu)
}

// terms writes the features of a setup, spool included, without the exact-job and live columns.
func (r *rig) terms(c *columns, s *Setup) []term {
	slope, tap := r.slopes(logThickness(settle(s.ThicknessIn)), s.Tap)
	out := append(r.clanTerms(c, s.clan()), term{c.name(spool, s.Spool), sdSpool})
	out = appendTerm(out, c.name(machineSlope, s.Machine), slope)
	out = appendTerm(out, c.number(tapThickness, 0), tap)
	return append(out, cellTerms(c, s.cell())...)
}
