package main

import (
	"context"
	"fmt"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// mistake is why a machine or a spool is withdrawn where nothing else is said.
const mistake = "written down by mistake"

// strikeWords are the words and flags with which a machine or a spool is withdrawn.
type strikeWords struct {
	why  string
	back bool
}

func (o *strikeWords) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&o.why, "why", "", "why it is withdrawn (default "+mistake+")")
	cmd.Flags().BoolVar(&o.back, "back", false, "put back one that was withdrawn by mistake")
}

// read checks what was said and fills in why.
func (o *strikeWords) read(command, name string) error {
	o.why = oneLine(o.why)
	switch {
	case o.back && o.why != "":
		return procedures.Invalid("why", o.why, "why it was withdrawn is kept; putting it back wants no reason", fmt.Sprintf("beadwright %s strike %q --back", command, name))
	case strings.IndexFunc(o.why, unicode.IsControl) >= 0:
		return procedures.Invalid("why", fmt.Sprintf("%q", o.why), "has a control character in it", "plain letters, numbers and signs")
	case o.why == "":
		o.why = mistake
	}
	return nil
}

// strike makes the command that takes one of them out of every list of choices, and
// puts it back; nothing is deleted. The rest of cmd says what it is for.
func (c choice[T]) strike(a *app, cmd *cobra.Command) *cobra.Command {
	var o strikeWords
	o.add(cmd)
	cmd.Use, cmd.Args = "strike NAME", cobra.MinimumNArgs(1)
	cmd.ValidArgsFunction = func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return c.names(a, cmd.Context(), o.back), cobra.ShellCompDirectiveNoFileComp
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		name := strings.Join(args, " ")
		nb, err := a.mustExist(cmd.Context(), c.begin)
		if err == nil {
			err = o.read(c.command, name)
		}
		if err != nil {
			return err
		}
		var one T
		var what store.Withdrawal
		if o.back {
			one, what, err = c.putBack(nb, cmd.Context(), name)
		} else {
			one, what, err = c.withdraw(nb, cmd.Context(), name, o.why)
		}
		if err != nil {
			return err
		}
		if a.json {
			return a.printJSON(map[string]any{c.noun: one, "welds": what.Welds, "was_in_use": what.WasInUse, "in_use": what.InUse, "amendments": append([]procedures.Amendment{}, what.Amended...)})
		}
		a.printWithdrawal(c.command, c.name(one), o, what)
		c.charge(a, one)
		return nil
	}
	return cmd
}

// printWithdrawal says what became of it, and what is in use now.
func (a *app) printWithdrawal(command, name string, o strikeWords, w store.Withdrawal) {
	if o.back {
		a.printf("%s is put back, and can be chosen again. It had been withdrawn: %s.\n", name, w.Amended[1].Old)
	} else {
		a.printf("withdrawn: %s (%s). It stays in the notebook, and is offered no more.\n", name, o.why)
	}
	if w.Welds > 0 {
		does, with, stay := "stand", "on it", "they stay, and count as before"
		if w.Welds == 1 {
			does, stay = "stands", "it stays, and counts as before"
		}
		if command == "machine" {
			stay += "; to move one: beadwright amend MARK --machine NAME"
		} else {
			does, with = map[bool]string{true: "was made", false: "were made"}[w.Welds == 1], "with it"
		}
		a.line("welds", fmt.Sprintf("%s %s %s: %s", plural(w.Welds, "weld"), does, with, stay))
	}
	switch {
	case w.InUse != "" && (w.WasInUse || o.back):
		a.line("in use", w.InUse)
	case w.InUse != "":
		a.line("in use", "still "+w.InUse)
	case w.WasInUse:
		a.line("in use", fmt.Sprintf("none now, for %s was: beadwright %s use NAME", name, command))
	default:
		a.line("in use", fmt.Sprintf("none: beadwright %s use NAME", command))
	}
	if !o.back {
		a.printf("a slip? beadwright %s strike %q --back\n", command, name)
	}
}

// printStruck says that a machine was withdrawn, and what stands on it all the same.
func (a *app) printStruck(ctx context.Context, m procedures.Machine) error {
	if m.Struck == "" {
		return nil
	}
	welds, err := a.nb.Find(ctx, procedures.Filter{Machine: m.Name})
	if err != nil {
		return err
	}
	text := m.Struck + ". It is offered no more"
	if len(welds) > 0 {
		text += fmt.Sprintf("; %s on it: beadwright find --machine %q", plural(len(welds), "weld"), m.Name)
	}
	a.line("  struck", text)
	a.line("  a slip?", fmt.Sprintf("beadwright machine strike %q --back", m.Name))
	return nil
}

// goneOf says which of machine and spool of a weld were withdrawn, in words.
func (a *app) goneOf(ctx context.Context, w procedures.Weld) ([]string, error) {
	said := []string{}
	if w.Job.Machine != "" {
		m, err := a.nb.Machine(ctx, w.Job.Machine)
		if err != nil {
			return nil, err
		}
		if m.Struck != "" {
			said = append(said, fmt.Sprintf("the machine %s was withdrawn: %s", m.Name, m.Struck))
		}
	}
	if w.Spool != "" {
		s, err := a.nb.Spool(ctx, w.Spool)
		if err != nil {
			return nil, err
		}
		if s.Struck != "" {
			said = append(said, fmt.Sprintf("the spool %s was withdrawn: %s", s.Name, s.Struck))
		}
	}
	return said, nil
}
