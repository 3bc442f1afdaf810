package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

// weldFlags are the flags that say how a weld was made and how it turned out.
type weldFlags struct {
	tap, knob, wireSpeed, polarity, extension, travel, volts, amps string
	rating, leg, photo, note, at                                   string
	symptoms, tests                                                []string
}

func (w *weldFlags) add(f *pflag.FlagSet) {
	f.StringVar(&w.tap, "tap", "", "low, high, or the name on the switch")
	f.StringVar(&w.knob, "knob", "", "4.5, 4 1/2, or: middle third")
	f.StringVar(&w.wireSpeed, "wire-speed", "", "110ipm, 2.8 m/min")
	f.StringVar(&w.polarity, "polarity", "", "dcen (gun minus), dcep (gun plus), ac")
	f.StringVar(&w.extension, "extension", "", "stick-out, contact tip to work: 3/8")
	f.StringVar(&w.travel, "travel", "", "pace: 10ipm, or timed: '4in in 24s'")
	f.StringVar(&w.volts, "volts", "", "arc volts, measured")
	f.StringVar(&w.amps, "amps", "", "arc amps, measured")
	f.StringVar(&w.rating, "rating", "", "1 scrap .. 5 as good as I can")
	f.StringArrayVar(&w.symptoms, "symptom", nil, "what was wrong, in your words; may be repeated")
	f.StringArrayVar(&w.tests, "test", nil, "bend|break|etch|peel=RESULT; may be repeated: break=root line")
	f.StringVar(&w.leg, "leg", "", "measured leg of the fillet")
	f.StringVar(&w.photo, "photo", "", "a picture's file; its path is written down")
	f.StringVar(&w.note, "note", "", "anything else")
	f.StringVar(&w.at, "at", "", "when, if not now: 2026-05-01 14:30")
}

func completeWeld(cmd *cobra.Command) {
	for flag, values := range map[string][]string{"symptom": procedures.SymptomKeys(), "polarity": keys(procedures.Polarities()),
		"test": {"bend=held", "break=pass", "break=root line", "peel=tore parent", "peel=peeled clean", "etch=fused"}, "rating": {"1", "2", "3", "4", "5"}} {
		_ = cmd.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return values, cobra.ShellCompDirectiveNoFileComp
		})
	}
}

