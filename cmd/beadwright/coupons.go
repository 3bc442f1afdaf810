package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

type couponOptions struct {
	job         jobFlags
	machine     string
	scrap       []string
	beads       string
	next, board bool
	why         bool
}

func newCoupons(a *app) *cobra.Command {
	var o couponOptions
	cmd := &cobra.Command{
		Use:   "coupons [WORDS...]",
		Short: "Practice coupons for a joint: what to cut, what to set, in which order",
		Long: `Plan practice coupons for a joint, said as in suggest: the pieces to cut, from the
scrap at hand if you say it, and a ladder of beads that moves one thing a rung:
knob, pace, stick-out; then the best of them twice, to break. With arc, rests and
wire. --next names the one bead that would narrow the range most; --board plans
a good bead and six made wrong on purpose, to hang up and know again.

Exit status: 0 a plan; 2 not understood; 3 none, on purpose, as in suggest.`,
		Example: `  beadwright coupons 1/8 mild tee flat --scrap "6x 2x4 1/8" --scrap "12x24 11ga plain"
  beadwright coupons 1/8 mild tee flat --beads 5
  beadwright coupons 3/16 mild tee --next --scrap "4x 2x4 1/8"
  beadwright coupons 1/8 mild tee flat --board`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.coupons(cmd.Context(), o, args)
		},
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return append(append(keys(procedures.Joints()), keys(procedures.Positions())...), steelKeys()...), cobra.ShellCompDirectiveNoFileComp
		},
	}
	f := cmd.Flags()
	o.job.add(f)
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	f.StringArrayVar(&o.scrap, "scrap", nil, "flat pieces at hand, how many, width x length, thickness: '6x 2x4 1/8'; may be repeated")
	f.StringVar(&o.beads, "beads", "", "at most so many beads, 1 to 12 (default the whole ladder, 12)")
	f.BoolVar(&o.next, "next", false, "which one bead would narrow the range most, and by how much")
	f.BoolVar(&o.board, "board", false, "a good bead and six made wrong on purpose, to hang up")
	f.BoolVar(&o.why, "why", false, "every reason, rule and source of the numbers")
	o.job.complete(cmd, a)
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// most is how many beads the ladder may have; 0: the whole of it.
func (o couponOptions) most() (int, error) {
	switch {
	case o.next && o.board:
		return 0, procedures.Invalid("next", "--next --board", "these are two different questions", "ask one of them at a time")
	case o.beads == "":
		return 0, nil
	case o.next || o.board:
		return 0, procedures.Invalid("beads", o.beads, "it is the ladder that has so many beads: --next names one, the board has seven", "leave --beads out, or leave the other out")
	}
	n, err := strconv.Atoi(strings.TrimSpace(o.beads))
	if err != nil || n < 1 || n > recommend.LadderBeads {
		return 0, procedures.Invalid("beads", o.beads, "not a number of beads of the ladder", fmt.Sprintf("accepted: 1 to %d; 4 to 6 a joint are plenty where it is nearly right (common practice, no source)", recommend.LadderBeads))
	}
	return n, nil
}

// coupons answers as suggest would, gate first, and plans about that answer.
func (a *app) coupons(ctx context.Context, o couponOptions, args []string) error {
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	beads, err := o.most()
	if err != nil {
		return err
	}
	r, assumed, refused, err := a.question(ctx, o.job, o.machine, args, units)
	if refused != nil {
		return a.noCoupons(*refused, units)
	}
	if err != nil {
		return asCoupons(err)
	}
	scrap, err := readScrap(o.scrap, units)
	if err != nil {
		return err
	}
	shop, history, err := a.past(ctx)
	if err != nil {
		return err
	}
	r.Shop = shop
	mind := func(s recommend.Suggestion) answer {
		if s.Given() {
			s.Cautions = append(s.Cautions, couponCare)
		}
		return newAnswer(s, assumed, r.Machine)
	}
	switch {
	case o.next:
		s, choices, err := recommend.NextCoupons(r, history, scrap)
		if err != nil {
			return err
		}
		return a.showNextCoupons(mind(s), choices, o, units)
	case o.board:
		b, err := recommend.BadBoard(r, history, scrap)
		if err != nil {
			return err
		}
		return a.showBoard(ctx, mind(b.Suggestion), b, o, r.Spool, units)
	}
	p, err := recommend.Coupons(r, history, recommend.CouponOptions{Scrap: scrap, Beads: beads})
	if err != nil {
		return err
	}
	return a.showCoupons(ctx, mind(p.Suggestion), p, o, r.Spool, units)
}

