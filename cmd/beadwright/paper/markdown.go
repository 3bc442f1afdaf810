package paper

import (
	"strings"
)

// markdown writes the document as Markdown with tables.
func (d Document) markdown() string {
	var b strings.Builder
	for _, l := range d.Alert {
		b.WriteString(strong(l, true) + "\n\n")
	}
	b.WriteString("# " + escape(d.Title) + "\n\n")
	for _, l := range d.Lead {
		b.WriteString(escape(l) + "  \n")
	}
	if d.Link != "" {
		b.WriteString(escape(d.Link) + "\n")
	}
	item := false
	for _, block := range d.Blocks {
		if w, ok := block.(Words); !item || !ok || !w.Item {
			b.WriteString("\n")
		}
		item = false
		switch t := block.(type) {
		case Heading:
			b.WriteString("## " + escape(string(t)) + "\n")
		case Words:
			item = t.Item
			b.WriteString(map[bool]string{true: "- "}[t.Item] + strong(t.Text, t.Strong) + "\n")
		case Fields:
			rows := [][]string{}
			for _, f := range t {
				value := f.Value
				if value == "" {
					value = "________"
				}
				rows = append(rows, []string{f.Name, value})
			}
			b.WriteString(markdownTable([]string{"field", "value"}, rows, nil))
		case Table:
			strongRows := make([]bool, len(t.Rows))
			for i, r := range t.Rows {
				strongRows[i] = r.Strong
			}
			b.WriteString(markdownTable(t.Head, rowCells(t.Rows), strongRows))
		case Drawing:
			b.WriteString("_" + escape(t.Words) + "_\n")
		case Tags:
			for _, tag := range t {
				b.WriteString("---\n\n**" + escape(tag.Mark) + "**\n\n")
				for _, l := range tag.Lines {
					b.WriteString("- " + escape(l) + "\n")
				}
				if tag.Link != "" {
					b.WriteString("- " + escape(tag.Link) + "\n")
				}
				b.WriteString("\n")
			}
		}
	}
	if d.Foot != "" {
		b.WriteString("\n---\n\n" + escape(d.Foot) + "\n")
	}
	return b.String()
}

func markdownTable(head []string, rows [][]string, bold []bool) string {
	var b strings.Builder
	put := func(cells []string, strongly bool) {
		for _, c := range cells {
			b.WriteString("| " + strong(c, strongly && c != "") + " ")
		}
		b.WriteString("|\n")
	}
	put(head, false)
	b.WriteString(strings.Repeat("|---", len(head)) + "|\n")
	for i, r := range rows {
		put(r, bold != nil && bold[i])
	}
	return b.String()
}

func strong(s string, yes bool) string {
	if yes {
		return "**" + escape(s) + "**"
	}
	return escape(s)
}

// escape keeps what was typed from being read as Markdown or as HTML.
func escape(s string) string {
	return strings.NewReplacer(`\`, `\\`, "|", `\|`, "<", "&lt;", ">", "&gt;", "&", "&amp;", "*", `\*`, "_", `\_`, "`", "\\`", "[", `\[`, "#", `\#`).
		Replace(strings.Join(strings.Fields(Printable(s)), " "))
}
