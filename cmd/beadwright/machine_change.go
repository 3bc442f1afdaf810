package main

import (
	"context"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"beadwright/procedures"
)

// newMachineChange opens a new state of a machine: what was welded before and
// after never mixes silently.
func newMachineChange(a *app, names cobra.CompletionFunc) *cobra.Command {
	var what, output string
	var rebuilt bool // by the flag
	cmd := &cobra.Command{
		Use: "change [NAME]", Short: "Open a new state: new liner, new leads, AC made DC (default the machine in use)", ValidArgsFunction: names,
		Example: "  beadwright machine change --what 'new liner and tip'\n  beadwright machine change shed --what 'rectifier and capacitors fitted' --output dcen --rebuilt",
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.changeMachine(cmd.Context(), strings.Join(args, " "), what, output, rebuilt, cmd.Flags().Changed("rebuilt"))
		},
	}
	cmd.Flags().StringVar(&what, "what", "", "what was changed")
	cmd.Flags().StringVar(&output, "output", "", "what it gives from now on: ac, dcen, dcep, dc")
	cmd.Flags().BoolVar(&rebuilt, "rebuilt", false, "the change rebuilt it by hand from AC to DC: it holds a charge (taken so from words such as bridge or capacitors, and from AC made DC, unless --rebuilt=false)")
	return cmd
}

func (a *app) changeMachine(ctx context.Context, name, what, output string, rebuilt, said bool) error {
	if strings.TrimSpace(what) == "" {
		return procedures.Invalid("what", "", "what was changed?", "say it in a few words: --what 'new liner and tip'")
	}
	m, units, err := a.written(ctx, name)
	if err != nil {
		return err
	}
	out := procedures.Polarity(strings.ToLower(output))
	taken := !said && !m.Rebuilt && (procedures.Rebuilds(what) || m.Output == procedures.AC && (out == procedures.DCEN || out == procedures.DCEP || out == "dc"))
	rebuilt = rebuilt || taken
	if err := direct(output, rebuilt && (out == procedures.AC || out == "" && m.Output == procedures.AC)); err != nil {
		return err
	}
	kind := procedures.Feed
	if out != "" || rebuilt || touchesOutput(what) {
		kind = procedures.Output
	}
	if m, err = a.nb.ChangeMachine(ctx, m.Name, strings.TrimSpace(what), kind, out, rebuilt); err != nil {
		return err
	}
	var tip []procedures.Measurement
	if procedures.TouchesTip(what) {
		if tip, err = a.nb.AddMeasurements(ctx, m.Name, []procedures.Measurement{{Kind: procedures.TipNew, Note: strings.TrimSpace(what)}}); err != nil {
			return err
		}
	}
	if a.json {
		return a.printJSON(map[string]any{"machine": m})
	}
	a.printf("%s, from now on:\n", m.Name)
	a.printTaken(taken)
	a.printMachine(m, units)
	a.printf("welds made before still count, with less say; nothing proved before is proved now\n")
	if len(tip) > 0 {
		a.printf("a new tip: its age counts from now (if it is not: beadwright wire tip --strike %d --why 'no new tip')\n", tip[0].Number)
	}
	if marksRun(m) > 0 {
		a.printf("the feeder was not touched by that, so the knob stays measured (if it was, run a mark out again: beadwright machine check)\n")
	}
	return nil
}

// printTaken says that a machine was marked as rebuilt by what was said of it.
func (a *app) printTaken(taken bool) {
	if taken {
		a.bullet("marked as rebuilt by hand from AC to DC, by your words: it may hold a charge with the plug out, and says so from now on. The mark stays; where nothing of the kind is built in, say --rebuilt=false with the words", nil)
	}
}

// touchesOutput reports whether a change, in words, is one of the volts at the
// arc: those measured before then no longer count, and past welds count for less.
func touchesOutput(what string) bool {
	for _, w := range strings.FieldsFunc(strings.ToLower(what), func(r rune) bool { return !unicode.IsLetter(r) }) {
		switch strings.TrimSuffix(w, "s") {
		case "lead", "cable", "clamp", "ground", "transformer", "rectifier", "diode", "bridge", "capacitor", "cap", "choke", "inductor", "polarity", "tap", "switch":
			return true
		}
	}
	return false
}
