package paper

import (
	"bytes"
	"fmt"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"

	"beadwright/procedures"
)

// press lays a document out on pages from top to bottom.
type press struct {
	d     Document
	size  vg.Length // of the text
	c     draw.Canvas
	next  func() // begins another page
	top   vg.Length
	right vg.Length // width beside the lines that a square takes
	pages int
	err   error
}

// pdf writes the document as PDF. Where the page says that all must fit on one, the
// text is made as large as it may be for that. Error: it does not fit at the least
// size.
func (d Document) pdf() ([]byte, error) {
	size := d.Page.Letter
	if least := d.Page.Least; least > 0 {
		for ; d.pages(size) > 1; size -= 0.25 {
			if size < least {
				return nil, fmt.Errorf("this is more than fits on one page of %s", d.Page.Name)
			}
		}
	}
	on := newCanvas(d.Title, d.At, d.Page.Width, d.Page.Height)
	p := press{d: d, size: size, c: draw.NewCanvas(on, d.Page.Width, d.Page.Height), next: on.page}
	if p.run(); p.err != nil {
		return nil, p.err
	}
	var b bytes.Buffer
	_, err := on.WriteTo(&b)
	return b.Bytes(), err
}

// pages counts the pages that a size of text takes.
func (d Document) pages(size vg.Length) int {
	p := press{d: d, size: size, c: draw.NewCanvas(&blind{}, d.Page.Width, d.Page.Height), next: func() {}}
	p.run()
	return p.pages
}

// blind is a canvas that keeps nothing.
type blind struct{ recorder.Canvas }

func (b *blind) Size() (vg.Length, vg.Length) { return 0, 0 }

func (p *press) edge() vg.Length  { return p.d.Page.Edge }
func (p *press) width() vg.Length { return p.d.Page.Width - 2*p.d.Page.Edge }

// foot is the lines at the foot of a page.
func (p *press) foot() ([]string, vg.Length) {
	if p.d.Foot == "" {
		return nil, 0
	}
	small := letters(p.size*0.8, false)
	lines := fit(small, p.d.Foot, p.width())
	return lines, vg.Length(len(lines))*p.size*0.8*lineSpace + p.size*0.4
}

// page begins a page and writes its foot.
func (p *press) page() {
	if p.pages > 0 {
		p.next()
	}
	p.pages++
	p.top = p.d.Page.Height - p.edge()
	lines, high := p.foot()
	y := p.edge() + high
	if len(lines) > 0 {
		p.rule(y-p.size*0.2, 0.6)
		y -= p.size * 0.4
	}
	for _, l := range lines {
		p.c.FillText(letters(p.size*0.8, false), vg.Point{X: p.edge(), Y: y}, l)
		y -= p.size * 0.8 * lineSpace
	}
}

// need begins another page where there is not so much room left.
func (p *press) need(high vg.Length) {
	_, foot := p.foot()
	if p.top-high < p.edge()+foot && p.top < p.d.Page.Height-p.edge() {
		p.page()
	}
}

func (p *press) rule(y, width vg.Length) {
	p.c.StrokeLine2(draw.LineStyle{Color: ink, Width: width}, p.edge(), y, p.edge()+p.width(), y)
}

// lines writes folded text from a left edge.
func (p *press) lines(words string, size vg.Length, bold bool, indent vg.Length) {
	s := letters(size, bold)
	for _, l := range fit(s, words, p.width()-p.right-indent) {
		p.need(size * lineSpace)
		p.c.FillText(s, vg.Point{X: p.edge() + indent, Y: p.top}, l)
		p.top -= size * lineSpace
	}
}

