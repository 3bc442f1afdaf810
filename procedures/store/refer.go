package store

import (
	"strings"

	"beadwright/procedures"
)

// references are the columns that name another record, and the tables of it.
var references = map[string]string{"machine": "machines", "state": "states", "spool": "spools", "suggestion": "suggestions", "weld": "welds"}

// refer checks what a record says of others, and calls its machine by the name
// that it has here.
func (m *merging) refer(table string, cols []column, line int) error {
	machine, state := "", ""
	for _, c := range cols {
		other, refers := references[c.name]
		if !refers {
			continue
		}
		v := show(c.cell)
		switch {
		case v == "":
			continue
		case c.name == "machine":
			machine = v
			continue
		case c.name == "state":
			state = v
			continue
		}
		there, err := m.has(other, v)
		if err != nil {
			return err
		}
		if !there {
			return m.at(line, c.field, procedures.Invalid(c.field, v, "there is no such "+strings.TrimSuffix(other, "s")+", neither here nor in the file", "was a line taken out of the file? Export it again"))
		}
	}
	if machine == "" && state == "" {
		return nil
	}
	here, known := m.states[state]
	switch {
	case table == "suggestions" && !known:
		return nil // of the built-in example
	case state != "" && !known:
		return m.at(line, stateKey(cols), procedures.Invalid("state", state, "no machine was ever in such a state, neither here nor in the file", "was a line taken out of the file? Export it again"))
	case state == "" || machine == "" || m.names[machine] != "" && m.names[machine] != here:
		return m.at(line, stateKey(cols), procedures.Invalid("state", state, "this is not a state of the machine "+machine, "a record names its machine and the state that it was in"))
	}
	for _, c := range cols {
		if c.name == "machine" {
			return c.Scan(here)
		}
	}
	return nil
}

func stateKey(cols []column) string {
	for _, c := range cols {
		if c.name == "state" {
			return c.field
		}
	}
	return ""
}
