package main

import (
	"context"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// choice is machines or spools, in what both have alike: they are chosen by a name, which
// can be corrected, and one written down by mistake is withdrawn and put back.
type choice[T any] struct {
	noun     string // its key in JSON
	command  string // that it is kept with
	begin    string // the command that writes the first one down
	withdraw func(nb *store.Notebook, ctx context.Context, name, why string) (T, store.Withdrawal, error)
	putBack  func(nb *store.Notebook, ctx context.Context, name string) (T, store.Withdrawal, error)
	call     func(nb *store.Notebook, ctx context.Context, old, new string) (T, []procedures.Amendment, error)
	names    func(a *app, ctx context.Context, struck bool) []string // of those to choose from, or of those withdrawn
	name     func(T) string
	charge   func(*app, T) // prints the caution of stored charge, where it carries one
}

func aMachine() choice[procedures.Machine] {
	return choice[procedures.Machine]{
		noun: "machine", command: "machine", begin: "machine add NAME",
		withdraw: (*store.Notebook).StrikeMachine, putBack: (*store.Notebook).PutBackMachine,
		call: func(nb *store.Notebook, ctx context.Context, old, new string) (procedures.Machine, []procedures.Amendment, error) {
			return nb.SetMachine(ctx, old, func(m *procedures.Machine) error { m.Name = new; return nil })
		},
		names: (*app).machinesNamed, name: func(m procedures.Machine) string { return m.Name }, charge: (*app).storedCharge,
	}
}

func aSpool() choice[procedures.Spool] {
	return choice[procedures.Spool]{
		noun: "spool", command: "wire", begin: "wire add 0.035 E71T-11",
		withdraw: (*store.Notebook).StrikeSpool, putBack: (*store.Notebook).PutBackSpool, call: (*store.Notebook).RenameSpool,
		names: (*app).spoolsNamed, name: func(s procedures.Spool) string { return s.Name }, charge: func(*app, procedures.Spool) {},
	}
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

func (a *app) machineNames(ctx context.Context) []string { return a.machinesNamed(ctx, false) }

func (a *app) spoolNames(ctx context.Context) []string { return a.spoolsNamed(ctx, false) }
