package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
)

func newMachine(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "machine", Short: "Your welders: taps, knob, plate, circuit", Args: noSub("machine")}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	names := func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	}
	named := func(of func(*app, cobra.CompletionFunc) *cobra.Command) func() *cobra.Command {
		return func() *cobra.Command { return of(a, names) }
	}
	a.addNamed(cmd, map[string]func() *cobra.Command{
		"add":     func() *cobra.Command { return newMachineAdd(a) },
		"list":    func() *cobra.Command { return newMachineList(a) },
		"show":    named(newMachineShow),
		"use":     named(newMachineUse),
		"change":  named(newMachineChange),
		"set":     named(newMachineSet),
		"measure": named(newMachineMeasure),
		"losses":  named(newMachineLosses),
		"circuit": named(newMachineCircuit),
		"rebuilt": named(newMachineRebuilt),
		"compare": named(newMachineCompare),
		"check":   named(newMachineCheck),
		"knob":    named(newMachineKnob),
		"strike":  func() *cobra.Command { return newMachineStrike(a) },
		"rename":  func() *cobra.Command { return newMachineRename(a) },
	})
	return cmd
}

func newMachineAdd(a *app) *cobra.Command {
	var f machineFlags
	cmd := &cobra.Command{
		Use:   "add NAME",
		Short: "Write down a machine; what you do not know, leave out",
		Example: `  beadwright machine add shed --taps low,high --output dcen --rated 90A --duty 20 --input 120V
  beadwright machine add shed --taps low=14.5V,high=17V --knob 1..10 --wire-range 40..340ipm --breaker 20A --cord "12awg 25ft"`,
		RunE: func(cmd *cobra.Command, args []string) error {
			f.saidRebuilt = cmd.Flags().Changed("rebuilt")
			return a.addMachine(cmd.Context(), strings.Join(args, " "), f)
		},
	}
	f.register(cmd, a)
	return cmd
}

func newMachineList(a *app) *cobra.Command {
	var struck bool
	cmd := &cobra.Command{Use: "list", Short: "All machines; a star marks the one in use", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listMachines(cmd.Context(), struck) }}
	cmd.Flags().BoolVar(&struck, "struck", false, "show those too that were withdrawn")
	return cmd
}

func newMachineShow(a *app, names cobra.CompletionFunc) *cobra.Command {
	return &cobra.Command{Use: "show [NAME]", Short: "One machine, whole (default the one in use)", ValidArgsFunction: names,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.showMachine(cmd.Context(), strings.Join(args, " "))
		}}
}

func newMachineUse(a *app, names cobra.CompletionFunc) *cobra.Command {
	return &cobra.Command{Use: "use NAME", Short: "Say which machine you weld with", Args: cobra.MinimumNArgs(1), ValidArgsFunction: names,
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "machine add NAME")
			if err != nil {
				return err
			}
			m, err := nb.UseMachine(cmd.Context(), strings.Join(args, " "))
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"machine": m})
			}
			a.printf("in use: %s\n", m.Name)
			a.storedCharge(m)
			return nil
		}}
}

func newMachineStrike(a *app) *cobra.Command {
	return aMachine().strike(a, &cobra.Command{
		Short: "Withdraw a machine that was written down by mistake: kept, and chosen no more; --back puts it back",
		Long: `Withdraw a machine that was written down by mistake, or is gone. It is offered
nowhere any more; it and its welds stay in the notebook, are found, and count as before.
A wrong name or a wrong plate is corrected instead: machine rename, machine set.`,
		Example: "  beadwright machine strike big\n  beadwright machine strike big --why 'sold'\n  beadwright machine strike big --back",
	})
}

func newMachineRename(a *app) *cobra.Command {
	return aMachine().rename(a, &cobra.Command{Example: `  beadwright machine rename sched shed
  beadwright machine rename "little red" "little red, old"`})
}

func (a *app) addMachine(ctx context.Context, name string, f machineFlags) error {
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	m, err := f.machine(name, units)
	if err != nil {
		return err
	}
	taken := !f.saidRebuilt && m.Output != procedures.AC && procedures.Rebuilds(m.Note)
	m.Rebuilt = m.Rebuilt || taken
	nb, err := a.notebook(ctx)
	if err != nil {
		return err
	}
	if m, err = nb.AddMachine(ctx, m); err != nil {
		var bad *procedures.InvalidError
		if errors.As(err, &bad) && bad.Field == "name" && strings.Contains(bad.Problem, "already") {
			bad.Hints = append(bad.Hints, procedures.Way(fmt.Sprintf("or fill in what is written of it: beadwright machine set %s, with the same flags", quote(name)), ""))
		}
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"machine": m})
	}
	a.printf("written down: %s\n", m.Name)
	a.printTaken(taken)
	a.printMachine(m, units)
	if cur, err := nb.CurrentMachine(ctx); err == nil && cur.ID != m.ID {
		a.printf("in use is still %s; to change: beadwright machine use %q\n", cur.Name, m.Name)
	}
	return nil
}

