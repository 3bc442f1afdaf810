package store

import (
	"context"
	"database/sql/driver"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"

	"beadwright/procedures"
)

// Past is [Notebook.History] without the words, for a recommender: the notes and
// what was said are left empty, and so is how each value was got where no mark of
// the knob was noted. It reads several times as fast.
func (n *Notebook) Past(ctx context.Context) (list []procedures.Weld, err error) {
	err = n.read(ctx, func(tx *tx) error {
		list, err = tx.past(after(0))
		return err
	})
	return list, err
}

// selection names welds by their numbers, in SQL.
type selection struct {
	where string // for one column
	arg   any
	many  int // at the most; 0: all after arg
}

// after are the welds logged after the one of that number.
func after(row int64) selection { return selection{" > ?", row, 0} }

// these are the welds of these numbers.
func these(rows []int64) selection {
	list, err := json.Marshal(rows)
	if err != nil {
		panic(err) // numbers can be written
	}
	return selection{" IN (SELECT value FROM json_each(?))", string(list), len(rows)}
}

// past reads those of the selected welds that stand, in the order of their ids.
// Handing over a value costs more than finding it, so
// texts come many in one; and since a shop welds the same few jobs again and
// again, each such text is taken apart once. Symptoms and tests are read in the
// order of the welds and walk along with them.
func (tx *tx) past(which selection) ([]procedures.Weld, error) {
	room := which.many
	if room == 0 {
		if err := tx.get([]any{&room}, "SELECT coalesce(max(n), 0) - ? FROM welds", which.arg); err != nil || room <= 0 {
			return nil, err
		}
	}
	list := make([]procedures.Weld, 0, room)
	rows := make([]int64, 0, room)
	var w procedures.Weld
	var row int64
	cols := pastColumns(&w)
	dest := append(cells(cols), &row)
	err := tx.each(func(r scanner) error {
		if err := r.Scan(dest...); err != nil {
			return err
		}
		list, rows = append(list, w), append(rows, row)
		return nil
	}, "SELECT "+names(cols)+", n FROM welds WHERE struck IS NULL AND n"+which.where+" ORDER BY n", which.arg)
	if err != nil {
		return nil, err
	}
	at := 0
	place := func(row int64) (int, bool) { // asked for in ascending order
		for at < len(rows) && rows[at] < row {
			at++
		}
		return at, at < len(rows) && rows[at] == row
	}
	var key string
	err = tx.each(func(r scanner) error {
		if err := r.Scan(&row, &key); err != nil {
			return err
		}
		if i, ok := place(row); ok {
			o := &list[i].Outcome
			o.Symptoms = append(o.Symptoms, key)
		}
		return nil
	}, "SELECT weld, key FROM symptoms WHERE weld"+which.where+" ORDER BY weld, place", which.arg)
	if err != nil {
		return nil, err
	}
	at = 0
	var t procedures.Test
	err = tx.each(func(r scanner) error {
		if err := r.Scan(&row, &t.Kind, &t.Passed, &t.Result); err != nil {
			return err
		}
		if i, ok := place(row); ok {
			o := &list[i].Outcome
			o.Tests = append(o.Tests, t)
		}
		return nil
	}, "SELECT weld, kind, passed, result FROM tests WHERE weld"+which.where+" ORDER BY weld, place", which.arg)
	if err != nil {
		return nil, err
	}
	err = tx.failures(list, func(row int64) (int, bool) { return slices.BinarySearch(rows, row) })
	return inOrder(list), err
}

// inOrder puts welds in the order of their ids, in which they mostly stand
// already, unless those of another notebook came in.
func inOrder(list []procedures.Weld) []procedures.Weld {
	order := make([]int, len(list)) // a weld is too large to be moved about
	for i := range order {
		order[i] = i
	}
	byID := func(i, j int) int { return strings.Compare(list[i].ID, list[j].ID) }
	if slices.IsSortedFunc(order, byID) {
		return list
	}
	slices.SortFunc(order, byID)
	sorted := make([]procedures.Weld, len(list))
	for i, from := range order {
		sorted[i] = list[from]
	}
	return sorted
}

