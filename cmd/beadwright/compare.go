package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/recommend"
)

type compareFlags struct {
	states, within  string
	anyTap, guessed bool
}

// newMachineCompare sets two states of one machine against each other.
func newMachineCompare(a *app, names cobra.CompletionFunc) *cobra.Command {
	var f compareFlags
	cmd := &cobra.Command{
		Use: "compare [NAME]", Short: "Did a change make it better? Two states at equal wire speed (default the last two)", ValidArgsFunction: names,
		Long: `Sets your welds before a change of the machine against those after it: like
jobs, at the same wire speed, on the same tap. It says better or worse only where
luck alone would hardly do it, and else how many pairs of coupons would tell.`,
		Example: "  beadwright machine compare\n  beadwright machine compare shed --states 1,2 --within 5%",
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.compareMachine(cmd.Context(), strings.Join(args, " "), f)
		},
	}
	cmd.Flags().StringVar(&f.states, "states", "", "before,after by number: 1,2 (see: machine show)")
	cmd.Flags().StringVar(&f.within, "within", "5%", "how far wire speeds may differ and still be equal, up to 20%")
	cmd.Flags().BoolVar(&f.anyTap, "any-tap", false, "compare welds of different taps too")
	cmd.Flags().BoolVar(&f.guessed, "guessed", false, "take wire speeds that are only guessed too")
	return cmd
}

func (a *app) compareMachine(ctx context.Context, name string, f compareFlags) error {
	nb, err := a.mustExist(ctx, "machine add NAME")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	o := recommend.CompareOptions{AnyTap: f.anyTap, Guessed: f.guessed}
	if o.Within, err = procedures.ParsePercent("within", f.within); err != nil {
		return err
	}
	if o.Within > 20 {
		return procedures.Invalid("within", f.within, "that is not the same wire speed any more", "accepted: up to 20%; 5% is what a hand can set")
	}
	m, err := a.machine(ctx, name, procedures.FCAWS)
	if err != nil {
		return err
	}
	if m.Example {
		return procedures.Invalid("machine", "", "no machine is written down yet", "begin with: beadwright machine add NAME")
	}
	states, err := nb.States(ctx, m.Name)
	if err != nil {
		return err
	}
	before, after, err := pickStates(m, states, f.states)
	if err != nil {
		return err
	}
	welds, err := nb.History(ctx)
	if err != nil {
		return err
	}
	if f.guessed {
		recommend.Shop{{Machine: m, States: states}}.Derive(welds)
	}
	photos, err := nb.Photos(ctx, "")
	if err != nil {
		return err
	}
	o.Pictured = map[string]bool{}
	for _, p := range photos {
		o.Pictured[p.Weld] = o.Pictured[p.Weld] || p.Role == procedures.BeadPhoto
	}
	c := recommend.Compare(m, welds, before, after, o)
	if a.json {
		return a.printJSON(struct {
			Machine string `json:"machine"`
			recommend.Comparison
		}{m.Name, c})
	}
	a.printComparison(m, c, units)
	return nil
}

// pickStates reads "1,2", or takes the last two.
func pickStates(m procedures.Machine, states []procedures.State, s string) (before, after procedures.State, err error) {
	if len(states) < 2 {
		return before, after, procedures.Invalid("states", s, m.Name+" has been in one state only, so there is nothing to compare",
			"when something is changed, say so: beadwright machine change --what 'new liner and tip'")
	}
	if s == "" {
		return states[len(states)-2], states[len(states)-1], nil
	}
	have := make([]string, len(states))
	for i, st := range states {
		have[i] = fmt.Sprintf("%d (%s)", st.Number, st.What)
	}
	bad := procedures.Invalid("states", s, "not two states of "+m.Name, "write two numbers, the earlier first: --states 1,2", "it has: "+strings.Join(have, ", "))
	one, two, _ := strings.Cut(s, ",")
	find := func(text string) (procedures.State, bool) {
		n, err := strconv.Atoi(strings.TrimSpace(text))
		for _, st := range states {
			if err == nil && st.Number == n {
				return st, true
			}
		}
		return procedures.State{}, false
	}
	before, okBefore := find(one)
	after, okAfter := find(two)
	if !okBefore || !okAfter || before.ID == after.ID {
		return before, after, bad
	}
	return before, after, nil
}

