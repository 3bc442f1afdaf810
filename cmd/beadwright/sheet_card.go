package main

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/arc"
	"beadwright/recommend/caution"
)

type cardOptions struct {
	job           jobFlags
	machine, size string
	at            string // of the page
	force         bool
}

func newPrintCard(a *app) *cobra.Command {
	var o cardOptions
	cmd := &cobra.Command{
		Use:   "card [WORDS...] [FILE]",
		Short: "A card to tape on the machine: what to set for each thickness",
		Long: `A card for one joint, position, wire and machine: a row a thickness with tap, knob,
wire speed, stick-out and pace, as suggest gives them today. What a coupon of your
own proved says so, in words and in bold. It fits one page of the size you say.

Exit status: 0 printed; 2 not understood; 3 none, on purpose: on the stop list, or
outside every table.`,
		Example: `  beadwright print card card.pdf
  beadwright print card lap vertical down lap.pdf --size 3x5`,
		RunE: func(cmd *cobra.Command, args []string) error {
			words, file, err := fileAmong(args, paper.Formats())
			if err != nil {
				return err
			}
			return a.printCard(cmd.Context(), o, words, file)
		},
	}
	o.job.add(cmd.Flags())
	f := cmd.Flags()
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	f.StringVar(&o.size, "size", "a6", "a6, or 3x5 (inches)")
	addSite(f, &o.at)
	f.BoolVar(&o.force, "force", false, "write over FILE if it exists")
	o.job.complete(cmd, a)
	a.completes(cmd, "size", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return []string{"a6", "3x5"}, cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// cardRow is one thickness of a card.
type cardRow struct {
	Said     string              `json:"thickness"`
	MM       procedures.MM       `json:"thickness_mm"`
	Verdict  recommend.Verdict   `json:"verdict"`
	Proved   string              `json:"proved_by"`
	Faded    string              `json:"proof_faded"`
	Failed   string              `json:"failed_in_use"` // mark
	Good     int                 `json:"good"`
	Stands   string              `json:"stands_on"` // in words, as the card says it
	Settings procedures.Settings `json:"settings"`

	behind recommend.Behind
	shift  float64
}

func (a *app) printCard(ctx context.Context, o cardOptions, args []string, file string) error {
	page, err := cardPage(o.size)
	if err != nil {
		return err
	}
	if _, err := sheetFormat(file, paper.Formats(), o.force); err != nil {
		return err
	}
	site, err := parseSite(o.at)
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	reading, r, refused, err := a.anySize(ctx, o.job, args, units)
	if refused != nil {
		return a.printAnswer(*refused, units)
	}
	if err != nil {
		return err
	}
	if reading.Job.Joint == "" && reading.Job.Weld == "" {
		reading.Job.Joint = procedures.Tee
		reading.Assumed = append(reading.Assumed, "tee joint")
	}
	reading.Job.Thickness, reading.Job.OtherThickness = anyThickness, 0
	if err := reading.Complete(); err != nil {
		return err
	}
	r.Job, r.Now = reading.Job, a.now()
	if r.Spool, _, err = a.fillWire(ctx, &r.Job); err != nil {
		return err
	}
	if r.Machine, err = a.working(ctx, o.machine, r.Job.Process); err != nil {
		return err
	}
	shop, history, err := a.past(ctx)
	if err != nil {
		return err
	}
	r.Shop = shop
	var rows []cardRow
	var last recommend.Suggestion
	var none []string
	cautions := []caution.Caution{}
	for _, t := range cardThicknesses(units) {
		r.Job.Thickness, r.Job.ThicknessSaid = t.mm, t.said
		s, err := recommend.Suggest(r, history)
		if err != nil {
			return err
		}
		if last = s; !s.Given() {
			none = append(none, t.said)
			continue
		}
		cautions = s.Cautions
		row := cardRow{Said: t.said, MM: t.mm, Verdict: s.Verdict, Proved: s.Evidence.ProvedBy, Faded: s.Evidence.ProofFaded, Good: s.Evidence.Good, Settings: s.Settings,
			behind: recommend.BehindOf(r, s.Settings.Tap, history), shift: s.Evidence.ShiftPercent}
		row.Failed = row.behind.Failed
		row.Stands = row.stands()
		rows = append(rows, row)
	}
	if len(rows) == 0 {
		return a.printAnswer(newAnswer(last, reading.Assumed, r.Machine), units)
	}
	d := cardDocument(r, rows, none, units)
	d.Page, d.At = page, a.now()
	if d.Link = string(site); !r.Machine.Example {
		d.Link = site.link("machine", r.Machine.ID)
	}
	if d.Alert, err = a.cardAlert(ctx, rows); err != nil {
		return err
	}
	return a.put(d, printed{Print: "card", File: file, Cautions: cautions, Assumed: reading.Assumed, Rows: rows, Link: site}, o.force, r.Machine)
}

// cardPage reads the size of a card.
func cardPage(size string) (paper.Page, error) {
	switch strings.ToLower(strings.TrimSpace(size)) {
	case "a6":
		return paper.A6, nil
	case "3x5", "3x5in", "5x3":
		return paper.ThreeFive, nil
	}
	return paper.Page{}, procedures.Invalid("size", size, "not a size of card", "accepted: a6, 3x5")
}

// cardThickness is a thickness and what people call it.
type cardThickness struct {
	said string
	mm   procedures.MM
}

// cardThicknesses are the rows of a card: gauges and fractions that steel is sold
// in, or millimeters.
func cardThicknesses(units procedures.Units) []cardThickness {
	var all []cardThickness
	if units == procedures.Metric {
		for _, mm := range []float64{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6} {
			all = append(all, cardThickness{fmt.Sprintf("%g mm", mm), procedures.MM(mm)})
		}
		return all
	}
	for _, g := range []int{20, 18, 16, 14, 12, 11} {
		if mm, ok := recommend.Lexicon().SheetGauge(g, false); ok {
			all = append(all, cardThickness{fmt.Sprintf("%d ga", g), mm})
		}
	}
	for _, f := range []struct {
		said string
		in   float64
	}{{"1/8 in", 1. / 8}, {"3/16 in", 3. / 16}, {"1/4 in", 1. / 4}} {
		all = append(all, cardThickness{f.said, procedures.Inches(f.in)})
	}
	return all
}

// cardFoot goes on every card and log.
const cardFoot = "Practice aid for shop projects in mild steel. A result holds for the coupon it was logged on and no other. Local codes, the machine's manual and licensed trades come first."

// cardDocument lays the rows out as a card.
func cardDocument(r recommend.Request, rows []cardRow, none []string, units procedures.Units) paper.Document {
	j := r.Job
	j.Thickness, j.OtherThickness = 0, 0
	set := rows[len(rows)-1].Settings
	d := paper.Document{Title: list(r.Machine.Name+": "+j.Wire.String(), string(j.Joint), string(j.Position)), Foot: cardFoot}
	state := "example, nobody's name plate: write your own down"
	if !r.Machine.Example {
		state = joined(", ", fmt.Sprintf("state %d", r.Machine.State.Number), r.Machine.State.What, "since "+r.Machine.State.Since.Local().Format("2006-01-02"))
	}
	d.Lead = []string{describeJob(j, units), list(polarityWords[set.Polarity], set.Technique), state + "; printed " + r.Now.Local().Format("2006-01-02")}
	t := paper.Table{Head: []string{"thick", "tap", "knob", speedHead(units), "stick-out", "pace", "stands on"}}
	guessed := false
	for _, row := range rows {
		s := row.Settings
		knob, wire, out := "", "", ""
		if s.Knob != nil {
			knob = procedures.FormatKnob(*s.Knob)
		} else {
			knob = s.KnobSaid
		}
		if knob != "" && (s.How["knob"] == procedures.Guessed || s.How["knob_text"] == procedures.Guessed) {
			knob, guessed = knob+" ?", true
		}
		if s.WireSpeed > 0 {
			wire, _, _ = strings.Cut(procedures.FormatWireSpeed(s.WireSpeed, units), " ")
		} else if s.Current > 0 {
			wire = fmt.Sprintf("%.0f A", float64(s.Current))
		}
		if s.Extension > 0 {
			out, _, _ = strings.Cut(procedures.FormatRuler(s.Extension, units), " (")
		}
		timed, _ := arc.SayTravel(s.Travel, units)
		t.Rows = append(t.Rows, paper.Row{Cells: []string{row.Said, strings.ToUpper(s.Tap), knob, wire, out, timed, row.Stands}, Strong: row.Verdict == recommend.Proved || row.Failed != ""})
	}
	d.Blocks = append(d.Blocks, t)
	note := func(text string) { d.Blocks = append(d.Blocks, paper.Words{Text: text}) }
	note(cardLegend(rows))
	if guessed {
		note("? the knob is not measured: a guess. Measure it: beadwright machine knob")
	}
	if len(none) > 0 {
		note("No settings: " + strings.Join(none, ", ") + ". Ask suggest why.")
	}
	if c, ok := caution.StoredCharge(r.Machine); ok {
		d.Blocks = append(d.Blocks, paper.Words{Text: "REBUILT: " + firstSentence(c.Text), Strong: true})
	}
	note("Coupon first, and break it. Hood down, door open, gloves dry, nothing near that burns.")
	return d
}

// speedHead heads the wire speeds with their unit.
func speedHead(units procedures.Units) string {
	if units == procedures.Metric {
		return "wire m/min"
	}
	return "wire in/min"
}

// stands says in words what a row stands on. What failed in use comes first.
func (r cardRow) stands() string {
	text := "table"
	switch {
	case r.Verdict == recommend.Proved && r.Failed != "":
		text = "PROVED " + r.Proved + ", but FAILED " + r.Failed
	case r.Failed != "":
		text = "FAILED " + r.Failed
	case r.Verdict == recommend.Proved:
		text = "PROVED " + r.Proved
	case r.Faded != "":
		mark, _, _ := strings.Cut(r.Faded, " ")
		text = "faded " + mark
	case r.Verdict == recommend.Edge:
		text = "edge"
	case r.behind.Good > 0:
		text = fmt.Sprintf("own, %d good", r.behind.Good)
	case r.behind.Before > 0:
		text = "own, before change"
	case math.Abs(r.shift) >= 1:
		text = "table, moved"
	}
	if n := r.Settings.Passes; n > 1 {
		text += ", " + passes(n)
	}
	return text
}

// cardLegend explains the words of the rows, those that stand there alone.
func cardLegend(rows []cardRow) string {
	var text []string
	for _, l := range []struct{ word, means string }{
		{"FAILED", "it failed in use, whatever its coupon did: do not weld by that row until a fresh coupon passes"},
		{"PROVED", "that coupon of yours passed its test"},
		{"faded", "so long ago that one fresh coupon is due"},
		{"own,", "good welds of yours of that thickness on that tap, not tested at this"},
		{"before change", "made before the machine was changed"},
		{"moved", "by good and bad welds of yours on other jobs; none like this one"},
		{"table", "no weld of yours like it"},
		{"edge", "near a limit"},
	} {
		if slices.ContainsFunc(rows, func(r cardRow) bool { return strings.Contains(r.Stands, l.word) }) {
			text = append(text, strings.TrimSuffix(l.word, ",")+": "+l.means+".")
		}
	}
	return strings.Join(text, " ")
}

// cardAlert says above all else what failed in use among the jobs of a card.
func (a *app) cardAlert(ctx context.Context, rows []cardRow) ([]string, error) {
	var lines []string
	said := map[string]string{}
	for _, r := range rows {
		b := r.behind
		if b.Failed == "" || slices.ContainsFunc(lines, func(l string) bool { return strings.HasSuffix(l, "("+b.Failed+")") }) {
			continue
		}
		if len(lines) == 0 {
			nb, err := a.existing(ctx)
			if err != nil {
				return nil, err
			}
			if said, err = saidOfFailures(ctx, nb); err != nil {
				return nil, err
			}
		}
		words := []rune(said[b.Weld])
		if len(words) > 60 { // a card is small
			words = append(words[:57], []rune("...")...)
		}
		lines = append(lines, inUseWords(b.At, string(words))+" ("+b.Failed+")")
	}
	return lines, nil
}
