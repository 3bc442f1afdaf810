package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend"
	"beadwright/recommend/caution"
	"beadwright/recommend/inspect"
)

type testOptions struct {
	answers, length        string
	holes, cracks, corners []string
	instead                bool
}

func newTest(a *app) *cobra.Command {
	var o testOptions
	cmd := &cobra.Command{
		Use:   "test MARK bend|break|etch|peel",
		Short: "Break or cut a coupon, step by step, and write down what it says",
		Long: `How to break, bend, cut or peel the coupon of a weld, and what to look for, as
questions to answer with yes or no: one by one, or at once with --answers. The
first answer that decides ends it, and the verdict is written down with the weld.
Sizes that you measured answer for themselves. Only a bend or a break that passed
proves a setting; a test speaks of its coupon and of nothing else.

Exit status: 0 a verdict, or the questions alone; 2 not understood.`,
		Example: `  beadwright test A5 break
  beadwright test A5 break --answers 'no yes'
  beadwright test A5 break --answers 'edge=no folded=no parent=no fused=yes' --hole 1/16 --hole 3/32 --length 4in`,
		Args: cobra.ExactArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.test(cmd.Context(), o, args[0], args[1], cmd.InOrStdin())
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return procedures.TestKinds(), cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.answers, "answers", "", answersFlag)
	f.StringArrayVar(&o.holes, "hole", nil, "break: largest size of a hole or bit of slag in it; may be repeated: 1/16")
	f.StringVar(&o.length, "length", "", "break: the length that the holes were counted in (default 6in)")
	f.StringArrayVar(&o.cracks, "crack", nil, "bend: length of an opening away from the corners; may be repeated")
	f.StringArrayVar(&o.corners, "corner", nil, "bend: length of a crack at a corner; may be repeated")
	f.BoolVar(&o.instead, "instead", false, "in the place of the tests of this kind that were written down before")
	a.completes(cmd, "answers", cobra.NoFileCompletions)
	return cmd
}

// tested is a test as it is printed.
type tested struct {
	Mark      string             `json:"mark"`
	Kind      string             `json:"test"`
	Do        []string           `json:"do"`
	Mind      []string           `json:"mind"`
	Questions []inspect.Question `json:"questions"`
	Answers   []inspect.Answer   `json:"answers"`
	Verdict   *inspect.Verdict   `json:"verdict"`  // null: the questions alone
	Recorded  bool               `json:"recorded"` // written down now
	Weld      procedures.Weld    `json:"weld"`
	Proves    string             `json:"proves"`
	Cautions  []caution.Caution  `json:"cautions"`
	Sources   map[string]string  `json:"sources"`
	amended   []procedures.Amendment
	faded     string // why the weld is too old for its test to prove anything; "" it is not
	units     procedures.Units
}

func (a *app) test(ctx context.Context, o testOptions, mark, kind string, in io.Reader) error {
	w, units, err := a.standing(ctx, mark)
	if err != nil {
		return err
	}
	test, err := inspect.TestFor(kind, w, units)
	if err != nil {
		return err
	}
	sizes, err := o.sizes(test.Kind, units)
	if err != nil {
		return err
	}
	say, err := a.newAnswers(o.answers, in, test.Questions())
	if err != nil {
		return err
	}
	out := tested{Mark: w.Mark, Kind: test.Kind, Do: test.Do, Mind: append([]string{}, test.Mind...), Questions: test.Questions(), Answers: []inspect.Answer{}, Weld: w, Cautions: testCautions(test.Kind), units: units}
	if !a.json && o.answers == "" {
		a.printTestSteps(out)
	}
	v, answers, err := test.Ask(sizes, units, say.ask)
	out.Answers = append(out.Answers, answers...)
	switch {
	case errors.Is(err, errUnanswered) && say.asked > 0:
		return unfinished("test "+w.Mark+" "+test.Kind, "the answers ended before a verdict, and nothing was written down", answers, test.Questions())
	case errors.Is(err, errUnanswered):
		out.cite()
		if a.json {
			return a.printJSON(out)
		}
		a.printTestQuestions(out)
		return nil
	case err != nil:
		return err
	}
	out.Verdict = &v
	out.Mind = append(out.Mind, sizes.Unused(answers)...)
	if !v.Again {
		if had := passedKind(w, test.Kind); had != "" && !v.Passed && !o.instead {
			out.Mind = append(out.Mind, fmt.Sprintf("%s had passed its %s before (%s); both stand, and the failure counts", w.Mark, test.Kind, had))
		}
		if err := a.recordTest(ctx, &out, o.instead); err != nil {
			return err
		}
	}
	if n := len(say.bare); n > 0 {
		out.Mind = append(out.Mind, fmt.Sprintf("that was decided before the last %d of your answers, which changed nothing", n))
	}
	if nb, err := a.existing(ctx); err == nil && nb != nil {
		out.faded = recommend.Faded(out.Weld, spoolOf(ctx, nb), a.now())
	}
	out.Proves = a.proves(out)
	out.cite()
	if a.json {
		return a.printJSON(out)
	}
	a.printTested(out)
	told := 0
	if o.answers == "" { // the first of them stand above
		told = len(test.Mind)
	}
	for _, m := range out.Mind[told:] {
		a.line("mind", m)
	}
	if o.answers != "" {
		a.printCautions(out.Cautions)
	}
	a.printSources(out.Sources)
	a.storedCharges(ctx, w.Job.Machine)
	return nil
}

