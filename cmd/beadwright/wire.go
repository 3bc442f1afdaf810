package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

func newWire(a *app) *cobra.Command {
	cmd := &cobra.Command{Use: "wire", Short: "The spools in the shop, what is left on them, and the contact tip", Args: noSub("wire")}
	cmd.RunE = func(cmd *cobra.Command, _ []string) error { return cmd.Help() }
	var name, weight, note, opened string
	add := &cobra.Command{
		Use:     "add SIZE CLASS",
		Short:   "Write down a spool, size and class as printed on its label",
		Example: "  beadwright wire add 0.035 E71T-11 --weight 2lb\n  beadwright wire add 0.030 E71T-GS --name 'small spool'",
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.addSpool(cmd.Context(), strings.Join(args, " "), name, weight, note, opened)
		},
	}
	add.Flags().StringVar(&name, "name", "", "what you call it (default size and class)")
	add.Flags().StringVar(&weight, "weight", "", "of wire when opened: 2lb, 10lb, 900g")
	add.Flags().StringVar(&opened, "opened", "", "when it was opened, if not now: 2026-05-01")
	add.Flags().StringVar(&note, "note", "", "anything else")
	var struck bool
	list := &cobra.Command{Use: "list", Short: "All spools and what is left on them; a star marks the one in use", Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return a.listSpools(cmd.Context(), struck) }}
	list.Flags().BoolVar(&struck, "struck", false, "show those too that were withdrawn")
	use := &cobra.Command{
		Use: "use NAME", Short: "Say which spool is in the machine", Args: cobra.MinimumNArgs(1),
		ValidArgsFunction: a.completeSpools,
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "wire add 0.035 E71T-11")
			if err != nil {
				return err
			}
			s, err := nb.UseSpool(cmd.Context(), strings.Join(args, " "))
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"spool": s})
			}
			a.printf("in use: %s%s\n", s.Name, spoolWire(s))
			return nil
		}}
	cmd.AddCommand(add, list, newWireShow(a), use, newWireWeigh(a), newWireTip(a),
		aSpool().strike(a, &cobra.Command{
			Short:   "Withdraw a spool that was written down by mistake: kept, and chosen no more; --back puts it back",
			Example: "  beadwright wire strike 'small spool'\n  beadwright wire strike 'small spool' --back",
		}),
		aSpool().rename(a, &cobra.Command{Example: "  beadwright wire rename '0.035 E71T-11' 'big spool'"}))
	return cmd
}

// spoolWire is a spool's wire in brackets, where its name does not say it.
func spoolWire(s procedures.Spool) string {
	if w := s.Wire.String(); w != s.Name {
		return " (" + w + ")"
	}
	return ""
}

func (a *app) completeSpools(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	return a.spoolNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
}

// noSub turns a wrong word after a command of commands into a usage error.
func noSub(name string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		var names []string
		for _, c := range cmd.Commands() {
			names = append(names, c.Name())
		}
		var hints []string
		cmd.SuggestionsMinimumDistance = 2
		if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
			hints = append(hints, "did you mean: "+cmd.CommandPath()+" "+strings.Join(near, ", "+cmd.CommandPath()+" "))
		}
		return &usageError{err: fmt.Errorf("%s %q is not something it does", name, oneLine(args[0])), hints: append(hints, "accepted: "+name+" "+strings.Join(names, ", "+name+" "))}
	}
}

func (a *app) addSpool(ctx context.Context, label, name, weight, note, opened string) error {
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	w, err := parseWire(label, units)
	if err != nil {
		return err
	}
	s := procedures.Spool{Name: name, Wire: w, Note: note, Opened: a.now()}
	if s.Name == "" {
		s.Name = w.String()
	}
	if weight != "" {
		if s.Grams, err = procedures.ParseGrams("weight", weight); err != nil {
			return err
		}
	}
	if opened != "" {
		if s.Opened, err = parseTime("opened", opened, a.now()); err != nil {
			return err
		}
	}
	if err := s.Validate(); err != nil {
		return err
	}
	nb, err := a.notebook(ctx)
	if err != nil {
		return err
	}
	if s, err = nb.AddSpool(ctx, s); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"spool": s})
	}
	a.printf("written down: %s%s\n", s.Name, spoolWire(s))
	if cur, err := nb.CurrentSpool(ctx); err == nil && cur.ID != s.ID {
		a.printf("in use is still %s; to change: beadwright wire use %q\n", cur.Name, s.Name)
	}
	return nil
}
