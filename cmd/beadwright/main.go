// Command beadwright is a welding notebook with a recommender: it suggests
// starting settings, logs how they turned out and finds them again.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"beadwright/procedures"
)

func main() {
	// A run lives for milliseconds and holds a few megabytes: collecting garbage
	// less often saves a third of its time.
	debug.SetGCPercent(400)
	os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr))
}

// untilInterrupted is the context of a command, ended by Ctrl-C: for one that goes on until
// then, and for one that takes long and leaves a part of a file otherwise. The others are
// killed by it, and the notebook stays as it was: with a context that can end, each statement
// costs a goroutine, together a tenth of a short run.
func untilInterrupted(cmd *cobra.Command) (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt)
	context.AfterFunc(ctx, stop) // a second one kills, whatever it still waits for
	return ctx, stop
}

// run is the whole program. It returns the exit status; see [exitCode].
func run(ctx context.Context, args []string, stdout, stderr io.Writer) (code int) {
	a := &app{out: stdout, err: stderr, now: time.Now}
	defer a.close()
	defer func() {
		if r := recover(); r != nil {
			a.json = a.asJSON(args)
			code = a.report(faultOf(r))
		}
	}()
	a.args = args
	root := newRoot(a, args...)
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	if err != nil && a.asJSON(args) {
		a.json = true
	}
	return a.report(err)
}

// asJSON finds --json where the flags could not be read to the end.
func (a *app) asJSON(args []string) bool {
	for _, arg := range args {
		if arg == "--json" || arg == "--json=true" {
			return true
		}
		if arg == "--" {
			break
		}
	}
	return a.json
}

