package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	sqlite3 "modernc.org/sqlite/lib"

	"beadwright/procedures"
	"beadwright/procedures/sheet"
)

// Report is what a file does to a notebook.
type Report struct {
	Kinds     []Tally    `json:"records"`   // in the order of the file's kinds, without those it has none of
	Conflicts []Conflict `json:"conflicts"` // what the two say differently
	Renamed   []Rename   `json:"renamed"`   // so that no two have one name
}

// Tally counts the records of one kind.
type Tally struct {
	Kind    string `json:"kind"`
	Added   int    `json:"added"`
	Changed int    `json:"changed"` // here already, and told more by the file
	Same    int    `json:"same"`
}

// Conflict is a field that the notebook and the file say differently.
type Conflict struct {
	Record string `json:"record"` // kind and mark, name or number
	Field  string `json:"field"`
	Stands string `json:"stands"`
	Kept   string `json:"kept"` // as an amendment, where there are such; of a sheet: not taken
}

// Rename is a name, mark or number given anew because both sides had given it.
type Rename struct {
	What string `json:"what"` // machine, spool, procedure, mark, run-out ...
	ID   string `json:"id"`
	From string `json:"from"`
	To   string `json:"to"`
	Here bool   `json:"here"` // the record was in this notebook before
}

// Changes reports whether anything comes out different.
func (r Report) Changes() bool {
	return len(r.Renamed) > 0 || slices.ContainsFunc(r.Kinds, func(t Tally) bool { return t.Added > 0 || t.Changed > 0 })
}

// Import puts a file's records into the notebook, all or none of them. What is
// here already, by id, is not added again; two forms of one record become one that
// holds what both say. keep is shown what comes of it before it is final; where it
// returns false nothing is written. progress, where not nil, is told how many
// records of how many are done.
//
// The order in which two notebooks are put together makes no difference: of two
// that amended one field, the later amendment stands and the other stays in the
// history; struck stands over not struck; of two machines, spools or procedures of
// one name the one with the later id is called "NAME (2)"; of two notebooks that
// gave out one mark, the one whose such weld is older keeps all its marks, and the
// other's are given new ones, the old kept as an amendment; numbers of run-outs and
// their like are given anew to the later id. Units and what is in use stay as they
// are here. Errors: [*sheet.Error]; [*FileError].
func (n *Notebook) Import(ctx context.Context, f *File, keep func(Report) (bool, error), progress func(done, of int)) (Report, error) {
	var report Report
	err := n.aside(ctx, func(tx *tx) error {
		m := &merging{tx: tx, file: f, names: map[string]string{}, ids: map[string]map[string]bool{}, statements: map[string]*sql.Stmt{}}
		m.step = func() {
			if m.done++; progress != nil {
				progress(m.done, f.Total)
			}
		}
		all := f.goods.all()
		for _, k := range append(all[1:], all[0]) { // settings speak of machines
			m.tally = Tally{Kind: k.label()}
			if err := k.unite(m); err != nil {
				return err
			}
			if k.kept() > 0 || m.tally.Changed > 0 {
				m.report.Kinds = append(m.report.Kinds, m.tally)
			}
		}
		if report = m.report; report.Changes() {
			if err := tx.revise(); err != nil {
				return err
			}
		}
		ok, err := keep(report)
		if err == nil && !ok {
			err = errNotKept
		}
		return err
	})
	if errors.Is(err, errNotKept) {
		err = nil
	}
	return report, err
}

var errNotKept = errors.New("not kept")

// merging is one file on its way into a notebook.
type merging struct {
	*tx
	file   *File
	report Report
	tally  Tally
	step   func()
	done   int

	replacing bool // the lists of a record that was there

	names      map[string]string          // of the file's machines: name there to name here
	states     map[string]string          // id to the machine's name here
	ids        map[string]map[string]bool // by table
	statements map[string]*sql.Stmt
}

