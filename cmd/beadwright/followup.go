package main

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend/caution"
)

func newFollowUp(a *app) *cobra.Command {
	var at, strike string
	cmd := &cobra.Command{
		Use:   "followup [MARK held|failed [NOTE...]]",
		Short: "Did it hold? How parts did in use",
		Long: `Without words: welds that were made for something more than three months ago and
that you were not asked after yet, and how the others did. With a mark: write down
that it held or failed in use. A failure counts as a failed test, whatever the
coupon did: it takes the proof from every weld made the same way, until a coupon
passes after it.`,
		Example: `  beadwright followup
  beadwright followup A5 held
  beadwright followup A5 failed "cracked along the toe" --at 2026-09-12`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := wordOrder(cmd, args); err != nil {
				return err
			}
			return a.followUp(cmd.Context(), args, at, strike)
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return []string{"held", "failed"}, cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&at, "at", "", "when it was looked at or failed, if not now: 2026-09-12")
	cmd.Flags().StringVar(&strike, "strike", "", "withdraw the last follow-up of MARK, and why")
	return cmd
}

// heldWords are what people say of a part in use.
var heldWords = map[string]bool{"held": true, "holds": true, "yes": true, "ok": true, "fine": true, "good": true,
	"failed": false, "fail": false, "broke": false, "broken": false, "cracked": false, "bent": false, "no": false}

// told is a follow-up with what its weld is called.
type told struct {
	procedures.FollowUp
	Mark string `json:"mark"`
	For  string `json:"for"`
}

func (a *app) followUp(ctx context.Context, args []string, at, strike string) error {
	nb, err := a.mustExist(ctx, "log 4 --for 'shop cart shelf'")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	if len(args) == 0 {
		if at != "" || strike != "" {
			return procedures.Invalid("mark", "", "of which weld?", "such as: beadwright followup A5 held --at 2026-09-12")
		}
		return a.listFollowUps(ctx, nb, units)
	}
	if strike != "" {
		if len(args) > 1 {
			return procedures.Invalid("strike", strings.Join(args[1:], " "), "nothing is written down with --strike", "such as: beadwright followup A5 --strike 'that was another shelf'")
		}
		return a.strikeFollowUp(ctx, nb, args[0], strike)
	}
	if len(args) == 1 {
		return procedures.Invalid("followup", args[0], "did it hold?", "beadwright followup "+args[0]+" held", "beadwright followup "+args[0]+" failed \"cracked along the toe\"")
	}
	args = append(args[:1:1], strings.Fields(strings.Join(args[1:], " "))...) // "held fine" in quotes
	held, ok := heldWords[strings.ToLower(args[1])]
	went := slices.Contains(procedures.Hear(strings.Join(args[1:], " ")).Troubles, "fell-off")
	if held && went { // good but it broke
		return procedures.Invalid("followup", strings.Join(args[1:], " "), "did it hold, or did it fail?", "accepted: held, failed; what you saw goes behind it")
	}
	if !ok && went {
		ok, args = true, append(args[:1:1], append([]string{"failed"}, args[1:]...)...) // fell off today
	}
	if !ok {
		return procedures.Invalid("followup", args[1], "not held and not failed", "accepted: held, failed; what you saw goes behind it: beadwright followup A5 failed \"cracked along the toe\"")
	}
	f := procedures.FollowUp{Weld: args[0], Held: held, Note: strings.TrimSpace(strings.Join(args[2:], " "))}
	if at != "" {
		if f.At, err = parseTime("at", at, a.now()); err != nil {
			return err
		}
	}
	if f, err = nb.AddFollowUp(ctx, f); err != nil {
		return err
	}
	return a.printFollowUp(ctx, nb, f, units)
}

// listFollowUps tells what is to be asked after, and how the rest did.
func (a *app) listFollowUps(ctx context.Context, nb *store.Notebook, units procedures.Units) error {
	due, err := nb.ToFollowUp(ctx, a.now().Add(-procedures.FollowUpAfter))
	if err != nil {
		return err
	}
	all, err := nb.FollowUps(ctx, "")
	if err != nil {
		return err
	}
	done := []told{}
	for _, f := range all {
		w, _, err := nb.Weld(ctx, f.Weld)
		if err != nil {
			return err
		}
		done = append(done, told{f, w.Mark, w.Job.For})
	}
	if a.json {
		return a.printJSON(map[string]any{"due": append([]procedures.Weld{}, due...), "told": done, "after_days": int(procedures.FollowUpAfter / (24 * time.Hour))})
	}
	if len(due) == 0 {
		a.line("asked", "nothing to ask after: a weld made for something comes up after three months (common practice, no source). Say what it is for: beadwright amend A5 --for 'shop cart shelf'")
	}
	for _, w := range due {
		a.line(w.Mark, list(w.Job.For, w.At.Local().Format(time.DateOnly), describeJob(w.Job, units)))
	}
	if len(due) > 0 {
		a.line("ask", "did it hold? Clean it, look along both toes, then: beadwright followup "+due[0].Mark+" held, or: beadwright followup "+due[0].Mark+" failed \"what you saw\"")
	}
	for _, t := range done {
		word := "held"
		if !t.Held {
			word = "FAILED"
		}
		a.line("told", list(t.Mark, t.For, word+" "+t.At.Local().Format(time.DateOnly), t.Note))
	}
	return nil
}

