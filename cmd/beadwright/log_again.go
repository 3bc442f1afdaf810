package main

import (
	"context"
	"errors"
	"strings"

	"github.com/google/uuid"

	"beadwright/procedures"
)

// sent looks for the weld that was recorded under an id which its sender chose:
// one who never heard that it was received sends it again. What is said again is
// then laid over what was recorded, as if that had been suggested, so that the
// notebook sees the same weld and not one that follows what was suggested since.
func (a *app) sent(ctx context.Context, id string) (weld procedures.Weld, again bool, err error) {
	if id == "" {
		return weld, false, nil
	}
	if u, err := uuid.Parse(id); err != nil || len(id) != 36 || u.Version() != 7 {
		return weld, false, procedures.Invalid("id", id, "not an id of a record", "accepted: a UUID of version 7, new for every weld; leave it out, and one is given")
	}
	nb, err := a.existing(ctx)
	if err != nil || nb == nil {
		return weld, false, err
	}
	old, _, err := nb.Weld(ctx, strings.ToLower(id))
	if errors.Is(err, procedures.ErrNotFound) {
		return weld, false, nil
	} else if err != nil {
		return weld, false, err
	}
	return procedures.Weld{At: old.At, Job: old.Job, Spool: old.Spool, Settings: old.Settings, Suggestion: old.Suggestion, ArcTime: old.ArcTime}, true, nil
}

// noteOf is what the words of a weld that is sent again say beside rating and
// symptoms: the note, or nothing where they hold the whole job.
func (a *app) noteOf(ctx context.Context, o logOptions, rest []string, units procedures.Units) (string, error) {
	_, job, err := a.jobSaid(ctx, o, rest, units)
	if job {
		return "", err
	}
	return strings.TrimSpace(strings.Join(rest, " ")), err
}
