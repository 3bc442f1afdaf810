package store_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
)

// TestStrikeMachine: a machine that is withdrawn stays, with its welds and its charge;
// none takes its place in use, and it can be put back.
func TestStrikeMachine(t *testing.T) {
	ctx := t.Context()
	n := fresh(t)
	wrong := littleRed()
	wrong.Output, wrong.Rebuilt = procedures.DCEN, true
	wrong = must(n.AddMachine(ctx, wrong))(t)
	right := must(n.AddMachine(ctx, procedures.Machine{Name: "shed"}))(t)
	w := bead()
	w.Job.Machine = "little red"
	w = must(n.AddWeld(ctx, w))(t)

	_, _, err := n.StrikeMachine(ctx, "nobody's", "x")
	wantNotFound(t, err)
	_, _, err = n.StrikeMachine(ctx, "little red", " ")
	wantInvalid(t, err, "why")
	must(n.StartArc(ctx, "little red", time.Time{}))(t)
	_, _, err = n.StrikeMachine(ctx, "little red", "written down by mistake")
	wantInvalid(t, err, "machine")
	must(n.StopArc(ctx, "little red", time.Now().Add(time.Second)))(t)

	m, what, err := n.StrikeMachine(ctx, "Little Red", "written down by mistake")
	if err != nil {
		t.Fatal(err)
	}
	if diff := same(store.Withdrawal{Welds: 1, WasInUse: true}, what); diff != "" || m.Struck != "written down by mistake" {
		t.Errorf("%q (-want +got):\n%s", m.Struck, diff)
	}
	again := must(n.Machine(ctx, "little red"))(t)
	if again.ID != wrong.ID || !again.Rebuilt || again.Struck == "" {
		t.Errorf("it is read as %+v", again)
	}
	if found := must(n.Find(ctx, procedures.Filter{Machine: "little red"}))(t); len(found) != 1 {
		t.Errorf("%d of its welds are found, want 1", len(found))
	}
	var none store.NoneInUse
	if _, err = n.CurrentMachine(ctx); !errors.As(err, &none) || !errors.Is(err, procedures.ErrNotFound) {
		t.Errorf("in use: %v", err)
	}
	_, _, err = n.StrikeMachine(ctx, "little red", "again")
	wantInvalid(t, err, "machine")

	// What was acknowledged and comes a second time is still that one.
	w.Mark, w.At = "", time.Time{}
	if same := must(n.AddWeld(ctx, w))(t); same.ID != w.ID || same.Mark != "A1" {
		t.Errorf("sent again it is %s %s", same.Mark, same.ID)
	}

	// Weighing needs no machine, and its number is nobody else's.
	spool := must(n.AddSpool(ctx, elevens()))(t)
	taken := must(n.AddMeasurements(ctx, "shed", []procedures.Measurement{{Kind: procedures.LineIdleVolts, Value: 119}}))(t)[0].Number
	if free := must(n.AddMeasurements(ctx, "", []procedures.Measurement{{Kind: procedures.SpoolWeight, Spool: spool.ID, Value: 500}}))(t)[0]; free.Machine != "" || free.Number == taken {
		t.Errorf("weighed on %q, number %d beside %d", free.Machine, free.Number, taken)
	}

	m, what, err = n.PutBackMachine(ctx, "little red")
	if err != nil || m.Struck != "" || what.InUse != "little red" {
		t.Errorf("put back: %+v, %+v, %v", m.Struck, what, err)
	}
	if made := must(n.MachineAmendments(ctx, "little red"))(t); len(made) != 2 || made[0].New != "written down by mistake" || made[1].Old != "written down by mistake" || !made[0].At.Before(made[1].At) {
		t.Errorf("its history: %+v", made)
	}
	_, _, err = n.PutBackMachine(ctx, "little red")
	wantInvalid(t, err, "machine")

	// One that is not in use leaves the one that is.
	if _, what, err = n.StrikeMachine(ctx, right.Name, "x"); err != nil || what.WasInUse || what.InUse != "little red" || what.Welds != 0 {
		t.Errorf("%+v, %v", what, err)
	}
	if faults, _, err := n.Audit(ctx, nil); err != nil || len(faults) > 0 {
		t.Errorf("check: %v, %v", faults, err)
	}
}

