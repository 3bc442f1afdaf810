package store_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// watched opens a notebook with a machine and a clock that the test sets.
func watched(t *testing.T) (n *store.Notebook, now *time.Time) {
	t.Helper()
	now = new(time.Time)
	*now = time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	n = open(t, filepath.Join(t.TempDir(), "notebook.db"), store.Options{Now: func() time.Time { return *now }})
	must(n.AddMachine(t.Context(), littleRed()))(t)
	return n, now
}

func TestArc(t *testing.T) {
	n, now := watched(t)
	red := must(n.CurrentMachine(t.Context()))(t)
	_, err := n.StopArc(t.Context(), "", time.Time{})
	wantInvalid(t, err, "arc")
	for _, do := range []func() error{
		func() error { _, err := n.StartArc(t.Context(), "nobody's", *now); return err },
		func() error { _, err := n.StopArc(t.Context(), "nobody's", *now); return err },
		func() error { _, err := n.AddArc(t.Context(), "nobody's", now.Add(-time.Second), *now); return err },
		func() error { _, err := n.Arcs(t.Context(), "nobody's", *now); return err },
	} {
		wantNotFound(t, do())
	}

	start := *now
	first := must(n.StartArc(t.Context(), "", time.Time{}))(t)
	if want := (procedures.Arc{ID: first.ID, Machine: red.Name, State: red.State.ID, Start: start}); first != want || !first.Burning() {
		t.Errorf("%+v, want %+v", first, want)
	}
	*now = now.Add(20 * time.Second)
	_, err = n.StartArc(t.Context(), red.ID, time.Time{})
	wantInvalid(t, err, "arc")
	first.Stop = *now
	if a := must(n.StopArc(t.Context(), "LITTLE red", time.Time{}))(t); a != first {
		t.Errorf("%+v, want %+v", a, first)
	}
	*now = now.Add(time.Minute)
	second := must(n.AddArc(t.Context(), "", now.Add(-15*time.Second), time.Time{}))(t)
	if !second.Stop.Equal(*now) {
		t.Errorf("%+v", second)
	}
	if a := must(n.AddArc(t.Context(), "", second.Start, second.Stop))(t); a != second {
		t.Errorf("the same arc again: %+v, want %+v", a, second)
	}
	back := start.Add(25 * time.Second) // before the second: it would burn through it
	_, err = n.StartArc(t.Context(), "", back)
	wantInvalid(t, err, "at")
	between := must(n.AddArc(t.Context(), "", back, back.Add(5*time.Second)))(t) // said afterwards
	burning := must(n.StartArc(t.Context(), "", time.Time{}))(t)
	must(n.AddMachine(t.Context(), procedures.Machine{Name: "blue"}))(t)
	blue := must(n.StartArc(t.Context(), "blue", time.Time{}))(t) // two machines can burn at once

	for _, c := range []struct {
		since time.Time
		want  []procedures.Arc
	}{
		{time.Time{}, []procedures.Arc{first, between, second, burning}},
		{start.Add(20 * time.Second), []procedures.Arc{between, second, burning}},
		{start.Add(20*time.Second - 1), []procedures.Arc{first, between, second, burning}},
		{now.Add(time.Hour), []procedures.Arc{burning}},
	} {
		if diff := same(c.want, must(n.Arcs(t.Context(), "", c.since))(t)); diff != "" {
			t.Errorf("since %v (-want +got):\n%s", c.since, diff)
		}
	}

	t.Run("refused", func(t *testing.T) {
		var e *procedures.InvalidError
		_, err := n.StopArc(t.Context(), "", burning.Start)
		wantInvalid(t, err, "at")
		_, err = n.StopArc(t.Context(), "", burning.Start.Add(-time.Second))
		wantInvalid(t, err, "at")
		*now = now.Add(time.Hour)
		_, err = n.StopArc(t.Context(), "", time.Time{})
		wantInvalid(t, err, "at")
		if errors.As(err, &e); !strings.Contains(e.Problem, burning.Start.Local().Format("15:04:05")) || !strings.Contains(strings.Join(e.Hints, " "), "--at") {
			t.Errorf("a forgotten arc: %v %v, want since when and what to do", err, e.Hints)
		}
		for _, c := range []struct{ start, stop time.Time }{
			{time.Time{}, *now},
			{*now, *now},
			{now.Add(time.Second), now.Add(2 * time.Second)},
			{now.Add(-601 * time.Second), *now},
			{now.Add(-600*time.Second - 1), *now},
			{now.Add(-time.Second), *now}, // the burning one has not stopped
		} {
			_, err := n.AddArc(t.Context(), "", c.start, c.stop)
			wantInvalid(t, err, "at")
		}
		burning.Stop = burning.Start.Add(5 * time.Second)
		if a := must(n.StopArc(t.Context(), "", burning.Stop))(t); a != burning {
			t.Errorf("%+v, want %+v: nothing is lost", a, burning)
		}
		for _, c := range []struct{ start, stop time.Time }{
			{first.Start, first.Stop.Add(1)},
			{first.Start.Add(time.Second), first.Stop.Add(-time.Second)},
			{first.Start.Add(-time.Second), first.Start.Add(1)},
			{first.Start.Add(-time.Second), first.Stop.Add(time.Second)},
		} {
			_, err := n.AddArc(t.Context(), "", c.start, c.stop)
			wantInvalid(t, err, "at")
		}
		_, err = n.StartArc(t.Context(), "", first.Start)
		wantInvalid(t, err, "at")
		_, err = n.StartArc(t.Context(), "", now.Add(time.Second))
		wantInvalid(t, err, "at")
		if list := must(n.Arcs(t.Context(), "", time.Time{}))(t); len(list) != 4 {
			t.Errorf("%d arcs, want 4", len(list))
		}
	})
	must(n.AddArc(t.Context(), "", first.Stop, back))(t) // from one to the next
	must(n.AddArc(t.Context(), "", now.Add(-600*time.Second), *now))(t)

	*now = start.Add(-time.Hour) // the clock was set back
	_, err = n.StopArc(t.Context(), "blue", time.Time{})
	wantInvalid(t, err, "at")
	if list := must(n.Arcs(t.Context(), "blue", time.Time{}))(t); len(list) != 1 || list[0] != blue {
		t.Errorf("%+v, want %+v", list, blue)
	}
	must(n.StopArc(t.Context(), "blue", blue.Start.Add(time.Second)))(t)
}

