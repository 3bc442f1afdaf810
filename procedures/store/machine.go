package store

import (
	"context"
	"fmt"
	"strings"

	"github.com/google/uuid"

	"beadwright/procedures"
)

// machineColumns are those that no change of state alters.
func machineColumns(m *procedures.Machine) []column {
	return []column{
		{"id", "id", text[string]{&m.ID}},
		{"name", "name", text[string]{&m.Name}},
		{"knob_min", "knob.min", number[float64]{&m.Knob.Min}},
		{"knob_max", "knob.max", number[float64]{&m.Knob.Max}},
		{"knob_step", "knob.step", number[float64]{&m.Knob.Step}},
		{"wire_min_m_min", "wire_min_m_min", number[procedures.MPerMin]{&m.WireMin}},
		{"wire_max_m_min", "wire_max_m_min", number[procedures.MPerMin]{&m.WireMax}},
		{"rated_A", "rated_A", number[procedures.Amps]{&m.RatedAmps}},
		{"rated_V", "rated_V", number[procedures.Volts]{&m.RatedVolts}},
		{"duty_percent", "duty_percent", number[procedures.Percent]{&m.Duty}},
		{"max_A", "max_A", number[procedures.Amps]{&m.MaxAmps}},
		{"processes", "processes", words[procedures.Process]{&m.Processes}},
		{"input_V", "input_V", number[procedures.Volts]{&m.InputVolts}},
		{"input_A", "input_A", number[procedures.Amps]{&m.InputAmps}},
		{"breaker_A", "breaker_A", number[procedures.Amps]{&m.Breaker}},
		{"cord_awg", "cord.awg", whole[int]{&m.Cord.AWG}},
		{"cord_length_mm", "cord.length_mm", number[procedures.MM]{&m.Cord.Length}},
		{"note", "note", text[string]{&m.Note}},
		{"struck", "struck", text[string]{&m.Struck}},
		{"others", "others", several[procedures.Load]{&m.Others, loadColumns}},
		{"outlet", "outlet", text[string]{&m.Outlet}},
		{"plug", "plug", text[string]{&m.Plug}},
		{"wall_awg", "wall_awg", whole[procedures.Count]{&m.Wall}},
	}
}

func loadColumns(l *procedures.Load) []column {
	return []column{
		{"name", "name", text[string]{&l.Name}},
		{"current_A", "current_A", number[procedures.Amps]{&l.Amps}},
	}
}

// stateColumns are those of a state, with what it says of the machine.
func stateColumns(m *procedures.Machine) []column {
	return append(onlyState(&m.State),
		column{"output", "output", text[procedures.Polarity]{&m.Output}},
		column{"rebuilt", "rebuilt", flag{&m.Rebuilt}})
}

func onlyState(s *procedures.State) []column {
	return []column{
		{"id", "state.id", text[string]{&s.ID}},
		{"number", "state.number", whole[int]{&s.Number}},
		{"what", "state.what", text[string]{&s.What}},
		{"kind", "state.kind", text[procedures.StateKind]{&s.Kind}},
		{"since", "state.since", moment{&s.Since}},
	}
}

// AddMachine writes down a machine and returns it with its id and its first
// state, number 1. The first machine of a notebook is in use from then on.
// Errors: InvalidError where it cannot be, or its name is taken.
func (n *Notebook) AddMachine(ctx context.Context, m procedures.Machine) (procedures.Machine, error) {
	m.Name, m.Struck = strings.TrimSpace(m.Name), ""
	if err := m.Validate(); err != nil {
		return m, err
	}
	if m.Example {
		return m, procedures.Invalid("machine", m.Name, "this is the built-in example, nobody's machine", "write down your own, with what its plate says")
	}
	err := n.write(ctx, func(tx *tx) error {
		if err := giveID(&m.ID); err != nil {
			return err
		}
		m.State = procedures.State{ID: m.State.ID, Number: 1, What: m.State.What, Kind: procedures.Original, Since: m.State.Since}
		if m.State.What == "" {
			m.State.What = "as first written down"
		}
		if err := giveID(&m.State.ID); err != nil {
			return err
		}
		m.SameOutput, m.SameFeeder = []string{m.State.ID}, []string{m.State.ID}
		if err := giveTime("since", &m.State.Since, tx.now); err != nil {
			return err
		}
		if err := legible(append(machineColumns(&m), stateColumns(&m)...)); err != nil {
			return err
		}
		if err := tx.free("machines", m.Name, m.ID); err != nil {
			return err
		}
		var taken bool
		if err := tx.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM states WHERE id = ?)", m.State.ID); err != nil {
			return err
		}
		if taken {
			return procedures.Invalid("state", m.State.ID, "another machine has a state with this id", "leave the id out, and one is given")
		}
		key, added := fold(m.Name), tx.now
		row, err := tx.insert("machines", append(machineColumns(&m),
			column{"name_key", "", text[string]{&key}}, column{"added_at", "", moment{&added}})...)
		if err != nil {
			return err
		}
		for _, t := range m.Taps {
			if err := legibleText("tap", t.Name+string(t.How)); err != nil {
				return err
			}
		}
		if err := tx.insertTaps(row, m.Taps); err != nil {
			return err
		}
		if err := tx.insertState(row, &m); err != nil {
			return err
		}
		return tx.setFirst("machine", m.ID)
	})
	return m, err
}

