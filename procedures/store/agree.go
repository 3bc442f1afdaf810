package store

import (
	"database/sql/driver"
	"errors"
	"fmt"
	"slices"
	"strings"

	"beadwright/procedures"
)

// rule says how two values of one field become one; nil is not known.
type rule func(mine, theirs driver.Value) driver.Value

// lesser takes the earlier time, or the lesser id; the known before the unknown.
func lesser(a, b driver.Value) driver.Value {
	if a == nil || b != nil && b.(string) < a.(string) {
		return b
	}
	return a
}

// greater takes the greater number.
func greater(a, b driver.Value) driver.Value {
	if a == nil || b != nil && b.(int64) > a.(int64) {
		return b
	}
	return a
}

var (
	withdrawal    = map[string]rule{}
	numberedJoins = map[string]rule{"number": greater}
)

// inFile is a value as it stands in a file, which is alike for like values.
func inFile(c cell) string {
	if w, ok := c.(written); ok {
		if b, known, err := w.appendTo(nil); known && err == nil {
			return string(b)
		}
		return ""
	}
	return show(c)
}

// together are fields that are decided as one: a state belongs to its machine.
var together = map[string][]string{"job.machine": {"job.machine", "job.state"}, "job.state": {"job.machine", "job.state"}}

// agree makes mine say what both say, field by field: by the rule of the field,
// else by whose amendment, that the other has not seen, is the later. Fields that
// differ and were not amended are refused: nothing says which is right.
func (m *merging) agree(kind string, mine, theirs []column, rules map[string]rule, own, other []procedures.Amendment, line int) (changed bool, err error) {
	changed, err = strike(mine, theirs, own, other)
	if err != nil {
		return false, err
	}
	for i, c := range mine {
		t := theirs[i]
		a, b := inFile(c.cell), inFile(t.cell)
		if a == b || c.field == "struck" || c.field == "struck_at" || c.field == "amended" {
			continue
		}
		if unite := rules[c.field]; unite != nil {
			va, _ := c.Value()
			vb, err := t.Value()
			if err != nil {
				return false, err
			}
			v := unite(va, vb)
			if a != "" && b != "" && c.field != "number" && c.field != "added" {
				m.conflict(kind, mine, c.field, fmt.Sprint(v), a, b)
			}
			if v != va {
				changed = true
				if err := c.Scan(v); err != nil {
					return false, err
				}
			}
			continue
		}
		fields := together[c.field]
		if fields == nil {
			fields = []string{c.field}
		}
		last, latest := unseen(own, other, fields), unseen(other, own, fields)
		if last == nil && latest == nil {
			return false, m.at(line, c.field, procedures.Invalid(c.field, plain(b), fmt.Sprintf("%s is here already and says %s, and no amendment tells which is right", called(kind, mine), quote(plain(a))),
				"correct one of the two by an amendment, and import again"))
		}
		theirsStand := last == nil || latest != nil && amendmentOrder(*latest, *last) > 0
		stands := a
		if theirsStand {
			v, err := t.Value()
			if err == nil {
				err = c.Scan(v)
			}
			if err != nil {
				return false, err
			}
			changed, stands = true, b
		}
		if last != nil && latest != nil {
			m.conflict(kind, mine, c.field, stands, a, b)
		}
	}
	return changed, nil
}

func quote(s string) string {
	if s == "" {
		return "nothing"
	}
	return fmt.Sprintf("%q", s)
}

// plain takes the quotes off a text of JSON.
func plain(s string) string { return strings.Trim(s, `"`) }

func (m *merging) conflict(kind string, cols []column, field, stands, a, b string) {
	kept := a
	if stands == a {
		kept = b
	}
	m.report.Conflicts = append(m.report.Conflicts, Conflict{called(kind, cols), field, plain(stands), plain(kept)})
}

// called names a record for a person.
func called(kind string, cols []column) string {
	for _, key := range []string{"number", "mark", "name"} {
		if c := field(cols, key); c != nil {
			if s := show(c); s != "" {
				return kind + " " + s
			}
		}
	}
	return kind + " " + show(field(cols, "id"))
}

// amendmentOrder puts amendments in order, which is the same in every notebook.
func amendmentOrder(a, b procedures.Amendment) int {
	if c := a.At.Compare(b.At); c != 0 {
		return c
	}
	return strings.Compare(a.Field+"\x00"+a.New+"\x00"+a.Old, b.Field+"\x00"+b.New+"\x00"+b.Old)
}

// unseen is the last amendment of some fields that the other side has not got.
func unseen(own, other []procedures.Amendment, fields []string) (last *procedures.Amendment) {
	for i, a := range own {
		if slices.Contains(fields, a.Field) && !hasAmendment(other, a) && (last == nil || amendmentOrder(a, *last) > 0) {
			last = &own[i]
		}
	}
	return last
}

func hasAmendment(list []procedures.Amendment, a procedures.Amendment) bool {
	return slices.ContainsFunc(list, func(b procedures.Amendment) bool { return amendmentOrder(a, b) == 0 })
}

// missing lists the amendments of the other side that are not here, in order.
func missing(own, other []procedures.Amendment) (list []procedures.Amendment) {
	for _, a := range other {
		if !hasAmendment(own, a) {
			list = append(list, a)
		}
	}
	slices.SortFunc(list, amendmentOrder)
	return list
}

// strike withdraws what either side has withdrawn: at the earlier time, for both
// reasons. A withdrawal that either side has seen and put back is none.
func strike(mine, theirs []column, own, other []procedures.Amendment) (changed bool, err error) {
	why, when := field(mine, "struck"), field(mine, "struck_at")
	if why == nil || when == nil {
		return false, nil
	}
	a, ta := show(why), show(when)
	b, tb := show(field(theirs, "struck")), show(field(theirs, "struck_at"))
	reason, time := a, ta
	if putBack(a, ta, other) {
		reason, time = "", ""
	}
	if putBack(b, tb, own) {
		b, tb = "", ""
	}
	switch was := reason; {
	case b == "":
	case was == "" || strings.Contains(b, was):
		reason = b
	case strings.Contains(was, b):
	case time < tb || time == tb && was < b:
		reason = was + "; " + b
	default:
		reason = b + "; " + was
	}
	if b != "" && (time == "" || tb < time) {
		time = tb
	}
	switch {
	case reason == a && time == ta:
		return false, nil
	case reason == "":
		return true, errors.Join(why.Scan(nil), when.Scan(nil))
	}
	return true, errors.Join(why.Scan(reason), when.Scan(time))
}

// putBack reports whether a history tells that this very withdrawal was put back:
// until then it is no amendment.
func putBack(why, when string, history []procedures.Amendment) bool {
	return why != "" && slices.ContainsFunc(history, func(a procedures.Amendment) bool {
		return a.Field == "struck" && a.New == why && formatTime(a.At) == when
	})
}

// amend is the transaction's, for very many records.
func (m *merging) amend(table, of string, row int64, list []procedures.Amendment) error {
	for _, a := range list {
		if _, err := m.run(addAmendment(table, of), row, formatTime(a.At), a.Field, a.Old, a.New); err != nil {
			return err
		}
	}
	return nil
}
