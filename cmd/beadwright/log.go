package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
	"beadwright/recommend/caution"
)

type logOptions struct {
	job                 jobFlags
	weld                weldFlags
	from, machine, rows string
	dry, again          bool
	id                  string
}

func newLog(a *app) *cobra.Command {
	var o logOptions
	cmd := &cobra.Command{
		Use:   "log [WORDS...]",
		Short: "Record a weld: by default the last suggestion, as suggested",
		Long: `Record a weld. By default it is the last suggestion, made as suggested; flags say
what was different. A number from 1 to 5 is the rating by sight, other words are
symptoms and the note. A whole job in words (thickness and joint) starts afresh.

A paper log is typed in at once with --rows FILE.csv, headed as the sheet of
beadwright print log is: all of its rows or none, --dry-run first. A row that is
like a bead which stands (same day, job, settings and rating) is taken for one typed
in before, and refused, unless --again.`,
		Example: `  beadwright log 4
  beadwright log 3 "popping, bit of spatter" --knob 4.5
  beadwright log 5 --test bend=held
  beadwright log 4 1/8 mild tee flat --tap high --wire-speed 105ipm`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if o.rows != "" {
				return a.logRows(cmd.Context(), o, args)
			}
			if o.dry || o.again {
				flag := "again"
				if o.dry {
					flag = "dry-run"
				}
				return procedures.Invalid(flag, "", "it goes with --rows", "beadwright log --rows sheet.csv --"+flag)
			}
			return a.log(cmd.Context(), o, args)
		},
	}
	f := cmd.Flags()
	o.job.add(f)
	o.weld.add(f)
	f.StringVar(&o.from, "from", "", "the suggestion's id, or the mark of a weld made the same way (default the last suggestion)")
	f.StringVar(&o.machine, "machine", "", "the machine's name (default the suggestion's, else the one in use)")
	f.StringVar(&o.id, "id", "", "the id that the record gets, so that one sent twice is one record")
	_ = f.MarkHidden("id") // for the page, whose connection may break
	f.StringVar(&o.rows, "rows", "", "type in a paper log: a CSV `FILE`, or - for standard input; all of its rows or none")
	f.BoolVar(&o.dry, "dry-run", false, "with --rows: say how each row is read, and write nothing")
	f.BoolVar(&o.again, "again", false, "with --rows: write rows like beads that stand already, of the same day, job, settings and rating")
	o.job.complete(cmd, a)
	completeWeld(cmd, a)
	return cmd
}

func (a *app) log(ctx context.Context, o logOptions, args []string) error {
	go caution.Gate(caution.Request{}) // sets up its tables while the notebook is read
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	l, err := a.readLogged(ctx, o, args, units)
	if err != nil {
		return err
	}
	shots, err := readShots(o.weld.photos)
	if err != nil {
		return err
	}
	nb, err := a.notebook(ctx)
	if err != nil {
		return err
	}
	if l.weld, err = nb.AddWeld(ctx, l.weld); err != nil {
		return err
	}
	if l.photos, err = a.keepShots(ctx, nb, l.weld, shots); err != nil {
		return err
	}
	if l.supply, err = a.supply(ctx, l.weld.Spool, l.machine, 0, units); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"mark": l.weld.Mark, "id": l.weld.ID, "weld": l.weld, "photos": l.photos, "consumables": l.supply,
			"meant": meantSymptoms(l.weld), "doubt": recommend.BeyondReach(l.weld.Job, l.machine, l.weld.Settings.WireSpeed, units)})
	}
	return a.tellLogged(ctx, l, units)
}

// readLogged reads the weld that was said, and its machine. Errors say what is wanted;
// nothing is written down.
func (a *app) readLogged(ctx context.Context, o logOptions, args []string, units procedures.Units) (l logged, err error) {
	said, bad := procedures.ReadOutcome(args)
	if err := settingWords(args, said.Rest); err != nil {
		return l, err
	}
	if bad != nil {
		return l, bad
	}
	weld, again, err := a.sent(ctx, o.id)
	if err != nil {
		return l, err
	}
	if again {
		weld.Outcome.Note, err = a.noteOf(ctx, o, said.Rest, units)
	} else {
		weld, err = a.base(ctx, o, said, units)
	}
	if err != nil {
		return l, err
	}
	weld.ID = o.id
	weld.Said = strings.Join(args, " ")
	weld.Outcome.Rating = said.Rating
	for _, s := range said.Symptoms {
		weld.Outcome.Symptoms = appendOnce(weld.Outcome.Symptoms, s)
	}
	if again, _ := procedures.ReadOutcome([]string{o.weld.rating}); said.Rating != 0 && again.Rating != 0 && again.Rating != said.Rating {
		return l, procedures.Invalid("rating", fmt.Sprintf("%d, and --rating %s", said.Rating, o.weld.rating), "two ratings were said", "one number from 1 (scrap) to 5")
	}
	if l.machine, err = a.machineOf(ctx, weld.Job); err != nil {
		return l, err
	}
	sent := weld.At
	if err := o.weld.apply(&weld, l.machine, units, a.now()); err != nil {
		return l, err
	}
	if again {
		weld.At = sent // its id tells it apart, not how long it waited for a connection
	}
	if o.weld.arc != "" && o.job.length != "" && o.weld.travel == "" {
		if weld.Settings.Travel, err = procedures.ParseTravel(fmt.Sprintf("%.6gmm in %.6gs", float64(weld.Job.Length), float64(weld.ArcTime)), units); err != nil {
			return l, procedures.Invalid("arc", o.weld.arc+" for "+o.job.length, "no bead is laid at that pace", "the arc time and the length of this bead alone: --arc 24s --length 4in")
		}
		weld.Settings.How["travel_mm_min"] = procedures.Measured
	}
	l.broken = brokeInWords(&weld)
	if out := weld.Outcome; out.Rating == 0 && len(out.Symptoms) == 0 && len(out.Tests) == 0 && out.Note == "" {
		return l, procedures.Invalid("rating", "", "how was it?", procedures.Way("a number from 1 (scrap) to 5: beadwright log 4", "a number from 1 (scrap) to 5"), procedures.Way("or what you saw: beadwright log \"blew a hole\"", "or what you saw: blew a hole"))
	}
	l.weld, l.words, l.use = weld, strings.Join(args, " "), o.job.use
	return l, nil
}

