package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

func newShow(a *app) *cobra.Command {
	return &cobra.Command{
		Use: "show MARK", Short: "One weld, whole, with its corrections", Example: "  beadwright show A1", Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error { return a.show(cmd.Context(), args[0]) },
	}
}

func (a *app) show(ctx context.Context, mark string) error {
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	w, amendments, err := nb.Weld(ctx, mark)
	if err != nil {
		return err
	}
	reratings, err := nb.Reratings(ctx, w.ID)
	if err != nil {
		return err
	}
	followups, err := nb.FollowUps(ctx, w.ID)
	if err != nil {
		return err
	}
	photos, err := nb.Photos(ctx, w.ID)
	if err != nil {
		return err
	}
	now := []procedures.Weld{w}
	if err := a.derive(ctx, now); err != nil {
		return err
	}
	w = now[0]
	gone, err := a.goneOf(ctx, w)
	if err != nil {
		return err
	}
	broken, err := afterFailure(ctx, nb, w)
	if err != nil {
		return err
	}
	m, err := a.machineOf(ctx, w.Job)
	if err != nil {
		return err
	}
	doubts := a.doubts(w, m, units)
	if a.json {
		return a.printJSON(map[string]any{"weld": w, "doubts": doubts, "means": broken.Means, "same": broken.Same, "cautions": broken.Cautions, "withdrawn": gone, "amendments": append([]procedures.Amendment{}, amendments...), "photos": append([]procedures.Photo{}, photos...), "reratings": append([]procedures.Rerating{}, reratings...), "followups": append([]procedures.FollowUp{}, followups...)})
	}
	a.line(w.Mark, w.At.Local().Format("2006-01-02 15:04"))
	a.printWeld(w, units)
	a.printPhotos(photos)
	if text, err := a.stateText(ctx, w.Job); err != nil {
		return err
	} else if text != "" {
		a.line("state", text)
	}
	if w.Struck != "" {
		a.line("struck", w.Struck)
	}
	for _, text := range slices.Concat(gone, doubts) {
		a.line("mind", text)
	}
	defer a.storedCharges(ctx, w.Job.Machine)
	a.printLater(reratings, followups)
	a.lookAt(broken)
	a.printCautions(broken.Cautions)
	for _, m := range amendments {
		if text := amendmentWords(m, units); text != "" {
			a.line("amended", m.At.Local().Format("2006-01-02 15:04")+" "+text)
		}
	}
	return nil
}

// stateText says which state of its machine a weld was made in; "" where that is
// the first and only one.
func (a *app) stateText(ctx context.Context, j procedures.Job) (string, error) {
	if j.Machine == "" {
		return "", nil
	}
	states, err := a.nb.States(ctx, j.Machine)
	if err != nil || len(states) < 2 {
		return "", err
	}
	now := states[len(states)-1]
	for _, s := range states {
		if s.ID != j.State {
			continue
		}
		text := fmt.Sprintf("%d (%s)", s.Number, s.What)
		if s.ID != now.ID {
			text += fmt.Sprintf("; %s is in state %d now (%s), so this proves nothing of it as it stands", j.Machine, now.Number, now.What)
		}
		return text, nil
	}
	return "", nil
}

// printLater prints what was seen of a weld after it was logged.
func (a *app) printLater(reratings []procedures.Rerating, followups []procedures.FollowUp) {
	for _, r := range reratings {
		how := "looked at again"
		if r.Blind {
			how = "looked at again, blind"
		}
		a.line("rated", list(fmt.Sprintf("%s %d", r.At.Local().Format(time.DateOnly), r.Rating), how, r.Note))
	}
	for _, f := range followups {
		word := "held"
		if !f.Held {
			word = "FAILED"
		}
		a.line("told", list(f.At.Local().Format(time.DateOnly)+" "+word, f.Note))
	}
}

