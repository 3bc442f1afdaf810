package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"beadwright/procedures"
	"beadwright/procedures/store"
	"beadwright/recommend/caution"
)

// rowsMost bounds a sheet: nobody fills more on paper between two evenings.
const rowsMost = 1000

// rowColumns are the columns that a row may have, by how they are headed. A column
// that is left out, or a cell that is blank, was not said.
var rowColumns = []string{"mark", "date", "thickness", "other thickness", "joint", "position", "steel", "coating", "gap", "length", "for", "wire", "machine",
	"tap", "knob", "wire speed", "polarity", "stick-out", "pace", "volts", "amps", "arc", "rating", "symptoms", "test", "leg", "note"}

// otherHeads are what people head them with as well.
var otherHeads = map[string]string{"stickout": "stick-out", "extension": "stick-out", "travel": "pace", "symptom": "symptoms", "tests": "test", "notes": "note", "at": "date", "time": "date",
	"wire-speed": "wire speed", "wire_speed": "wire speed", "other-thickness": "other thickness", "coupon": "mark", "id": "mark"}

// sheetRow is one row of a sheet: its line in the file, its cells by column.
type sheetRow struct {
	line  int
	cells map[string]string
}

// logRows types a paper log in: every row, or none. With dry it only says how each
// would be read.
func (a *app) logRows(ctx context.Context, o logOptions, args []string) error {
	if len(args) > 0 {
		return procedures.Invalid("words", strings.Join(args, " "), "a sheet is typed in from its rows alone", "beadwright log --rows sheet.csv", "for one weld leave --rows out")
	}
	units, err := a.units(ctx)
	if err != nil {
		return err
	}
	rows, err := readRows(o.rows)
	if err != nil {
		return err
	}
	// A question must not make a notebook, and neither must rows that are wrong.
	nb, err := a.existing(ctx)
	if err != nil {
		return err
	}
	var welds []procedures.Weld
	var wrong []string
	seen := map[string]int{}
	before := earlier{nb, map[string][]procedures.Weld{}}
	for i := range rows {
		w, err := a.rowWeld(ctx, o, rows[i], units)
		if err == nil {
			err = freeMark(ctx, nb, w.Mark, rows[i].line, seen)
		}
		if err == nil && !o.again {
			err = before.repeated(ctx, w)
		}
		if err != nil {
			if !errors.As(err, new(*procedures.InvalidError)) && !errors.Is(err, procedures.ErrNotFound) {
				return err
			}
			wrong = append(wrong, rowProblem(rows[i].line, err))
			continue
		}
		welds = append(welds, w)
	}
	if len(wrong) > 0 {
		return procedures.Invalid("rows", o.rows, fmt.Sprintf("%d of %d rows cannot be read, so nothing was written", len(wrong), len(rows)), wrong...)
	}
	if !o.dry {
		if nb, err = a.notebook(ctx); err != nil {
			return err
		}
	}
	if nb != nil {
		add := nb.AddWelds
		if o.dry {
			add = nb.TryWelds
		}
		added, err := add(ctx, welds)
		var place *store.PlaceError
		if errors.As(err, &place) {
			return procedures.Invalid("rows", o.rows, "a row cannot be written, so nothing was", rowProblem(rows[place.Place].line, place.Err))
		} else if err != nil {
			return err
		}
		welds = added
	}
	return a.reportRows(o, rows, welds, units)
}

// reportRows says what became of each row.
func (a *app) reportRows(o logOptions, rows []sheetRow, welds []procedures.Weld, units procedures.Units) error {
	if a.json {
		type reported struct {
			Line int             `json:"line"`
			Mark string          `json:"mark"`
			Weld procedures.Weld `json:"weld"`
		}
		list := []reported{}
		for i, w := range welds {
			list = append(list, reported{rows[i].line, w.Mark, w})
		}
		return a.printJSON(map[string]any{"written": !o.dry, "rows": list})
	}
	machines := map[string]bool{}
	for i, w := range welds {
		mark := w.Mark
		if mark == "" {
			mark = "next mark"
		}
		day := w.At.Local().Format("2006-01-02")
		if !dated(o, rows[i]) {
			day += " (today: no date was said)"
		}
		a.line(fmt.Sprintf("line %d", rows[i].line), list(mark, day, describeJob(w.Job, units), setLine(w.Settings, units), ratingNames[w.Outcome.Rating], strings.Join(w.Outcome.Symptoms, ", "), testWords(w.Outcome), w.Outcome.Note))
		a.tellDanger(w)
		if stops, _ := caution.Gate(caution.Request{Words: w.Said, Job: w.Job}); len(stops) > 0 {
			a.line("", "STOP for the part itself: "+stops[0].Text+" It is kept as a practice coupon.")
		}
		if missing := uncounted(w, procedures.Machine{}); missing != "" {
			a.line("", "no "+missing+" was said, so this bead is kept but moves no suggestion yet")
		}
		machines[w.Job.Machine] = true
	}
	if o.dry {
		a.printf("%d rows read, nothing written. To write them leave --dry-run out\n", len(rows))
	} else {
		a.printf("%d rows written\n", len(rows))
	}
	if a.nb != nil {
		for name := range machines {
			a.storedCharges(context.Background(), name)
		}
	}
	return nil
}

