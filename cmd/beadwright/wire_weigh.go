package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/feeder"
)

type weighOptions struct {
	with, empty, note, at string
	strike                strikeFlags
}

func newWireWeigh(a *app) *cobra.Command {
	var o weighOptions
	cmd := &cobra.Command{
		Use: "weigh [NAME] WEIGHT", Short: "Write down what the wire on a spool weighs: the count begins anew (default the spool in use)",
		Long: `Write down what the wire on a spool weighs; what is left is counted from there.

The weight is that of the wire alone. Put the spool with its wire on kitchen or
parcel scales and an empty spool of the same kind too; say both weights, and the one
is taken from the other. A spool that ran out: beadwright wire weigh empty`,
		Example:           "  beadwright wire weigh 1.4lb\n  beadwright wire weigh 'small spool' --with-spool 1.7lb --empty 0.3lb\n  beadwright wire weigh empty",
		ValidArgsFunction: a.completeSpools,
		RunE:              func(cmd *cobra.Command, args []string) error { return a.weigh(cmd.Context(), o, args) },
	}
	f := cmd.Flags()
	f.StringVar(&o.with, "with-spool", "", "weight of the spool with its wire: 1.7lb; needs --empty")
	o.strike.add(f, "weighing")
	f.StringVar(&o.empty, "empty", "", "weight of an empty spool of the same kind: 0.3lb, 140g")
	f.StringVar(&o.note, "note", "", "anything else")
	f.StringVar(&o.at, "at", "", "when, if not now: 2026-05-01 14:30")
	return cmd
}

const weighHint = "the wire alone: 1.4lb, 640g; with the spool: --with-spool 1.7lb --empty 0.3lb; none left: empty"

// read returns the weight of the wire alone, and the words left for the spool's name.
func (o weighOptions) read(args []string) (grams float64, name string, err error) {
	if o.with != "" || o.empty != "" {
		if o.with == "" || o.empty == "" {
			return 0, "", procedures.Invalid("weight", "", "the spool with its wire and the empty spool: both weights are needed", "such as --with-spool 1.7lb --empty 0.3lb", "no empty one of the kind at hand? keep the next one that runs out, and weigh it")
		}
		full, err := procedures.ParseGrams("with-spool", o.with)
		if err != nil {
			return 0, "", err
		}
		empty, err := procedures.ParseGrams("empty", o.empty)
		if err != nil {
			return 0, "", err
		}
		if empty > full {
			return 0, "", procedures.Invalid("empty", o.empty, "heavier than the spool with its wire, "+o.with, "swap the two")
		}
		return float64(full - empty), strings.Join(args, " "), nil
	}
	if len(args) == 0 {
		return 0, "", procedures.Invalid("weight", "", "what does it weigh?", weighHint)
	}
	rest, last := args[:len(args)-1], args[len(args)-1]
	if strings.EqualFold(last, "empty") || strings.EqualFold(last, "gone") {
		return 0, strings.Join(rest, " "), nil
	}
	g, err := procedures.ParseGrams("weight", last)
	if err != nil && len(rest) > 0 { // 1.4 lb
		if two, also := procedures.ParseGrams("weight", rest[len(rest)-1]+" "+last); also == nil {
			return float64(two), strings.Join(rest[:len(rest)-1], " "), nil
		}
	}
	if err != nil {
		return 0, "", procedures.Invalid("weight", last, "not a weight of wire", weighHint)
	}
	return float64(g), strings.Join(rest, " "), nil
}

