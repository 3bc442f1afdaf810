package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

func newBackup(a *app) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:   "backup FILE",
		Short: "Copy the notebook while it is in use, and look the copy through",
		Long: `Copy the notebook into a file, whoever else is writing to it. The copy is read
through and counted before it gets its name, so a backup that is there is whole.

To go back to a backup, stop the program everywhere, take away what lies beside the
notebook, and copy the file:

  rm -f NOTEBOOK-wal NOTEBOOK-shm
  cp FILE NOTEBOOK
  beadwright check`,
		Example: "  beadwright backup /media/stick/welds-may.db",
		Args:    cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			ctx, stop := untilInterrupted(cmd)
			defer stop()
			nb, err := a.mustExist(ctx, "suggest 1/8 mild tee flat")
			if err != nil {
				return err
			}
			b, err := nb.Backup(ctx, args[0], force)
			if err != nil {
				return cannotCopy(args[0], err)
			}
			if a.json {
				return a.printJSON(map[string]any{"backup": b, "notebook": nb.Path()})
			}
			a.printf("backed up: %s, %s, %s, read through and whole\n", b.Path, sizeText(b.Bytes), plural(b.Records["welds"], "weld"))
			a.line("go back", "stop the program, take away the -wal and -shm files beside the notebook, then: cp "+b.Path+" "+nb.Path())
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "replace a file that is there")
	return cmd
}

// sizeText writes the size of a file.
func sizeText(bytes int64) string {
	if bytes < 1<<20 {
		return fmt.Sprintf("%d KB", (bytes+1023)/1024)
	}
	return fmt.Sprintf("%.1f MB", float64(bytes)/(1<<20))
}
