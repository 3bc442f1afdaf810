package data

import (
	"encoding/csv"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// sheet is a CSV file as it stands, before it is read into Go types.
type sheet struct {
	name   string
	header []string
	rows   [][]string
	lines  []int
}

func readSheet(name string, r io.Reader) (sheet, error) {
	in := csv.NewReader(r)
	header, err := in.Read()
	s := sheet{name: name, header: header}
	for err == nil {
		var row []string
		if row, err = in.Read(); err == nil {
			line, _ := in.FieldPos(0)
			s.rows, s.lines = append(s.rows, row), append(s.lines, line)
		}
	}
	if err != io.EOF {
		return s, fmt.Errorf("%s: %w", name, err)
	}
	return s, nil
}

// cell returns a named cell of a row, "" where the sheet has no such column.
func (s sheet) cell(row int, column string) string {
	if i := slices.Index(s.header, column); i >= 0 {
		return s.rows[row][i]
	}
	return ""
}

func (s sheet) cells(row int, columns []string) string {
	out := make([]string, len(columns))
	for i, c := range columns {
		out[i] = s.cell(row, c)
	}
	return strings.Join(out, " | ")
}

// number reads a cell; an empty one is not given.
func (s sheet) number(row int, column string) (v float64, given bool) {
	v, err := strconv.ParseFloat(s.cell(row, column), 64)
	return v, err == nil
}

// numeric reports whether a column holds numbers wherever it holds anything.
func (s sheet) numeric(column string) bool {
	any := false
	for i := range s.rows {
		if c := s.cell(i, column); c != "" {
			if _, err := strconv.ParseFloat(c, 64); err != nil {
				return false
			}
			any = true
		}
	}
	return any
}

// rule is what one table keeps beside what every table keeps.
type rule struct {
	key     string                // columns that no two rows share
	group   string                // columns within which rising, falling and band hold
	rising  string                // columns that rise strictly from row to row of a group
	falling string                // columns that fall strictly
	band    string                // "over through": bands in order, not overlapping; an empty through is open
	words   map[string]string     // column: the values allowed
	limits  map[string][2]float64 // column: limits other than those of its unit
}

// lint checks one sheet and says what is wrong with it, with file and line.
func lint(s sheet, r rule, known map[string]Source) (complaints []string) {
	say := func(row int, format string, args ...any) {
		line := 1
		if row >= 0 {
			line = s.lines[row]
		}
		complaints = append(complaints, fmt.Sprintf("%s:%d: ", s.name, line)+fmt.Sprintf(format, args...))
	}
	for _, c := range slices.Concat(strings.Fields(r.key), strings.Fields(r.group), strings.Fields(r.rising), strings.Fields(r.falling), strings.Fields(r.band)) {
		if !slices.Contains(s.header, c) {
			say(-1, "no column %s, which the rules of this table name", c)
		}
	}
	if len(s.rows) == 0 {
		say(-1, "no rows")
	}
	for _, column := range s.header {
		lintColumn(s, r, column, say)
	}
	keys, last := map[string]int{}, map[string]int{}
	for i := range s.rows {
		lintRow(s, i, known, say)
		key := s.cells(i, strings.Fields(r.key))
		if first, seen := keys[key]; seen {
			say(i, "same %s as line %d: %s", r.key, s.lines[first], key)
		} else {
			keys[key] = i
		}
		group := s.cells(i, strings.Fields(r.group))
		if prev, seen := last[group]; seen {
			lintOrder(s, r, prev, i, say)
		}
		last[group] = i
	}
	return complaints
}

var plainNumber = regexp.MustCompile(`^-?\d+(\.\d+)?$`)

func lintColumn(s sheet, r rule, column string, say func(int, string, ...any)) {
	allowed, limited := strings.Fields(r.words[column]), r.words[column] != ""
	limits, unit := limitsOf(column)
	if l, ok := r.limits[column]; ok {
		limits = l
	}
	numeric := s.numeric(column) && !limited
	if numeric && unit == "" && !slices.Contains(unitless, column) {
		say(-1, "numbers without a unit in the column's name: %s", column)
	}
	for i := range s.rows {
		c := s.cell(i, column)
		switch {
		case c == "":
		case limited:
			for v := range strings.SplitSeq(c, ";") {
				if !slices.Contains(allowed, v) {
					say(i, "%s is %q, not one of %s", column, v, r.words[column])
				}
			}
		case unit != "" || numeric:
			v, err := strconv.ParseFloat(c, 64)
			if err != nil || !plainNumber.MatchString(c) {
				say(i, "%s is %q, not a plain number", column, c)
			} else if (unit != "" || r.limits[column] != [2]float64{}) && (v < limits[0] || v > limits[1]) {
				say(i, "%s is %s, outside %g to %g", column, c, limits[0], limits[1])
			}
		}
		if strings.Contains(column, "low") {
			low, ok := s.number(i, column)
			high, ok2 := s.number(i, strings.Replace(column, "low", "high", 1))
			if ok && ok2 && low > high {
				say(i, "%s %g is above its high %g", column, low, high)
			}
		}
	}
}

// Words that no table may put before a welder, and marks of trade names.
var (
	forbidden = regexp.MustCompile(`(?i)\b(certified|safe|structural|strong enough)\b`)
	tradeMark = regexp.MustCompile(`(?i)\(r\)|\(tm\)|\b(inc|ltd|llc|gmbh|corp)\b|trade ?mark`)
)

const longestNote = 160

func lintRow(s sheet, i int, known map[string]Source, say func(int, string, ...any)) {
	for j, c := range s.rows[i] {
		if strings.ContainsFunc(c, func(r rune) bool { return r < ' ' || r > '~' }) {
			say(i, "%s is not ASCII: %q", s.header[j], c)
		}
		if strings.TrimSpace(c) != c {
			say(i, "%s has spaces around it: %q", s.header[j], c)
		}
		if m := forbidden.FindString(c); m != "" && s.header[j] != "aliases" {
			say(i, "%s says %q", s.header[j], m)
		}
		if m := tradeMark.FindString(c); m != "" {
			say(i, "%s reads like a trade name: %q", s.header[j], m)
		}
	}
	if s.name == "sources.csv" {
		return
	}
	note := s.cell(i, "note")
	if len(note) > longestNote {
		say(i, "note of %d characters, more than %d", len(note), longestNote)
	}
	ids := strings.Split(s.cell(i, "source"), ";")
	for j, id := range ids {
		if _, ok := known[id]; !ok {
			say(i, "unknown source %q", id)
		}
		if slices.Contains(ids[:j], id) {
			say(i, "source %q stands twice", id)
		}
	}
	fromMemory := slices.ContainsFunc(ids, func(id string) bool { return known[id].Trust == "memory" })
	practice := slices.ContainsFunc(ids, func(id string) bool { return known[id].Trust == "none" })
	switch basis := Basis(s.cell(i, "basis")); basis {
	case Memory:
		if !fromMemory && note == "" {
			say(i, "basis memory with source %s and no note that says what the source shows", strings.Join(ids, ";"))
		}
	case Practice:
		if !practice {
			say(i, "basis practice without a source that says so")
		}
		if note == "" {
			say(i, "basis practice and no note")
		}
	case Printed, Computed:
		if slices.Contains(ids, "MEM") && !strings.Contains(note, "memory") {
			say(i, "source MEM, basis %s and a note that does not say what is from memory", basis)
		}
		if practice && !strings.Contains(note, "common practice") {
			say(i, "source CP, basis %s and a note that does not say what is common practice", basis)
		}
		if basis == Computed && note == "" && !slices.ContainsFunc(ids, func(id string) bool { return known[id].Trust == "exact" }) {
			say(i, "basis computed and no note that says how")
		}
	default:
		say(i, "basis %q", basis)
	}
}

// lintOrder compares two rows that follow one another in a group.
func lintOrder(s sheet, r rule, prev, row int, say func(int, string, ...any)) {
	for _, c := range strings.Fields(r.rising) {
		a, _ := s.number(prev, c)
		if b, _ := s.number(row, c); b <= a {
			say(row, "%s %g does not rise from %g", c, b, a)
		}
	}
	for _, c := range strings.Fields(r.falling) {
		a, _ := s.number(prev, c)
		if b, _ := s.number(row, c); b >= a {
			say(row, "%s %g does not fall from %g", c, b, a)
		}
	}
	if band := strings.Fields(r.band); len(band) == 2 {
		through, given := s.number(prev, band[1])
		over, _ := s.number(row, band[0])
		if !given || over < through {
			say(row, "band from %g overlaps the one before", over)
		}
		if end, ok := s.number(row, band[1]); ok && end <= over {
			say(row, "band from %g through %g", over, end)
		}
	}
}

func openSheet(t *testing.T, name string) sheet {
	t.Helper()
	f, err := files.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	s, err := readSheet(name, f)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestLint(t *testing.T) {
	names, err := files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range names {
		t.Run(f.Name(), func(t *testing.T) {
			r, ok := rules[f.Name()]
			if !ok {
				t.Fatal("no rules for this table")
			}
			for _, c := range lint(openSheet(t, f.Name()), r, Sources()) {
				t.Error(c)
			}
		})
	}
	if len(names) != len(rules) {
		t.Errorf("%d tables, rules for %d", len(names), len(rules))
	}
}