func testWords(o procedures.Outcome) string {
	var parts []string
	for _, t := range o.Tests {
		parts = append(parts, t.Kind+" "+t.Result)
	}
	return strings.Join(parts, ", ")
}

// rowProblem says what is wrong with a row, in one line with its hints.
func rowProblem(line int, err error) string {
	text := fmt.Sprintf("line %d: %s", line, oneLine(err.Error()))
	var bad *procedures.InvalidError
	if errors.As(err, &bad) && len(bad.Hints) > 0 {
		text += " - " + procedures.Typed(bad.Hints[0])
	}
	return text
}

// freeMark refuses a mark that another weld, or another row, has.
func freeMark(ctx context.Context, nb *store.Notebook, mark string, line int, seen map[string]int) error {
	if mark == "" {
		return nil
	}
	key := strings.ToUpper(mark)
	if before := seen[key]; before > 0 {
		return procedures.Invalid("mark", mark, fmt.Sprintf("line %d has this mark too", before), "each coupon has its own")
	}
	seen[key] = line
	if nb == nil {
		return nil
	}
	if _, _, err := nb.Weld(ctx, mark); err == nil {
		return procedures.Invalid("mark", mark, "a weld of this mark is logged already", "if it is the same, take the row out; else leave the mark blank, and a new one is given")
	} else if !errors.Is(err, procedures.ErrNotFound) {
		return err
	}
	return nil
}

