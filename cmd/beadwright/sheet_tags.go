package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
)

func newPrintTags(a *app) *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use: "tags [MARKS...] [FILE]", Short: "Tags for coupons: mark large, job, settings, date (default the last 10)",
		Example: "  beadwright print tags tags.pdf\n  beadwright print tags A3 A7 tags.pdf",
		RunE: func(cmd *cobra.Command, args []string) error {
			marks, file := fileAmong(args, paper.Formats())
			return a.printTags(cmd.Context(), marks, file, force)
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "write over FILE if it exists")
	return cmd
}

func (a *app) printTags(ctx context.Context, marks []string, file string, force bool) error {
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
	var tags paper.Tags
	var machine procedures.Machine
	for _, w := range welds {
		tags = append(tags, paper.Tag{Mark: w.Mark, Lines: tagLines(w, units)})
		if m, err := nb.Machine(ctx, w.Job.Machine); w.Job.Machine != "" && err == nil && m.Rebuilt {
			machine = m
		}
	}
	d.Blocks = []paper.Block{tags}
	return a.put(d, printed{Print: "tags", File: file}, force, machine)
}

// tagLines is what a tag says below its mark.
func tagLines(w procedures.Weld, units procedures.Units) []string {
	lines := []string{describeJob(w.Job, units), setLine(w.Settings, units), list(w.Job.Wire.String(), after("on ", w.Job.Machine))}
	result := ratingNames[w.Outcome.Rating]
	for _, t := range w.Outcome.Tests {
		word := "failed"
		if t.Passed {
			word = "passed"
		}
		result = list(result, t.Kind+" "+word)
	}
	lines = append(lines, fmt.Sprintf("%s  %s", w.At.Local().Format("2006-01-02 15:04"), result))
	if w.Struck != "" {
		lines = append(lines, "STRUCK: "+w.Struck)
	}
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
