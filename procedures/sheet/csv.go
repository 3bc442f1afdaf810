package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"beadwright/procedures"
)

// Options say how a spreadsheet is to be read.
type Options struct {
	Units   procedures.Units   // of bare numbers under headings that name none
	Lexicon procedures.Lexicon // gauges and steels
	Map     map[string]string  // their headings to ours; see [ParseMap]
	Machine string             // of rows that name none
	Zone    *time.Location     // of the dates; nil: UTC
}

// Row is one weld of a spreadsheet.
type Row struct {
	Line int
	Weld procedures.Weld // with an id that comes from its content, so that it is the same each time it is read
}

// Sheet is a spreadsheet of welds as it was understood.
type Sheet struct {
	Headings []Heading
	Rows     []Row
}

// Read reads a spreadsheet of welds as CSV: a row of headings, then one weld a
// row, with commas, semicolons or tabs between. Cells are read as the command line
// reads them, in anybody's words. Empty cells are not known, empty rows left out.
// Errors: [*Error], whose column counts cells.
func Read(text []byte, o Options) (Sheet, error) {
	var s Sheet
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if o.Zone == nil {
		o.Zone = time.UTC
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = delimiter(text), -1, true
	head, err := r.Read()
	if err == io.EOF {
		return s, At(1, 1, "", procedures.Invalid("", "", "there is nothing in the file", "a row of headings, then one weld a row"))
	} else if err != nil {
		return s, torn(err)
	}
	known := 0
	for i, name := range head {
		line, _ := r.FieldPos(i)
		if err := plainCell(name); err != nil {
			return s, At(line, i+1, "", err)
		}
		h, err := readHeading(name, i+1, o.Map)
		if err != nil {
			return s, At(line, i+1, "", err)
		}
		if h.Field != "" {
			known++
		}
		s.Headings = append(s.Headings, h)
	}
	if known == 0 {
		return s, At(1, 1, "", procedures.Invalid("", strings.Join(head, ", "), "none of these headings means anything here", `say what they are: --map "Their column=thickness"`, "ours are: "+strings.Join(Fields(), ", ")))
	}
	if err := once(s.Headings, o.Map); err != nil {
		return s, err
	}
	seen := map[string]int{}
	for {
		cells, err := r.Read()
		if err == io.EOF {
			return s, nil
		} else if err != nil {
			return s, torn(err)
		}
		line, _ := r.FieldPos(0)
		row, content, err := readRow(cells, line, s.Headings, o)
		if err != nil {
			return s, err
		}
		if content == "" {
			continue
		}
		if row.Weld.ID == "" {
			seen[content]++
			row.Weld.ID = idOf(fmt.Sprintf("%s%d", content, seen[content]), row.Weld.At)
		}
		s.Rows = append(s.Rows, row)
	}
}

// torn places an error of the CSV itself.
func torn(err error) error {
	var bad *csv.ParseError
	if errors.As(err, &bad) {
		return At(max(bad.Line, 1), max(bad.Column, 1), "", procedures.Invalid("", "", "the quotes in the file do not match: "+bad.Err.Error(), "save the sheet as CSV again"))
	}
	return At(1, 1, "", procedures.Invalid("", "", err.Error()))
}

// delimiter is what stands most often in the first line between its cells.
func delimiter(text []byte) rune {
	first, _, _ := bytes.Cut(text, []byte("\n"))
	best, most := ',', bytes.Count(first, []byte(","))
	for _, c := range []rune{';', '\t'} {
		if n := bytes.Count(first, []byte(string(c))); n > most {
			best, most = c, n
		}
	}
	return best
}

// once refuses two columns for one field, save notes, symptoms and tests, which add
// up.
func once(all []Heading, maps map[string]string) error {
	seen := map[string]string{}
	for _, h := range all {
		if h.Field == "" || h.col.adds {
			continue
		}
		if before := seen[h.Field]; before != "" {
			return At(1, h.Place, "", procedures.Invalid("", h.Name, fmt.Sprintf("%q says the %s already", before, h.Field), fmt.Sprintf(`leave one out: --map "%s=-", or make it a note: --map "%s=note"`, h.Name, h.Name)))
		}
		seen[h.Field] = h.Name
	}
	return nil
}

// row is one weld while it is read.
type row struct {
	*procedures.Weld
	Options
	heading *Heading
	coating string // what the row says of the surface, which a gauge needs
}

func readRow(cells []string, line int, headings []Heading, o Options) (r Row, content string, err error) {
	r.Line = line
	in := row{Weld: &r.Weld, Options: o}
	for i, cell := range cells {
		if i < len(headings) && headings[i].Field == "coating" {
			in.coating = cell
		}
	}
	var said strings.Builder
	for _, i := range jobFirst(headings, len(cells)) {
		cell := cells[i]
		if err := plainCell(cell); err != nil {
			return r, "", At(line, i+1, "", err)
		}
		cell = strings.TrimSpace(cell)
		if strings.HasPrefix(cell, "'") && len(cell) > 1 && strings.IndexByte("=+-@", cell[1]) >= 0 {
			cell = cell[1:] // as [Write] makes harmless what a spreadsheet would run
		}
		if cell == "" {
			continue
		}
		if i >= len(headings) {
			return r, "", At(line, i+1, "", procedures.Invalid("", cell, "there is no heading over this cell", "has the row a comma too many? Put the text into quotes"))
		}
		h := &headings[i]
		if h.Field == "" {
			continue
		}
		in.heading = h
		if err := h.col.read(&in, cell); err != nil {
			return r, "", At(line, i+1, fmt.Sprintf("%q", h.Name), err)
		}
		fmt.Fprintf(&said, "%s=%s;", h.Field, cell)
	}
	if said.Len() == 0 {
		return r, "", nil
	}
	w := &r.Weld
	if w.Job.Machine == "" {
		w.Job.Machine = o.Machine
	}
	if w.Job.Weld == "" && w.ID == "" { // one with an id says all it knows
		w.Job.Weld = w.Job.Joint.DefaultWeld()
	}
	if w.Job.Process == "" && w.ID == "" {
		w.Job.Process = procedures.ProcessOf(w.Job.Class, w.Job.Gas)
	}
	if err := w.Validate(); err != nil {
		column := 1
		for i, h := range headings {
			if bad, ok := err.(*procedures.InvalidError); ok && h.Field == bad.Field {
				column = i + 1
			}
		}
		return r, "", At(line, column, "", err)
	}
	return r, said.String(), nil
}

// jobFirst is the order in which cells are read.
func jobFirst(headings []Heading, cells int) []int {
	order := make([]int, 0, cells)
	for i := range cells {
		if i < len(headings) && headings[i].Field == "job" {
			order = append(order, i)
		}
	}
	for i := range cells {
		if i >= len(headings) || headings[i].Field != "job" {
			order = append(order, i)
		}
	}
	return order
}

// plainCell refuses what could not be shown or exchanged again.
func plainCell(s string) error {
	if !utf8.ValidString(s) {
		return procedures.Invalid("", strings.ToValidUTF8(s, "?"), "not text that can be read again", "save the sheet as CSV in UTF-8")
	}
	if i := strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) && r != '\n' && r != '\t' && r != '\r' }); i >= 0 {
		return procedures.Invalid("", fmt.Sprintf("%q", s), "has a control character in it", "plain letters, numbers and signs")
	}
	return nil
}

// idOf makes a UUIDv7 of a row: its time, and a hash of what it says.
func idOf(content string, at time.Time) string {
	sum := sha256.Sum256([]byte("row of a sheet\n" + content))
	ms := uint64(0)
	if !at.IsZero() && at.UnixMilli() > 0 {
		ms = uint64(at.UnixMilli())
	}
	b := sum[:16]
	for i := range 6 {
		b[i] = byte(ms >> (8 * (5 - i)))
	}
	b[6], b[8] = b[6]&0x0f|0x70, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[:4], b[4:6], b[6:8], b[8:10], b[10:])
}
