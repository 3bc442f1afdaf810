package store

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
)

// Find returns the welds that fit the filter: with words, the best match first;
// else the latest first. Errors: InvalidError where the filter cannot be.
func (n *Notebook) Find(ctx context.Context, f procedures.Filter) ([]procedures.Weld, error) {
	list, _, err := n.Page(ctx, f, false)
	return list, err
}

// numbered reads the welds of these numbers, in this order.
func (tx *tx) numbered(rows []int64) ([]procedures.Weld, error) {
	numbers, err := json.Marshal(rows)
	if err != nil {
		return nil, err
	}
	list, err := tx.welds("WHERE n IN (SELECT value FROM json_each(?)) ORDER BY n", string(numbers))
	if err != nil {
		return nil, err
	}
	place := ascending(rows)
	ordered := make([]procedures.Weld, len(rows))
	for i, at := range place {
		ordered[at] = list[i]
	}
	return ordered, nil
}

// ascending lists the places of rows in the order of their numbers.
func ascending(rows []int64) []int {
	place := make([]int, len(rows))
	for i := range place {
		place[i] = i
	}
	slices.SortFunc(place, func(i, j int) int { return cmp.Compare(rows[i], rows[j]) })
	return place
}

// searchedTexts are the columns that, with three sizes, make up
// [procedures.JobText]; ownTexts those that hardly two welds have alike.
var (
	searchedTexts = []string{"machine", "steel", "thickness_said", "other_thickness_said", "form", "other_form", "joint", "weld_type", "position", "coating", "wire_class", "wire_gas", "process", "tap", "polarity", "technique"}
	ownTexts      = []string{"mark", "note", "made_for", "job_said", "said"}
)

// rank returns the numbers of the welds in which every word has its like, the best
// match first, the later of two alike before the other. What many welds have in
// common, and each symptom, is compared with the words once.
func (tx *tx) rank(words, where string, args ...any) ([]int64, error) {
	spools, err := tx.spools("1 = 1")
	if err != nil {
		return nil, err
	}
	q := procedures.NewQuery(words)
	spool := map[string]procedures.Likeness{}
	for _, s := range spools {
		spool[s.ID] = q.Unlike()
		q.Read(spool[s.ID], s.Name)
	}
	type job struct {
		texts                  string
		thick, other, diameter procedures.MM
	}
	var w procedures.Weld
	var this job
	var row int64
	var own, from string
	cols := slices.DeleteFunc(weldColumns(&w), func(c column) bool { return !slices.Contains(searchedTexts, c.name) })
	dest := []any{&row, &this.texts, number[procedures.MM]{&this.thick}, number[procedures.MM]{&this.other}, number[procedures.MM]{&this.diameter}, moment{&w.At}, text[string]{&from}, &own}

	known := map[job]procedures.Likeness{}
	var found []likeWeld
	var rows []int64
	var free procedures.Likeness // room for many
	err = tx.each(func(r scanner) error {
		if err := r.Scan(dest...); err != nil {
			return err
		}
		common, ok := known[this]
		if !ok {
			if err := unpack(this.texts, cols); err != nil {
				return err
			}
			w.Job.Thickness, w.Job.OtherThickness, w.Job.Wire.Diameter = this.thick, this.other, this.diameter
			common = q.Unlike()
			q.Read(common, procedures.JobText(w))
			known[this] = common
		}
		if len(free) < len(common) {
			free = make(procedures.Likeness, 1<<16*len(common))
		}
		like := free[:copy(free, common):len(common)]
		free = free[len(like):]
		like.Join(spool[from])
		q.Read(like, own)
		found, rows = append(found, likeWeld{row, w.At, like, 0}), append(rows, row)
		return nil
	}, "SELECT n, "+packed(cols)+", thickness_mm, other_thickness_mm, wire_diameter_mm, at, spool, concat("+strings.Join(ownTexts, ", ' ', ")+") FROM welds WHERE "+where, args...)
	if err != nil || len(found) == 0 {
		return nil, err
	}
	if err := tx.findingsLike(q, found, rows); err != nil {
		return nil, err
	}
	hits := found[:0]
	for _, f := range found {
		var ok bool
		if f.score, ok = q.Score(f.like); ok {
			hits = append(hits, f)
		}
	}
	slices.SortFunc(hits, func(a, b likeWeld) int {
		return cmp.Or(cmp.Compare(b.score, a.score), b.at.Compare(a.at), cmp.Compare(b.row, a.row))
	})
	rows = rows[:0]
	for _, h := range hits {
		rows = append(rows, h.row)
	}
	return rows, nil
}

// likeWeld is a weld and how like it is to the words looked for.
type likeWeld struct {
	row   int64
	at    time.Time
	like  procedures.Likeness
	score int
}

// findingsLike joins in the symptoms and tests of the welds found.
func (tx *tx) findingsLike(q *procedures.Query, found []likeWeld, rows []int64) error {
	which, args := "", []any{}
	if len(rows) <= 1000 {
		numbers, err := json.Marshal(rows)
		if err != nil {
			return err
		}
		which, args = " WHERE weld IN (SELECT value FROM json_each(?))", append(args, string(numbers))
	}
	place := ascending(rows)
	known := map[string]procedures.Likeness{}
	join := func(query string, text func(string) string) error {
		var row int64
		var key string
		at := 0
		return tx.each(func(r scanner) error {
			if err := r.Scan(&row, &key); err != nil {
				return err
			}
			for at < len(place) && rows[place[at]] < row {
				at++
			}
			if at == len(place) || rows[place[at]] != row {
				return nil
			}
			like, ok := known[key]
			if !ok {
				like = q.Unlike()
				q.Read(like, text(key))
				known[key] = like
			}
			found[place[at]].like.Join(like)
			return nil
		}, query, args...)
	}
	if err := join("SELECT weld, key FROM symptoms"+which+" ORDER BY weld, place", procedures.SymptomText); err != nil {
		return err
	}
	clear(known)
	return join("SELECT weld, kind || ' ' || result FROM tests"+which+" ORDER BY weld, place", func(s string) string { return s })
}
