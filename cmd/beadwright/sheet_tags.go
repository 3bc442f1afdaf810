package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
	"beadwright/recommend/caution"
)

func newPrintTags(a *app) *cobra.Command {
	var force bool
	var at string
	cmd := &cobra.Command{
		Use: "tags [MARKS...] [FILE]", Short: "Tags for coupons: mark large, job, settings, date (default the last 10)",
		Example: "  beadwright print tags tags.pdf\n  beadwright print tags A3 A7 tags.pdf",
		RunE: func(cmd *cobra.Command, args []string) error {
			marks, file, err := fileAmong(args, paper.Formats())
			if err != nil {
				return err
			}
			return a.printTags(cmd.Context(), marksIn(strings.Join(marks, " ")), file, at, force)
		},
	}
	addSite(cmd.Flags(), &at)
	cmd.Flags().BoolVar(&force, "force", false, "write over FILE if it exists")
	return cmd
}

func (a *app) printTags(ctx context.Context, marks []string, file, at string, force bool) error {
	site, err := parseSite(at)
	if err != nil {
		return err
	}
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	welds, err := marksOrLast(ctx, nb, marks, 10)
	if err != nil {
		return err
	}
	if len(welds) == 0 {
		return procedures.Invalid("tags", "", "no weld is logged yet", "log one: beadwright log 4")
	}
	if err := a.derive(ctx, welds); err != nil {
		return err
	}
	d := paper.Document{Title: "Coupon tags", Page: paperOf(units, false), At: a.now(), Foot: "Cut along the dashes. Paint the mark on the coupon too: paper burns."}
	said, err := saidOfFailures(ctx, nb)
	if err != nil {
		return err
	}
	var tags paper.Tags
	var machine procedures.Machine
	for _, w := range welds {
		lines := tagLines(w, said[w.ID], units)
		if m, err := nb.Machine(ctx, w.Job.Machine); w.Job.Machine != "" && err == nil && m.Rebuilt {
			machine = m
			lines = append(lines, m.Name+" is REBUILT: "+chargeInShort)
		}
		tags = append(tags, paper.Tag{Mark: w.Mark, Lines: lines, Link: site.link("weld", w.ID)})
	}
	d.Blocks = append([]paper.Block{tags}, chargeBlock(machine)...)
	return a.put(d, printed{Print: "tags", File: file, Link: site}, force, machine)
}

// chargeInShort is the caution of a rebuilt machine where there is room for one line.
const chargeInShort = "unplug, wait, measure below 5 V before a hand goes near."

// chargeBlock is the caution of a rebuilt machine as a block of its sheet; none for
// another machine.
func chargeBlock(m procedures.Machine) []paper.Block {
	c, ok := caution.StoredCharge(m)
	if !ok {
		return nil
	}
	return []paper.Block{paper.Words{Text: "REBUILT: " + m.Name + ". " + c.Text + " " + c.Instead, Strong: true}}
}

// practiceOnly reports whether a weld says nothing of a part: a stop stands against
// what it was made for.
func practiceOnly(w procedures.Weld) bool {
	stops, _ := caution.Gate(caution.Request{Words: w.Said + " " + w.Job.Said, For: w.Job.For, Job: w.Job})
	return len(stops) > 0
}

// tagLines is what a tag says below its mark; said is what was said of a failure in
// use. What must not be overlooked comes first.
func tagLines(w procedures.Weld, said string, units procedures.Units) []string {
	var lines []string
	if w.Struck != "" {
		lines = append(lines, "STRUCK: "+w.Struck)
	}
	lines = append(lines, inUseWords(w.Outcome.FailedInUse, said))
	if w.Outcome.Cracked() {
		lines = append(lines, "CRACKED: no crack passes")
	}
	if w.Outcome.Unfused() {
		lines = append(lines, "NOT MELTED IN: no good bead, however it looks")
	}
	if practiceOnly(w) {
		lines = append(lines, "PRACTICE ONLY: never part of anything in use")
	}
	lines = append(lines, describeJob(w.Job, units), setLine(w.Settings, units), list(w.Job.Wire.String(), after("on ", w.Job.Machine)))
	result := ratingNames[w.Outcome.Rating]
	for _, t := range w.Outcome.Tests {
		word := "FAILED"
		if t.Passed {
			word = "passed"
		}
		result = list(result, t.Kind+" "+word)
	}
	lines = append(lines, fmt.Sprintf("%s  %s", w.At.Local().Format("2006-01-02 15:04"), result))
	for i := len(lines) - 1; i >= 0; i-- {
		if strings.TrimSpace(lines[i]) == "" {
			lines = append(lines[:i], lines[i+1:]...)
		}
	}
	return lines
}

// paperOf is the sheet of the units' part of the world.
func paperOf(units procedures.Units, wide bool) paper.Page {
	switch {
	case units == procedures.Metric && wide:
		return paper.A4Wide
	case units == procedures.Metric:
		return paper.A4
	case wide:
		return paper.LetterWide
	}
	return paper.Letter
}
