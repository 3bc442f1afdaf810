package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/caution"
	"beadwright/recommend/feeder"
)

func newWireShow(a *app) *cobra.Command {
	return &cobra.Command{
		Use: "show [NAME]", Short: "What is left on a spool, how long it lasts, how old the tip is (default the spool in use)",
		Example:           "  beadwright wire show\n  beadwright wire show 'small spool'",
		ValidArgsFunction: a.completeSpools,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.showSpool(cmd.Context(), strings.Join(args, " "))
		},
	}
}

// stock is what the notebook holds of wire: the spools, and all that fed it.
type stock struct {
	spools   []procedures.Spool
	current  procedures.Spool // in use; no id: none
	machines []procedures.Machine
	records  feeder.Records
}

// stock reads everything that tells how much wire was fed, whole.
func (a *app) stock(ctx context.Context) (s stock, err error) {
	if s.spools, err = a.nb.Spools(ctx); err != nil {
		return s, err
	}
	if s.current, err = a.nb.CurrentSpool(ctx); err != nil && !errors.Is(err, procedures.ErrNotFound) {
		return s, err
	}
	if s.machines, err = a.nb.Machines(ctx); err != nil {
		return s, err
	}
	if s.records.Uses, err = a.uses(ctx, procedures.Filter{}, s.machines...); err != nil {
		return s, err
	}
	seen := map[string]bool{}
	measured := func(ms []procedures.Measurement) {
		for _, m := range ms { // one that names a machine and a spool comes twice
			if !seen[m.ID] {
				seen[m.ID] = true
				s.records.Measurements = append(s.records.Measurements, m)
			}
		}
	}
	for _, m := range s.machines {
		measured(m.Measurements)
		s.records.RunOuts = append(s.records.RunOuts, m.RunOuts...)
	}
	for _, spool := range s.spools {
		ms, err := a.nb.SpoolMeasurements(ctx, spool.ID)
		if err != nil {
			return s, err
		}
		measured(ms)
	}
	return s, nil
}

// rods reports whether a spool is a box of covered electrodes, which are counted.
func rods(s procedures.Spool) bool {
	return procedures.ProcessOf(s.Wire.Class, s.Wire.Gas) == procedures.SMAW
}