func (p *press) run() {
	p.page()
	for _, l := range p.d.Alert {
		p.lines(l, p.size*1.02, true, 0)
	}
	head := p.top
	if p.d.Link != "" {
		p.square(p.d.Link, p.edge()+p.width(), head)
		p.right = squareSide + p.size*0.5
		head -= squareSide
	}
	p.lines(p.d.Title, p.size*1.35, true, 0)
	for _, l := range p.d.Lead {
		p.lines(l, p.size*1.02, true, 0)
	}
	p.right, p.top = 0, min(p.top, head)
	p.top -= p.size * 0.25
	for _, block := range p.d.Blocks {
		switch t := block.(type) {
		case Heading:
			p.top -= p.size * 0.6
			p.need(p.size * 4)
			p.lines(string(t), p.size*1.1, true, 0)
			p.rule(p.top, 1)
			p.top -= p.size * 0.35
		case Words:
			indent := vg.Length(0)
			if t.Item {
				indent = p.size * 0.9
				p.need(p.size * lineSpace)
				p.c.FillText(letters(p.size, t.Strong), vg.Point{X: p.edge() + p.size*0.2, Y: p.top}, "-")
			}
			p.lines(t.Text, p.size, t.Strong, indent)
			p.top -= p.size * 0.15
		case Fields:
			p.fields(t)
		case Table:
			p.table(t)
		case Drawing:
			high := p.width() * SketchHeight / SketchWidth
			high = min(high, SketchHeight*0.9)
			wide := high * SketchWidth / SketchHeight
			p.need(high)
			part := p.c
			left := p.edge() + (p.width()-wide)/2
			part.Rectangle = vg.Rectangle{Min: vg.Point{X: left, Y: p.top - high}, Max: vg.Point{X: left + wide, Y: p.top}}
			t.Draw(part)
			p.top -= high
		case Tags:
			p.tags(t)
		}
	}
}

// square draws that of a link, its upper right corner at a place.
func (p *press) square(link string, right, top vg.Length) {
	part := p.c
	part.Rectangle = vg.Rectangle{Min: vg.Point{X: right - squareSide, Y: top - squareSide}, Max: vg.Point{X: right, Y: top}}
	if err := square(part, link); err != nil {
		p.err = err
	}
}

// fields writes names beside values; a blank one gets a line to write on.
func (p *press) fields(all Fields) {
	name := p.width() * 0.34
	s := letters(p.size, false)
	for _, f := range all {
		names, values := fit(s, f.Name, name-p.size*0.6), fit(letters(p.size, true), f.Value, p.width()-name)
		high := vg.Length(max(len(names), len(values))) * p.size * lineSpace
		p.need(high + p.size*0.25)
		for i, l := range names {
			p.c.FillText(s, vg.Point{X: p.edge(), Y: p.top - vg.Length(i)*p.size*lineSpace}, l)
		}
		if f.Value == "" {
			y := p.top - p.size*1.05
			p.c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.5}, p.edge()+name, y, p.edge()+p.width(), y)
		}
		for i, l := range values {
			p.c.FillText(letters(p.size, true), vg.Point{X: p.edge() + name, Y: p.top - vg.Length(i)*p.size*lineSpace}, l)
		}
		p.top -= high + p.size*0.25
	}
}

// table draws a table; its head comes again on every page.
func (p *press) table(t Table) {
	wide := p.columns(t)
	pad := p.size * 0.3
	row := func(cells []string, bold bool, least int) {
		style := letters(p.size, bold)
		var parts [][]string
		lines := max(1, least)
		for i, c := range cells {
			l := fit(style, c, wide[i]-2*pad)
			parts, lines = append(parts, l), max(lines, len(l))
		}
		high := vg.Length(lines)*p.size*lineSpace + pad
		pages := p.pages
		p.need(high)
		if p.pages != pages && len(t.Rows) > 0 && !(bold && &cells[0] == &t.Head[0]) {
			p.tableRow(fitted(letters(p.size, true), t.Head, wide, pad), wide, pad, true)
		}
		for len(parts[0]) < lines {
			parts[0] = append(parts[0], "")
		}
		p.tableRow(parts, wide, pad, bold)
	}
	row(t.Head, true, 1)
	for _, r := range t.Rows {
		row(r.Cells, r.Strong, t.Lines)
	}
	p.top -= p.size * 0.3
}

func fitted(s text.Style, cells []string, wide []vg.Length, pad vg.Length) [][]string {
	var parts [][]string
	for i, c := range cells {
		parts = append(parts, fit(s, c, wide[i]-2*pad))
	}
	return parts
}

