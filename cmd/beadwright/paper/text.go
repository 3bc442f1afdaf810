package paper

import (
	"slices"
	"strings"

	"beadwright/procedures"
)

// columns is the width of a page of text: what a terminal and a printer take.
const columns = 96

// text writes the document for a terminal or a plain printer.
func (d Document) text() string {
	var b strings.Builder
	line := func(s string) { b.WriteString(strings.TrimRight(s, " ") + "\n") }
	for _, l := range d.Alert {
		for _, part := range wrap(l, columns) {
			line(part)
		}
	}
	line(strings.ToUpper(Printable(d.Title)))
	for _, l := range d.Lead {
		for _, part := range wrap(l, columns) {
			line(part)
		}
	}
	if d.Link != "" {
		line(Printable(d.Link))
	}
	line(strings.Repeat("=", columns))
	for _, block := range d.Blocks {
		switch t := block.(type) {
		case Heading:
			line("")
			line(strings.ToUpper(Printable(string(t))))
		case Words:
			first, rest := "", ""
			if t.Item {
				first, rest = "  - ", "    "
			}
			for i, part := range wrap(t.Text, columns-len(first)) {
				if i > 0 {
					first = rest
				}
				line(first + part)
			}
		case Fields:
			wide := 0
			for _, f := range t {
				wide = max(wide, width(f.Name))
			}
			wide = min(wide, 34)
			for _, f := range t {
				value := f.Value
				if value == "" {
					value = strings.Repeat("_", 30)
				}
				names, values := wrap(f.Name, wide), wrap(value, columns-wide-4)
				for i := range max(len(names), len(values)) {
					line("  " + padded(at(names, i), wide) + "  " + at(values, i))
				}
			}
		case Table:
			for _, l := range t.text() {
				line(l)
			}
		case Drawing:
			for _, part := range wrap(t.Words, columns-2) {
				line("  " + part)
			}
		case Tags:
			for _, tag := range t {
				line("+" + strings.Repeat("-", 46) + "+")
				for _, l := range slices.Concat([]string{tag.Mark}, tag.Lines, []string{tag.Link}) {
					if l == "" {
						continue
					}
					for _, part := range wrap(l, 44) {
						line("| " + padded(part, 44) + " |")
					}
				}
			}
			line("+" + strings.Repeat("-", 46) + "+")
		}
	}
	if d.Foot != "" {
		line("")
		line(strings.Repeat("-", columns))
		for _, part := range wrap(d.Foot, columns) {
			line(part)
		}
	}
	return b.String()
}

// text lays a table out in columns as wide as their words.
func (t Table) text() []string {
	wide := make([]int, len(t.Head))
	for _, cells := range append([][]string{t.Head}, rowCells(t.Rows)...) {
		for i, c := range cells {
			wide[i] = max(wide[i], width(c))
		}
	}
	if t.Share != nil { // to be written on: the columns take what the page has
		for i := range wide {
			wide[i] = max(wide[i], int(t.Share[i]*columns)-2)
		}
	}
	for t.Share == nil && total(wide) > columns {
		widest := 0
		for i := range wide {
			if wide[i] > wide[widest] {
				widest = i
			}
		}
		if wide[widest] <= 10 {
			break // narrower is harder to read than a long line
		}
		wide[widest]--
	}
	var out []string
	put := func(cells []string) {
		var parts [][]string
		high := 1
		for i, c := range cells {
			p := wrap(c, wide[i])
			parts = append(parts, p)
			high = max(high, len(p))
		}
		for n := range high {
			l := " "
			for i := range cells {
				l += " " + padded(at(parts[i], n), wide[i]) + " "
			}
			out = append(out, l)
		}
	}
	put(t.Head)
	rule := " "
	for _, w := range wide {
		rule += " " + strings.Repeat("-", w) + " "
	}
	out = append(out, rule)
	for _, r := range t.Rows {
		if t.Lines > 0 {
			l := " "
			for i, w := range wide {
				if c := r.Cells[i]; c != "" {
					l += " " + padded(c, w) + " "
				} else {
					l += " " + strings.Repeat("_", w) + " "
				}
			}
			out = append(out, "", l)
			continue
		}
		put(r.Cells)
	}
	return out
}

// total is the width of a line of columns with two spaces between.
func total(wide []int) int {
	n := 0
	for _, w := range wide {
		n += w + 2
	}
	return n
}

func rowCells(rows []Row) [][]string {
	out := make([][]string, len(rows))
	for i, r := range rows {
		out[i] = r.Cells
	}
	return out
}

// wrap folds text at spaces to lines of at most n letters, within a word where the
// word alone is longer. There is at least one line.
func wrap(s string, n int) []string {
	n = max(n, 1)
	var lines []string
	line := ""
	for _, w := range procedures.Words(Printable(s)) {
		if line != "" && width(line)+1+width(w) > n {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += w
		for width(line) > n {
			r := []rune(line)
			lines, line = append(lines, string(r[:n])), string(r[n:])
		}
	}
	return append(lines, line)
}

func width(s string) int { return len([]rune(s)) }

func padded(s string, n int) string { return s + strings.Repeat(" ", max(0, n-width(s))) }

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}