// TestWithdrawnTakesNothing: nothing new is put to a machine or a spool that was
// withdrawn, and a name that it has can be freed.
func TestWithdrawnTakesNothing(t *testing.T) {
	ctx := t.Context()
	n := fresh(t)
	must(n.AddMachine(ctx, littleRed()))(t)
	must(n.AddMachine(ctx, procedures.Machine{Name: "shed"}))(t)
	must(n.AddSpool(ctx, elevens()))(t)
	must(n.AddWeld(ctx, bead()))(t)
	for _, err := range []error{second(n.StrikeMachine(ctx, "little red", "x")), second(n.StrikeSpool(ctx, elevens().Name, "x"))} {
		if err != nil {
			t.Fatal(err)
		}
	}
	on, with := bead(), bead()
	on.Job.Machine, with.Spool = "little red", elevens().Name
	for what, c := range map[string]struct {
		field string
		do    func() error
	}{
		"weld on it":   {"machine", func() error { _, err := n.AddWeld(ctx, on); return err }},
		"weld with it": {"spool", func() error { _, err := n.AddWeld(ctx, with); return err }},
		"sheet of it":  {"machine", func() error { _, err := n.AddWelds(ctx, []procedures.Weld{on}); return err }},
		"weld moved to it": {"machine", func() error {
			return second(n.AmendWeld(ctx, "A1", func(w *procedures.Weld) error { w.Job.Machine = "little red"; return nil }))
		}},
		"use":         {"machine", func() error { _, err := n.UseMachine(ctx, "little red"); return err }},
		"use of wire": {"spool", func() error { _, err := n.UseSpool(ctx, elevens().Name); return err }},
		"change": {"machine", func() error {
			_, err := n.ChangeMachine(ctx, "little red", "new liner", procedures.Feed, "", false)
			return err
		}},
		"run-out": {"machine", func() error { _, err := n.AddRunOuts(ctx, "little red", []procedures.RunOut{ran(1)}); return err }},
		"meter": {"machine", func() error {
			_, err := n.AddMeasurements(ctx, "little red", []procedures.Measurement{{Kind: procedures.TipNew}})
			return err
		}},
		"cut-out": {"machine", func() error { _, err := n.AddCutOut(ctx, "little red", procedures.CutOut{Used: 100}); return err }},
		"arc":     {"machine", func() error { _, err := n.StartArc(ctx, "little red", time.Time{}); return err }},
		"its name": {"name", func() error {
			_, err := n.AddMachine(ctx, littleRed())
			return err
		}},
		"struck by a correction": {"struck", func() error {
			return second(n.SetMachine(ctx, "shed", func(m *procedures.Machine) error { m.Struck = "x"; return nil }))
		}},
	} {
		t.Run(what, func(t *testing.T) { wantInvalid(t, c.do(), c.field) })
	}
	if _, _, err := n.SetMachine(ctx, "little red", func(m *procedures.Machine) error { m.Name = "little red, old"; return nil }); err != nil {
		t.Fatal(err)
	}
	m := must(n.AddMachine(ctx, littleRed()))(t)
	if now := must(n.CurrentMachine(ctx))(t); now.ID != m.ID {
		t.Errorf("in use is %s, where none was", now.Name)
	}
	if faults, _, err := n.Audit(ctx, nil); err != nil || len(faults) > 0 {
		t.Errorf("check: %v, %v", faults, err)
	}
}

