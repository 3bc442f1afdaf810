package store

import (
	"context"

	"beadwright/procedures"
)

// Version tells one content of a notebook from another, for those who keep what
// they read of it: two of one version hold the same machines, spools and welds.
// Suggestions and arcs do not count.
type Version struct {
	Revision int64 // counts every change but a new weld
	Welds    int64 // number of the last weld logged
}

const revision = "revision"

// revise counts a change.
func (tx *tx) revise() error {
	return tx.exec("INSERT INTO settings (key, value) VALUES (?, '1') ON CONFLICT (key) DO UPDATE SET value = CAST(value AS INTEGER) + 1", revision)
}

func (tx *tx) version() (v Version, err error) {
	err = tx.get([]any{&v.Revision, &v.Welds}, "SELECT coalesce((SELECT CAST(value AS INTEGER) FROM settings WHERE key = ?), 0), coalesce((SELECT max(n) FROM welds), 0)", revision)
	return v, err
}

// Version returns the version that the notebook is at now, whichever program
// brought it there.
func (n *Notebook) Version(ctx context.Context) (v Version, err error) {
	err = n.read(ctx, func(tx *tx) error {
		v, err = tx.version()
		return err
	})
	return v, err
}

// PastTexts is [Notebook.Past] for one who has read it at the version given: the welds
// logged since, in the order of their ids, beside each what it is found by (the words
// that Find looks through, those of its spool too), and the version now. Where more has
// changed than that welds were logged, whole is true and the list is all.
func (n *Notebook) PastTexts(ctx context.Context, v Version) (list []procedures.Weld, texts []string, now Version, whole bool, err error) {
	err = n.read(ctx, func(tx *tx) error {
		if now, err = tx.version(); err != nil {
			return err
		}
		if whole = now.Revision != v.Revision || v.Welds == 0; whole {
			v.Welds = 0
		} else if now == v {
			return nil
		}
		if list, err = tx.past(after(v.Welds)); err != nil {
			return err
		}
		of, err := tx.textsAfter(v.Welds, len(list))
		texts = make([]string, len(list))
		for i := range list {
			texts[i] = of[list[i].ID]
		}
		return err
	})
	return list, texts, now, whole, err
}
