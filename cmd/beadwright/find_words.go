package main

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
	"beadwright/recommend/steel"
)

var (
	ratingSaid   = procedures.Pattern(`^[1-5](\+|\.\.[1-5])$`)
	ratingNumber = procedures.Pattern(`^[1-5](\+|\.\.[1-5])?$`)
)

// takeRating takes a rating out of the words of a search: 4+, 2..4, or rating 4.
func takeRating(words []string) (rest []string, rating string) {
	words = strings.Fields(strings.Join(words, " "))
	for i, w := range words {
		w = strings.ToLower(w)
		if ratingSaid().MatchString(w) {
			return slices.Delete(slices.Clone(words), i, i+1), w
		}
		if (w == "rating" || w == "rated") && i+1 < len(words) && ratingNumber().MatchString(words[i+1]) {
			return slices.Delete(slices.Clone(words), i, i+2), words[i+1]
		}
	}
	return words, ""
}

// whichUnit is the question that a bare number raises where all else that was said
// makes a job: 3 tee. In "3 coats on" it is a word like others, and nil.
func whichUnit(err error, text string, units procedures.Units) error {
	var bad *procedures.InvalidError
	if !errors.As(err, &bad) || bad.Problem != procedures.WhichUnit {
		return nil
	}
	said, err := procedures.ReadJob(strings.Replace(" "+text+" ", " "+bad.Read+" ", " "+bad.Read+"mm ", 1), units, recommend.Lexicon())
	if err != nil && said.Job.Joint == "" && text != bad.Read || len(said.Unknown) > 0 || said.Job.For != "" {
		return nil
	}
	bad.Hints = append(bad.Hints, procedures.Way("or a rating: beadwright find --rating "+bad.Read, "or a rating, which has a field of its own"))
	return bad
}

// sayNothing tells why nothing was found, and what there is.
func (a *app) sayNothing(ctx context.Context, nb *store.Notebook, f procedures.Filter) error {
	if nb == nil {
		path, err := a.notebookPath()
		if err != nil {
			return err
		}
		a.printf("there is no notebook at %s yet: the first weld that is logged makes it\n", path)
		return nil
	}
	a.printf("nothing like that in the notebook\n")
	if len(f.Steels) > 0 {
		g, err := steel.Find(f.Steels[0])
		if err != nil {
			return err
		}
		without := f
		without.Steels, without.Limit = nil, 1
		found, total, err := nb.Page(ctx, without, true)
		if err != nil {
			return err
		}
		text := fmt.Sprintf("none of %s, nor of a steel like it (group %s)", g.Name, g.Group)
		if total > 0 {
			text += fmt.Sprintf("; of other steels: %d, such as %s of %s. Leave the steel out to see them", total, found[0].Mark, found[0].Job.Steel)
		}
		a.line("", text)
	}
	if f.Words != "" {
		a.line("", "fewer words may find more")
	}
	if f.Thickness > 0 && f.Within < 0.25 {
		a.line("", "a wider thickness: --within 25%")
	}
	return nil
}
