package main

import "github.com/spf13/cobra"

// completes says how a flag's value is completed in a shell. Where the program
// stays open there is no shell to complete for, and cobra never forgets what it was
// told: each answer's commands would be kept for good.
func (a *app) completes(cmd *cobra.Command, flag string, with cobra.CompletionFunc) {
	if a.memory == nil {
		_ = cmd.RegisterFlagCompletionFunc(flag, with)
	}
}