func (a *app) weigh(ctx context.Context, o weighOptions, args []string) error {
	if o.strike.said() {
		return a.strikeMeasured(ctx, o.strike, procedures.SpoolWeight, "")
	}
	weight, name, err := o.read(args)
	if err != nil {
		return err
	}
	s, all, units, err := a.spoolAtHand(ctx, name)
	if err != nil {
		return err
	}
	if rods(s) {
		return procedures.Invalid("spool", s.Name, "covered electrodes are counted, not metered", "count the rods in the box")
	}
	const label = 1.05 // a label is met to a few per cent
	if s.Grams > 0 && weight > label*float64(s.Grams) {
		return procedures.Invalid("weight", grams(weight, units), "more than the "+grams(float64(s.Grams), units)+" it held when opened",
			"take the empty spool off: --with-spool 1.7lb --empty 0.3lb", "another spool? beadwright wire add SIZE CLASS --name ...")
	}
	before, err := feeder.Spool(s, all.records)
	if err != nil {
		return err
	}
	m := procedures.Measurement{Spool: s.ID, Kind: procedures.SpoolWeight, Value: weight, Note: strings.TrimSpace(o.note)}
	if o.at != "" {
		if m.At, err = parseTime("at", o.at, a.now()); err != nil {
			return err
		}
	}
	machine, err := a.nb.CurrentMachine(ctx)
	if err != nil && !errors.Is(err, procedures.ErrNotFound) {
		return err
	}
	made, err := a.nb.AddMeasurements(ctx, "", []procedures.Measurement{m})
	if err != nil {
		return err
	}
	all.records.Measurements = append(all.records.Measurements, made...)
	left, err := feeder.Spool(s, all.records)
	if err != nil {
		return err
	}
	cares := append(wireCares(s, machine, left, feeder.Stale(s, all.records.Uses, a.now())), caution.Caution{Level: caution.Care, Key: "spool", Source: []string{"CP"},
		Text: "Switch off and unplug before the spool comes out or goes in. Hold the loose end: the wire springs. Common practice, no source."})
	if a.json {
		doc := map[string]any{"spool": s, "measurement": made[0], "left": leftJSON(s, left), "reckoned_g": nil, "cautions": cares, "sources": cited(cares, left.PerMetre.Source)}
		if before.Known {
			doc["reckoned_g"] = procedures.Round(before.Grams)
		}
		return a.printJSON(doc)
	}
	a.printf("written down: %s of wire on %s; counted from there\n", grams(weight, units), s.Name)
	if before.Known {
		a.line("  before", leftText(before, units)+" reckoned to be left")
		if weight > before.GramsHigh*1.02 {
			a.line("  look", "that is more than there can have been: is it the spool that you mean, and the wire without the spool?")
		}
	}
	a.printLeft(left, units)
	a.printCautions(cares)
	a.storedCharge(machine)
	a.printSources(cited(cares, left.PerMetre.Source))
	a.printf("wrong? beadwright wire weigh --strike %d --why WHY, or weigh it again\n", made[0].Number)
	return nil
}

type tipOptions struct {
	machine, note, at string
	strike            strikeFlags
}

func newWireTip(a *app) *cobra.Command {
	var o tipOptions
	cmd := &cobra.Command{
		Use: "tip", Short: "Write down that a new contact tip was put in: its age counts from there", Args: cobra.NoArgs,
		Example: "  beadwright wire tip\n  beadwright wire tip --note 'the old one was oval'",
		RunE:    func(cmd *cobra.Command, _ []string) error { return a.newTip(cmd.Context(), o) },
	}
	f := cmd.Flags()
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	o.strike.add(f, "tip")
	f.StringVar(&o.note, "note", "", "what the old one looked like")
	f.StringVar(&o.at, "at", "", "when, if not now: 2026-05-01 14:30")
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

func (a *app) newTip(ctx context.Context, o tipOptions) error {
	if o.strike.said() {
		return a.strikeMeasured(ctx, o.strike, procedures.TipNew, o.machine)
	}
	nb, err := a.mustExist(ctx, "machine add NAME")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	var m procedures.Machine
	if o.machine != "" {
		m, err = nb.Machine(ctx, o.machine)
	} else if m, err = nb.CurrentMachine(ctx); noneYet(err) {
		return procedures.Invalid("machine", "", "no machine is written down yet", "a tip belongs to a machine: beadwright machine add NAME")
	}
	if err != nil {
		return err
	}
	tip := procedures.Measurement{Kind: procedures.TipNew, Note: strings.TrimSpace(o.note)}
	if o.at != "" {
		if tip.At, err = parseTime("at", o.at, a.now()); err != nil {
			return err
		}
	}
	made, err := nb.AddMeasurements(ctx, m.Name, []procedures.Measurement{tip})
	if err != nil {
		return err
	}
	all, err := a.stock(ctx)
	if err != nil {
		return err
	}
	now := feeder.TipOf(all.records, m.Name)
	cares := []caution.Caution{{Level: caution.Care, Key: "tip", Source: []string{"CP"},
		Text: "Switch off and unplug before a hand goes to the gun: the trigger makes wire and tip live. " + caution.LiveWire(m) + " The old tip is hot. Point the gun away from faces when you feed the wire through. Common practice, no source."}}
	if a.json {
		return a.printJSON(map[string]any{"measurement": made[0], "tip": tipJSON(m.Name, now), "cautions": cares, "sources": cited(cares, nil)})
	}
	a.printf("written down: a new tip in %s, and its age counts from there\n", m.Name)
	if usual, ok := now.Usual(); ok {
		n := len(now.Lives)
		a.line("  before", fmt.Sprintf("the last one lasted about %s of wire; the median of %s is %s", reach(now.Lives[n-1]/1000, units), plural(n, "tip"), reach(usual/1000, units)))
	} else {
		a.line("  before", "how long the last one lasted is not known: from now on it is counted")
	}
	a.printCautions(cares)
	a.storedCharge(m)
	a.printf("wrong? beadwright wire tip --strike %d\n", made[0].Number)
	return nil
}
