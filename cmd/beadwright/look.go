package main

import (
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"beadwright/data"
	"beadwright/procedures"
	"beadwright/recommend/inspect"
)

func newLook(a *app) *cobra.Command {
	var said string
	cmd := &cobra.Command{
		Use:   "look MARK",
		Short: "Look a bead over: go, look closer, or no",
		Long: `Ask of a bead what the eye can see, with yes or no: one by one, or at once with
--answers. What is wrong is written down as symptoms; a crack, or anything else that
no bead may have, decides at once. A look finds faults and never proves anything: a
pretty bead can lie on cold steel, and what a test or use found outweighs it.

Exit status: 0 looked over, or the questions alone; 2 not understood.`,
		Example: `  beadwright look A5
  beadwright look A5 --answers 'crack=yes'
  beadwright look A5 --answers 'no no no yes no no no no yes no'   (all is well, 1/8 in and thinner)
  beadwright look A5 --answers 'crack=no undercut=yes fusion=no crater=yes holes=no rope=no skin=no slag=no'`,
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.look(cmd.Context(), args[0], said, cmd.InOrStdin())
		},
	}
	cmd.Flags().StringVar(&said, "answers", "", answersFlag)
	a.completes(cmd, "answers", cobra.NoFileCompletions)
	return cmd
}

// looked is a look as it is printed.
type looked struct {
	Mark      string             `json:"mark"`
	Grade     inspect.Grade      `json:"grade"` // go, look closer, no; null: the questions alone
	Questions []inspect.Question `json:"questions"`
	Answers   []inspect.Answer   `json:"answers"`
	Found     []inspect.Seen     `json:"found"`
	Open      []string           `json:"unanswered"`     // keys of questions
	AllGood   string             `json:"all_good"`       // the answers of a bead with nothing wrong, in order
	Outweighs string             `json:"outweighed_by"`  // a failed test or a failure in use; null: nothing
	Added     []string           `json:"symptoms_added"` // written down now
	Weld      procedures.Weld    `json:"weld"`
	Worth     string             `json:"worth"`
	Sources   map[string]string  `json:"sources"`
}

const lookWorth = "a look finds faults and proves nothing: what is inside only a bend or a break of a coupon tells"

func (a *app) look(ctx context.Context, mark, said string, in io.Reader) error {
	w, units, err := a.standing(ctx, mark)
	if err != nil {
		return err
	}
	sights := inspect.LookAt(w.Job, units)
	out := looked{Mark: w.Mark, Answers: []inspect.Answer{}, Found: []inspect.Seen{}, Added: []string{}, Open: []string{}, AllGood: inspect.AllGood(sights), Weld: w, Worth: lookWorth, Sources: map[string]string{}}
	for _, s := range sights {
		out.Questions = append(out.Questions, s.Question)
		for _, id := range s.Source {
			out.Sources[id] = data.Cite(id)[0]
		}
	}
	say, err := a.newAnswers(said, in, out.Questions)
	if err != nil {
		return err
	}
	if !a.json && said == "" {
		a.line(w.Mark, describeJob(w.Job, units)+". Chip and brush it first, and look in good light, raking from the side")
	}
	l, err := inspect.Look(sights, say.see)
	if err != nil {
		return err
	}
	out.Answers, out.Open = l.Answers, l.Open
	switch {
	case len(say.bare) > 0:
		return procedures.Invalid("answers", said, fmt.Sprintf("%d answers too many: there are %d questions", len(say.bare), len(sights)), "the questions in order: beadwright look "+w.Mark)
	case l.Grade == "" && said == "" && say.asked == 0:
		return a.printLookQuestions(out)
	case l.Grade == "":
		return unfinished("look "+w.Mark, "nothing wrong was said and not all was answered, so it decides nothing yet and nothing was written down", out.Answers, out.Questions)
	}
	out.Grade, out.Found = l.Grade, l.Found
	out.Weld, out.Added, err = a.addSymptoms(ctx, w.Mark, inspect.Symptoms(l.Found))
	if err != nil {
		return err
	}
	if out.Outweighs = inspect.Outweighs(w); out.Outweighs != "" {
		out.Grade, out.Worth = inspect.No, out.Outweighs+": that outweighs looks; "+lookWorth
	}
	if a.json {
		return a.printJSON(out)
	}
	a.printLooked(out)
	a.storedCharges(ctx, w.Job.Machine)
	return nil
}