// apply sets on the weld what the flags say. m is the weld's machine.
func (w *weldFlags) apply(weld *procedures.Weld, m procedures.Machine, units procedures.Units, now time.Time) error {
	set, out := &weld.Settings, &weld.Outcome
	if set.How == nil {
		set.How = map[string]procedures.How{}
	}
	var err error
	if w.tap != "" {
		set.Tap = w.tap
		if t, ok := m.Tap(w.tap); ok {
			set.Tap = t.Name
		} else if len(m.Taps) > 0 {
			return procedures.Invalid("tap", w.tap, "no such tap on "+m.Name, "accepted: "+strings.Join(m.TapNames(), ", "))
		}
		set.How["tap"] = procedures.Measured
	}
	if w.knob != "" {
		if set.Knob, set.KnobSaid, err = procedures.ParseKnob(w.knob); err != nil {
			return err
		}
		if set.Knob != nil && m.Knob.Marked() && (*set.Knob < m.Knob.Min || *set.Knob > m.Knob.Max) {
			return procedures.Invalid("knob", w.knob, fmt.Sprintf("%s's knob runs from %g to %g", m.Name, m.Knob.Min, m.Knob.Max), "write the mark that the knob stood at")
		}
		delete(set.How, "knob_text")
		set.How["knob"] = procedures.Measured
		if w.wireSpeed == "" { // the suggestion's wire speed was for another mark
			set.WireSpeed = 0
			delete(set.How, "wire_speed_m_min")
			if set.Knob != nil {
				if v := recommend.SpeedAt(m, *set.Knob); v > 0 {
					set.WireSpeed, set.How["wire_speed_m_min"] = v, procedures.Guessed
				}
			}
		}
	}
	if w.wireSpeed != "" {
		if set.WireSpeed, err = procedures.ParseWireSpeed(w.wireSpeed, units); err != nil {
			return err
		}
		set.How["wire_speed_m_min"] = procedures.Measured
		if w.knob == "" { // and its mark was for another wire speed
			set.Knob, set.KnobSaid = nil, ""
			delete(set.How, "knob")
			delete(set.How, "knob_text")
		}
	}
	if (w.tap != "" || w.knob != "" || w.wireSpeed != "") && len(weld.Suggestion) > 0 {
		// Volts and amps were reckoned for settings that were not used.
		set.Voltage, set.Current = 0, 0
		delete(set.How, "voltage_V")
		delete(set.How, "current_A")
	}
	if w.polarity != "" {
		if set.Polarity, err = parsePolarity(w.polarity); err != nil {
			return err
		}
		set.How["polarity"] = procedures.Measured
	}
	if w.extension != "" {
		if set.Extension, err = procedures.ParseLength("extension", w.extension, units); err != nil {
			return err
		}
		set.How["extension_mm"] = procedures.Measured
	}
	if w.travel != "" {
		if set.Travel, err = procedures.ParseTravel(w.travel, units); err != nil {
			return err
		}
		set.How["travel_mm_min"] = procedures.Measured
	}
	if w.volts != "" {
		if set.Voltage, err = procedures.ParseVolts("volts", w.volts); err != nil {
			return err
		}
		set.How["voltage_V"] = procedures.Measured
	}
	if w.amps != "" {
		if set.Current, err = procedures.ParseAmps("amps", w.amps); err != nil {
			return err
		}
		set.How["current_A"] = procedures.Measured
	}
	if err := w.outcome(out, units); err != nil {
		return err
	}
	if w.at != "" {
		if weld.At, err = parseTime("at", w.at, now); err != nil {
			return err
		}
	}
	return weld.Validate()
}