func (a *app) printComparison(m procedures.Machine, c recommend.Comparison, units procedures.Units) {
	a.line("verdict", comparisonVerdict(c))
	a.line("read", fmt.Sprintf("%s: state %d (%s) before, state %d (%s) after; like jobs, wire speeds within %g %%", m.Name, c.Before.Number, c.Before.What, c.After.Number, c.After.What, float64(c.Within)))
	if r := c.Rating; r.Difference != nil {
		text := fmt.Sprintf("mean %.1f before (%s), %.1f after (%s)", *r.Before, countWelds(r.Welds[0]), *r.After, countWelds(r.Welds[1]))
		if r.Range95 != nil {
			text += fmt.Sprintf("; difference %+.1f, 4 times in 5 between %+.1f and %+.1f, 19 times in 20 between %+.1f and %+.1f", *r.Difference, r.Range80[0], r.Range80[1], r.Range95[0], r.Range95[1])
		}
		a.line("ratings", text+fmt.Sprintf("; luck alone parts them as far %s", timesInHundred(*r.Chance)))
	}
	a.line("good", shareText(c.Good))
	a.line("spatter", shareText(c.Spatter))
	a.line("tests", shareText(c.Tests))
	for i, l := range c.Lots {
		word := ""
		if i == 0 {
			word = "matched"
		}
		a.line(word, list(lotText(l, units), speedSpan(l.WireSpeed, units))+
			": "+strings.Join(l.Before, " ")+" against "+strings.Join(l.After, " "))
	}
	for i, l := range c.LeftOut {
		word := ""
		if i == 0 {
			word = "left out"
		}
		marks := strings.Join(l.Marks[:min(len(l.Marks), 12)], " ")
		if len(l.Marks) > 12 {
			marks += fmt.Sprintf(" and %d more", len(l.Marks)-12)
		}
		a.line(word, l.Why+": "+marks)
	}
	if len(c.Weak) > 0 {
		a.printf("\nweak points\n")
		for _, w := range c.Weak {
			a.bullet(w, nil)
		}
	}
	a.printNextCoupons(m, c, units)
	if len(c.Lots) > 0 {
		a.printf("\nhow: ratings by least squares over lots of like welds (Student's t, marks taken as even steps), with an exact\n" +
			"permutation test within lots; shares by Newcombe's intervals. Sums only: no source but your own welds.\n")
	}
	a.printf("\n")
	a.storedCharge(m)
}

// comparisonVerdict is the line to read aloud.
func comparisonVerdict(c recommend.Comparison) string {
	by := map[string]string{"ratings": "by looks", "tests": "by bend and break tests", "both": "by looks and by bend and break tests"}[c.By]
	switch c.Verdict {
	case recommend.Better, recommend.Worse:
		text := fmt.Sprintf("%s %s", c.Verdict, by)
		if c.By != "tests" {
			text += fmt.Sprintf(": %+.1f marks of 5 at equal wire speed, 19 times in 20 between %+.1f and %+.1f", *c.Rating.Difference, c.Rating.Range95[0], c.Rating.Range95[1])
		} else {
			text += fmt.Sprintf(": %d of %d passed before, %d of %d after", c.Tests.Before.Count, c.Tests.Before.Of, c.Tests.After.Count, c.Tests.After.Of)
		}
		return text
	case recommend.NoDifference:
		return fmt.Sprintf("no difference seen: if there is one it is less than a mark, 19 times in 20 between %+.1f and %+.1f", c.Rating.Range95[0], c.Rating.Range95[1])
	case recommend.Disagree:
		return "looks and tests disagree: one got better, the other worse. Go by the tests; a pretty bead can lie on cold steel"
	}
	text := "too few to tell: "
	switch {
	case c.Rating.Difference == nil:
		return fmt.Sprintf("too few to tell: no weld before has a like one after at equal wire speed; %d pairs would most likely show a difference of one mark", int(c.More))
	case *c.Rating.Difference > 0:
		text += fmt.Sprintf("it leans to better by %.1f marks, and luck does that too; about ", *c.Rating.Difference)
	case *c.Rating.Difference < 0:
		text += fmt.Sprintf("it leans to worse by %.1f marks, and luck does that too; about ", -*c.Rating.Difference)
	default:
		text += "the two rate alike so far; about "
	}
	if c.More == 1 {
		return text + "1 more pair would settle it"
	}
	return text + fmt.Sprintf("%d more pairs would settle it", c.More)
}

