package main

import (
	"bytes"
	"fmt"
	"image/color"
	"io"
	"log"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgpdf"
	"gonum.org/v1/plot/vg/vgsvg"

	"beadwright/cmd/beadwright/paper"
	"beadwright/procedures"
	"beadwright/recommend/caution"
)

// The sheet, in points: it prints on letter and A4 paper.
const (
	sheetWidth = vg.Length(540)
	sheetEdge  = vg.Length(16)
	lineSpace  = 1.3 // of a line of text to its letters
	pngDPI     = 160
)

// drawing is the sheet that is drawn on, and the file that comes of it.
type drawing struct {
	draw.Canvas
	format string
	to     vg.CanvasWriterTo
}

// newSheet returns a white sheet for a format: svg, png or pdf.
func newSheet(format string, height vg.Length) drawing {
	s := drawing{format: format}
	switch format {
	case "png":
		s.to = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(sheetWidth, height), vgimg.UseDPI(pngDPI))}
	case "pdf":
		s.to = latin{vgpdf.New(sheetWidth, height)}
	default:
		s.to = vgsvg.New(sheetWidth, height)
	}
	s.Canvas = draw.NewCanvas(s.to, sheetWidth, height)
	s.SetColor(color.White)
	s.Fill(s.Rectangle.Path())
	return s
}

// part is a part of the sheet.
func (s drawing) part(left, right, bottom, top vg.Length) draw.Canvas {
	c := s.Canvas
	c.Rectangle = vg.Rectangle{Min: vg.Point{X: left, Y: bottom}, Max: vg.Point{X: right, Y: top}}
	return c
}

var fontFamily = procedures.Pattern(`font-family:[^;"]*;`)

// file is the sheet as a file, once all is drawn.
func (s drawing) file() ([]byte, error) {
	var b bytes.Buffer
	if _, err := s.to.WriteTo(&b); err != nil {
		return nil, err
	}
	if s.format == "svg" { // whatever a reader has without serifs serves
		return fontFamily().ReplaceAll(b.Bytes(), []byte("font-family:sans-serif;")), nil
	}
	return b.Bytes(), nil
}

// latin writes the text of a PDF in the one alphabet that its fonts are embedded
// for; a letter of another becomes a question mark.
type latin struct{ *vgpdf.Canvas }

func (l latin) FillString(f font.Face, at vg.Point, words string) {
	var b []byte
	for _, r := range words {
		if r > 0xff || r >= 0x80 && r < 0xa0 {
			r = '?'
		}
		b = append(b, byte(r))
	}
	l.Canvas.FillString(f, at, string(b))
}

// quietly turns a fault of drawing into an error: the fonts of a PDF go through
// the system's folder for temporary files, which may be full or closed.
func quietly(draw func() ([]byte, error)) (image []byte, err error) {
	to := log.Writer()
	log.SetOutput(io.Discard)
	defer func() {
		log.SetOutput(to)
		if r := recover(); r != nil {
			image, err = nil, fmt.Errorf("the chart could not be drawn: %v", r)
		}
	}()
	return draw()
}

// letters is a style of the chart's text.
func letters(size vg.Length) text.Style {
	s := text.Style{Color: ink, Font: plot.DefaultFont, Handler: plot.DefaultTextHandler, YAlign: draw.YTop}
	s.Font.Variant, s.Font.Size = "Sans", size
	return s
}

// paragraph is lines of text in one style.
type paragraph struct {
	style text.Style
	lines []string
}

// newParagraph folds text to the sheet's width, within a word where the word
// alone is wider.
func newParagraph(style text.Style, words string) paragraph {
	p := paragraph{style: style}
	line := ""
	fits := func(s string) bool { return style.Width(s) <= sheetWidth-2*sheetEdge }
	for _, w := range procedures.Words(paper.Printable(words)) {
		if line != "" && fits(line+" "+w) {
			line += " " + w
			continue
		}
		if line != "" {
			p.lines = append(p.lines, line)
		}
		line = ""
		for _, r := range w {
			if !fits(line + string(r)) {
				p.lines = append(p.lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	p.lines = append(p.lines, line)
	return p
}

// drawSheet puts head, plot, legends of lines and of marks, and foot below one
// another on a sheet, and returns it as a file. On a page head and foot are words
// of the page.
func drawSheet(format string, head, foot []paragraph, p *plot.Plot, lines, marks plot.Legend) ([]byte, error) {
	if format == onPage {
		return drawOnPage(p, lines, marks)
	}
	legendHeight := max(legendSize(lines), legendSize(marks))
	height := 2*sheetEdge + plotHeight + legendHeight + 14
	for _, p := range append(append([]paragraph{}, head...), foot...) {
		height += p.height() + 2
	}

	sheet := newSheet(format, height)
	top := height - sheetEdge
	for _, p := range head {
		top = p.draw(sheet.Canvas, top) - 2
	}
	p.Draw(sheet.part(sheetEdge, sheetWidth-sheetEdge, top-plotHeight, top-4))
	top -= plotHeight + 6
	lines.Draw(sheet.part(sheetEdge, sheetWidth/2, top-legendHeight, top))
	marks.Draw(sheet.part(sheetWidth*0.6, sheetWidth-sheetEdge, top-legendHeight, top))
	top -= legendHeight + 8
	for _, p := range foot {
		top = p.draw(sheet.Canvas, top) - 2
	}
	return sheet.file()
}

// footOf is what stands under a chart: its notes, and the caution of a machine that
// carries one.
func footOf(notes []string, m procedures.Machine) (foot []paragraph) {
	for _, n := range notes {
		foot = append(foot, newParagraph(letters(9), n))
	}
	if k, ok := caution.StoredCharge(m); ok {
		foot = append(foot, newParagraph(letters(9), k.Text+" "+k.Instead))
	}
	return foot
}

func (p paragraph) height() vg.Length {
	return vg.Length(len(p.lines)) * p.style.Font.Size * lineSpace
}

// draw writes the paragraph down from a height and returns the height below it.
func (p paragraph) draw(c draw.Canvas, top vg.Length) vg.Length {
	for _, l := range p.lines {
		c.FillText(p.style, vg.Point{X: sheetEdge, Y: top}, l)
		top -= p.style.Font.Size * lineSpace
	}
	return top
}
