package main

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"

	"github.com/google/uuid"
	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

type suggestOptions struct {
	job     jobFlags
	machine string
	why     bool
	batch   string
}

func newSuggest(a *app) *cobra.Command {
	var o suggestOptions
	cmd := &cobra.Command{
		Use:   "suggest [WORDS...]",
		Short: "Starting settings for a joint",
		Long: `Suggest starting settings for a joint, from published tables and from your own
welds. Say thickness, steel, joint and position in any order, in your own words.

Exit status: 0 settings given; 2 not understood; 3 none given, on purpose: on the
stop list, or outside every table.`,
		Example: `  beadwright suggest 1/8 mild tee flat
  beadwright suggest 16ga tube to 1/8 plate lap vertical down
  beadwright suggest 11ga plain butt --wire "0.030 E71T-GS" --length 24in`,
		RunE: func(cmd *cobra.Command, args []string) error { return a.suggest(cmd.Context(), o, args) },
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return append(append(keys(procedures.Joints()), keys(procedures.Positions())...), steelKeys()...), cobra.ShellCompDirectiveNoFileComp
		},
	}
	o.job.add(cmd.Flags())
	cmd.Flags().StringVar(&o.machine, "machine", "", "the machine's name (default the one in use)")
	cmd.Flags().BoolVar(&o.why, "why", false, "say where each part of the shift comes from, and how past suggestions did")
	cmd.Flags().StringVar(&o.batch, "batch", "", "answer the questions of a JSON `FILE` without a notebook; see DEVELOPERS.md")
	o.job.complete(cmd, a)
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// answer is a suggestion as it is printed: with what was assumed and the
// citations behind the source ids.
type answer struct {
	recommend.Suggestion
	Assumed []string          `json:"assumed"`
	Wire    []string          `json:"consumables"` // what spool and tip want first
	Sources map[string]string `json:"sources"`
	machine procedures.Machine
	why     bool // all reasons and sources, not only the leading ones
}

func (a *app) suggest(ctx context.Context, o suggestOptions, args []string) error {
	if o.batch != "" {
		return a.batch(o.batch)
	}
	go caution.Gate(caution.Request{}) // sets up its tables while the notebook is read
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	r, assumed, refused, err := a.question(ctx, o.job, o.machine, args, units)
	if refused != nil {
		return a.printAnswer(*refused, units)
	}
	if err != nil {
		return err
	}
	past, err := a.asker(ctx)
	if err != nil {
		return err
	}
	s, err := past.Suggest(r)
	if err != nil {
		return err
	}
	ans := newAnswer(s, assumed, r.Machine)
	ans.why = o.why
	if s.Given() {
		if ans.Wire, err = a.supply(ctx, r.Spool, r.Machine, procedures.Grams(s.Expect.JobWire), units); err != nil {
			return err
		}
		a.keep(ctx, &ans)
	}
	if err := a.printAnswer(ans, units); err != nil || a.json || !o.why {
		return err
	}
	return a.printWhy(ctx, s, len(past.History()))
}

// question reads what is asked of the recommender: the job, whole, with the wire and
// the machine in use where none is said, and what was assumed. The gate comes before
// every question back: where it stops, refused is its answer, for a hitch is not asked
// how thick it is.
func (a *app) question(ctx context.Context, f jobFlags, machine string, args []string, units procedures.Units) (r recommend.Request, assumed []string, refused *answer, err error) {
	reading, words, err := f.read(ctx, a, args, units)
	if err == nil {
		err = reading.Complete()
	}
	r = recommend.Request{Job: reading.Job, Words: words, For: f.use, Units: units, Now: a.now()}
	if err == nil {
		assumed, err = a.atHand(ctx, &r, machine)
	}
	if err != nil {
		r.Words = strings.Join(append(args, f.coating, f.steel, words), " ")
		return r, nil, refusal(r), err
	}
	r.Last, err = a.lastOn(ctx, r.Machine)
	return r, append(reading.Assumed, assumed...), nil, err
}

// anySize is question for what is drawn or printed of many thicknesses: what was said
// need not be complete, and neither wire nor machine is filled in.
func (a *app) anySize(ctx context.Context, f jobFlags, args []string, units procedures.Units) (reading procedures.Reading, bare recommend.Request, refused *answer, err error) {
	reading, words, err := f.read(ctx, a, args, units)
	if err != nil {
		words = strings.Join(append(args, f.coating, f.steel, words), " ")
	}
	bare = recommend.Request{Job: reading.Job, Words: words, For: f.use, Units: units}
	return reading, bare, refusal(bare), err
}

// refusal is the answer where the gate stops a request; else nil.
func refusal(r recommend.Request) *answer {
	s, _ := recommend.Suggest(r, nil)
	if s.Verdict != recommend.Refused {
		return nil
	}
	ans := newAnswer(s, nil, procedures.Machine{})
	return &ans
}

// atHand fills in the wire and the machine, those in use where none is said, and says
// what was assumed.
func (a *app) atHand(ctx context.Context, r *recommend.Request, machine string) (assumed []string, err error) {
	var wire string
	if r.Spool, wire, err = a.fillWire(ctx, &r.Job); err != nil {
		return nil, err
	}
	if wire != "" {
		assumed = []string{"wire " + wire}
	}
	r.Machine, err = a.working(ctx, machine, r.Job.Process)
	return assumed, err
}