func (w *weldFlags) outcome(out *procedures.Outcome, units procedures.Units) error {
	var err error
	if w.rating != "" {
		said, err := procedures.ReadOutcome([]string{w.rating})
		if err != nil || said.Rating == 0 {
			return procedures.Invalid("rating", w.rating, "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
		}
		out.Rating = said.Rating
	}
	for _, s := range w.symptoms {
		key, err := procedures.ParseSymptom(s)
		if err != nil {
			return err
		}
		out.Symptoms = appendOnce(out.Symptoms, key)
	}
	for _, s := range w.tests {
		t, err := procedures.ParseTest(s)
		if err != nil {
			return err
		}
		out.Tests = append(out.Tests, t)
	}
	if w.leg != "" {
		if out.Leg, err = procedures.ParseLength("leg", w.leg, units); err != nil {
			return err
		}
	}
	if w.photo != "" {
		if info, err := os.Stat(w.photo); err != nil || info.IsDir() {
			return procedures.Invalid("photo", w.photo, "there is no such picture", "the file's path, as your shell completes it")
		}
		out.Photo = w.photo
	}
	if w.note != "" {
		out.Note = strings.TrimSpace(w.note)
	}
	return nil
}

func appendOnce(all []string, s string) []string {
	for _, have := range all {
		if have == s {
			return all
		}
	}
	return append(all, s)
}

func parsePolarity(s string) (procedures.Polarity, error) {
	switch strings.Join(strings.Fields(strings.ToLower(s)), " ") {
	case "dcen", "dc-", "gun negative", "gun minus", "straight", "electrode negative", "ground positive":
		return procedures.DCEN, nil
	case "dcep", "dc+", "gun positive", "gun plus", "reverse", "electrode positive", "ground negative":
		return procedures.DCEP, nil
	case "ac":
		return procedures.AC, nil
	}
	return "", procedures.Invalid("polarity", s, "not a polarity", "accepted: dcen (gun negative), dcep (gun positive), ac")
}

// parseTime reads a time in the welder's own clock, or in RFC 3339.
func parseTime(field, s string, now time.Time) (time.Time, error) {
	s = strings.TrimSpace(s)
	for _, layout := range []string{time.RFC3339, "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02"} {
		if t, err := time.ParseInLocation(layout, s, now.Location()); err == nil {
			if t.After(now.Add(5*time.Minute)) || t.Year() < 1950 {
				return t, procedures.Invalid(field, s, "not a time in the past", "accepted: 2026-05-01 14:30, 2026-05-01, or RFC 3339")
			}
			return t, nil
		}
	}
	return time.Time{}, procedures.Invalid(field, s, "not a time", "accepted: 2026-05-01 14:30, 2026-05-01, or RFC 3339")
}

type logOptions struct {
	job           jobFlags
	weld          weldFlags
	from, machine string
}

func newLog(a *app) *cobra.Command {
	var o logOptions
	cmd := &cobra.Command{
		Use:   "log [WORDS...]",
		Short: "Record a weld: by default the last suggestion, as suggested",
		Long: `Record a weld. By default it is the last suggestion, made as suggested; flags say
what was different. A number from 1 to 5 is the rating by sight, other words are
symptoms and the note. A whole job in words (thickness and joint) starts afresh.`,
		Example: `  beadwright log 4
  beadwright log 3 "popping, bit of spatter" --knob 4.5
  beadwright log 5 --test bend=held
  beadwright log 4 1/8 mild tee flat --tap high --wire-speed 105ipm`,
		RunE: func(cmd *cobra.Command, args []string) error { return a.log(cmd.Context(), o, args) },
	}
	f := cmd.Flags()
	o.job.add(f)
	o.weld.add(f)
	f.StringVar(&o.from, "from", "", "the suggestion's id, or the mark of a weld made the same way (default the last suggestion)")
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the suggestion's, else the one in use)")
	o.job.complete(cmd, a)
	completeWeld(cmd)
	return cmd
}

func (a *app) log(ctx context.Context, o logOptions, args []string) error {
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	said, err := procedures.ReadOutcome(args)
	if err != nil {
		return err
	}
	weld, err := a.base(ctx, o, said, units)
	if err != nil {
		return err
	}
	weld.Said = strings.Join(args, " ")
	weld.Outcome.Rating = said.Rating
	for _, s := range said.Symptoms {
		weld.Outcome.Symptoms = appendOnce(weld.Outcome.Symptoms, s)
	}
	m, err := a.machine(ctx, weld.Job.Machine, weld.Job.Process)
	if err != nil {
		return err
	}
	if err := o.weld.apply(&weld, m, units, a.now()); err != nil {
		return err
	}
	if out := weld.Outcome; out.Rating == 0 && len(out.Symptoms) == 0 && len(out.Tests) == 0 && out.Note == "" {
		return procedures.Invalid("rating", "", "how was it?", "a number from 1 (scrap) to 5: beadwright log 4", "or what you saw: beadwright log \"blew a hole\"")
	}
	nb, err := a.notebook(ctx)
	if err != nil {
		return err
	}
	weld, err = nb.AddWeld(ctx, weld)
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"mark": weld.Mark, "id": weld.ID, "weld": weld})
	}
	a.printf("logged %s. Paint it on the coupon.\n", weld.Mark)
	a.printWeld(weld, units)
	a.storedCharge(m)
	a.printf("wrong? beadwright amend %s, or beadwright strike %s\n", weld.Mark, weld.Mark)
	return nil
}

// base is the weld before the flags: a job in the words, else the suggestion or
// the weld named, else the last suggestion.
func (a *app) base(ctx context.Context, o logOptions, said procedures.Said, units procedures.Units) (procedures.Weld, error) {
	job, ok, err := a.jobSaid(ctx, o, said.Rest, units)
	if err != nil {
		return procedures.Weld{}, err
	}
	if ok {
		spool, _, err := a.fillWire(ctx, &job)
		if err != nil {
			return procedures.Weld{}, err
		}
		m, err := a.machine(ctx, o.machine, job.Process)
		if err != nil {
			return procedures.Weld{}, err
		}
		if !m.Example {
			job.Machine, job.State = m.Name, m.State.ID
		}
		return procedures.Weld{Job: job, Spool: spool}, nil
	}
	weld, err := a.follow(ctx, o.from)
	if err != nil {
		return weld, err
	}
	weld.Outcome.Note = strings.TrimSpace(strings.Join(said.Rest, " "))
	weld.At = time.Time{}
	if o.machine != "" {
		m, err := a.machine(ctx, o.machine, weld.Job.Process)
		if err != nil {
			return weld, err
		}
		weld.Job.Machine, weld.Job.State = m.Name, m.State.ID
	}
	words, err := o.job.words(nil, units)
	if err != nil {
		return weld, err
	}
	flags, err := procedures.ReadJob(words, units, recommend.Lexicon())
	if err != nil {
		return weld, err
	}
	overlay(&weld.Job, flags.Job)
	return weld, o.job.apply(ctx, a, &weld.Job, units)
}

