package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend"
)

type rateOptions struct {
	blind, kept         bool
	older, note, strike string
}

func newRate(a *app) *cobra.Command { return newRateBy(a, rand.IntN) }

// newRateBy is newRate with the choice of one picture of n.
func newRateBy(a *app, pick func(n int) int) *cobra.Command {
	var o rateOptions
	cmd := &cobra.Command{
		Use:   "rate [MARK|PICTURE RATING]",
		Short: "Rate the picture of an old bead again, blind, to see how your eye drifts",
		Long: `With --blind: shows where the picture of an old bead lies, chosen at random, with
its mark, settings and rating covered, and takes a rating from 1 to 5, picture after
picture; an empty line ends it. Only then are the first ratings told. After 5
pictures it says how you rate now against then, and how sure that is. The first
rating of a bead stays as it was, and no suggestion is moved.

A picture kept in the notebook is laid out in a folder for passing files, under a
name that tells nothing. One that lies outside is shown by its name: choose one
that tells nothing.`,
		Example: `  beadwright rate --blind
  beadwright rate --blind photos/0412.jpg 4
  beadwright rate A5 3 --note "a toe is rolled over"
  beadwright rate`,
		Args: cobra.MaximumNArgs(2),
		RunE: func(cmd *cobra.Command, args []string) error {
			return a.rate(cmd.Context(), o, pick, args, cmd.InOrStdin())
		},
	}
	f := cmd.Flags()
	f.BoolVar(&o.blind, "blind", false, "with mark, settings and first rating covered")
	f.BoolVar(&o.kept, "kept", false, "with --blind: only pictures that the notebook keeps, named by their id and laid out nowhere")
	f.StringVar(&o.older, "older", "30d", "only what was last rated longer ago: 30d, 8w, or before a day")
	f.StringVar(&o.note, "note", "", "what you saw")
	f.StringVar(&o.strike, "strike", "", "withdraw the last later rating of MARK, and why")
	return cmd
}

// relooked is a picture rated again.
type relooked struct {
	Picture string           `json:"picture"`
	Mark    string           `json:"mark"`
	First   procedures.Count `json:"first"`
	Rating  procedures.Count `json:"rating"`
	Blind   bool             `json:"blind"`
	id      string           // of its weld
}

// rated is what the command comes to.
type rated struct {
	Picture  string               `json:"picture"` // shown, and not rated yet
	Rated    []relooked           `json:"rated"`   // now
	Struck   *procedures.Rerating `json:"struck"`
	Waiting  int                  `json:"waiting"` // pictures that were not looked at for long
	Blind    int                  `json:"pictures"`
	Needed   int                  `json:"needed"`
	Judgment *recommend.Judgment  `json:"judgment"`
	Text     string               `json:"text"`
	Missing  []string             `json:"missing"` // files that are not there
	kept     bool                 // Picture is the id of one that is laid out nowhere
}

func (a *app) rate(ctx context.Context, o rateOptions, pick func(int) int, args []string, in io.Reader) error {
	nb, err := a.mustExist(ctx, "log 4 --photo FILE")
	if err != nil {
		return err
	}
	then, err := a.parseSince(o.older)
	if err != nil {
		return procedures.Invalid("older", o.older, "not an age", "accepted: 30d (days), 8w (weeks), or a day: 2026-05-01")
	}
	out := rated{Rated: []relooked{}, Missing: []string{}, kept: o.kept}
	switch {
	case o.strike != "" || len(args) == 1:
		if o.strike == "" || len(args) != 1 || o.blind {
			return &usageError{err: fmt.Errorf("rate: a mark or picture goes with a rating"), hints: []string{"such as: beadwright rate A5 3", "to withdraw the last one: beadwright rate A5 --strike 'wrong picture'"}}
		}
		struck, err := nb.StrikeRerating(ctx, args[0], o.strike)
		if err != nil {
			return err
		}
		out.Struck = &struck
	case len(args) == 2:
		err = a.rateOne(ctx, nb, o, args[0], args[1], &out)
	case o.blind:
		err = a.rateBlind(ctx, nb, o, then, pick, in, &out)
	}
	if err != nil {
		return err
	}
	if err := out.judge(ctx, nb, then); err != nil {
		return err
	}
	if a.json {
		return a.printJSON(out)
	}
	a.printRated(out)
	return nil
}