// TestArcCutToFit: an arc that burns over others, as notebooks of older programs
// and merged ones can hold, can always be stopped, and counts nothing twice.
func TestArcCutToFit(t *testing.T) {
	from := time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)
	path := filepath.Join(t.TempDir(), "notebook.db")
	n := open(t, path, store.Options{Now: func() time.Time { return from.Add(2 * time.Minute) }})
	red := must(n.AddMachine(t.Context(), littleRed()))(t)
	at := func(seconds int) time.Time { return from.Add(time.Duration(seconds) * time.Second) }
	must(n.AddArc(t.Context(), "", at(20), at(30)))(t)
	must(n.AddArc(t.Context(), "", at(70), at(80)))(t)
	for _, c := range []struct{ start, stop, from, to int }{
		{0, 25, 0, 20},       // its end lies in another
		{25, 60, 30, 60},     // its start does
		{10, 65, 30, 65},     // another lies in it: the longer piece
		{0, 90, 30, 70},      // two do
		{22, 28, 22, 28},     // all of it lies in another: withdrawn
		{100, 110, 100, 110}, // none does
	} {
		id := fmt.Sprintf("01890000-0000-7000-8000-%012d", c.start*1000+c.stop)
		run(t, path, fmt.Sprintf("INSERT INTO arcs (id, machine, state, start) VALUES ('%s', '%s', '%s', '%s')", id, red.Name, red.State.ID, at(c.start).Format("2006-01-02T15:04:05.000000000Z")))
		a, err := n.StopArc(t.Context(), "", at(c.stop))
		if err != nil || !a.Start.Equal(at(c.from)) || !a.Stop.Equal(at(c.to)) || (a.Struck != "") != (c.start == 22) {
			t.Errorf("%+v: %+v, %v", c, a, err)
		}
		for _, log := range must(n.ArcLog(t.Context(), "", time.Time{}))(t) {
			if log.ID == id {
				must(n.StrikeArc(t.Context(), "", log.Number, "out of the way of the next"))(t)
			}
		}
	}
}