// standing is a weld that is not struck, and the units to speak in.
func (a *app) standing(ctx context.Context, mark string) (procedures.Weld, procedures.Units, error) {
	nb, err := a.mustExist(ctx, "log 4")
	if err != nil {
		return procedures.Weld{}, "", err
	}
	units, err := a.units(ctx)
	if err != nil {
		return procedures.Weld{}, "", err
	}
	w, _, err := nb.Weld(ctx, mark)
	if err == nil && w.Struck != "" {
		err = procedures.Invalid("mark", mark, "this weld was struck: "+w.Struck, "name one that stands: beadwright find")
	}
	return w, units, err
}

// sizes reads what was measured, and refuses it where the test asks for no such
// size.
func (o testOptions) sizes(kind string, units procedures.Units) (s inspect.Sizes, err error) {
	for _, f := range []struct {
		name, of string
		said     []string
		to       *[]procedures.MM
	}{{"hole", "break", o.holes, &s.Holes}, {"crack", "bend", o.cracks, &s.Cracks}, {"corner", "bend", o.corners, &s.Corners}} {
		if len(f.said) > 0 && kind != f.of {
			return s, procedures.Invalid(f.name, f.said[0], "no size that the "+kind+" test is judged by", "it goes with: beadwright test MARK "+f.of)
		}
		for _, text := range f.said {
			v, err := procedures.ParseLength(f.name, text, units)
			if err != nil {
				return s, err
			}
			*f.to = append(*f.to, v)
		}
	}
	if o.length == "" {
		return s, nil
	}
	if len(o.holes) == 0 {
		return s, procedures.Invalid("length", o.length, "no holes were measured in it", "it goes with --hole: --hole 1/16 --hole 3/32 --length 4in")
	}
	s.Length, err = procedures.ParseLength("length", o.length, units)
	if most := slices.Max(s.Holes); err == nil && s.Length < most {
		err = procedures.Invalid("length", o.length, "shorter than a hole in it", "the length of weld that you broke and looked at: 4in")
	}
	return s, err
}

// recordTest writes the verdict down with the weld. The same again is no second
// test.
func (a *app) recordTest(ctx context.Context, out *tested, instead bool) error {
	nb, err := a.notebook(ctx)
	if err != nil {
		return err
	}
	t := procedures.Test{Kind: out.Kind, Passed: out.Verdict.Passed, Result: out.Verdict.Result}
	out.Weld, out.amended, err = nb.AmendWeld(ctx, out.Mark, func(w *procedures.Weld) error {
		if instead {
			w.Outcome.Tests = slices.DeleteFunc(w.Outcome.Tests, func(old procedures.Test) bool { return old.Kind == t.Kind })
		}
		if !slices.Contains(w.Outcome.Tests, t) {
			w.Outcome.Tests = append(w.Outcome.Tests, t)
		}
		return nil
	})
	out.Recorded = len(out.amended) > 0
	return err
}

// proves says what the verdict is worth.
func (a *app) proves(t tested) string {
	const only = "same joint, thickness, position, wire and preparation, on the machine as it stands"
	switch v := t.Verdict; {
	case v.Again:
		return "nothing was written down: test a spare"
	case !v.Passed:
		return "it counts as failed, whatever it looked like. " + a.todo("What next: beadwright remedy --from "+t.Mark, "What next: Fix, in the menu")
	case !t.Weld.Outcome.FailedInUse.IsZero():
		return t.Mark + " failed in use all the same, so it proves nothing: weld another coupon"
	case t.Weld.Outcome.Cracked():
		return t.Mark + " has a crack, and no crack passes, so it proves nothing: weld another coupon. No crack after all? " + a.todo("beadwright amend "+t.Mark+" --not-symptom crack", "Correct it on its page")
	case t.Kind == "etch":
		return "a cut shows one spot: it proves nothing by itself. Break or bend one like it"
	case t.Kind == "peel":
		return "it fused there. A peel proves nothing of a setting by itself: break or bend one like it"
	case !t.Weld.Outcome.Passed():
		return "another test of " + t.Mark + " failed, and that outweighs this one; where it was a slip, " + a.todo("say --instead with the test that was", "correct it on its page")
	}
	if t.faded != "" {
		return fmt.Sprintf("this coupon alone: it %s, and what is welded now may be another matter. One fresh coupon proves it again", t.faded)
	}
	return "this coupon, and what is welded as it was: " + only + ". Nothing else"
}

