package main

import (
	"context"
	"errors"
	"fmt"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

// machine is the one named, else the one in use, else the built-in example. Where there
// are some and none is in use, the example is no answer: the error is
// [store.NoneInUse].
func (a *app) machine(ctx context.Context, name string, p procedures.Process) (procedures.Machine, error) {
	nb, err := a.existing(ctx)
	if err != nil {
		return procedures.Machine{}, err
	}
	if nb == nil {
		if name != "" {
			return procedures.Machine{}, fmt.Errorf("machine %q: %w", name, procedures.ErrNotFound)
		}
		return recommend.ExampleMachine(p), nil
	}
	if name != "" {
		return nb.Machine(ctx, name)
	}
	m, err := nb.CurrentMachine(ctx)
	if noneYet(err) {
		return recommend.ExampleMachine(p), nil
	}
	return m, err
}

// someMachine is [app.machine] for what works without one: the built-in example where
// none is in use.
func (a *app) someMachine(ctx context.Context, name string, p procedures.Process) (procedures.Machine, error) {
	m, err := a.machine(ctx, name, p)
	if errors.Is(err, procedures.ErrNotFound) && name == "" {
		return recommend.ExampleMachine(p), nil
	}
	return m, err
}

// working is [app.machine] for settings to weld with: not one that was withdrawn.
func (a *app) working(ctx context.Context, name string, p procedures.Process) (procedures.Machine, error) {
	m, err := a.machine(ctx, name, p)
	if err == nil {
		err = m.Stands()
	}
	return m, err
}

// noneYet reports whether an error says that there is nothing to choose from, and not
// that nothing was chosen.
func noneYet(err error) bool {
	return errors.Is(err, procedures.ErrNotFound) && !errors.As(err, new(store.NoneInUse))
}

// written is the machine named, else the one in use, as it is written down, and the units
// that go with it: never the built-in example, which has no meter readings and no circuit.
// From then on there is a notebook in a.nb.
func (a *app) written(ctx context.Context, name string) (m procedures.Machine, units procedures.Units, err error) {
	if _, err = a.mustExist(ctx, "machine add NAME"); err != nil {
		return m, units, err
	}
	if units, err = a.units(ctx); err != nil {
		return m, units, err
	}
	if m, err = a.machine(ctx, name, procedures.FCAWS); err == nil && m.Example {
		err = procedures.Invalid("machine", "", "no machine is written down yet", beginMachine)
	}
	return m, units, err
}

// beginMachine is what to do where no machine is written down.
var beginMachine = procedures.Way("begin with: beadwright machine add NAME", "begin with your machine: Machines, at the foot")

// fillWire puts in the wire of the spool in use where none was said, and the
// example wire where there is no spool. It returns the spool's id and what was
// assumed.
func (a *app) fillWire(ctx context.Context, job *procedures.Job) (spool, assumed string, err error) {
	nb, err := a.existing(ctx)
	if err != nil {
		return "", "", err
	}
	var current procedures.Spool
	if nb != nil {
		current, err = nb.CurrentSpool(ctx)
		switch {
		case err == nil, noneYet(err):
		case errors.Is(err, procedures.ErrNotFound) && job.Class != "": // none is in use, and it was said
		default: // with spools to choose from the example's wire is no answer
			return "", "", err
		}
	}
	said := job.Wire
	from := recommend.ExampleWire()
	if current.ID != "" {
		from = current.Wire
	}
	switch {
	case said.Class == "" && said.Gas == "" && (job.Process == "" || job.Process == procedures.ProcessOf(from.Class, from.Gas)):
		job.Class = from.Class
		if said.Diameter == 0 {
			job.Diameter = from.Diameter
		}
		job.Gas = from.Gas
	case said.Class == "" && (job.Process == procedures.GMAW || said.Gas != ""):
		job.Class = "ER70S-6"
	}
	if job.Gas == "" && job.Class == "ER70S-6" && said.Class == from.Class {
		job.Gas = from.Gas
	}
	if job.Process == "" {
		job.Process = procedures.ProcessOf(job.Class, job.Gas)
	}
	if current.ID != "" && job.Wire == current.Wire {
		return current.ID, "", nil
	}
	if job.Wire != said {
		assumed = job.Wire.String()
	}
	return "", assumed, nil
}
