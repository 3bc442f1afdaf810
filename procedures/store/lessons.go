package store

import (
	"context"
	"encoding/json"
	"slices"

	"beadwright/procedures"
)

// What is read of a notebook for a recommender, so that an answer takes no longer
// with a million welds than with some thousands. A shop that fills these has known
// its machine for years, and the table of the method gains little after the first
// hundreds. Design choices.
const (
	lessonsLatest = 3000 // welds made last
	lessonsLike   = 20   // made last of each joint, thickness, position and machine
	lessonsTested = 2000 // tested last
	lessonsStep   = 1000 // welds logged until these are chosen anew
)

// AllLessons is how many welds a notebook may hold of which all are lessons.
const AllLessons = lessonsLatest + lessonsStep - 1

// Lessons is [Notebook.Past] for a recommender: all welds that stand while there
// are no more than a few thousand; in a larger notebook those made last, those made
// last of each joint, thickness, position and machine, those tested last, and all
// that failed in use. What it costs hardly grows with the notebook.
func (n *Notebook) Lessons(ctx context.Context) ([]procedures.Weld, error) {
	news, err := n.LessonsSince(ctx, Version{})
	return news.Welds, err
}

// LessonsSince is [Notebook.Lessons] for one who has read them at the version given.
// What was corrected since is a lesson from then on.
func (n *Notebook) LessonsSince(ctx context.Context, v Version) (news News, err error) {
	err = n.read(ctx, func(tx *tx) error {
		var which selection
		if news, which, err = tx.news(v); err != nil {
			return err
		}
		chosen := news.Version.Welds / lessonsStep * lessonsStep
		if news.Whole = news.Whole || chosen != v.Welds/lessonsStep*lessonsStep; news.Whole {
			which, news.Gone = after(0), nil
			if chosen > lessonsLatest {
				rows, err := tx.lessons(chosen)
				if err != nil {
					return err
				}
				which = these(rows)
			}
		}
		news.Welds, err = tx.past(which)
		return err
	})
	return news, err
}

// lessons lists the numbers of the welds to be read: chosen among the welds up to
// one number, and all after it. It steps from one thickness to the next in the index
// of jobs, so that what it costs follows the kinds of job, not the welds.
func (tx *tx) lessons(chosen int64) (rows []int64, err error) {
	joints, err := json.Marshal(procedures.Joints())
	if err != nil {
		return nil, err
	}
	positions, err := json.Marshal(procedures.Positions())
	if err != nil {
		return nil, err
	}
	var row int64
	err = tx.each(func(r scanner) error {
		err := r.Scan(&row)
		rows = append(rows, row)
		return err
	}, `WITH RECURSIVE
	size (joint, mm) AS (
		SELECT value, (SELECT min(thickness_mm) FROM welds WHERE joint = value) FROM json_each(?2)
		UNION ALL
		SELECT joint, (SELECT min(thickness_mm) FROM welds w WHERE w.joint = size.joint AND w.thickness_mm > size.mm) FROM size WHERE mm IS NOT NULL),
	place (position, machine) AS (
		SELECT value, name FROM json_each(?3), (SELECT name FROM machines UNION ALL SELECT NULL))
	SELECT n FROM welds WHERE n > ?1
	UNION
	SELECT n FROM (SELECT n FROM welds WHERE n <= ?1 ORDER BY at DESC, n DESC LIMIT ?4)
	UNION
	SELECT w.n FROM size CROSS JOIN place CROSS JOIN welds w ON w.n IN (
		SELECT like.n FROM welds like WHERE like.joint = size.joint AND like.thickness_mm = size.mm AND like.position = place.position AND like.machine IS place.machine AND like.n <= ?1 AND like.struck IS NULL
		ORDER BY like.n DESC LIMIT ?5)
	UNION
	SELECT weld FROM (SELECT DISTINCT weld FROM tests WHERE weld <= ?1 ORDER BY weld DESC LIMIT ?6)
	UNION
	SELECT w.n FROM followups f JOIN welds w ON w.id = f.weld WHERE f.held = 0 AND f.struck IS NULL`,
		chosen, string(joints), string(positions), lessonsLatest, lessonsLike, lessonsTested)
	slices.Sort(rows)
	return rows, err
}
