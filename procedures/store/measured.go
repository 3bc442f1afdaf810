package store

import (
	"context"
	"errors"
	"slices"
	"strings"

	"beadwright/procedures"
)

func bindRunOut(r *procedures.RunOut) numbered {
	return numbered{"runouts", "run-out", &r.ID, &r.Number, &r.At, &r.Machine, &r.State, &r.Struck, []column{
		{"tap", "tap", text[string]{&r.Tap}},
		{"mark", "mark", figure{&r.Mark}},
		{"length_mm", "length_mm", number[procedures.MM]{&r.Length}},
		{"duration_s", "seconds", number[procedures.Seconds]{&r.Seconds}},
		{"short_length_mm", "short_length_mm", number[procedures.MM]{&r.ShortLength}},
		{"short_s", "short_seconds", number[procedures.Seconds]{&r.ShortSeconds}},
	}}
}

func bindMeasurement(m *procedures.Measurement) numbered {
	return numbered{"measurements", "measurement", &m.ID, &m.Number, &m.At, &m.Machine, &m.State, &m.Struck, []column{
		{"spool", "spool", text[string]{&m.Spool}},
		{"kind", "kind", text[procedures.MeasurementKind]{&m.Kind}},
		{"tap", "tap", text[string]{&m.Tap}},
		{"knob", "knob", optional{&m.Knob}},
		{"value", "value", figure{&m.Value}},
		{"note", "note", text[string]{&m.Note}},
	}}
}

func bindCutOut(c *procedures.CutOut) numbered {
	return numbered{"cutouts", "cut-out", &c.ID, &c.Number, &c.At, &c.Machine, &c.State, &c.Struck, []column{
		{"arc_s", "arc_seconds", number[procedures.Seconds]{&c.Used}},
		{"current_A", "current_A", number[procedures.Amps]{&c.Current}},
		{"tap", "tap", text[string]{&c.Tap}},
		{"knob", "knob", optional{&c.Knob}},
		{"ambient_C", "ambient_C", optional{&c.Ambient}},
		{"note", "note", text[string]{&c.Note}},
	}}
}

// AddRunOuts writes down timed runs of wire on a machine, all or none; machine
// "" is the one in use. It returns them with their ids, numbers and times filled
// in where they were not given, and the state that the machine is (or then was)
// in. One with the id of a recorded run and the same content is that run.
// Errors: wraps [procedures.ErrNotFound]; InvalidError where one cannot be.
func (n *Notebook) AddRunOuts(ctx context.Context, machine string, runs []procedures.RunOut) ([]procedures.RunOut, error) {
	runs = slices.Clone(runs)
	for _, r := range runs {
		if err := r.Validate(); err != nil {
			return nil, err
		}
	}
	return runs, n.write(ctx, func(tx *tx) error {
		name, err := tx.working(machine)
		if err != nil {
			return err
		}
		for i := range runs {
			if err := add(tx, name, &runs[i], bindRunOut); err != nil {
				return err
			}
		}
		return nil
	})
}

// AddMeasurements is [Notebook.AddRunOuts] for measurements. Those without a time
// get one and the same. Where no machine is named and none is written down, they
// belong to none: a spool can be weighed all the same. A spool may be given by
// its name.
func (n *Notebook) AddMeasurements(ctx context.Context, machine string, ms []procedures.Measurement) ([]procedures.Measurement, error) {
	ms = slices.Clone(ms)
	for _, m := range ms {
		if err := m.Validate(); err != nil {
			return nil, err
		}
	}
	return ms, n.write(ctx, func(tx *tx) error {
		name, err := tx.namedOrNone(machine)
		if err == nil {
			err = tx.stands("machines", name)
		}
		if err != nil {
			return err
		}
		for i := range ms {
			if err := tx.settleSpool(&ms[i].Spool); err != nil {
				return err
			}
			if err := add(tx, name, &ms[i], bindMeasurement); err != nil {
				return err
			}
		}
		return nil
	})
}