func ptr[T any](v T) *T { return &v }

func (tx *tx) insertTaps(machine int64, taps []procedures.Tap) error {
	for i, t := range taps {
		if _, err := tx.insert("taps", append(tapColumns(&t),
			column{"machine", "", whole[int64]{&machine}}, column{"place", "", whole[int]{ptr(i + 1)}})...); err != nil {
			return err
		}
	}
	return nil
}

func (tx *tx) insertState(machine int64, m *procedures.Machine) error {
	_, err := tx.insert("states", append(stateColumns(m), column{"machine", "", whole[int64]{&machine}})...)
	return err
}

func tapColumns(t *procedures.Tap) []column {
	return []column{
		{"name", "tap", text[string]{&t.Name}},
		{"open_V", "open_V", number[procedures.Volts]{&t.Open}},
		{"load_V", "load_V", number[procedures.Volts]{&t.Load}},
		{"how", "how", text[procedures.How]{&t.How}},
	}
}

// Machines lists the machines in the order written down, those too that were
// withdrawn: welds stand on them.
func (n *Notebook) Machines(ctx context.Context) (list []procedures.Machine, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.machines("1 = 1")
		return err
	})
	return list, err
}

// machines reads the machines that fit, each in its present state, with what was
// measured on them.
func (tx *tx) machines(where string, args ...any) ([]procedures.Machine, error) {
	list, err := tx.plates(where, args...)
	for i := range list {
		list[i].MeasuredTaps()
	}
	return list, err
}

// plates is machines with the volts of their taps as they were written down.
func (tx *tx) plates(where string, args ...any) ([]procedures.Machine, error) {
	var m procedures.Machine
	var list []procedures.Machine
	var row int64
	place := map[int64]int{}
	columns := machineColumns(&m)
	err := tx.each(func(r scanner) error {
		err := r.Scan(append(cells(columns), &row)...)
		place[row] = len(list)
		list = append(list, m)
		return err
	}, "SELECT "+names(columns)+", n FROM machines WHERE "+where+" ORDER BY n", args...)
	if err != nil {
		return nil, err
	}
	var next procedures.Machine
	states := stateColumns(&next)
	err = tx.each(func(r scanner) error {
		err := r.Scan(append(cells(states), &row)...)
		if i, ok := place[row]; ok {
			enter(&list[i], next)
		}
		return err
	}, "SELECT "+names(states)+", machine FROM states ORDER BY machine, number")
	if err != nil {
		return nil, err
	}
	var t procedures.Tap
	taps := tapColumns(&t)
	err = tx.each(func(r scanner) error {
		err := r.Scan(append(cells(taps), &row)...)
		if i, ok := place[row]; ok {
			list[i].Taps = append(list[i].Taps, t)
		}
		return err
	}, "SELECT "+names(taps)+", machine FROM taps ORDER BY machine, place")
	if err != nil {
		return nil, err
	}
	return list, tx.measured(list)
}

// enter takes a machine on into the next of its states.
func enter(m *procedures.Machine, next procedures.Machine) {
	if next.State.Kind != procedures.Feed {
		m.SameOutput = nil
	}
	if next.Output != m.Output || next.Rebuilt != m.Rebuilt || procedures.TouchesFeeder(next.State.What) {
		m.SameFeeder = nil
	}
	m.State, m.Output, m.Rebuilt = next.State, next.Output, next.Rebuilt
	m.SameOutput, m.SameFeeder = append(m.SameOutput, m.State.ID), append(m.SameFeeder, m.State.ID)
}

func prefix(with string, cols []column) []column {
	for i := range cols {
		cols[i].name = with + cols[i].name
	}
	return cols
}

// machine returns a machine and its number.
func (tx *tx) machine(name string) (procedures.Machine, int64, error) {
	m, row, err := tx.plate(name)
	m.MeasuredTaps()
	return m, row, err
}

