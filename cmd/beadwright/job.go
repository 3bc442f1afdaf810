package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"beadwright/procedures"
	"beadwright/recommend"
)

// jobFlags are the flags that say what a joint is. Each may be said in the
// words instead.
type jobFlags struct {
	thickness, other, joint, position, steel, wire, gap, coating, use, length string
}

func (j *jobFlags) add(f *pflag.FlagSet) {
	f.StringVar(&j.thickness, "thickness", "", "of the part: 1/8, 3mm, 11ga plain, 16ga tube")
	f.StringVar(&j.other, "other-thickness", "", "of the other part, where it differs")
	f.StringVar(&j.joint, "joint", "", "tee, lap, butt, corner, edge")
	f.StringVar(&j.position, "position", "", "flat, horizontal, vertical up, vertical down, overhead; or 1F..4G, PA..PG")
	f.StringVar(&j.steel, "steel", "", "mild, a36, 1018 ...")
	f.StringVar(&j.wire, "wire", "", "class and size, or the name of a spool: 0.035 E71T-11")
	f.StringVar(&j.gap, "gap", "", "root opening: 1/16")
	f.StringVar(&j.coating, "coating", "", "bare, galvanized, paint ...; add 'stripped' where it is ground off")
	f.StringVar(&j.use, "for", "", "what the part is for, plainly")
	f.StringVar(&j.length, "length", "", "weld in all: 24in, 600mm")
}

// complete registers shell completion with real values.
func (j *jobFlags) complete(cmd *cobra.Command, a *app) {
	a.completesFrom(cmd, "joint", func() []string { return keys(procedures.Joints()) })
	a.completesFrom(cmd, "position", func() []string { return keys(procedures.Positions()) })
	a.completesFrom(cmd, "coating", func() []string { return keys(procedures.Coatings()) })
	a.completesFrom(cmd, "steel", steelKeys)
	a.completes(cmd, "wire", func(cmd *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return append(a.spoolNames(cmd.Context()), procedures.WireClasses()...), cobra.ShellCompDirectiveNoFileComp
	})
}

func keys[T ~string](all []T) []string {
	out := make([]string, len(all))
	for i, k := range all {
		out[i] = string(k)
	}
	return out
}

func steelKeys() []string {
	var out []string
	for _, s := range recommend.Lexicon().Steels {
		out = append(out, s.Key)
	}
	return out
}

// words joins what was said in words and in flags, each flag checked to say the
// kind of thing that its name promises.
func (j *jobFlags) words(args []string, units procedures.Units) (string, error) {
	text := []string{strings.Join(args, " ")}
	lex := recommend.Lexicon()
	for _, f := range []struct {
		name, value, hint string
		has               func(procedures.Job) bool
	}{
		{"joint", j.joint, "accepted: tee, lap, butt, corner, edge", func(j procedures.Job) bool { return j.Joint != "" || j.Weld != "" }},
		{"position", j.position, "accepted: flat, horizontal, vertical up, vertical down, overhead, or 1F..4G, PA..PG", func(j procedures.Job) bool { return j.Position != "" }},
		{"steel", j.steel, "accepted: mild, a36, 1018, a500 ...; see the shell's completion for all", func(j procedures.Job) bool { return j.Steel != "" }},
		{"coating", j.coating, "accepted: bare, galvanized, paint, rust, mill scale, chrome, cadmium; add stripped where it is ground off", func(j procedures.Job) bool { return j.Coating != "" || j.Stripped }},
	} {
		if f.value == "" {
			continue
		}
		r, err := procedures.ReadJob(f.value, units, lex)
		if err != nil {
			return "", err
		}
		if len(r.Unknown) > 0 || !f.has(r.Job) || r.Job.Thickness != 0 {
			return "", procedures.Invalid(f.name, f.value, "not understood as a "+f.name, f.hint)
		}
		text = append(text, f.value)
	}
	return strings.TrimSpace(strings.Join(text, " ")), nil
}

// read reads the job from words and flags together. Words that mean nothing are
// an error with the nearest words that do; nothing is dropped.
func (j *jobFlags) read(ctx context.Context, a *app, args []string, units procedures.Units) (procedures.Reading, string, error) {
	words, err := j.words(args, units)
	if err != nil {
		return procedures.Reading{}, strings.Join(args, " "), err
	}
	r, err := procedures.ReadJob(words, units, recommend.Lexicon())
	if err != nil {
		return r, words, err
	}
	if j.use != "" { // where the use is stated apart, other words may name the part
		r.Unknown = slices.DeleteFunc(r.Unknown, func(w string) bool { return len(procedures.Nearest(w, recommend.Lexicon())) == 0 })
	}
	if len(r.Unknown) > 0 {
		return r, words, unknownWords(r.Unknown)
	}
	if (j.thickness != "" || j.other != "") && r.Job.Thickness != 0 {
		return r, words, procedures.Invalid("thickness", words, "said twice, in words and by a flag", "say it once: 1/8 to 3/16 in words, or --thickness 1/8 --other-thickness 3/16")
	}
	return r, words, j.apply(ctx, a, &r.Job, units)
}

