package store

import (
	"context"
	"fmt"
	"time"

	"beadwright/procedures"
)

func arcColumns(a *procedures.Arc) []column {
	return []column{
		{"id", "id", text[string]{&a.ID}},
		{"machine", "machine", text[string]{&a.Machine}},
		{"state", "state", text[string]{&a.State}},
		{"start", "start", moment{&a.Start}},
		{"stop", "stop", moment{&a.Stop}},
		{"weld", "weld", text[string]{&a.Weld}},
		{"struck", "struck", text[string]{&a.Struck}},
	}
}

// arcTravels is an arc as it travels between notebooks.
func arcTravels(w *withdrawn[procedures.Arc]) []column {
	return append(arcColumns(&w.Rec), column{"struck_at", "struck_at", moment{&w.StruckAt}})
}

// arcs lists those that fit and are not withdrawn.
func (tx *tx) arcs(where string, args ...any) (list []procedures.Arc, err error) {
	where = "struck IS NULL AND " + where
	var a procedures.Arc
	cols := arcColumns(&a)
	err = tx.each(func(r scanner) error {
		err := r.Scan(cells(cols)...)
		list = append(list, a)
		return err
	}, "SELECT "+names(cols)+" FROM arcs WHERE "+where+" ORDER BY start, id", args...)
	return list, err
}

// StartArc starts the duty clock of a machine, "" the one in use. at is when; zero:
// now. Errors: wraps [procedures.ErrNotFound]; InvalidError while an arc of the
// machine burns, where the time is still to come, or another arc burned since then.
func (n *Notebook) StartArc(ctx context.Context, machine string, at time.Time) (a procedures.Arc, err error) {
	err = n.aside(ctx, func(tx *tx) error {
		a = procedures.Arc{Start: at}
		if a.Machine, err = tx.working(machine); err != nil {
			return err
		}
		burning, err := tx.arcs("machine = ? AND stop IS NULL", a.Machine)
		if err != nil {
			return err
		}
		if len(burning) > 0 {
			return procedures.Invalid("arc", "", fmt.Sprintf("an arc of %s burns already, since %s", a.Machine, clockTime(burning[0].Start)),
				procedures.Way("stop that one first; if it went out a while ago, say when with --at", "stop that one first"))
		}
		if err := giveTime("at", &a.Start, tx.now); err != nil {
			return err
		}
		return tx.insertArc(&a, at.IsZero())
	})
	return a, err
}

// StopArc stops the duty clock of a machine, "" the one in use. at is when; zero:
// now. Where other arcs of the machine burned in that time, as a notebook merged
// with another can hold, it is cut to the longest piece that is free of them, and
// withdrawn where there is none: the machine burns one arc at a time, and the
// others are on record. Errors: wraps [procedures.ErrNotFound]; InvalidError where
// no arc burns, or the arc would be longer than [procedures.LongestArc] or end
// before it began. It then burns on, and can be stopped with another time.
func (n *Notebook) StopArc(ctx context.Context, machine string, at time.Time) (a procedures.Arc, err error) {
	err = n.aside(ctx, func(tx *tx) error {
		name, err := tx.named(machine)
		if err != nil {
			return err
		}
		burning, err := tx.arcs("machine = ? AND stop IS NULL", name)
		if err != nil {
			return err
		}
		if len(burning) == 0 {
			return procedures.Invalid("arc", "", "no arc of "+name+" burns", "start the clock when you strike the arc, or write down afterwards how long it burned")
		}
		a = burning[0]
		stop := at
		if err := giveTime("at", &stop, tx.now); err != nil {
			return err
		}
		if err := tooLong(a, stop); err != nil {
			return err
		}
		others, err := tx.during(a, stop)
		if err != nil {
			return err
		}
		a.Stop = stop
		if len(others) == 0 {
			return tx.exec("UPDATE arcs SET stop = ? WHERE id = ?", moment{&a.Stop}, a.ID)
		}
		if from, to := longestGap(a.Start, stop, others); from.Before(to) {
			a.Start, a.Stop = from, to
			return tx.exec("UPDATE arcs SET start = ?, stop = ? WHERE id = ?", moment{&a.Start}, moment{&a.Stop}, a.ID)
		}
		a.Struck = "all of it lies in arcs that were written down otherwise"
		return tx.exec("UPDATE arcs SET stop = ?, struck = ?, struck_at = ? WHERE id = ?", moment{&a.Stop}, a.Struck, formatTime(tx.now), a.ID)
	})
	return a, err
}

