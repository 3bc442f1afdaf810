package store

import (
	"context"
	"slices"
	"strconv"

	"beadwright/procedures"
)

// fedWire are the columns that tell how much wire a weld fed, off which spool and
// through which machine.
var fedWire = []string{"id", "at", "spool", "machine", "state", "length_mm", "tap", "knob", "wire_speed_m_min", "travel_mm_min", "passes", "arc_s"}

// Fed hands over, one by one, what [Notebook.Find] finds, in no order and with no
// more of each weld than tells how much wire it fed: spool, machine and state, knob
// and wire speed with how they were got, length, pace, passes and arc time. It reads
// several times as fast. The next weld is written over the one before, but for how its
// settings were got. The filter's words are not looked at; of more welds than its
// limit, it hands over those that were written down last.
func (n *Notebook) Fed(ctx context.Context, f procedures.Filter, take func(*procedures.Weld)) error {
	if err := f.Validate(); err != nil {
		return err
	}
	where, args := conditions(f)
	var w procedures.Weld
	cols := slices.DeleteFunc(weldColumns(&w), func(c column) bool { return !slices.Contains(fedWire, c.name) })
	cols = append(cols, column{"how", "settings.how", repeated{&w.Settings.How, map[string]map[string]procedures.How{}}})
	query := "SELECT " + names(cols) + " FROM welds WHERE " + where
	if f.Limit > 0 {
		query += " ORDER BY n DESC LIMIT " + strconv.Itoa(f.Limit)
	}
	return n.read(ctx, func(tx *tx) error {
		row := cells(cols)
		return tx.each(func(r scanner) error {
			if err := r.Scan(row...); err != nil {
				return err
			}
			take(&w)
			return nil
		}, query, args...)
	})
}
