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

// newMachineStrike takes a machine out of every list of choices; nothing is deleted.
func newMachineStrike(a *app) *cobra.Command {
	var o strikeWords
	cmd := &cobra.Command{
		Use: "strike NAME", Short: "Withdraw a machine that was written down by mistake: kept, and chosen no more; --back puts it back",
		Long: `Withdraw a machine that was written down by mistake, or is gone. It is offered
nowhere any more; it and its welds stay in the notebook, are found, and count as before.
A wrong name or a wrong plate is corrected instead: machine rename, machine set.`,
		Example: "  beadwright machine strike big\n  beadwright machine strike big --why 'sold'\n  beadwright machine strike big --back", Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			name := strings.Join(args, " ")
			nb, err := a.mustExist(cmd.Context(), "machine add NAME")
			if err == nil {
				err = o.read("machine", name)
			}
			if err != nil {
				return err
			}
			return a.strikeMachine(cmd.Context(), nb, name, o)
		},
	}
	o.add(cmd)
	cmd.ValidArgsFunction = func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machinesNamed(cmd.Context(), o.back), cobra.ShellCompDirectiveNoFileComp
	}
	return cmd
}

func (a *app) strikeMachine(ctx context.Context, nb *store.Notebook, name string, o strikeWords) error {
	var m procedures.Machine
	var what store.Withdrawal
	var err error
	if o.back {
		m, what, err = nb.PutBackMachine(ctx, name)
	} else {
		m, what, err = nb.StrikeMachine(ctx, name, o.why)
	}
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(withdrawn("machine", m, what))
	}
	a.printWithdrawal("machine", m.Name, o, what)
	a.storedCharge(m)
	return nil
}

// withdrawn is what strike prints with --json.
func withdrawn(noun string, record any, w store.Withdrawal) map[string]any {
	return map[string]any{noun: record, "welds": w.Welds, "was_in_use": w.WasInUse, "in_use": w.InUse, "amendments": append([]procedures.Amendment{}, w.Amended...)}
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

// newWireStrike is newMachineStrike for a spool.
func newWireStrike(a *app) *cobra.Command {
	var o strikeWords
	cmd := &cobra.Command{
		Use: "strike NAME", Short: "Withdraw a spool that was written down by mistake: kept, and chosen no more; --back puts it back",
		Example: "  beadwright wire strike 'small spool'\n  beadwright wire strike 'small spool' --back", Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			name := strings.Join(args, " ")
			nb, err := a.mustExist(cmd.Context(), "wire add 0.035 E71T-11")
			if err == nil {
				err = o.read("wire", name)
			}
			if err != nil {
				return err
			}
			return a.strikeSpool(cmd.Context(), nb, name, o)
		},
	}
	o.add(cmd)
	cmd.ValidArgsFunction = func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.spoolsNamed(cmd.Context(), o.back), cobra.ShellCompDirectiveNoFileComp
	}
	return cmd
}

func (a *app) strikeSpool(ctx context.Context, nb *store.Notebook, name string, o strikeWords) error {
	var s procedures.Spool
	var what store.Withdrawal
	var err error
	if o.back {
		s, what, err = nb.PutBackSpool(ctx, name)
	} else {
		s, what, err = nb.StrikeSpool(ctx, name, o.why)
	}
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(withdrawn("spool", s, what))
	}
	a.printWithdrawal("wire", s.Name, o, what)
	return nil
}