// machineOf is the machine of a job; the built-in example where it names none, which
// it was suggested for.
func (a *app) machineOf(ctx context.Context, j procedures.Job) (procedures.Machine, error) {
	if j.Machine == "" {
		return recommend.ExampleMachine(j.Process), nil
	}
	return a.machine(ctx, j.Machine, j.Process)
}

// settingWords asks about bare words that say how the weld was set or laid. As a
// note they would leave the record with the suggestion's values. rest are the words
// without the rating, which is no part of a thickness: 5 16ga.
func settingWords(args, rest []string) error {
	said, _ := procedures.ReadJob(strings.Join(rest, " "), procedures.US, recommend.Lexicon())
	job := said.Sized && said.Job.Joint != "" // then these words are read as the job's
	for i, arg := range args {
		w := strings.ToLower(arg)
		flag := ""
		switch {
		case strings.ContainsAny(arg, " \t"): // in quotes: a note
		case w == "low" || w == "high" || w == "min" || w == "max":
			flag = "--tap " + w
		case w == "tap":
			flag = "--tap high"
		case strings.HasSuffix(w, "ipm") || strings.HasSuffix(w, "in/min") || w == "wire" && i+1 < len(args) && (args[i+1] == "up" || args[i+1] == "down"):
			flag = "--wire-speed 110ipm"
		case w == "knob" || w == "dial":
			flag = "--knob 4.5"
			if next := args[i+1:]; len(next) > 0 {
				if _, _, err := procedures.ParseKnob(next[0]); err == nil {
					flag = "--knob " + next[0]
				}
			}
		case !job && (w == "overhead" || w == "vertical" || w == "horizontal" || w == "uphill" || w == "downhill"):
			flag = "--position overhead"
		case !job && w == "gap":
			flag = "--gap 1/16"
		}
		if flag != "" {
			return procedures.Invalid("words", strings.Join(args, " "), fmt.Sprintf("%q sounds like how it was set or laid", arg),
				procedures.Way("if it was, say it by its flag: "+flag, "if it was, it has a field of its own"), procedures.Way("if it is a note, put it into quotes: beadwright log 4 \"a bit low on the left\"", noteField))
		}
	}
	return nil
}

// uncounted names what a record lacks to be learned from; "" nothing.
func uncounted(w procedures.Weld, m procedures.Machine) string {
	switch {
	case w.Outcome.Rating == 0:
		return "rating"
	case w.Settings.WireSpeed == 0 && w.Job.Process != procedures.SMAW:
		return "wire speed"
	case w.Settings.Tap == "" && len(m.Taps) > 1:
		return "tap"
	}
	return ""
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
	weld.Job.State = "" // the machine may have been changed since: the notebook takes the state at the bead's own time
	if weld.Job.Machine == "" && weld.Suggestion == "" && o.machine == "" {
		// The weld that is followed was made before a machine was written down.
		m, err := a.someMachine(ctx, "", weld.Job.Process)
		if err != nil {
			return weld, err
		}
		if t, ok := tapSaid(m, weld.Settings.Tap); !m.Example && (ok || len(m.Taps) == 0) {
			weld.Job.Machine = m.Name
			weld.Settings.Tap = cmp.Or(t.Name, weld.Settings.Tap)
		}
	}
	if o.machine != "" {
		m, err := a.machine(ctx, o.machine, weld.Job.Process)
		if err != nil {
			return weld, err
		}
		weld.Job.Machine = m.Name
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

const noteField = "a note goes into the field for notes"

var quoteNotes = procedures.Way("put a note into quotes: beadwright log 4 \"popped at the corner\"", noteField)

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
	symptom := procedures.SymptomWords(words)
	for _, w := range r.Unknown {
		if !slices.Contains(symptom, w) {
			return job, false, procedures.Invalid("words", strings.Join(loose, " "), "is that a joint or a note?", quoteNotes, procedures.Way("a joint is thickness, steel, joint and position: beadwright log 4 1/8 mild tee flat", "a joint is thickness, steel, joint and position: 1/8 mild tee flat"))
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
		procedures.Way("ask first: beadwright suggest 1/8 mild tee flat", "ask first: Ask, in the menu"), procedures.Way("or say the joint and what you set: beadwright log 4 1/8 mild tee flat --tap high --knob 5", "or say the joint below: 1/8 mild tee flat"))
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
	weld := procedures.Weld{Job: s.Job, Settings: asSuggested(s.Settings), Suggestion: s.ID}
	if spool, err := nb.CurrentSpool(ctx); err == nil && spool.Wire == s.Job.Wire {
		weld.Spool = spool.ID
	}
	return weld, nil
}
