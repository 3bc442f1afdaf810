package main

import (
	"fmt"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
)

// span is the thinnest and the thickest point that hold speeds.
func (c *thicknessChart) span() (first, last recommend.CurvePoint) {
	for _, p := range c.Points {
		if p.Given() {
			if !first.Given() {
				first = p
			}
			last = p
		}
	}
	return first, last
}

// note says in words what the chart shows and what it leaves out: here is how
// many welds the machine has, before and off how many of this job were made
// before its output changed and outside the thicknesses drawn.
func (c *thicknessChart) note(here, before, off int) {
	say := func(format string, args ...any) { c.Notes = append(c.Notes, fmt.Sprintf(format, args...)) }
	count := func(n int) string {
		if n == 1 {
			return "1 weld of this job"
		}
		return fmt.Sprintf("%d welds of this job", n)
	}
	name := c.machine.Name
	switch {
	case here == 0 && !c.own:
		say("No welds of your own on %s yet: the table's line and its range only.", name)
	case here == 0:
		say("No welds of your own on %s yet: your curve leans on those on other machines.", name)
	case !c.own:
		say("Your welds on %s do not move this wire's line off the table yet.", name)
	case len(c.Welds) == 0:
		say("No weld of this very job on %s yet: your curve leans on those of other jobs.", name)
	default:
		say("%s on %s. At a thickness that you have welded your curve may bend: there the welds of that very job count most.", count(len(c.Welds)), name)
	}
	c.noteStretches(say)
	c.noteEnds(say)
	if before > 0 {
		say("Left out: %s from before the last change of the machine's output.", count(before))
	}
	if off > 0 {
		say("Left out: %s on a thickness outside what is drawn.", count(off))
	}
	for _, id := range c.tableSources() {
		say("Table: %s [%s]", data.Cite(id)[0], id)
	}
	say("Before a bead, ask for its own settings and cautions.")
}

// noteStretches says which tap each stretch of the curve is for, and where it
// runs near a limit.
func (c *thicknessChart) noteStretches(say func(string, ...any)) {
	var taps, edges []string
	for _, s := range c.stretches(func(p recommend.CurvePoint) string { return p.Tap }) {
		if s.of != "" {
			taps = append(taps, strings.ToUpper(s.of)+" "+s.words)
		}
	}
	for _, s := range c.stretches(func(p recommend.CurvePoint) string { return string(p.Verdict) }) {
		if s.of == string(recommend.Edge) {
			edges = append(edges, s.words)
		}
	}
	if len(taps) > 0 {
		say("Tap: %s.", strings.Join(taps, ", "))
	}
	if len(edges) > 0 {
		say("Near a limit, so coupon first and break it: %s.", strings.Join(edges, ", "))
	}
}

// stretch is neighbouring points that have something in common.
type stretch struct{ of, words string }

func (c *thicknessChart) stretches(of func(recommend.CurvePoint) string) []stretch {
	var all []stretch
	var from recommend.CurvePoint
	for _, p := range c.Points {
		if !p.Given() {
			continue
		}
		if len(all) == 0 || all[len(all)-1].of != of(p) {
			all = append(all, stretch{of: of(p)})
			from = p
		}
		s := &all[len(all)-1]
		s.words = "from " + c.length(from.Thickness) + " to " + c.length(p.Thickness)
		if from.Thickness == p.Thickness {
			s.words = "at " + c.length(p.Thickness)
		}
	}
	return all
}

// noteEnds says why nothing is drawn beyond the ends, where more than the end of
// a table is the reason.
func (c *thicknessChart) noteEnds(say func(string, ...any)) {
	first, last := c.span()
	say("Outside the tables nothing is drawn: it runs from %s to %s.", c.length(first.Thickness), c.length(last.Thickness))
	for i, p := range c.Points {
		switch {
		case p.Given():
		case i+1 < len(c.Points) && c.Points[i+1].Thickness == first.Thickness:
			say("Thinner than that: %s", p.Why)
		case i > 0 && c.Points[i-1].Thickness == last.Thickness:
			say("Thicker than that: %s", p.Why)
		}
	}
}

// length writes a thickness as the chart's axis does.
func (c *thicknessChart) length(t procedures.MM) string {
	text, _, _ := strings.Cut(procedures.FormatLength(t, c.units), " (")
	return text
}