// TestStrikeArc: a wrong arc is withdrawn by its number, kept, and counted by
// nothing; one that burns makes way for another.
func TestStrikeArc(t *testing.T) {
	n, now := watched(t)
	a := must(n.AddArc(t.Context(), "", now.Add(-450*time.Second), time.Time{}))(t)
	*now = now.Add(time.Minute)
	must(n.StartArc(t.Context(), "", time.Time{}))(t)
	log := must(n.ArcLog(t.Context(), "", time.Time{}))(t)
	if len(log) != 2 || log[0].Number != 1 || log[1].Number != 2 || log[0].ID != a.ID {
		t.Fatalf("%+v", log)
	}
	_, err := n.StrikeArc(t.Context(), "", 1, " ")
	wantInvalid(t, err, "why")
	_, err = n.StrikeArc(t.Context(), "", 3, "no such arc")
	wantNotFound(t, err)
	_, err = n.StrikeArc(t.Context(), "nobody's", 1, "no such machine")
	wantNotFound(t, err)
	if got := must(n.StrikeArc(t.Context(), "", 1, "45 s, not 450"))(t); got.ID != a.ID || got.Struck != "45 s, not 450" {
		t.Errorf("%+v", got)
	}
	_, err = n.StrikeArc(t.Context(), "", 1, "again")
	wantInvalid(t, err, "number")
	must(n.StrikeArc(t.Context(), "", 2, "never struck"))(t)
	if list := must(n.Arcs(t.Context(), "", time.Time{}))(t); len(list) != 0 {
		t.Errorf("%+v", list)
	}
	must(n.AddArc(t.Context(), "", now.Add(-100*time.Second), now.Add(-55*time.Second)))(t) // where the wrong one stood
	*now = now.Add(time.Second)
	must(n.StartArc(t.Context(), "", time.Time{}))(t)
	if log := must(n.ArcLog(t.Context(), "", time.Time{}))(t); len(log) != 2 || log[0].Number != 3 || log[1].Number != 4 {
		t.Errorf("a number was given again: %+v", log)
	}
}

