package store

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
)

// SetMachine fills in or corrects what a machine's plate, switch, knob and
// circuit say; name "" is the one in use. change is given a copy, with the volts
// of the taps as written down, not as measured, and alters it. Each field that
// comes out different is amended, its old value kept. It returns the machine as
// it now stands and the amendments made now.
//
// What a change of state can alter is refused: see [Notebook.ChangeMachine] and
// [Notebook.SetRebuild]. An output that was not known may be filled in. What was
// measured is left alone, whatever change does to it. Errors: what change
// returns; wraps [procedures.ErrNotFound]; InvalidError where the machine cannot
// be, its new name is taken, or a record that stands names a tap that is gone.
func (n *Notebook) SetMachine(ctx context.Context, name string, change func(*procedures.Machine) error) (m procedures.Machine, made []procedures.Amendment, err error) {
	err = n.write(ctx, func(tx *tx) error {
		if name, err = tx.named(name); err != nil {
			return err
		}
		old, row, err := tx.plate(name)
		if err != nil {
			return err
		}
		new := old
		new.Taps, new.Processes = slices.Clone(old.Taps), slices.Clone(old.Processes)
		if old.Rebuild != nil {
			new.Rebuild = ptr(*old.Rebuild)
		}
		if err := change(&new); err != nil {
			return err
		}
		new.Name = strings.TrimSpace(new.Name)
		if err := tx.settable(old, new); err != nil {
			return err
		}
		made = compareMachines(old, new)
		for i := range made {
			made[i].At = tx.now
		}
		if len(made) > 0 {
			if err := first(tx.amend("machine_amendments", "machine", row, made), tx.rewriteMachine(row, old, new)); err != nil {
				return err
			}
		}
		m, _, err = tx.machine(old.ID)
		return err
	})
	return m, made, err
}

// settable refuses what SetMachine must not make of a machine.
func (tx *tx) settable(old, new procedures.Machine) error {
	const typed, pressed = "beadwright machine change --what 'rectifier fitted' --output dcen", "write it down as a change, on a page of its own"
	change := procedures.Way(typed, pressed)
	switch {
	case new.ID != old.ID:
		return procedures.Invalid("id", new.ID, "the id of a machine stays", "leave it as it is")
	case new.State != old.State:
		return procedures.Invalid("state", new.State.What, "a state is not corrected: a change opens a new one", change)
	case old.Output != "" && new.Output != old.Output:
		return procedures.Invalid("output", string(new.Output), fmt.Sprintf("%s gives %s; another output opens a new state of it", old.Name, old.Output), change)
	case new.Rebuilt != old.Rebuilt:
		return procedures.Invalid("rebuilt", fmt.Sprint(new.Rebuilt), "rebuilding a machine opens a new state of it", procedures.Way(typed+" --rebuilt", pressed))
	case (new.Rebuild == nil) != (old.Rebuild == nil) || new.Rebuild != nil && !alike(rebuildColumns(old.Rebuild), rebuildColumns(new.Rebuild)):
		return procedures.Invalid("rebuild", new.Name, "what was fitted is not written down here", "it has versions of its own")
	case new.Struck != old.Struck:
		return procedures.Invalid("struck", new.Struck, "a machine is not withdrawn by a correction", "beadwright machine strike "+quoted(old.Name))
	case new.Example != old.Example:
		return procedures.Invalid("example", new.Name, "only the built-in machine is the example")
	}
	if err := new.Validate(); err != nil {
		return err
	}
	if err := legible(append(machineColumns(&new), stateColumns(&new)...)); err != nil {
		return err
	}
	for _, t := range new.Taps {
		if err := legibleText("tap", t.Name+string(t.How)); err != nil {
			return err
		}
	}
	if fold(new.Name) != fold(old.Name) {
		if err := tx.free("machines", new.Name, ""); err != nil {
			return err
		}
	}
	for _, t := range old.Taps {
		if _, kept := new.Tap(t.Name); kept {
			continue
		}
		for _, table := range []string{"welds", "runouts", "measurements", "cutouts"} {
			var count int
			if err := tx.get([]any{&count}, "SELECT count(*) FROM "+table+" WHERE machine = ? AND tap = ? COLLATE NOCASE AND struck IS NULL", old.Name, t.Name); err != nil {
				return err
			}
			if count > 0 {
				return procedures.Invalid("tap", t.Name, fmt.Sprintf("%d %s name this tap of %s", count, spoken[table], old.Name), "keep its name, and correct its volts")
			}
		}
	}
	return nil
}

// spoken is what the rows of a table are called.
var spoken = map[string]string{"welds": "weld(s)", "runouts": "run-out(s)", "measurements": "measurement(s)", "cutouts": "cut-out(s)"}

// compareMachines lists the fields that differ.
func compareMachines(old, new procedures.Machine) (list []procedures.Amendment) {
	differ := func(field, a, b string) {
		if a != b {
			list = append(list, procedures.Amendment{Field: field, Old: a, New: b})
		}
	}
	was, is := machineColumns(&old), machineColumns(&new)
	for i := range was {
		differ(was[i].field, show(was[i].cell), show(is[i].cell))
	}
	differ("output", string(old.Output), string(new.Output))
	differ("taps", showTaps(old.Taps), showTaps(new.Taps))
	return list
}

func showTaps(taps []procedures.Tap) string {
	s := make([]string, len(taps))
	for i, t := range taps {
		s[i] = t.Name
		for _, q := range []struct {
			what string
			v    procedures.Volts
		}{{"open", t.Open}, {"load", t.Load}} {
			if q.v != 0 {
				s[i] += fmt.Sprintf(" %s %v V", q.what, float64(q.v))
			}
		}
		if t.How != "" {
			s[i] += " (" + string(t.How) + ")"
		}
	}
	return strings.Join(s, ", ")
}

// rewriteMachine puts a machine in the place of its older self. A new name goes
// on into every record of it, by the foreign keys; suggestions have none, since
// they may speak of the example.
func (tx *tx) rewriteMachine(row int64, old, new procedures.Machine) error {
	key := fold(new.Name)
	cols := append(machineColumns(&new)[1:], column{"name_key", "", text[string]{&key}})
	if err := tx.exec("UPDATE machines SET "+strings.ReplaceAll(names(cols), ",", " = ?,")+" = ? WHERE n = ?", append(cells(cols), row)...); err != nil {
		return err
	}
	if err := tx.exec("DELETE FROM taps WHERE machine = ?", row); err != nil {
		return err
	}
	if err := tx.insertTaps(row, new.Taps); err != nil {
		return err
	}
	if err := tx.exec("UPDATE states SET output = ? WHERE id = ? AND output IS NULL", text[procedures.Polarity]{&new.Output}, new.State.ID); err != nil {
		return err
	}
	return tx.exec("UPDATE suggestions SET machine = ? WHERE machine = ? AND state IN (SELECT id FROM states WHERE machine = ?)", new.Name, old.Name, row)
}

// MachineAmendments lists the corrections of a machine, "" the one in use, from
// the first to the last. Errors: wraps [procedures.ErrNotFound].
func (n *Notebook) MachineAmendments(ctx context.Context, name string) (list []procedures.Amendment, err error) {
	err = n.read(ctx, func(tx *tx) error {
		if name, err = tx.named(name); err != nil {
			return err
		}
		list, err = tx.amendments("machine_amendments WHERE machine = (SELECT n FROM machines WHERE name = ?)", name)
		return err
	})
	return list, err
}
