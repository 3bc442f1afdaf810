package main

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
	"beadwright/recommend/steel"
)

type findOptions struct {
	thickness, within, steel, joint, position, wire, machine, state, rating, symptom, since, limit string
	struck                                                                                         bool
}

func newFind(a *app) *cobra.Command {
	var o findOptions
	cmd := &cobra.Command{
		Use:   "find [WORDS...]",
		Short: "Past welds, by thickness, joint, steel or any words",
		Long: `Find past welds. Words that say a thickness, joint, position or steel narrow the
search to such welds and to similar steel; other words are looked for in
everything written down, slips of the keyboard forgiven; 4+ or rating 4 is a rating.
No words: all welds, the latest first. An empty search is done, not failed.`,
		Example: `  beadwright find 1/8 tee
  beadwright find --thickness 1/8 --within 20% --rating 4+
  beadwright find flxu bracket`,
		RunE: func(cmd *cobra.Command, args []string) error { return a.find(cmd.Context(), o, args) },
	}
	f := cmd.Flags()
	f.StringVar(&o.thickness, "thickness", "", "1/8, 3mm, 11ga plain")
	f.StringVar(&o.within, "within", "10%", "how far off the thickness may be")
	f.StringVar(&o.steel, "steel", "", "this steel and similar ones")
	f.StringVar(&o.joint, "joint", "", "tee, lap, butt, corner, edge")
	f.StringVar(&o.position, "position", "", "flat, horizontal, vertical up ...")
	f.StringVar(&o.wire, "wire", "", "class, size or both: E71T-11, 0.035")
	f.StringVar(&o.machine, "machine", "", "the machine's name")
	f.StringVar(&o.state, "state", "", "as the machine stood, by number: 2 (see: machine show); now: as it stands")
	f.StringVar(&o.rating, "rating", "", "4, 4+ or 2..4")
	f.StringVar(&o.symptom, "symptom", "", "in your words")
	f.StringVar(&o.since, "since", "", "2026-05-01, or 30d, 8w")
	f.StringVar(&o.limit, "limit", "20", "at most so many; 0 for all")
	f.BoolVar(&o.struck, "struck", false, "struck welds too")
	a.completesFrom(cmd, "joint", func() []string { return keys(procedures.Joints()) })
	a.completesFrom(cmd, "position", func() []string { return keys(procedures.Positions()) })
	a.completesFrom(cmd, "steel", steelKeys)
	a.completesFrom(cmd, "symptom", procedures.SymptomKeys)
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// hit is a weld found, with why it is like what was asked.
type hit struct {
	procedures.Weld
	Why   []string `json:"why"`
	State string   `json:"state"` // of its machine, in words; null where the machine has had but one
}

func (a *app) find(ctx context.Context, o findOptions, args []string) error {
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	if o.rating == "" {
		args, o.rating = takeRating(args)
	}
	f, err := a.filter(o, args, units)
	if err != nil {
		return err
	}
	nb, err := a.existing(ctx)
	if err != nil {
		return err
	}
	if o.machine != "" && nb != nil {
		if _, err := nb.Machine(ctx, o.machine); err != nil {
			return &usageError{err: err, hints: []string{"those that there are: beadwright machine list"}}
		}
	}
	asked := f
	if o.state != "" {
		if f.Machine, f.State, err = a.stateNumbered(ctx, o.machine, o.state); err != nil {
			return err
		}
	}
	hits, total := []hit{}, 0
	if nb != nil {
		var found []procedures.Weld
		if found, total, err = a.first(ctx, nb, f); err != nil {
			return err
		}
		if text := strings.Join(args, " "); total == 0 && f.Words != text {
			f = procedures.Filter{Words: text, RatingMin: f.RatingMin, RatingMax: f.RatingMax, State: f.State, Since: f.Since, Struck: f.Struck, Limit: f.Limit}
			if found, total, err = a.first(ctx, nb, f); err != nil {
				return err
			}
		}
		if err := a.derive(ctx, found); err != nil {
			return err
		}
		stateOf := a.statesSaid(ctx)
		for _, w := range found {
			state, err := stateOf(w.Job)
			if err != nil {
				return err
			}
			hits = append(hits, hit{w, why(f, w), state})
		}
	}
	if a.json {
		return a.printJSON(map[string]any{"welds": hits, "total": total})
	}
	if total == 0 {
		return a.sayNothing(ctx, nb, asked)
	}
	for _, h := range hits {
		a.printHit(h, units)
	}
	if len(hits) < total {
		a.printf("%d of %d; more: --limit 0\n", len(hits), total)
	}
	var names []string
	for _, h := range hits {
		names = appendOnce(names, h.Job.Machine)
	}
	a.storedCharges(ctx, names...)
	return nil
}

// filter reads words and flags into a search.
func (a *app) filter(o findOptions, args []string, units procedures.Units) (procedures.Filter, error) {
	f := procedures.Filter{Struck: o.struck, Machine: o.machine}
	var err error
	if f.Limit, err = strconv.Atoi(strings.TrimSpace(o.limit)); err != nil || f.Limit < 0 {
		return f, procedures.Invalid("limit", o.limit, "not a number of welds", "accepted: 20, or 0 for all")
	}
	j := jobFlags{thickness: o.thickness, joint: o.joint, position: o.position, steel: o.steel}
	flags, err := j.words(nil, units)
	if err != nil {
		return f, err
	}
	fromFlags, err := procedures.ReadJob(flags, units, recommend.Lexicon())
	if err != nil {
		return f, err
	}
	if len(fromFlags.Unknown) > 0 {
		return f, unknownWords(fromFlags.Unknown)
	}
	if o.thickness != "" {
		if fromFlags.Job.Thickness, _, _, err = j.part("thickness", o.thickness, units); err != nil {
			return f, err
		}
	}
	narrow(&f, fromFlags.Job)
	text := strings.Join(args, " ")
	said, err := procedures.ReadJob(text, units, recommend.Lexicon())
	if ask := whichUnit(err, text, units); ask != nil {
		return f, ask
	}
	if err != nil { // 16 ga: a search need not know of the zinc
		said, err = procedures.ReadJob(text+" plain", units, recommend.Lexicon())
	}
	if err == nil && (said.Job.Coating == "" || said.Job.Coating == procedures.Bare) && said.Job.For == "" {
		narrow(&f, said.Job)
		f.Words = strings.Join(said.Unknown, " ")
	} else {
		f.Words = text // words that ask a question of a job are plain words to a search
	}
	if o.within != "" {
		p, err := procedures.ParsePercent("within", o.within)
		if err != nil {
			return f, err
		}
		f.Within = float64(p) / 100
	}
	if o.wire != "" {
		r, err := procedures.ReadJob(o.wire, units, recommend.Lexicon())
		w := r.Job.Wire
		if w.Diameter == 0 {
			w.Diameter = r.Job.Thickness
		}
		if w.Class == "" && err == nil { // a size alone
			w.Diameter, err = procedures.ParseLength("wire", o.wire, units)
		}
		if err != nil || len(r.Unknown) > 0 || w == (procedures.Wire{}) {
			return f, procedures.Invalid("wire", o.wire, "not understood as a wire", "accepted: E71T-11, 0.035, or 0.035 E71T-11")
		}
		f.WireClass, f.WireDiameter = w.Class, w.Diameter
	}
	if o.rating != "" {
		if f.RatingMin, f.RatingMax, err = parseRatings(o.rating); err != nil {
			return f, err
		}
	}
	if o.symptom != "" {
		if f.Symptom, err = procedures.ParseSymptom(o.symptom); err != nil {
			return f, err
		}
	}
	if o.since != "" {
		if f.Since, err = a.parseSince(o.since); err != nil {
			return f, err
		}
	}
	return f, f.Validate()
}

// stateNumbered is the name of a machine, the one in use where none is named, and
// the id of its state of that number.
func (a *app) stateNumbered(ctx context.Context, machine, said string) (name, id string, err error) {
	m, err := a.machine(ctx, machine, procedures.FCAWS)
	if err != nil {
		return "", "", err
	}
	if m.Example {
		return "", "", procedures.Invalid("state", said, "no machine is written down yet, so it has no states", beginMachine)
	}
	if strings.EqualFold(said, "now") {
		return m.Name, m.State.ID, nil
	}
	states, err := a.nb.States(ctx, m.Name)
	if err != nil {
		return "", "", err
	}
	for _, s := range states {
		if strconv.Itoa(s.Number) == strings.TrimSpace(said) {
			return m.Name, s.ID, nil
		}
	}
	return "", "", procedures.Invalid("state", said, m.Name+" has had no such state", fmt.Sprintf("accepted: 1 to %d, or: now; see: beadwright machine show %s", m.State.Number, m.Name))
}

// first finds the first welds that fit, and counts all that do. Asked of a joint,
// what worked comes first.
func (a *app) first(ctx context.Context, nb *store.Notebook, f procedures.Filter) (found []procedures.Weld, total int, err error) {
	best := f.Words == "" && (f.Thickness > 0 || f.Joint != "")
	if a.memory != nil && !f.Struck && f.Limit > 0 && f.Limit <= pageLimit {
		if found, total, ok, err := a.page(ctx, f, best); ok || err != nil {
			return found, total, err
		}
	}
	return nb.Page(ctx, f, best)
}

// narrow takes what a job says into the search; a steel brings its like.
func narrow(f *procedures.Filter, j procedures.Job) {
	if j.Thickness != 0 {
		f.Thickness = j.Thickness
	}
	if j.Joint != "" {
		f.Joint = j.Joint
	}
	if j.Position != "" {
		f.Position = j.Position
	}
	if j.Class != "" {
		f.WireClass = j.Class
	}
	if j.Diameter != 0 {
		f.WireDiameter = j.Diameter
	}
	if j.Steel == "" {
		return
	}
	f.Steels = []string{j.Steel}
	mine, err := steel.Find(j.Steel)
	if err != nil {
		return
	}
	for _, key := range steelKeys() {
		other, err := steel.Find(key)
		if err != nil || key == j.Steel {
			continue
		}
		if like, err := steel.Compare(steel.Sample{Steel: mine}, steel.Sample{Steel: other}); err == nil && like.Alike {
			f.Steels = append(f.Steels, key)
		}
	}
}

// why says in what a weld is like what was asked.
func why(f procedures.Filter, w procedures.Weld) []string {
	out := []string{}
	if f.Thickness > 0 {
		near := w.Job.Thickness
		if o := w.Job.OtherThickness; o > 0 && math.Abs(float64(o-f.Thickness)) < math.Abs(float64(near-f.Thickness)) {
			near = o
		}
		if off := math.Round(100 * float64(near/f.Thickness-1)); off == 0 {
			out = append(out, "same thickness")
		} else {
			out = append(out, fmt.Sprintf("thickness %+.0f %%", off))
		}
	}
	if len(f.Steels) > 0 {
		if w.Job.Steel == f.Steels[0] {
			out = append(out, "same steel")
		} else if mine, err := steel.Find(f.Steels[0]); err == nil {
			if other, err := steel.Find(w.Job.Steel); err == nil {
				if like, err := steel.Compare(steel.Sample{Steel: mine}, steel.Sample{Steel: other}); err == nil {
					out = append(out, like.Why)
				}
			}
		}
	}
	if f.Joint != "" && w.Job.Joint == f.Joint {
		out = append(out, "same joint")
	}
	if f.Words != "" {
		out = append(out, "words match: "+f.Words)
	}
	return out
}

// statesSaid is [app.stateText] that asks once for each state.
func (a *app) statesSaid(ctx context.Context) func(procedures.Job) (string, error) {
	said := map[[2]string]string{}
	return func(j procedures.Job) (string, error) {
		key := [2]string{j.Machine, j.State}
		if text, ok := said[key]; ok {
			return text, nil
		}
		text, err := a.stateText(ctx, j)
		said[key] = text
		return text, err
	}
}

func (a *app) printHit(h hit, units procedures.Units) {
	rating := ratingNames[h.Outcome.Rating]
	for _, t := range h.Outcome.Tests {
		if t.Passed {
			rating += ", " + t.Kind + " passed"
		} else {
			rating += ", " + t.Kind + " FAILED"
		}
	}
	if t := h.Outcome.Thirds; t != nil {
		rating += " (" + t.String() + ")"
	}
	if !h.Outcome.FailedInUse.IsZero() {
		rating += ", FAILED IN USE"
	}
	if h.Struck != "" {
		rating = "STRUCK (" + h.Struck + "), " + rating
	}
	a.line(h.Mark, list(h.At.Local().Format("2006-01-02"), rating, strings.Join(h.Outcome.Symptoms, ", ")))
	a.line("", list(describeJob(h.Job, units), h.Job.Wire.String()))
	if set := setLine(h.Settings, units); set != "" {
		a.line("", set)
	}
	if h.State != "" {
		a.line("", "state: "+h.State)
	}
	if h.Outcome.Note != "" {
		a.line("", "note: "+h.Outcome.Note)
	}
	if len(h.Why) > 0 {
		a.line("", "found: "+strings.Join(h.Why, "; "))
	}
}

// parseRatings reads 4, 4+ or 2..4.
func parseRatings(s string) (lo, hi int, err error) {
	bad := procedures.Invalid("rating", s, "not a rating to look for", "accepted: 4, 4+ or 2..4, from 1 to 5")
	one := func(t string) int {
		n, err := strconv.Atoi(strings.TrimSpace(t))
		if err != nil || n < 1 || n > 5 {
			return 0
		}
		return n
	}
	switch from, to, span := strings.Cut(s, ".."); {
	case span:
		lo, hi = one(from), one(to)
	case strings.HasSuffix(s, "+"):
		lo, hi = one(strings.TrimSuffix(s, "+")), 5
	default:
		lo = one(s)
		hi = lo
	}
	if lo == 0 || hi == 0 {
		return 0, 0, bad
	}
	return lo, hi, nil
}

// parseSince reads a day, or so many days or weeks ago.
func (a *app) parseSince(s string) (time.Time, error) {
	t := strings.ToLower(strings.TrimSpace(s))
	for unit, days := range map[string]int{"d": 1, "w": 7} {
		if n, err := strconv.Atoi(strings.TrimSuffix(t, unit)); err == nil && strings.HasSuffix(t, unit) && n > 0 && n < 20000 {
			return a.now().AddDate(0, 0, -n*days), nil
		}
	}
	when, err := parseTime("since", s, a.now())
	if err != nil {
		return when, procedures.Invalid("since", s, "not a day in the past", "accepted: 2026-05-01, 30d (days), 8w (weeks)")
	}
	return when, nil
}
