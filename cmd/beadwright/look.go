package main

import (
	"context"
	"errors"
	"fmt"
	"io"
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
--answers. What is wrong is written down as symptoms. A look finds faults and never
proves anything: a pretty bead can lie on cold steel.

Exit status: 0 looked over, or the questions alone; 2 not understood.`,
		Example: `  beadwright look A5
  beadwright look A5 --answers 'no no no yes no no no no'
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
	out := looked{Mark: w.Mark, Answers: []inspect.Answer{}, Found: []inspect.Seen{}, Added: []string{}, Weld: w, Worth: lookWorth, Sources: map[string]string{}}
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
	grade, found, answers, err := inspect.Look(sights, say.ask)
	out.Answers = append(out.Answers, answers...)
	switch {
	case errors.Is(err, errUnanswered) && say.asked > 0:
		return procedures.Invalid("answers", fmt.Sprint(say.asked), fmt.Sprintf("there are %d questions, and nothing was written down", len(sights)), "go on where you left: beadwright look "+w.Mark)
	case errors.Is(err, errUnanswered):
		if a.json {
			return a.printJSON(out)
		}
		a.printf("\nanswer in this order\n")
		for i, q := range out.Questions {
			a.bullet(fmt.Sprintf("%d %s: %s", i+1, q.Key, q.Text), q.Source)
		}
		a.line("next", "beadwright look "+w.Mark+" --answers 'no no ...'; nothing was written down yet")
		a.printSources(out.Sources)
		return nil
	case err != nil:
		return err
	}
	if len(say.bare) > 0 {
		return procedures.Invalid("answers", said, fmt.Sprintf("%d answers too many: there are %d questions", len(say.bare), len(sights)), "the questions in order: beadwright look "+w.Mark)
	}
	out.Grade, out.Found = grade, found
	out.Weld, out.Added, err = a.addSymptoms(ctx, w.Mark, inspect.Symptoms(found))
	if err != nil {
		return err
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

func (a *app) printLooked(l looked) {
	word, text := "GO", l.Mark+": nothing wrong to be seen"
	switch l.Grade {
	case inspect.Closer:
		word, text = "CLOSER", l.Mark+": look closer before you make up your mind"
	case inspect.No:
		word, text = "NO", l.Mark+": not as it is"
	}
	a.line(word, text)
	for _, f := range l.Found {
		a.bullet(fmt.Sprintf("%s: %s: %s", f.Key, f.Grade, f.Do), f.Source)
	}
	if len(l.Added) > 0 {
		a.line("kept", "with "+l.Mark+": "+strings.Join(l.Added, ", ")+". What next: beadwright remedy --from "+l.Mark)
	}
	a.line("worth", l.Worth+": beadwright test "+l.Mark+" break")
	a.printSources(l.Sources)
}
