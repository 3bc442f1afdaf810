package main

import (
	"context"
	"fmt"
	"math"
	"strings"

	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

// couponPlan is a plan as JSON shows it.
type couponPlan struct {
	couponHead
	recommend.CouponPlan
	Kerf procedures.MM `json:"kerf_mm"`
	couponFoot
}

func (a *app) showCoupons(ctx context.Context, ans answer, p recommend.CouponPlan, o couponOptions, spool string, units procedures.Units) error {
	if !ans.Given() {
		return a.noCoupons(ans, units)
	}
	var err error
	if ans.Wire, err = a.supply(ctx, spool, ans.machine, p.Wire, units); err != nil {
		return err
	}
	ans.citePlan(p)
	a.keep(ctx, &ans) // so that log follows it
	if a.json {
		head, foot := couponEnds(ans)
		return a.printJSON(couponPlan{head, p, recommend.Kerf, foot})
	}
	a.printCut(p, units)
	a.line("SET", setLine(ans.Settings, units))
	a.line("HOLD", list(ifKnown("stick-out ", float64(ans.Settings.Extension), procedures.FormatRuler(ans.Settings.Extension, units)), paceText(ans.Settings.Travel, units), ans.Settings.Technique, passes(ans.Settings.Passes)))
	a.line("FIRST", firstBead(ans.Job, p, units))
	a.printPlan(ans, p, units)
	if n := len(p.Beads); n < p.Asked && len(p.Short) > 0 {
		a.line("SHORT", fmt.Sprintf("the scrap gives %s; the ladder of %d wants besides: %s", plural(n, "bead"), p.Asked, pieceWords(p.Short, units)))
	}
	a.printHead(ans, units)
	a.printf("\nbeads, one at a time, in this order\n")
	a.printBeads(p, units)
	a.printf("\nrungs\n")
	for _, r := range p.Rungs {
		a.bullet(r.Letter+": "+rungWords(r, p), []string{"CP"})
	}
	a.bullet("F: break what rung E gave. "+breakWords(ans.Job, p, units), breakSource(ans.Job))
	a.bullet("G: "+provesWords(ans.Job), []string{"CP"})
	a.printMarks(p)
	a.printCouponEnd(ans, p, o.why)
	return nil
}

func (ans *answer) citePlan(p recommend.CouponPlan) {
	ans.cite("CP", "MATH", "AC-FBT", "HB-MIG", "MEM")
	ans.cite(p.AllowedBy.Source...)
}

// printCut says what to cut, and out of what.
func (a *app) printCut(p recommend.CouponPlan, units procedures.Units) {
	a.line("CUT", pieceWords(p.Pieces, units)+"; clean to bright metal, the bead along the "+procedures.FormatLength(p.Beads[0].Length, units)+" side")
	if f := p.Suggestion.Job.Form; f == procedures.Tube || f == procedures.Pipe || f == procedures.Angle {
		a.line("", fmt.Sprintf("flat strip stands for the wall of the %s; an offcut of the very %s is better still", f, f))
	}
	for _, c := range p.Cuts {
		switch {
		case len(c.Pieces) > 0:
			a.line("", fmt.Sprintf("out of %s: %s", c.Scrap.Said, list(pieceWords(c.Pieces, units), fmt.Sprintf("from %d of %d", c.Used, c.Scrap.Count))))
		case c.Unlike:
			a.line("", c.Scrap.Said+": another thickness, leave it for another joint")
		default:
			a.line("", c.Scrap.Said+": not wanted, or too small")
		}
	}
	for _, c := range p.Cuts {
		for _, piece := range c.Pieces[:min(1, len(c.Pieces))] {
			if math.Abs(float64(c.Scrap.Thickness/piece.Thickness)-1) > 0.01 {
				a.line("", fmt.Sprintf("%s is %s and stands for %s: near enough for a coupon. Log with --thickness what is of it alone", c.Scrap.Said,
					procedures.FormatLength(c.Scrap.Thickness, units), procedures.FormatLength(piece.Thickness, units)))
			}
		}
	}
	if len(p.Missing) > 0 {
		a.line("SHORT", "not enough scrap; find: "+pieceWords(p.Missing, units))
	}
}

// pieceWords says pieces: 9 bases 2 in x 4 in of 1/8 in.
func pieceWords(pieces []recommend.CouponPiece, units procedures.Units) string {
	var parts []string
	for i, p := range pieces {
		text := fmt.Sprintf("%s %s", plural(p.Count, p.Name), sizeWords(p.Width, p.Length, units))
		if i+1 == len(pieces) || pieces[i+1].Thickness != p.Thickness {
			text += " of " + procedures.FormatLength(p.Thickness, units)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

func sizeWords(w, l procedures.MM, units procedures.Units) string {
	if units == procedures.Metric {
		return fmt.Sprintf("%.0f x %.0f mm", float64(w), float64(l))
	}
	inches := func(v procedures.MM) string {
		return strings.TrimSpace(strings.Split(procedures.FormatLength(v, procedures.US), " in")[0])
	}
	return inches(w) + " x " + inches(l) + " in"
}

// printPlan says what the whole plan takes.
func (a *app) printPlan(ans answer, p recommend.CouponPlan, units procedures.Units) {
	allowed := fmt.Sprintf("%.0f s of arc in any 10 minutes", float64(p.Allowed))
	if ans.machine.Example {
		allowed += ", by the example machine's plate: go by your own"
	}
	a.line("TIME", fmt.Sprintf("%s: %s, %s on the clock with the rests (%s); fit up the next while it cools", plural(len(p.Beads), "bead"), arcText(p.Arc), span(p.Clock), allowed))
	length := fmt.Sprintf("%.1f m", float64(p.Fed)/1000)
	if units == procedures.US {
		length = fmt.Sprintf("%.0f ft", p.Fed.Inches()/12)
	}
	a.line("WIRE", fmt.Sprintf("about %.0f g (%.0f to %.0f), %s", float64(p.Wire), p.WireRange[0], p.WireRange[1], length))
	for _, text := range ans.Wire {
		a.line("", text)
	}
}

// printHead says what was understood, after what to do.
func (a *app) printHead(ans answer, units procedures.Units) {
	a.printf("\n")
	a.line("read", describeJob(ans.Job, units))
	if len(ans.Assumed) > 0 {
		a.line("assumed", strings.Join(ans.Assumed, "; ")+". Say otherwise to change it")
	}
	name := ans.machine.Name
	if ans.machine.Example {
		name += ", built in and nobody's name plate. Write yours down: beadwright machine add NAME"
	}
	a.line("machine", name)
	a.line("verdict", verdictWords(ans.Suggestion))
}

func (a *app) printBeads(p recommend.CouponPlan, units procedures.Units) {
	a.printf("  %-4s%-5s%-24s%-17s%-18s%-8s%-9s%s\n", "no", "rung", "wire", "pace", "stick-out", "arc", "rest", "wire used")
	for _, b := range p.Beads {
		a.printf("  %-4d%-5s%-24s%-17s%-18s%-8s%-9s%.0f g\n", b.Number, b.Rung, wireWords(b.Settings, units), shortPace(b.Settings.Travel, units),
			procedures.FormatRuler(b.Settings.Extension, units), fmt.Sprintf("%.0f s", float64(b.Arc)), restWords(b.Rest), float64(b.Wire))
	}
	text := "rest: to wait before it, and between its passes, so that the whole plan stays within what the machine can take. beadwright duty counts the last 10 minutes alone and may say go sooner: either will do"
	if len(p.Rungs) > 2 || len(p.Rungs) == 2 && p.Rungs[0].Letter == "B" {
		text += ". What comes after rung B is reckoned at the suggestion; weld it with the best of the rung before"
	}
	a.bullet(text, nil)
}

// firstBead says what to do with the first bead, and what after it.
func firstBead(j procedures.Job, p recommend.CouponPlan, units procedures.Units) string {
	b, on := p.Beads[0], "two strips"
	switch {
	case b.Rung == "A" || j.Weld == procedures.BeadOnPlate:
		on = "a flat strip"
	case j.Joint == procedures.Tee:
		on = "an upright tacked on a base"
	}
	then := "rate it, and log it before the next"
	if b.Rung == "A" {
		then = "look at it; it is not logged"
	}
	text := fmt.Sprintf("bead 1, on %s: %s, %s, stick-out %s; then %s", on, wireWords(b.Settings, units), shortPace(b.Settings.Travel, units), procedures.FormatRuler(b.Settings.Extension, units), then)
	if len(p.Beads) > 1 {
		text += fmt.Sprintf(". Bead 2: rung %s, %s, and so on down the list, one thing moved at a time", p.Beads[1].Rung, wireWords(p.Beads[1].Settings, units))
	}
	return text
}

// provesWords says what the last two are worth once they are broken.
func provesWords(j procedures.Job) string {
	const reach = "A pass speaks for this thickness, joint, position, wire and machine as it stands"
	switch {
	case j.Weld == procedures.BeadOnPlate:
		return "log each with its test. No joint is proved by it: weld a tee or a butt next"
	case j.Joint == procedures.Lap:
		return "two in a row that pass a break are enough, and are your procedure: suggest calls the next one proved. A peel that fails counts; a peel that passes proves nothing by itself. " + reach
	}
	return "two in a row that pass are enough, and are your procedure: log each with its test, and suggest calls the next one proved. " + reach
}

func restWords(rest float64) string {
	if rest == 0 {
		return "none"
	}
	return fmt.Sprintf("%.0f s", rest)
}

// wireWords says a wire speed in short, by the knob where its mark is known.
func wireWords(set procedures.Settings, units procedures.Units) string {
	speed := procedures.FormatWireSpeed(set.WireSpeed, units)
	if set.Knob == nil {
		return speed
	}
	text := "knob " + procedures.FormatKnob(*set.Knob)
	if set.How["knob"] == procedures.Guessed {
		text += "?"
	}
	return text + ", " + speed
}

func shortPace(v procedures.MMPerMin, units procedures.Units) string {
	text := paceText(v, units)
	if i := strings.Index(text, "("); i >= 0 {
		return strings.TrimSuffix(text[i+1:], ")")
	}
	return text
}

func rungWords(r recommend.CouponRung, p recommend.CouponPlan) string {
	steps := ""
	for _, b := range p.Beads {
		if b.Rung == r.Letter && b.Percent != 0 {
			steps += fmt.Sprintf(", %+.0f %%", b.Percent)
		}
	}
	switch r.Letter {
	case "A":
		return "a bead on a flat strip, to get hand and eye in; it is not logged"
	case "B":
		return fmt.Sprintf("only the wire speed moves (%s, out of the range of the suggestion). Rate each, keep the best", strings.TrimPrefix(steps, ", "))
	case "C":
		return fmt.Sprintf("only the pace moves (%s): time it with two chalk marks. Measure the leg of each, keep the best", strings.TrimPrefix(steps, ", "))
	case "D":
		return "only the stick-out moves: cut gauge blocks of these lengths and set the gun by them. Keep the best"
	}
	if r.Beads == 1 {
		return "the suggestion once, to break"
	}
	return "the best once more, and once more: two alike, to break"
}

// breakWords says how the last two are broken and what is to be seen.
func breakWords(j procedures.Job, p recommend.CouponPlan, units procedures.Units) string {
	ends, inch := "", "1 in"
	if units == procedures.Metric {
		inch = "25 mm"
	}
	if last := p.Beads[len(p.Beads)-1]; last.Length > p.Beads[0].Length || last.Length > 140 {
		ends = "Saw " + inch + " off each end to polish and etch, and break the middle. "
	}
	switch {
	case j.Weld == procedures.BeadOnPlate:
		return "A bead on a plate joins nothing: bend the strip across in the vise with the bead outward, and look for cracks and holes. It proves no joint"
	case j.Weld == procedures.SquareGroove || j.Weld == procedures.VGroove:
		return ends + "Butt: saw strips across the bead, grind them flush, clamp just below it in the vise and hammer them over, one with the root outward; a crack or an opening over 1/8 in (3 mm) fails. Log it with --test bend=held or bend=cracked"
	case j.Joint == procedures.Lap:
		return ends + "Lap: clamp the lower sheet, start a chisel between the sheets and bend the upper one up and back over the weld. That is the break, and it alone proves: it passes if it folds back whole, or breaks with the root fused all along. Log it with --test break=folded or 'break=not fused'. A thin one may be peeled besides (--test 'peel=tore parent' or 'peel=peeled clean')"
	case j.Joint == procedures.Tee:
		return ends + "Tee: fold the upright down over the face of the bead, so that the root opens, with a hammer, eyes covered. It passes if it folds flat and holds, or breaks with the root fused all along and no hole over 3/32 in (2.4 mm). The straight edge of the upright to be seen in the break: it failed. Log it with --test break=pass or 'break=root line'"
	}
	return ends + "Clamp one leg in the vise and hammer the other open, root outward, eyes covered. A straight unmelted edge in the break: it failed. Log it with --test break=pass or 'break=root line'"
}

func breakSource(j procedures.Job) []string {
	switch {
	case j.Weld == procedures.SquareGroove || j.Weld == procedures.VGroove:
		return []string{"AC-BEND", "CP"}
	case j.Joint == procedures.Tee:
		return []string{"AC-FBT", "CP"}
	}
	return []string{"CP"}
}

// printMarks says how the coupons are told apart.
func (a *app) printMarks(p recommend.CouponPlan) {
	a.printf("\nmarks\n")
	a.bullet("before: the number of the bead in soapstone on each piece. After: log gives a mark; paint that on cool steel, or saw nicks; what is cut apart later is A5-a and A5-b", []string{"CP"})
	for _, b := range p.Beads {
		if b.Moved != "" {
			a.bullet(fmt.Sprintf("bead %d would be logged as: beadwright log 4 %s", b.Number, movedFlag(b)), nil)
			break
		}
	}
	a.bullet("one as planned: beadwright log 4. They go with the suggestion kept now; ask again if you come back after another question", nil)
}

// movedFlag is what log is told of a bead that is not as suggested.
func movedFlag(b recommend.CouponBead) string {
	set := b.Settings
	switch b.Moved {
	case "tap":
		if strings.Contains(set.Tap, " ") {
			return fmt.Sprintf("--tap %q", set.Tap)
		}
		return "--tap " + set.Tap
	case "travel_mm_min":
		return fmt.Sprintf("--travel %.0fmm/min", float64(set.Travel))
	case "extension_mm":
		return fmt.Sprintf("--extension %gmm", procedures.Round(float64(set.Extension)))
	case "wire_speed_m_min":
		if set.Knob != nil {
			return fmt.Sprintf("--knob %g", *set.Knob)
		}
		return fmt.Sprintf("--wire-speed %.0fipm", math.Round(set.WireSpeed.InchesPerMin()))
	}
	return ""
}

// printCouponEnd prints what goes with every plan: cautions, and with why the limits
// and reasons.
func (a *app) printCouponEnd(ans answer, p recommend.CouponPlan, why bool) {
	if why {
		a.printf("\nwhy\n")
		for _, r := range ans.Lead {
			a.bullet(r.Text, r.Source)
		}
		a.bullet("rests, for the hottest of the beads: "+p.AllowedBy.Text, p.AllowedBy.Source)
		a.bullet("sizes, steps and the order of the rungs are a choice of this program; saw cuts are taken as 1/8 in (3 mm)", []string{"CP"})
		a.bullet("wire: its speed times the arc's seconds, at what cored wire of that size weighs, from memory", []string{"HB-MIG", "MEM"})
	}
	own, standing := parted(ans.Cautions)
	a.printCautions(own)
	for i := range standing {
		standing[i].Text = firstSentence(standing[i].Text)
	}
	a.printTitled("always", standing)
	if why {
		a.printSources(ans.Sources)
		return
	}
	a.printf("\n")
	a.line("sources", shortSources(ans.Suggestion)+"; --why spells everything out")
}

var couponCare = caution.Caution{Level: caution.Care, Key: "coupon", Text: "Coupons come off the arc hot enough to burn for minutes and look cold: tongs, a metal tray, and never onto the floor where somebody kneels.",
	Instead: "Deburr what the saw leaves; eyes covered when you break one, for pieces fly.", Source: []string{"CP"}}