// rateOne rates a weld given by its mark, or blind by its picture.
func (a *app) rateOne(ctx context.Context, nb *store.Notebook, o rateOptions, which, word string, out *rated) error {
	rating, err := parseRating(word)
	if err != nil {
		return err
	}
	var w procedures.Weld
	if o.blind {
		all, err := nb.ToRerate(ctx, a.now().Add(time.Hour))
		if err != nil {
			return err
		}
		kept, err := beads(ctx, nb)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(all, func(w procedures.Weld) bool {
			return w.Outcome.Photo == which || kept[w.ID].ID != "" && strings.HasPrefix(filepath.Base(which), kept[w.ID].ID)
		})
		if i < 0 {
			return procedures.Invalid("picture", which, "no rated weld has this picture", "its name as it was shown by: beadwright rate --blind", "by the mark it is not blind: beadwright rate A5 3")
		}
		w = all[i]
	} else if w, _, err = nb.Weld(ctx, which); err != nil {
		return err
	}
	return out.add(ctx, nb, w, rating, o.blind, o.note)
}

// rateBlind shows pictures at random and takes ratings line by line.
func (a *app) rateBlind(ctx context.Context, nb *store.Notebook, o rateOptions, then time.Time, pick func(int) int, in io.Reader, out *rated) error {
	waiting, err := nb.ToRerate(ctx, then)
	if err != nil {
		return err
	}
	kept, err := beads(ctx, nb)
	if err != nil {
		return err
	}
	waiting = slices.DeleteFunc(waiting, func(w procedures.Weld) bool {
		if kept[w.ID].ID != "" || o.kept {
			return kept[w.ID].ID == ""
		}
		_, err := os.Stat(w.Outcome.Photo)
		if err != nil {
			out.Missing = append(out.Missing, w.Outcome.Photo)
		}
		return err != nil
	})
	lines := bufio.NewScanner(in)
	for len(waiting) > 0 {
		i := pick(len(waiting))
		w := waiting[i]
		waiting = slices.Delete(waiting, i, i+1)
		if p := kept[w.ID]; o.kept {
			w.Outcome.Photo = p.ID
		} else if p.ID != "" {
			if w.Outcome.Photo, err = laidOut(ctx, nb, p); err != nil {
				return err
			}
		}
		out.Picture = w.Outcome.Photo
		if !a.json {
			path := w.Outcome.Photo
			if whole, err := filepath.Abs(path); err == nil && !o.kept {
				path = whole
			}
			a.line("look", path)
			a.line("", "how good is it, by sight? "+strings.Join(ratingNames[1:], ", ")+"; an empty line ends it")
		}
		rating, stop := procedures.Count(0), false
		for rating == 0 && !stop {
			if !lines.Scan() || strings.TrimSpace(lines.Text()) == "" {
				stop = true
				break
			}
			if rating, err = parseRating(lines.Text()); err != nil {
				if a.json {
					return err
				}
				a.line("", "a number from 1 to 5, please; an empty line ends it")
			}
		}
		if stop {
			return lines.Err()
		}
		out.Picture = ""
		if err := out.add(ctx, nb, w, rating, true, o.note); err != nil {
			return err
		}
	}
	return nil
}

// beads are the first pictures of beads that the notebook keeps, by weld.
func beads(ctx context.Context, nb *store.Notebook) (map[string]procedures.Photo, error) {
	photos, err := nb.Photos(ctx, "")
	first := map[string]procedures.Photo{}
	for _, p := range photos {
		if p.Role == procedures.BeadPhoto && first[p.Weld].ID == "" {
			first[p.Weld] = p
		}
	}
	return first, err
}

// laidOut writes a picture of the notebook to where it can be looked at, under a
// name that tells nothing of it.
func laidOut(ctx context.Context, nb *store.Notebook, p procedures.Photo) (path string, err error) {
	media, data, err := nb.PhotoData(ctx, p.ID, procedures.PhotoView)
	if err != nil {
		return "", err
	}
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	dir = filepath.Join(dir, "beadwright", "pictures")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return "", err
	}
	path = filepath.Join(dir, p.ID+"."+strings.TrimPrefix(media, "image/"))
	return path, os.WriteFile(path, data, 0o600)
}

