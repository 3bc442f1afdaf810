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

// completesFrom completes from a list that is made only when it is asked for: most
// runs of the program never are.
func (a *app) completesFrom(cmd *cobra.Command, flag string, list func() []string) {
	a.completes(cmd, flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return list(), cobra.ShellCompDirectiveNoFileComp
	})
}