// listMachines lists the machines to choose from, and with struck those withdrawn.
func (a *app) listMachines(ctx context.Context, struck bool) error {
	nb, err := a.existing(ctx)
	if err != nil {
		return err
	}
	machines, gone, current := []procedures.Machine{}, []procedures.Machine{}, ""
	if nb != nil {
		all, err := nb.Machines(ctx)
		if err != nil {
			return err
		}
		for _, m := range all {
			if m.Struck == "" {
				machines = append(machines, m)
			} else {
				gone = append(gone, m)
			}
		}
		if id, err := nb.MachineInUse(ctx); err == nil {
			current = id
		}
	}
	if a.json {
		doc := map[string]any{"machines": machines, "current": current}
		if struck {
			doc["struck"] = gone
		}
		return a.printJSON(doc)
	}
	switch {
	case len(machines) > 0 && current == "":
		a.printf("none is in use. Say which one you weld with: beadwright machine use NAME\n")
	case len(machines) == 0 && len(gone) > 0:
		a.printf("no machine to choose from. Write one down: beadwright machine add NAME --taps low,high\n")
	case len(machines) == 0:
		a.printf("no machine written down yet; suggestions use a built-in example. Begin with: beadwright machine add NAME --taps low,high\n")
	}
	for _, m := range machines {
		star := " "
		if m.ID == current {
			star = "*"
		}
		a.printf("%s %s  %s\n", star, m.Name, list(strings.Join(m.TapNames(), "/"), string(m.Output), ifKnown("", float64(m.RatedAmps), fmt.Sprintf("%g A at %g %%", float64(m.RatedAmps), float64(m.Duty)))))
		a.storedCharge(m)
	}
	if len(gone) > 0 && !struck {
		a.printf("%d withdrawn: beadwright machine list --struck\n", len(gone))
		return nil
	}
	for _, m := range gone {
		a.printf("- %s  withdrawn: %s\n", m.Name, m.Struck)
		a.storedCharge(m)
	}
	return nil
}

func (a *app) showMachine(ctx context.Context, name string) error {
	m, units, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"machine": m})
	}
	a.printf("%s\n", m.Name)
	if err := a.printStruck(ctx, m); err != nil {
		return err
	}
	a.printMachine(m, units)
	return nil
}

func (a *app) printMachine(m procedures.Machine, units procedures.Units) {
	var missing []string
	known := func(word, lead string, v float64, unit string) string {
		if v == 0 {
			missing = append(missing, word)
			return ""
		}
		return fmt.Sprintf("%s%g %s", lead, v, unit)
	}
	var taps []string
	for _, t := range m.Taps {
		taps = append(taps, t.Name+ifKnown(" ", float64(t.Load), fmt.Sprintf("%.1f V under load (%s)", float64(t.Load), t.How))+ifKnown(", ", float64(t.Open), fmt.Sprintf("%.1f V with no arc", float64(t.Open))))
	}
	if len(taps) == 0 {
		missing = append(missing, "taps")
	}
	knob := "no numbers; spoken of in thirds of its turn"
	if m.Knob.Marked() {
		knob = fmt.Sprintf("%g to %g, not measured", m.Knob.Min, m.Knob.Max)
	}
	if marks := marksRun(m); marks > 0 {
		knob = strings.TrimSuffix(strings.TrimSuffix(knob, ", not measured"), "; spoken of in thirds of its turn") + ", run out at " + counted(marks, "mark") + " (machine knob)"
	}
	feed := ""
	if m.WireMax > 0 {
		feed = procedures.FormatWireSpeed(m.WireMin, units) + " to " + procedures.FormatWireSpeed(m.WireMax, units)
	} else {
		missing = append(missing, "wire speed range")
	}
	if m.Output == "" {
		missing = append(missing, "output (AC or DC)")
	}
	if m.Breaker == 0 {
		missing = append(missing, "breaker")
	}
	for _, l := range []struct{ word, text string }{
		{"taps", strings.Join(taps, "; ")}, {"knob", knob}, {"wire", feed},
		{"output", list(string(m.Output), known("rated amps", "rated ", float64(m.RatedAmps), "A"), known("duty cycle", "duty ", float64(m.Duty), "%"), known("highest output", "at most ", float64(m.MaxAmps), "A"))},
		{"supply", list(known("wall voltage", "", float64(m.InputVolts), "V"), known("input amps", "draws ", float64(m.InputAmps), "A"))},
		{"circuit", circuitText(m, units)},
		{"state", fmt.Sprintf("%d, %s", m.State.Number, m.State.What)}, {"note", m.Note},
	} {
		if l.text != "" {
			a.line("  "+l.word, l.text)
		}
	}
	if len(missing) > 0 {
		a.line("  unknown", strings.Join(missing, ", ")+": all on the plate, the switch and the breaker")
	}
	a.storedCharge(m)
}

// marksRun counts the marks of the knob that were run out in the present state.
func marksRun(m procedures.Machine) int {
	marks := map[float64]bool{}
	for _, r := range m.RunOuts {
		if m.SameFeed(r.State, m.State.ID) {
			marks[r.Mark] = true
		}
	}
	return len(marks)
}

// storedCharges prints the caution of each machine named that carries it.
func (a *app) storedCharges(ctx context.Context, names ...string) {
	for _, name := range names {
		if m, err := a.nb.Machine(ctx, name); name != "" && err == nil {
			a.storedCharge(m)
		}
	}
}

// storedCharge prints the caution that a rebuilt machine carries on every view.
func (a *app) storedCharge(m procedures.Machine) {
	if c, ok := caution.StoredCharge(m); ok {
		a.bullet(strings.ToUpper(string(c.Level))+": "+whole(c), c.Source)
	}
}
