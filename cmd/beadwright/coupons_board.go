package main

import (
	"context"
	"fmt"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
)

// couponBoard is the board as JSON shows it.
type couponBoard struct {
	couponHead
	recommend.Board
	Kerf procedures.MM `json:"kerf_mm"`
	couponFoot
}

func (a *app) showBoard(ctx context.Context, ans answer, b recommend.Board, o couponOptions, spool string, units procedures.Units) error {
	if !ans.Given() {
		return a.noCoupons(ans, units)
	}
	p := b.CouponPlan
	var err error
	if ans.Wire, err = a.supply(ctx, spool, ans.machine, p.Wire, units); err != nil {
		return err
	}
	ans.citePlan(p)
	a.keep(ctx, &ans)
	if a.json {
		head, foot := couponEnds(ans)
		return a.printJSON(couponBoard{head, b, recommend.Kerf, foot})
	}
	a.printCut(p, units)
	a.line("SET", setLine(ans.Settings, units)+" for the good one; each of the others moves one thing")
	a.line("HOLD", list(ifKnown("stick-out ", float64(ans.Settings.Extension), procedures.FormatRuler(ans.Settings.Extension, units)), paceText(ans.Settings.Travel, units), ans.Settings.Technique))
	a.printPlan(ans, p, units)
	a.printHead(ans, units)
	a.printf("\na good bead, and %s made wrong on purpose\n", plural(len(b.Faults)-1, "bead"))
	for _, f := range b.Faults {
		a.printFault(f, units)
	}
	a.printf("\nmarks\n")
	a.bullet("log the good one first, as suggested: beadwright log 4. Put the mark that log gives in place of MARK below: the others begin from it", nil)
	for _, f := range b.Faults[1:] {
		a.bullet(faultLog(f), nil)
	}
	a.bullet("those with a rating teach: a bead whose wire speed or tap was wrong, with what it showed, tells on which side the right one lies. Log what you saw, not what is printed here", nil)
	a.bullet("those without a rating teach nothing, and must not: pace, stick-out, angle and dirt are no business of the wire speed, and a rating would put the blame there. Log them without one, as above: log keeps them so", nil)
	a.bullet("paint the mark log gives and the word BAD on each, screw them to a board in this order, and take a photo. No bead of the board is ever part of a job, and none is to be logged as passing a test", []string{"CP"})
	a.printCouponEnd(ans, p, o.why)
	return nil
}

func (a *app) printFault(f recommend.BoardBead, units procedures.Units) {
	text := fmt.Sprintf("%d. %s", f.Number, f.Name)
	if f.Moved != "" {
		text += ": " + faultSetting(f, units)
	}
	text += fmt.Sprintf(" (%.0f s of arc", float64(f.Arc))
	if f.Rest > 0 {
		text += fmt.Sprintf(" after %.0f s of rest", f.Rest)
	}
	text += "). Look and listen: " + f.Look + "."
	if f.Held {
		text += " The feeder, the wire or the machine goes no farther, so it may look only a little wrong: rate it as it looks."
	}
	if f.Mind != "" {
		text += " MIND: " + f.Mind
	}
	a.bullet(text, []string{"CP"})
}

// faultSetting says the one thing that is moved, and by how much.
func faultSetting(f recommend.BoardBead, units procedures.Units) string {
	set := f.Settings
	percent := fmt.Sprintf(" (%+.0f %%)", f.Percent)
	switch f.Moved {
	case "wire_speed_m_min":
		return wireWords(set, units) + percent
	case "tap":
		text := "the " + strings.ToUpper(set.Tap) + " tap, all else as it was"
		if set.Knob != nil {
			text += ", " + knobText(set)
		}
		return text
	case "extension_mm":
		return "stick-out " + procedures.FormatRuler(set.Extension, units)
	case "travel_mm_min":
		return shortPace(set.Travel, units) + percent
	case "technique":
		return "all settings as they were"
	}
	return "all settings as they were, the steel not cleaned"
}

// faultLog is what to type for a bead of the board.
func faultLog(f recommend.BoardBead) string {
	note := fmt.Sprintf("--note 'board: %s'", f.Name)
	flag := movedFlag(f.CouponBead)
	if f.Moved == "tap" && f.Settings.Knob != nil {
		flag += fmt.Sprintf(" --knob %g", *f.Settings.Knob)
	}
	if f.Moved == "coating" {
		flag = "--coating rust"
	}
	words := "beadwright log"
	if f.Rate {
		words += " 2"
	}
	words += " --from MARK"
	if flag != "" {
		words += " " + flag
	}
	for _, s := range f.Symptoms {
		words += " --symptom " + s
	}
	return fmt.Sprintf("bead %d: %s %s", f.Number, words, note)
}
