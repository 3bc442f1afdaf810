package main

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
	"beadwright/recommend/steel"
)

// The text on the screen: a word in the left margin says what a line is about,
// the line itself is what a welder would read aloud.
const margin = 10

// line prints text under a margin word, folded at 100 columns.
func (a *app) line(word, text string) {
	const width = 100 - margin
	for i, part := range fold(text, width) {
		if i > 0 {
			word = ""
		}
		a.printf("%-*s%s\n", margin, word, part)
	}
}

// fold breaks text at spaces into lines of at most width letters.
func fold(text string, width int) []string {
	var lines []string
	cur := ""
	for _, w := range procedures.Words(text) {
		if cur != "" && len([]rune(cur))+1+len([]rune(w)) > width {
			lines, cur = append(lines, cur), ""
		}
		if cur != "" {
			cur += " "
		}
		cur += w
	}
	return append(lines, cur)
}

func list(parts ...string) string {
	var full []string
	for _, p := range parts {
		if p != "" {
			full = append(full, p)
		}
	}
	return strings.Join(full, ", ")
}

func (a *app) printSettings(ans answer, units procedures.Units, why bool) {
	s, set := ans.Suggestion, ans.Settings
	a.line("read", describeJob(s.Job, units))
	if len(ans.Assumed) > 0 {
		a.line("assumed", strings.Join(ans.Assumed, "; ")+". Say otherwise to change it")
	}
	if ans.machine.Example {
		a.line("machine", ans.machine.Name+", built in and nobody's name plate. Write yours down: beadwright machine add NAME")
	} else {
		a.line("machine", ans.machine.Name)
	}
	a.printf("\n")
	a.line("SET", setLine(set, units))
	if by := s.Evidence.KnobBy; by != "" {
		a.line("KNOB", fmt.Sprintf("%s by your own %s, which passed its test there: a like joint, this wire, this tap", procedures.FormatKnob(*set.Knob), by))
	}
	a.line("HOLD", list(ifKnown("stick-out ", float64(set.Extension), procedures.FormatRuler(set.Extension, units)), paceText(set.Travel, units), set.Technique, passes(set.Passes)))
	a.line("RANGE", rangeLine(s, units))
	a.line("EXPECT", expectLine(s, units))
	if set.Preheat != nil {
		a.line("PREHEAT", fmt.Sprintf("%.0f C (%.0f F) at least", *set.Preheat, steel.Fahrenheit(*set.Preheat)))
	}
	if e := s.Expect; e.ArcSeconds > 0 {
		text := fmt.Sprintf("%.0f s of arc in any 10 minutes", math.Floor(float64(e.ArcSeconds)+1e-6))
		if e.Rest > 0 {
			text += fmt.Sprintf(", then %.0f s of rest with the fan running", math.Ceil(float64(e.Rest)-1e-6))
		} else {
			text = "none owed by the plate; let the case tell you"
		}
		if ans.machine.Example {
			text += " (by the example machine's plate: go by your own)"
		}
		a.line("REST", text)
	}
	if e := s.Expect; e.JobArc > 0 {
		a.line("JOB", fmt.Sprintf("%s of weld: about %.0f s of arc and %.0f g of wire", procedures.FormatLength(s.Job.Length, units), float64(e.JobArc), float64(e.JobWire)))
	}
	for _, text := range ans.Wire {
		a.line("WIRE", text)
	}
	if e := s.Expect; e.ShadeMin > 0 {
		a.line("EYES", fmt.Sprintf("filter shade %d at the least; begin at %d or darker and come down", e.ShadeMin, e.ShadeSuggested))
	}
	a.printf("\n")
	a.line("verdict", verdictWords(s))
	own, standing := parted(s.Cautions)
	a.printCautions(own)
	reasons := s.Lead
	if why {
		reasons = s.Because
	}
	a.printf("\nwhy\n")
	for _, r := range reasons {
		a.bullet(r.Text, r.Source)
	}
	if !why {
		for i := range standing {
			standing[i].Text = firstSentence(standing[i].Text)
		}
	}
	a.printTitled("always", standing)
	if why {
		a.printSources(ans.Sources)
	} else {
		a.printf("\n")
		a.line("sources", shortSources(s)+"; --why spells everything out")
	}
	a.line("again", setLine(set, units))
	next := "weld a coupon, then log it with a rating of 1 to 5: beadwright log 4"
	if ans.ID == "" {
		next = "weld a coupon and note what you set"
	}
	a.line("next", next)
}

// parted tells the cautions of this job from those that go with every job.
func parted(all []caution.Caution) (own, standing []caution.Caution) {
	for _, c := range all {
		switch {
		case c.Level == caution.Care && slices.Contains([]string{"first", "eyes", "fumes", "gas", "shock", "fire", "implant"}, c.Key):
			standing = append(standing, c)
		default:
			own = append(own, c)
		}
	}
	return own, standing
}

// firstSentence is the part of a standing caution that says what to do.
func firstSentence(s string) string {
	for i, r := range s {
		if r == '.' && i+1 < len(s) && s[i+1] == ' ' {
			return s[:i+1]
		}
	}
	return s
}

// shortSources names what the starting numbers rest on, in one line.
func shortSources(s recommend.Suggestion) string {
	var parts []string
	for _, id := range s.Table.Source {
		parts = append(parts, id+" ("+data.Cite(id)[0]+")")
	}
	return strings.Join(parts, "; ")
}

func (a *app) bullet(text string, source []string) {
	if len(source) > 0 {
		text += " [" + strings.Join(source, " ") + "]"
	}
	for i, part := range fold(text, 96) {
		lead := "  - "
		if i > 0 {
			lead = "    "
		}
		a.printf("%s%s\n", lead, part)
	}
}

func (a *app) printCautions(all []caution.Caution) { a.printTitled("cautions", all) }

func (a *app) printTitled(title string, all []caution.Caution) {
	if len(all) == 0 {
		return
	}
	a.printf("\n%s\n", title)
	for _, c := range all {
		text := whole(c)
		if c.Level != caution.Care {
			text = strings.ToUpper(string(c.Level)) + ": " + text
		}
		a.bullet(text, c.Source)
	}
}

func (a *app) printSources(sources map[string]string) {
	if len(sources) == 0 {
		return
	}
	ids := make([]string, 0, len(sources))
	for id := range sources {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	a.printf("\nsources\n")
	for _, id := range ids {
		a.bullet(id+": "+sources[id], nil)
	}
	a.printf("\n")
}

func (a *app) printRefusal(ans answer, units procedures.Units) {
	if text := describeJob(ans.Job, units); text != "" {
		a.line("read", text)
	}
	word := "no settings on purpose"
	if ans.Verdict == recommend.Outside {
		word = "no settings: outside what the tables and your own welds cover"
	}
	if len(ans.Cautions) > 0 && ans.Cautions[0].Key == recommend.MachineForbidden {
		word = "no settings: not with this machine as it is written down"
	}
	a.line("verdict", word)
	a.printCautions(ans.Cautions)
	a.printSources(ans.Sources)
}

// after puts a lead before words that may be missing.
func after(lead, words string) string {
	if words == "" {
		return ""
	}
	return lead + words
}

// ifKnown puts a lead before a quantity's text unless the quantity is zero.
func ifKnown(lead string, v float64, text string) string {
	if v == 0 {
		return ""
	}
	return lead + text
}
