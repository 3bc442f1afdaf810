package store

import (
	"context"

	"beadwright/procedures"
)

// Version tells one content of a notebook from another, for those who keep what
// they read of it: two of one version hold the same machines, spools and welds.
// Suggestions and arcs do not count.
type Version struct {
	Revision    int64 // counts every change but those of single welds
	Corrections int64 // counts what became of welds after they were logged: amended, withdrawn, told of in use
	Welds       int64 // number of the last weld logged
}

// News is what is new in a notebook for one who has read it at some version.
type News struct {
	Version Version           // now
	Whole   bool              // more has changed than single welds: Welds is all there is
	Welds   []procedures.Weld // that stand, logged or corrected since, in the order of their ids
	Texts   []string          // beside each weld what it is found by, where that was asked for
	Gone    []string          // ids of those that were withdrawn since
}

const revision = "revision"

// revise counts a change.
func (tx *tx) revise() error {
	return tx.exec("INSERT INTO settings (key, value) VALUES (?, '1') ON CONFLICT (key) DO UPDATE SET value = CAST(value AS INTEGER) + 1", revision)
}

// keptCorrections is how many corrections may be missed by one who then need not read
// everything anew. A design choice.
const keptCorrections = 1000

// corrected notes that something became of a weld, by its id.
func (tx *tx) corrected(id string) error {
	if err := tx.exec("INSERT INTO corrections (weld) SELECT n FROM welds WHERE id = ?", id); err != nil {
		return err
	}
	return tx.exec("DELETE FROM corrections WHERE n <= (SELECT max(n) FROM corrections) - ?", keptCorrections)
}

func (tx *tx) version() (v Version, err error) {
	err = tx.get([]any{&v.Revision, &v.Corrections, &v.Welds},
		"SELECT coalesce((SELECT CAST(value AS INTEGER) FROM settings WHERE key = ?), 0), coalesce((SELECT max(n) FROM corrections), 0), coalesce((SELECT max(n) FROM welds), 0)", revision)
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

// PastSince is [Notebook.Past] for one who has read it at the version given, and beside
// each weld its text: the words that Find looks through, those of its spool too.
func (n *Notebook) PastSince(ctx context.Context, v Version) (news News, err error) {
	err = n.read(ctx, func(tx *tx) error {
		var which selection
		if news, which, err = tx.news(v); err != nil {
			return err
		}
		if news.Welds, err = tx.past(which); err != nil {
			return err
		}
		of, err := tx.texts(which, len(news.Welds))
		news.Texts = make([]string, len(news.Welds))
		for i := range news.Welds {
			news.Texts[i] = of[news.Welds[i].ID]
		}
		return err
	})
	return news, err
}

// news says which welds are to be read for the news, and fills in the rest of them.
func (tx *tx) news(v Version) (news News, which selection, err error) {
	now, err := tx.version()
	if err != nil {
		return news, which, err
	}
	news.Version = now
	news.Whole = now.Revision != v.Revision || v.Welds == 0 || now.Corrections-v.Corrections > keptCorrections
	switch {
	case news.Whole:
		return news, after(0), nil
	case now.Corrections == v.Corrections:
		return news, after(v.Welds), nil
	}
	var rows []int64
	var row int64
	var id string
	err = tx.each(func(r scanner) error {
		gone := text[string]{&id}
		if err := r.Scan(&row, gone); err != nil {
			return err
		}
		if rows = append(rows, row); id != "" {
			news.Gone = append(news.Gone, id)
		}
		return nil
	}, `SELECT n, CASE WHEN struck IS NOT NULL THEN id END FROM welds
		WHERE n IN (SELECT n FROM welds WHERE n > ? UNION SELECT weld FROM corrections WHERE n > ?) ORDER BY n`, v.Welds, v.Corrections)
	return news, these(rows), err
}