// plate is machine with the volts of its taps as they were written down.
func (tx *tx) plate(name string) (m procedures.Machine, row int64, err error) {
	if row, err = tx.lookUp("machines", name); err != nil {
		return m, 0, err
	}
	list, err := tx.plates("n = ?", row)
	if err != nil {
		return m, row, err
	}
	if len(list) != 1 || list[0].State.ID == "" {
		return m, row, fmt.Errorf("machine %q has no state", name)
	}
	return list[0], row, nil
}

// Machine returns the machine of that name, in any case of letters, or of that
// id, in its present state. Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) Machine(ctx context.Context, name string) (m procedures.Machine, err error) {
	err = n.read(ctx, func(tx *tx) error {
		m, _, err = tx.machine(name)
		return err
	})
	return m, err
}

// UseMachine makes a machine the one in use. Errors: wraps [procedures.ErrNotFound];
// InvalidError where it was withdrawn.
func (n *Notebook) UseMachine(ctx context.Context, name string) (m procedures.Machine, err error) {
	err = n.write(ctx, func(tx *tx) error {
		if m, _, err = tx.machine(name); err != nil {
			return err
		}
		return first(tx.stands("machines", m.ID), tx.set("machine", m.ID))
	})
	return m, err
}

// CurrentMachine returns the machine in use. Errors: wraps
// [procedures.ErrNotFound] where there is no machine yet; [NoneInUse].
func (n *Notebook) CurrentMachine(ctx context.Context) (m procedures.Machine, err error) {
	err = n.read(ctx, func(tx *tx) error {
		id, err := tx.inUse("machines")
		if err != nil {
			return err
		}
		m, _, err = tx.machine(id)
		return err
	})
	return m, err
}

// MachineInUse is the id of the machine in use. Errors: as [Notebook.CurrentMachine].
func (n *Notebook) MachineInUse(ctx context.Context) (id string, err error) {
	err = n.read(ctx, func(tx *tx) error {
		id, err = tx.inUse("machines")
		return err
	})
	return id, err
}

// ChangeMachine opens a new state of a machine: what was changed, and whether
// that touches its output or its feed. output is the new output; "" leaves it.
// rebuilt says that the change rebuilt it from AC to DC; a machine once rebuilt
// stays so. Errors: wraps [procedures.ErrNotFound]; InvalidError, also where the
// machine was withdrawn.
func (n *Notebook) ChangeMachine(ctx context.Context, name, what string, kind procedures.StateKind, output procedures.Polarity, rebuilt bool) (m procedures.Machine, err error) {
	what = strings.TrimSpace(what)
	switch {
	case what == "" || len(what) > 400:
		return m, procedures.Invalid("what", what, "say in a few words what was changed", "such as: new liner, 0.035 tip and roll, rectifier added")
	case kind != procedures.Output && kind != procedures.Feed:
		return m, procedures.Invalid("kind", string(kind), "not a kind of change", "accepted: output (polarity or tap volts), feed (liner, tip, drive roll)")
	}
	err = n.write(ctx, func(tx *tx) error {
		var row int64
		if m, row, err = tx.plate(name); err != nil {
			return err
		}
		if err := tx.stands("machines", m.ID); err != nil {
			return err
		}
		before := m
		if output != "" {
			m.Output = output
		}
		m.Rebuilt = m.Rebuilt || rebuilt
		if err := m.Validate(); err != nil {
			return err
		}
		if kind == procedures.Feed && (m.Output != before.Output || m.Rebuilt != before.Rebuilt) {
			return procedures.Invalid("kind", string(kind), "a change of output is not one of the feed only", "write the kind output")
		}
		id, err := uuid.NewV7()
		if err != nil {
			return err
		}
		m.State = procedures.State{ID: id.String(), Number: before.State.Number + 1, What: what, Kind: kind, Since: tx.now}
		if err := legible(stateColumns(&m)); err != nil {
			return err
		}
		if err := tx.insertState(row, &m); err != nil {
			return err
		}
		m, _, err = tx.machine(name)
		return err
	})
	return m, err
}

// States lists the states of a machine from the first to the present one.
// Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) States(ctx context.Context, name string) (list []procedures.State, err error) {
	err = n.read(ctx, func(tx *tx) error {
		row, err := tx.lookUp("machines", name)
		if err != nil {
			return err
		}
		var s procedures.State
		cols := onlyState(&s)
		return tx.each(func(r scanner) error {
			err := r.Scan(cells(cols)...)
			list = append(list, s)
			return err
		}, "SELECT "+names(cols)+" FROM states WHERE machine = ? ORDER BY number", row)
	})
	return list, err
}