// has reports whether a table has a record of that id.
func (m *merging) has(table, id string) (bool, error) {
	set := m.ids[table]
	if set == nil {
		set = map[string]bool{}
		m.ids[table] = set
		if err := m.each(func(r scanner) error {
			var id string
			err := r.Scan(&id)
			set[id] = true
			return err
		}, "SELECT id FROM "+table); err != nil {
			return false, err
		}
	}
	return set[id], nil
}

// at puts an error to a record of the file.
func (m *merging) at(line int, key string, err error) error {
	return sheet.At(line, m.file.place(line, key), key, err)
}

// run executes a statement, prepared once.
func (m *merging) run(query string, args ...any) (row int64, err error) {
	s := m.statements[query]
	if s == nil {
		if s, err = m.PrepareContext(m.ctx, query); err != nil {
			return 0, err
		}
		m.statements[query] = s // closed with the transaction
	}
	res, err := s.ExecContext(m.ctx, args...)
	if err != nil {
		return 0, err
	}
	return res.LastInsertId()
}

// put adds a record, or with old writes it in the place of its older self.
func put[T any](m *merging, k *kind[T], rec *T, line int, old bool, more ...column) error {
	k.draft = *rec
	cols := append(stored(k.cols), more...)
	query := "INSERT INTO " + k.table + " (" + names(cols) + ") VALUES (" + strings.Repeat(", ?", len(cols))[2:] + ")"
	args := cells(cols)
	if old {
		query = "UPDATE " + k.table + " SET " + strings.ReplaceAll(names(cols), ",", " = ?,") + " = ? WHERE id = ?"
		args = append(args, k.id())
	}
	row, err := m.run(query, args...)
	if err == nil && k.save != nil {
		if old {
			err = m.get([]any{&row}, "SELECT n FROM "+k.table+" WHERE id = ?", k.id())
		}
		if err == nil {
			err = k.save(m, row, rec)
		}
	}
	if code, ok := resultCode(err); ok && code&0xff == sqlite3.SQLITE_CONSTRAINT {
		return m.at(line, "", procedures.Invalid(k.name, "", "no such "+k.name+" can be kept: "+err.Error()))
	}
	return err
}

// standing reads the records of a file that are in the notebook already, by id.
func standing[T any](m *merging, k *kind[T]) (map[string]*T, error) {
	k.ready()
	found := map[string]*T{}
	for part := range slices.Chunk(k.got, 5000) {
		var ids []string
		for _, s := range part {
			k.draft = s.rec
			ids = append(ids, k.id())
		}
		list, err := json.Marshal(ids)
		if err != nil {
			return nil, err
		}
		rows, err := k.rows(m.tx, "id IN (SELECT value FROM json_each(?))", string(list))
		if err != nil {
			return nil, err
		}
		for _, rec := range rows {
			k.draft = *rec
			found[k.id()] = rec
		}
	}
	return found, nil
}

// once refuses a file that holds one id twice.
func once[T any](m *merging, k *kind[T]) error {
	seen := make(map[string]int, len(k.got))
	for i := range k.got {
		k.draft = k.got[i].rec
		if before := seen[k.id()]; before > 0 {
			return m.at(k.got[i].line, "id", procedures.Invalid("id", k.id(), fmt.Sprintf("line %d has this id too", before), "leave one of the two lines out"))
		}
		seen[k.id()] = k.got[i].line
	}
	return nil
}

func (k *kind[T]) unite(m *merging) error {
	k.ready()
	if err := once(m, k); err != nil {
		return err
	}
	if k.merge != nil {
		return k.merge(m, k)
	}
	return mergePlain(m, k)
}

// mergePlain puts in records that are never amended.
func mergePlain[T any](m *merging, k *kind[T]) error {
	for i := range k.got {
		if err := m.refer(k.table, k.bind(&k.got[i].rec), k.got[i].line); err != nil {
			return err
		}
	}
	return mergeReferred(m, k)
}

// mergeReferred is mergePlain for records whose references are in order.
func mergeReferred[T any](m *merging, k *kind[T]) error {
	return mergeFrom(m, k, nil)
}

