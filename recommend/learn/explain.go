package learn

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Units is how speeds are shown: PerMetre of them make 1 m/min.
type Units struct {
	Name     string
	PerMetre float64
	Digits   int // after the point
}

// US shows inches per minute.
func US() Units { return Units{"in/min", 1 / 0.0254, 0} }

// Metric shows metres per minute.
func Metric() Units { return Units{"m/min", 1, 1} }

func (u Units) number(v float64) string { return strconv.FormatFloat(v*u.PerMetre, 'f', u.Digits, 64) }
func (u Units) speed(v float64) string  { return u.number(v) + " " + u.Name }
func (u Units) span(lo, hi float64) string {
	return fmt.Sprintf("%s to %s", u.number(lo), u.speed(hi))
}

// shownSign is the sign of the difference that a reader sees between two shown speeds.
func (u Units) shownSign(v, from float64) int {
	scale := math.Pow10(u.Digits) * u.PerMetre
	if u.number(v) == u.number(from) {
		return 0
	}
	return sign(v*scale - from*scale)
}

// toward words a change of setting: "up to 198 in/min", or "a touch above" where rounding hides it.
func (u Units) toward(v, from float64) string {
	switch u.shownSign(v, from) {
	case 1:
		return "up to " + u.speed(v)
	case -1:
		return "down to " + u.speed(v)
	}
	switch {
	case v > from:
		return "a touch above " + u.speed(from)
	case v < from:
		return "a touch below " + u.speed(from)
	}
	return "stay at " + u.speed(v)
}

// aboveBelow words a shift in whole percent, as "12 % above" or "5 % below"; empty if it rounds to nothing.
func aboveBelow(percent float64) string {
	switch p := math.Round(percent); {
	case p > 0:
		return fmt.Sprintf("%.0f %% above", p)
	case p < 0:
		return fmt.Sprintf("%.0f %% below", -p)
	}
	return ""
}

// leading is the group that carries more than half of f and pulls the same way, if there is one.
func (e *Estimate) leading() string {
	if len(e.Contributions) == 0 {
		return ""
	}
	if c := e.Contributions[0]; sign(c.LogShift) == sign(e.F) && math.Abs(c.LogShift) > math.Abs(e.F)/2 {
		return c.Group
	}
	return ""
}

// mostly words the leading group: "mostly this machine".
func (e *Estimate) mostly() string {
	switch g := e.leading(); g {
	case "", GroupAll:
		return ""
	default:
		return ", mostly " + g
	}
}

// blank reports that nothing like the job was ever welded.
func (e *Estimate) blank() bool {
	return e.GoodLike+e.FailedLike+e.UnclearLike+e.TapAdvice.Hotter+e.TapAdvice.Colder == 0
}

// Explain says in plain words where the number comes from. The sign in words is always that of the shown difference.
func (e *Estimate) Explain(u Units) []string {
	var s strings.Builder
	fmt.Fprintf(&s, "Table %s; ", u.speed(e.Table))
	shown := u.shownSign(e.WireSpeed, e.Table)
	wished := u.shownSign(e.Wish, e.Table)
	mean := sign(math.Round(e.MeanGoodPercent))
	good, failed := likeWelds(e.GoodLike, "good weld"), likeWelds(e.FailedLike, "failed weld")
	suggestion := u.speed(e.WireSpeed)
	part := ""
	switch {
	case e.LimitHit != "" && shown != wished:
		// The limit turned the shift round or ate it whole: what the welds say would contradict the number.
		fmt.Fprintf(&s, "set %s", suggestion)
	case shown == 0 && e.GoodLike+e.FailedLike == 0 && !e.blank():
		s.WriteString("no weld on a like job says yet which way to go, so start there")
	case shown == 0 && e.GoodLike+e.FailedLike == 0:
		s.WriteString("you have no welds on like jobs yet, so start there")
	case shown == 0 && e.GoodLike > 0:
		fmt.Fprintf(&s, "with your %s counted in, stay there", good)
	case shown == 0:
		fmt.Fprintf(&s, "with your %s counted in, stay there", failed)
	case e.GoodLike > 0 && mean == shown:
		fmt.Fprintf(&s, "your %s %s %s it; so %s", good, run(e.GoodLike), aboveBelow(e.MeanGoodPercent), suggestion)
		part = e.mostly()
		if e.LimitHit == "" && math.Abs(e.F) < 0.7*math.Abs(math.Log1p(e.MeanGoodPercent/100)) {
			why := "as your other welds say less"
			if e.GoodLike <= 5 {
				why = "as few welds say so"
			}
			part = ", pulled part-way, " + why + part
		}
	case e.FailedLike > 0 && e.FailedSide == -shown:
		wanted := "more"
		if shown < 0 {
			wanted = "less"
		}
		who := failed
		if e.FailedAgree < e.FailedLike {
			who = fmt.Sprintf("%d of your %s", e.FailedAgree, failed)
		} else {
			who = "your " + who
		}
		fmt.Fprintf(&s, "%s asked for %s wire; so %s", who, wanted, suggestion)
		part = e.mostly()
	default:
		whose := "your welds taken together"
		if e.blank() {
			whose = "no welds on like jobs yet, but your other welds"
		}
		way := "higher"
		if shown < 0 {
			way = "lower"
		}
		fmt.Fprintf(&s, "%s point %s; so %s", whose, way, suggestion)
		part = e.mostly()
	}
	s.WriteString(part)
	if e.LimitHit != "" {
		fmt.Fprintf(&s, ", held at the limit (%s); without it %s", e.LimitHit, u.speed(e.Wish))
	}
	if e.Low < e.High {
		fmt.Fprintf(&s, "; likely range %s.", u.span(e.Low, e.High))
	} else {
		s.WriteString("; the best setting likely lies past the limit.")
	}
	return append([]string{s.String()}, e.TapAdvice.explain(e.Tap)...)
}

