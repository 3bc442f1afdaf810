package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"beadwright/procedures"
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

// rename makes the command that corrects the name of one of them; the old one is kept.
func (c choice[T]) rename(a *app, cmd *cobra.Command) *cobra.Command {
	cmd.Use, cmd.Args = "rename OLD NEW", twoNames(c.command)
	cmd.Short = "Give a " + c.noun + " another name; its welds go with it"
	cmd.ValidArgsFunction = func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return c.names(a, cmd.Context(), false), cobra.ShellCompDirectiveNoFileComp
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		nb, err := a.mustExist(cmd.Context(), c.begin)
		if err != nil {
			return err
		}
		one, made, err := c.call(nb, cmd.Context(), args[0], args[1])
		if err != nil {
			return err
		}
		if a.json {
			return a.printJSON(map[string]any{c.noun: one, "amendments": append([]procedures.Amendment{}, made...)})
		}
		a.printRename(made, c.name(one))
		c.charge(a, one)
		return nil
	}
	return cmd
}

func (a *app) printRename(made []procedures.Amendment, name string) {
	if len(made) == 0 {
		a.printf("%s: nothing changed, that is its name\n", name)
		return
	}
	a.printf("%q is called %q from now on, and its welds with it. The old name is kept in its history.\n", made[0].Old, name)
}