// tableRow draws one row with its box.
func (p *press) tableRow(parts [][]string, wide []vg.Length, pad vg.Length, bold bool) {
	lines := 1
	for _, part := range parts {
		lines = max(lines, len(part))
	}
	high := vg.Length(lines)*p.size*lineSpace + pad
	box := draw.LineStyle{Color: ink, Width: 0.6}
	x := p.edge()
	for i, part := range parts {
		p.c.StrokeLines(box, []vg.Point{{X: x, Y: p.top}, {X: x + wide[i], Y: p.top}, {X: x + wide[i], Y: p.top - high}, {X: x, Y: p.top - high}, {X: x, Y: p.top}})
		for n, l := range part {
			p.c.FillText(letters(p.size, bold), vg.Point{X: x + pad, Y: p.top - pad*0.5 - vg.Length(n)*p.size*lineSpace}, l)
		}
		x += wide[i]
	}
	p.top -= high
}

// columns shares the width out among the columns. Each gets as much as its longest
// word takes, and of what is left a share as told, else by its longest cell.
func (p *press) columns(t Table) []vg.Length {
	least, want := make([]vg.Length, len(t.Head)), make([]vg.Length, len(t.Head))
	take := func(cells []string, strong bool) {
		s := letters(p.size, strong)
		for i, c := range cells {
			want[i] = max(want[i], s.Width(c)+p.size*0.7)
			for _, w := range procedures.Words(c) {
				least[i] = max(least[i], s.Width(w)+p.size*0.7)
			}
		}
	}
	take(t.Head, true)
	for _, r := range t.Rows {
		take(r.Cells, r.Strong)
	}
	for i, share := range t.Share {
		want[i] = max(least[i], p.width()*vg.Length(share))
	}
	var wanted, needed vg.Length
	for i := range want {
		wanted, needed = wanted+want[i], needed+least[i]
	}
	out := make([]vg.Length, len(want))
	for i := range want {
		switch {
		case needed >= p.width(): // words will be broken
			out[i] = p.width() * least[i] / needed
		case wanted <= p.width() || wanted == needed:
			out[i] = p.width() * want[i] / wanted
		default:
			out[i] = least[i] + (p.width()-needed)*(want[i]-least[i])/(wanted-needed)
		}
	}
	return out
}

// tags draws tags two abreast with a dashed line to cut along. A row is as high as
// the longer of its two wants, for no line of a tag is left out.
func (p *press) tags(all Tags) {
	const across = 2
	wide := p.width() / across
	cutLine := draw.LineStyle{Color: light, Width: 0.7, Dashes: []vg.Length{4, 3}}
	body := letters(p.size, false)
	high := vg.Length(0)
	for i, t := range all {
		if i%across == 0 {
			high = p.size * 13.5
			for _, beside := range all[i:min(i+across, len(all))] {
				high = max(high, tagHead(beside, p.size)+p.size*1.4+vg.Length(len(tagText(body, beside, wide-p.size*1.6)))*p.size*lineSpace)
			}
			p.need(high)
		}
		left, top := p.edge()+wide*vg.Length(i%across), p.top
		p.c.StrokeLines(cutLine, []vg.Point{{X: left, Y: top}, {X: left + wide, Y: top}, {X: left + wide, Y: top - high}, {X: left, Y: top - high}, {X: left, Y: top}})
		x, y := left+p.size*0.8, top-p.size*0.7
		p.c.FillText(letters(p.size*3.6, true), vg.Point{X: x, Y: y}, Printable(t.Mark))
		if t.Link != "" {
			p.square(t.Link, left+wide-p.size*0.4, top-p.size*0.4)
		}
		y -= tagHead(t, p.size)
		for _, l := range tagText(body, t, wide-p.size*1.6) {
			p.c.FillText(body, vg.Point{X: x, Y: y}, l)
			y -= p.size * lineSpace
		}
		if i%across == across-1 || i == len(all)-1 {
			p.top -= high
		}
	}
	p.top -= p.size * 0.4
}

// tagHead is the height of the mark of a tag, or of its square where that is higher.
func tagHead(t Tag, size vg.Length) vg.Length {
	if t.Link == "" {
		return size * 4.1
	}
	return max(size*4.1, squareSide)
}

// tagText is the lines of a tag, folded to a width.
func tagText(s text.Style, t Tag, wide vg.Length) []string {
	var lines []string
	for _, l := range t.Lines {
		lines = append(lines, fit(s, l, wide)...)
	}
	return lines
}