func (a *app) printNextCoupons(m procedures.Machine, c recommend.Comparison, units procedures.Units) {
	if c.Verdict != recommend.TooFew {
		return
	}
	unmeasured := false
	for _, l := range c.LeftOut {
		unmeasured = unmeasured || strings.Contains(l.Why, "wire speed was never measured")
	}
	if unmeasured {
		a.printf("\n")
		a.line("first", "run the wire out at the marks you weld at, so that equal wire speed is known and not guessed: beadwright machine knob --mark MARK --length INCHES --seconds 10. Or take the guesses for what they are: --guessed")
	}
	a.printf("\nnext\n")
	if c.Before.ID != m.State.ID {
		a.bullet(fmt.Sprintf("state %d is behind you: what you have of it is all there is, unless it is put back easily (a lead swapped, an old tip put in). Never open a rebuilt machine for a comparison", c.Before.Number), nil)
	}
	if len(c.Coupons) == 0 {
		a.bullet(fmt.Sprintf("weld the same joint at the same wire speed in both states, %d coupons in each, and log each with a rating and --wire-speed", int(c.More)), nil)
	}
	for _, p := range c.Coupons {
		alike := recommend.Lot{Thickness: [2]procedures.MM{p.Thickness, p.Thickness}, Joint: p.Joint, Weld: p.Weld, Position: p.Position, Wire: p.Wire, Tap: p.Tap}
		what := list(lotText(alike, units), "wire speed "+bothSpeeds(p.WireSpeed, units))
		a.bullet(fmt.Sprintf("%s: %s", couponCount(p.Before, p.After, c), what), nil)
	}
	a.bullet("turn by turn, one in each state, everything else the same; a photo of each bead; break them afterwards and log the result", nil)
}

func couponCount(before, after int, c recommend.Comparison) string {
	var parts []string
	for _, p := range []struct{ n, state int }{{before, c.Before.Number}, {after, c.After.Number}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d in state %d", p.n, p.state))
		}
	}
	return strings.Join(parts, " and ")
}

func countWelds(n int) string {
	if n == 1 {
		return "1 weld"
	}
	return fmt.Sprintf("%d welds", n)
}

// timesInHundred says a chance as people say it.
func timesInHundred(p float64) string {
	switch {
	case p < 0.001:
		return "less than once in 1000"
	case p < 0.01:
		return fmt.Sprintf("%.0f times in 1000", 1000*p)
	}
	return fmt.Sprintf("%.0f times in 100", 100*p)
}

func shareText(s recommend.ShareDifference) string {
	if s.Difference == nil {
		return "none on both sides to compare"
	}
	return fmt.Sprintf("%d of %d before, %d of %d after; the share moved by %+.0f points, 19 times in 20 between %+.0f and %+.0f; luck alone does as much %s",
		s.Before.Count, s.Before.Of, s.After.Count, s.After.Of, 100**s.Difference, 100*s.Range95[0], 100*s.Range95[1], timesInHundred(*s.Chance))
}

func lotText(l recommend.Lot, units procedures.Units) string {
	thickness := procedures.FormatLength(l.Thickness[0], units)
	if t := procedures.FormatLength(l.Thickness[1], units); t != thickness {
		thickness += " to " + t
	}
	tap := ""
	if l.Tap != "" {
		tap = strings.ToUpper(l.Tap) + " tap"
	}
	return list(strings.TrimSpace(thickness+" "+string(l.Joint)), weldName(l.Weld), string(l.Position), l.Wire.String(), tap)
}

func speedSpan(v [2]procedures.MPerMin, units procedures.Units) string {
	low, high := procedures.FormatWireSpeed(v[0], units), procedures.FormatWireSpeed(v[1], units)
	if low == high {
		return low
	}
	return strings.Fields(low)[0] + " to " + high
}
