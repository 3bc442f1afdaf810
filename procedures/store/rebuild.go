package store

import (
	"context"

	"beadwright/procedures"
)

func rebuildColumns(b *procedures.Rebuild) []column {
	return []column{
		{"ac_V", "rebuild.ac_V", number[procedures.Volts]{&b.ACVolts}},
		{"capacitance_F", "rebuild.capacitance_F", number[float64]{&b.Farads}},
		{"capacitors", "rebuild.capacitors", whole[procedures.Count]{&b.Capacitors}},
		{"capacitor_V", "rebuild.capacitor_V", number[procedures.Volts]{&b.CapVolts}},
		{"ripple_A", "rebuild.ripple_A", number[procedures.Amps]{&b.RippleAmps}},
		{"bleeder_ohm", "rebuild.bleeder_ohm", number[float64]{&b.BleedOhms}},
		{"bleeder_W", "rebuild.bleeder_W", number[float64]{&b.BleedWatts}},
		{"diode_V", "rebuild.diode_V", number[procedures.Volts]{&b.DiodeVolts}},
		{"rectifier_A", "rebuild.rectifier_A", number[procedures.Amps]{&b.RectifierAmps}},
		{"rectifier_fan", "rebuild.rectifier_fan", answer{&b.Fan}},
		{"rectifier_stat", "rebuild.rectifier_stat", answer{&b.Thermostat}},
		{"mains_Hz", "rebuild.mains_Hz", number[float64]{&b.MainsHz}},
		{"note", "rebuild.note", text[string]{&b.Note}},
	}
}

// SetRebuild writes down the direct-current side that was fitted to a machine by
// hand, whole, for its present state; machine "" is the one in use. Earlier
// versions are kept; the same again adds none. It returns the machine as it now
// stands. Errors: wraps [procedures.ErrNotFound]; InvalidError where it cannot
// be, or the machine is not marked as rebuilt: without the mark it would be
// shown without the caution about its stored charge.
func (n *Notebook) SetRebuild(ctx context.Context, machine string, b procedures.Rebuild) (m procedures.Machine, err error) {
	if err := b.Validate(); err != nil {
		return m, err
	}
	if err := legible(rebuildColumns(&b)); err != nil {
		return m, err
	}
	err = n.write(ctx, func(tx *tx) error {
		name, err := tx.working(machine)
		if err != nil {
			return err
		}
		if m, _, err = tx.machine(name); err != nil {
			return err
		}
		if !m.Rebuilt {
			return procedures.Invalid("rebuild", m.Name, "this machine is not marked as rebuilt from AC to DC",
				"mark it first: beadwright machine change --what 'rectifier and capacitors fitted' --output dcen --rebuilt")
		}
		if m.Rebuild != nil && alike(rebuildColumns(m.Rebuild), rebuildColumns(&b)) {
			return nil
		}
		var version int
		if err := tx.get([]any{&version}, "SELECT coalesce(max(version), 0) + 1 FROM rebuilds WHERE state = ?", m.State.ID); err != nil {
			return err
		}
		if _, err := tx.insert("rebuilds", append(rebuildColumns(&b), column{"state", "", text[string]{&m.State.ID}},
			column{"version", "", whole[int]{&version}}, column{"at", "", moment{&tx.now}})...); err != nil {
			return err
		}
		m.Rebuild = &b
		return nil
	})
	return m, err
}

// rebuilds fills in the last version of each machine, of its last state that has
// one: a new liner does not take the capacitors out.
func (tx *tx) rebuilds(of map[string]*procedures.Machine) error {
	var b procedures.Rebuild
	var name string
	cols := rebuildColumns(&b)
	return tx.each(func(r scanner) error {
		if err := r.Scan(append(cells(cols), &name)...); err != nil {
			return err
		}
		if m := of[name]; m != nil {
			m.Rebuild = ptr(b)
		}
		return nil
	}, "SELECT "+names(prefix("r.", cols))+", m.name FROM rebuilds r JOIN states s ON s.id = r.state JOIN machines m ON m.n = s.machine ORDER BY s.number, r.version")
}

// alike reports whether two records say the same.
func alike(a, b []column) bool {
	for i := range a {
		if show(a[i].cell) != show(b[i].cell) {
			return false
		}
	}
	return true
}