// newRoot makes the tree of commands; of those at its top only the one that args
// name, where they name one.
func newRoot(a *app, args ...string) *cobra.Command {
	root := &cobra.Command{
		Use:   "beadwright",
		Short: "A welding notebook that suggests settings and learns from your beads",
		Long: `Beadwright suggests starting settings for a small wire welder, logs how each
bead turned out, and finds them again for a similar piece of steel.

  beadwright suggest 1/8 mild tee flat     what to set
  beadwright log 4 "bit of spatter"        how it went, 1 to 5
  beadwright find 1/8 tee                  what worked before

Exit status: 0 done; 1 the file, disk or lock failed; 2 not understood or not
valid; 3 no settings given, on purpose.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return cmd.Help()
			}
			return &usageError{err: fmt.Errorf("there is no command %q", args[0]), hints: didYouMean(cmd, args[0])}
		},
	}
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		if read := cmd.Flags().Args(); cmd.HasSubCommands() && len(read) > 0 { // its flags are those of a command that there is none of
			if cmd == cmd.Root() {
				return cmd.RunE(cmd, read[:1])
			}
			return noSub(cmd.Name())(cmd, read)
		}
		return &usageError{err: err, hints: []string{"see: " + cmd.CommandPath() + " --help"}}
	})
	f := root.PersistentFlags()
	f.StringVar(&a.notebookFlag, "notebook", "", "the notebook `FILE` (default $BEADWRIGHT_NOTEBOOK, else your data folder)")
	f.StringVar(&a.unitsFlag, "units", "", "us or metric: what a bare number means (default the notebook's, else us)")
	f.BoolVar(&a.json, "json", false, "print one JSON object")
	f.BoolVar(&a.pressed, "pressed", false, "say what to do as it is done on the page")
	_ = f.MarkHidden("pressed") // for the page
	all := commands()
	word, rest := firstWord(args, f)
	if one, ok := all[word]; ok {
		all = map[string]func(*app) *cobra.Command{"": one}
		a.below, _ = firstWord(rest, f)
	} // else for help, for completion, or to say which was meant
	for _, command := range all {
		root.AddCommand(command(a))
	}
	root.PersistentPreRunE = func(cmd *cobra.Command, _ []string) error {
		if err := nothingTwice(cmd, a.args); err != nil {
			return err
		}
		return nothingEmpty(cmd)
	}
	teachArgs(root)
	return root
}

// commands are those at the top, by name.
func commands() map[string]func(*app) *cobra.Command {
	return map[string]func(*app) *cobra.Command{
		"suggest":   newSuggest,
		"log":       newLog,
		"find":      newFind,
		"show":      newShow,
		"amend":     newAmend,
		"strike":    newStrike,
		"machine":   newMachine,
		"wire":      newWire,
		"reckon":    newReckon,
		"duty":      newDuty,
		"remedy":    newRemedy,
		"followup":  newFollowUp,
		"rate":      newRate,
		"test":      newTest,
		"look":      newLook,
		"coupons":   newCoupons,
		"photo":     newPhoto,
		"chart":     newChart,
		"procedure": newProcedure,
		"print":     newPrint,
		"export":    newExport,
		"import":    newImport,
		"backup":    newBackup,
		"check":     newCheck,
		"serve":     newServe,
		"units":     newUnits,
		"version":   newVersion,
	}
}

// firstWord is the first word of a command line that is neither one of the flags of all
// commands nor the value of one, and what follows it.
func firstWord(args []string, flags *pflag.FlagSet) (word string, rest []string) {
	for i := 0; i < len(args); i++ {
		name, long := strings.CutPrefix(args[i], "--")
		name, _, given := strings.Cut(name, "=")
		f := flags.Lookup(name)
		if !long || f == nil {
			return args[i], args[i+1:]
		}
		if !given && f.NoOptDefVal == "" {
			i++
		}
	}
	return "", nil
}

// addNamed adds the commands below one; of them only that which the line names, where it
// names one: to make the others takes longer than to run it.
func (a *app) addNamed(cmd *cobra.Command, all map[string]func() *cobra.Command) {
	if one, ok := all[a.below]; ok {
		all = map[string]func() *cobra.Command{"": one}
	}
	for _, command := range all {
		cmd.AddCommand(command())
	}
}

// nothingEmpty refuses a flag whose value is empty: mostly a shell variable that
// was not set, and never a thing to write down as if it had been left out.
func nothingEmpty(cmd *cobra.Command) error {
	var err error
	cmd.Flags().Visit(func(f *pflag.Flag) {
		words := f.Name == "note" || f.Name == "for" || f.Name == "why"
		if f.Value.Type() == "string" && strings.TrimSpace(f.Value.String()) == "" && !words && err == nil {
			err = procedures.Invalid(f.Name, "", "nothing given", "give --"+f.Name+" a value, or leave it out")
		}
	})
	return err
}

// nothingTwice refuses a flag that takes one value and was given two: the first would
// be lost without a word.
func nothingTwice(cmd *cobra.Command, args []string) error {
	said := map[string]string{}
	for i := 0; i < len(args) && args[i] != "--"; i++ {
		name, flag := strings.CutPrefix(args[i], "--")
		name, value, given := strings.Cut(name, "=")
		f := cmd.Flags().Lookup(name)
		if !flag || f == nil || f.Value.Type() != "string" {
			continue
		}
		if i++; !given && i < len(args) {
			value = args[i]
		} else if given {
			i--
		}
		if first, twice := said[name]; twice && first != value {
			hints := []string{"say it once"}
			if cmd.Flags().Lookup("other-"+name) != nil {
				hints = append(hints, "of the other part: --other-"+name+" "+quote(oneLine(value)))
			}
			return procedures.Invalid(name, first+", then "+value, "said twice", hints...)
		}
		said[name] = value
	}
	return nil
}

// teachArgs turns a wrong count of words into an error that shows the right one.
func teachArgs(cmd *cobra.Command) {
	if check := cmd.Args; check != nil {
		cmd.Args = func(c *cobra.Command, args []string) error {
			if err := wordOrder(c, args); err != nil {
				return err
			}
			err := check(c, args)
			var taught *usageError
			if err == nil || errors.As(err, &taught) {
				return err
			}
			hints := []string{"it is: " + c.UseLine()}
			if c.Example != "" {
				hints = append(hints, "such as: "+strings.TrimSpace(strings.SplitN(c.Example, "\n", 2)[0]))
			}
			return &usageError{err: fmt.Errorf("%s: too many words or too few", c.Name()), hints: hints}
		}
	}
	for _, sub := range cmd.Commands() {
		teachArgs(sub)
	}
}

// didYouMean names the commands nearest to a word.
func didYouMean(cmd *cobra.Command, word string) []string {
	cmd.SuggestionsMinimumDistance = 2
	if near := cmd.SuggestionsFor(word); len(near) > 0 {
		return []string{"did you mean: beadwright " + strings.Join(near, ", beadwright ")}
	}
	return []string{"to ask for settings: beadwright suggest 1/8 mild tee flat", "all commands: beadwright --help"}
}

// usageError is a command line that cannot be read.
type usageError struct {
	err   error
	hints []string
}

func (e *usageError) Error() string { return e.err.Error() }

// errNoSettings says that no settings were given, on purpose; the answer that
// says why has been printed.
var errNoSettings = errors.New("no settings given")