// listSpools lists the spools to choose from, and with struck those withdrawn.
func (a *app) listSpools(ctx context.Context, struck bool) error {
	nb, err := a.existing(ctx)
	if err != nil {
		return err
	}
	var all stock
	if nb != nil {
		if all, err = a.stock(ctx); err != nil {
			return err
		}
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	type row struct {
		procedures.Spool
		Left *wireLeft `json:"left"`
		Old  bool      `json:"open_long"`
	}
	rows, gone := []row{}, []procedures.Spool{}
	for _, s := range all.spools {
		if s.Struck != "" {
			gone = append(gone, s)
			continue
		}
		left, err := feeder.Spool(s, all.records)
		if err != nil {
			return err
		}
		rows = append(rows, row{s, leftJSON(s, left), feeder.Stale(s, all.records.Uses, a.now())})
	}
	if a.json {
		doc := map[string]any{"spools": rows, "current": all.current.ID}
		if struck {
			doc["struck"] = gone
		}
		return a.printJSON(doc)
	}
	if len(rows) > 0 && all.current.ID == "" {
		a.printf("none is in use. Say which one is in the machine: beadwright wire use NAME\n")
	}
	if len(rows) == 0 && len(gone) == 0 {
		a.printf("no spool written down yet. Read the label and type: beadwright wire add 0.035 E71T-11\n")
	}
	for _, r := range rows {
		star := " "
		if r.ID == all.current.ID {
			star = "*"
		}
		text := ""
		if r.Left != nil {
			text = "about " + grams(r.Left.Grams, units) + " left"
		}
		if !r.Opened.IsZero() {
			text = list(text, "opened "+r.Opened.Local().Format("2006-01-02"))
		}
		if r.Old {
			text = list(text, "open for long: check coupon first")
		}
		a.printf("%s %s (%s)%s\n", star, r.Name, r.Wire, after("  ", text))
	}
	if len(gone) > 0 && !struck {
		a.printf("%d withdrawn: beadwright wire list --struck\n", len(gone))
		return nil
	}
	for _, s := range gone {
		a.printf("- %s  withdrawn: %s\n", s.Name, s.Struck)
	}
	return nil
}

// spoolAtHand is a spool that is written down, the one in use where no name is given,
// with all that tells how much wire was fed, and the units of the notebook.
func (a *app) spoolAtHand(ctx context.Context, name string) (s procedures.Spool, all stock, units procedures.Units, err error) {
	nb, err := a.mustExist(ctx, "wire add 0.035 E71T-11")
	if err != nil {
		return s, all, units, err
	}
	if units, err = a.units(ctx); err != nil {
		return s, all, units, err
	}
	if all, err = a.stock(ctx); err != nil {
		return s, all, units, err
	}
	if name != "" {
		s, err = nb.Spool(ctx, name)
	} else if s, err = nb.CurrentSpool(ctx); noneYet(err) {
		err = procedures.Invalid("spool", "", "no spool is written down yet", "read its label: beadwright wire add 0.035 E71T-11 --weight 2lb")
	}
	return s, all, units, err
}

func (a *app) showSpool(ctx context.Context, name string) error {
	s, all, units, err := a.spoolAtHand(ctx, name)
	if err != nil {
		return err
	}
	left, err := feeder.Spool(s, all.records)
	if err != nil {
		return err
	}
	old := feeder.Stale(s, all.records.Uses, a.now())
	machine, err := a.nb.CurrentMachine(ctx)
	if err != nil && !errors.Is(err, procedures.ErrNotFound) {
		return err
	}
	first := firstAboutSpool(s, left, old)
	cares := wireCares(s, machine, left, old)
	if a.json {
		doc := map[string]any{"spool": s, "in_use": s.ID == all.current.ID, "do": first, "left": leftJSON(s, left), "fed": fedJSON(left.Fed),
			"open_long": old, "tip": nil, "cautions": cares, "sources": cited(cares, left.PerMetre.Source)}
		if machine.ID != "" && !rods(s) {
			doc["tip"] = tipJSON(machine.Name, feeder.TipOf(all.records, machine.Name))
		}
		return a.printJSON(doc)
	}
	a.printf("%s\n", first)
	a.line("  spool", list(s.Name, unlike(s.Wire.String(), s.Name), map[bool]string{true: "in use"}[s.ID == all.current.ID]))
	if s.Struck != "" {
		a.line("  struck", s.Struck+". It is offered no more; a slip? "+fmt.Sprintf("beadwright wire strike %q --back", s.Name))
	}
	if !s.Opened.IsZero() {
		a.line("  opened", s.Opened.Local().Format("2006-01-02")+", "+ago(a.now().Sub(s.Opened)))
	}
	if !rods(s) {
		a.printLeft(left, units)
		if machine.ID != "" {
			a.line("  tip", tipText(machine.Name, feeder.TipOf(all.records, machine.Name), units))
		}
	}
	if s.Note != "" {
		a.line("  note", s.Note)
	}
	a.printCautions(cares)
	a.storedCharge(machine)
	if !rods(s) {
		a.printSources(cited(cares, left.PerMetre.Source))
	}
	return nil
}

// firstAboutSpool is the line that says what to do.
func firstAboutSpool(s procedures.Spool, left feeder.Left, old bool) string {
	switch {
	case rods(s):
		return "count the rods in the box: a covered electrode has no spool to meter"
	case left.Known && left.GramsHigh == 0:
		return "this spool is used up: put in another"
	case left.Low():
		return "have another spool ready"
	case old:
		return "run a check coupon and break it before you weld a part with this wire"
	case !left.Known:
		return fmt.Sprintf("weigh it once: beadwright wire weigh %q WEIGHT", s.Name)
	case left.GramsLow == 0 && left.Fed.Unknown() > 0:
		return fmt.Sprintf("weigh it: too few welds had an arc time to tell. beadwright wire weigh %q WEIGHT", s.Name)
	case left.Minutes > 0:
		return fmt.Sprintf("weld on: about %s min of arc are left on it", rough(left.Minutes))
	}
	return "weld on"
}

// printLeft says what is left and what that rests on.
func (a *app) printLeft(l feeder.Left, units procedures.Units) {
	if !l.Known {
		a.line("  left", "not known: neither its weight when opened nor a weighing is written down")
	} else {
		a.line("  left", fmt.Sprintf("%s; about %s of wire (%s to %s)", leftText(l, units), reach(l.Metres, units), reach(l.MetresLow, units), reach(l.MetresHigh, units)))
		if l.Speed > 0 {
			a.line("  arc", fmt.Sprintf("about %s min (%s to %s) at the wire speed of the last weld, %s", rough(l.Minutes), rough(l.MinutesLow), rough(l.MinutesHigh), procedures.FormatWireSpeed(l.Speed, units)))
		}
	}
	begin := num(l.Start) + " g"
	if units == procedures.US {
		begin += fmt.Sprintf(" (%.3g lb)", l.Start/gramsPerLb)
	}
	from := "counted from the first record"
	switch {
	case l.Weighed:
		from = fmt.Sprintf("%s weighed on %s", begin, l.At.Local().Format("2006-01-02"))
	case l.Known:
		from = begin + " by its label"
	}
	a.line("  basis", list(from, "about "+reach(l.Fed.Length/1000, units)+" fed since", fedText(l.Fed)))
	a.line("  weight", fmt.Sprintf("%s g per meter of wire (%s to %s): the steel cylinder%s [%s]", num(l.PerMetre.Value), num(l.PerMetre.Low), num(l.PerMetre.High),
		map[bool]string{true: ", less the flux of a cored wire, from memory"}[l.PerMetre.Low < l.PerMetre.High], strings.Join(l.PerMetre.Source, " ")))
}

// leftText says the weight left, with its range.
func leftText(l feeder.Left, units procedures.Units) string {
	text := "about " + grams(l.Grams, units)
	if l.GramsLow < l.GramsHigh {
		text += fmt.Sprintf(", %s to %s g", rough(l.GramsLow), rough(l.GramsHigh))
	}
	return text
}

// fedText says how much of the count is known.
func fedText(f feeder.Fed) string {
	if f.Welds == 0 && f.Other == 0 {
		return "nothing welded since"
	}
	parts := []string{fmt.Sprintf("%d of %s had an arc time", f.Timed, plural(f.Welds, "weld"))}
	if f.Paced > 0 {
		parts = append(parts, fmt.Sprintf("%d reckoned from length and pace", f.Paced))
	}
	if f.Unknown() > 0 {
		parts = append(parts, fmt.Sprintf("%d not known", f.Unknown()))
	}
	if f.Other > 0 {
		parts = append(parts, plural(f.Other, "length")+" run out")
	}
	return strings.Join(parts, ", ")
}

// tipText says how old the tip is, and how long the ones before it lasted.
func tipText(machine string, t feeder.Tip, units procedures.Units) string {
	age := fmt.Sprintf("of %s: no new one is written down; when you put one in: beadwright wire tip", machine)
	if !t.Since.IsZero() {
		age = fmt.Sprintf("of %s: in since %s, about %s of wire through it (%s)", machine, t.Since.Local().Format("2006-01-02"), reach(t.Fed.Length/1000, units), fedText(t.Fed))
	}
	usual, ok := t.Usual()
	if !ok {
		return age + ". How long one lasts: no source; look at it: an oval hole, a wandering arc"
	}
	worn := ""
	if t.Worn() {
		worn = ". Near its usual end: have a new one ready"
	}
	return fmt.Sprintf("%s; your own last about %s, the median of %s%s", age, reach(usual/1000, units), plural(len(t.Lives), "tip"), worn)
}

// wireCares are the cautions about a spool and what feeds it.
func wireCares(s procedures.Spool, m procedures.Machine, left feeder.Left, old bool) []caution.Caution {
	cares := []caution.Caution{}
	used := left.Known && left.GramsHigh == 0
	if old && !used && !rods(s) {
		cares = append(cares, caution.Caution{Level: caution.Care, Key: "old-wire", Source: []string{"CP"},
			Text: "This wire has sat open for months and nothing was welded with it lately. Run a check coupon and break it: rust on the wire, or a flux core gone damp, shows as porosity. Cut off the outer turns if they are rusty. Common practice, no source."})
	}
	if left.Low() && !used && !rods(s) {
		cares = append(cares, caution.Caution{Level: caution.Care, Key: "spool-end", Source: []string{"CP"},
			Text: "When the end runs through, let go of the trigger: the loose end is live. Before you thread the next spool: " + caution.LiveWire(m) + " Common practice, no source."})
	}
	return cares
}

func cited(cares []caution.Caution, more []string) map[string]string {
	sources := map[string]string{}
	for _, id := range more {
		sources[id] = data.Cite(id)[0]
	}
	for _, c := range cares {
		for _, id := range c.Source {
			sources[id] = data.Cite(id)[0]
		}
	}
	return sources
}
