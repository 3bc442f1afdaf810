package procedures

import "fmt"

// Stands refuses a machine that was withdrawn: nothing new is put to it.
func (m Machine) Stands() error { return stands("machine", "machine", m.Name, m.Struck) }

// Stands refuses a spool that was withdrawn.
func (s Spool) Stands() error { return stands("spool", "wire", s.Name, s.Struck) }

// stands refuses what was withdrawn and why; struck "": nothing was. command is what
// its records are kept with.
func stands(noun, command, name, struck string) error {
	if struck == "" {
		return nil
	}
	return Invalid(noun, name, fmt.Sprintf("this %s was withdrawn: %s", noun, struck),
		"those to choose from: beadwright "+command+" list", Way(fmt.Sprintf("it can be put back: beadwright %s strike %q --back", command, name), "it can be put back, on its page"))
}
