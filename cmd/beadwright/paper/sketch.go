// Package paper puts on paper what the notebook holds: a document of headings,
// fields, tables and drawings, written as text, Markdown, HTML or PDF; and the
// sketch of a joint with its weld symbol, drawn from its sizes. All of it is pure:
// equal input gives equal pages.
//
//	Document, Block           what a page says
//	Document.As               the page in a format
//	Sketch, SketchFile        a procedure's joint to scale, with its weld symbol
package paper

import (
	"bytes"
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"beadwright/procedures"
)

// The sketch keeps this shape wherever it is drawn, in points.
const (
	SketchWidth  = vg.Length(480)
	SketchHeight = vg.Length(230)
)

// Sketch draws a section through a procedure's joint on a canvas: the plates to
// scale and hatched, the weld dark, sizes as dimensions, and the weld symbol on its
// reference line. US units take the symbol of AWS A2.4, metric that of ISO 2553,
// system A. What is not known is not drawn.
func Sketch(c draw.Canvas, p procedures.Procedure, u procedures.Units) {
	s := cut(p)
	size := c.Size()
	k := float64(size.X / SketchWidth)
	letter := vg.Length(11 * k)
	// The joint takes the left, its dimensions the edges, the symbol the right.
	room := vg.Rectangle{Min: vg.Point{X: c.Min.X + vg.Length(74*k), Y: c.Min.Y + vg.Length(34*k)}, Max: vg.Point{X: c.Min.X + size.X*0.60, Y: c.Max.Y - vg.Length(30*k)}}
	w, h := s.outer[1].x-s.outer[0].x, s.outer[1].y-s.outer[0].y
	scale := min(float64(room.Size().X)/w, float64(room.Size().Y)/h)
	q := pen{c: c, scale: scale, size: letter}
	q.zero = vg.Point{
		X: room.Min.X + (room.Size().X-vg.Length(w*scale))/2 - vg.Length(s.outer[0].x*scale),
		Y: room.Min.Y + (room.Size().Y-vg.Length(h*scale))/2 - vg.Length(s.outer[0].y*scale),
	}
	q.metal(s)
	said := map[string]string{"thickness": short(p.Job.Thickness, u), "other": short(p.Job.OtherThickness, u), "leg": short(p.Settings.Leg, u), "gap": short(p.Job.Gap, u)}
	if p.Job.OtherThickness == 0 && p.Job.Joint != procedures.Butt && p.Job.Joint != procedures.Edge {
		said["other"] = said["thickness"]
	}
	for _, m := range s.measures {
		if text := said[m.what]; text != "" {
			off := vg.Length(m.mm*scale + m.pt*k)
			if m.pt < 0 {
				off = vg.Length(-m.mm*scale + m.pt*k)
			}
			q.dimension(m.a, m.b, off, text, m.beside)
		}
	}
	q.symbol(p, u, q.at(s.root), vg.Point{X: c.Min.X + size.X*0.655, Y: c.Max.Y - size.Y*0.20}, k)
}

// metal draws plates and weld.
func (q pen) metal(s section) {
	for _, p := range s.plates {
		q.hatch(p.low, p.high, p.rising)
	}
	for _, w := range s.weld {
		q.fill(dark, w)
		q.line(1, append(w, w[0])...)
	}
	for _, p := range s.plates {
		corners := []point{p.low, {p.high.x, p.low.y}, {p.high.x - p.bevelRight, p.high.y}, {p.low.x + p.bevelLeft, p.high.y}}
		for i, open := range []bool{p.bottom, p.right, p.top, p.left} {
			if a, b := corners[i], corners[(i+1)%4]; open {
				q.breakLine(a, b)
			} else {
				q.line(1.2, a, b)
			}
		}
	}
}

// short says a length in one unit; "" where it is not known.
func short(v procedures.MM, u procedures.Units) string {
	if v == 0 {
		return ""
	}
	text, _, _ := strings.Cut(procedures.FormatLength(v, u), " (")
	return text
}

// SketchFile is the sketch as a file: svg, png or pdf.
func SketchFile(p procedures.Procedure, u procedures.Units, format string) ([]byte, error) {
	var to vg.CanvasWriterTo
	switch format {
	case "svg":
		to = vgsvg.New(SketchWidth, SketchHeight)
	case "png":
		to = vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(SketchWidth, SketchHeight), vgimg.UseDPI(160))}
	case "pdf":
		to = newCanvas(p.Name, p.At, SketchWidth, SketchHeight)
	default:
		return nil, fmt.Errorf("a sketch is svg, png or pdf, not %q", format)
	}
	Sketch(draw.NewCanvas(to, SketchWidth, SketchHeight), p, u)
	var b bytes.Buffer
	if _, err := to.WriteTo(&b); err != nil {
		return nil, err
	}
	if format == "svg" {
		return plainLetters(b.Bytes()), nil
	}
	return b.Bytes(), nil
}

// plainLetters has a drawing ask for letters without serifs, whichever are at hand.
func plainLetters(svg []byte) []byte {
	return bytes.ReplaceAll(svg, []byte("font-family:Liberation Sans;"), []byte("font-family:sans-serif;"))
}

// inline is the sketch as an element of a page: without the head of a file.
func inline(svg []byte) []byte {
	svg = plainLetters(svg)
	if i := bytes.Index(svg, []byte("<svg")); i >= 0 {
		return svg[i:]
	}
	return svg
}