// amendmentWords says what a correction changed; "" for how a value was got and how it
// was said, which go with the value, and for the state, which goes with the machine.
func amendmentWords(m procedures.Amendment, units procedures.Units) string {
	name := m.Field[strings.LastIndex(m.Field, ".")+1:]
	switch {
	case name == "struck" && m.New == "":
		return "put back, and counts again"
	case name == "struck":
		return "struck: " + m.New
	}
	if name == "how" || m.Field == "job.state" || strings.HasSuffix(name, "_said") {
		return ""
	}
	say := func(v string) string {
		n, err := strconv.ParseFloat(v, 64)
		switch {
		case v == "":
			return "nothing"
		case err != nil:
			return v
		case name == "wire_speed_m_min":
			return procedures.FormatWireSpeed(procedures.MPerMin(n), units)
		case strings.HasSuffix(name, "_mm"):
			return procedures.FormatLength(procedures.MM(n), units)
		}
		return strconv.FormatFloat(procedures.Round(n), 'f', -1, 64)
	}
	label := strings.TrimSuffix(strings.TrimSuffix(name, "_m_min"), "_mm")
	return fmt.Sprintf("%s: %s -> %s", strings.ReplaceAll(label, "_", " "), say(m.Old), say(m.New))
}

// ratingNames are the marks of [procedures.Outcome] in words.
var ratingNames = [...]string{"not rated", "1 scrap", "2 ugly or in doubt", "3 would do", "4 good", "5 as good as I can"}

// printWeld prints what a weld was, how it was made and how it turned out.
func (a *app) printWeld(w procedures.Weld, units procedures.Units) {
	a.line("job", describeJob(w.Job, units))
	a.line("wire", list(w.Job.Wire.String(), after("on ", w.Job.Machine)))
	if text := setLine(w.Settings, units); text != "" {
		a.line("set", list(text, ifKnown("stick-out ", float64(w.Settings.Extension), procedures.FormatRuler(w.Settings.Extension, units)), paceText(w.Settings.Travel, units), measuredText(w.Settings)))
	}
	if w.ArcTime > 0 {
		a.line("arc", arcText(w.ArcTime))
	}
	a.line("rating", list(ratingNames[w.Outcome.Rating], strings.Join(w.Outcome.Symptoms, ", ")))
	if t := w.Outcome.Thirds; t != nil {
		a.line("thirds", t.String())
	}
	if text := recommend.Uneven(w.Outcome); text != "" {
		a.line("means", text)
	}
	for _, t := range w.Outcome.Tests {
		result := "failed"
		if t.Passed {
			result = "passed"
		}
		a.line("test", fmt.Sprintf("%s %s (%s)", t.Kind, result, t.Result))
	}
	if when := w.Outcome.FailedInUse; !when.IsZero() {
		a.line("in use", "FAILED ("+when.Local().Format(time.DateOnly)+"): it counts as a failed test, whatever the coupon did")
	}
	for _, f := range []struct{ word, text string }{
		{"leg", ifKnown("", float64(w.Outcome.Leg), procedures.FormatLength(w.Outcome.Leg, units))}, {"for", w.Job.For}, {"note", w.Outcome.Note}, {"photo", w.Outcome.Photo},
	} {
		if f.text != "" {
			a.line(f.word, f.text)
		}
	}
}

// measuredText says the amps and volts that were measured.
func measuredText(set procedures.Settings) string {
	var parts []string
	if set.How["current_A"] == procedures.Measured {
		parts = append(parts, fmt.Sprintf("%.0f A measured", float64(set.Current)))
	}
	if set.How["voltage_V"] == procedures.Measured {
		parts = append(parts, fmt.Sprintf("%.1f V measured", float64(set.Voltage)))
	}
	return strings.Join(parts, ", ")
}

