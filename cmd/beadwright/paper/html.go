package paper

import (
	"bytes"
	"fmt"
	"html"
	"strings"

	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"

	"beadwright/procedures"
)

// style is all that the page needs: no script, no font and no picture from outside.
const style = `@page { size: %s; margin: %.0fpt; }
body { font: %.1fpt/1.3 sans-serif; color: #000; background: #fff; margin: 1em auto; max-width: %.0fpt; }
h1 { font-size: 1.5em; margin: 0 0 .2em; } h2 { font-size: 1.1em; margin: 1em 0 .3em; border-bottom: 1.5pt solid #000; break-after: avoid; }
.lead { font-weight: bold; font-size: 1.1em; margin: 0; }
table { border-collapse: collapse; width: 100%%; margin: .3em 0; } td, th { border: .75pt solid #000; padding: .2em .4em; text-align: left; vertical-align: top; }
tr { break-inside: avoid; } .write td { height: 1.7em; } tr.strong td { font-weight: bold; }
.fields th { width: 34%%; font-weight: normal; } .blank { display: inline-block; width: 60%%; border-bottom: .75pt solid #000; height: 1em; }
figure { margin: .4em 0; break-inside: avoid; } figure svg { width: 100%%; max-width: 480pt; height: auto; }
.square { float: right; margin: 0 0 .3em .5em; } .square svg { width: 18mm; height: 18mm; }
.tags { display: grid; grid-template-columns: 1fr 1fr; } .tag { border: .75pt dashed #000; padding: .7em; break-inside: avoid; }
.tag b { display: block; font-size: 3em; line-height: 1; } footer { border-top: .75pt solid #000; margin-top: 1em; padding-top: .3em; font-size: .85em; }
@media print { body { margin: 0; max-width: none; } }
`

// html writes the document as one page that prints well.
func (d Document) html() ([]byte, error) {
	var p htmlPage
	p.put("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>%s</title>\n<style>\n", inHTML(d.Title))
	p.put(style, d.Page.Name, d.Page.Edge.Points(), d.Page.Letter.Points(), (d.Page.Width - 2*d.Page.Edge).Points())
	p.put("</style>\n</head>\n<body>\n")
	for _, l := range d.Alert {
		p.put("<p class=\"lead\">%s</p>\n", inHTML(l))
	}
	if err := p.square(d.Link); err != nil {
		return nil, err
	}
	p.put("<h1>%s</h1>\n", inHTML(d.Title))
	for _, l := range d.Lead {
		p.put("<p class=\"lead\">%s</p>\n", inHTML(l))
	}
	list := false
	for _, block := range d.Blocks {
		w, ok := block.(Words)
		if item := ok && w.Item; item != list {
			p.put("%s\n", map[bool]string{true: "<ul>", false: "</ul>"}[item])
			list = item
		}
		if err := p.block(block); err != nil {
			return nil, err
		}
	}
	if list {
		p.put("</ul>\n")
	}
	if d.Foot != "" {
		p.put("<footer>%s</footer>\n", inHTML(d.Foot))
	}
	p.put("</body>\n</html>\n")
	return p.Bytes(), nil
}

// inHTML writes text so that it stands in a page as it is.
func inHTML(s string) string {
	words := procedures.Words(Printable(s))
	for i, w := range words {
		words[i] = strings.ReplaceAll(w, " ", "\u00a0") // no line ends there
	}
	return html.EscapeString(strings.Join(words, " "))
}

// htmlPage is a page as it is written.
type htmlPage struct{ bytes.Buffer }

func (p *htmlPage) put(format string, args ...any) { fmt.Fprintf(p, format, args...) }

func (p *htmlPage) block(block Block) error {
	switch t := block.(type) {
	case Heading:
		p.put("<h2>%s</h2>\n", inHTML(string(t)))
	case Words:
		text := inHTML(t.Text)
		if t.Strong {
			text = "<b>" + text + "</b>"
		}
		tag := "p"
		if t.Item {
			tag = "li"
		}
		p.put("<%s>%s</%s>\n", tag, text, tag)
	case Fields:
		p.fields(t)
	case Table:
		p.table(t)
	case Drawing:
		svg := vgsvg.New(SketchWidth, SketchHeight)
		t.Draw(draw.NewCanvas(svg, SketchWidth, SketchHeight))
		var s bytes.Buffer
		if _, err := svg.WriteTo(&s); err != nil {
			return err
		}
		p.put("<figure role=\"img\" aria-label=\"%s\">%s</figure>\n", inHTML(t.Words), inline(s.Bytes()))
	case Tags:
		return p.tags(t)
	}
	return nil
}

func (p *htmlPage) fields(all Fields) {
	p.put("<table class=\"fields\">\n")
	for _, f := range all {
		value := inHTML(f.Value)
		if value == "" {
			value = `<span class="blank"></span>`
		}
		p.put("<tr><th>%s</th><td>%s</td></tr>\n", inHTML(f.Name), value)
	}
	p.put("</table>\n")
}

func (p *htmlPage) table(t Table) {
	class := ""
	if t.Lines > 0 {
		class = ` class="write"`
	}
	p.put("<table%s>\n<tr>", class)
	for _, c := range t.Head {
		p.put("<th>%s</th>", inHTML(c))
	}
	p.put("</tr>\n")
	for _, r := range t.Rows {
		p.put("<tr%s>", map[bool]string{true: ` class="strong"`}[r.Strong])
		for _, c := range r.Cells {
			p.put("<td>%s</td>", inHTML(c))
		}
		p.put("</tr>\n")
	}
	p.put("</table>\n")
}

func (p *htmlPage) tags(all Tags) error {
	p.put("<div class=\"tags\">\n")
	for _, tag := range all {
		p.put("<div class=\"tag\">")
		if err := p.square(tag.Link); err != nil {
			return err
		}
		p.put("<b>%s</b>", inHTML(tag.Mark))
		for _, l := range tag.Lines {
			p.put("%s<br>", inHTML(l))
		}
		p.put("</div>\n")
	}
	p.put("</div>\n")
	return nil
}

// square writes the square of a link, where there is one, with the link in words for
// who cannot see it.
func (p *htmlPage) square(link string) error {
	if link == "" {
		return nil
	}
	svg, err := squareSVG(link)
	if err != nil {
		return err
	}
	p.put("<figure class=\"square\" role=\"img\" aria-label=\"%s\">%s</figure>\n", html.EscapeString("code of the link "+Printable(link)), svg)
	return nil
}
