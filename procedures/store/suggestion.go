package store

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
)

// Suggestion is what was suggested for a job, kept so that it can be judged by
// the welds that followed it.
type Suggestion struct {
	ID       string // UUIDv7
	At       time.Time
	Job      procedures.Job
	Settings procedures.Settings
	Verdict  string          // proved, inside, edge, outside, refused
	Document json.RawMessage // the whole answer and what it was based on
}

var verdicts = []string{"proved", "inside", "edge", "outside", "refused"}

func suggestionColumns(s *Suggestion) []column {
	return slices.Concat([]column{
		{"id", "id", text[string]{&s.ID}},
		{"at", "at", moment{&s.At}},
		{"verdict", "verdict", text[string]{&s.Verdict}},
		{"document", "document", raw{&s.Document}},
		{"machine", "job.machine", text[string]{&s.Job.Machine}},
		{"state", "job.state", text[string]{&s.Job.State}},
	}, jobColumns(&s.Job), settingsColumns(&s.Settings))
}

// SaveSuggestion keeps a suggestion and returns it with its id and time, where
// it had none. Errors: InvalidError where it cannot be.
func (n *Notebook) SaveSuggestion(ctx context.Context, s Suggestion) (Suggestion, error) {
	if err := s.Job.Validate(); err != nil {
		return s, err
	}
	if err := s.Settings.Validate(); err != nil {
		return s, err
	}
	if !slices.Contains(verdicts, s.Verdict) {
		return s, procedures.Invalid("verdict", s.Verdict, "not a verdict", "accepted: "+strings.Join(verdicts, ", "))
	}
	if len(s.Document) > 0 && !json.Valid(s.Document) {
		return s, procedures.Invalid("document", string(s.Document), "not JSON")
	}
	err := n.aside(ctx, func(tx *tx) error {
		if err := giveID(&s.ID); err != nil {
			return err
		}
		if err := giveTime("at", &s.At, tx.now); err != nil {
			return err
		}
		if err := legible(suggestionColumns(&s)); err != nil {
			return err
		}
		var taken bool
		if err := tx.get([]any{&taken}, "SELECT EXISTS (SELECT 1 FROM suggestions WHERE id = ?)", s.ID); err != nil {
			return err
		}
		if taken {
			return procedures.Invalid("id", s.ID, "there is a suggestion with this id already", "leave the id out, and one is given")
		}
		_, err := tx.insert("suggestions", suggestionColumns(&s)...)
		return err
	})
	return s, err
}

// Suggestion returns the suggestion of that id. Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) Suggestion(ctx context.Context, id string) (Suggestion, error) {
	return n.suggestion(ctx, "suggestion "+id, "WHERE id = ?", strings.ToLower(strings.TrimSpace(id)))
}

// LastSuggestion returns the suggestion that was saved last. Errors: wraps
// [procedures.ErrNotFound] where there is none.
func (n *Notebook) LastSuggestion(ctx context.Context) (Suggestion, error) {
	return n.suggestion(ctx, "last suggestion", "ORDER BY n DESC LIMIT 1")
}

func (n *Notebook) suggestion(ctx context.Context, asked, which string, args ...any) (s Suggestion, err error) {
	found := false
	err = n.read(ctx, func(tx *tx) error {
		cols := suggestionColumns(&s)
		return tx.each(func(r scanner) error {
			found = true
			return r.Scan(cells(cols)...)
		}, "SELECT "+names(cols)+" FROM suggestions "+which, args...)
	})
	if err == nil && !found {
		err = fmt.Errorf("%s: %w", asked, procedures.ErrNotFound)
	}
	return s, err
}

// TrackRecord counts the suggestions that were followed by a rated weld, and those
// whose first such weld was good, as [procedures.Outcome.Good] has it. Struck welds
// do not count.
func (n *Notebook) TrackRecord(ctx context.Context) (followed, good int, err error) {
	err = n.read(ctx, func(tx *tx) error {
		return tx.each(func(r scanner) error { return r.Scan(&followed, &good) }, `
SELECT count(*), coalesce(sum(rating >= 4
  AND NOT EXISTS (SELECT 1 FROM tests WHERE weld = first AND passed = 0)
  AND NOT EXISTS (SELECT 1 FROM symptoms WHERE weld = first AND key = 'crack')
  AND NOT (EXISTS (SELECT 1 FROM symptoms WHERE weld = first AND key = 'lack-of-fusion')
           AND NOT EXISTS (SELECT 1 FROM tests WHERE weld = first AND passed = 1 AND kind IN ('bend', 'break')))
  AND NOT EXISTS (SELECT 1 FROM followups WHERE weld = uuid AND held = 0 AND struck IS NULL)), 0)
FROM (SELECT min(n) AS first, id AS uuid, rating FROM welds
      WHERE suggestion IS NOT NULL AND rating IS NOT NULL AND struck IS NULL GROUP BY suggestion)`)
	})
	return followed, good, err
}