func newAmend(a *app) *cobra.Command {
	var o amendFlags
	cmd := &cobra.Command{
		Use: "amend MARK FLAGS", Short: "Correct a weld; the old value is kept",
		Example: "  beadwright amend A1 --rating 3 --test break='root line'\n  beadwright amend A1 --machine shed --tap low --not-symptom spatter",
		Args:    cobra.ExactArgs(1),
	}
	cmd.RunE = func(cmd *cobra.Command, args []string) error { return a.amend(cmd.Context(), args[0], o) }
	o.job.add(cmd.Flags())
	o.weld.add(cmd.Flags())
	cmd.Flags().StringVar(&o.machine, "machine", "", "the machine that it was made with")
	cmd.Flags().StringArrayVar(&o.not, "not-symptom", nil, "take off what was not seen after all; may be repeated")
	o.job.complete(cmd, a)
	completeWeld(cmd, a)
	a.completesFrom(cmd, "not-symptom", procedures.SymptomKeys)
	a.completes(cmd, "machine", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return a.machineNames(cmd.Context()), cobra.ShellCompDirectiveNoFileComp
	})
	return cmd
}

// amendFlags are what may be said of a weld that was made.
type amendFlags struct {
	job     jobFlags
	weld    weldFlags
	machine string
	not     []string // symptoms that it has not
}

// movedTo says of a weld that it was made with another machine: what hung on the
// curve and the volts of the first goes.
func movedTo(w *procedures.Weld, m procedures.Machine, flags *weldFlags) error {
	w.Job.Machine = m.Name
	set := &w.Settings
	if t, ok := tapSaid(m, set.Tap); ok {
		set.Tap = t.Name
	} else if set.Tap != "" && flags.tap == "" && len(m.Taps) > 0 {
		return procedures.Invalid("tap", set.Tap, m.Name+" has no such tap", "say which it was: --tap "+strings.Join(m.TapNames(), ", --tap "))
	}
	if set.How["wire_speed_m_min"] == procedures.OwnCurve {
		set.WireSpeed = 0
		delete(set.How, "wire_speed_m_min")
	}
	if set.How["voltage_V"] != procedures.Measured {
		set.Voltage = 0
		delete(set.How, "voltage_V")
	}
	if set.How["current_A"] != procedures.Measured {
		set.Current = 0
		delete(set.How, "current_A")
	}
	return nil
}

// takeOff takes symptoms off a weld that has them.
func takeOff(out *procedures.Outcome, wrong []string) error {
	for _, said := range wrong {
		key, err := procedures.ParseSymptom(said)
		if err != nil {
			return err
		}
		i := slices.Index(out.Symptoms, key)
		if i < 0 {
			has := strings.Join(out.Symptoms, ", ")
			if has == "" {
				has = "none"
			}
			return procedures.Invalid("not-symptom", said, "this weld has no such symptom", "it has: "+has)
		}
		out.Symptoms = slices.Delete(out.Symptoms, i, i+1)
	}
	return nil
}

func (a *app) amend(ctx context.Context, mark string, o amendFlags) error {
	job, flags := &o.job, &o.weld
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return err
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	words, err := job.words(nil, units)
	if err != nil {
		return err
	}
	reading, _, err := job.read(ctx, a, nil, units)
	if words != "" && err != nil {
		return err
	}
	shots, err := readShots(flags.photos)
	if err != nil {
		return err
	}
	w, made, photos, err := nb.AmendWithPhotos(ctx, mark, taken(shots), func(w *procedures.Weld) error {
		name := w.Job.Machine
		if o.machine != "" {
			name = o.machine
		}
		m, err := a.someMachine(ctx, name, w.Job.Process)
		if err != nil {
			return err
		}
		if o.machine != "" && m.Name != w.Job.Machine {
			if err := movedTo(w, m, flags); err != nil {
				return err
			}
		}
		if err := takeOff(&w.Outcome, o.not); err != nil {
			return err
		}
		overlay(&w.Job, reading.Job)
		if err := job.apply(ctx, a, &w.Job, units); err != nil {
			return err
		}
		return flags.apply(w, m, units, a.now())
	})
	if err != nil {
		return err
	}
	if a.json {
		if made == nil {
			made = []procedures.Amendment{}
		}
		return a.printJSON(map[string]any{"mark": w.Mark, "weld": w, "amendments": made, "photos": photos})
	}
	if flags.note != "" || len(flags.symptoms) > 0 {
		a.tellDanger(w)
	}
	a.printPhotos(photos)
	if len(made)+len(photos) == 0 {
		a.printf("%s stands as it was: nothing different was said\n", w.Mark)
		return nil
	}
	if len(made) > 0 {
		a.printf("amended %s\n", w.Mark)
	}
	for _, m := range made {
		if text := amendmentWords(m, units); text != "" {
			a.bullet(text, nil)
		}
	}
	a.tellAmended(w, made)
	return nil
}

