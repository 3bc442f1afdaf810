package store

import (
	"context"
	"slices"

	"beadwright/procedures"
)

// fedWire are the columns that tell how much wire a weld fed, off which spool and
// through which machine.
var fedWire = []string{"id", "at", "spool", "machine", "state", "length_mm", "tap", "knob", "wire_speed_m_min", "travel_mm_min", "passes", "arc_s"}

// Fed is [Notebook.Find] in no order and with no more of each weld than tells how
// much wire it fed: spool, machine and state, knob and wire speed with how they
// were got, length, pace, passes and arc time. It reads several times as fast.
// The filter's words and limit are not looked at.
func (n *Notebook) Fed(ctx context.Context, f procedures.Filter) (list []procedures.Weld, err error) {
	if err := f.Validate(); err != nil {
		return nil, err
	}
	where, args := conditions(f)
	var w procedures.Weld
	cols := slices.DeleteFunc(weldColumns(&w), func(c column) bool { return !slices.Contains(fedWire, c.name) })
	cols = append(cols, column{"how", "settings.how", repeated{&w.Settings.How, map[string]map[string]procedures.How{}}})
	err = n.read(ctx, func(tx *tx) error {
		return tx.each(func(r scanner) error {
			err := r.Scan(cells(cols)...)
			list = append(list, w)
			return err
		}, "SELECT "+names(cols)+" FROM welds WHERE "+where, args...)
	})
	return list, err
}