// What a recommender reads of a weld: what was welded, how it was set and how it
// turned out. The texts repeat from weld to weld.
var (
	learnedTexts = []string{"steel", "steel_group", "joint", "weld_type", "position", "coating", "wire_class", "wire_gas", "process", "machine", "state", "tap", "polarity"}
	learned      = []string{"thickness_mm", "other_thickness_mm", "coating_stripped", "gap_mm", "wire_diameter_mm", "knob", "wire_speed_m_min", "voltage_V", "current_A",
		"arc_s", "length_mm", "travel_mm_min", "passes", "rating"}
)

// pastColumns are the learned columns; the first one sets the whole weld.
func pastColumns(w *procedures.Weld) []column {
	all := weldColumns(w)
	texts := slices.DeleteFunc(slices.Clone(all), func(c column) bool { return !slices.Contains(learnedTexts, c.name) })
	texts = append(texts, column{"CASE WHEN knob IS NOT NULL THEN how END", "settings.how", object[procedures.How]{&w.Settings.How}})
	return append([]column{{packed(texts), "", template{w, texts, map[string]procedures.Weld{}}}, {"concat(id, at, mark)", "", identity{w}}, {"spool", "spool", shared{&w.Spool, map[string]string{}}}},
		slices.DeleteFunc(all, func(c column) bool { return !slices.Contains(learned, c.name) })...)
}

// packed selects texts as one, parted by NUL, which no text in a notebook has.
func packed(texts []column) string {
	names := make([]string, len(texts))
	for i, c := range texts {
		names[i] = c.name
	}
	return "concat(" + strings.Join(names, ", char(0), ") + ")"
}

// unpack scans packed texts into their columns.
func unpack(s string, texts []column) error {
	parts := strings.Split(s, "\x00")
	if len(parts) != len(texts) {
		return fmt.Errorf("%d texts in the place of %d", len(parts), len(texts))
	}
	for i, part := range parts {
		var value any
		if part != "" {
			value = part
		}
		if err := texts[i].Scan(value); err != nil {
			return err
		}
	}
	return nil
}

// template scans the packed texts of a weld and leaves the rest of it blank. Each
// is taken apart once.
type template struct {
	weld  *procedures.Weld
	texts []column // fields of that weld
	seen  map[string]procedures.Weld
}

func (c template) Value() (driver.Value, error) { return nil, nil } // never written

func (c template) Scan(v any) error {
	s, _ := v.(string)
	w, ok := c.seen[s]
	if !ok {
		*c.weld = procedures.Weld{}
		if err := unpack(s, c.texts); err != nil {
			return err
		}
		w = *c.weld
		c.seen[s] = w
	}
	*c.weld = w
	c.weld.Settings.How = maps.Clone(w.Settings.How)
	return nil
}

// shared scans a text that is one of a few in most rows: each is kept once.
type shared struct {
	p    *string
	seen map[string]string
}

func (c shared) Value() (driver.Value, error) { return text[string]{c.p}.Value() }

func (c shared) Scan(v any) error {
	s, _ := v.(string)
	known, ok := c.seen[s]
	if !ok {
		c.seen[s], known = s, s
	}
	*c.p = known
	return nil
}

// identity scans id, time and mark of a weld; the first two have one width.
type identity struct{ weld *procedures.Weld }

func (c identity) Value() (driver.Value, error) { return nil, nil } // never written

func (c identity) Scan(v any) error {
	s, _ := v.(string)
	const id, time = 36, len(stamp)
	if len(s) <= id+time {
		return fmt.Errorf("%q in the place of id, time and mark", s)
	}
	c.weld.ID, c.weld.Mark = s[:id], s[id+time:]
	return moment{&c.weld.At}.Scan(s[id : id+time])
}
