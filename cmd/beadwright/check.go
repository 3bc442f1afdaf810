package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/procedures/store"
)

// errFaulty says that something is wrong with a notebook; what has been printed.
var errFaulty = errors.New("something is wrong with the notebook")

func newCheck(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "check [FILE]",
		Short: "Read the whole notebook, or a backup, and say whether it is whole",
		Long: `Read the whole notebook, or the file named, and look at the file, at what its
records say of one another and at each record. Nothing is written. Exit status 0:
nothing is wrong; 1: something is, and it says what to do.`,
		Example: "  beadwright check\n  beadwright check /media/stick/welds-may.db",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			path, err := a.notebookPath()
			if err != nil {
				return err
			}
			if len(args) == 1 {
				if path = args[0]; path != "" {
					if err := named("file", path, "the path of a notebook or of a backup, as your shell completes it", "the notebook in use: beadwright check"); err != nil {
						return err
					}
				}
			}
			ctx, stop := untilInterrupted(cmd)
			defer stop()
			return a.check(ctx, path)
		},
	}
}

func (a *app) check(ctx context.Context, path string) error {
	faults, records, err := store.CheckFile(ctx, path, a.progress("read"))
	if err != nil {
		return err
	}
	if a.json {
		if err := a.printJSON(map[string]any{"file": path, "whole": len(faults) == 0, "records": records, "faults": append([]store.Fault{}, faults...)}); err != nil {
			return err
		}
	} else if len(faults) == 0 {
		a.printf("whole: %s, %s read, nothing wrong\n", path, plural(records, "record"))
	} else {
		a.printf("not whole: %s, %s wrong\n", path, plural(len(faults), "thing"))
		for i, f := range faults {
			if i == shownOf {
				a.line("", fmt.Sprintf("and %d more: --json lists them all", len(faults)-i))
				break
			}
			a.line(f.Record, oneLine(f.Problem))
			a.line("", "what to do: "+f.Do)
		}
	}
	if len(faults) > 0 {
		return errFaulty
	}
	return nil
}
