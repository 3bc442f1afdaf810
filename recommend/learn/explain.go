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

func plural(n int, one string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %ss", n, one)
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

// Explain says in plain words where the number comes from. The sign in words is always that of the shown difference.
func (e *Estimate) Explain(u Units) []string {
	var s strings.Builder
	fmt.Fprintf(&s, "Table %s; ", u.speed(e.Table))
	shown := u.shownSign(e.WireSpeed, e.Table)
	wished := u.shownSign(e.Wish, e.Table)
	mean := sign(math.Round(e.MeanGoodPercent))
	good, failed := plural(e.GoodLike, "good weld"), plural(e.FailedLike, "failed weld")
	suggestion := u.speed(e.WireSpeed)
	part := ""
	switch {
	case e.LimitHit != "" && shown != wished:
		// The limit turned the shift round or ate it whole: what the welds say would contradict the number.
		fmt.Fprintf(&s, "set %s", suggestion)
	case shown == 0 && e.GoodLike+e.FailedLike == 0:
		s.WriteString("you have no welds on like jobs yet, so start there")
	case shown == 0 && e.GoodLike > 0:
		fmt.Fprintf(&s, "with your %s on like jobs counted in, stay there", good)
	case shown == 0:
		fmt.Fprintf(&s, "with %s on like jobs counted in, stay there", failed)
	case e.GoodLike > 0 && mean == shown:
		fmt.Fprintf(&s, "your %s on like jobs %s %s it; so %s", good, run(e.GoodLike), aboveBelow(e.MeanGoodPercent), suggestion)
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
		who := "your failed weld on a like job"
		if e.FailedLike > 1 {
			who = fmt.Sprintf("most of your %d failed welds on like jobs", e.FailedLike)
		}
		fmt.Fprintf(&s, "%s asked for %s wire; so %s", who, wanted, suggestion)
		part = e.mostly()
	default:
		whose := "your welds taken together"
		if e.GoodLike+e.FailedLike == 0 {
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
	fmt.Fprintf(&s, "; likely range %s.", u.span(e.Low, e.High))
	return append([]string{s.String()}, e.TapAdvice.explain(e.Tap)...)
}

func run(n int) string {
	if n == 1 {
		return "runs"
	}
	return "run"
}

// explain words a vote against the tap that the numbers are for or, if they are for the new one, for it.
func (a TapAdvice) explain(tap string) []string {
	if a.Tap == a.From {
		return nil
	}
	reason, n := "cold with too much wire", a.Hotter
	if a.Votes < 0 {
		reason, n = "hot with too little wire", a.Colder
	}
	why := make([]string, 0, 2)
	if n > 0 {
		why = append(why, fmt.Sprintf("%s on like jobs ran %s, which no wire speed cures", plural(n, "weld"), reason))
	}
	if a.GoodThen > 0 {
		why = append(why, fmt.Sprintf("%s on the %s tap", plural(a.GoodThen, "good weld"), a.Tap))
	}
	if len(why) == 0 {
		why = append(why, "as past welds on somewhat like jobs say")
	}
	if tap == a.Tap {
		return []string{fmt.Sprintf("Tap %s: %s.", a.Tap, strings.Join(why, "; "))}
	}
	return []string{fmt.Sprintf("Try tap %s, whose wire speed starts from its own table value: %s.", a.Tap, strings.Join(why, "; "))}
}

// Explain says what the last bead asks for and where the number comes from.
func (n *Next) Explain(u Units) []string {
	if n.Last == 0 {
		return n.Estimate.Explain(u)
	}
	var s strings.Builder
	to := u.speed(n.WireSpeed)
	way := map[int]string{1: "up to", 0: "stay at", -1: "down to"}[u.shownSign(n.WireSpeed, n.Last)]
	switch {
	case n.Rule == RuleKeep && n.LimitHit == "":
		fmt.Fprintf(&s, "The last bead was good; keep %s", to)
	case n.Rule == RuleKeep:
		fmt.Fprintf(&s, "The last bead was good at %s", u.speed(n.Last))
	case n.Rule == RuleCure && n.LastSide > 0:
		fmt.Fprintf(&s, "The last bead had too much wire at %s; %s %s", u.speed(n.Last), way, to)
	case n.Rule == RuleCure:
		fmt.Fprintf(&s, "The last bead had too little wire at %s; %s %s", u.speed(n.Last), way, to)
	case n.Rule == RuleProbe:
		fmt.Fprintf(&s, "The last bead failed at %s and nothing says which way; try %s, not tried yet", u.speed(n.Last), to)
	default:
		fmt.Fprintf(&s, "The last bead failed at %s; from all your welds %s %s", u.speed(n.Last), way, to)
	}
	if n.Bracketed {
		s.WriteString(", between the setting with too little and the one with too much")
	}
	if n.LimitHit != "" {
		fmt.Fprintf(&s, ", held at the limit (%s)", n.LimitHit)
	}
	if n.Stuck {
		s.Reset()
		fmt.Fprintf(&s, "The last bead failed at %s and no other wire speed within the limits is left to try: "+
			"change the tap or the joint preparation, not the wire speed", u.speed(n.Last))
	}
	s.WriteString(".")
	out := []string{s.String()}
	if !n.Stuck {
		out = append(out, fmt.Sprintf("Table %s; likely range of the best setting %s.", u.speed(n.Table), u.span(n.Low, n.High)))
	}
	return append(out, n.TapAdvice.explain(n.Tap)...)
}