// longestGap is the longest time between from and to in which none of the others,
// oldest first, burned; nothing where there is none.
func longestGap(from, to time.Time, others []procedures.Arc) (begin, end time.Time) {
	free := func(a, b time.Time) {
		if b.Sub(a) > end.Sub(begin) {
			begin, end = a, b
		}
	}
	for _, o := range others {
		free(from, o.Start)
		if o.Stop.After(from) {
			from = o.Stop
		}
	}
	free(from, to)
	return begin, end
}

// StrikeArc withdraws an arc of a machine, "" the one in use, by its number as
// [Notebook.ArcLog] gives it: it is kept, and nothing counts it any more. One that
// burns burns no longer. It returns the arc. Errors: wraps
// [procedures.ErrNotFound]; InvalidError without a reason, or if it is struck.
func (n *Notebook) StrikeArc(ctx context.Context, machine string, number int, why string) (a procedures.Arc, err error) {
	if why, err = reason(why); err != nil {
		return a, err
	}
	err = n.aside(ctx, func(tx *tx) error {
		name, err := tx.named(machine)
		if err != nil {
			return err
		}
		list, err := tx.arcLog("machine = ?", "number = ?", name, number)
		switch {
		case err != nil:
			return err
		case len(list) == 0:
			return fmt.Errorf("arc %d of %s: %w", number, name, procedures.ErrNotFound)
		case list[0].Struck != "":
			return procedures.Invalid("number", fmt.Sprint(number), "this arc is struck already: "+list[0].Struck)
		}
		if a = list[0]; a.Burning() {
			a.Stop = a.Start.Add(time.Millisecond) // an end, so that another may burn; it counts for nothing
		}
		a.Struck = why
		return tx.exec("UPDATE arcs SET stop = ?, struck = ?, struck_at = ? WHERE id = ?", moment{&a.Stop}, why, formatTime(tx.now), a.ID)
	})
	return a, err
}

// ArcLog is [Notebook.Arcs] with the number of each: its place among all arcs of
// the machine in the order in which they were written down, withdrawn ones counted.
func (n *Notebook) ArcLog(ctx context.Context, machine string, since time.Time) (list []procedures.Arc, err error) {
	err = n.read(ctx, func(tx *tx) error {
		name, err := tx.named(machine)
		if err != nil {
			return err
		}
		list, err = tx.arcLog("machine = ?", "struck IS NULL AND (stop IS NULL OR stop > ?)", name, formatTime(since))
		return err
	})
	return list, err
}

// arcLog numbers the arcs that fit all, and lists those of them that fit some.
func (tx *tx) arcLog(all, some string, args ...any) (list []procedures.Arc, err error) {
	var a procedures.Arc
	cols := append(arcColumns(&a), column{"number", "", whole[int]{&a.Number}})
	err = tx.each(func(r scanner) error {
		err := r.Scan(cells(cols)...)
		list = append(list, a)
		return err
	}, "SELECT "+names(cols)+" FROM (SELECT *, row_number() OVER (ORDER BY id) AS number FROM arcs WHERE "+all+") WHERE "+some+" ORDER BY start, id", args...)
	return list, err
}

// AddArc writes down an arc that is over, on a machine, "" the one in use. stop
// zero: now. The same arc again is the recorded one, and nothing is added.
// Errors: as for [Notebook.StartArc] and [Notebook.StopArc].
func (n *Notebook) AddArc(ctx context.Context, machine string, start, stop time.Time) (a procedures.Arc, err error) {
	if start.IsZero() {
		return a, procedures.Invalid("at", "", "when did the arc start?", "write 2006-01-02 15:04")
	}
	err = n.aside(ctx, func(tx *tx) error {
		a = procedures.Arc{Start: start, Stop: stop}
		if a.Machine, err = tx.working(machine); err != nil {
			return err
		}
		for _, t := range []*time.Time{&a.Start, &a.Stop} {
			if err := giveTime("at", t, tx.now); err != nil {
				return err
			}
		}
		recorded, err := tx.arcs("machine = ? AND start = ? AND stop = ?", a.Machine, formatTime(a.Start), formatTime(a.Stop))
		if err != nil {
			return err
		}
		if len(recorded) > 0 {
			a = recorded[0]
			return nil
		}
		return tx.insertArc(&a, false)
	})
	return a, err
}