const quoteNotes = "put a note into quotes: beadwright log 4 \"popped at the corner\""

// jobSaid reads a job out of the words and the job flags. ok is false where they
// hold none: then the words are a note.
func (a *app) jobSaid(ctx context.Context, o logOptions, rest []string, units procedures.Units) (job procedures.Job, ok bool, err error) {
	var loose []string
	for _, arg := range rest {
		if !strings.ContainsAny(arg, " \t") { // what is in quotes is a note
			loose = append(loose, arg)
		}
	}
	words, err := o.job.words(loose, units)
	if err != nil {
		return job, false, err
	}
	r, err := procedures.ReadJob(words, units, recommend.Lexicon())
	flagged := o.job.thickness != "" || o.job.joint != "" || o.job.position != "" || o.job.steel != ""
	if err != nil {
		var bad *procedures.InvalidError
		if flagged || r.Sized && r.Job.Joint != "" {
			if errors.As(err, &bad) && !flagged {
				bad.Hints = append(bad.Hints, quoteNotes)
			}
			return job, false, err
		}
		return job, false, nil
	}
	if err := o.job.apply(ctx, a, &r.Job, units); err != nil {
		return job, false, err
	}
	if r.Job.Thickness == 0 || r.Job.Joint == "" {
		return job, false, nil // flags alone correct the suggestion that is followed
	}
	for _, w := range r.Unknown {
		if !procedures.SymptomWord(w) {
			return job, false, procedures.Invalid("words", strings.Join(loose, " "), "is that a joint or a note?", quoteNotes, "a joint is thickness, steel, joint and position: beadwright log 4 1/8 mild tee flat")
		}
	}
	if err := r.Complete(); err != nil {
		return job, false, err
	}
	return r.Job, true, nil
}

// follow is a weld made as a suggestion says, or as an earlier weld was made.
func (a *app) follow(ctx context.Context, from string) (procedures.Weld, error) {
	nothing := procedures.Invalid("log", "", "there is no suggestion to follow yet",
		"ask first: beadwright suggest 1/8 mild tee flat", "or say the joint and what you set: beadwright log 4 1/8 mild tee flat --tap high --knob 5")
	nb, err := a.existing(ctx)
	if err != nil {
		return procedures.Weld{}, err
	}
	if nb == nil {
		return procedures.Weld{}, nothing
	}
	var s store.Suggestion
	if from == "" {
		if s, err = nb.LastSuggestion(ctx); errors.Is(err, procedures.ErrNotFound) {
			return procedures.Weld{}, nothing
		}
	} else if s, err = nb.Suggestion(ctx, from); errors.Is(err, procedures.ErrNotFound) {
		old, _, err := nb.Weld(ctx, from)
		if err != nil {
			return old, fmt.Errorf("neither a suggestion nor a weld is called %q: %w", from, procedures.ErrNotFound)
		}
		return procedures.Weld{Job: old.Job, Spool: old.Spool, Settings: old.Settings}, nil
	}
	if err != nil {
		return procedures.Weld{}, err
	}
	weld := procedures.Weld{Job: s.Job, Settings: s.Settings, Suggestion: s.ID}
	if spool, err := nb.CurrentSpool(ctx); err == nil && spool.Wire == s.Job.Wire {
		weld.Spool = spool.ID
	}
	return weld, nil
}
