package main

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
	"beadwright/recommend/remedy"
)

func newRemedy(a *app) *cobra.Command {
	var from string
	cmd := &cobra.Command{
		Use:   "remedy [WORDS...]",
		Short: "What is wrong, and the one thing to change next",
		Long: `Say in your own words what you saw, heard or felt: what it is called, what may
lie behind it, and one next step. Clamp, leads and tip come before settings; a
step of the settings is the one that suggest would give next. It is about the last
weld logged, or the one named by --from. No words: what was logged of that weld.

A smell, smoke, a shock, a warm plug, somebody hurt: stop and unplug first. Said
here, what to do comes before any talk of beads, and no notebook is opened for it.

Exit status: 0 a step or an answer; 2 not understood; 3 none given, on purpose.`,
		Example: `  beadwright remedy bird poop
  beadwright remedy it pushes me back --from A4
  beadwright remedy the plug is warm
  beadwright remedy`,
		RunE: func(cmd *cobra.Command, args []string) error { return a.remedy(cmd.Context(), args, from) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return procedures.SymptomKeys(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "the mark of the weld it is about (default the last one logged)")
	return cmd
}

// advised is advice as it is printed: with the cautions and the citations.
type advised struct {
	Said string `json:"said"`
	remedy.Advice
	Troubles []remedy.Trouble  `json:"troubles"`                 // dangers and questions of the bench, before any bead
	Agrees   *float64          `json:"suggest_wire_speed_m_min"` // what suggest gives next for the job
	Cautions []caution.Caution `json:"cautions"`
	Sources  map[string]string `json:"sources"`
	weld     *procedures.Weld
	machine  procedures.Machine
	thick    string // that another thickness was said than that of the weld; "" it was not
}

func (a *app) remedy(ctx context.Context, args []string, from string) error {
	said := strings.Join(strings.Fields(strings.Join(args, " ")), " ")
	heard := procedures.Hear(said)
	if heard.Grave() {
		return a.danger(said, heard)
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	r := remedy.Request{Symptoms: heard.Symptoms, Signs: heard.Signs}
	if r.Weld, err = a.lastWeld(ctx, from); err != nil {
		return err
	}
	if err := a.askAgain(ctx, &r, units); err != nil {
		return err
	}
	r.Ask.Words = soundsLikeAGun().ReplaceAllString(said, "stubbing")
	adv, err := remedy.Advise(r)
	if err != nil {
		return err
	}
	troubles := remedy.Troubles(heard.Troubles)
	bead := said == "" || len(heard.Symptoms)+len(heard.Signs) > 0
	if !bead && len(troubles) == 0 && !adv.Refused() {
		return notHeard(said)
	}
	out := advised{Said: said, Advice: adv, Troubles: aboutWeld(troubles, r.Weld), Sources: map[string]string{}, Cautions: remedyCautions(adv, r), weld: r.Weld, machine: r.Ask.Machine}
	if bead && r.Weld != nil {
		if out.thick, err = a.otherThickness(ctx, said, *r.Weld, units); err != nil {
			return err
		}
	}
	if !bead && !adv.Refused() { // what is logged of the bead was not asked for
		out.Advice = remedy.Advice{Symptoms: []remedy.Named{}, Signs: []remedy.Named{}, Causes: []remedy.Cause{}, Unlogged: []string{}, Questions: []remedy.Question{}}
	} else if v := float64(adv.Next.Settings.WireSpeed); v > 0 {
		v = procedures.Round(v)
		out.Agrees = &v
	}
	out.cite()
	switch {
	case a.json:
		err = a.printJSON(out)
	case adv.Refused():
		a.line("verdict", "no remedy on purpose: it is not a matter of settings")
		a.printCautions(out.Cautions)
		a.printSources(out.Sources)
	default:
		a.printTroubles(out.Troubles)
		if bead && len(out.Troubles) > 0 {
			a.printf("\n")
		}
		if bead {
			a.printAdvice(out, units)
		} else {
			a.printAround(out.Cautions, sourcesOf(out.Troubles))
		}
	}
	if err == nil && adv.Refused() {
		return errNoSettings
	}
	return err
}

// otherThickness says that what was said is of another thickness than the weld that
// the advice is about, and which weld was of that one; "" it is of the same, or of none.
func (a *app) otherThickness(ctx context.Context, said string, w procedures.Weld, units procedures.Units) (string, error) {
	r, err := procedures.ReadJob(said, units, recommend.Lexicon())
	if err != nil { // 16ga: the look of a bead need not know of the zinc
		if r, err = procedures.ReadJob(said+" plain", units, recommend.Lexicon()); err != nil {
			return "", nil
		}
	}
	t := r.Job.Thickness // past half an inch it is the length of something
	off := func(v procedures.MM) bool { return v == 0 || math.Abs(float64(v-t)) > 0.15*float64(t) }
	if t == 0 || t > procedures.Inches(0.51) || !off(w.Job.Thickness) || !off(w.Job.OtherThickness) {
		return "", nil
	}
	thick := procedures.FormatLength(t, units)
	text := fmt.Sprintf("you spoke of %s, and this is about %s, which is another thickness: its numbers are not for %s. ", thick, w.Mark, thick)
	like, err := a.nb.Find(ctx, procedures.Filter{Thickness: t, Within: 0.15, Limit: 1})
	if err != nil {
		return "", err
	}
	if len(like) > 0 {
		return text + fmt.Sprintf("Of about that is %s: beadwright remedy %s --from %s", like[0].Mark, said, like[0].Mark), nil
	}
	return text + "Log that bead, then ask again", nil
}

// soundsLikeAGun is what stubbing sounds like; the gate reads the words of a weapon
// in it. Where a machine gun is more than a likeness the gate still reads it.
var soundsLikeAGun = procedures.Pattern(`(?i)\blike (a )?machine[- ]?gun(s|ning)?\b|^\s*(it('s| is) )?machine[- ]?gun(s|ning)?\s*$`)

// lastWeld is the weld of a mark, else the one made last; nil if there is none.
func (a *app) lastWeld(ctx context.Context, mark string) (*procedures.Weld, error) {
	nb, err := a.existing(ctx)
	if err != nil {
		return nil, err
	}
	if mark != "" {
		if nb == nil {
			return nil, fmt.Errorf("weld %q: %w", mark, procedures.ErrNotFound)
		}
		w, _, err := nb.Weld(ctx, mark)
		if err == nil && w.Struck != "" {
			err = procedures.Invalid("from", mark, "this weld was struck: "+w.Struck, "name one that stands: beadwright find")
		}
		return &w, err
	}
	if nb == nil {
		return nil, nil
	}
	last, err := nb.Find(ctx, procedures.Filter{Limit: 1})
	if err != nil || len(last) == 0 {
		return nil, err
	}
	return &last[0], nil
}

// askAgain fills in what suggest would be asked today for the job of the weld.
func (a *app) askAgain(ctx context.Context, r *remedy.Request, units procedures.Units) error {
	r.Ask = recommend.Request{Units: units, Now: a.now()}
	var err error
	if r.Weld == nil {
		r.Ask.Machine, err = a.someMachine(ctx, "", procedures.FCAWS)
		return err
	}
	job := r.Weld.Job
	machine := job.Machine
	r.Ask.Machine = recommend.ExampleMachine(job.Process)
	if machine != "" {
		if r.Ask.Machine, err = a.machine(ctx, machine, job.Process); err != nil {
			return err
		}
	}
	if r.Ask.Last, err = a.lastOn(ctx, r.Ask.Machine); err != nil {
		return err
	}
	job.Machine, job.State = "", ""
	r.Ask.Job, r.Ask.For = job, job.For
	if spool, err := a.nb.CurrentSpool(ctx); err == nil && spool.Wire == job.Wire {
		r.Ask.Spool = spool.ID
	} else if err != nil && !errors.Is(err, procedures.ErrNotFound) {
		return err
	}
	if r.Ask.Shop, r.Past, err = a.past(ctx); err != nil {
		return err
	}
	if r.History, err = a.comparable(ctx, *r.Weld); err != nil {
		return err
	}
	r.Ask.Shop.Derive(r.History)
	if i := slices.IndexFunc(r.History, func(w procedures.Weld) bool { return w.ID == r.Weld.ID }); i >= 0 {
		r.Weld = &r.History[i]
	}
	return nil
}

// comparable are the welds that a weld is compared with, in full: those made last on
// its machine, and those of its joint and position made last up to it.
func (a *app) comparable(ctx context.Context, w procedures.Weld) ([]procedures.Weld, error) {
	const enough = 500
	latest, err := a.nb.Find(ctx, procedures.Filter{Machine: w.Job.Machine, Limit: enough})
	if err != nil {
		return nil, err
	}
	like, err := a.nb.Find(ctx, procedures.Filter{Machine: w.Job.Machine, Joint: w.Job.Joint, Position: w.Job.Position, Until: w.At, Limit: enough})
	if err != nil {
		return nil, err
	}
	known := map[string]bool{}
	for _, l := range latest {
		known[l.ID] = true
	}
	all := append(latest, slices.DeleteFunc(like, func(l procedures.Weld) bool { return known[l.ID] })...)
	slices.SortFunc(all, func(v, w procedures.Weld) int { return strings.Compare(v.ID, w.ID) })
	return all, nil
}

// notHeard asks again, with the three questions that tell most.
func notHeard(said string) error {
	hints := []string{procedures.Way("smell, smoke, shock, hurt: stop and unplug, then say that word: beadwright remedy smoke", "smell, smoke, shock, hurt: stop and unplug, then say that word here: smoke")}
	if meant := procedures.Meant(said); meant != "" {
		hints = append(hints, procedures.Way("did you mean: beadwright remedy "+meant, "did you mean: "+meant))
	}
	for _, q := range remedy.Questions() {
		hints = append(hints, q.Text+" Such as: "+strings.Join(q.Answers, "; "))
	}
	return procedures.Invalid("words", said, "that names nothing I know of a bead or a machine", hints...)
}

// remedyCautions are what must be told along with a remedy.
func remedyCautions(adv remedy.Advice, r remedy.Request) []caution.Caution {
	if adv.Refused() {
		return adv.Next.Cautions
	}
	var list []caution.Caution
	if len(adv.Looks()) > 0 {
		list = append(list, caution.Caution{Level: caution.Care, Key: "live-wire",
			Text: "Before a hand goes to tip, roll, wire or clamp: " + caution.LiveWire(r.Ask.Machine), Source: []string{"CP"}})
	}
	if r.Weld == nil {
		_, cares := caution.Gate(caution.Request{Words: r.Ask.Words})
		return slices.Concat(list, cares, caution.Standing(procedures.Job{}, 0, r.Ask.Machine))
	}
	return append(list, adv.Next.Cautions...)
}

func (o *advised) cite() {
	add := func(ids []string) {
		for _, id := range ids {
			o.Sources[id] = data.Cite(id)[0]
		}
	}
	for _, t := range o.Troubles {
		for _, d := range t.Do {
			add(d.Source)
		}
	}
	for _, c := range o.Causes {
		add(c.Source)
	}
	for _, s := range []*remedy.Step{o.Step, o.Then} {
		if s != nil {
			add(s.Source)
		}
	}
	for _, c := range o.Cautions {
		add(c.Source)
	}
}
