package recommend

import (
	"fmt"
	"slices"

	"beadwright/procedures"
)

// weaknesses says what a comparison cannot rule out, in sentences.
func weaknesses(lots []lot, o CompareOptions) []string {
	var welds [2][]procedures.Weld
	guessed, photos := 0, 0
	uneven := false
	for _, l := range lots {
		n := [2]int{}
		for _, e := range l {
			welds[e.side] = append(welds[e.side], e.Weld)
			n[e.side]++
			if e.guessed {
				guessed++
			}
			if e.Outcome.Photo != "" || o.Pictured[e.ID] {
				photos++
			}
		}
		uneven = uneven || len(lots) > 1 && n[0] != n[1]
	}
	all := len(welds[0]) + len(welds[1])
	if all == 0 {
		return nil
	}
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	blind := "none has one, so take one of every bead from now on"
	if photos > 0 {
		blind = fmt.Sprintf("%d of %d beads have one", photos, all)
	}
	say("Whoever rated knew which side a bead came from, and hope moves a rating. Rating them blind from photos, shuffled and with the marks covered, would be better: %s.", blind)
	say("Looking again after every bead gives luck more chances than the percentages allow for. Settle how many pairs before the first one.")
	if days := apart(welds); days != "" {
		say("Every weld of one side is older than every weld of the other (%s), so your hand's practice is in the difference too. Turn by turn would be better, where the machine lets you.", days)
	}
	if oneDay(welds[0]) && oneDay(welds[1]) && !sameDay(welds[0][0].At, welds[1][0].At) {
		say("Each side was welded in one day: those days' hand, air and wall voltage are in the difference too.")
	}
	if guessed > 0 {
		say("The wire speed of %d of %d welds is a guess from the knob, so it may not have been equal at all: the change itself may have moved the feeder.", guessed, all)
	}
	if !slices.Equal(spools(welds[0]), spools(welds[1])) {
		say("The two sides were not welded from the same spool.")
	}
	if o.AnyTap && len(taps(append(slices.Clone(welds[0]), welds[1]...))) > 1 {
		say("Taps are mixed, so the volts were not equal.")
	}
	if uneven {
		say("Shares count all lots together, and the lots are not even: the ratings allow for that, the shares do not.")
	}
	return out
}

// apart says by how many days the sides follow one another; "" where they overlap.
func apart(welds [2][]procedures.Weld) string {
	at := func(a, b procedures.Weld) int { return a.At.Compare(b.At) }
	first, last := slices.MinFunc(welds[1], at), slices.MaxFunc(welds[0], at)
	if first.At.Before(last.At) {
		if first, last = slices.MinFunc(welds[0], at), slices.MaxFunc(welds[1], at); first.At.Before(last.At) {
			return ""
		}
	}
	switch days := int(first.At.Sub(last.At).Hours() / 24); days {
	case 0:
		return "less than a day between them"
	case 1:
		return "1 day between them"
	default:
		return fmt.Sprintf("%d days between them", days)
	}
}

func oneDay(welds []procedures.Weld) bool {
	return !slices.ContainsFunc(welds, func(w procedures.Weld) bool { return !sameDay(w.At, welds[0].At) })
}

// spools names the spools of the welds, sorted, each once; welds of no spool have none.
func spools(welds []procedures.Weld) []string {
	return distinct(welds, func(w procedures.Weld) string { return w.Spool })
}

func taps(welds []procedures.Weld) []string {
	return distinct(welds, func(w procedures.Weld) string { return w.Settings.Tap })
}

func distinct(welds []procedures.Weld, of func(procedures.Weld) string) []string {
	var out []string
	for _, w := range welds {
		if s := of(w); s != "" {
			out = append(out, s)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
