package store

import (
	"database/sql"
	"errors"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// settingsKind are the settings that travel.
type settingsKind struct {
	got []sent[[2]string]
}

var settingsThatTravel = []string{"last_mark", "machine", "spool", "units"}

func (s *settingsKind) label() string { return "setting" }
func (s *settingsKind) kept() int     { return len(s.got) }

const travelling = "key IN ('last_mark', 'machine', 'spool', 'units')"

func (s *settingsKind) count(tx *tx) (n int, err error) {
	err = tx.get([]any{&n}, "SELECT count(*) FROM settings WHERE "+travelling)
	return n, err
}

func (s *settingsKind) write(tx *tx, l *sheet.Line, put func(*sheet.Line) error) error {
	var key, value string
	return tx.each(func(r scanner) error {
		if err := r.Scan(&key, &value); err != nil {
			return err
		}
		begin(l, s.label())
		l.Text("key", key)
		l.Text("value", value)
		return put(l)
	}, "SELECT key, value FROM settings WHERE "+travelling+" ORDER BY key")
}

func (s *settingsKind) read(v *sheet.Value, line int) error {
	var key, value string
	cols := []column{{"", "key", text[string]{&key}}, {"", "value", text[string]{&value}}}
	if err := readFields(cols, nil, v, s.label(), line); err != nil {
		return err
	}
	if !slices.Contains(settingsThatTravel, key) {
		return sheet.At(line, 1, "key", procedures.Invalid("key", key, "not a setting that travels", "accepted: "+strings.Join(settingsThatTravel, ", ")))
	}
	s.got = append(s.got, sent[[2]string]{[2]string{key, value}, line})
	return nil
}

func (s *settingsKind) take(other traveler) { s.got = append(s.got, other.(*settingsKind).got...) }

// unite takes a setting where there is none here, and what is in use where there was
// nothing to use; the last mark given out is the last of either.
func (s *settingsKind) unite(m *merging) error {
	for _, set := range s.got {
		key, value := set.rec[0], set.rec[1]
		now, err := m.setting(key)
		if err != nil {
			return err
		}
		switch key {
		case "units":
			if _, err := procedures.ParseUnits(value); err != nil {
				return m.at(set.line, "value", err)
			}
		case "last_mark":
			theirs, err := readMarkCount(value)
			if err != nil {
				return m.at(set.line, "value", err)
			}
			if ours, _ := readMarkCount(now); theirs > ours {
				now = ""
			}
		default:
			if there, err := m.has(key+"s", value); err != nil {
				return err
			} else if !there {
				return m.at(set.line, "value", procedures.Invalid(key, value, "there is no such "+key+", neither here nor in the file", "leave the line out, and correct the count in the header"))
			}
		}
		if now == "" && !m.had[key] {
			m.tally.Added++
			if err := m.set(key, value); err != nil {
				return err
			}
		} else {
			m.tally.Same++
		}
		if err := m.step(); err != nil {
			return err
		}
	}
	for _, key := range []string{"machine", "spool"} {
		if err := m.settleUse(key); err != nil {
			return err
		}
	}
	return nil
}

// settleUse leaves no machine, or spool, in use that either side has withdrawn. None is
// chosen in its place.
func (m *merging) settleUse(key string) error {
	var name, struck string
	err := m.get([]any{&name, &struck}, "SELECT name, struck FROM "+key+"s WHERE struck IS NOT NULL AND id = (SELECT value FROM settings WHERE key = ?)", key)
	switch {
	case errors.Is(err, sql.ErrNoRows):
		return nil
	case err != nil:
		return err
	}
	m.report.OutOfUse = append(m.report.OutOfUse, OutOfUse{key, name, struck})
	return m.exec("DELETE FROM settings WHERE key = ?", key)
}

// readMarkCount reads the number of the last mark given out; "" none yet.
func readMarkCount(s string) (n int, err error) {
	if s == "" {
		return 0, nil
	}
	if _, err = fmt.Sscanf(s, "%d", &n); err != nil || fmt.Sprint(n) != s || n < 0 || n > 1e8 {
		return 0, procedures.Invalid("value", s, "not a count of marks", "a whole number from 0")
	}
	return n, nil
}