// couponHead is what every answer about coupons begins with, as JSON.
type couponHead struct {
	Verdict  recommend.Verdict   `json:"verdict"`
	ID       string              `json:"id"` // of the suggestion kept, for log
	Job      procedures.Job      `json:"job"`
	Settings procedures.Settings `json:"settings"`
	Range    recommend.Range     `json:"range"`
}

// couponFoot is what every answer about coupons ends with, as JSON.
type couponFoot struct {
	Assumed  []string          `json:"assumed"`
	Wire     []string          `json:"consumables"`
	Cautions []caution.Caution `json:"cautions"`
	Sources  map[string]string `json:"sources"`
}

func couponEnds(ans answer) (couponHead, couponFoot) {
	return couponHead{ans.Verdict, ans.ID, ans.Job, ans.Settings, ans.Range}, couponFoot{ans.Assumed, ans.Wire, ans.Cautions, ans.Sources}
}

// noCoupons says why there is no plan: what suggest says, and what can be asked.
func (a *app) noCoupons(ans answer, units procedures.Units) error {
	err := a.printAnswer(ans, units)
	if way := wayToPractice(ans); way != "" && !a.json {
		a.line("instead", way)
	}
	return err
}

// The stops after which there is something to practice on. Behind every other one,
// such as wet or solvent, there is nothing to ask but what the stop itself says.
var (
	stopsByUse     = []string{"roll-cage", "seat", "suspension", "frame", "which-frame", "which-gate", "hitch", "held-up", "tire", "wheel", "lifting", "container", "pressure"}
	stopsByMetal   = []string{"steel", "which-hss"}
	stopsByCoating = []string{"galvanized", "chrome", "cadmium", "lead-paint", "unknown-coating"}
)

// wayToPractice says how to come to a coupon from a stop; "" there is no way. Words
// are left out for a use alone: a coating and a metal are on the coupon too.
func wayToPractice(ans answer) string {
	if ans.Verdict != recommend.Refused || ans.Job.Thickness == 0 || ans.Job.Joint == "" {
		return ""
	}
	stops := map[string]bool{}
	for _, c := range ans.Cautions {
		if c.Level != caution.Stop {
			continue
		}
		kind := ""
		for name, keys := range map[string][]string{"use": stopsByUse, "metal": stopsByMetal, "coating": stopsByCoating} {
			if slices.Contains(keys, c.Key) {
				kind = name
			}
		}
		stops[kind] = true
	}
	switch {
	case stops[""]:
		return ""
	case stops["coating"]:
		coating := string(ans.Job.Coating)
		if coating == "" {
			coating = "plated"
		}
		return "it is on the coupon as well. Have it off, and say so: beadwright coupons " + strings.Join([]string{plainJob(ans.Job), coating, "stripped"}, " ") + "; or practice on plain stock that never had any"
	case stops["metal"]:
		return "this metal is no metal to practice on with this wire. From pieces of mild steel, which say nothing of it: beadwright coupons " + plainJob(ans.Job)
	case stops["use"]:
		return "a coupon is practice, never that part. From plain new stock, for practice alone: beadwright coupons " + plainJob(ans.Job)
	}
	return ""
}