func TestArcsOfAWeld(t *testing.T) {
	n, now := watched(t)
	from := *now
	arc := func(after time.Duration, seconds float64) procedures.Arc {
		start := from.Add(after)
		return must(n.AddArc(t.Context(), "", start, start.Add(time.Duration(seconds*float64(time.Second)))))(t)
	}
	log := func(change func(*procedures.Weld)) procedures.Weld {
		w := bead()
		w.Job.Machine = "little red"
		change(&w)
		return must(n.AddWeld(t.Context(), w))(t)
	}
	counted := func() (welds []string) {
		for _, a := range must(n.Arcs(t.Context(), "", time.Time{}))(t) {
			welds = append(welds, a.Weld)
		}
		return welds
	}
	*now = from.Add(3 * time.Hour)
	arc(0, 30) // too long ago
	arc(2*time.Hour, 20)
	arc(2*time.Hour+time.Minute, 12.25)
	burning := must(n.StartArc(t.Context(), "", now.Add(-time.Second)))(t)

	if w := log(func(w *procedures.Weld) { w.At = *now }); w.ArcTime != 0 {
		t.Errorf("a weld of a time that was said took the arcs: %v s", float64(w.ArcTime))
	}
	if w := log(func(w *procedures.Weld) { w.ArcTime = 44 }); w.ArcTime != 44 {
		t.Errorf("arc time %v, want the one said", float64(w.ArcTime))
	}
	if w := log(func(w *procedures.Weld) { w.Job.Machine = "" }); w.ArcTime != 0 {
		t.Errorf("a weld of no machine took the arcs: %v s", float64(w.ArcTime))
	}
	if diff := same([]string{"", "", "", ""}, counted()); diff != "" {
		t.Fatalf("(-want +got):\n%s", diff)
	}
	w := log(func(*procedures.Weld) {})
	if read, _, _ := n.Weld(t.Context(), w.Mark); w.ArcTime != 32.25 || read.ArcTime != 32.25 {
		t.Errorf("arc time %v, read %v, want 32.25", float64(w.ArcTime), float64(read.ArcTime))
	}
	if diff := same([]string{"", w.ID, w.ID, ""}, counted()); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	again := bead()
	again.ID, again.Job.Machine = w.ID, "little red"
	if diff := same(w, must(n.AddWeld(t.Context(), again))(t)); diff != "" {
		t.Errorf("the same weld again (-want +got):\n%s", diff)
	}
	must(n.StopArc(t.Context(), "", burning.Start.Add(400*time.Millisecond)))(t)
	if w := log(func(*procedures.Weld) {}); w.ArcTime != 0 {
		t.Errorf("arc time %v of less than half a second, want none", float64(w.ArcTime))
	}

	past := must(n.Past(t.Context()))(t)
	var times []float64
	for _, w := range past {
		times = append(times, float64(w.ArcTime))
	}
	if diff := same([]float64{0, 44, 0, 32.25, 0}, times); diff != "" {
		t.Errorf("arc times of the past (-want +got):\n%s", diff)
	}
	w, made, err := n.AmendWeld(t.Context(), w.Mark, func(w *procedures.Weld) error { w.ArcTime = 31; return nil })
	if err != nil || w.ArcTime != 31 || len(made) != 1 || made[0].Field != "arc_seconds" || made[0].Old != "32.25" || made[0].New != "31" {
		t.Errorf("%v %+v %v", float64(w.ArcTime), made, err)
	}
}

// keeper is another program: it starts and stops the arc of one machine, and
// says which arcs it started.
func keeper(path string, count int) error {
	ctx := context.Background()
	n, err := store.Open(ctx, path, store.Options{})
	if err != nil {
		return err
	}
	defer n.Close()
	for started := 0; started < count; {
		a, err := n.StartArc(ctx, "", time.Time{})
		var burns *procedures.InvalidError
		if errors.As(err, &burns) {
			continue // the other one has it
		}
		if err != nil {
			return err
		}
		started++
		fmt.Println("started", a.ID, "-", 0, 0)
		if _, err := n.StopArc(ctx, "", time.Time{}); err != nil {
			return err
		}
	}
	return nil
}

// TestTwoKeepers starts arcs of one machine from two processes at once: one
// burns at a time, and each is on record once.
func TestTwoKeepers(t *testing.T) {
	path := filepath.Join(t.TempDir(), "notebook.db")
	n := open(t, path, store.Options{})
	must(n.AddMachine(t.Context(), littleRed()))(t)
	const each = 30
	t.Setenv(keeperEnv, "1")
	a, outA := startDay(t, path, each)
	b, outB := startDay(t, path, each)
	got, more := newPromise(), newPromise()
	got.listen(t, outA, func() {})
	more.listen(t, outB, func() {})
	for _, cmd := range []interface{ Wait() error }{a, b} {
		if err := cmd.Wait(); err != nil {
			t.Error(err)
		}
	}
	if len(got.by["started"]) != each || len(more.by["started"]) != each {
		t.Errorf("%d and %d arcs were acknowledged, want %d each", len(got.by["started"]), len(more.by["started"]), each)
	}
	list := must(n.Arcs(t.Context(), "", time.Time{}))(t)
	if len(list) != 2*each {
		t.Errorf("%d arcs on record, want %d", len(list), 2*each)
	}
	for i, a := range list {
		if got.by["started"][a.ID]+more.by["started"][a.ID] == "" {
			t.Errorf("arc %s was never acknowledged", a.ID)
		}
		if a.Burning() || i > 0 && a.Start.Before(list[i-1].Stop) {
			t.Errorf("%+v after %+v", a, list[max(i-1, 0)])
		}
	}
}
