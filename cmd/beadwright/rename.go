package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

// twoNames has a command take an old and a new name. A name of more words goes in
// quotes, so that nobody has to guess where one ends.
func twoNames(command string) cobra.PositionalArgs {
	return func(_ *cobra.Command, args []string) error {
		if len(args) == 2 {
			return nil
		}
		return &usageError{err: fmt.Errorf("%s rename wants two names, the old one and the new one", command),
			hints: []string{fmt.Sprintf(`beadwright %s rename OLD NEW; a name of several words goes in quotes: beadwright %s rename "old name" "new name"`, command, command)}}
	}
}

// newMachineRename corrects the name of a machine; the old one is kept.
func newMachineRename(a *app, names cobra.CompletionFunc) *cobra.Command {
	return &cobra.Command{
		Use: "rename OLD NEW", Short: "Give a machine another name; its welds go with it", Args: twoNames("machine"), ValidArgsFunction: names,
		Example: `  beadwright machine rename sched shed
  beadwright machine rename "little red" "little red, old"`,
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "machine add NAME")
			if err != nil {
				return err
			}
			m, made, err := nb.SetMachine(cmd.Context(), args[0], func(m *procedures.Machine) error { m.Name = args[1]; return nil })
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"machine": m, "amendments": append([]procedures.Amendment{}, made...)})
			}
			a.printRename(made, m.Name)
			a.storedCharge(m)
			return nil
		},
	}
}

// newWireRename is newMachineRename for a spool.
func newWireRename(a *app) *cobra.Command {
	return &cobra.Command{
		Use: "rename OLD NEW", Short: "Give a spool another name; its welds go with it", Args: twoNames("wire"), ValidArgsFunction: a.completeSpools,
		Example: "  beadwright wire rename '0.035 E71T-11' 'big spool'",
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "wire add 0.035 E71T-11")
			if err != nil {
				return err
			}
			s, made, err := nb.RenameSpool(cmd.Context(), args[0], args[1])
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"spool": s, "amendments": append([]procedures.Amendment{}, made...)})
			}
			a.printRename(made, s.Name)
			return nil
		},
	}
}

func (a *app) printRename(made []procedures.Amendment, name string) {
	if len(made) == 0 {
		a.printf("%s: nothing changed, that is its name\n", name)
		return
	}
	a.printf("%q is called %q from now on, and its welds with it. The old name is kept in its history.\n", made[0].Old, name)
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

// machinesNamed are the names of the machines to choose from, or of those withdrawn.
func (a *app) machinesNamed(ctx context.Context, struck bool) (names []string) {
	nb, err := a.existing(ctx)
	if err != nil || nb == nil {
		return nil
	}
	machines, _ := nb.Machines(ctx)
	for _, m := range machines {
		if (m.Struck != "") == struck {
			names = append(names, m.Name)
		}
	}
	return names
}

// spoolsNamed is machinesNamed for spools.
func (a *app) spoolsNamed(ctx context.Context, struck bool) (names []string) {
	nb, err := a.existing(ctx)
	if err != nil || nb == nil {
		return nil
	}
	spools, _ := nb.Spools(ctx)
	for _, s := range spools {
		if (s.Struck != "") == struck {
			names = append(names, s.Name)
		}
	}
	return names
}