// passedKind is the result of a passed test of a kind; "" none.
func passedKind(w procedures.Weld, kind string) string {
	for _, t := range w.Outcome.Tests {
		if t.Kind == kind && t.Passed {
			return t.Result
		}
	}
	return ""
}

func (t *tested) cite() {
	t.Sources = map[string]string{}
	ids := []string{}
	for _, q := range t.Questions {
		ids = append(ids, q.Source...)
	}
	for _, c := range t.Cautions {
		ids = append(ids, c.Source...)
	}
	if slices.ContainsFunc(t.Answers, func(a inspect.Answer) bool { return a.Measured != "" }) {
		ids = append(ids, "MATH")
	}
	for _, id := range ids {
		t.Sources[id] = data.Cite(id)[0]
	}
}

// testCautions go with breaking and etching coupons: common practice.
func testCautions(kind string) []caution.Caution {
	list := []caution.Caution{{Level: caution.Care, Key: "coupon", Text: "Test coupons, never the part that goes into use: what was bent, cut or etched is scrap.", Source: []string{"CP"}}}
	if kind == "etch" {
		return append(list, caution.Caution{Level: caution.Care, Key: "etchant", Text: "Etchants burn skin and eyes and give off fumes: goggles, gloves, open air, no metal lid on the jar, and what the label says comes first. Acid goes into water, never water into acid. The usual one is 1 part of ammonium persulfate in 9 parts of water, freshly mixed.", Source: []string{"CP"}})
	}
	return append(list, caution.Caution{Level: caution.Care, Key: "pieces", Text: "Let it cool. Face shield and gloves; the piece may let go all at once, so nobody stands in line with it, and the vise is bolted down.", Source: []string{"CP"}})
}

func (a *app) printTestSteps(t tested) {
	t.alert(a)
	a.line(t.Mark, list(describeJob(t.Weld.Job, t.units), t.Weld.Job.Wire.String()))
	for i, s := range t.Do {
		a.line(fmt.Sprintf("do %d", i+1), s)
	}
	for _, m := range t.Mind {
		a.line("mind", m)
	}
	a.printCautions(t.Cautions)
	a.printf("\n")
}

// alert says first what outweighs the test, whatever it says.
func (t tested) alert(a *app) {
	if text := inUseWords(t.Weld.Outcome.FailedInUse, ""); text != "" {
		a.printf("%s: that outweighs this test, whatever it says\n", text)
	}
}

func (a *app) printTestQuestions(t tested) {
	a.printf("\nanswer in this order; the first answer that decides ends it\n")
	for i, q := range t.Questions {
		a.bullet(fmt.Sprintf("%d %s: %s", i+1, q.Key, q.Text), q.Source)
	}
	a.line("next", fmt.Sprintf("beadwright test %s %s --answers 'no no ...'; nothing was written down yet", t.Mark, t.Kind))
	a.printSources(t.Sources)
}

func (a *app) printTested(t tested) {
	v := t.Verdict
	word := "FAILED"
	switch {
	case v.Again:
		word = "AGAIN"
	case v.Passed:
		word = "PASSED"
	}
	t.alert(a)
	a.line(word, t.Mark+", "+t.Kind+": "+v.Why)
	for _, q := range t.Answers {
		text := "no"
		if q.Yes {
			text = "yes"
		}
		if q.Measured != "" {
			text += ": " + q.Measured
		}
		a.bullet(q.Text+" "+text, q.Source)
	}
	a.line("proves", t.Proves)
	switch {
	case t.Recorded:
		a.line("kept", fmt.Sprintf("%s=%s with %s. Wrong? Test it again with --instead", t.Kind, v.Result, t.Mark))
	case !v.Again:
		a.line("kept", fmt.Sprintf("%s=%s stood with %s already", t.Kind, v.Result, t.Mark))
	}
	if v.Passed && strings.TrimSpace(t.Weld.Job.For) != "" {
		a.line("mind", "a coupon of it passed; the part itself was not tested, and local codes and an engineer come first where people depend on it")
	}
}