// apply sets what the other flags say.
func (j *jobFlags) apply(ctx context.Context, a *app, job *procedures.Job, units procedures.Units) error {
	var err error
	if j.thickness != "" {
		if job.Thickness, job.ThicknessSaid, job.Form, err = j.part("thickness", j.thickness, units); err != nil {
			return err
		}
	}
	if j.other != "" {
		if job.OtherThickness, job.OtherSaid, job.OtherForm, err = j.part("other-thickness", j.other, units); err != nil {
			return err
		}
	}
	for _, said := range []string{j.thickness, j.other} { // 16ga galvanized: the zinc is not left out
		if r, err := procedures.ReadJob(said, units, recommend.Lexicon()); err == nil && r.Job.Coating != "" && r.Job.Coating != procedures.Bare && (job.Coating == "" || job.Coating == procedures.Bare) {
			job.Coating, job.Stripped = r.Job.Coating, job.Stripped || r.Job.Stripped
		}
	}
	if j.gap != "" {
		if job.Gap, err = procedures.ParseLength("gap", j.gap, units); err != nil {
			return err
		}
	}
	if j.length != "" {
		if job.Length, err = procedures.ParseDistance("length", j.length, units); err != nil {
			return err
		}
	}
	if j.use != "" {
		job.For = strings.TrimSpace(j.use)
	}
	if j.wire != "" {
		w, err := a.wire(ctx, j.wire, units)
		if err != nil {
			return err
		}
		job.Wire, job.Process = w, procedures.ProcessOf(w.Class, w.Gas)
	}
	return job.Validate()
}

// part reads the flag of one thickness: a length, or a gauge or tube in words. It
// says one thickness and nothing else.
func (j *jobFlags) part(field, s string, units procedures.Units) (procedures.MM, string, procedures.Form, error) {
	mm, bad := procedures.ParseLength(field, s, units)
	if bad == nil {
		return mm, s, "", procedures.Job{Thickness: mm, ThicknessSaid: s}.Validate()
	}
	r, err := procedures.ReadJob(s+" "+j.coating, units, recommend.Lexicon())
	if err != nil {
		return 0, "", "", err
	}
	job := r.Job
	if c := job.Coating; c != "" && j.coating == "" && job.Thickness != 0 && len(r.Unknown) == 0 && job.Form == "" && !strings.Contains(job.ThicknessSaid, "ga") {
		off := ""
		if c != procedures.Bare {
			off = "; and it comes off before an arc is struck, well back from the weld"
		}
		return 0, "", "", procedures.Invalid(field, s, "a thickness alone goes here", fmt.Sprintf("%s goes with the coating: --coating %s, in a sheet the column coating%s", c, c, off), "the thickness by itself: "+job.ThicknessSaid)
	}
	words := job.Form != "" || strings.Contains(job.ThicknessSaid, "ga")
	if !words || len(r.Unknown) > 0 || job.Thickness == 0 || job.OtherThickness != 0 || job.Joint != "" || job.Position != "" || job.Class != "" || job.For != "" {
		return 0, "", "", bad
	}
	return job.Thickness, job.ThicknessSaid, job.Form, nil
}

// wire reads a wire by class and size, or by the name of a spool.
func (a *app) wire(ctx context.Context, s string, units procedures.Units) (procedures.Wire, error) {
	if nb, err := a.existing(ctx); err != nil {
		return procedures.Wire{}, err
	} else if nb != nil {
		if spool, err := nb.Spool(ctx, s); err == nil {
			return spool.Wire, spool.Stands()
		} else if !errors.Is(err, procedures.ErrNotFound) {
			return procedures.Wire{}, err
		}
	}
	return parseWire(s, units)
}

// parseWire reads "0.035 E71T-11" or "0.9mm ER70S-6 co2".
func parseWire(s string, units procedures.Units) (procedures.Wire, error) {
	hints := []string{"write size and class as printed on the spool: 0.035 E71T-11, 0.030 E71T-GS, 0.035 ER70S-6 co2, 1/8 E6013"}
	r, err := procedures.ReadJob(s, units, recommend.Lexicon())
	if err != nil {
		return procedures.Wire{}, procedures.Invalid("wire", s, "not understood as a wire", hints...)
	}
	w := r.Job.Wire
	if w.Diameter == 0 {
		w.Diameter = r.Job.Thickness // 1/8 E6013, 0.9mm ER70S-6
	}
	if w.Class == "" && r.Job.Process == procedures.FCAWS {
		return procedures.Wire{}, procedures.Invalid("wire", s, "which class is printed on the spool?", "E71T-GS (mostly small cheap spools, one pass only) or E71T-11: write 0.030 E71T-GS")
	}
	if w.Class != "" && w.Diameter == 0 {
		return procedures.Wire{}, procedures.Invalid("wire", s, "how thick is it?", "0.030 or 0.035 in for most small machines: write 0.030 "+w.Class)
	}
	if len(r.Unknown) > 0 || w.Class == "" || w.Diameter == 0 || r.Job.OtherThickness != 0 {
		return procedures.Wire{}, procedures.Invalid("wire", s, "not understood as a wire", hints...)
	}
	return w, procedures.Job{Wire: w}.Validate()
}

// unknownWords asks about words that mean nothing to the reader of jobs.
func unknownWords(words []string) error {
	var hints []string
	for i, w := range words {
		if near := procedures.Nearest(w, recommend.Lexicon()); len(near) > 0 && i < 3 {
			hints = append(hints, fmt.Sprintf("for %q, did you mean: %s", w, strings.Join(near, ", ")))
		}
	}
	hints = append(hints, "say thickness, steel, joint and position: 1/8 mild tee flat", "what the part is goes after the word for: 1/8 mild tee flat for a shop cart")
	return procedures.Invalid("words", strings.Join(words, " "), "did not understand", hints...)
}
