package store

import (
	"context"
	"time"

	"beadwright/procedures"
)

func bindFollowUp(f *procedures.FollowUp) later {
	return later{"followups", "follow-up", &f.ID, &f.Weld, &f.At, []column{
		{"held", "held", flag{&f.Held}},
		{"note", "note", text[string]{&f.Note}},
	}}
}

// AddFollowUp writes down how a weld, given by its mark or id, did in use, and
// returns it as recorded, with id and time filled in where they were not given. One
// that failed stays with the weld as Outcome.FailedInUse, whatever is said of it
// later, until the follow-up is withdrawn. One with the id of a recorded one and
// the same content is that one. Errors: InvalidError where it cannot be, or the
// weld is struck; wraps [procedures.ErrNotFound].
func (n *Notebook) AddFollowUp(ctx context.Context, f procedures.FollowUp) (procedures.FollowUp, error) {
	if err := f.Validate(); err != nil {
		return f, err
	}
	err := n.aside(ctx, func(tx *tx) error {
		return addLater(tx, &f, bindFollowUp, func(procedures.Weld) error { return nil })
	})
	return f, err
}

// FollowUps lists how a weld, given by its mark or id, did in use, "" all welds
// that stand, from the oldest on, without withdrawn ones. Errors: wraps
// [procedures.ErrNotFound].
func (n *Notebook) FollowUps(ctx context.Context, weld string) (list []procedures.FollowUp, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = latersOf(tx, bindFollowUp, weld)
		return err
	})
	return list, err
}

// StrikeFollowUp withdraws the last follow-up of a weld: it is kept, and nothing
// counts it any more. why says why. Errors: wraps [procedures.ErrNotFound];
// InvalidError without a reason.
func (n *Notebook) StrikeFollowUp(ctx context.Context, weld, why string) (procedures.FollowUp, error) {
	return strikeLast(ctx, n, bindFollowUp, weld, why)
}

// ToFollowUp lists the welds that stand, were made for something before then, and
// that no follow-up tells of, from the oldest on.
func (n *Notebook) ToFollowUp(ctx context.Context, then time.Time) (list []procedures.Weld, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.welds("WHERE struck IS NULL AND made_for IS NOT NULL AND at < ? AND NOT EXISTS (SELECT 1 FROM followups f WHERE f.weld = welds.id AND f.struck IS NULL) ORDER BY at, n", formatTime(then))
		return err
	})
	return list, err
}

// failures fills in which of the welds failed in use, when first and what was said of
// it then (SQLite takes the note from the row of the least time); place tells where in the list a weld of that number stands, if it does.
func (tx *tx) failures(list []procedures.Weld, place func(int64) (int, bool)) error {
	var row int64
	var at time.Time
	var note string
	when, said := moment{&at}, text[string]{&note}
	return tx.each(func(r scanner) error {
		if err := r.Scan(&row, when, said); err != nil {
			return err
		}
		if i, ok := place(row); ok {
			list[i].Outcome.FailedInUse, list[i].Outcome.InUse = at, note
		}
		return nil
	}, "SELECT w.n, min(f.at), f.note FROM followups f JOIN welds w ON w.id = f.weld WHERE f.held = 0 AND f.struck IS NULL GROUP BY w.n")
}
