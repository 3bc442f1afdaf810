package main

import (
	"fmt"

	"beadwright/procedures"
	"beadwright/recommend"
)

// couponNext is the choice of the next coupon as JSON shows it.
type couponNext struct {
	couponHead
	Next    *recommend.CouponChoice  `json:"next"`
	Choices []recommend.CouponChoice `json:"choices"` // the best first, next among them
	couponFoot
}

// shownChoices is how many choices are printed.
const shownChoices = 6

// scrapExample is a piece of scrap as it can be typed.
func scrapExample(units procedures.Units) string {
	if units == procedures.Metric {
		return `"6x 50x100 3"`
	}
	return `"6x 2x4 1/8"`
}

func (a *app) showNextCoupons(ans answer, choices []recommend.CouponChoice, o couponOptions, units procedures.Units) error {
	if !ans.Given() {
		return a.noCoupons(ans, units)
	}
	ans.cite("CP", "MATH", "HB-MIG", "MEM")
	if a.json {
		head, foot := couponEnds(ans)
		doc := couponNext{head, nil, append([]recommend.CouponChoice{}, choices...), foot}
		if len(choices) > 0 {
			doc.Next = &choices[0]
		}
		return a.printJSON(doc)
	}
	if len(choices) == 0 {
		a.line("CUT", "nothing: the scrap gives no coupon that says anything of this job")
		a.line("SHORT", "two strips of 1-1/2 x 3-1/2 in (40 x 90 mm) of a thickness that the tables cover are the least")
		a.printHead(ans, units)
		a.storedCharge(ans.machine)
		return nil
	}
	best := choices[0]
	a.line("CUT", pieceWords(best.Pieces, units))
	a.line("SET", setLine(best.Settings, units))
	a.line("HOLD", list(ifKnown("stick-out ", float64(best.Settings.Extension), procedures.FormatRuler(best.Settings.Extension, units)), paceText(best.Settings.Travel, units), best.Settings.Technique, passes(best.Settings.Passes)))
	a.line("BECAUSE", becauseWords(choices, units))
	a.line("TAKES", fmt.Sprintf("%s, %.0f g of wire", arcText(best.Arc), float64(best.Wire)))
	a.printHead(ans, units)
	a.printf("\none bead of\n")
	for i, c := range choices {
		if i == shownChoices {
			a.bullet(fmt.Sprintf("and %d more that say less", len(choices)-shownChoices), nil)
			break
		}
		a.bullet(fmt.Sprintf("%s: +-%.1f %% to +-%.1f %% (%.0f s of arc, %.0f g)", choiceWords(c, units), float64(c.Before), float64(c.After), float64(c.Arc), float64(c.Wire)), nil)
	}
	a.printf("\nwhy\n")
	a.bullet("the range is where the right wire speed lies, 4 times in 5, by the model of your own welds; a bead narrows it as far as the two jobs go together there. It says how much you will know, not what", []string{"MATH"})
	a.bullet("one bead a kind, at what suggest gives for it, rated honestly and logged with its symptoms; suggest may show another range: a wider one while the tables' sources disagree and no like weld of yours settles it, a narrower one where a limit of wire or machine cuts it off", nil)
	if len(o.scrap) == 0 {
		a.bullet("no scrap was said, so common stock sizes were looked at. Say what lies about: --scrap "+scrapExample(units), []string{"CP"})
	}
	own, standing := parted(ans.Cautions)
	a.printCautions(own)
	for i := range standing {
		standing[i].Text = firstSentence(standing[i].Text)
	}
	a.printTitled("always", standing)
	a.printf("\n")
	ask := "ask suggest the same as you asked here"
	if !best.Same {
		ask = "ask for it: beadwright suggest " + plainJob(best.Job)
		if o.job.wire != "" {
			ask += fmt.Sprintf(" --wire %q", o.job.wire)
		}
		if o.machine != "" {
			ask += fmt.Sprintf(" --machine %q", o.machine)
		}
	}
	a.line("next", ask+", so that log can follow; weld it, then beadwright log 4")
	return nil
}

func choiceWords(c recommend.CouponChoice, units procedures.Units) string {
	text := fmt.Sprintf("%s %s %s", procedures.FormatLength(c.Job.Thickness, units), c.Job.Joint, c.Job.Position)
	if c.Same {
		text += ", the job itself"
	}
	return text
}

// becauseWords compares the best with the last shown of the others.
func becauseWords(choices []recommend.CouponChoice, units procedures.Units) string {
	best := choices[0]
	text := fmt.Sprintf("one bead of %s would narrow the range for your job from +-%.0f %% to +-%.0f %%", choiceWords(best, units), float64(best.Before), float64(best.After))
	if n := len(choices); n > 1 {
		last := choices[n-1]
		text += fmt.Sprintf("; one of %s only to +-%.0f %%", choiceWords(last, units), float64(last.After))
	}
	return text
}