// insertArc adds an arc. now: it starts just now.
func (tx *tx) insertArc(a *procedures.Arc, now bool) error {
	last := a.Stop
	if a.Burning() {
		last = a.Start
	}
	if last.After(tx.now) {
		return procedures.Invalid("at", clockTime(last), "that is still to come: it is "+clockTime(tx.now), "look at the date and at the clock")
	}
	if err := tx.fits(*a, a.Stop); err != nil {
		return err
	}
	if err := giveID(&a.ID); err != nil {
		return err
	}
	if err := tx.settleMachine(&a.Machine, &a.State, a.Start, now); err != nil {
		return err
	}
	_, err := tx.insert("arcs", arcColumns(a)...)
	return err
}

// fits refuses an arc that could not have burned from its start to stop, zero
// for one that burns still: until now.
func (tx *tx) fits(a procedures.Arc, stop time.Time) error {
	if stop.IsZero() {
		if stop = a.Start.Add(1); tx.now.After(stop) {
			stop = tx.now
		}
	} else if err := tooLong(a, stop); err != nil {
		return err
	}
	others, err := tx.during(a, stop)
	if err != nil || len(others) == 0 {
		return err
	}
	until := "burns still"
	if !others[0].Burning() {
		until = "stopped at " + clockTime(others[0].Stop)
	}
	return procedures.Invalid("at", clockTime(a.Start), fmt.Sprintf("another arc of %s started at %s and %s", a.Machine, clockTime(others[0].Start), until),
		"one machine burns one arc at a time", "was that one wrong? Withdraw it: beadwright duty arcs", backwards)
}

const backwards = "was the clock set back? Say the time that fits with --at"

// tooLong refuses a stop that is not after the start, or too long after it.
func tooLong(a procedures.Arc, stop time.Time) error {
	switch length := stop.Sub(a.Start); {
	case length <= 0:
		return procedures.Invalid("at", clockTime(stop), "the arc started at "+clockTime(a.Start)+", which is not before that", backwards, "was it never struck? Withdraw it: beadwright duty arcs")
	case length > longestArc:
		return procedures.Invalid("at", clockTime(stop), fmt.Sprintf("the arc burns since %s; one of %s was forgotten, not held", clockTime(a.Start), length.Round(time.Second)),
			"say when it stopped with --at", fmt.Sprintf("accepted: up to %s of one arc", longestArc), "was it never struck? Withdraw it: beadwright duty arcs")
	}
	return nil
}

// during lists the other arcs of the machine that burned between its start and
// stop, oldest first.
func (tx *tx) during(a procedures.Arc, stop time.Time) ([]procedures.Arc, error) {
	return tx.arcs("machine = ? AND id <> ? AND start < ? AND (stop IS NULL OR stop > ?)", a.Machine, a.ID, formatTime(stop), formatTime(a.Start))
}

const longestArc = time.Duration(procedures.LongestArc) * time.Second

// clockTime writes a time for a person at the machine.
func clockTime(t time.Time) string { return t.Local().Format("2006-01-02 15:04:05") }

// Arcs lists the arcs of a machine, "" the one in use, that were burning at some
// time after since, from the oldest on, the burning one included. Errors: wraps
// [procedures.ErrNotFound].
func (n *Notebook) Arcs(ctx context.Context, machine string, since time.Time) (list []procedures.Arc, err error) {
	err = n.read(ctx, func(tx *tx) error {
		name, err := tx.named(machine)
		if err != nil {
			return err
		}
		list, err = tx.arcs("machine = ? AND (stop IS NULL OR stop > ?)", name, formatTime(since))
		return err
	})
	return list, err
}

// recent is how long a stopped arc waits for its weld to be written down.
const recent = 2 * time.Hour

// waiting lists the arcs that a weld made just now accounts for, and their time.
func (tx *tx) waiting(machine string) (ids []string, burned procedures.Seconds, err error) {
	list, err := tx.arcs("machine = ? AND weld IS NULL AND stop > ? AND stop <= ?", machine, formatTime(tx.now.Add(-recent)), formatTime(tx.now))
	for _, a := range list {
		ids = append(ids, a.ID)
		burned += procedures.Seconds(a.Stop.Sub(a.Start).Seconds())
	}
	if burned < 0.5 { // less than a weld's arc time can be
		return nil, 0, err
	}
	return ids, burned, err
}

// count counts arcs to a weld.
func (tx *tx) count(arcs []string, weld string) error {
	for _, id := range arcs {
		if err := tx.exec("UPDATE arcs SET weld = ? WHERE id = ?", weld, id); err != nil {
			return err
		}
	}
	return nil
}