// TestRename: a spool has another name, its welds and its history stay with it, and
// who asks for the old name is told the new one.
func TestRename(t *testing.T) {
	ctx := t.Context()
	n := fresh(t)
	s := must(n.AddSpool(ctx, elevens()))(t)
	must(n.AddSpool(ctx, procedures.Spool{Name: "small", Wire: s.Wire}))(t)
	_, _, err := n.RenameSpool(ctx, "nobody's", "x")
	wantNotFound(t, err)
	for _, bad := range []string{"", " ", "SMALL", strings.Repeat("x", 61), "a\x00b"} {
		_, _, err := n.RenameSpool(ctx, s.Name, bad)
		wantInvalid(t, err, "name")
	}
	now, made, err := n.RenameSpool(ctx, s.ID, " big one ")
	if err != nil || now.Name != "big one" || len(made) != 1 || made[0].Old != s.Name || made[0].New != "big one" {
		t.Errorf("%+v, %+v, %v", now, made, err)
	}
	if diff := same(made, must(n.SpoolAmendments(ctx, "Big  One"))(t)); diff != "" {
		t.Errorf("(-made +read):\n%s", diff)
	}
	if _, made, err := n.RenameSpool(ctx, "big one", "big one"); err != nil || len(made) != 0 {
		t.Errorf("nothing changed: %v, %v", made, err)
	}
	_, err = n.Spool(ctx, s.Name)
	wantNotFound(t, err)
	if !strings.Contains(err.Error(), `"big one"`) {
		t.Errorf("under its old name: %v", err)
	}
}

var named = regexp.MustCompile(`"kind":"(machine|spool)","schema":1,"id":"[^"]+","name":"[^"]*"`)

// TestMergeMistaken: whatever two people withdraw, put back, rename and write down of
// machines and spools that both have, under names that get in one another's way, the
// two notebooks come out the same in either order, with one machine for each id, and
// nothing in use that is withdrawn.
func TestMergeMistaken(t *testing.T) {
	if racing {
		t.Skip("the race detector looks on, and one goroutine cannot race")
	}
	ctx := context.Background()
	day := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	base := shop(t)
	b := open(t, base, store.Options{Now: clock(day)})
	must(b.AddMachine(ctx, procedures.Machine{Name: "shed"}))(t)
	must(b.AddSpool(ctx, procedures.Spool{Name: "small", Wire: elevens().Wire}))(t)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	withdrawn, anew, given := 0, 0, 0
	for seed := range uint64(40) {
		lots := rand.New(rand.NewPCG(seed, 9))
		names := []string{"a", "b", "A (2)", "little red"}
		mistake := func(n *store.Notebook, steps int) {
			for range steps {
				name := names[lots.IntN(len(names))]
				machines, spools := must(n.Machines(ctx))(t), must(n.Spools(ctx))(t)
				m, s := machines[lots.IntN(len(machines))], spools[lots.IntN(len(spools))]
				var err error
				switch lots.IntN(10) {
				case 0:
					_, err = n.AddMachine(ctx, procedures.Machine{Name: name})
				case 1:
					_, err = n.AddSpool(ctx, procedures.Spool{Name: name, Wire: elevens().Wire})
				case 2, 3:
					err = second(n.SetMachine(ctx, m.ID, func(m *procedures.Machine) error { m.Name = name; return nil }))
				case 4:
					err = second(n.RenameSpool(ctx, s.ID, name))
				case 5:
					err = second(n.StrikeMachine(ctx, m.ID, fmt.Sprint("reason ", lots.IntN(2))))
				case 6:
					err = second(n.PutBackMachine(ctx, m.ID))
				case 7:
					err = second(n.StrikeSpool(ctx, s.ID, fmt.Sprint("reason ", lots.IntN(2))))
				case 8:
					err = second(n.PutBackSpool(ctx, s.ID))
				case 9:
					w := bead()
					w.Job.Machine, w.Spool = m.Name, s.ID
					_, err = n.AddWeld(ctx, w)
				}
				var bad *procedures.InvalidError // a name that is taken, a machine that is withdrawn already
				if err != nil && !errors.As(err, &bad) {
					t.Fatal(err)
				}
			}
		}
		one, two := open(t, copyOf(t, base), store.Options{Now: clock(day.Add(time.Hour))}), open(t, copyOf(t, base), store.Options{Now: clock(day.Add(time.Hour + 30*time.Second))})
		for round := range 2 { // the second time on notebooks that were merged before
			mistake(one, 4+lots.IntN(8))
			mistake(two, 4+lots.IntN(8))
			ofOne, ofTwo := exported(t, one), exported(t, two)
			r := imported(t, one, ofTwo)
			imported(t, two, ofOne)
			a, b := inUseLeftOut(exported(t, one)), inUseLeftOut(exported(t, two))
			if diff := same(strings.Split(b, "\n"), strings.Split(a, "\n")); diff != "" {
				t.Fatalf("seed %d, round %d: the order makes a difference (-one into two +two into one):\n%s", seed, round, diff)
			}
			ids := map[string]bool{}
			for _, line := range named.FindAllString(ofOne+ofTwo, -1) {
				ids[idOf.FindString(line)] = true
			}
			if got := len(named.FindAllString(a, -1)); got != len(ids) {
				t.Fatalf("seed %d: %d machines and spools of %d", seed, got, len(ids))
			}
			for _, n := range []*store.Notebook{one, two} {
				for _, file := range []string{ofOne, ofTwo, a} {
					if r := imported(t, n, file); r.Changes() {
						t.Fatalf("seed %d: a file that is in it already changed something: %+v", seed, r)
					}
				}
				if faults, _, err := n.Audit(ctx, nil); err != nil || len(faults) > 0 {
					t.Fatalf("seed %d: %v, %v", seed, faults, err)
				}
				into := fresh(t)
				imported(t, into, exported(t, n))
				if diff := same(exported(t, n), exported(t, into)); diff != "" {
					t.Fatalf("seed %d: into an empty notebook it comes out otherwise:\n%s", seed, diff)
				}
			}
			withdrawn += len(r.OutOfUse)
			for _, c := range r.Renamed {
				if c.Told {
					given++
				} else if c.What == "machine" || c.What == "spool" {
					anew++
				}
			}
		}
	}
	if withdrawn == 0 || anew == 0 || given == 0 {
		t.Errorf("of all that can happen: %d withdrawn in use, %d named anew, %d names of the other taken", withdrawn, anew, given)
	}
}