// tellAmended says of a weld what its log entry would have said, where that is told
// only now: what it is for, what was on it, what was seen in it.
func (a *app) tellAmended(w procedures.Weld, made []procedures.Amendment) {
	amended := func(fields ...string) bool {
		return slices.ContainsFunc(made, func(m procedures.Amendment) bool {
			return slices.Contains(fields, m.Field[strings.LastIndex(m.Field, ".")+1:])
		})
	}
	if amended("symptoms", "tests", "rating") {
		a.tellOutweighed(w)
	}
	if !amended("for", "coating", "steel", "note") {
		return
	}
	stops, _ := caution.Gate(caution.Request{Words: w.Outcome.Note, For: w.Job.For, Job: w.Job})
	a.printCautions(stops)
	if len(stops) > 0 {
		a.printf("it is kept as a practice coupon and says nothing of the part\n")
	}
}

// overlay lays the parts of a job that were said over a job.
func overlay(j *procedures.Job, said procedures.Job) {
	if said.Thickness != 0 {
		j.Thickness, j.ThicknessSaid, j.Form = said.Thickness, said.ThicknessSaid, said.Form
	}
	if said.OtherThickness != 0 {
		j.OtherThickness, j.OtherSaid, j.OtherForm = said.OtherThickness, said.OtherSaid, said.OtherForm
	}
	if said.Joint != "" && said.Joint != j.Joint {
		j.Joint, j.Weld = said.Joint, said.Joint.DefaultWeld()
	}
	if said.Weld != "" {
		j.Weld = said.Weld
	}
	if said.Position != "" {
		j.Position = said.Position
	}
	if said.Steel != "" {
		j.Steel, j.SteelGroup = said.Steel, said.SteelGroup
	}
	if said.Coating != "" {
		j.Coating = said.Coating
	}
	if said.Stripped {
		j.Stripped = true
	}
}

func newStrike(a *app) *cobra.Command {
	var why string
	var back bool
	cmd := &cobra.Command{
		Use: "strike MARK", Short: "Withdraw a weld: kept, shown, and not counted; --back puts it back",
		Example: "  beadwright strike A1 --why 'wrong spool in the machine'\n  beadwright strike A1 --back", Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			nb, err := a.mustExist(cmd.Context(), "log 4")
			if err != nil {
				return err
			}
			if back {
				if why != "" {
					return procedures.Invalid("why", why, "why it was withdrawn is kept; putting it back wants no reason", "beadwright strike "+args[0]+" --back")
				}
				return a.putBack(cmd.Context(), nb, args[0])
			}
			if why = oneLine(why); strings.IndexFunc(why, unicode.IsControl) >= 0 {
				return procedures.Invalid("why", fmt.Sprintf("%q", why), "has a control character in it", "plain letters, numbers and signs")
			}
			w, err := nb.StrikeWeld(cmd.Context(), args[0], why)
			if err != nil {
				return err
			}
			if a.json {
				return a.printJSON(map[string]any{"mark": w.Mark, "weld": w})
			}
			a.printf("struck %s: %s. It is kept and no longer counted. A slip? beadwright strike %s --back\n", w.Mark, w.Struck, w.Mark)
			return nil
		},
	}
	cmd.Flags().StringVar(&why, "why", "", "why it is withdrawn")
	cmd.Flags().BoolVar(&back, "back", false, "put back a weld that was struck by mistake")
	return cmd
}

func (a *app) putBack(ctx context.Context, nb *store.Notebook, mark string) error {
	w, made, err := nb.PutBack(ctx, mark)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"mark": w.Mark, "weld": w, "amendments": made})
	}
	a.printf("%s is put back and counts again. It had been struck: %s.\n", w.Mark, made[1].Old)
	return nil
}