// readRows reads the rows of a CSV file, or of standard input for "-". The first
// row heads the columns. Cells are parted by commas, semicolons or tabs, as the head
// has them. A cell that says ditto is as the one above.
func readRows(file string) ([]sheetRow, error) {
	text, err := rowsText(file)
	if err != nil {
		return nil, err
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	head, _, _ := bytes.Cut(text, []byte("\n"))
	r := csv.NewReader(bytes.NewReader(text))
	r.FieldsPerRecord, r.TrimLeadingSpace = -1, true
	for _, sign := range []rune{';', '\t'} {
		if bytes.Count(head, []byte(string(sign))) > bytes.Count(head, []byte{','}) {
			r.Comma = sign
		}
	}
	names, err := r.Read()
	if err != nil {
		return nil, procedures.Invalid("rows", file, "there is no first row that heads the columns", "make a blank sheet: beadwright print log sheet.csv")
	}
	columns, err := rowHeads(names)
	if err != nil {
		return nil, err
	}
	var rows []sheetRow
	var above map[string]string
	for {
		cells, err := r.Read()
		if err == io.EOF {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			return nil, procedures.Invalid("rows", file, fmt.Sprintf("line %d, column %d: %v", bad.Line, bad.Column, bad.Err), "a cell with a quote in it goes into quotes, with the quote twice: \"1/8\"\"\"")
		} else if err != nil {
			return nil, err
		}
		line, _ := r.FieldPos(0)
		row := sheetRow{line, map[string]string{}}
		for i, c := range cells {
			c = strings.TrimSpace(c)
			switch {
			case c == "":
			case i >= len(columns):
				return nil, procedures.Invalid("rows", c, fmt.Sprintf("line %d has more cells than the head has columns", line), "a cell with a comma in it goes into quotes")
			case slices.Contains([]string{"ditto", "do", "do.", "''", "\"", "\u3003", "\u201d"}, strings.ToLower(c)):
				if above[columns[i]] == "" {
					return nil, procedures.Invalid("rows", c, fmt.Sprintf("line %d, %s: there is nothing above to be as", line, columns[i]), "write it out")
				}
				row.cells[columns[i]] = above[columns[i]]
			default:
				row.cells[columns[i]] = c
			}
		}
		if len(row.cells) == 0 || len(row.cells) == 1 && row.cells["mark"] != "" {
			continue // not filled in
		}
		rows, above = append(rows, row), row.cells
		if len(rows) > rowsMost {
			return nil, procedures.Invalid("rows", file, fmt.Sprintf("more than %d rows", rowsMost), "type it in by parts")
		}
	}
	if len(rows) == 0 {
		return nil, procedures.Invalid("rows", file, "no row is filled in", "a row a bead below the head; a blank sheet: beadwright print log sheet.csv")
	}
	return rows, nil
}

func rowsText(file string) ([]byte, error) {
	const most = 4 << 20
	if file == "-" {
		return io.ReadAll(io.LimitReader(os.Stdin, most))
	}
	info, err := os.Stat(file)
	switch {
	case err != nil:
		return nil, cannotRead("rows", file, err, "the CSV file's path; - for standard input; a blank one: beadwright print log sheet.csv")
	case info.IsDir():
		return nil, procedures.Invalid("rows", file, "that is a folder", "the path of a CSV file in it; a blank one: beadwright print log sheet.csv")
	case info.Size() > most:
		return nil, procedures.Invalid("rows", file, "longer than 4 MB, which is no sheet", "type it in by parts")
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, cannotRead("rows", file, err, "the CSV file's path")
	}
	return text, nil
}

// rowHeads turns the head into columns.
func rowHeads(names []string) ([]string, error) {
	var columns []string
	for _, n := range names {
		key := strings.Join(strings.Fields(strings.ToLower(n)), " ")
		if other := otherHeads[key]; other != "" {
			key = other
		}
		if !slices.Contains(rowColumns, key) {
			return nil, procedures.Invalid("rows", n, "line 1: no column is called that", "accepted: "+strings.Join(rowColumns, ", "))
		}
		if slices.Contains(columns, key) {
			return nil, procedures.Invalid("rows", n, "line 1: two columns are called that", "each column once")
		}
		columns = append(columns, key)
	}
	return columns, nil
}

// rowWeld makes a weld of a row, by the same reading as log. What the flags say
// holds for every row that does not say it.
func (a *app) rowWeld(ctx context.Context, o logOptions, row sheetRow, units procedures.Units) (procedures.Weld, error) {
	said := func(column, flag string) string {
		if c := row.cells[column]; c != "" {
			return c
		}
		return flag
	}
	f := o.job
	job := jobFlags{said("thickness", f.thickness), said("other thickness", f.other), said("joint", f.joint), said("position", f.position), said("steel", f.steel),
		said("wire", f.wire), said("gap", f.gap), said("coating", f.coating), said("for", f.use), said("length", f.length)}
	reading, _, err := job.read(ctx, a, nil, units)
	if err == nil {
		err = reading.Complete()
	}
	if err != nil {
		return procedures.Weld{}, err
	}
	w := procedures.Weld{Job: reading.Job, Mark: row.cells["mark"], Said: rowSaid(row)}
	if w.Spool, _, err = a.fillWire(ctx, &w.Job); err != nil {
		return w, err
	}
	m, err := a.machine(ctx, said("machine", o.machine), w.Job.Process)
	if err != nil {
		return w, err
	}
	if !m.Example {
		w.Job.Machine = m.Name // the state is that of its day
	}
	g := o.weld
	set := weldFlags{tap: said("tap", g.tap), knob: said("knob", g.knob), wireSpeed: said("wire speed", g.wireSpeed), polarity: said("polarity", g.polarity), extension: said("stick-out", g.extension),
		travel: said("pace", g.travel), volts: row.cells["volts"], amps: row.cells["amps"], arc: row.cells["arc"], rating: row.cells["rating"], leg: row.cells["leg"], note: row.cells["note"],
		symptoms: parts(row.cells["symptoms"], ",;"), tests: parts(row.cells["test"], ";,")}
	now := a.now()
	if err := set.apply(&w, m, units, now); err != nil {
		return w, err
	}
	if date := said("date", g.at); dated(o, row) {
		if w.At, err = parseTime("date", date, now); err != nil {
			return w, err
		}
	} else {
		w.At = now.Truncate(time.Second) // not just welded: no arc of the clock is counted to it
	}
	if w.Outcome.Rating == 0 && len(w.Outcome.Symptoms) == 0 && len(w.Outcome.Tests) == 0 && w.Outcome.Note == "" {
		return w, procedures.Invalid("rating", "", "how was it?", "a rating 1 to 5, a symptom, a test or a note")
	}
	return w, nil
}

// dated reports whether a row says its day.
func dated(o logOptions, row sheetRow) bool { return row.cells["date"]+o.weld.at != "" }

// parts splits a cell of several words at signs.
func parts(cell, signs string) []string {
	var out []string
	for _, p := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(signs, r) }) {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, p)
		}
	}
	return out
}

// rowSaid is the row as it was typed, in the order of the columns.
func rowSaid(row sheetRow) string {
	var cells []string
	for _, c := range rowColumns {
		if v := row.cells[c]; v != "" {
			cells = append(cells, v)
		}
	}
	return strings.Join(cells, ", ")
}