func (a *app) strikeFollowUp(ctx context.Context, nb *store.Notebook, mark, why string) error {
	struck, err := nb.StrikeFollowUp(ctx, mark, why)
	if err != nil {
		return err
	}
	w, _, err := nb.Weld(ctx, struck.Weld)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"mark": w.Mark, "followup": nil, "struck": struck, "weld": w, "means": nil, "same": []string{}, "cautions": []caution.Caution{}})
	}
	word := "held"
	if !struck.Held {
		word = "failed"
	}
	a.line("struck", fmt.Sprintf("%s %s (%s). It is kept and no longer counted", w.Mark, word, struck.At.Local().Format(time.DateOnly)))
	return nil
}

// printFollowUp tells what a follow-up changes.
func (a *app) printFollowUp(ctx context.Context, nb *store.Notebook, f procedures.FollowUp, units procedures.Units) error {
	w, _, err := nb.Weld(ctx, f.Weld)
	if err != nil {
		return err
	}
	b := brokenPart{Same: []string{}, Cautions: []caution.Caution{}}
	if !f.Held {
		if b, err = afterFailure(ctx, nb, w); err != nil {
			return err
		}
	}
	if a.json {
		return a.printJSON(map[string]any{"mark": w.Mark, "followup": f, "struck": nil, "weld": w, "means": b.Means, "same": b.Same, "cautions": b.Cautions})
	}
	if procedures.Hear(f.Note).Grave() {
		a.printf("STOP first: what you say sounds like a danger. What to do: beadwright remedy %s\n", unquoted(f.Note))
	}
	if f.Held {
		a.line("held", list(w.Mark, w.Job.For)+". It held in that use so far; that proves no other one, and a test of a coupon stays what it is")
		if when := w.Outcome.FailedInUse; !when.IsZero() {
			a.line("mind", "it failed in use on "+when.Local().Format(time.DateOnly)+", and that still counts. A slip? beadwright followup "+w.Mark+" --strike WHY withdraws the last one told")
		}
		return nil
	}
	a.line("FAILED", list(w.Mark, w.Job.For)+". "+b.Means)
	a.line("set", setLine(w.Settings, units))
	a.lookAt(b)
	a.line("next", "was it the weld or the steel beside it? Look at the break, then: beadwright remedy --from "+w.Mark)
	a.printCautions(b.Cautions)
	a.storedCharges(ctx, w.Job.Machine)
	return nil
}

// brokenPart is what a weld that failed in use asks for, until that is withdrawn.
type brokenPart struct {
	Means    string   // of what was proved; "" nothing, since the weld does not count
	Same     []string // marks of welds made the same way, and in use
	Cautions []caution.Caution
}

// afterFailure says what a weld that failed in use asks for; nothing where it did not.
func afterFailure(ctx context.Context, nb *store.Notebook, w procedures.Weld) (brokenPart, error) {
	b := brokenPart{Same: []string{}, Cautions: []caution.Caution{}}
	if w.Outcome.FailedInUse.IsZero() {
		return b, nil
	}
	b.Cautions = append(b.Cautions, caution.Caution{Level: caution.Defer, Key: "broken-part", Source: []string{"CP"},
		Text: "Take it out of use. Do not weld over the break: find out why it went. Where it carries people or a load over people, one who is licensed for it decides, not this notebook."})
	if w.Struck != "" {
		return b, nil
	}
	b.Means = "It counts as a failed test, whatever its coupon did: nothing made that way is proved until a fresh coupon passes"
	var err error
	b.Same, err = inUseAlike(ctx, nb, w)
	return b, err
}

// lookAt names the welds that may go the way of one that failed.
func (a *app) lookAt(b brokenPart) {
	if len(b.Same) > 0 {
		a.line("look at", strings.Join(b.Same, ", ")+": made the same way, and in use")
	}
}

// inUseAlike are the marks of other welds made for something like the one that
// failed: same joint, position, wire and machine, thickness within 10 %.
func inUseAlike(ctx context.Context, nb *store.Notebook, w procedures.Weld) ([]string, error) {
	all, err := nb.History(ctx)
	if err != nil {
		return nil, err
	}
	marks := []string{}
	for _, o := range all {
		a, b := o.Job, w.Job
		near := b.Thinner() > 0 && math.Abs(float64(a.Thinner()/b.Thinner())-1) <= 0.10
		if o.ID != w.ID && a.For != "" && near && a.Joint == b.Joint && a.Position == b.Position && a.Wire == b.Wire && a.Machine == b.Machine {
			marks = append(marks, o.Mark)
		}
	}
	slices.SortFunc(marks, inOrder)
	return marks, nil
}

// inOrder puts marks as they are given out: A2 before A11, that before B1, and Z99 before
// AA1.
func inOrder(x, y string) int {
	const digits = "0123456789"
	series, other := strings.TrimRight(x, digits), strings.TrimRight(y, digits)
	return cmp.Or(cmp.Compare(len(series), len(other)), cmp.Compare(series, other), cmp.Compare(len(x), len(y)), cmp.Compare(x, y))
}
