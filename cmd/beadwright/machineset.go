package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

// newMachineSet fills in or corrects a machine's record. What changes the machine
// itself is no correction: it opens a new state, by machine change.
func newMachineSet(a *app, names cobra.CompletionFunc) *cobra.Command {
	var f machineFlags
	cmd := &cobra.Command{
		Use: "set [NAME]", Short: "Fill in or correct plate, taps, knob scale and circuit (default the machine in use)", ValidArgsFunction: names,
		Long: `Fill in what was not known of a machine, or correct what was written down wrong:
its plate, the names and volts of its taps, the scale of its knob, its circuit. What
is not said stays, and the old values are kept.

A change of the machine itself, such as a new liner, new leads or AC made into DC, is
no correction: beadwright machine change. Volts by your own meter of today go with
their date into: beadwright machine measure.`,
		Example: `  beadwright machine set --input-amps 20A --breaker 20A --cord "12awg 25ft"
  beadwright machine set --wall 12awg --outlet 5-20R --plug 5-15P --other fridge=3A
  beadwright machine set shed --taps low=14.5V,high=17V --max 125A`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().NFlag() == 0 {
				return procedures.Invalid("set", "", "nothing to set was said", "such as: beadwright machine set --input-amps 20A --breaker 20A", "what there is: beadwright machine show")
			}
			f.saidRebuilt = cmd.Flags().Changed("rebuilt")
			return a.setMachine(cmd.Context(), strings.Join(args, " "), f)
		},
	}
	f.register(cmd, a)
	return cmd
}

func (a *app) setMachine(ctx context.Context, name string, f machineFlags) error {
	nb, err := a.mustExist(ctx, "machine add NAME")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	m, made, err := nb.SetMachine(ctx, name, func(m *procedures.Machine) error {
		if !f.saidRebuilt && !m.Rebuilt && procedures.Rebuilds(f.note) {
			return procedures.Invalid("note", f.note, "that sounds like a machine rebuilt from AC to DC, which is a new state of it and holds a charge",
				procedures.Way(fmt.Sprintf("beadwright machine change %s --what %q --output dcen", m.Name, f.note), "write it down as a change: Change, on the machine's page"),
				procedures.Way("nothing of the kind was built in: --rebuilt=false with the note", "nothing of the kind was built in: press No below"))
		}
		return f.apply(m, units)
	})
	if err != nil {
		return err
	}
	if made == nil {
		made = []procedures.Amendment{}
	}
	if a.json {
		return a.printJSON(map[string]any{"machine": m, "amendments": made})
	}
	if len(made) == 0 {
		a.printf("%s: nothing changed, that is what stood there\n", m.Name)
	}
	for _, c := range made {
		a.printf("%s: %s: %s -> %s\n", m.Name, strings.NewReplacer("_", " ", ".", " ").Replace(c.Field), orNotKnown(amendedLoads(c.Field, c.Old)), orNotKnown(amendedLoads(c.Field, c.New)))
	}
	a.printMachine(m, units)
	return nil
}

// amendedLoads says the other loads of an amendment in words; anything else stays.
func amendedLoads(field, s string) string {
	var all []procedures.Load
	if field != "others" || json.Unmarshal([]byte(s), &all) != nil {
		return s
	}
	return loadTexts(all)
}

func orNotKnown(s string) string {
	if s == "" {
		return "not known"
	}
	return s
}