// likeWelds words a count as "6 good welds on like jobs".
func likeWelds(n int, what string) string {
	if n == 1 {
		return what + " on a like job"
	}
	return fmt.Sprintf("%d %ss on like jobs", n, what)
}

func run(n int) string {
	if n == 1 {
		return "runs"
	}
	return "run"
}

// explain words a vote against the tap that the numbers are for or, if they are for the new one, for it.
func (a TapAdvice) explain(tap string) []string {
	if a.Tap == a.From && !a.NoTap {
		return nil
	}
	reason, n, end, way := "cold with too much wire", a.Hotter, "hottest", "hotter"
	if a.Votes < 0 {
		reason, n, end, way = "hot with too little wire", a.Colder, "coldest", "colder"
	}
	who := "Past welds on somewhat like jobs"
	if n > 0 {
		who = "Your " + likeWelds(n, "weld")
	}
	if a.NoTap {
		return []string{fmt.Sprintf("%s ran %s on the %s tap, which no wire speed cures, and there is no %s tap.", who, reason, end, way)}
	}
	var why []string
	if n > 0 || a.GoodThen == 0 {
		why = append(why, fmt.Sprintf("%s ran %s on tap %s, which no wire speed cures", who, reason, a.From))
	}
	if a.GoodThen > 0 {
		why = append(why, fmt.Sprintf("tap %s gave %s", a.Tap, likeWelds(a.GoodThen, "good weld")))
	}
	do := fmt.Sprintf("so try tap %s, from its own table value", a.Tap)
	if tap == a.Tap {
		do = "so tap " + a.Tap
	}
	text := strings.Join(append(why, do), "; ") + "."
	return []string{strings.ToUpper(text[:1]) + text[1:]}
}

// Explain says what the last bead asks for and where the number comes from.
func (n *Next) Explain(u Units) []string {
	if n.Last == 0 {
		return n.Estimate.Explain(u)
	}
	var s strings.Builder
	to := u.toward(n.WireSpeed, n.Last)
	switch {
	case n.Rule == RuleKeep && n.LimitHit == "":
		fmt.Fprintf(&s, "The last bead was good; keep %s", u.speed(n.WireSpeed))
	case n.Rule == RuleKeep:
		fmt.Fprintf(&s, "The last bead was good at %s; %s", u.speed(n.Last), to)
	case n.Rule == RuleCure && n.LastSide > 0:
		fmt.Fprintf(&s, "The last bead had too much wire at %s; %s", u.speed(n.Last), to)
	case n.Rule == RuleCure:
		fmt.Fprintf(&s, "The last bead had too little wire at %s; %s", u.speed(n.Last), to)
	case n.Rule == RuleProbe:
		fmt.Fprintf(&s, "The last bead, at %s, was not good yet and nothing says which way (tall and cold, or flat and burning? say it with amend); %s, not tried yet", u.speed(n.Last), to)
	default:
		fmt.Fprintf(&s, "The last bead, at %s, was not good yet; going by the table and your other welds, %s", u.speed(n.Last), to)
	}
	if n.Bracketed {
		s.WriteString(", between the setting with too little and the one with too much")
	}
	if n.LimitHit != "" {
		fmt.Fprintf(&s, ", held at the limit (%s)", n.LimitHit)
	}
	if n.Stuck {
		s.Reset()
		fmt.Fprintf(&s, "The last bead, at %s, was not good, and no other wire speed within the limits is left to try: "+
			"change the tap or the joint preparation, not the wire speed", u.speed(n.Last))
	}
	s.WriteString(".")
	out := []string{s.String()}
	if !n.Stuck {
		out = append(out, fmt.Sprintf("Table %s; likely range of the best setting %s.", u.speed(n.Table), u.span(n.Low, n.High)))
	}
	return append(out, n.TapAdvice.explain(n.Tap)...)
}