// asCoupons has hints speak of coupons where they were written for suggest.
func asCoupons(err error) error {
	var invalid *procedures.InvalidError
	if !errors.As(err, &invalid) {
		return err
	}
	said := *invalid
	said.Hints = slices.Clone(said.Hints)
	for i, h := range said.Hints {
		said.Hints[i] = strings.ReplaceAll(h, "beadwright suggest", "beadwright coupons")
	}
	return &said
}

// plainJob is words that ask for a job again: thickness, joint and position.
func plainJob(j procedures.Job) string {
	size := typedSize(j.Thickness)
	if j.OtherThickness > 0 && j.OtherThickness != j.Thickness {
		size += " to " + typedSize(j.OtherThickness)
	}
	position := strings.ReplaceAll(string(j.Position), "-", " ")
	steel := j.Steel
	if j.SteelGroup != "I" {
		steel = "mild"
	}
	return strings.Join(strings.Fields(strings.Join([]string{size, steel, string(j.Joint), position}, " ")), " ")
}

// typedSize is a thickness as it can be typed: a fraction of an inch, else mm.
func typedSize(t procedures.MM) string {
	if n := t.Inches() * 32; math.Abs(n-math.Round(n)) < 1e-6 {
		return strings.Fields(procedures.FormatLength(t, procedures.US))[0] + "in"
	}
	return fmt.Sprintf("%gmm", procedures.Round(float64(t)))
}

var scrapForm = procedures.Pattern(`^(?:(\d{1,3}) ?(?:x|of|pcs|pieces) )?([^ x]+(?: mm| in)?) ?x ?([^ x]+(?: mm| in)?)(?: ?x ?| )(.+)$`)

// readScrap reads pieces at hand: "6x 2x4 1/8", "12x24 11ga plain", "50mmx100mm 3mm".
func readScrap(said []string, units procedures.Units) ([]recommend.Scrap, error) {
	var all []recommend.Scrap
	for _, text := range said {
		s := recommend.Scrap{Said: strings.Join(strings.Fields(text), " "), Count: 1}
		m := scrapForm().FindStringSubmatch(strings.ToLower(strings.ReplaceAll(s.Said, "\u00d7", "x")))
		const hint = `write how many, width x length and thickness: --scrap "6x 2x4 1/8", --scrap "12x24 11ga plain", --scrap "50mmx100mm 3mm"`
		if m == nil {
			return nil, procedures.Invalid("scrap", text, "not understood as pieces of scrap", hint)
		}
		if stops, _ := caution.Gate(caution.Request{Words: text}); len(stops) > 0 {
			return nil, procedures.Invalid("scrap", text, "no scrap to practice on", firstSentence(stops[0].Text)+" "+stops[0].Instead)
		}
		if m[1] != "" {
			s.Count, _ = strconv.Atoi(m[1])
		}
		var err error
		if s.Width, err = procedures.ParseDistance("scrap", m[2], units); err == nil {
			s.Length, err = procedures.ParseDistance("scrap", m[3], units)
		}
		if err != nil {
			return nil, procedures.Invalid("scrap", text, "cannot read its size", hint)
		}
		var thick jobFlags
		if s.Thickness, _, _, err = thick.part("scrap", m[4], units); err != nil {
			return nil, procedures.Invalid("scrap", text, "cannot read how thick it is", hint, "a gauge of sheet goes with plain: 11ga plain; galvanized scrap is no scrap to weld")
		}
		if err := s.Validate(); err != nil {
			return nil, err
		}
		all = append(all, s)
		if len(all) > 50 {
			return nil, procedures.Invalid("scrap", fmt.Sprint(len(said)), "more scrap than a plan can look at", "accepted: up to 50 times --scrap; put like pieces together: 6x 2x4 1/8")
		}
	}
	return all, nil
}

// cite adds the citations of more sources to an answer.
func (ans *answer) cite(ids ...string) {
	for _, id := range ids {
		ans.Sources[id] = data.Cite(id)[0]
	}
}