// mergeFrom is mergeReferred with columns that number each new record.
func mergeFrom[T any](m *merging, k *kind[T], number func() column) error {
	old, err := standing(m, k)
	if err != nil {
		return err
	}
	for i := range k.got {
		s := &k.got[i]
		cols := k.bind(&s.rec)
		mine := old[show(field(cols, "id"))]
		if mine == nil {
			var more []column
			if number != nil {
				more = append(more, number())
			}
			if err := put(m, k, &s.rec, s.line, false, more...); err != nil {
				return err
			}
			m.tally.Added++
		} else if err := again2(m, k, mine, s); err != nil {
			return err
		}
		m.step()
	}
	return nil
}

// again2 makes one record of the notebook's form and the file's.
func again2[T any](m *merging, k *kind[T], mine *T, theirs *sent[T]) error {
	changed, err := m.agree(k.name, k.bind(mine), k.bind(&theirs.rec), k.joins, nil, nil, theirs.line)
	if err != nil {
		return err
	}
	if !changed {
		m.tally.Same++
		return nil
	}
	m.tally.Changed++
	return put(m, k, mine, theirs.line, true)
}

func field(cols []column, key string) cell {
	for _, c := range cols {
		if c.field == key {
			return c.cell
		}
	}
	return nil
}

// refer checks what a record says of others, and calls its machine by the name
// that it has here.
func (m *merging) refer(table string, cols []column, line int) error {
	machine, state := "", ""
	for _, c := range cols {
		v := show2(c.cell)
		if v == "" {
			continue
		}
		other := ""
		switch c.name {
		case "machine":
			machine = v
			continue
		case "state":
			state = v
			continue
		case "spool":
			other = "spools"
		case "suggestion":
			other = "suggestions"
		case "weld":
			other = "welds"
		default:
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

// show2 is a value as it stands in a file, which is alike for like values.
func show2(c cell) string {
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
	changed, err = strike(mine, theirs)
	if err != nil {
		return false, err
	}
	for i, c := range mine {
		t := theirs[i]
		a, b := show2(c.cell), show2(t.cell)
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
	for _, key := range []string{"mark", "name", "number"} {
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
// reasons.
func strike(mine, theirs []column) (changed bool, err error) {
	why, when := field(mine, "struck"), field(mine, "struck_at")
	if why == nil || when == nil {
		return false, nil
	}
	a, b := show(why), show(field(theirs, "struck"))
	ta, tb := show(when), show(field(theirs, "struck_at"))
	reason, time := a, ta
	switch {
	case b == "" || a == b && ta == tb:
		return false, nil
	case a == "" || strings.Contains(b, a):
		reason = b
	case strings.Contains(a, b):
	case ta < tb || ta == tb && a < b:
		reason = a + "; " + b
	default:
		reason = b + "; " + a
	}
	if ta == "" || tb < ta {
		time = tb
	}
	if reason == a && time == ta {
		return false, nil
	}
	return true, errors.Join(why.Scan(reason), when.Scan(time))
}

// amend adds amendments to the history of a weld or machine.
func (m *merging) amend(table, of string, row int64, list []procedures.Amendment) error {
	for _, a := range list {
		if _, err := m.run("INSERT INTO "+table+" ("+of+", at, field, old, new) VALUES (?, ?, ?, nullif(?, ''), nullif(?, ''))",
			row, formatTime(a.At), a.Field, a.Old, a.New); err != nil {
			return err
		}
	}
	return nil
}

// numberedSent is what decides about the number of a record on its machine.
type numberedSent struct {
	id, machine string
	number      int
	here        bool
	set         func(int) // for one of the file
}

// mergeNumbered is [mergePlain] for records that are numbered on their machine. Of
// two with one number the later id gets the next free one.
func mergeNumbered[T any](m *merging, k *kind[withdrawn[T]]) error {
	if len(k.got) == 0 {
		return nil
	}
	all := map[string]*numberedSent{}
	if err := m.each(func(r scanner) error {
		s := &numberedSent{here: true}
		err := r.Scan(&s.id, text[string]{&s.machine}, &s.number)
		all[s.id] = s
		return err
	}, "SELECT id, machine, number FROM "+k.table); err != nil {
		return err
	}
	was := map[string]int{}
	for id, s := range all {
		was[id] = s.number
	}
	for i := range k.got {
		cols := k.bind(&k.got[i].rec)
		if err := m.refer(k.table, cols, k.got[i].line); err != nil {
			return err
		}
		var number int
		_ = whole[int]{&number}.Scan(mustValue(field(cols, "number")))
		if number < 1 || number > 1e9 {
			return m.at(k.got[i].line, "number", procedures.Invalid("number", fmt.Sprint(number), "not the number of a "+k.name, "a whole number from 1"))
		}
		id := show(field(cols, "id"))
		s := all[id]
		if s == nil {
			s = &numberedSent{id: id, machine: show(field(cols, "machine"))}
			all[id] = s
		}
		s.number = max(s.number, number)
		s.set = func(n int) { _ = field(cols, "number").Scan(int64(n)) }
		if !s.here {
			was[id] = number
		}
	}
	list := make([]*numberedSent, 0, len(all))
	for _, s := range all {
		list = append(list, s)
	}
	slices.SortFunc(list, func(a, b *numberedSent) int { return strings.Compare(a.id, b.id) })
	renumber(list)
	for _, apart := range []int{1 << 40, 0} { // first out of one another's way
		for _, s := range list {
			if s.here && s.number != was[s.id] {
				if _, err := m.run("UPDATE "+k.table+" SET number = ? WHERE id = ?", s.number+apart, s.id); err != nil {
					return err
				}
			}
		}
	}
	for _, s := range list {
		if s.set != nil {
			s.set(s.number)
		}
		if s.number != was[s.id] {
			m.report.Renamed = append(m.report.Renamed, Rename{k.name, s.id, fmt.Sprint(was[s.id]), fmt.Sprint(s.number), s.here})
		}
	}
	return mergeReferred(m, k)
}

func mustValue(c cell) driver.Value {
	v, _ := c.Value()
	return v
}

// renumber gives the next free number to each record whose number an earlier id on
// its machine has. A record of no machine shares the numbers of every machine.
func renumber(list []*numberedSent) {
	type place struct {
		machine string
		number  int
	}
	taken, any, last := map[place]bool{}, map[int]bool{}, map[string]int{}
	highest := 0
	take := func(s *numberedSent) {
		taken[place{s.machine, s.number}], any[s.number] = true, true
		last[s.machine], highest = max(last[s.machine], s.number), max(highest, s.number)
	}
	var later []*numberedSent
	for _, s := range list {
		if taken[place{s.machine, s.number}] || taken[place{"", s.number}] || s.machine == "" && any[s.number] {
			later = append(later, s)
			last[s.machine], highest = max(last[s.machine], s.number), max(highest, s.number)
			continue
		}
		take(s)
	}
	for _, s := range later {
		s.number = max(last[s.machine], last[""]) + 1
		if s.machine == "" {
			s.number = highest + 1
		}
		take(s)
	}
}

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

// unite takes a setting where there is none here; the last mark given out is the
// last of either.
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
		if now == "" {
			m.tally.Added++
			if err := m.set(key, value); err != nil {
				return err
			}
		} else {
			m.tally.Same++
		}
		m.step()
	}
	for _, key := range []string{"machine", "spool"} {
		if err := m.exec("INSERT INTO settings (key, value) SELECT ?, id FROM "+key+"s WHERE n = (SELECT min(n) FROM "+key+"s) ON CONFLICT (key) DO NOTHING", key); err != nil {
			return err
		}
	}
	return nil
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

// early is the earlier of two times that are known.
func early(a, b time.Time) time.Time {
	if a.IsZero() || !b.IsZero() && b.Before(a) {
		return b
	}
	return a
}