// addSymptoms writes symptoms down with a weld and returns those that were new.
func (a *app) addSymptoms(ctx context.Context, mark string, found []string) (procedures.Weld, []string, error) {
	nb, err := a.notebook(ctx)
	if err != nil {
		return procedures.Weld{}, nil, err
	}
	added := []string{}
	w, _, err := nb.AmendWeld(ctx, mark, func(w *procedures.Weld) error {
		before := len(w.Outcome.Symptoms)
		for _, key := range found {
			w.Outcome.Symptoms = appendOnce(w.Outcome.Symptoms, key)
		}
		added = append(added, w.Outcome.Symptoms[before:]...)
		return nil
	})
	return w, added, err
}

// unfinished says that answers ended before they decided, and how to go on with
// what was said.
func unfinished(command, problem string, said []inspect.Answer, all []inspect.Question) error {
	i := slices.IndexFunc(all, func(q inspect.Question) bool {
		return !slices.ContainsFunc(said, func(a inspect.Answer) bool { return a.Key == q.Key })
	})
	hints := []string{}
	if i >= 0 {
		hints = append(hints, fmt.Sprintf("the next question is %s: %s", all[i].Key, all[i].Text))
	}
	so := saidSoFar(said)
	if so != "" && i >= 0 {
		hints = append(hints, fmt.Sprintf("go on with what was said: beadwright %s --answers '%s %s=...'", command, so, all[i].Key))
	}
	return procedures.Invalid("answers", so, problem, append(hints, answersFlag)...)
}

func (a *app) printLookQuestions(l looked) error {
	if a.json {
		return a.printJSON(l)
	}
	a.printf("\nanswer in this order\n")
	for i, q := range l.Questions {
		a.bullet(fmt.Sprintf("%d %s: %s", i+1, q.Key, q.Text), q.Source)
	}
	a.line("next", "a bead with nothing wrong is: beadwright look "+l.Mark+" --answers '"+l.AllGood+"'. Say what you see; nothing was written down yet")
	a.printSources(l.Sources)
	return nil
}

func (a *app) printLooked(l looked) {
	word, text := "GO", l.Mark+": nothing wrong to be seen"
	switch {
	case l.Outweighs != "" && len(l.Found) == 0:
		word, text = "NO", l.Mark+": looks: nothing wrong. But "+l.Outweighs+": that outweighs looks"
	case l.Outweighs != "":
		word, text = "NO", l.Mark+": not as it is. And "+l.Outweighs+": that outweighs looks"
	case l.Grade == inspect.Closer:
		word, text = "CLOSER", l.Mark+": look closer before you make up your mind"
	case l.Grade == inspect.No:
		word, text = "NO", l.Mark+": not as it is"
	}
	a.line(word, text)
	for _, f := range l.Found {
		do := f.Do
		if sum := sightTyped[f.Key]; sum != "" {
			do += ". The sum: " + sum
		}
		a.bullet(fmt.Sprintf("%s: %s: %s", f.Key, f.Grade, do), f.Source)
	}
	if n := len(l.Open); n > 0 && l.Grade == inspect.No {
		a.line("not asked", fmt.Sprintf("%s: it is decided without", strings.Join(l.Open, ", ")))
	} else if n > 0 {
		a.line("not said", fmt.Sprintf("%s: look there too. Go on: beadwright look %s --answers '%s %s=...'", strings.Join(l.Open, ", "), l.Mark, saidSoFar(l.Answers), l.Open[0]))
	}
	if len(l.Added) > 0 {
		a.line("kept", "with "+l.Mark+": "+strings.Join(l.Added, ", ")+". What next: beadwright remedy --from "+l.Mark)
	}
	switch {
	case l.Outweighs != "":
		a.line("worth", lookWorth)
	default:
		a.line("worth", l.Worth+": beadwright test "+l.Mark+" break")
	}
	a.printSources(l.Sources)
}