// printWhy says where the shift comes from, out of how many welds, and how past
// suggestions did.
func (a *app) printWhy(ctx context.Context, s recommend.Suggestion, welds int) error {
	a.printf("\nshift\n")
	if len(s.Evidence.Parts) == 0 {
		a.bullet("none: no weld of yours speaks for another wire speed than the table's", nil)
	}
	for _, p := range s.Evidence.Parts {
		a.bullet(fmt.Sprintf("%s: %+.1f %%", p.From, p.Percent), nil)
	}
	if a.nb == nil {
		return nil
	}
	if at, err := a.nb.Version(ctx); err != nil {
		return err
	} else if at.Welds > store.AllLessons {
		a.line("looked at", fmt.Sprintf("%d of your welds: the latest, the latest of each joint, thickness, position and machine, and those tested or failed", welds))
	}
	followed, good, err := a.nb.TrackRecord(ctx)
	if err != nil {
		return err
	}
	if followed > 0 {
		a.line("record", fmt.Sprintf("of %d suggestions followed and rated, %d came out good at the first bead", followed, good))
	}
	return nil
}

// lastOn is the last weld made on a machine, words and all; nil: none.
func (a *app) lastOn(ctx context.Context, m procedures.Machine) (*procedures.Weld, error) {
	f := procedures.Filter{Machine: m.Name, Limit: 1}
	if m.Example {
		f.Machine = "" // welds of no machine are made on the example
	}
	if a.nb == nil {
		return nil, nil
	}
	last, err := a.nb.Find(ctx, f)
	if err != nil || len(last) == 0 {
		return nil, err
	}
	if note := last[0].Outcome.Note; note != "" && a.memory == nil {
		go procedures.Hear(note) // sets up its tables while the other welds are read
	}
	return &last[0], nil
}

// past is what the notebook holds for a recommender: the machines with all their
// states, and the welds that are learned from. Neither is to be changed.
func (a *app) past(ctx context.Context) (recommend.Shop, recommend.History, error) {
	asker, err := a.asker(ctx)
	if err != nil {
		return nil, nil, err
	}
	return asker.Shop(), asker.History(), nil
}

// shop is the machines with all their states.
func (a *app) shop(ctx context.Context) (recommend.Shop, error) {
	machines, err := a.nb.Machines(ctx)
	if err != nil {
		return nil, err
	}
	var shop recommend.Shop
	for _, m := range machines {
		states, err := a.nb.States(ctx, m.Name)
		if err != nil {
			return nil, err
		}
		shop = append(shop, recommend.ShopMachine{Machine: m, States: states})
	}
	return shop, nil
}

// derive puts in the wire speed that the measured knob gives for the marks that
// the welds were made at.
func (a *app) derive(ctx context.Context, welds []procedures.Weld) error {
	machines, err := a.nb.Machines(ctx)
	dials := dialsOf(machines)
	for i := range welds {
		dials.Derive(&welds[i])
	}
	return err
}

// dialsOf are the measured knobs of machines.
func dialsOf(machines []procedures.Machine) *recommend.Dials {
	var shop recommend.Shop
	for _, m := range machines {
		shop = append(shop, recommend.ShopMachine{Machine: m})
	}
	return shop.Dials()
}

// keep stores the suggestion, so that log can follow it. The answer matters more
// than the keeping: a notebook that cannot be written is told, not failed on.
func (a *app) keep(ctx context.Context, ans *answer) {
	id, err := uuid.NewV7()
	if err == nil {
		ans.ID = id.String()
		var doc json.RawMessage
		if doc, err = json.Marshal(ans); err == nil {
			var nb *store.Notebook
			if nb, err = a.notebook(ctx); err == nil {
				_, err = nb.SaveSuggestion(ctx, store.Suggestion{ID: ans.ID, At: a.now(), Job: ans.Job, Settings: ans.Settings, Verdict: string(ans.Verdict), Document: doc})
			}
		}
	}
	if err != nil {
		ans.ID = ""
		a.warn("this suggestion was not kept, so log cannot follow it: %s", oneLine(err.Error()))
	}
}

func newAnswer(s recommend.Suggestion, assumed []string, m procedures.Machine) answer {
	ans := answer{Suggestion: s, Assumed: assumed, Wire: []string{}, Sources: map[string]string{}, machine: m}
	if ans.Assumed == nil {
		ans.Assumed = []string{}
	}
	cite := func(ids []string) {
		for _, id := range ids {
			ans.Sources[id] = data.Cite(id)[0]
		}
	}
	cite(s.Table.Source)
	for _, r := range s.Because {
		cite(r.Source)
	}
	for _, c := range s.Cautions {
		cite(c.Source)
	}
	return ans
}

func (a *app) printAnswer(ans answer, units procedures.Units) error {
	var err error
	switch {
	case a.json:
		err = a.printJSON(ans)
	case ans.Given():
		a.printSettings(ans, units, ans.why)
	default:
		a.printRefusal(ans, units)
	}
	if err == nil && !ans.Given() {
		return errNoSettings
	}
	return err
}