// inUseLeftOut is an export without the lines that say what is in use, which each
// notebook keeps to itself, and with the count of them out of the header.
func inUseLeftOut(file string) string {
	lines := strings.Split(file, "\n")
	lines = slices.DeleteFunc(lines, func(s string) bool {
		return strings.HasPrefix(s, `{"kind":"setting"`) && (strings.Contains(s, `"key":"machine"`) || strings.Contains(s, `"key":"spool"`))
	})
	lines[0] = fmt.Sprintf(`{"kind":"header","schema":1,"records":%d}`, len(lines)-2)
	return strings.Join(lines, "\n")
}

// TestMergeRoomMade: a name that made room, taken back and given again, is no reason to
// refuse a file, and its amendment stands in the history once.
func TestMergeRoomMade(t *testing.T) {
	ctx := t.Context()
	a := fresh(t)
	b := fresh(t)
	must(a.AddMachine(ctx, procedures.Machine{Name: "shed"}))(t)
	must(b.AddMachine(ctx, procedures.Machine{Name: "shed"}))(t)
	alone := exported(t, b)
	imported(t, a, alone)
	call := func(n *store.Notebook, from, to string) {
		t.Helper()
		if _, _, err := n.SetMachine(ctx, from, func(m *procedures.Machine) error { m.Name = to; return nil }); err != nil {
			t.Fatal(err)
		}
	}
	call(b, "shed", "barn")
	call(b, "barn", "shed")
	imported(t, a, exported(t, b)) // the second one makes room again
	imported(t, b, exported(t, a))
	if diff := same(inUseLeftOut(exported(t, a)), inUseLeftOut(exported(t, b))); diff != "" {
		t.Errorf("(-a +b):\n%s", diff)
	}
	if n := strings.Count(exported(t, a), `"new":"shed (2)"`); n != 1 {
		t.Errorf("%d amendments call it shed (2), want 1", n)
	}
}