func parseRating(word string) (procedures.Count, error) {
	said, err := procedures.ReadOutcome([]string{strings.TrimSpace(word)})
	if err != nil || said.Rating == 0 {
		return 0, procedures.Invalid("rating", word, "a rating is 1 to 5", "1 scrap, 2 ugly or in doubt, 3 would do, 4 good, 5 as good as I can")
	}
	return said.Rating, nil
}

func (r *rated) add(ctx context.Context, nb *store.Notebook, w procedures.Weld, rating procedures.Count, blind bool, note string) error {
	_, err := nb.AddRerating(ctx, procedures.Rerating{Weld: w.ID, Rating: rating, Blind: blind, Note: strings.TrimSpace(note)})
	if err == nil {
		r.Rated = append(r.Rated, relooked{w.Outcome.Photo, w.Mark, w.Outcome.Rating, rating, blind, w.ID})
	}
	return err
}

// judge sets the last blind look at each picture against its first rating.
func (r *rated) judge(ctx context.Context, nb *store.Notebook, then time.Time) error {
	all, err := nb.Reratings(ctx, "")
	if err != nil {
		return err
	}
	last := map[string]procedures.Count{}
	for _, look := range all {
		if look.Blind {
			last[look.Weld] = look.Rating
		}
	}
	welds, err := nb.History(ctx)
	if err != nil {
		return err
	}
	var looks []recommend.Relook
	for _, w := range welds {
		if later := last[w.ID]; later > 0 && w.Outcome.Rating > 0 {
			looks = append(looks, recommend.Relook{First: w.Outcome.Rating, Later: later})
		}
	}
	j, ok := recommend.JudgmentOf(looks)
	r.Blind, r.Needed = j.Pictures, max(0, recommend.FewestRelooks-j.Pictures)
	if ok {
		r.Judgment = &j
	}
	waiting, err := nb.ToRerate(ctx, then)
	r.Waiting, r.Text = len(waiting), r.words()
	return err
}

// words says how the judgment drifts.
func (r rated) words() string {
	j := r.Judgment
	if j == nil {
		return fmt.Sprintf("%d of at least %d pictures looked at blind; %d more before anything is said of your eye", r.Blind, recommend.FewestRelooks, r.Needed)
	}
	sure := fmt.Sprintf("%+.2f marks on the average of %d pictures, 19 times in 20 between %+.2f and %+.2f (MATH: Student's t)", j.Difference, j.Pictures, j.Range95[0], j.Range95[1])
	once := fmt.Sprintf(". One picture alone comes out off by about %.1f", j.Spread)
	switch j.Drift {
	case recommend.Harder:
		return "you rate harder now than when the beads were fresh: " + sure + once + ". Old 4s are worth less in your eyes today; a test does not drift"
	case recommend.Softer:
		return "you rate softer now than when the beads were fresh: " + sure + once + ". Today's 4s may be the 3s of then; a test does not drift"
	}
	return "no drift of your eye can be told: " + sure + once
}

func (a *app) printRated(r rated) {
	if r.Struck != nil {
		a.line("struck", fmt.Sprintf("a rating of %d. It is kept and no longer counted", r.Struck.Rating))
	}
	for _, l := range r.Rated {
		then := "the same as then"
		if l.Rating != l.First {
			then = fmt.Sprintf("%d then", l.First)
		}
		if l.Picture != "" {
			then += " (" + l.Picture + ")"
		}
		a.line(l.Mark, fmt.Sprintf("%d now, %s", l.Rating, then))
	}
	switch {
	case r.Picture != "" && r.kept:
		a.line("next", "to have it laid out to look at, leave --kept out; looked at on the page, then: beadwright rate --blind --kept '"+r.Picture+"' 4")
	case r.Picture != "":
		a.line("next", "look at it, then: beadwright rate --blind '"+r.Picture+"' 4")
	case r.Waiting == 1:
		a.line("look", "1 picture is waiting: beadwright rate --blind")
	case r.Waiting > 1:
		a.line("look", fmt.Sprintf("%d pictures are waiting: beadwright rate --blind", r.Waiting))
	case len(r.Rated) == 0 && r.Struck == nil:
		a.line("look", "no picture is waiting: one comes up 30 days after it was last rated (sooner or later: --older 8w)")
	}
	if len(r.Missing) > 0 {
		a.line("mind", fmt.Sprintf("%d pictures are not where they were: %s", len(r.Missing), strings.Join(r.Missing, ", ")))
	}
	a.line("eye", r.Text)
}