// AddCutOut is [Notebook.AddRunOuts] for one time that the cut-out opened.
func (n *Notebook) AddCutOut(ctx context.Context, machine string, c procedures.CutOut) (procedures.CutOut, error) {
	if err := c.Validate(); err != nil {
		return c, err
	}
	err := n.write(ctx, func(tx *tx) error {
		name, err := tx.working(machine)
		if err != nil {
			return err
		}
		return add(tx, name, &c, bindCutOut)
	})
	return c, err
}

// StrikeRunOut withdraws a run-out of a machine, "" the one in use: it is kept,
// and nothing counts it any more. why says why. Errors: wraps
// [procedures.ErrNotFound]; InvalidError without a reason, or if it is struck.
func (n *Notebook) StrikeRunOut(ctx context.Context, machine string, number int, why string) error {
	return n.strike(ctx, bindRunOut(&procedures.RunOut{}), machine, number, why)
}

// StrikeMeasurement is [Notebook.StrikeRunOut] for a measurement.
func (n *Notebook) StrikeMeasurement(ctx context.Context, machine string, number int, why string) error {
	return n.strike(ctx, bindMeasurement(&procedures.Measurement{}), machine, number, why)
}

// StrikeCutOut is [Notebook.StrikeRunOut] for a cut-out.
func (n *Notebook) StrikeCutOut(ctx context.Context, machine string, number int, why string) error {
	return n.strike(ctx, bindCutOut(&procedures.CutOut{}), machine, number, why)
}

func (n *Notebook) strike(ctx context.Context, r numbered, machine string, number int, why string) error {
	why, err := reason(why)
	if err != nil {
		return err
	}
	return n.write(ctx, func(tx *tx) error {
		name, err := tx.namedOrNone(machine)
		if err != nil {
			return err
		}
		return tx.strike(r, name, number, why)
	})
}

// namedOrNone is named, with "" where none is asked for and there is none.
func (tx *tx) namedOrNone(machine string) (string, error) {
	name, err := tx.named(machine)
	if strings.TrimSpace(machine) == "" && errors.Is(err, procedures.ErrNotFound) {
		return "", nil
	}
	return name, err
}

// SpoolMeasurements lists what was measured on a spool, given by name or id, or
// with it, from the oldest on, without withdrawn ones. Errors: wraps
// [procedures.ErrNotFound].
func (n *Notebook) SpoolMeasurements(ctx context.Context, spool string) (list []procedures.Measurement, err error) {
	err = n.read(ctx, func(tx *tx) error {
		s, err := tx.spool(spool)
		if err != nil {
			return err
		}
		list, err = records(tx, bindMeasurement, "WHERE spool = ? AND struck IS NULL ORDER BY at, number", s.ID)
		return err
	})
	return list, err
}

// measured fills in what was measured on machines.
func (tx *tx) measured(list []procedures.Machine) error {
	of := map[string]*procedures.Machine{}
	for i := range list {
		of[list[i].Name] = &list[i]
	}
	const which = "WHERE struck IS NULL AND machine IS NOT NULL ORDER BY at, number"
	runs, err := records(tx, bindRunOut, which)
	if err != nil {
		return err
	}
	for _, r := range runs {
		if m := of[r.Machine]; m != nil {
			m.RunOuts = append(m.RunOuts, r)
		}
	}
	ms, err := records(tx, bindMeasurement, which)
	if err != nil {
		return err
	}
	for _, r := range ms {
		if m := of[r.Machine]; m != nil {
			m.Measurements = append(m.Measurements, r)
		}
	}
	cuts, err := records(tx, bindCutOut, which)
	if err != nil {
		return err
	}
	for _, c := range cuts {
		if m := of[c.Machine]; m != nil {
			m.CutOuts = append(m.CutOuts, c)
		}
	}
	return tx.rebuilds(of)
}
