package store

import (
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
)

// machineRecord is a machine with all that belongs to it alone.
type machineRecord struct {
	procedures.Machine
	Added    time.Time
	StruckAt time.Time
	States   []stateRecord
	Rebuilds []rebuildRecord
	Amended  []procedures.Amendment
}

type stateRecord struct {
	procedures.State
	Output  procedures.Polarity
	Rebuilt bool
}

type rebuildRecord struct {
	State   string
	Version int
	At      time.Time
	procedures.Rebuild
}

type spoolRecord struct {
	procedures.Spool
	Added    time.Time
	StruckAt time.Time
	Amended  []procedures.Amendment
}

type weldRecord struct {
	procedures.Weld
	StruckAt time.Time
	Amended  []procedures.Amendment
}

type procedureRecord struct {
	procedures.Procedure
	Welds []procedureWeld
}

type procedureWeld struct {
	Weld   string
	Tested bool
}

// withdrawn is a record that can be withdrawn, with when it was.
type withdrawn[T any] struct {
	Rec      T
	Struck   string // of records that do not say it themselves
	StruckAt time.Time
}

func machineTravels(m *machineRecord) []column {
	return append(machineColumns(&m.Machine),
		column{"added_at", "added", moment{&m.Added}},
		column{"struck_at", "struck_at", moment{&m.StruckAt}},
		column{"", "taps", several[procedures.Tap]{&m.Taps, tapTravels}},
		column{"", "states", several[stateRecord]{&m.States, stateTravels}},
		column{"", "rebuilds", several[rebuildRecord]{&m.Rebuilds, rebuildTravels}},
		column{"", "amended", several[procedures.Amendment]{&m.Amended, amendmentTravels}})
}

func tapTravels(t *procedures.Tap) []column {
	cols := tapColumns(t)
	cols[0].field = "name"
	return cols
}

func stateTravels(s *stateRecord) []column {
	return append(within("state.", onlyState(&s.State)),
		column{"output", "output", text[procedures.Polarity]{&s.Output}},
		column{"rebuilt", "rebuilt", flag{&s.Rebuilt}})
}

func rebuildTravels(r *rebuildRecord) []column {
	return append([]column{
		{"state", "state", text[string]{&r.State}},
		{"version", "version", whole[int]{&r.Version}},
		{"at", "at", moment{&r.At}},
	}, within("rebuild.", rebuildColumns(&r.Rebuild))...)
}

// within takes the name of the object off the keys of its fields.
func within(object string, cols []column) []column {
	for i := range cols {
		cols[i].field = strings.TrimPrefix(cols[i].field, object)
	}
	return cols
}

func amendmentTravels(a *procedures.Amendment) []column {
	return []column{
		{"at", "at", moment{&a.At}},
		{"field", "field", text[string]{&a.Field}},
		{"old", "old", text[string]{&a.Old}},
		{"new", "new", text[string]{&a.New}},
	}
}

func spoolTravels(s *spoolRecord) []column {
	return append(spoolColumns(&s.Spool),
		column{"added_at", "added", moment{&s.Added}},
		column{"struck_at", "struck_at", moment{&s.StruckAt}},
		column{"", "amended", several[procedures.Amendment]{&s.Amended, amendmentTravels}})
}

func weldTravels(w *weldRecord) []column {
	return append(weldColumns(&w.Weld),
		column{"", "outcome.symptoms", keys[string]{&w.Outcome.Symptoms}},
		column{"", "outcome.tests", several[procedures.Test]{&w.Outcome.Tests, testTravels}},
		column{"struck_at", "struck_at", moment{&w.StruckAt}},
		column{"", "amended", several[procedures.Amendment]{&w.Amended, amendmentTravels}})
}

func testTravels(t *procedures.Test) []column {
	return []column{
		{"kind", "kind", text[string]{&t.Kind}},
		{"passed", "passed", flag{&t.Passed}},
		{"result", "result", text[string]{&t.Result}},
	}
}

func procedureTravels(p *procedureRecord) []column {
	cols := procedureColumns(&p.Procedure)
	i := slices.IndexFunc(cols, func(c column) bool { return c.name == "retired" })
	cols[i].field = "retired"
	return append(cols, column{"", "welds", several[procedureWeld]{&p.Welds, func(w *procedureWeld) []column {
		return []column{{"weld", "weld", text[string]{&w.Weld}}, {"tested", "tested", flag{&w.Tested}}}
	}}})
}

func numberedTravels[T any](bind func(*T) numbered) func(*withdrawn[T]) []column {
	return func(w *withdrawn[T]) []column {
		cols := bind(&w.Rec).columns()
		for i := range cols {
			if cols[i].field == "kind" { // which names the kind of record
				cols[i].field = "what"
			}
		}
		return append(cols, column{"struck_at", "struck_at", moment{&w.StruckAt}})
	}
}

func laterTravels[T any](bind func(*T) later) func(*withdrawn[T]) []column {
	return func(w *withdrawn[T]) []column {
		return append(bind(&w.Rec).columns(),
			column{"struck", "struck", text[string]{&w.Struck}},
			column{"struck_at", "struck_at", moment{&w.StruckAt}})
	}
}
