package main

import (
	"github.com/spf13/cobra"

	"beadwright/procedures"
)

// newUnits returns the command that says, or sets, what the notebook speaks.
func newUnits(a *app) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "units [us|metric]",
		Short: "What a bare number means in this notebook: inches or millimeters",
		Long: `Say what a bare number means, or set it for good: us (inches, in/min) or metric
(millimeters, m/min). Everything is shown in it too, on the command line and on the
page. What was written down stays as it is. For one command alone: --units metric.`,
		Example:   "  beadwright units\n  beadwright units metric",
		Args:      cobra.MaximumNArgs(1),
		ValidArgs: []string{string(procedures.US), string(procedures.Metric)},
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx := cmd.Context()
			if len(args) == 1 {
				units, err := procedures.ParseUnits(args[0])
				if err != nil {
					return err
				}
				nb, err := a.notebook(ctx)
				if err != nil {
					return err
				}
				if err := nb.SetUnits(ctx, units); err != nil {
					return err
				}
			}
			units, err := a.units(ctx)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"units": units})
			}
			says := "a bare number is inches, a wire speed inches a minute"
			if units == procedures.Metric {
				says = "a bare number is millimeters, a wire speed meters a minute"
			}
			a.line(string(units), says)
			return nil
		},
	}
	return cmd
}
